"""Every pair of strategies that can meet is tried on a specimen, the whole way, in every operation: proved clean; and what is
refused, as written here.

The pairs come from the registry; a job here has as many of them as it can. Each alone, on all nine specimens:
`python tests/bench/pairs.py`, which takes long.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Any

import pytest
from attrs import frozen

from kerfwright.registry import Registry
from kerfwright.strategy import Strategy
from kerfwright.testing import Outcome, Specimen, all_of_them, instance_of, job_of, tried
from kerfwright.testing.meetings import Meeting, meetings
from kerfwright.testing.trials import TRIED

REGISTRY = Registry.load()
SPECIMENS = {s.name: s for s in all_of_them()}

PARAMETERS: dict[tuple[str, str], dict[str, Any]] = {
    ("layout", "grid"): {"columns": 2, "rows": 1, "gap": 10.0},
    ("route", "search"): {"effort": 0.1},
}
"""Where the defaults would try little; or where a library takes all the time it is given."""

HOLES = [(4.0 + 6 * i + side, 4.0 + 6 * j) for i in range(10) for j in range(6) for side in (-1.6, 1.6)]
POINTS: dict[tuple[str, str], list[tuple[float, float]]] = {
    ("profile", "plate"): [(31, 0), (31, 38), *HOLES],
    ("profile", "neck"): [(7, 0), (7, 14), (31, 0), (31, 14)],
    ("profile", "islands"): [(30, y) for k in range(6) for y in (5 * k, 60 - 5 * k)],
    ("profile", "comb"): [(15.5, 0), (0, 10), (31, 10)],
    ("profile", "spiral"): [(0, -16), (0, 16), (3, 0), (5, 0)],
    ("profile", "gear"): [(15, 0), (-15, 0), (4, 0), (-4, 0)],
    ("profile", "rib"): [(30, 4.5), (30, -2.1), (14, -1.14), (14, 2.86), (26, -0.62), (26, 2.98)],
    ("profile", "small"): [(0, 1.75), (1.5, 1.75)],
    ("profile", "star"): [(14.23, 1.54), (-13.9, 3.42)],
    ("pocket", "plate"): HOLES,
    ("pocket", "islands"): [(30, y) for k in (1, 3, 5) for y in (5 * k, 60 - 5 * k)],
    ("pocket", "gear"): [(4, 0), (-4, 0)],
    ("pocket", "rib"): [(14, -1.14), (14, 2.86), (26, -0.62), (26, 2.98)],
}
"""Where bridges at points stand, by operation and specimen, in the drawing's coordinates."""

NOTHING = "the pocket surrounds nothing that bridges could hold"
NO_HELIX = "no room: beside the start not even a helix of 0.1 mm radius fits"

REFUSED = [
    # kind and name of one strategy ("" for any), operation, specimens, part of the reason
    *[("bridges", name, "pocket", "neck comb spiral small star", NOTHING) for name in ("spacing", "count", "at")],
    ("bridges", "count", "profile", "gear small", "has room for 0 of 3 bridges 0.8 mm wide"),
    ("bridges", "count", "profile", "comb", "would hold it to itself"),
    ("bridges", "count", "pocket", "plate", "has room for 0 of 3 bridges 0.8 mm wide"),
    ("bridges", "count", "pocket", "rib", "bridges of what the cutter cannot go all around"),
    ("bridges", "at", "profile", "gear small", "mm of straight away from corners and radii under"),
    ("bridges", "at", "pocket", "plate", "mm of straight away from corners and radii under"),
    ("bridges", "at", "pocket", "rib", "bridges of what the cutter cannot go all around"),
    ("bridges", "spacing", "profile", "gear small", "has no room for two bridges 0.8 mm wide"),
    ("bridges", "spacing", "pocket", "plate", "has no room for two bridges 0.8 mm wide"),
    ("bridges", "spacing", "pocket", "rib", "bridges of what the cutter cannot go all around"),
    ("", "", "pocket", "small", "found a cutter of 2 mm, allowed: at most 1.48 mm"),
    ("entry", "helix", "profile", "spiral", NO_HELIX),
    ("entry", "helix", "pocket", "spiral", NO_HELIX),
]
"""What must be refused, and why: by hand. All else must come out clean."""

QUICK = {
    "profile": ("plate", "neck", "islands", "comb", "spiral", "gear", "rib", "small", "star"),
    "pocket": ("neck", "islands", "comb", "rib", "star", "neck", "islands", "comb", "small", "rib", "gear"),
    "drill": ("plate", "neck", "islands", "comb", "spiral", "rib", "small", "star"),
}
"""Specimens that a job may get in the suite: a pocket with sixty islands takes two seconds, which the long run has."""

LOOPS = ("neck", "small", "rib")
"""Specimens for kerfs in loops, of which a long outline takes seconds."""


def made(cls: type[Strategy], operation: str, specimen: Specimen) -> Strategy:
    """With defaults, examples, or what is said above."""
    said = PARAMETERS.get((cls.kind, cls.name))
    if (cls.kind, cls.name) == ("bridges", "at"):
        points = POINTS.get((operation, specimen.name), [])
        said = {"at": tuple((float(x), float(y)) for x, y in points)}
    return instance_of(cls) if said is None else cls(**said)


def expected(meeting: Meeting, specimen: str) -> tuple[str, str]:
    """The verdict there must be, and part of the reason."""
    names = {("", ""), *((s.kind, s.name) for s in (meeting.first, meeting.second))}
    for kind, name, operation, only, reason in REFUSED:
        if (kind, name) in names and operation == meeting.operation and specimen in only.split():
            return "refused", reason
    return "clean", ""


def judged(meeting: Meeting, specimen: str, outcome: Outcome) -> str:
    """'' where it came out as it must, else what happened and what should have."""
    verdict, reason = expected(meeting, specimen)
    if outcome.verdict == verdict and reason in outcome.reason:
        return ""
    return f"{outcome.verdict}: {outcome.reason}; expected: {verdict} {reason}"


@frozen
class Mixed:
    """One job: strategies of different kinds in one kind of operation, on a specimen."""

    operation: str
    strategies: tuple[type[Strategy], ...]
    number: int

    def __str__(self) -> str:
        return f"{self.operation}-{self.number}-{'-'.join(s.name for s in self.strategies)}"

    @property
    def pairs(self) -> set[frozenset[type[Strategy]]]:
        return {frozenset(two) for two in combinations(self.strategies, 2)}

    @property
    def specimen(self) -> str:
        """One of those on which all of them must come out clean."""
        quick = LOOPS if any(s.name == "trochoid" for s in self.strategies) else QUICK[self.operation]
        some = [name for name in quick if not any(refused(s, self.operation, name) for s in self.strategies)]
        return some[self.number % len(some)]


def refused(one: type[Strategy], operation: str, specimen: str) -> bool:
    """Whether the table refuses a strategy there."""
    return any(
        (kind, name) in (("", ""), (one.kind, one.name)) and on == operation and specimen in only.split()
        for kind, name, on, only, _ in REFUSED
    )


def mixed() -> Iterator[Mixed]:
    """Jobs in which every pair meets, in every operation where it can: to a pair that none of them had, one strategy more of
    another kind, the one that brings most further pairs, as long as one does.
    """
    number = 0
    for operation in TRIED:
        open_ = {frozenset((m.first, m.second)): m for m in meetings(REGISTRY) if m.operation == operation}
        kinds: dict[str, list[type[Strategy]]] = {}
        for one in dict.fromkeys(s for m in open_.values() for s in (m.first, m.second)):
            kinds.setdefault(one.kind, []).append(one)
        while open_:
            first = next(iter(open_.values()))
            chosen = [first.first, first.second]
            while True:
                rest = [s for kind in kinds if kind not in {c.kind for c in chosen} for s in kinds[kind]]
                brings = {s: sum(frozenset((s, c)) in open_ for c in chosen) for s in rest}
                best = max(rest, key=brings.__getitem__, default=None)
                if best is None or not brings[best]:
                    break
                chosen.append(best)
            job = Mixed(operation, tuple(chosen), number)
            number += 1
            for pair in job.pairs:
                open_.pop(pair, None)
            yield job


JOBS = list(mixed())


@pytest.mark.parametrize("job", JOBS, ids=str)
def test_all_that_meet_come_out_clean(job: Mixed) -> None:
    specimen = SPECIMENS[job.specimen]
    chosen = [made(one, job.operation, specimen) for one in job.strategies]
    cutmode = ("climb", "conventional")[job.number & 1]
    outcome = tried(job_of(specimen, job.operation, chosen, cutmode), REGISTRY)
    assert (outcome.verdict, outcome.reason) == ("clean", "")


@pytest.mark.parametrize(
    ("kind", "name", "operation", "specimen", "reason"),
    [(k, n, o, one, reason) for k, n, o, only, reason in REFUSED for one in only.split()],
)
def test_what_must_be_refused_is(kind: str, name: str, operation: str, specimen: str, reason: str) -> None:
    some = [REGISTRY.strategies[kind, name]] if name else []
    chosen = [made(one, operation, SPECIMENS[specimen]) for one in some]
    outcome = tried(job_of(SPECIMENS[specimen], operation, chosen), REGISTRY)
    assert outcome.verdict == "refused"
    assert reason in outcome.reason


def test_every_pair_meets_in_every_operation_where_it_can() -> None:
    met = {(job.operation, pair) for job in JOBS for pair in job.pairs}
    can = {(m.operation, frozenset((m.first, m.second))) for m in meetings(REGISTRY)}
    assert met >= can
    assert len(can) > 500


def test_every_installed_strategy_meets_others() -> None:
    met = {s for m in meetings(REGISTRY) for s in (m.first, m.second)}
    assert met == set(REGISTRY.strategies.values())


def test_every_specimen_is_among_those_tried() -> None:
    assert {job.specimen for job in JOBS} == set(SPECIMENS)
