"""What a draft writes of outlines in doubt: suggestions as comments, and selections that `ignore` lifts.

What is lifted is passed over by the words `inner` and `outer` alone: a suggestion that wakes up needs no change there.
"""

from __future__ import annotations

from kerfwright.drafting.bridging import Links
from kerfwright.drafting.sorting import Doubt, Sorted
from kerfwright.drafting.step import Step, counted, profile
from kerfwright.drafting.wording import box_of, boxed, num, place_of, selecting
from kerfwright.selection import Choice

__all__ = ["kept", "lifted", "suggested"]


def _where(found: Sorted, doubt: Doubt) -> str:
    n = len(doubt.around) - 1
    layer = f"layer {doubt.layer!r}, " if doubt.layer else ""
    return layer + place_of(found.drawing.loops[doubt.around[0]]) + (f" and {n} more" if n else "")


def suggested(found: Sorted, doubt: Doubt, links: Links | None) -> list[Step]:
    """What the outlines could be, for the user to choose and to fill in."""
    one, where = selecting(found, doubt.around), _where(found, doubt)
    if doubt.kind == "mark":
        return [Step(f"mark: {{cutter: mill, select: {one}, depth: 0.2}}", f"a mark? {where}", True)]
    recess = f"pocket: {{cutter: mill, select: {one}, depth: FILL-IN}}"
    if not doubt.inner:
        return [Step(recess, f"a recess? {where}: fill in its depth in mm", True)]
    inner = selecting(found, doubt.inner)
    return [
        Step(recess, f"a recess with an opening in it? {where}: fill in its depth in mm", True),
        profile(f"{inner}, waste: inside", links, "and the opening in it", True),
        profile(
            boxed(found.drawing.loops[doubt.around[0]]), links, "or an opening with a piece of its own in it?", True
        ),
    ]


def lifted(found: Sorted, doubt: Doubt) -> list[tuple[str, str]]:
    """Selections for `ignore`, with comments: one where that lifts nothing else but holes, else outline by outline."""
    more = f" and {counted(len(doubt.inner), 'outline')} in it" if doubt.inner else ""
    told = f"NOT CUT until an operation names it: {_where(found, doubt)}{more}"
    whole = selecting(found, doubt.around)
    if not whole.startswith("[") and not doubt.inner:
        return [(whole, told)]
    box = Choice(within=box_of(found.drawing.loops[doubt.around[0]]))
    holes = {k for h in found.small for k in h.loops}  # operations name them: that they are lifted too does not matter
    if set(doubt.loops) <= found.selects(box) <= {*doubt.loops, *holes}:
        return [(boxed(found.drawing.loops[doubt.around[0]]), told)]
    return [(selecting(found, [k]), told if k == doubt.around[0] else "which goes with it") for k in doubt.loops]


def kept(found: Sorted) -> list[tuple[str, str]]:
    """Small holes at even depth, which the word `outer` would take for pieces: lifted, as operations name them."""
    loops = found.drawing.loops
    return [
        (
            f"{{circles: {num(h.diameter)}}}",
            "holes inside other outlines, made above by their diameter",
        )
        for h in found.small
        if any(loops[k].depth % 2 == 0 for k in h.loops)
    ]
