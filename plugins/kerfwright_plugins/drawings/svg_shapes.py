"""Basic shapes and paths of SVG 1.1 (sections 8 and 9) as curves through a transform."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType
from xml.etree.ElementTree import Element

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.outlines.bends import ellipse
from kerfwright.outlines.svgpath import path_curves
from kerfwright_plugins.drawings.svg_style import local
from kerfwright_plugins.drawings.svg_view import length, numbers

__all__ = ["SHAPES", "shape_curves"]

Read = Callable[[str, float], float]


def _path(e: Element, m: Floats, read: Read) -> list[Curve]:
    return path_curves(e.get("d", ""), m[:2])


def _points(e: Element, m: Floats, read: Read) -> list[Curve]:
    values = numbers(e.get("points", ""))
    if len(values) % 2:
        raise ValueError(f"points: found {len(values)} numbers, allowed: pairs")
    text = " ".join(map(repr, values))
    return path_curves(f"M {text} {'Z' if local(e.tag) == 'polygon' else ''}", m[:2]) if values else []


def _line(e: Element, m: Floats, read: Read) -> list[Curve]:
    a, b, c, d = (read(k, 0.0) for k in ("x1", "y1", "x2", "y2"))
    return path_curves(f"M {a!r} {b!r} L {c!r} {d!r}", m[:2])


def _rect(e: Element, m: Floats, read: Read) -> list[Curve]:
    x, y, w, h = (read(k, 0.0) for k in ("x", "y", "width", "height"))
    _not_negative(width=w, height=h)
    rx, ry = read("rx", -1.0), read("ry", -1.0)
    rx, ry = (ry if rx < 0 else rx), (rx if ry < 0 else ry)
    rx, ry = min(max(rx, 0.0), w / 2), min(max(ry, 0.0), h / 2)
    if not w or not h:
        return []
    if not rx or not ry:
        return path_curves(f"M {x!r} {y!r} h {w!r} v {h!r} h {-w!r} Z", m[:2])
    round_ = f"a {rx!r} {ry!r} 0 0 1"
    return path_curves(
        f"M {x + rx!r} {y!r} H {x + w - rx!r} {round_} {rx!r} {ry!r} V {y + h - ry!r} {round_} {-rx!r} {ry!r} "
        f"H {x + rx!r} {round_} {-rx!r} {-ry!r} V {y + ry!r} {round_} {rx!r} {-ry!r} Z",
        m[:2],
    )


def _ellipse(e: Element, m: Floats, read: Read) -> list[Curve]:
    circle = local(e.tag) == "circle"
    rx, ry = (read("r", 0.0),) * 2 if circle else (read("rx", 0.0), read("ry", 0.0))
    _not_negative(**({"r": rx} if circle else {"rx": rx, "ry": ry}))
    if not rx or not ry:
        return []
    center = m[:2] @ [read("cx", 0.0), read("cy", 0.0), 1.0]
    return [ellipse(center, m[:2, 0] * rx, m[:2, 1] * ry, 0.0, 2 * math.pi)]


def _not_negative(**values: float) -> None:
    for key, value in values.items():
        if value < 0:
            raise ValueError(f"{key}: found {value:g}, allowed: 0 or more")


SHAPES: Mapping[str, Callable[[Element, Floats, Read], list[Curve]]] = MappingProxyType(
    {
        "path": _path, "polygon": _points, "polyline": _points, "line": _line, "rect": _rect, "circle": _ellipse,
        "ellipse": _ellipse,
    }
)  # fmt: skip
"""Elements that are outlines."""


def shape_curves(element: Element, m: Floats, viewport: tuple[float, float]) -> list[Curve]:
    """Curves of an element through `m` (3, 3). Raises ValueError with the attribute that is wrong."""
    w, h = viewport
    diagonal = math.sqrt((w * w + h * h) / 2)

    def read(key: str, default: float) -> float:
        text = element.get(key, "").strip()
        if text in ("", "auto"):
            return default
        whole = {"x": w, "c": w, "w": w, "y": h, "h": h}.get("y" if "y" in key else key[0], diagonal)
        try:
            return length(text, diagonal if key == "r" else w if key == "rx" else whole)
        except ValueError as e:
            raise ValueError(f"{key}: {e}") from None

    found = SHAPES[local(element.tag)](element, m, read)
    if any(not np.isfinite(c.nodes).all() for c in found):
        raise ValueError("a coordinate is not a finite number")
    return found
