"""SVG drawings: physical size at 96 px an inch, Y turned up, origin at the lower left corner of the page."""

from __future__ import annotations

from typing import ClassVar
from xml.etree import ElementTree
from xml.etree.ElementTree import Element
from xml.parsers import expat

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.drawing import Drawing, Remark
from kerfwright.drawings import DrawingReader
from kerfwright.errors import Fault, InputError
from kerfwright.outlines.outline import outlined
from kerfwright_plugins.drawings.svg_style import Styles, local
from kerfwright_plugins.drawings.svg_view import PX, fit, length, numbers
from kerfwright_plugins.drawings.svg_walk import DEEP, Place, Walk

__all__ = ["Svg"]


@define(frozen=True)
class Svg(DrawingReader):
    """SVG files. A layer is the nearest group's label, else the nearest group's id, else the element's own id.

    Outlines count, not paint: a stroke's width is nothing, and what is hidden or not displayed is passed over. Entities
    and references to other files are refused.
    """

    name: ClassVar[str] = "svg"
    suffixes: ClassVar[tuple[str, ...]] = (".svg",)

    def read(self, data: bytes, name: str) -> Drawing:
        """The drawing in mm."""
        with np.errstate(over="ignore", invalid="ignore"):  # what becomes infinite is told as a fault, with its element
            walk, remarks = self._walked(data, name)
        if walk.faults:
            raise InputError(walk.faults)
        if not walk.chains and (passed := walk.remarks()):
            told = ["found no outline, allowed: at least one closed outline", *(r.message for r in passed)]
            raise InputError([Fault(name, "; ".join(told))])
        return outlined(walk.chains, [*remarks, *walk.remarks()], name, self.open_layers)

    def _walked(self, data: bytes, name: str) -> tuple[Walk, list[Remark]]:
        try:
            root = _tree(data)
            matrix, viewport, remarks = _page(root)
            styles = Styles()
            for e in root.iter():
                if local(e.tag) == "style":
                    styles.add("".join(e.itertext()))
        except ValueError as wrong:
            raise InputError([Fault(name, str(wrong))]) from None
        ids: dict[str, Element] = {}
        for e in root.iter():
            ids.setdefault(e.get("id", ""), e)
        walk = Walk(name, styles, ids)
        walk.everything(root, Place(matrix, viewport))
        return walk, remarks


def _tree(data: bytes) -> Element:
    """The tree, after a first pass that refuses what could fetch, multiply or sink."""
    depth = 0

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal depth
        depth += 1
        if depth > DEEP:
            raise ValueError(f"elements lie inside elements more than {DEEP} deep")

    def end(tag: str) -> None:
        nonlocal depth
        depth -= 1

    def doctype(tag: str, system: str | None, public: str | None, inner: int) -> None:
        if inner:
            raise ValueError("found a DOCTYPE with declarations of its own, which may hold entities: take it out")

    def entity(*_: object) -> None:
        raise ValueError("found an ENTITY declaration: take it out")

    look = expat.ParserCreate()
    look.StartElementHandler, look.EndElementHandler = start, end
    look.StartDoctypeDeclHandler, look.EntityDeclHandler = doctype, entity
    try:
        look.Parse(data, True)
        root = ElementTree.fromstring(data)
    except (expat.ExpatError, ElementTree.ParseError, LookupError) as wrong:
        raise ValueError(f"the file cannot be read as XML: {wrong}") from None
    if local(root.tag) != "svg":
        raise ValueError(f"found the element {local(root.tag)[:40]!r}, allowed: svg")
    return root


def _page(root: Element) -> tuple[Floats, tuple[float, float], list[Remark]]:
    """From user units to mm, Y up; the viewport in user units; what was assumed about it."""
    remarks = []
    box = numbers(root.get("viewBox", ""))
    if box and (len(box) != 4 or min(box[2:]) <= 0):
        raise ValueError(f"viewBox: found {root.get('viewBox')!r}, allowed: x y width height, both above 0")
    size: list[float | None] = []
    for key in ("width", "height"):
        text = root.get(key, "").strip()
        size.append(None if text in ("", "auto") or text.endswith("%") else length(text))
        if size[-1] is not None and size[-1] <= 0:
            raise ValueError(f"{key}: found {text!r}, allowed: above 0")
    w, h = size
    if box and w is None and h is None:
        remarks.append(
            Remark("the drawing has no width and height: a unit of its viewBox counts as 1 px, 96 to the inch")
        )
        w, h = box[2], box[3]
    elif box:
        w, h = (h or 0) * box[2] / box[3] if w is None else w, (w or 0) * box[3] / box[2] if h is None else h
    elif h is None:
        remarks.append(Remark("the drawing has no height: Y counts from its top"))
    if not box and all(root.get(k, "").strip()[-1:].isdigit() or not root.get(k) for k in ("width", "height")):
        remarks.append(Remark("the drawing states no unit: its numbers count as px, 96 to the inch"))
    up = np.array([[PX, 0, 0], [0, -PX, PX * (h or 0.0)], [0, 0, 1]])
    if not box:
        return up, (w or 0.0, h or 0.0), remarks
    return up @ fit(box, w or 0.0, h or 0.0, root.get("preserveAspectRatio", "")), (box[2], box[3]), remarks
