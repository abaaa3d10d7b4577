"""`kerfwright resume` from outside: what is written where, what is told, and that nothing of the whole job is replaced."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kerfwright.shell import run

JOB = """\
job: peg
machine: light-router
sheet: {material: plywood, size: [60, 50], thickness: 3, breakthrough: 0.4, board: 12, hold: screws}
cutters:
  drill: {form: drill, diameter: 3, point_angle: 118, flute_length: 18}
  mill: {form: end_mill, flutes: up, diameter: 3.175, teeth: 2, flute_length: 17}
parts:
  - name: peg
    shapes:
      - rectangle: {corner: [0, 0], size: [24, 20]}
      - circle: {center: [12, 10], diameter: 3}
    at: [12, 12]
operations:
  - drill: {cutter: drill, select: inner}
  - profile: {cutter: mill, select: outer, bridges: {width: 1.2, thickness: 0.8, count: 2}}
"""


@pytest.fixture
def made(tmp_path: Path) -> Path:
    """The job file; its programs lie in out/peg beside it."""
    path = tmp_path / "peg.yaml"
    path.write_text(JOB)
    assert run(["make", str(path), "--out", str(tmp_path / "out")]) == 0
    return path


def call(job: Path, *more: str, program: str = "peg-2-mill.nc") -> int:
    folder = job.parent / "out"
    return run(["resume", str(folder / "peg" / program), "--job", str(job), "--out", str(folder), *more])


def test_the_remainder_has_a_folder_of_its_own(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = made.parent / "out" / "peg"
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    capsys.readouterr()
    assert call(made, "--at", "40") == 0
    told = capsys.readouterr().out
    own = folder / "peg-2-mill-from-line-40"
    assert {p.name for p in own.iterdir()} == {
        "peg-2-mill-from-line-40.nc", "peg-2-mill-from-line-40-walk-round.nc", "run-sheet.html", "picture.svg", "result.json",
    }  # fmt: skip
    assert {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()} == before
    assert "peg: remainder proved" in told
    assert "doubtful  peg, copy 1: it was being cut" in told
    data = json.loads((own / "result.json").read_text())
    assert data["resumed"]["at"] == 40
    assert data["ok"] is True


def test_json_is_one_line_with_the_pieces(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert call(made, "--at", "40", "--json") == 0
    (line,) = capsys.readouterr().out.splitlines()
    (piece,) = json.loads(line)["resumed"]["pieces"]
    assert (piece["name"], piece["copy"], piece["state"]) == ("peg", 1, "doubtful")


def test_what_ran_before_is_taken_as_it_lies_there(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A hole drilled too shallow by a hand-edited program: the sheet does not come out right, so no remainder."""
    folder = made.parent / "out" / "peg"
    assert call(made, "--at", "40") == 0
    drill = folder / "peg-1-drill.nc"
    text = drill.read_text()
    assert text.count(" Z-") == 1
    at = text.index(" Z-")
    drill.write_text(text[:at] + " Z-1.0" + text[text.index(" R", at) :])
    capsys.readouterr()
    assert call(made, "--at", "40") == 1
    told = capsys.readouterr()
    assert "NO REMAINDER" in told.out
    assert "not_through" in told.err
    own = {p.name for p in (folder / "peg-2-mill-from-line-40").iterdir()}
    assert own - {"finding-1.svg", "finding-2.svg"} == {"picture.svg", "result.json"}
    assert "finding-1.svg" in own


def test_a_missing_or_unknown_program_is_refused(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = made.parent / "out" / "peg"
    odd = folder / "odd.nc"
    odd.write_text((folder / "peg-2-mill.nc").read_text())
    assert call(made, "--at", "40", program="odd.nc") == 2
    assert "what ran before it is not known: say it with --before and --after" in capsys.readouterr().err
    assert call(made, "--at", "40", "--before", str(folder / "peg-1-drill.nc"), program="odd.nc") == 0
    (folder / "peg-1-drill.nc").unlink()
    capsys.readouterr()
    assert call(made, "--at", "40") == 2
    assert "peg-1-drill.nc: cannot be read" in capsys.readouterr().err


def test_a_refused_line_removes_what_was_released_for_it(made: Path) -> None:
    own = made.parent / "out" / "peg" / "peg-2-mill-from-line-40"
    assert call(made, "--at", "40") == 0
    made.write_text(JOB.replace("job: peg", "job: peg\nsheets: 3"))
    assert call(made, "--at", "40") == 2
    assert {p.name for p in own.iterdir()} == {"picture.svg", "result.json"}


def test_make_removes_remainders_of_earlier_programs(made: Path) -> None:
    assert call(made, "--at", "40") == 0
    assert run(["make", str(made), "--out", str(made.parent / "out")]) == 0
    own = made.parent / "out" / "peg" / "peg-2-mill-from-line-40"
    assert {p.name for p in own.iterdir()} == {"picture.svg", "result.json"}


REFUSED = [
    (["--at", "0"], "found line 0, allowed: 1 to"),
    (["--at", "9999"], "found line 9999, allowed: 1 to"),
    (["--at", "x"], "'x' is not a valid integer"),
    ([], "Missing option '--at'"),
    (["--at", "9", "--dialect", "no-such"], "found 'no-such', allowed: "),
    (["--at", "9", "--cutter", "spoon"], "found 'spoon', the job has drill, mill"),
]


@pytest.mark.parametrize(("more", "told"), REFUSED, ids=[" ".join(a) for a, _ in REFUSED])
def test_refusals(made: Path, more: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(made, *more) == 2
    assert told in capsys.readouterr().err


def test_a_walk_round_is_refused(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = [f"--before={made.parent}/out/peg/peg-1-drill.nc"]
    assert call(made, "--at", "9", *files, program="peg-walk-round.nc") == 2
    assert "nothing remains of it: run it again" in capsys.readouterr().err
