"""Mistakes a shop makes: the exit code, and the place and the words that tell what is wrong and what is allowed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from by_hand import JOB

from kerfwright.shell import run

HOLE = "circle: {center: [0, 0], diameter: 12.5}"
INNER = "- profile: {cutter: mill, select: inner}"

EDITS = {
    # name: (text of the job, text instead of it, line and column of the message, parts of the message)
    "misspelt key": ("breakthrough", "breaktrough", "3:58", "sheet.breaktrough: found an unknown key|mean breakthrough?"),
    "misspelt name": ("acrylic", "acrilic", "3:19", "'acrilic'|acrylic, aluminium, cfrp, g10, gfrp, hdpe, mdf, plywood, pom|mean acrylic?"),
    "no such material": ("acrylic", "titanium", "3:19", "'titanium'|allowed: a material: acrylic"),
    "no such machine": ("light-router", "lite-router", "2:10", "'lite-router'|mean light-router?"),
    "no such hold": ("tape", "glue", "3:94", "'glue'|screws, tape, vacuum, frame"),
    "no length": ("thickness: 3", "thickness: 3 kg", "3:55", "'3 kg'|in mm, cm"),
    "decimal comma": ("thickness: 3", 'thickness: "3,0"', "3:55", "'3,0'|a number above 0"),
    "below zero": ("thickness: 3", "thickness: -3", "3:55", "found -3|above 0 and at most 50 mm"),
    "not a number": ("diameter: 30", "diameter: .nan", "9:44", "found .nan|a number above 0 mm"),
    "falling order": ("thickness: 3", "thickness: {nominal: 3, least: 3.2}", "3:55", "least 3.2|rising order"),
    "a speed for a feed": ("inner}", "inner, feed: 400 rpm}", "13:50", "'400 rpm'|mm/min"),
    "too fast": ("inner}", "inner, feed: 99999}", "13:50", "found 99999 mm/min|light-router feeds"),
    "too many turns": ("inner}", "inner, spindle: 90000}", "13:53", "90000 rpm|8000 to 24000 rpm"),
    "no such entry": ("inner}", "inner, entry: plunge}", "13:51", "'plunge'|toolaxis"),
    "no such cutter": ("mill, select: outer", "mil, select: outer", "14:23", "'mil'|one of the job's cutters: mill"),
    "cutter too thick": ("diameter: 12.5", "diameter: 2.5", "13:23", "circle of 2.500 mm|a cutter of 3 mm, allowed: at most"),
    "flutes too short": ("length: 12", "length: 2", "13:23", "flute_length of 2 mm is too short|3.4 mm deep"),
    "nut too low": ("h: 12}", "h: 12, holder: {diameter: 20, above: 2}}", "13:23", "holder.above of 2 mm is too short"),
    "deeper than the sheet": ("inner}", "inner, depth: 30}", "13:51", "found 30 mm|at most 3 mm|`through`"),
    "through the board": ("board: 12", "board: 0.1", "3:72", "found 0.4 mm|at most sheet.board, 0.1 mm"),
    "nothing holds it": ("tape", "screws", "14:14", "would come free under hold 'screws'|allowed: bridges"),
    "bridge above the sheet": ("outer}", "outer, bridges: {thickness: 5, width: 1}}", "14:65", "found 5 mm|the sheet's thickness"),
    "pieces overlap": ("[15, 15]", "[[5, 5], [25, 5]]", "11:18", "copy 2 at (25, 5)|copy 1 at (5, 5) overlap"),
    "off the sheet": ("[15, 15]", "[40, 15]", "11:9", "reaches 10 mm beyond its right edge|60 x 60 mm"),
    "over a screw": (
        "tape}",
        "tape, keepout: [{circle: {center: [15, 30], diameter: 10}, height: 4}]}",
        "11:9",
        "lies over sheet.keepout[0]",
    ),
    "across the grain": (
        "tape}",
        "tape, grain: {along: 45 deg, turns: [0, 180]}}",
        "7:5",
        "against the grain, allowed: 45, 225 deg",
    ),
    "selects nothing": ("select: inner", "select: {circles: 99}", "13:37", "matches nothing|1 x 12.5 mm|1 x 30 mm"),
    "no such layer": ("select: inner", "select: {layer: holes}", "13:37", "'{layer: holes}' matches nothing"),
    "forgotten outline": (f"  {INNER}\n", "", "7:5", "no operation works on part 'washer': inner circle of 12.5 mm"),
    "outlines cross": (HOLE, HOLE.replace("[0, 0]", "[12, 0]"), "10:9", "two outlines cross at 13.747, 6"),
    "outline is open": (HOLE, 'path: "M 0 0 L 5 5 L 5 0"', "10:9", "not closed: open end at 0, 0|5.000 mm away"),
    "half a path": (HOLE, 'path: "M 0 0 L 5 5 Q"', "10:15", "'Q' at character 13"),
    "mill for a drill": (INNER, INNER.replace("profile", "drill"), "13:21", "'mill'|form end_mill|form drill"),
    "sheet too long": ("[60, 60]", "[60 in, 60]", "3:34", "1524 mm in X|600 mm, the machine's travel"),
    "key twice": ("machine:", "job: x\nmachine:", "2:1", "job: found the key a second time, first in line 1"),
    "a tab": ("  mill", "\tmill", "5:1", "no YAML"),
    "a name for a file": ("job: washer", "job: ../washer", "1:6", "'../washer'|letters a to z"),
    "an alias": ("[15, 15]", "*a", "11:9", "found the alias *a|the value itself"),
    "a tag": ("thickness: 3", "thickness: !!python/name:os.system 3", "3:55", "plain data without tags"),
}  # fmt: skip


def told(text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """What `make` says of a job that must be refused."""
    path = tmp_path / "washer.yaml"
    path.write_text(text)
    assert run(["make", str(path), "--out", str(tmp_path / "out")]) == 2
    assert not (tmp_path / "out").exists()
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err


@pytest.mark.parametrize(("old", "new", "place", "parts"), EDITS.values(), ids=EDITS.keys())
def test_a_mistake_is_told_with_its_place(
    old: str, new: str, place: str, parts: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert JOB.count(old) >= 1
    err = told(JOB.replace(old, new, 1), tmp_path, capsys)
    lines = [line for line in err.splitlines() if f"washer.yaml:{place}: " in line]
    assert any(all(part in line for part in parts.split("|")) for line in lines), err


def test_operations_in_the_wrong_order_are_told_which_comes_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    head, tail = JOB.split("operations:\n")
    swapped = "\n".join(reversed(tail.splitlines()))
    err = told(f"{head}operations:\n{swapped}\n", tmp_path, capsys)
    assert "washer.yaml:14:14: operations[1].profile" in err
    assert "allowed: operations[1].profile first" in err


FILES = {
    # file: (bytes, part of the message)
    "noise.dxf": (bytes(range(128, 256)) * 9, "no DXF file, or part of it is missing"),
    "words.dxf": (b"a few words\n", "no DXF file, or part of it is missing"),
    "noise.svg": (bytes(range(128, 256)) * 9, "cannot be read as XML"),
    "empty.svg": (b"", "cannot be read as XML"),
    "half.svg": (b'<svg xmlns="http://www.w3.org/2000/svg"><path d="M0', "cannot be read as XML"),
    "nothing.svg": (b'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"/>', "found no outline"),
    "entity.svg": (b'<!DOCTYPE a [<!ENTITY b "c">]><svg xmlns="http://www.w3.org/2000/svg"/>', "found a DOCTYPE"),
    "page.pdf": (b"x", "a file of kind '.pdf', allowed: .dxf, .svg"),
    "gone.dxf": (None, "found no file 'gone.dxf'"),
    "../washer.dxf": (None, "a file inside the job's folder"),
}


@pytest.mark.parametrize("file", FILES)
def test_a_drawing_that_is_none_is_refused(file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data, part = FILES[file]
    if data is not None:
        (tmp_path / file).write_bytes(data)
    shapes = JOB[JOB.index("    shapes:") : JOB.index("    at:")]
    err = told(JOB.replace(shapes, f"    drawing: {file}\n"), tmp_path, capsys)
    assert "washer.yaml:8:14: parts[0].drawing: " in err
    assert part in err


CHANGES = {
    # what a hand did to the proved program: (pattern, text instead, the check that says so, part of its message)
    "feeds faster": (r"F381", "F2500", "feed", "2500"),
    "goes deeper": (r"Z-3\.400", "Z-5.000", "too_deep", "the deepest floor"),
    "stays in the sheet": (r"Z-3\.400", "Z-2.900", "not_through", "underside may lie at Z -3.000"),
    "spindle runs on": (r"^M5\n", "", "end", "does not stop the spindle"),
    "spindle never starts": (r"^M3 .*\n", "", "spindle", "does not turn"),
    "turns backwards": (r"^M3 ", "M4 ", "spindle", "counterclockwise"),
    "turns too slowly": (r"S12700", "S8000", "spindle", "8000 rpm, the job's rates say 12700 rpm"),
    "no time to reach speed": (r"^G4 P5.*\n", "", "spindle", ""),
    "inches": (r"^G21", "G20", "reading", ""),
    "no unit": (r"^G21\n", "", "reading", "G20 or G21"),
    "no end": (r"^M2\n", "", "end", "has no program end"),
    "another cutter": (r"^T1", "T2", "cutter", "cuts with T2, the job has T1"),
    "increments": (r"G90", "G91", "reading", "increment"),
    "decimal comma": (r"Z8\.000", "Z8,000", "reading", "no meaning here"),
    "cut short": (r"(?s)(.*)\nG0 Z8\.000\n.*", r"\1\n", "end", ""),
    "emptied": (r"(?s).*", "", "reading", "nothing is proved"),
}


@pytest.fixture(scope="module")
def proved(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A job, and its program as it was released."""
    folder = tmp_path_factory.mktemp("proved")
    job = folder / "washer.yaml"
    job.write_text(JOB)
    assert run(["make", str(job), "--out", str(folder / "out")]) == 0
    return job, (folder / "out" / "washer" / "washer-1-mill.nc").read_text()


@pytest.mark.parametrize(("pattern", "text", "check", "part"), CHANGES.values(), ids=CHANGES.keys())
def test_a_changed_program_is_not_proved(
    pattern: str,
    text: str,
    check: str,
    part: str,
    proved: tuple[Path, str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    job, released = proved
    program = tmp_path / "washer-1-mill.nc"
    changed = re.sub(pattern, text, released, count=0 if "Z-3" in pattern else 1, flags=re.MULTILINE)
    assert changed != released
    program.write_text(changed)
    assert run(["check", str(program), "--job", str(job)]) == 1
    out, err = capsys.readouterr()
    assert "NOT PROVED" in out
    errors = [line for line in (out + err).splitlines() if f"error {check}: " in line]
    assert any(part in line for line in errors), out + err


def test_paths_that_are_no_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    noise = tmp_path / "noise.yaml"
    noise.write_bytes(b"job: washer\nmachine: \xff\n")
    for path, part in (
        (tmp_path, "cannot be read"),
        (tmp_path / "gone.yaml", "cannot be read"),
        (noise, "noise.yaml:2:10: found the byte 0xff, allowed: text in UTF-8"),
    ):
        assert run(["make", str(path), "--out", str(tmp_path / "out")]) == 2
        assert part in capsys.readouterr().err
