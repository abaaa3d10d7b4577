"""Chains to drawings: what is joined, what is told, what is refused and where."""

from __future__ import annotations

import math
import time

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kerfwright.curve import Curve
from kerfwright.errors import InputError
from kerfwright.outlines.outline import Chain, outlined


def lines(*points: tuple[float, float], layer: str = "") -> Chain:
    return Chain(Curve.line(np.array(points, float)), layer, "d")


def square(x: float, y: float, side: float, layer: str = "") -> Chain:
    return lines((x, y), (x + side, y), (x + side, y + side), (x, y + side), (x, y), layer=layer)


def messages(chains: list[Chain]) -> list[str]:
    with pytest.raises(InputError) as caught:
        outlined(chains, name="d")
    assert all(f.path == "d" for f in caught.value.faults)
    return [f.message for f in caught.value.faults]


def arc(a: tuple[float, float], b: tuple[float, float], turn: float) -> Chain:
    return Chain(Curve(np.array([(*a, 0.0), (*b, 0.0)]), np.array([turn])), "", "d")


REFUSED = {
    "unclosed": (
        [lines((0, 0), (10, 0), (10, 10), (0, 10), (0, 0.3))],
        ["an outline is not closed: open end at 0, 0, the nearest other open end lies 0.300 mm away at 0, 0.3; allowed: 0.1 mm"],
    ),
    "one line": (
        [lines((1, 2), (4, 6))],
        ["an outline is not closed: open end at 1, 2, the nearest other open end lies 5.000 mm away at 4, 6; allowed: 0.1 mm; a center line or the like: take it out of the drawing"],
    ),
    "branch": (
        [lines((0, 0), (5, 0)), lines((5, 0), (5, 5), (0, 0)), lines((5, 0), (9, 9), (0, 0))],
        ["3 ends meet at 0, 0; allowed: two (an outline does not branch)", "3 ends meet at 5, 0; allowed: two (an outline does not branch)"],
    ),
    "crossing itself": ([lines((0, 0), (10, 10), (10, 0), (0, 10), (0, 0))], ["an outline crosses itself at 5, 5"]),
    "touching itself": (
        [lines((0, 0), (4, 0), (5, 5), (6, 0), (10, 0), (10, 10), (5, 5), (0, 10), (0, 0))],
        ["an outline touches itself at 5, 5"],
    ),
    "no area": ([lines((3, 1), (9, 1), (6, 1), (3, 1))], ["an outline has no area, at 3, 1"]),
    "a speck": ([lines((3, 1), (3.0000005, 1))], ["an outline has no area, at 3, 1"]),
    "crossing": ([square(0, 0, 10), square(5, 5.5, 10)], ["two outlines cross at 10, 5.5"]),
    "touching at a corner": ([square(0, 0, 10), square(10, 10, 5)], ["two outlines touch at 10, 10"]),
    "touching from inside": ([square(0, 0, 10), square(0.001, 4, 2)], ["two outlines touch at 0, 6"]),
    "nothing": ([], ["found no outline, allowed: at least one closed outline"]),
    "not a number": ([lines((0, 0), (1, math.nan), (1, 1))], ["a coordinate is not a finite number"]),
    "infinite": ([lines((0, 0), (1, math.inf), (1, 1))], ["a coordinate is not a finite number"]),
    "out of the world": (
        [lines((0, 0), (2e5, 0), (0, 5), (0, 0))],
        ["a line reaches 200000, 0; allowed: 100000 mm from zero. Is the drawing's unit right?"],
    ),
    "all at once": (
        [lines((30, 30), (40, 30)), square(0, 0, 10), square(5, 5.5, 10), lines((50, 0), (60, 10), (60, 0), (50, 10), (50, 0))],
        [
            "an outline is not closed: open end at 30, 30, the nearest other open end lies 10.000 mm away at 40, 30; allowed: 0.1 mm; a center line or the like: take it out of the drawing",
            "an outline crosses itself at 55, 5",
            "two outlines cross at 10, 5.5",
        ],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("chains", "told"), REFUSED.values(), ids=REFUSED)
def test_what_is_refused_and_where(chains, told):
    assert messages(chains) == told


def test_circles_that_touch_in_one_point_are_told_with_the_point():
    touching = [Chain(Curve.circle(0, 0, 5), "", "d"), Chain(Curve.circle(10, 0, 5, start=0.3), "", "d")]
    assert messages(touching) == ["two outlines touch at 5, 0"]


def test_more_than_fifty_faults_are_counted():
    told = messages([lines((0, 3 * k), (1, 3 * k)) for k in range(60)])
    assert len(told) == 51
    assert told[-1] == "and 10 more of this kind"


GAPS = [(0.0, 0), (0.0005, 0), (0.015, 0), (0.0199, 0), (0.021, 1), (0.05, 1), (0.0999, 1)]


@pytest.mark.parametrize(("gap", "remarks"), GAPS)
def test_gaps_are_joined_silently_or_told(gap, remarks):
    """A square of 10 mm of which one corner gapes along X: the corner goes to the middle of the gap, and takes a triangle
    of gap/2 by 10 with it."""
    drawing = outlined([lines((gap, 0), (10, 0), (10, 10)), lines((0, 0), (0, 10), (10, 10))])
    assert len(drawing.remarks) == remarks
    assert drawing.loops[0].curve.signed_area == pytest.approx(100 - 10 * gap / 4, abs=1e-9)
    b = drawing.bounds
    assert np.abs(np.array(b) - [0, 0, 10, 10]).max() <= gap / 2 + 1e-12
    if remarks:
        assert drawing.remarks[0].message == f"a gap of {gap:.3f} mm closed at {round(gap / 2, 3):g}, 0"
        assert drawing.remarks[0].at == pytest.approx((gap / 2, 0))


def test_a_gap_beyond_the_limit_is_refused():
    assert "0.102 mm away" in messages([lines((0.102, 0), (10, 0), (10, 10)), lines((0, 0), (0, 10), (10, 10))])[0]


@pytest.mark.parametrize("turn", [0.5, 3.0, 5.5, 6.2])
def test_joining_moves_no_point_by_more_than_the_gap(turn):
    """An arc of nearly a full turn amplifies what its end is moved by, unless it is halved first."""
    r, gap = 20.0, 0.09
    a = np.array([0, turn])
    p = np.column_stack([r * np.cos(a), r * np.sin(a)])
    far = arc(tuple(p[0]), tuple(p[1]), turn)
    back = lines(tuple(p[1] * (1 + gap / r)), (0, 0), tuple(p[0] * (1 + gap / r)))
    drawing = outlined([far, back])
    assert len(drawing.remarks) == 2
    got = drawing.loops[0].curve.path(0.0001)
    for one in (far, back):
        there = shapely.points(shapely.get_coordinates(one.curve.path(0.0001)))
        assert shapely.distance(there, got).max() <= gap + 0.0002
    assert (np.abs(drawing.loops[0].curve.turns) > 0).sum() == (1 if turn < math.pi else 2)


TWICE = {
    "a line, backwards": ([square(0, 0, 10), lines((10, 10), (10, 0))], "1 line or arc drawn twice left out, the first at 10, 10", 1),
    "lines of one outline": ([lines((0, 0), (10, 0), (10, 10)), lines((10, 10), (0, 0)), lines((0, 0), (10, 0)), lines((0, 0), (10, 10))], "2 lines or arcs drawn twice left out, the first at 0, 0", 1),
    "a circle from another start": ([Chain(Curve.circle(5, 5, 3)), Chain(Curve.circle(5, 5, 3, start=1.0, turn=-2 * math.pi))], "1 outline drawn twice left out, the first at 6.621, 7.524", 1),
    "a circle on two layers": ([Chain(Curve.circle(5, 5, 3), "a"), Chain(Curve.circle(5, 5, 3, start=1.0), "b")], "1 outline drawn twice left out, the first at 6.621, 7.524; of their layers a, b the first drawn counts", 1),
    "no length": ([square(0, 0, 10), lines((3, 3), (3, 3))], "1 line of no length left out", 1),
    "a crumb": ([lines((0, 0), (10, 0)), lines((10.004, 0), (10.009, 0)), lines((10.013, 0), (10, 10), (0, 0))], "a line shorter than 0.02 mm left out at 10.006, 0", 1),
    "layers mixed": ([lines((0, 0), (10, 0), (10, 10), layer="a"), lines((10, 10), (0, 0), layer="b")], "the outline at 0, 0 has lines of the layers a, b; it counts as a, which has most of it", 1),
}  # fmt: skip


@pytest.mark.parametrize(("chains", "told", "count"), TWICE.values(), ids=TWICE)
def test_what_is_mended_is_told(chains, told, count):
    drawing = outlined(chains)
    assert [r.message for r in drawing.remarks] == [told]
    assert len(drawing.loops) == count


def test_repeated_nodes_inside_a_chain_go_silently():
    drawing = outlined([lines((0, 0), (10, 0), (10, 0), (10, 10), (0, 10), (0, 10), (0, 0))])
    assert drawing.remarks == ()
    assert len(drawing.loops[0].curve) == 4


def test_nesting_to_any_depth():
    """Fifteen squares in one another, shuffled, and a second nest beside: depth and parent by hand."""
    order = np.random.default_rng(3).permutation(15)
    drawing = outlined([square(k, k, 60 - 2 * k) for k in order.tolist()] + [square(100, 0, 9), square(103, 3, 2)])
    sizes = [60 - 2 * k for k in order.tolist()]
    for loop, k in zip(drawing.loops[:15], order.tolist(), strict=True):
        assert loop.depth == k
        assert loop.parent == (sizes.index(60 - 2 * (k - 1)) if k else -1)
    assert [(o.depth, o.parent) for o in drawing.loops[15:]] == [(0, -1), (1, 15)]


def test_a_narrow_ring_of_circles_is_nested_whatever_its_chords():
    """Walls of 0.003 mm: coarse chords of the outer circle would cut the inner one."""
    radii = [30.0 - 0.003 * k for k in range(6)]
    drawing = outlined([Chain(Curve.circle(0, 0, r, start=0.01 * k)) for k, r in enumerate(radii)])
    assert [o.depth for o in drawing.loops] == [0, 1, 2, 3, 4, 5]


def test_tangent_arcs_stay_arcs():
    """A slot of two lines and two half circles, each a chain of its own: width 6, centers 20 apart."""
    drawing = outlined(
        [
            lines((0, -3), (20, -3)),
            arc((20, 3), (20, -3), -math.pi),
            lines((0, 3), (20, 3)),
            arc((0, 3), (0, -3), math.pi),
        ]
    )
    c = drawing.loops[0].curve
    assert sorted(np.abs(c.turns).round(9).tolist()) == [0, 0, 3.141592654, 3.141592654]
    assert c.signed_area == pytest.approx(120 + 9 * math.pi, abs=1e-9)


def squares(count):
    """Four lines a square, shuffled."""
    sides = [lines(*[tuple(p) for p in square(3 * (k % 40), 3 * (k // 40), 2).curve.nodes[i : i + 2, :2]]) for k in range(count) for i in range(4)]  # fmt: skip
    return [sides[k] for k in np.random.default_rng(0).permutation(len(sides))]


def test_time_grows_as_the_drawing_does():
    """5,000 lines against 1,250: four times the work, not sixteen times. Best of three each, so that other work does not count."""
    best = {}
    for count in (312, 1250):
        sides, took = squares(count), []
        for _ in range(3):
            start = time.process_time()
            assert len(outlined(sides).loops) == count
            took.append(time.process_time() - start)
        best[count] = min(took)
    assert best[1250] < 9 * best[312]


@st.composite
def puzzles(draw):
    """Rounded polygons far apart, cut anywhere into pieces that are shuffled, some reversed."""
    seed = draw(st.integers(0, 2**32 - 1))
    rng = np.random.default_rng(seed)
    wholes, pieces = [], []
    for k in range(int(rng.integers(1, 5))):
        n = int(rng.integers(3, 9))
        angles = (np.arange(n) + rng.uniform(-0.3, 0.3, n)) * 2 * np.pi / n
        r = rng.uniform(6, 20, n)
        p = np.column_stack([60 * k + r * np.cos(angles), r * np.sin(angles), 0 * r])
        whole = Curve(np.vstack([p, p[:1]]), rng.choice([0.0, 0.0, 0.25, -0.2], n))
        if not whole.polygon().is_valid:
            continue
        wholes.append(whole)
        cuts = np.sort(rng.uniform(0, whole.length, int(rng.integers(0, 7))))
        cuts = cuts[np.diff(cuts, prepend=-1.0) > 0.3]
        cuts = cuts[cuts < whole.length - 0.3]
        edges = [0.0, *cuts[cuts > 0.3].tolist(), whole.length]
        for a, b in zip(edges, edges[1:], strict=False):
            piece = whole.between(a, b)
            pieces.append(Chain(piece.reversed() if rng.random() < 0.5 else piece))
    assume(wholes)
    return wholes, [pieces[i] for i in rng.permutation(len(pieces))]


@given(puzzles())
@settings(max_examples=80, deadline=None)
def test_pieces_come_back_as_the_outlines_they_were_cut_from(puzzle):
    """80 puzzles reach the comparison: one whose outlines all cross themselves is drawn anew."""
    wholes, pieces = puzzle
    drawing = outlined(pieces)
    assert drawing.remarks == ()
    got = sorted((o.curve.bounds, o.curve.signed_area) for o in drawing.loops)
    want = sorted((w.bounds, abs(w.signed_area)) for w in wholes)
    assert np.abs(np.array([g[0] for g in got]) - [w[0] for w in want]).max() < 1e-6
    assert np.abs(np.array([g[1] for g in got]) - [w[1] for w in want]).max() < 1e-5
