"""A stopped program taken up again: whole, safe, and never guessed. Jobs are small; all of them are made and proved first."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import pytest

import kerfwright as kw
from kerfwright.curve import Curve
from kerfwright.errors import CannotSay
from kerfwright.moves import Event, Moves
from kerfwright.program import Dwell, Motion, Note, Pause, SpindleOff, SpindleOn
from kerfwright.proof import reading_of
from kerfwright.result import ProgramText
from kerfwright.resultfile import result_json
from kerfwright.resuming.restart import restart
from kerfwright.resuming.steps import steps_of
from kerfwright.resumption import DOUBT, STATES
from kerfwright.setup import Heights

HEAD = """\
job: tag
machine: light-router
sheet: {material: plywood, size: [90, 50], thickness: 3, breakthrough: 0.4, board: 12, hold: %s}
"""
LINKED = """\
cutters:
  drill: {form: drill, diameter: 3, point_angle: 118, flute_length: 18}
  mill: {form: end_mill, flutes: up, diameter: 3.175, teeth: 2, flute_length: 17}
parts:
  - name: tag
    shapes:
      - rectangle: {corner: [0, 0], size: [24, 20], radius: 3}
      - circle: {center: [5, 5], diameter: 3}
      - circle: {center: [15, 11], diameter: 8}
        layer: seat
    at: [[12, 12], [48, 12]]
operations:
  - drill: {cutter: drill, select: {circles: 3}, cycle: peck}
  - pocket: {cutter: mill, select: {layer: seat}, depth: 1, radial_depth: 0.4}
  - profile: {cutter: mill, select: outer, bridges: {width: 1.2, thickness: 0.8, count: 2}}
"""
TAPED = """\
cutters:
  mill: {form: end_mill, flutes: up, diameter: 3.175, teeth: 2, flute_length: 17}
parts:
  - name: disc
    shapes:
      - circle: {center: [0, 0], diameter: 22}
    at: [[12, 12], [48, 12]]
operations:
  - profile: {cutter: mill, select: outer}
"""
JOBS = {"screws": HEAD % "screws" + LINKED, "tape": HEAD % "tape" + TAPED}


class Made:
    """A job, its programs, and a stop in one of them."""

    def __init__(self, text: str, registry: kw.Registry) -> None:
        self.registry = registry
        self.job = kw.load_job("-", registry, text=text)
        result = kw.make(self.job, registry)
        assert result.ok, result.findings
        self.programs = [p for p in result.programs if p.kind == "program"]
        self.heights = Heights.of(self.job.sheet, self.job.planes)

    def resume(self, k: int, at: int, text: str | None = None, **more: object) -> kw.Result:
        p = self.programs[k]
        said = {
            "file": p.file,
            "before": [(q.file, q.text) for q in self.programs[:k]],
            "after": [(q.file, q.text) for q in self.programs[k + 1 :]],
            "registry": self.registry,
            **more,
        }
        return kw.resume(self.job, text or p.text, at=at, **said)  # type: ignore[arg-type]

    def alike(self, p: ProgramText) -> Iterator[list[int]]:
        """Lines of a program that lead to one restart, in runs."""
        assert p.moves is not None
        found: dict[int, list[int]] = {}
        for line in range(1, p.lines + 1):
            found.setdefault(restart(p.moves, line, self.heights).first, []).append(line)
        yield from found.values()


@pytest.fixture(scope="module")
def registry() -> kw.Registry:
    return kw.Registry.load()


@pytest.fixture(scope="module")
def screws(registry: kw.Registry) -> Made:
    return Made(JOBS["screws"], registry)


@pytest.fixture(scope="module")
def tape(registry: kw.Registry) -> Made:
    return Made(JOBS["tape"], registry)


def errors(result: kw.Result) -> list[str]:
    return [f"{f.check}: {f.message}" for f in result.findings if f.severity == "error"]


def remainder(result: kw.Result) -> ProgramText:
    (one,) = (p for p in result.programs if p.kind == "program")
    return one


def test_every_line_leads_to_a_remainder_that_finishes_the_sheet(screws: Made) -> None:
    """All lines lead to few restarts. Of each the first, the middle and the last line are proved whole: checks, stock carried over."""
    lines = proved = 0
    for k, p in enumerate(screws.programs):
        assert p.moves is not None
        for run in screws.alike(p):
            lines += len(run)
            for line in {run[0], run[len(run) // 2], run[-1]}:
                result = screws.resume(k, line)
                assert result.ok, (p.file, line, errors(result))
                first = restart(p.moves, line, screws.heights).first
                again = remainder(result).moves
                assert again is not None
                n = len(p.moves.curve) - first
                # the rest of the text, move by move, as it was; and before it only the way to its first place
                assert np.abs(again.curve.nodes[-n - 1 :] - p.moves.curve.nodes[first:]).max() < 0.002
                assert (again.feeds[-n:] == p.moves.feeds[first:]).all()
                assert len(again.curve) - n <= 2
                proved += 1
    assert lines == sum(p.lines for p in screws.programs)
    assert proved >= 16, f"{lines} lines, {proved} of them proved"


def test_a_remainder_never_begins_in_material_and_goes_back_far_enough(screws: Made, tape: Made) -> None:
    asked = 0
    for made in (screws, tape):
        for p in made.programs:
            m = p.moves
            assert m is not None
            z = m.curve.nodes[:, 2]
            for line in range(1, p.lines + 1):
                begin = restart(m, line, made.heights)
                k = int(np.searchsorted(m.lines, line))
                assert z[begin.first] >= made.heights.travel - 0.002
                cut = (m.feeds[begin.first : k] > 0) & (np.fmin(z[begin.first : k], z[begin.first + 1 : k + 1]) < 0)
                back = float(m.curve.lengths_3d[begin.first : k][cut].sum())
                earlier = (m.feeds[: begin.first] > 0).any()
                assert back >= DOUBT or not earlier, (p.file, line, back)
                asked += 1
    assert asked >= 300


def test_what_was_not_yet_cut_is_missed_without_the_remainder(screws: Made) -> None:
    """The proof of a remainder can fail: with a remainder that begins a dive too late something is left."""
    p = screws.programs[1]
    runs = list(screws.alike(p))
    assert p.moves is not None
    late = restart(p.moves, runs[-1][0], screws.heights)
    cut = p.moves.lines[late.first]
    # the same text with the lines of its first dives lost, as a hand may lose them
    keep = p.text.splitlines(keepends=True)
    head = next(i for i, text in enumerate(keep) if text.startswith("G0 Z"))
    text = "".join([*keep[: head + 1], "G0 Z8.000\n", *keep[int(cut) - 2 :]])
    result = screws.resume(1, len(text.splitlines()) - 5, text=text)
    assert not result.ok
    assert any(e.startswith(("leftover", "not_through", "bridge")) for e in errors(result)), errors(result)


def test_pieces_go_from_untouched_over_doubtful_to_finished(screws: Made) -> None:
    seen: dict[int, list[str]] = {1: [], 2: []}
    for k, p in enumerate(screws.programs):
        for run in screws.alike(p):
            for line in (run[0], run[-1]):
                resumed = screws.resume(k, line).resumed
                assert resumed is not None
                for piece in resumed.pieces:
                    seen[piece.copy].append(piece.state)
    for states in seen.values():
        rank = [STATES[::-1].index(s) for s in states]
        turned = [(a, b) for a, b in pairwise(rank) if b < a]
        assert not turned, states
        assert "doubtful" in states
    assert any("finished" in states for states in seen.values()), seen
    assert any("untouched" in states for states in seen.values()), seen


def test_a_piece_that_is_free_is_not_cut_along_again(tape: Made) -> None:
    """Two discs, each free with the last move around it: near the end of each the remainder is refused, else made."""
    (p,) = tape.programs
    outcome = []
    for run in tape.alike(p):
        for line in (run[0], run[-1]):
            result = tape.resume(0, line)
            outcome.append((line, result.ok))
            assert result.ok or all(e.startswith("moved: ") for e in errors(result))
            assert result.resumed is not None
            if result.ok and line > p.lines / 2:
                assert result.resumed.pieces[0].state == "finished" or result.resumed.pieces[1].state == "finished"
    refused = [line for line, ok in outcome if not ok]
    assert refused
    assert p.lines in refused
    assert outcome[0][1]
    assert any(ok for line, ok in outcome if line > refused[0])


def test_line_and_file_are_named_and_the_digest_is_that_of_the_text(screws: Made) -> None:
    p = screws.programs[1]
    result = screws.resume(1, 40)
    data = json.loads(result_json(result))["resumed"]
    assert (data["program"], data["at"], data["sha256"]) == (p.file, 40, p.sha256)
    assert [q.file for q in result.programs] == [
        "tag-2-mill-from-line-40-walk-round.nc",
        "tag-2-mill-from-line-40.nc",
    ]
    assert {q["state"] for q in data["pieces"]} <= set(STATES)


def test_a_remainder_is_the_same_every_time(screws: Made) -> None:
    assert result_json(screws.resume(1, 60)) == result_json(screws.resume(1, 60))


def test_a_remainder_can_be_resumed_after_what_was_cut(screws: Made) -> None:
    """The second stop: the first program up to its stop is not a file, so the line is named in the first program again."""
    first, later = screws.resume(1, 40), screws.resume(1, 90)
    assert first.ok
    assert later.ok


REFUSED = [
    (0, {}, "found line 0, allowed: 1 to {n}, the lines of the file"),
    (-3, {}, "found line -3, allowed: 1 to {n}, the lines of the file"),
    (10_000, {}, "found line 10000, allowed: 1 to {n}, the lines of the file"),
    (30, {"cutter": "spoon"}, "--cutter: found 'spoon', the job has drill, mill"),
    (30, {"sheet": 2}, "sheet: found 2, the job has 1"),
]


@pytest.mark.parametrize(("line", "more", "told"), REFUSED, ids=[t for _, _, t in REFUSED])
def test_wrong_input_is_refused(screws: Made, line: int, more: dict[str, object], told: str) -> None:
    with pytest.raises(kw.InputError) as e:
        screws.resume(1, line, **more)
    assert told.format(n=screws.programs[1].lines) in str(e.value)


EDITED = [
    (
        "coolant",
        ("G0 Z8.000\n", "M8\nG0 Z8.000\n"),
        30,
        None,
        "",
    ),  # before the restart: off again at the stop, and told below
    ("unknown word", ("G61\n", "G61\nG33 X1\n"), 60, "reading", ""),
    ("no end", ("M2\n", ""), 60, None, ""),  # the remainder has its own, and all cuts are there
    ("cut off", ("G0 Z8.000\nM5\nG4 P10.000\nM2\n", ""), 60, "end", "ends at Z"),
    ("spindle runs on", ("M5\n", ""), 60, "end", "does not stop the spindle"),
    ("too deep", ("Z-1.000", "Z-9.000"), 200, "too_deep", ""),
]


@pytest.mark.parametrize(("_name", "edit", "line", "check", "told"), EDITED, ids=[e[0] for e in EDITED])
def test_texts_edited_by_hand(
    screws: Made, _name: str, edit: tuple[str, str], line: int, check: str | None, told: str
) -> None:
    text = screws.programs[1].text
    assert edit[0] in text
    text = text.replace(*edit) if check == "too_deep" else text.replace(*edit, 1)
    result = screws.resume(1, min(line, text.count("\n")), text=text)
    if check is None:
        assert result.ok, errors(result)
        return
    assert not result.ok
    assert any(e.startswith(f"{check}: ") and told in e for e in errors(result)), errors(result)


def test_without_a_t_word_the_cutter_must_be_named(screws: Made) -> None:
    text = screws.programs[1].text.replace("T2\n", "", 1)
    with pytest.raises(kw.InputError, match="the text has no T word, the job has T1 drill, T2 mill: name the cutter"):
        screws.resume(1, 60, text=text)
    assert screws.resume(1, 60, text=text, cutter="mill").ok


def _moves(*events: Event) -> Moves:
    """Three moves above the sheet, and what the text says between them."""
    n = np.array([[0, 0, 9], [5, 0, 9], [5, 5, 9], [0, 5, 9]], float)
    return Moves(Curve(n, np.zeros(3)), np.zeros(3), np.arange(1, 4), np.zeros(3), np.ones(3, np.int64), events, 3)


def test_events_become_steps_in_their_order(screws: Made) -> None:
    moves = _moves(
        Event("units", "mm", 1, 0), Event("speed", 9000.0, 1, 0), Event("comment", "look", 2, 1), Event("pause", "look", 2, 1),
        Event("spindle", "clockwise", 2, 1), Event("dwell", 3.0, 2, 1), Event("dwell", 1.0, 2, 1), Event("dwell", 0.5, 3, 2),
        Event("coolant", "off", 3, 3), Event("spindle", "off", 3, 3), Event("dwell", 5.0, 3, 3), Event("comment", "done", 3, 3),
        Event("end", "", 3, 3),
    )  # fmt: skip
    steps = steps_of(moves, 0, screws.job.cutters["drill"], screws.job)
    assert [type(s) for s in steps] == [Motion, Pause, SpindleOn, Motion, Dwell, Motion, SpindleOff, Note]
    assert steps[1:3] == (Pause("look"), SpindleOn(9000.0, 4.0))
    assert steps[4] == Dwell(0.5)
    assert steps[6:] == (SpindleOff(5.0), Note("done"))


@pytest.mark.parametrize(
    ("event", "told"),
    [
        (Event("coolant", "on", 2, 1), "line 2: coolant on"),
        (Event("override", "off", 2, 1), "line 2: override off"),
        (Event("spindle", "counterclockwise", 2, 1), "line 2: spindle counterclockwise"),
        (Event("cutter", 7.0, 2, 1), "line 2: T7, which the job does not have"),
    ],
)
def test_what_no_step_stands_for_is_refused(screws: Made, event: Event, told: str) -> None:
    with pytest.raises(CannotSay, match=told):
        steps_of(_moves(event), 0, screws.job.cutters["drill"], screws.job)


CHANGED = """\
G21
G17 G90 G94
G40 G49 G80
G54 G61
T1 M6
M3 S8000
G4 P5
G0 Z8
X17 Y17
Z2
G1 Z-4.5 F60
G0 Z8
M5
G4 P6
T2 M6
M3 S24000
G4 P5
G0 Z8
X17 Y17
Z2
G1 Z-1 F60
X27
G0 Z8
M5
G4 P6
M2
"""


@pytest.mark.parametrize("line", [13, 14, 15, 16, 17])
def test_between_two_cutters_it_is_refused(screws: Made, line: int) -> None:
    with pytest.raises(kw.InputError) as e:
        kw.resume(screws.job, CHANGED, at=line, file="both.nc", registry=screws.registry)
    said = f"found line {line}, in the middle of a change of cutter, allowed: 12, the last move before it, or 18, the first after it"
    assert said in str(e.value)


def test_before_and_after_a_change_of_cutter_doubt_stays_with_one_cutter(screws: Made) -> None:
    moves = reading_of("both.nc", None, CHANGED, "nist6556", screws.job, screws.registry).moves
    assert moves is not None
    before, after = restart(moves, 12, screws.heights), restart(moves, 22, screws.heights)
    assert (moves.lines[before.first], moves.cutter[before.first]) == (10, 1)
    assert (moves.lines[after.first], moves.cutter[after.first]) == (20, 2)
