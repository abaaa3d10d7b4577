"""What is tried: one small program for each thing that dialects of one language may say in different ways."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from typing import Any

import numpy as np
from attrs import evolve, frozen

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.dialect import Dialect
from kerfwright.errors import CannotRead, CannotSay
from kerfwright.program import Dwell, Motion, Note, Pause, Program, Role, Step
from kerfwright.registry import Registry
from kerfwright.traits import Traits

__all__ = ["HIGH", "LOW", "WAIT_S", "Trial", "trials"]

HIGH, LOW = 20.0, 5.0
"""Heights of the moves (mm): the operator sets zero well above everything."""
FEED = 300.0
"""Slow enough to be watched (mm/min)."""
WAIT_S = 4.0
"""Long enough to be told from none, short enough to be waited for."""
NONE = Cutter(name="none", form="end_mill", diameter=1.0, flute_length=1.0)


@frozen
class Trial:
    """One program. `sets`: what a dialect of this language is varied by, by key, where the answer is yes."""

    name: str
    kind: str
    dialect: Dialect
    shows: str
    sets: dict[str, Any]
    text: str


def trials(registry: Registry) -> list[Trial]:
    """For each language that something reads, told in the words of the dialect that can be varied most.

    Raises CannotSay, CannotRead or ValueError where a program is not what it should be: the spindle stands, and nothing is
    lower than 5 mm above the zero that the operator sets.
    """
    widest: dict[str, type[Dialect]] = {}
    for cls in registry.dialects.values():
        language = cls().traits.language
        if language in registry.readers:
            known = widest.setdefault(language, cls)
            widest[language] = max((known, cls), key=_free)
    return [_proved(one, registry) for cls in widest.values() for one in _of(cls)]


def _free(cls: type[Dialect]) -> int:
    """How much of it data may vary; of equals `max` keeps the first."""
    return sum(_options(cls, key) != [] for key in cls.variations())


def _options(cls: type[Dialect], key: str) -> list[Any]:
    """What data may say of a key, what stands in the document first; nothing where it is fixed."""
    one = cls.variations().get(key)
    what = None if one is None else fields.spec(one)
    if one is None or what is None:
        return []
    every = list(what.options) if what.options else [True, False] if what.kind == "flag" else []
    return sorted(every, key=lambda v: v != one.default)


def _of(cls: type[Dialect]) -> Iterator[Trial]:
    plain = cls()
    language = plain.traits.language

    def made(name: str, kind: str, sets: dict[str, Any], shows: str, steps: Sequence[Step]) -> Iterator[Trial]:
        names = {key: one.name for key, one in cls.variations().items()}
        try:
            dialect = evolve(plain, **{names[key]: value for key, value in sets.items()})
            program = Program(f"{language}-{name}", "walk-round", 1, NONE, HIGH, tuple(steps))
            yield Trial(f"{language}-{name}", kind, dialect, shows, sets, dialect.write(program))
        except (ValueError, CannotSay):
            return  # what contradicts itself, or cannot be said, is not tried

    yield from made(
        "square", "square", {}, _SQUARE, [Note(_SQUARE), _way([(0, 0), (40, 0), (40, 30), (0, 30), (0, 0)])]
    )
    for sets, traits in _each(plain, "word.centers", "word.quadrants"):
        yield from made(f"arc-{traits.arc_centers}-{traits.quadrants}", "arc", sets, _ARC, [Note(_ARC), _arc(0.0)])
    flag = {"word.helices": True} if _options(cls, "word.helices") else {}
    if flag or plain.traits.helices:
        yield from made("helix", "helix", flag, _HELIX, [Note(_HELIX), _arc(HIGH - LOW)])
    there, back = _way([(0, 0), (10, 0)]), _way([(10, 0), (0, 0)])
    for sets, traits in _each(plain, "word.dwell_word", "word.dwell_unit"):
        name = f"dwell-{traits.dwell_word}-{traits.dwell_unit}"
        yield from made(name, "dwell", sets, _DWELL, [Note(_DWELL), there, Dwell(WAIT_S), back])
    yield from made("stop", "stop", {}, _STOP, [Note(_STOP), there, Pause("hearing test: go on"), back])


def _each(plain: Dialect, *keys: str) -> Iterator[tuple[dict[str, Any], Traits]]:
    """All that data may say of some keys together, and the traits of a text that is written so."""
    said = {key: _options(type(plain), key) for key in keys}
    there = [key for key in keys if said[key]]
    for values in product(*(said[key] for key in there)):
        sets = dict(zip(there, values, strict=True))
        try:
            yield sets, evolve(plain, **{plain.variations()[k].name: v for k, v in sets.items()}).traits
        except ValueError:  # they contradict one another
            continue


_SQUARE = "round a rectangle, 40 mm in X and 30 mm in Y, from zero to the right, back, left and front"
_ARC = "30 mm to the right and 5 mm back, then a quarter circle of 20 mm radius to X10 Y25, bulging away from zero"
_HELIX = "the same quarter circle, with Z going down from 20 to 5 mm along it"
_DWELL = "10 mm to the right, stand still for 4 seconds (over 20: stop it, answer no), 10 mm back to the left"
_STOP = "10 mm to the right, stop until you press start, 10 mm back to the left"


def _way(points: Sequence[tuple[float, float]]) -> Motion:
    nodes = np.array([(x, y, HIGH) for x, y in points])
    return _motion(Curve.line(nodes))


def _arc(down: float) -> Motion:
    """A quarter circle about (10, 5), so that a center said from zero is not the same as one from the start."""
    nodes = np.array([[0, 0, HIGH], [30, 5, HIGH], [10, 25, HIGH - down]])
    return _motion(Curve(nodes, np.array([0.0, np.pi / 2])))


def _motion(curve: Curve) -> Motion:
    n = len(curve)
    return Motion(curve, np.full(n, Role.NON_CONTACT, np.int64), np.full(n, FEED), np.zeros(n, np.int64))


def _proved(trial: Trial, registry: Registry) -> Trial:
    """Read back from its text: the spindle never starts, nothing goes low, and the way is as it was meant."""
    traits = trial.dialect.traits
    moves = registry.readers[traits.language](traits=traits).read(trial.text)
    z = moves.curve.nodes[1:, 2]
    if moves.spindle.any() or any(e.kind == "spindle" and e.value != "off" for e in moves.events):
        raise ValueError(f"{trial.name}: the spindle would start")
    if not np.isfinite(z[-1]) or np.nanmin(z) < LOW - 1e-6:
        raise CannotRead(0, "", f"{trial.name}: goes lower than {LOW:g} mm")
    return trial
