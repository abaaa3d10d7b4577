"""What is odd in a drawing besides what its reader told."""

from __future__ import annotations

from collections.abc import Sequence

from kerfwright.curve import Curve
from kerfwright.drafting.cutters import ENTERS, THIN, Tooling
from kerfwright.drafting.radii import Radius
from kerfwright.drafting.sorting import Sorted
from kerfwright.drafting.wording import num, one_line, place_of, spot

__all__ = ["limit_words", "odd"]

TINY_SIDE = 0.05
"""Lines and arcs shorter than this (mm) between longer ones are seldom meant (from memory)."""
TINY = 0.8
"""Outlines narrower than this (mm) are smaller than any cutter of the tables."""
LARGE, SMALL = 1000.0, 3.0
"""A drawing beyond these extents (mm) is likely in another unit than was taken (from memory)."""


def odd(found: Sorted, tooling: Tooling, radius: Radius | None) -> list[str]:
    """Each in a sentence, the reader's remarks first."""
    out = [one_line(r.message) for r in found.drawing.remarks]
    x0, y0, x1, y1 = found.drawing.bounds
    wide, high = x1 - x0, y1 - y0
    if max(wide, high) > LARGE or max(wide, high) < SMALL:
        out.append(f"it measures {num(wide)} x {num(high)} mm: is the unit right?")
    out += _tiny(found)
    for doubt in found.doubts:
        n, where = len(doubt.around), place_of(found.drawing.loops[doubt.around[0]])
        where += f" and {n - 1} more" if n > 1 else ""
        if doubt.kind == "nested":
            out.append(
                f"the outline with its {where} has others in it: a recess, or an opening with pieces? NOT CUT until you decide"
            )
        else:
            out.append(f"the layer {doubt.layer!r} sounds like a {doubt.kind} ({where}): NOT CUT until you decide")
    if len(found.outlines) == 1 and not found.openings and any(d.kind == "nested" for d in found.doubts):
        out.append("is the outermost outline the edge of a sheet or a page? Then take it out of the drawing")
    sharp = tooling.sharp
    if len(sharp.corners):
        n, at = len(sharp.corners), spot((float(sharp.corners[0, 0]), float(sharp.corners[0, 1])))
        out.append(
            f"{n} sharp inside corner{'' if n == 1 else 's'}, the first at {at}: no round cutter reaches them, each keeps a "
            f"radius of {num(tooling.mill.cutter.radius)} mm"
        )
    out += _unreached(tooling, radius)
    return [*out, *tooling.words]


def limit_words(tooling: Tooling, radius: Radius | None) -> str:
    """What limits the largest cutter."""
    if tooling.hole is not None:
        small = f"a hole of {num(tooling.hole.diameter)} mm that is milled asks for one {ENTERS:g} times smaller"
        if tooling.limit is None:
            return small
        return f"{small}; corners and gaps alone for {num(tooling.reaches)} mm, {_place_words(tooling, radius)}"
    if tooling.limit is None:
        return "nothing in the drawing asks for a smaller one"
    return _place_words(tooling, radius)


def _place_words(tooling: Tooling, radius: Radius | None) -> str:
    if tooling.limit is None:
        return ""
    if radius is not None and radius.limits(tooling.reaches):
        return f"inside radius {num(radius.radius)} mm at {spot(radius.at)}"
    return f"the tightest place, at {spot(tooling.limit.at)}"


def _unreached(tooling: Tooling, radius: Radius | None) -> list[str]:
    d = tooling.mill.cutter.diameter
    if tooling.missed is None:
        thin = f"the mill measures only {num(d)} mm: it breaks easily; {limit_words(tooling, radius)}"
        return [thin] if d < THIN else []
    by = f"{num(tooling.missed.by)} mm" if tooling.missed.by < 1e3 else "all"
    return [
        f"a cutter of {num(d)} mm does not reach {spot(tooling.missed.at)} ({by} stays): the largest that reaches everything "
        f"measures {num(tooling.largest)} mm, {limit_words(tooling, radius)}"
    ]


def _tiny(found: Sorted) -> list[str]:
    out = []
    for k, loop in enumerate(found.drawing.loops):
        x0, y0, x1, y1 = loop.curve.bounds
        if min(x1 - x0, y1 - y0) < TINY and k not in {i for h in found.small for i in h.loops}:
            out.append(f"an outline of {num(x1 - x0)} x {num(y1 - y0)} mm, {place_of(loop)}, is tiny")
    short = [p for loop in found.drawing.loops for p in _short(loop.curve)]
    if short:
        n = len(short)
        out.append(
            f"{n} line{'' if n == 1 else 's'} or arc{'' if n == 1 else 's'} shorter than {TINY_SIDE:g} mm, the first at {spot(short[0])}"
        )
    return out


def _short(curve: Curve) -> Sequence[tuple[float, float]]:
    """Segments far shorter than both neighbours: those of a fine curve are all alike."""
    n = len(curve)
    if n < 4:
        return []
    size = curve.lengths
    return [
        (float(curve.nodes[k, 0]), float(curve.nodes[k, 1]))
        for k in range(n)
        if size[k] < TINY_SIDE and min(size[k - 1], size[(k + 1) % n]) > 10 * TINY_SIDE
    ]
