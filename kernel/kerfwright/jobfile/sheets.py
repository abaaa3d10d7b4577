"""Thickness, zero and keepouts of the sheet."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import shapely
from attrs import frozen

from kerfwright import fields
from kerfwright.fields import Spec
from kerfwright.jobfile import fragments
from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.nodes import Mapped, Node, Scalar, Sequenced
from kerfwright.jobfile.reading import BAD, Reader, join
from kerfwright.jobfile.words import nearest, shown
from kerfwright.sheet import Thickness

if TYPE_CHECKING:
    from kerfwright.jobfile.schemas import Schemas

__all__ = ["area", "area_schema", "edge", "edge_schema", "thickness", "thickness_schema"]


@frozen
class _Circle:
    center: tuple[float, float] = fields.point("center on the sheet")
    diameter: float = fields.number("diameter", unit="mm", above=0)

    def area(self) -> shapely.Polygon:
        """A polygon around the circle: nowhere smaller than it."""
        quarter = 32
        return shapely.Point(self.center).buffer(self.diameter / 2 / math.cos(math.pi / 4 / quarter), quarter)


@frozen
class _Rectangle:
    corner: tuple[float, float] = fields.point("lower left corner on the sheet")
    size: tuple[float, float] = fields.point("size in X and Y", above=0)

    def area(self) -> shapely.Polygon:
        (x, y), (w, h) = self.corner, self.size
        return shapely.box(x, y, x + w, y + h)


def area(reader: Reader, node: Mapped, path: str, _: str) -> Any:
    """A keepout's plan area: one of three keys of the keepout itself."""
    said = [(key.text, value) for key, value in node.pairs if key.text in ("circle", "rectangle", "polygon")]
    if len(said) != 1:
        found = " and ".join(key for key, _ in said) or "no area"
        return reader.fault(node, path, f"found {found}, allowed: one of circle, rectangle, polygon")
    key, value = said[0]
    here = join(path, key)
    if key != "polygon":
        shape = reader.mapping(value, _Circle if key == "circle" else _Rectangle, here)
        return BAD if shape is BAD else shape.area()
    each = Spec("point", "", "mm")
    corners = reader.sequence(value, here, lambda n, p: reader.numbers(n, p, each, 2), "a list of corners, [[x, y], …]")
    if corners is BAD:
        return BAD
    polygon = shapely.Polygon(corners) if len(corners) > 2 else None
    if polygon is None or not polygon.is_valid or polygon.area <= 0:
        return reader.fault(
            value, here, f"found {shown(value)}, allowed: corners of an area that does not cross itself"
        )
    return polygon


def edge(reader: Reader, node: Node, path: str, options: str) -> Any:
    """A word for a place on the sheet, or mm from its left or front edge."""
    words = options.split(",")
    if isinstance(node, Scalar) and node.text in words:
        return node.text
    if isinstance(node, Scalar) and node.text[:1].isalpha():
        return reader.fault(
            node, path, f"found {shown(node)}, allowed: {', '.join(words)} or a number mm{nearest(node.text, words)}"
        )
    return reader.scalar(node, Spec("number", "", "mm"), path)


def thickness(reader: Reader, node: Node, path: str, _: str) -> Any:
    """A number, or {nominal, least, most}."""
    if isinstance(node, (Mapped, Sequenced)):
        return reader.mapping(node, Thickness, path)
    nominal = reader.scalar(node, Spec("number", "", "mm", above=0, most=50), path)
    return BAD if nominal is BAD else Thickness(nominal=nominal)


def area_schema(schemas: Schemas, _: str) -> Fragment:
    """As `area` reads it."""
    corners = fragments.listed(fragments.numbers(Spec("number", "", "mm"), 2), 3)
    each = {
        "circle": schemas.mapping(_Circle) | {"description": "a circle around it"},
        "rectangle": schemas.mapping(_Rectangle) | {"description": "an upright rectangle around it"},
        "polygon": corners | {"description": "corners of an area around it, [[x, y], …] mm"},
    }
    return fragments.one_of_keys(each) | {"description": "one of circle, rectangle, polygon"}


def edge_schema(_: Schemas, options: str) -> Fragment:
    """As `edge` reads it."""
    words = options.split(",")
    either: list[Fragment] = [fragments.choice(words), fragments.number(Spec("number", "", "mm"))]
    return {"anyOf": either, "description": f"{', '.join(words)}, or a number mm"}


def thickness_schema(schemas: Schemas, _: str) -> Fragment:
    """As `thickness` reads it."""
    plain = Spec("number", "", "mm", above=0, most=50)
    words = f"{plain.allowed()}, or a mapping of nominal, least, most"
    return {"anyOf": [fragments.number(plain), schemas.mapping(Thickness)], "description": words}
