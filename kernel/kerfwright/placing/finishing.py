"""Allowances, spring passes and skins: what they may be, what nothing finishes, and an operation with a skin as two works."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import attrs

from kerfwright.operation import Operation, Pocket, Profile
from kerfwright.placing.choosing import Outline, described
from kerfwright.setup import Heights, Work

__all__ = ["finish_faults", "halved", "unfinished"]


def finish_faults(o: Operation, thick: float) -> Iterator[tuple[str, str]]:
    """Faults (key below the operation, message) of one operation in a sheet of `thick` mm (where it is thinnest)."""
    if not isinstance(o, Profile | Pocket):
        for key, found in (("allowance", not o.finishes), ("repeat", o.repeat > 0), ("skin", o.skin is not None)):
            if found:
                yield key, f"found it on a {o.kind}, allowed: on profile and pocket"
        return
    deep = thick if o.depth is None else o.depth
    if isinstance(o, Profile) and o.waste == "line" and o.allowance.side:
        yield (
            "allowance.side",
            f"found {o.allowance.side:g} mm on a cut on its line, which has no wall to finish, allowed: 0 mm",
        )
    if o.start < deep <= o.start + o.allowance.bottom:
        yield (
            "allowance.bottom",
            f"found {o.allowance.bottom:g} mm, allowed: below {deep - o.start:g} mm, what there is to cut",
        )
    if o.skin is None:
        return
    if o.depth is not None:
        yield "skin", f"found {o.skin:g} mm with a depth of {o.depth:g} mm, allowed: with depth `through`"
    elif not o.finishes:
        yield (
            "skin",
            f"found {o.skin:g} mm with an allowance, allowed: one of the two, a skin in the operation that finishes",
        )
    elif o.start < deep <= o.start + o.skin:
        yield "skin", f"found {o.skin:g} mm, allowed: below {deep - o.start:g} mm, what there is to cut"


def halved(works: Sequence[Work], heights: Heights) -> tuple[Work, ...]:
    """The works of a sheet; one with a skin as two, the second after all that have none: from the skin to the floor.

    Spring passes are of the first, while the skin still holds the piece.
    """
    first, last = [], []
    for work in works:
        skin = work.operation.skin
        start = heights.top - heights.underside - (skin or 0.0)
        faulty = any(finish_faults(work.operation, heights.top - heights.underside))
        if skin is None or faulty:  # which is told
            first.append(work)
            continue
        said = {"skin": None}
        above: Any = {"allowance": attrs.evolve(work.operation.allowance, bottom=skin), **said}
        below: Any = {"start": start, "repeat": 0, **said}
        passes = getattr(work.operation, "passes", None)
        if passes is not None:
            above["passes"] = passes.stretch(work.operation.start, start)
            below["passes"] = passes.stretch(start, heights.top - heights.floor)
        first.append(attrs.evolve(work, operation=attrs.evolve(work.operation, **above)))
        last.append(attrs.evolve(work, operation=attrs.evolve(work.operation, **below), last=True))
    return (*first, *last)


def unfinished(operations: Sequence[Operation], worked: Sequence[Sequence[Outline]]) -> list[str]:
    """Warnings of allowances that no later operation takes: an outline comes out too big, or a floor too high."""
    out = []
    for k, (o, on) in enumerate(zip(operations, worked, strict=True)):
        later = [(b, {one.key for one in found}) for b, found in zip(operations[k + 1 :], worked[k + 1 :])]
        for where, left, enough in (
            ("at the side", o.allowance.side, _side),
            ("at the bottom", o.allowance.bottom, _bottom),
        ):
            if not left:
                continue
            lost = [one for one in on if not any(one.key in keys and enough(o, b) for b, keys in later)]
            out += [
                f"operations[{k}].{o.kind} leaves {left:g} mm {where} that no later operation finishes: {text}"
                for text in described(lost)
            ]
    return out


def _deep(o: Operation) -> float:
    return float("inf") if o.depth is None else o.depth


def _side(rough: Operation, o: Operation) -> bool:
    """Whether an operation on the same outline takes what the rough one leaves at the side."""
    return not o.allowance.side and _deep(o) - o.allowance.bottom >= _deep(rough) - rough.allowance.bottom


def _bottom(rough: Operation, o: Operation) -> bool:
    """Whether an operation on the same outline takes what the rough one leaves at the bottom. Under a blind groove only a
    cut as wide does; under one that goes through what is left is waste.
    """
    if o.allowance.bottom or _deep(o) < _deep(rough):
        return False
    if isinstance(rough, Pocket):
        return isinstance(o, Pocket)
    wide = isinstance(o, Pocket) or o.cutter.cuts + o.allowance.side >= rough.cutter.cuts + rough.allowance.side - 1e-9
    return rough.depth is None or wide
