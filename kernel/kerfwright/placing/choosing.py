"""Which outlines an operation works on: the words of `select`, looked up in the drawings."""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from functools import cached_property

from attrs import define

from kerfwright.drawing import Line, Loop, RoundHole
from kerfwright.job import Job
from kerfwright.selection import Choice, Selection

__all__ = ["CIRCLE", "Outline", "chosen", "described", "follows", "outlines", "why_none"]

CIRCLE = 0.01
"""A circle counts as of a diameter within this (mm): drawings carry rounding, and no drill differs by so little."""

SLACK = 1e-6
"""Rounding of positions (mm)."""


@define(frozen=True, eq=False, slots=False)
class Outline:
    """One loop of one part as drawn; `key` is (part index, loop index)."""

    part: int
    name: str
    index: int
    loop: Loop

    @property
    def key(self) -> tuple[int, int]:
        """Names it in the job."""
        return self.part, self.index

    @property
    def inner(self) -> bool:
        """Odd nesting depth."""
        return self.loop.depth % 2 == 1

    @cached_property
    def circle(self) -> RoundHole | None:
        """What circle it is."""
        return self.loop.circle

    @property
    def place(self) -> str:
        """Center of a circle, else lower left corner, in the drawing's coordinates."""
        x, y = (self.circle.x, self.circle.y) if self.circle else self.loop.curve.bounds[:2]
        return f"({_n(x)}, {_n(y)})"

    @property
    def shape(self) -> tuple[str, str]:
        """What it is, in the singular: before and after the noun's ending."""
        kind = "inner" if self.inner else "outer"
        layer = f" on layer {self.loop.layer!r}" if self.loop.layer else ""
        if self.circle:
            return f"{kind} circle", f" of {self.circle.diameter:.4g} mm{layer}"
        x0, y0, x1, y1 = self.loop.curve.bounds
        return f"{kind} outline", f" of {_n(x1 - x0)} x {_n(y1 - y0)} mm{layer}"


def described(found: Iterable[Outline]) -> list[str]:
    """Outlines in words, those of one part and one shape together: `part 'plate': 60 inner circles of 3.2 mm at (5, 5),
    (15, 5), (25, 5) and 57 more`.
    """
    alike: dict[tuple[str, tuple[str, str]], list[str]] = {}
    for o in found:
        alike.setdefault((o.name, o.shape), []).append(o.place)
    out = []
    for (name, (noun, size)), places in alike.items():
        n, more = len(places), f" and {len(places) - 3} more" if len(places) > 3 else ""
        out.append(f"part {name!r}: {f'{n} {noun}s' if n > 1 else noun}{size} at {', '.join(places[:3])}{more}")
    return out


def outlines(job: Job) -> tuple[Outline, ...]:
    """All loops of all parts, once each, however many copies there are."""
    return tuple(
        Outline(p, part.name, k, loop) for p, part in enumerate(job.parts) for k, loop in enumerate(part.drawing.loops)
    )


def chosen(
    selection: Selection,
    among: Iterable[Outline],
    done: Collection[tuple[int, int]] = (),
    ignored: Collection[tuple[int, int]] = (),
) -> list[Outline]:
    """The outlines for which any of the choices holds. `done` are finished or pocketed, which `inner` skips; `ignored` are
    passed over by the sweeping words `outer`, `inner` and `all`, not by a choice that says more.
    """
    return [
        o
        for o in among
        if any(_holds(c, o, done) and not (o.key in ignored and _sweeping(c)) for c in selection.choices)
    ]


def follows(selection: Selection, part: str, line: Line) -> bool:
    """Whether a selection names an open line: by its layer, and by all else that it says."""
    x0, y0, x1, y1 = line.curve.bounds
    for c in selection.choices:
        within = (
            c.within is None or max(c.within[0] - x0, c.within[1] - y0, x1 - c.within[2], y1 - c.within[3]) <= SLACK
        )
        whole = c.nesting == "all" and c.circles is None and c.part in (None, part)
        if c.layer == line.layer and whole and within:
            return True
    return False


def _sweeping(choice: Choice) -> bool:
    return choice == Choice(nesting=choice.nesting)


def _holds(choice: Choice, o: Outline, done: Collection[tuple[int, int]]) -> bool:
    if choice.nesting != "all" and (choice.nesting == "inner") != o.inner:
        return False
    if choice.nesting == "inner" and o.key in done:
        return False
    if choice.part is not None and choice.part != o.name:
        return False
    if choice.layer is not None and choice.layer != o.loop.layer:
        return False
    if choice.within is not None:
        x0, y0, x1, y1 = choice.within
        a0, b0, a1, b1 = o.loop.curve.bounds
        if max(x0 - a0, y0 - b0, a1 - x1, b1 - y1) > SLACK:
            return False
    if choice.circles is not None:
        least, most = choice.circles
        return o.circle is not None and least - CIRCLE <= o.circle.diameter <= most + CIRCLE
    return True


def why_none(selection: Selection, among: Sequence[Outline], done: Collection[tuple[int, int]] = ()) -> str:
    """What there is, where a selection matches nothing."""
    told: list[str] = []
    for c in selection.choices:
        told += [t for t in _there_is(c, among, done) if t not in told]
    text = f"{selection.text!r} " if selection.text else ""
    return f"{text}matches nothing; the drawings have " + ("; ".join(told) or _count(len(among), "outline"))


def _there_is(choice: Choice, among: Sequence[Outline], done: Collection[tuple[int, int]]) -> list[str]:
    told = []
    inner = [o for o in among if o.inner]
    if choice.nesting == "inner" and inner and all(o.key in done for o in inner):
        told.append(f"{_count(len(inner), 'inner outline')}, all finished or pocketed before")
    elif choice.nesting != "all" or choice.within is not None:
        told.append(f"{_count(len(among) - len(inner), 'outer outline')} and {len(inner)} inner")
    if choice.circles is not None:
        told.append(_circles(choice.circles, among))
    if choice.layer is not None:
        told.append(_names("layer", choice.layer, [o.loop.layer for o in among]))
    if choice.part is not None:
        told.append(_names("part", choice.part, [o.name for o in among]))
    if choice.within is not None and among:
        b = [o.loop.curve.bounds for o in among]
        lo, hi = (min(v[0] for v in b), min(v[1] for v in b)), (max(v[2] for v in b), max(v[3] for v in b))
        told.append(f"outlines between ({_n(lo[0])}, {_n(lo[1])}) and ({_n(hi[0])}, {_n(hi[1])}) of the drawings")
    return told or [_count(len(among), "outline")]


def _circles(want: tuple[float, float], among: Sequence[Outline]) -> str:
    there = Counter(round(o.circle.diameter, 3) for o in among if o.circle)
    if not there:
        return "no circles"
    table = ", ".join(f"{n} x {d:g} mm" for d, n in sorted(there.items()))
    nearest = min(there, key=lambda d: (max(want[0] - d, d - want[1]), d))
    return f"circles {table}" + (f", nearest {nearest:g} mm" if len(there) > 1 else "")


def _names(what: str, want: str, found: Iterable[str]) -> str:
    there = sorted(set(found))
    near = difflib.get_close_matches(want, there, 1)
    return f"{what}s {', '.join(map(repr, there))}" + (f", did you mean {near[0]!r}" if near else "")


def _count(n: int, noun: str) -> str:
    return f"{n} {noun}{'' if n == 1 else 's'}"


def _n(v: float) -> str:
    return f"{round(v, 3) + 0.0:g}"
