"""What is written reads back as what was meant, in every dialect and variation whose language has a reader.

Three steps, each with its own bound: what is read lies within half of the last digit of what the dialect says it will say (its
expansion); that lies as a path within 0.002 mm of the plan; inch and metric agree. Twenty-five programs each here; as many as the
environment variable KERFWRIGHT_PROGRAMS says in a long run.
"""

from __future__ import annotations

import importlib.util
import math
import os
from collections import Counter
from pathlib import Path

import attrs
import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from kerfwright.curve import Curve
from kerfwright.program import CutterChange, Drilling, Dwell, Motion, Note, Pause, Program, SpindleOff, SpindleOn
from kerfwright.registry import Registry
from kerfwright.text import reader_of


def beside(name):
    """A module of this folder."""
    spec = importlib.util.spec_from_file_location(name, Path(__file__).parent / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


properties, variations = beside("test_writing_properties"), beside("variations")
REGISTRY = Registry.load()
PROGRAMS = int(os.environ.get("KERFWRIGHT_PROGRAMS", "25"))
ALL = {name: one for name, one in variations.varied(REGISTRY).items() if one.traits.language in REGISTRY.readers}
HOLES = st.lists(st.tuples(st.integers(-9, 60), st.integers(-9, 60)), min_size=1, max_size=3, unique=True)
STROKES = st.sampled_from(
    [[[-1.0003, 2, 1, 0]], [[-1.2, 2, 1, 0.25]], [[-0.6, 2, 1, 0], [-1.3, 2, 1, 0.1]], [[-1, 1, 0, 0]], [[-2, 8, 1, 0]]]
)
SEGMENT = st.tuples(
    st.sampled_from([0.0, 0.002, 0.3, 3.0, 12.0, 40.0]),  # how long the chord is
    st.floats(0.2, 1),
    st.floats(-math.pi, math.pi),
    st.sampled_from([0.0, 0.0, 0.0, 0.0003, -1.3, 0.8]),
    st.sampled_from([0.0, 0.001, 0.3, 1.57, 2.2, math.pi, 4.0, 6.2]),
    st.sampled_from([-1, 1]),
    st.sampled_from([0, 1, -1]),
    st.sampled_from([0.0, 120.0, 600.0, 620.4]),
)
"""As the properties of writing have them, with more and wider arcs."""
PARTS = st.tuples(
    st.lists(SEGMENT, min_size=1, max_size=6),
    HOLES,
    STROKES,
    st.sampled_from([0.0, 0.2, 1.2345]),
    st.sampled_from(["", "look", "take the slugs (all) out"]),
)


def planned(parts):
    """A program: a random way, holes, a dwell, a stop, and the way once more."""
    segments, holes, strokes, wait, message = parts
    way = properties.motion_of(segments)
    up = lifted(way)
    there = np.array([[x + 0.25, y - 0.125] for x, y in holes], float)
    drill = Drilling(there, 8.0, 2.0, np.array(strokes, float), 85.0)
    pause = (SpindleOff(2.0), Pause(message), SpindleOn(9000.0, 1.5)) if message else ()
    mill = properties.MILL
    steps = (CutterChange(mill), SpindleOn(12000.0, 1.0), Note("a way"), way, up, Dwell(wait), drill, *pause)
    again = (way, lifted(way)) if message else ()
    return Program("specimen", "program", 1, mill, 8.0, (*steps, *again, SpindleOff(2.0)))


def lifted(way):
    """Straight up from its end."""
    x, y, z = way.curve.end
    return Motion(Curve.line([[x, y, z], [x, y, 60.0]]), np.array([4]), np.zeros(1))


def expected(dialect, program):
    """Rows that the text is to say: ends (n, 3), turns and feeds of what the dialect expands the program to."""
    out, here, known = [], (math.nan,) * 3, False
    for step in program.steps:
        known = known and not isinstance(step, Pause | CutterChange)
        if isinstance(step, Drilling):
            way = attrs.evolve(step, strokes=step.strokes * [1, 1, 1, 0]).expanded()
        elif isinstance(step, Motion):
            way = dialect.expansion(step)
        else:
            continue
        x, y, z = way.curve.start
        high = max(here[2], z) if known else z  # up, across, down; from an unknown place its height first
        out += [((*here[:2], high), 0.0, 0.0), ((x, y, high), 0.0, 0.0), ((x, y, z), 0.0, 0.0)]
        out += list(zip(way.curve.nodes[1:].tolist(), way.curve.turns.tolist(), way.feeds.tolist(), strict=True))
        here, known = way.curve.end, True
    return out


def merged(rows, digit):
    """Without moves that are nothing after rounding, and a rapid that only goes on up or down as one."""
    out = []
    for end, turn, feed in rows:
        q = np.rint(np.array(end) / digit)
        if out and np.array_equal(q, out[-1][0], equal_nan=True):
            continue
        x = out[-2:] if len(out) > 1 else []
        if feed == 0 and len(x) == 2 and out[-1][2] == 0 and np.array_equal(q[:2], out[-1][0][:2], equal_nan=True):
            before = out[-2][0]
            if (
                np.array_equal(before[:2], q[:2], equal_nan=True)
                and (q[2] - out[-1][0][2]) * (out[-1][0][2] - before[2]) > 0
            ):
                out.pop()
        out.append((q, turn, feed, np.array(end)))
    return out


def read_rows(dialect, moves):
    """The same of what was read; two segments of one line and one circle are one arc."""
    rows, last = [], None
    n = moves.curve.nodes[1:]
    for end, turn, feed, line in zip(n, moves.curve.turns, moves.feeds, moves.lines, strict=True):
        if turn and last == line and rows and rows[-1][1] * turn > 0:
            rows[-1] = (end.tolist(), rows[-1][1] + turn, feed)
        else:
            rows.append((end.tolist(), float(turn), float(feed)))
        last = line if turn else None
    return rows


def unit(dialect):
    return 25.4 if dialect.units == "inch" else 1.0


@pytest.mark.parametrize("name", ALL)
def test_read_back_as_expanded(name):
    """Each end within half of the last digit (of a quadrant's end: within 2.2, as its circle is rounded too), in order; its
    feed never faster and less than a digit slower; each arc's turn the way it was meant; waits, stops and speeds as they
    were. At least 25 programs, 300 ends and, where there are arcs, 25 arcs reach the assertions.
    """
    dialect = ALL[name]
    digit, reached = dialect.digit, Counter()
    slower = unit(dialect) / 10**dialect.feed_places

    @settings(max_examples=PROGRAMS, deadline=None, derandomize=True, database=None, phases=[Phase.generate])
    @given(PARTS)
    def prove(parts):
        program = planned(parts)
        moves = reader_of(dialect, REGISTRY).read(dialect.write(program))
        meant, said = merged(expected(dialect, program), digit), merged(read_rows(dialect, moves), digit)
        if dialect.quadrants == "single":
            along_quadrants(meant, said, digit, reached)
        else:
            assert len(meant) == len(said)
            for (_, turn, feed, end), (_, arc, speed, place) in zip(meant, said, strict=True):
                assert np.nanmax(np.abs(end - place), initial=0) <= 0.5 * digit + 1e-9
                assert np.array_equal(np.isnan(end), np.isnan(place))
                assert -1e-6 <= feed - speed < slower + 1e-6
                assert arc == 0 or abs(arc - turn) < 0.6
                reached["ends"] += 1
                reached["arcs"] += arc != 0
        waits = [float(e.value) for e in moves.events if e.kind == "dwell"]
        assert waits == pytest.approx(waited(program), abs=0.001)
        assert [e.value for e in moves.events if e.kind == "speed"] == [
            s.speed for s in program.steps if isinstance(s, SpindleOn)
        ]
        assert sum(e.kind == "pause" for e in moves.events) >= sum(isinstance(s, Pause) for s in program.steps)
        reached["programs"] += 1

    prove()
    print(name, "reached", dict(reached))
    assert reached["programs"] >= PROGRAMS
    assert reached["ends"] >= 300
    assert (reached["arcs"] >= 25) == dialect.arcs


def along_quadrants(meant, said, digit, reached):
    """Arcs came as quadrants: every end that was meant is there, in order, and all between lies on the arc that was meant."""
    k = 0
    for j, (_, turn, _, end) in enumerate(meant):
        first = k
        while k < len(said) and not np.nanmax(np.abs(end - said[k][3]), initial=0) <= 0.5 * digit + 1e-9:
            assert turn != 0 or first == k
            k += 1
        assert k < len(said), (end, said[first:])
        if turn:
            between = np.array([row[3] for row in said[first:k]]).reshape(-1, 3)
            near = properties.far(between, meant[j - 1][3], end, turn)[0] if len(between) else np.zeros(1)
            assert near.max() <= 2.2 * digit
            reached["arcs"] += 1
        reached["ends"] += 1
        k += 1
    assert k == len(said)


def waited(program):
    """Seconds of each wait, in order."""
    out = []
    for step in program.steps:
        if isinstance(step, SpindleOn):
            out.append(step.wake_s)
        elif isinstance(step, SpindleOff):
            out.append(step.run_down_s)
        elif isinstance(step, Dwell):
            out.append(step.seconds)
        elif isinstance(step, Drilling):
            out += [*step.strokes[:, 3].tolist()] * len(step.points)
    return [v for v in out if v]


@pytest.mark.parametrize("name", ALL)
def test_the_expansion_is_the_plan(name):
    """As a path: each part lies within 0.002 mm of the segment it comes from, and they meet. 25 motions, 100 parts each."""
    dialect, reached, fractions = ALL[name], Counter(), np.linspace(0, 1, 17)

    @settings(max_examples=PROGRAMS, deadline=None, derandomize=True, database=None, phases=[Phase.generate])
    @given(st.lists(SEGMENT, min_size=1, max_size=8))
    def prove(segments):
        motion = properties.motion_of(segments)
        parts = dialect.expansion(motion)
        assert parts.curve.start.tolist() == motion.curve.start.tolist()
        k = 0
        for a, b, turn in zip(motion.curve.nodes, motion.curve.nodes[1:], motion.curve.turns, strict=False):
            first = k
            while k == first or not np.array_equal(parts.curve.nodes[k], b):
                p, q = parts.curve.nodes[k], parts.curve.nodes[k + 1]
                points = (
                    p + fractions[:, None] * (q - p)
                    if not parts.curve.turns[k]
                    else arc_points(parts.curve, k, fractions)
                )
                near, rise = properties.far(points, a, b, turn)
                long = math.hypot(*(b - a)[:2])
                assert near.max() <= 0.002 + 1e-9 or long < 0.004
                assert np.abs(rise).max() <= 1e-6 + abs(b[2] - a[2]) * min(1.0, 0.004 / max(long, 1e-9))
                reached["parts"] += 1
                k += 1
        assert k == len(parts.curve)
        reached["motions"] += 1

    prove()
    print(name, "reached", dict(reached))
    assert reached["motions"] >= PROGRAMS
    assert reached["parts"] >= 100


def arc_points(curve, k, fractions):
    """Points of one arc, in closed form from its center."""
    a, turn = curve.nodes[k], curve.turns[k]
    center = curve.centers[k]
    angle = turn * fractions
    arm = a[:2] - center
    x = center[0] + np.cos(angle) * arm[0] - np.sin(angle) * arm[1]
    y = center[1] + np.sin(angle) * arm[0] + np.cos(angle) * arm[1]
    return np.column_stack([x, y, a[2] + fractions * (curve.nodes[k + 1, 2] - a[2])])


@pytest.mark.parametrize("name", ["nist6556", "iso6983", "iso4343"])
def test_a_long_program(name):
    """80,000 lines that move all axes, feeds changing: longer than what is read together. Each end within half a digit, each feed."""
    n, dialect = 80_000, ALL[name]
    rng = np.random.default_rng(4)
    nodes = np.column_stack([rng.uniform(-200, 200, (n + 1, 2)), rng.uniform(-3, 9, n + 1)])
    nodes[0, 2] = 9.0
    feeds = 300.0 + np.arange(n) // 7 % 90
    program = Program("long", "program", 1, properties.MILL, 8.0, (Motion(Curve.line(nodes), np.full(n, 2), feeds),))
    text = dialect.write(program)
    moves = reader_of(dialect, REGISTRY).read(text)
    assert len(text) > 2_000_000
    assert len(moves.curve) == n + 2
    assert np.abs(moves.curve.nodes[2:] - nodes).max() <= 0.0005 + 1e-9
    assert moves.feeds[2:].tolist() == feeds.tolist()
    assert (np.diff(moves.lines) > 0).all()


@pytest.mark.parametrize("name", sorted({one.name for one in ALL.values()}))
def test_inch_and_metric_agree(name):
    """The same program in both: last place of each stretch within half a digit of each, the same waits and speeds; lengths of
    all that is cut within a digit a segment. 25 programs each.
    """
    metric = REGISTRY.dialects[name]()
    inch, reached = attrs.evolve(metric, units="inch", decimals=5), Counter()

    @settings(max_examples=PROGRAMS, deadline=None, derandomize=True, database=None, phases=[Phase.generate])
    @given(PARTS)
    def prove(parts):
        program = planned(parts)
        a, b = (reader_of(d, REGISTRY).read(d.write(program)) for d in (metric, inch))
        assert np.abs(a.curve.end - b.curve.end).max() <= (metric.digit + inch.digit) / 2 + 1e-9
        for kind in ("dwell", "speed", "pause"):
            assert [e.value for e in a.events if e.kind == kind] == [e.value for e in b.events if e.kind == kind]
        cut = [float(np.nansum(m.curve.lengths_3d)) for m in (a, b)]
        assert cut[0] == pytest.approx(cut[1], abs=0.003 * max(len(a.curve), len(b.curve)))
        reached["programs"] += 1

    prove()
    assert reached["programs"] >= PROGRAMS
