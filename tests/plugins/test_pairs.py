"""Every pair of strategies that can meet is tried on a specimen, the whole way: proved clean, or refused as written here.

The pairs come from the registry. All nine specimens in all operations: `python tests/bench/pairs.py`, which takes long.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from kerfwright.registry import Registry
from kerfwright.strategy import Strategy
from kerfwright.testing import Outcome, Specimen, all_of_them, instance_of
from kerfwright.testing.meetings import Meeting, meetings

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
"""Specimens that a pair may get in the suite: a pocket with sixty islands takes two seconds, which the long run has."""

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


def once() -> Iterator[Any]:
    """Each pair in one of its operations, on one specimen."""
    pairs: dict[tuple[type[Strategy], type[Strategy]], list[Meeting]] = {}
    for meeting in meetings(REGISTRY):
        pairs.setdefault((meeting.first, meeting.second), []).append(meeting)
    for same in pairs.values():
        one = same[same[0].number // 7 % len(same)]
        quick = LOOPS if "trochoid" in (one.first.name, one.second.name) else QUICK[one.operation]
        specimen = quick[one.number // 77 % len(quick)]
        yield pytest.param(one, specimen, id=f"{one.first.name}-{one.second.name}-{one.operation}-{specimen}")


@pytest.mark.parametrize(("meeting", "specimen"), list(once()))
def test_a_pair_is_clean_or_refused_as_expected(meeting: Meeting, specimen: str) -> None:
    outcome = meeting.tried(SPECIMENS[specimen], made, REGISTRY)
    assert judged(meeting, specimen, outcome) == ""


def test_every_installed_strategy_meets_others() -> None:
    met = {s for m in meetings(REGISTRY) for s in (m.first, m.second)}
    assert met == set(REGISTRY.strategies.values())


def test_every_specimen_is_among_those_tried() -> None:
    assert {p.values[1] for p in once()} == set(SPECIMENS)
