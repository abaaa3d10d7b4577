"""Selections on one drawing of known outlines; what is told where a selection finds nothing or leaves something out."""

from __future__ import annotations

from typing import Any

import pytest

from kerfwright.placing.choosing import chosen, described, outlines, why_none

# A carrier plate of 100 x 60: four holes of 3.2, one of 5, a recess of 30 x 20 on its own layer with an island in it that has
# a hole of 2. And a washer: 20 and 8.
#   carrier 0 outer | 1-4 holes 3.2 | 5 hole 5 | 6 recess (depth 1) | 7 island (depth 2) | 8 hole 2 in the island (depth 3)
#   washer  0 outer | 1 inner


@pytest.fixture
def job(shop: Any) -> Any:
    carrier = shop.part(
        "carrier",
        shop.box(0, 0, 100, 60, "cut"),
        *(shop.hole(x, y, 3.2, "cut") for x in (5, 95) for y in (5, 55)),
        shop.hole(50, 50, 5.0, "cut"),
        shop.box(35, 15, 30, 20, "recess"),
        shop.box(45, 20, 10, 10, "recess"),
        shop.hole(50, 25, 2.0, "cut"),
    )
    washer = shop.part("washer", shop.hole(0, 0, 20.0), shop.hole(0, 0, 8.0), at=((150.0, 20.0),))
    return shop.job(parts=(carrier, washer))


CARRIER = [(0, k) for k in range(9)]
WASHER = [(1, 0), (1, 1)]

FOUND: list[tuple[list[dict[str, Any]], list[tuple[int, int]]]] = [
    ([{}], CARRIER + WASHER),
    ([{"nesting": "outer"}], [(0, 0), (0, 7), (1, 0)]),
    ([{"nesting": "inner"}], [(0, 1), (0, 2), (0, 3), (0, 4), (0, 5), (0, 6), (0, 8), (1, 1)]),
    ([{"circles": (3.2, 3.2)}], [(0, 1), (0, 2), (0, 3), (0, 4)]),
    ([{"circles": (3.209, 3.209)}], [(0, 1), (0, 2), (0, 3), (0, 4)]),
    ([{"circles": (3.0, 8.0)}], [(0, 1), (0, 2), (0, 3), (0, 4), (0, 5), (1, 1)]),
    ([{"circles": (1.0, 30.0), "nesting": "outer"}], [(1, 0)]),
    ([{"layer": "recess"}], [(0, 6), (0, 7)]),
    ([{"layer": ""}], WASHER),
    ([{"part": "washer"}], WASHER),
    ([{"within": (35.0, 15.0, 65.0, 35.0)}], [(0, 6), (0, 7), (0, 8)]),  # exactly the recess, and what is in it
    ([{"within": (35.1, 15.0, 65.0, 35.0)}], [(0, 7), (0, 8)]),
    ([{"within": (35.0, 15.1, 65.0, 35.0)}], [(0, 7), (0, 8)]),
    ([{"within": (35.0, 15.0, 64.9, 35.0)}], [(0, 7), (0, 8)]),
    ([{"within": (35.0, 15.0, 65.0, 34.9)}], [(0, 7), (0, 8)]),
    ([{"within": (-10.0, -10.0, 10.0, 10.0)}], [(0, 1), (1, 0), (1, 1)]),  # each part in its own drawing
    ([{"within": (0.0, 0.0, 50.0, 60.0), "circles": (3.2, 3.2)}], [(0, 1), (0, 2)]),
    ([{"layer": "recess"}, {"circles": (8.0, 8.0)}], [(0, 6), (0, 7), (1, 1)]),
]


@pytest.mark.parametrize(("choices", "expected"), FOUND, ids=[str(c) for c, _ in FOUND])
def test_found(shop: Any, job: Any, choices: Any, expected: Any) -> None:
    assert [o.key for o in chosen(shop.select(*choices), outlines(job))] == expected


def test_inner_skips_what_is_done_and_nothing_else_does(shop: Any, job: Any) -> None:
    done = {(0, k) for k in range(1, 6)} | {(1, 1)}
    there = outlines(job)
    assert [o.key for o in chosen(shop.inner, there, done)] == [(0, 6), (0, 8)]
    assert [o.key for o in chosen(shop.select({"circles": (3.2, 3.2)}), there, done)] == [(0, k) for k in range(1, 5)]


NOTHING = [
    ([{"circles": (3.0, 3.0)}], "matches nothing; the drawings have circles 1 x 2 mm, 4 x 3.2 mm, 1 x 5 mm, 1 x 8 mm, "
     "1 x 20 mm, nearest 3.2 mm"),
    ([{"circles": (3.22, 3.22)}], "matches nothing; the drawings have circles 1 x 2 mm, 4 x 3.2 mm, 1 x 5 mm, 1 x 8 mm, "
     "1 x 20 mm, nearest 3.2 mm"),
    ([{"circles": (9.0, 15.0)}], "matches nothing; the drawings have circles 1 x 2 mm, 4 x 3.2 mm, 1 x 5 mm, 1 x 8 mm, "
     "1 x 20 mm, nearest 8 mm"),
    ([{"layer": "reces"}], "matches nothing; the drawings have layers '', 'cut', 'recess', did you mean 'recess'"),
    ([{"part": "bracket"}], "matches nothing; the drawings have parts 'carrier', 'washer'"),
    ([{"layer": "recess"}, {"part": "washers"}], None),
    ([{"within": (200.0, 0.0, 300.0, 50.0)}], "matches nothing; the drawings have 3 outer outlines and 8 inner; outlines "
     "between (-10, -10) and (100, 60) of the drawings"),
    ([{"part": "wsher"}, {"layer": "cutt"}], "matches nothing; the drawings have parts 'carrier', 'washer', did you mean "
     "'washer'; layers '', 'cut', 'recess', did you mean 'cut'"),
]  # fmt: skip


@pytest.mark.parametrize(("choices", "message"), NOTHING, ids=[str(c) for c, _ in NOTHING])
def test_nothing_found_says_what_there_is(shop: Any, job: Any, choices: Any, message: Any) -> None:
    there, selection = outlines(job), shop.select(*choices)
    assert (why_none(selection, there) if not chosen(selection, there) else None) == message


def test_nothing_left_says_so(shop: Any, job: Any) -> None:
    there = outlines(job)
    done = {o.key for o in there}
    assert chosen(shop.inner, there, done) == []
    assert why_none(shop.inner, there, done) == (
        "'inner' matches nothing; the drawings have 8 inner outlines, all finished or pocketed before"
    )


def test_alike_outlines_are_told_together(job: Any) -> None:
    assert described(outlines(job)) == [
        "part 'carrier': outer outline of 100 x 60 mm on layer 'cut' at (0, 0)",
        "part 'carrier': 4 inner circles of 3.2 mm on layer 'cut' at (5, 5), (5, 55), (95, 5) and 1 more",
        "part 'carrier': inner circle of 5 mm on layer 'cut' at (50, 50)",
        "part 'carrier': inner outline of 30 x 20 mm on layer 'recess' at (35, 15)",
        "part 'carrier': outer outline of 10 x 10 mm on layer 'recess' at (45, 20)",
        "part 'carrier': inner circle of 2 mm on layer 'cut' at (50, 25)",
        "part 'washer': outer circle of 20 mm at (0, 0)",
        "part 'washer': inner circle of 8 mm at (0, 0)",
    ]


def test_finished_and_pocketed_are_skipped_in_a_job(shop: Any) -> None:
    """Drilled and pocketed outlines are not cut again by `inner`; a groove of a given depth finishes nothing."""
    plate = shop.part("plate", shop.box(0, 0, 80, 50), shop.hole(10, 10, 1.6), shop.box(20, 20, 10, 10, "recess"), shop.hole(60, 25, 9))  # fmt: skip
    groove = shop.profile(select=shop.select({"circles": (9.0, 9.0)}), depth=0.5)
    recess = shop.pocket(select=shop.select({"layer": "recess"}))
    job = shop.job(shop.drilling(select=shop.select({"circles": (1.6, 1.6)})), groove, recess, shop.profile(select=shop.inner), shop.profile(), parts=(plate,))  # fmt: skip
    assert [w.loops for w in shop.place(job).works] == [((0, 1),), ((0, 3),), ((0, 2),), ((0, 3),), ((0, 0),)]


def holes(s: Any, *diameters: float) -> Any:
    return s.part("plate", s.box(0, 0, 60, 40), *(s.hole(5 + 8 * k, 10, d) for k, d in enumerate(diameters)))


REFUSED = {
    "nothing found": (
        lambda s: s.job(s.drilling(select=s.select({"circles": (2.0, 2.0)}, text="circles: 2")), s.drilling(), s.profile()),
        ["operations[0].drill.select: 'circles: 2' matches nothing; the drawings have circles 1 x 1.6 mm"],
    ),
    "no circles at all": (
        lambda s: s.job(parts=(s.part("plate", s.box(0, 0, 60, 40)),)),
        ["operations[0].drill.select: 'circles' matches nothing; the drawings have 1 outer outline and 0 inner; no circles"],
    ),
    "holes forgotten": (
        lambda s: s.job(s.profile(), parts=(holes(s, 3.2, 3.2, 3.2, 3.2, 5.0),)),
        ["parts[0]: no operation works on part 'plate': 4 inner circles of 3.2 mm at (5, 10), (13, 10), (21, 10) and 1 more; "
         "allowed: select it, or `ignore`",
         "parts[0]: no operation works on part 'plate': inner circle of 5 mm at (37, 10); allowed: select it, or `ignore`"],
    ),
    "ignore finds nothing": (
        lambda s: s.job(ignore=s.select({"layer": "notes"}, text="layer: notes")),
        ["ignore: 'layer: notes' matches nothing; the drawings have layers ''"],
    ),
    "a hole of another size": (  # tolerance 0.1
        lambda s: s.job(parts=(holes(s, 1.6, 1.69, 1.71, 1.49),)),
        ["operations[0].drill.select: part 'plate': inner circle of 1.71 mm at (21, 10): not the hole of a drill of 1.6 mm, "
         "allowed: within 0.1 mm",
         "operations[0].drill.select: part 'plate': inner circle of 1.49 mm at (29, 10): not the hole of a drill of 1.6 mm, "
         "allowed: within 0.1 mm"],
    ),
    "a square hole": (
        lambda s: s.job(s.drilling(select=s.inner), s.profile(), parts=(s.part("plate", s.box(0, 0, 60, 40), s.box(5, 5, 1.6, 1.6)),)),
        ["operations[0].drill.select: part 'plate': inner outline of 1.6 x 1.6 mm at (5, 5): no circle, and a drill makes round "
         "holes"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_refused(shop: Any, case: str) -> None:
    job, expected = REFUSED[case]
    assert shop.faults(job(shop)) == expected


def test_ignore_lifts_the_rule(shop: Any) -> None:
    job = shop.job(shop.profile(), ignore=shop.select({"circles": (1.6, 1.6)}))
    assert [w.loops for w in shop.place(job).works] == [((0, 0),)]


def test_the_measured_diameter_counts_for_a_drill(shop: Any) -> None:
    import attrs

    drill = attrs.evolve(shop.drill, measured=1.75)
    job = shop.job(shop.drilling(cutter=drill), shop.profile(), cutters={"mill": shop.mill, "drill": drill})
    assert shop.faults(job) == [
        "operations[0].drill.select: part 'plate': inner circle of 1.6 mm at (10, 5): not the hole of a drill of 1.75 mm, "
        "allowed: within 0.1 mm"
    ]
