"""What a draft writes of outlines in doubt: they are lifted from the job, with suggestions as comments."""

from __future__ import annotations

from kerfwright.drafting.bridging import Links
from kerfwright.drafting.sorting import Doubt, Sorted
from kerfwright.drafting.step import Step, counted, profile
from kerfwright.drafting.wording import box_of, boxed, place_of, selecting
from kerfwright.selection import Choice

__all__ = ["lifted", "suggested"]


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
    """Selections for `ignore`, with comments: one where that lifts nothing else, else outline by outline.

    Small holes inside are lifted too: the word `outer` would take one at even depth for a piece. What makes them names them.
    """
    more = f" and {counted(len(doubt.inner), 'outline')} in it" if doubt.inner else ""
    told = f"NOT CUT until you decide: {_where(found, doubt)}{more}"
    holes = {k for h in found.small for k in h.loops}
    inside = sorted(k for k in holes if found.drawing.loops[k].depth % 2 == 0 and _around(found, k) & set(doubt.around))
    need = (*doubt.loops, *inside)
    whole = selecting(found, doubt.around)
    if not whole.startswith("[") and len(need) == len(doubt.around):
        return [(whole, told)]
    box = Choice(within=box_of(found.drawing.loops[doubt.around[0]]))
    if set(need) <= found.selects(box) <= {*need, *holes}:
        return [(boxed(found.drawing.loops[doubt.around[0]]), told)]
    out = [(whole, told)] if not whole.startswith("[") else [(selecting(found, [k]), told) for k in doubt.around]
    out += [(selecting(found, [k]), "which goes with it") for k in doubt.inner]
    return out + [(selecting(found, [k]), "a hole in it, made above") for k in inside]


def _around(found: Sorted, k: int) -> set[int]:
    """All outlines around one."""
    out: set[int] = set()
    while (k := found.drawing.loops[k].parent) >= 0:
        out.add(k)
    return out
