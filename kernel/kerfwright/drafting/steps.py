"""What a draft does, in order: holes, then openings, then outlines; and what it leaves to the user."""

from __future__ import annotations

from attrs import Factory, define

from kerfwright.drafting.bridging import LINKED, Links, linked, roomless
from kerfwright.drafting.cutters import Tooling
from kerfwright.drafting.sorting import DUST, Doubt, Sorted
from kerfwright.drafting.wish import Wish
from kerfwright.drafting.wording import boxed, num, place_of, quoted, selecting
from kerfwright.registry import Registry

__all__ = ["Step", "Steps", "stepped"]


@define(frozen=True)
class Step:
    """An operation as YAML, with its comment. `asleep`: written as a comment, for the user to fill in."""

    text: str
    comment: str
    asleep: bool = False


@define(frozen=True)
class Steps:
    """Operations, selections that `ignore` lifts (text, comment), what each hole's row says, and odd things."""

    operations: tuple[Step, ...]
    ignored: tuple[tuple[str, str], ...] = ()
    done: tuple[str, ...] = ()
    words: tuple[str, ...] = Factory(tuple)


def stepped(found: Sorted, tooling: Tooling, wish: Wish, registry: Registry) -> Steps:
    """All operations of a draft."""
    operations: list[Step] = []
    ignored: list[tuple[str, str]] = []
    done: list[str] = []
    words: list[str] = []
    for layer in sorted({line.layer for line in found.drawing.lines}):
        n = sum(line.layer == layer for line in found.drawing.lines)
        comment = f"{n} open line(s): taken as marks, 0.2 mm deep: a guess from the layer's name"
        operations.append(Step(f"mark: {{cutter: mill, select: {{layer: {quoted(layer)}}}, depth: 0.2}}", comment))
        words.append(f"{n} open line(s) on layer {layer!r}: drafted as marks 0.2 mm deep")
    for hole in found.small:
        name = tooling.of.get(hole, "")
        select = selecting(found, hole.loops, hole)
        if not name:
            done.append("too small for every cutter of the tables: not made")
            ignored.append((select, f"{hole}: too small for every cutter of the tables"))
            words.append(f"{hole}: too small for every cutter of the tables: NOT MADE until you say a cutter for it")
            continue
        tool = tooling.tools[name].cutter
        if tool.form == "drill":
            told = f"drilled, {num(tool.diameter)} mm"
            text = f"drill: {{cutter: {name}, select: {select}}}"
        else:
            told = f"cleared to dust, {num(tool.diameter)} mm mill"
            text = f"pocket: {{cutter: {name}, select: {select}, depth: through}}"
        done.append(told)
        operations.append(Step(text, f"{hole}: {told}"))
    done += [
        "openings" if len(h.loops) > 1 else "an opening" for h in found.holes if set(h.loops) & set(found.openings)
    ]
    for doubt in found.doubts:
        operations += _asleep(found, doubt)
        ignored += _lifted(found, doubt)
    inner, outer = linked(wish, 30.0), linked(wish, 40.0)
    operations += _openings(found, tooling, inner, registry, words)
    operations.append(_profile("outer", outer, _n(len(found.outlines), "outline")))
    if outer is not None:
        for k in roomless(found, found.outlines, outer, tooling.mill.cutter.cuts, registry):
            where = place_of(found.drawing.loops[k])
            words.append(f"the outline with its {where} has no room for two bridges: hold the sheet by tape or vacuum")
    return Steps(tuple(operations), tuple(ignored), tuple(done), tuple(words))


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
        out.append(Step(text, f"{_n(len(small), 'opening')} cleared to dust: a slug would fly"))
    left = [k for k in rest if k not in none]
    if left:
        out.append(_profile("inner", links, _n(len(left), "opening")))
    return out


def _profile(which: str, links: Links | None, comment: str) -> Step:
    bridges = "" if links is None else f", bridges: {links}"
    return Step(f"profile: {{cutter: mill, select: {which}{bridges}}}", comment)


def _n(n: int, noun: str) -> str:
    return f"{n} {noun}{'' if n == 1 else 's'}"


def _asleep(found: Sorted, doubt: Doubt) -> list[Step]:
    """What the doubtful outlines could be, for the user to choose."""
    loop = found.drawing.loops[doubt.around]
    where = place_of(loop)
    one = selecting(found, [doubt.around])
    if doubt.kind == "mark":
        return [
            Step(f"mark: {{cutter: mill, select: {one}, depth: 0.2}}", f"a mark? layer {doubt.layer!r}, {where}", True)
        ]
    recess = f"pocket: {{cutter: mill, select: {one}, depth: FILL-IN}}"
    if len(doubt.loops) == 1:
        whose = f"layer {doubt.layer!r}, " if doubt.layer else ""
        return [Step(recess, f"a recess? {whose}{where}: fill in its depth in mm", True)]
    inner = f"profile: {{cutter: mill, select: {selecting(found, doubt.loops[1:])}, waste: inside}}"
    return [
        Step(recess, f"a recess with an opening in it? {where}: fill in its depth in mm", True),
        Step(inner, "  and the opening in it", True),
        Step(
            f"profile: {{cutter: mill, select: {boxed(loop)}}}", "  or an opening with a piece of its own in it?", True
        ),
    ]


def _lifted(found: Sorted, doubt: Doubt) -> list[tuple[str, str]]:
    loop = found.drawing.loops[doubt.around]
    n = len(doubt.loops) - 1
    more = f" and {_n(n, 'outline')} in it" if n else ""
    return [(selecting(found, [k]), f"NOT CUT until you decide: {place_of(loop)}{more}" if k == doubt.around else "")
            for k in doubt.loops]  # fmt: skip


def held_words(hold: str) -> str:
    """What holds pieces, for a comment."""
    return "bridges hold every piece" if hold in LINKED else "it must hold every piece by its area"
