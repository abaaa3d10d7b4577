"""Shapes said in the job file itself, mm, Y up. Each becomes closed curves; together they are a Drawing."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import ClassVar

import attrs
import numpy as np
import shapely
from attrs import define

from kerfwright import fields
from kerfwright.curve import SAME, Curve
from kerfwright.drawing import Drawing
from kerfwright.outlines.outline import Chain, outlined
from kerfwright.outlines.svgpath import path_curves

__all__ = ["SHAPES", "Circle", "Path", "Polygon", "Rectangle", "Shape", "Slot", "TextShape", "Wkt", "drawing"]


@define(frozen=True, kw_only=True)
class Shape:
    """A shape of the job file. `name` is its key; `single` names the field that takes the key's value where that value
    is no mapping (`polygon: [[0, 0], …]`); '' where it is a mapping of the fields.

    Every construction asks `curves` once, so that a shape that cannot be is refused with ValueError where it is said.
    """

    name: ClassVar[str] = ""
    single: ClassVar[str] = ""
    layer: str = fields.text("layer, as a drawing file has", default="")

    def __attrs_post_init__(self) -> None:
        self.curves()

    def curves(self) -> tuple[Curve, ...]:
        """Its outlines."""
        raise NotImplementedError


@define(frozen=True, kw_only=True)
class Circle(Shape):
    """A full circle."""

    name: ClassVar[str] = "circle"
    center: tuple[float, float] = fields.point("center")
    diameter: float = fields.number("diameter", unit="mm", above=0)

    def curves(self) -> tuple[Curve, ...]:
        """Two half circles."""
        return (Curve.circle(*self.center, self.diameter / 2),)


@define(frozen=True, kw_only=True)
class Rectangle(Shape):
    """A rectangle, its corners rounded by `radius`, turned about `corner`."""

    name: ClassVar[str] = "rectangle"
    corner: tuple[float, float] = fields.point("lower left corner")
    size: tuple[float, float] = fields.point("size in X and Y", above=0)
    radius: float = fields.number("radius of its corners", unit="mm", least=0, default=0.0)
    turn: float = fields.number("turned about `corner`, counter-clockwise", unit="deg", default=0.0)

    def curves(self) -> tuple[Curve, ...]:
        """Counter-clockwise from the lower edge."""
        (w, h), r = self.size, self.radius
        if 2 * r > min(w, h) + SAME:
            raise ValueError(f"radius: found {r:g}, allowed: at most half the shorter side, {min(w, h) / 2:g} mm")
        nodes = [(r, 0), (w - r, 0), (w, r), (w, h - r), (w - r, h), (r, h), (0, h - r), (0, r), (r, 0)]
        c = _tidy(Curve(_flat(nodes), np.tile([0.0, math.pi / 2 if r else 0.0], 4)))
        return ((c.rotated(self.turn) if self.turn else c).moved(*self.corner),)


@define(frozen=True, kw_only=True)
class Slot(Shape):
    """A long hole with round ends; `from` and `to` are the centers of the ends."""

    name: ClassVar[str] = "slot"
    start: tuple[float, float] = fields.point("center of one end", key="from")
    to: tuple[float, float] = fields.point("center of the other end")
    width: float = fields.number("width", unit="mm", above=0)

    def curves(self) -> tuple[Curve, ...]:
        """Two lines and two half circles."""
        (x0, y0), (x1, y1), r = self.start, self.to, self.width / 2
        long = math.hypot(x1 - x0, y1 - y0)
        if long < SAME:
            raise ValueError(f"to: found {self.to!r}, allowed: a place other than `from`; a round hole is a circle")
        nx, ny = (y1 - y0) / long * r, (x0 - x1) / long * r
        nodes = [(x0 + nx, y0 + ny), (x1 + nx, y1 + ny), (x1 - nx, y1 - ny), (x0 - nx, y0 - ny), (x0 + nx, y0 + ny)]
        return (Curve(_flat(nodes), np.array([0.0, math.pi, 0.0, math.pi])),)


@define(frozen=True, kw_only=True)
class Polygon(Shape):
    """Straight sides from corner to corner; the last is joined to the first."""

    name: ClassVar[str] = "polygon"
    single: ClassVar[str] = "points"
    points: tuple[tuple[float, float], ...] = fields.custom("corners, [[x, y], …]", "points")

    def curves(self) -> tuple[Curve, ...]:
        """One closed run of lines."""
        if len({tuple(p) for p in self.points}) < 3:
            raise ValueError(f"found {len(self.points)} points, allowed: three or more different ones")
        return (_tidy(Curve.line([*self.points, self.points[0]])),)


@define(frozen=True, kw_only=True)
class TextShape(Shape):
    """A shape given as text. `unit` is what one unit in the text measures (mm): a plain number is in the job's units."""

    text: str = fields.text("the shape as text")
    unit: float = attrs.field(default=1.0, kw_only=True)


@define(frozen=True, kw_only=True)
class Path(TextShape):
    """A path in the grammar of SVG, Y up."""

    name: ClassVar[str] = "path"
    single: ClassVar[str] = "text"
    text: str = fields.text("a path in SVG's grammar, Y up", example="M0 0 H20 V10 A10 10 0 0 1 10 20 H0 Z")

    def curves(self) -> tuple[Curve, ...]:
        """One for each subpath."""
        return tuple(path_curves(self.text, self.unit * np.eye(2, 3))) or _nothing(self.text)


@define(frozen=True, kw_only=True)
class Wkt(TextShape):
    """A POLYGON or MULTIPOLYGON as well-known text (OGC Simple Features)."""

    name: ClassVar[str] = "wkt"
    single: ClassVar[str] = "text"
    text: str = fields.text("POLYGON or MULTIPOLYGON", example="POLYGON ((0 0, 20 0, 20 10, 0 0))")

    def curves(self) -> tuple[Curve, ...]:
        """One for each ring."""
        try:
            area = shapely.from_wkt(self.text)
        except (shapely.errors.GEOSException, ValueError) as e:
            raise ValueError(f"found {self.text[:40]!r}, allowed: a POLYGON or MULTIPOLYGON ({e})") from None
        if not isinstance(area, (shapely.Polygon, shapely.MultiPolygon)) or area.is_empty:
            raise ValueError(f"found {self.text[:40]!r}, allowed: a POLYGON or MULTIPOLYGON")
        rings = shapely.get_rings(shapely.get_parts(area))
        return tuple(_tidy(Curve.line(shapely.get_coordinates(r) * self.unit)) for r in rings)


SHAPES: Mapping[str, type[Shape]] = MappingProxyType({s.name: s for s in (Circle, Rectangle, Slot, Polygon, Path, Wkt)})
"""Shapes by their key in the job file."""


def drawing(shapes: Sequence[Shape], paths: Sequence[str] = ()) -> Drawing:
    """The drawing of several shapes. `paths` names each shape's place in the job.

    Raises InputError; each fault carries the path of the shape at fault.
    """
    paths = paths or [f"shapes[{k}]" for k in range(len(shapes))]
    return outlined([Chain(c, s.layer, p) for s, p in zip(shapes, paths, strict=True) for c in s.curves()])


def _flat(points: Sequence[tuple[float, float]]) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    return np.column_stack([np.array(points, float), np.zeros(len(points))])


def _tidy(curve: Curve) -> Curve:
    """Without segments of no length."""
    keep = curve.lengths > SAME
    return Curve(np.vstack([curve.nodes[:1], curve.nodes[1:][keep]]), curve.turns[keep])


def _nothing(text: str) -> tuple[Curve, ...]:
    raise ValueError(f"found {text[:40]!r}, allowed: a path with at least one closed outline")
