"""Through an SVG tree: which elements count, on which layer, through which transform."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from xml.etree.ElementTree import Element

import numpy as np
import shapely
from attrs import Factory, define, evolve, frozen

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.drawing import Remark
from kerfwright.errors import Fault
from kerfwright.outlines.chains import Chain, counted, place
from kerfwright_plugins.drawings.svg_shapes import SHAPES, shape_curves
from kerfwright_plugins.drawings.svg_style import INHERITED, Styles, local
from kerfwright_plugins.drawings.svg_view import fit, length, numbers, shift, transform

__all__ = ["DEEP", "Place", "Walk"]

MOST = 50_000
"""Elements drawn, counted each time they are used: nested `use` can multiply without end."""
DEEP = 100
"""Elements inside elements, uses followed."""
GROUPS = ("g", "a", "switch", "svg", "symbol")
PASSED = ("text", "image", "foreignObject", "video", "audio", "canvas", "iframe")
"""What shows on a page and is no outline; everything else that is not drawn needs no word."""


@frozen(eq=False)
class Place:
    """What an element gets from those around it."""

    matrix: Floats
    viewport: tuple[float, float]
    style: Mapping[str, str] = INHERITED
    label: str = ""
    group: str = ""
    uses: tuple[str, ...] = ()


def _label(e: Element) -> str:
    """A layer's name as drawing programs store it: an attribute `label` of whatever namespace."""
    return next((v for k, v in sorted(e.attrib.items()) if local(k) == "label"), "")


def _href(e: Element) -> str:
    return next((v for k, v in sorted(e.attrib.items()) if local(k) == "href"), "")


@define(eq=False)
class Walk:
    """Collects chains, remarks and faults. Layer: the nearest group's label, else the nearest group's id, else the
    element's own id."""

    name: str
    styles: Styles
    ids: Mapping[str, Element]
    chains: list[Chain] = Factory(list)
    faults: list[Fault] = Factory(list)
    passed: Counter[str] = Factory(Counter)

    def everything(self, root: Element, at: Place) -> None:
        """The outermost svg, whose viewport `at` is already."""
        if self._weight(root, {}, 0) > MOST:
            told = f"more than {MOST} elements, counted as often as used, or elements inside elements more than {DEEP} deep"
            self.faults.append(Fault(self.name, told))
            return
        self.element(root, at, inner=False)

    def _weight(self, e: Element, known: dict[Element, int], depth: int) -> int:
        """Elements in `e` with every `use` followed; each counted once, so that the count itself ends."""
        if depth > DEEP:
            return MOST + 1
        if e not in known:
            known[e] = 0  # what uses itself is told later, and adds nothing here
            total = 1 + sum(self._weight(child, known, depth + 1) for child in e)
            if local(e.tag) == "use":
                target = self.ids.get(_href(e)[1:])
                total += self._weight(target, known, depth + 1) if target is not None else 0
            known[e] = total
        return known[e]

    def element(self, e: Element, at: Place, inner: bool = True) -> None:
        """An element with all in it. `inner`: its own viewport is still to be set up (that of the outermost svg is)."""
        tag = local(e.tag)
        if tag in PASSED:
            self.passed[tag] += 1
        if (tag not in SHAPES and tag not in (*GROUPS, "use")) or (tag == "symbol" and not at.uses):
            return
        try:
            self._element(e, tag, at, inner)
        except (ValueError, ArithmeticError, np.linalg.LinAlgError) as wrong:
            self.faults.append(Fault(self.name, f"{tag}{self._named(e)}: {wrong}"))

    def _named(self, e: Element) -> str:
        return f" {e.get('id')!r}" if e.get("id") else ""

    def _element(self, e: Element, tag: str, at: Place, inner: bool) -> None:
        style = self.styles.of(e, at.style)
        if style.get("display") == "none":
            self.passed["not displayed"] += 1
            return
        for key in ("clip-path", "mask"):
            if style.get(key, "none") != "none":
                raise ValueError(f"found a {key}, which is not applied: cut the outline itself")
        m = at.matrix @ transform(e.get("transform", ""))
        at = evolve(at, matrix=m, style=style)
        if tag in SHAPES:
            self._shape(e, at)
        elif tag == "use":
            self._use(e, at)
        else:
            if tag == "g":
                at = evolve(at, label=_label(e) or at.label, group=e.get("id") or at.group)
            elif tag in ("svg", "symbol") and inner:
                at = _viewport(e, at)
            children = [c for c in e if tag != "switch" or c.get("requiredExtensions") is None]
            for child in children[:1] if tag == "switch" else children:
                self.element(child, at)

    def _use(self, e: Element, at: Place) -> None:
        href = _href(e)
        if not href.startswith("#"):
            raise ValueError(f"found a reference to {href[:60]!r}, allowed: to an id of this file")
        if href[1:] not in self.ids:
            raise ValueError(f"found a reference to {href!r}, which is not in this file")
        if href in at.uses:
            raise ValueError(f"{href} uses itself")
        w, h = at.viewport
        target = self.ids[href[1:]]
        if local(target.tag) in ("svg", "symbol"):
            target = _sized(target, e)
        matrix = at.matrix @ shift(length(e.get("x", "0"), w), length(e.get("y", "0"), h))
        self.element(target, evolve(at, matrix=matrix, uses=(*at.uses, href), group=e.get("id") or at.group))

    def _shape(self, e: Element, at: Place) -> None:
        style = at.style
        if style["visibility"] in ("hidden", "collapse"):
            self.passed["not visible"] += 1
            return
        if style["fill"] == "none" and style["stroke"] == "none":
            self.passed["neither filled nor stroked"] += 1
            return
        curves = shape_curves(e, at.matrix, at.viewport)
        if not curves:
            self.passed["of no size"] += 1
        if style["fill"] != "none" and style["fill-rule"] == "nonzero" and len(curves) > 1:
            self._rule(e, curves)
        layer = at.label or at.group or e.get("id", "")
        self.chains += [Chain(c, layer, self.name) for c in curves]

    def _rule(self, e: Element, curves: list[Curve]) -> None:
        """By the rule nonzero a subpath in another is a hole only where it turns the other way; a drawing's depth is even-odd.

        Where the two differ the drawing says two things at once, and is refused.
        """
        loops = [c for c in curves if c.closed and abs(c.signed_area) > 1e-6]
        areas = np.array([c.polygon() for c in loops], object)
        turns = np.sign([c.signed_area for c in loops])
        starts = shapely.points([c.start[:2] for c in loops])
        inside, around = shapely.STRtree(areas).query(starts, predicate="within") if loops else ([], [])
        outer = np.zeros(len(loops))
        other = np.asarray(inside) != np.asarray(around)
        np.add.at(outer, np.asarray(inside, int)[other], turns[np.asarray(around, int)[other]])
        for k in np.flatnonzero((outer != 0) == (outer + turns != 0)).tolist():
            self.faults.append(
                Fault(
                    self.name,
                    f"path{self._named(e)}: by its fill-rule nonzero the outline at {place(loops[k].start)} is filled on both "
                    "sides: it is no edge. Allowed: fill-rule evenodd, or the outline turned the other way",
                )
            )

    def remarks(self) -> list[Remark]:
        """What was passed over."""
        out = [Remark(f"{counted(n, 'element')} passed over: {why}") for why, n in sorted(self.passed.items())]
        if self.styles.odd:
            out.append(
                Remark(f"{counted(self.styles.odd, 'style rule')} passed over: only tag, .class and #id are read")
            )
        return out


def _sized(target: Element, use: Element) -> Element:
    """A symbol with the width and height its `use` gives it."""
    copy = Element(target.tag, {**target.attrib, **{k: use.attrib[k] for k in ("width", "height") if k in use.attrib}})
    copy.extend(list(target))
    return copy


def _viewport(e: Element, at: Place) -> Place:
    """A viewport inside another."""
    w, h = at.viewport
    here = local(e.tag) == "svg"
    matrix = at.matrix @ shift(length(e.get("x", "0"), w), length(e.get("y", "0"), h)) if here else at.matrix
    size = length(e.get("width", "100%"), w), length(e.get("height", "100%"), h)
    box = numbers(e.get("viewBox", ""))
    if not box:
        return evolve(at, matrix=matrix, viewport=size)
    if len(box) != 4 or min(box[2:]) <= 0 or min(size) <= 0:
        raise ValueError(
            f"viewBox: found {e.get('viewBox')!r}, allowed: x y width height, in a viewport that has a size"
        )
    return evolve(at, matrix=matrix @ fit(box, *size, e.get("preserveAspectRatio", "")), viewport=(box[2], box[3]))
