"""What a draft does, in order: holes, then openings, then outlines; and what it leaves to the user."""

from __future__ import annotations

from attrs import define

from kerfwright.drafting.bridging import Links, linked, roomless
from kerfwright.drafting.cutters import Tooling
from kerfwright.drafting.doubts import kept, lifted, suggested
from kerfwright.drafting.sorting import DUST, Hole, Sorted
from kerfwright.drafting.step import Step, counted, profile
from kerfwright.drafting.wish import Wish
from kerfwright.drafting.wording import num, place_of, quoted, selecting
from kerfwright.registry import Registry

__all__ = ["Steps", "stepped"]

INNER, OUTER = 30.0, 40.0
"""From one bridge to the next, along openings and outlines (mm; common practice)."""


@define(frozen=True)
class Steps:
    """Operations, selections that `ignore` lifts (text, comment), how each hole of the table is made, and odd things."""

    operations: tuple[Step, ...]
    ignored: tuple[tuple[str, str], ...]
    done: tuple[tuple[Hole, str], ...]
    words: tuple[str, ...]
    to_do: tuple[str, ...]
    """What `make` will refuse as it stands."""


def stepped(found: Sorted, tooling: Tooling, wish: Wish, registry: Registry) -> Steps:
    """All operations of a draft: drills first, the mill of the outlines last, so that cutters change as seldom as can be."""
    words: list[str] = []
    ignored: list[tuple[str, str]] = []
    done: dict[Hole, str] = {}
    holes: list[tuple[int, Step]] = []
    for hole in found.holes:
        name = tooling.of.get(hole, "")
        if not set(hole.loops) & set(found.openings):
            done[hole], step = _hole(found, tooling, hole, name)
            holes += [] if step is None else [(_turn(tooling, name), step)]
        else:
            done[hole] = "openings" if len(hole.loops) > 1 else "an opening"
    for hole in tooling.unmade:
        ignored += [
            (selecting(found, [k], hole), f"{hole}: too small for every cutter of the tables") for k in hole.loops
        ]
        words.append(f"{hole}: too small for every cutter of the tables, NOT MADE until you name one")
    holes += [(len(tooling.tools), step) for step in _marks(found, words)]
    operations = [step for _, step in sorted(holes, key=lambda one: one[0])]
    inner, outer = linked(wish, INNER), linked(wish, OUTER)
    for doubt in found.doubts:
        operations += suggested(found, doubt, inner)
        ignored += lifted(found, doubt)
    ignored += kept(found)
    operations += _openings(found, tooling, inner, registry, words)
    operations.append(profile("outer", outer, counted(len(found.outlines), "outline")))
    tight = [] if outer is None else roomless(found, found.outlines, outer, tooling.mill.cutter.cuts, registry)
    to_do = [
        f"the outline with its {place_of(found.drawing.loops[k])} has no room for two bridges: hold it by tape or vacuum"
        for k in tight
    ]
    return Steps(tuple(operations), tuple(ignored), tuple(done.items()), tuple(words), tuple(to_do))


def _turn(tooling: Tooling, name: str) -> int:
    """When a cutter is due: as they stand in the job, the mill after the others."""
    return len(tooling.tools) + 1 if name == "mill" else list(tooling.tools).index(name)


def _hole(found: Sorted, tooling: Tooling, hole: Hole, name: str) -> tuple[str, Step | None]:
    if not name:
        return "too small for every cutter of the tables: NOT MADE", None
    tool, select = tooling.tools[name].cutter, selecting(found, hole.loops, hole)
    if tool.form == "drill":
        told = f"drilled, {num(tool.diameter)} mm"
        return told, Step(f"drill: {{cutter: {name}, select: {select}}}", f"{hole}: {told}")
    told = f"cleared to dust, {num(tool.diameter)} mm mill"
    return told, Step(f"pocket: {{cutter: {name}, select: {select}, depth: through}}", f"{hole}: {told}")


def _marks(found: Sorted, words: list[str]) -> list[Step]:
    """Open lines: a job that follows them nowhere does not load."""
    out = []
    for layer in sorted({line.layer for line in found.drawing.lines}):
        n = counted(sum(line.layer == layer for line in found.drawing.lines), "open line")
        words.append(f"{n} on layer {layer!r}: taken as a mark 0.2 mm deep, a guess from the layer's name")
        text = f"mark: {{cutter: mill, select: {{layer: {quoted(layer)}}}, depth: 0.2}}"
        out.append(Step(text, f"{n} taken as a mark: a guess from the layer's name"))
    return out


def _openings(found: Sorted, tooling: Tooling, links: Links | None, registry: Registry, words: list[str]) -> list[Step]:
    """Small ones, and those without room for bridges, cleared to dust; the others along their outline."""
    dust = {k for k in found.openings if found.areas[k] <= DUST}
    rest = tuple(k for k in found.openings if k not in dust)
    none = [] if links is None else roomless(found, rest, links, tooling.mill.cutter.cuts, registry)
    for k in none:
        where = place_of(found.drawing.loops[k])
        words.append(f"the opening with its {where} has no room for two bridges: all of it is cleared to dust")
    out = []
    small = sorted(dust | set(none))
    if small:
        text = f"pocket: {{cutter: mill, select: {selecting(found, small)}, depth: through}}"
        out.append(Step(text, f"{counted(len(small), 'opening')} cleared to dust: a slug would fly"))
    left = [k for k in rest if k not in none]
    if left:
        out.append(profile("inner", links, counted(len(left), "opening")))
    return out
