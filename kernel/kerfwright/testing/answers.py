"""Asking a strategy: the promise is proved by its `__call__`; here that it has no memory, changes nothing, and owns its Z."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import attrs
import numpy as np
import shapely

from kerfwright.curve import Curve
from kerfwright.errors import BrokenPromise, NoRoom
from kerfwright.room import Room
from kerfwright.strategy import Strategy
from kerfwright.testing.questions import Question

__all__ = ["answers_of", "as_bytes"]

PLANAR = ("cover", "lead", "slotting")
"""Kinds that answer with curves and own no Z."""


def as_bytes(value: Any) -> bytes:
    """A value bit by bit, so that equal means the same to the last digit."""
    if isinstance(value, Curve):
        return b"C" + value.nodes.tobytes() + b"|" + value.turns.tobytes()
    if isinstance(value, np.ndarray):
        if value.dtype == object:
            return as_bytes(tuple(value.ravel().tolist()))
        return f"A{value.dtype}{value.shape}".encode() + value.tobytes()
    if isinstance(value, shapely.Geometry):
        return b"G" + bytes(shapely.to_wkb(value))
    if isinstance(value, Room):
        return b"R" + as_bytes((value.polygon, value.besides))
    if isinstance(value, (list, tuple)):
        return b"(" + b",".join(map(as_bytes, value)) + b")"
    if attrs.has(type(value)):
        return b"S" + as_bytes(tuple(getattr(value, a.name) for a in attrs.fields(type(value))))
    return repr(value).encode()


def answers_of(strategy: Strategy, asked: Sequence[Question]) -> Iterator[str]:
    """What is wrong with its answers, a sentence each, the first of each sort. It is asked three times:

    in order, backwards, and as a second object with the same parameters.
    """
    before = as_bytes(strategy)
    told: set[str] = set()
    first: dict[int, bytes] = {}
    for number, question in enumerate(asked):
        first[number], wrong = _ask(strategy, question)
        yield from _fresh(told, wrong, question)
    twin = attrs.evolve(strategy)
    for number in reversed(range(len(asked))):
        again, _ = _ask(strategy, asked[number])
        if again != first[number]:
            yield from _fresh(told, ["asked again it answers otherwise: it must be deterministic and keep no state"], asked[number])  # fmt: skip
        other, _ = _ask(twin, asked[number])
        if other != first[number]:
            yield from _fresh(told, ["a second object with the same parameters answers otherwise"], asked[number])
    if as_bytes(strategy) != before:
        yield "its fields are not what they were before it was asked"


def _fresh(told: set[str], wrong: Sequence[str], question: Question) -> Iterator[str]:
    for sentence in wrong:
        if sentence not in told:
            told.add(sentence)
            yield f"{sentence} ({question.label})"


def _ask(strategy: Strategy, question: Question) -> tuple[bytes, list[str]]:
    """The answer bit by bit, and what is wrong with it. NoRoom is an answer, said with its reason."""
    args = question.make()
    before, wrong = as_bytes(args), []
    answer: Any = None
    try:
        answer = strategy(*args)  # type: ignore[operator]
    except NoRoom as e:
        if not str(e).strip():
            wrong.append("it raises NoRoom without a reason")
        answer = f"NoRoom: {e}"
    except BrokenPromise as e:
        wrong.append(str(e))
    except Exception as e:  # a stranger's code may raise anything; that is what is looked for
        wrong.append(f"it raises {type(e).__name__}: {e}; where there is no room, NoRoom is the word")
    if as_bytes(args) != before:
        wrong.append("it changes what it was given")
    if answer is not None and not isinstance(answer, str):
        wrong += _owned(strategy.kind, args, answer)
    return as_bytes(answer), wrong


def _owned(kind: str, args: tuple[Any, ...], answer: Any) -> list[str]:
    """Rules of a kind that need the question, and that no single answer shows."""
    if kind in PLANAR:
        curves = [answer] if isinstance(answer, Curve) else list(answer)
        if any(np.any(c.nodes[:, 2]) for c in curves if len(c)):
            return ["it answers with another Z than 0: Z belongs to passes, entry and the lifts of bridges"]
        if any(not (np.isfinite(c.nodes).all() and np.isfinite(c.turns).all()) for c in curves):
            return ["its curves have numbers that are not finite"]
    if kind == "slotting":
        nodes = shapely.points(args[0].nodes[:, :2])
        if not shapely.dwithin(shapely.multipoints(answer.nodes[:, :2]), nodes, 1e-6).all():
            return ["it leaves out nodes of the loop"]
    if kind == "corners" and len(answer):
        nodes = shapely.multipoints(args[0].nodes[:, :2])
        if not shapely.dwithin(nodes, shapely.points(answer[:, :2]), 1e-6).all():
            return ["a relief begins beside the nodes of the loop"]
    if kind == "bridges" and any(not (b.width > 0 and b.thickness > 0 and b.slope > 0) for b in answer):
        return ["a bridge has no width, no thickness or no slope"]
    if kind == "cycle":
        down, up, rapid, dwell = answer.T
        if not np.isfinite(answer).all() or (up < down).any() or not np.isin(rapid, (0, 1)).all() or (dwell < 0).any():
            return ["a stroke goes down, then up by rapid (1) or feed (0), and its dwell is 0 or more"]
    return []
