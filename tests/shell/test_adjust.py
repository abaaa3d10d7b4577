"""`adjust` from outside: the worked example, files of sizes with mistakes, exit codes."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import numpy as np
import pytest

import kerfwright as kw
from kerfwright.adjusting import read_measured
from kerfwright.adjusting.form import Blank, form
from kerfwright.errors import InputError
from kerfwright.shell import run

EXAMPLE = Path(__file__).parents[2] / "examples" / "first-part"
CUTS, STRETCH = 1.926, 1.0003
"""What `measured.yaml` says of the cutter and of X."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLE, tmp_path, dirs_exist_ok=True)
    return tmp_path


def plate(folder: Path, out: str) -> tuple[float, float, dict[str, object]]:
    """Length and width of the plate that this cutter and machine make of the program's own text, and result.json."""
    assert run(["make", str(folder / "first-part.yaml"), "--out", str(folder / out)]) == 0
    result = json.loads((folder / out / "first-part" / "result.json").read_text())
    (file,) = [p["file"] for p in result["programs"] if p["kind"] == "program"]
    nodes = kw.read((folder / out / "first-part" / file).read_text(), "nist6556").curve.nodes
    low = nodes[nodes[:, 2] < -1][:, :2]
    length, width = (np.nanmax(low, axis=0) - np.nanmin(low, axis=0)).tolist()
    return length * STRETCH - CUTS, width - CUTS, result


def test_the_second_part_keeps_what_the_first_missed(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """80 x 50 mm ± 0.05: make, measure, adjust, make again."""
    job, measured = str(folder / "first-part.yaml"), str(folder / "measured.yaml")
    length, width, first = plate(folder, "first")
    assert length > 80.05
    assert width > 50.05
    capsys.readouterr()
    assert run(["adjust", measured, "--job", job, "--write", "--json", "--out", str(folder / "patch")]) == 0
    told = json.loads(capsys.readouterr().out)
    outside = [s for s in told["sizes"] if s["name"].startswith(("length", "width"))]
    assert [s["verdict"] for s in outside] == ["not conforming"] * 4
    assert {s["predicted_verdict"] for s in told["sizes"]} == {"conforming"}
    length, width, second = plate(folder, "second")
    assert length == pytest.approx(80, abs=0.05)
    assert width == pytest.approx(50, abs=0.05)
    for s in outside:
        truly = length if s["name"].startswith("length") else width
        assert abs(s["predicted"] - truly) <= s["predicted_expanded"]
    (cutter,) = second["cutters"]
    assert (cutter["diameter_mm"], cutter["measured_mm"]) == (2.0, told["corrections"][0]["found"])
    assert first["cutters"][0]["measured_mm"] is None
    assert "measured: 1.92" in (folder / "patch" / "first-part.adjusted.yaml").read_text()
    text = (folder / "first-part.yaml").read_text()
    assert "# from the drawer" in text
    assert run(["adjust", measured, "--job", job, "--write"]) == 0  # the same sizes again
    assert (folder / "first-part.yaml").read_text() == text


def test_what_is_told(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, measured = str(folder / "first-part.yaml"), folder / "measured.yaml"
    before = (folder / "first-part.yaml").read_text()
    assert run(["adjust", str(measured), "--job", job]) == 0
    out = capsys.readouterr().out
    for part in ("diameter of mill", "scale of X", "squareness", "95 % interval", "not conforming", "X moves 1.000"):
        assert part in out
    measured.write_text(measured.read_text().replace("64.027", "64.227"))
    assert run(["adjust", str(measured), "--job", job, "--write"]) == 1
    out = capsys.readouterr().out
    assert "outlier: holes 1 to 2 does not fit" in out
    assert "mill: not corrected: holes 1 to 2 does not fit the others" in out
    assert (folder / "first-part.yaml").read_text() == before
    assert run(["adjust", str(measured), "--job", job, "--write", "--without", "holes 1 to 2"]) == 0
    assert "measured: 1.92" in (folder / "first-part.yaml").read_text()


def test_without_a_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "one.yaml"
    file.write_text(
        "units: inch\nuncertainty: 0.01 mm\nsizes: [{name: a, kind: outside, nominal: 2, measured: 2.004, along: 0}]"
    )
    assert run(["adjust", str(file)]) == 0
    out = capsys.readouterr().out
    assert "-0.1016 mm ± 0.0196" in out  # 0.004 in; 1.96 times 0.01 mm
    assert "1 size, 1 value, 0 to spare" in out
    assert "holds only if scale of X has no error" in out
    assert "scale of Y: no size shows it; measure a distance of centers along Y" in out


def test_a_table_says_the_same() -> None:
    text = (
        "units;inch\nuncertainty;0.01 mm\n\nname;kind;nominal;measured;along;tolerance\n"
        '"a; b";outside;2;2.004;x;\n# spare\nc;centers;1.5 in;38.11 mm;30 deg;0.002\n'
    )
    a, c = read_measured("sizes.csv", text.encode())
    assert (a.name, a.kind, a.nominal, a.along, a.uncertainty, a.tolerance) == ("a; b", "outside", 50.8, 0, 0.01, None)
    assert a.measured == pytest.approx(50.9016)
    assert (c.nominal, c.measured, c.along) == pytest.approx((38.1, 38.11, 30))
    assert c.tolerance == pytest.approx((-0.0508, 0.0508))


ROW = "{name: a, kind: outside, nominal: 40, measured: 40.1, along: x}"
HEAD = "name,kind,nominal,measured,along\n"
FAULTS = {
    # name: (file, text, place and parts of the message)
    "kind": (
        "m.yaml",
        f"sizes: [{ROW.replace('outside', 'outsid')}]",
        "m.yaml:1:25|sizes[0].kind|did you mean outside?",
    ),
    "key": ("m.yaml", f"sizes: [{ROW.replace('along', 'alon')}]", "m.yaml:1:63|unknown key|mean along?"),
    "direction": ("m.yaml", f"sizes: [{ROW.replace('x}', 'z}')}]", "m.yaml:1:70|'z'|allowed: x, y, or a number"),
    "comma": ("m.yaml", f"sizes: [{ROW.replace('40.1', chr(34) + '40,1' + chr(34))}]", "1:57|'40,1'|a number above 0"),
    "slip": ("m.yaml", f"sizes: [{ROW.replace('40.1', '1.58')}]", "1:57|found 1.58 mm|another unit?"),
    "twice": ("m.yaml", f"sizes: [{ROW}, {ROW}]", "sizes[1].name|a second time"),
    "none": ("m.yaml", "sizes: []", "found none"),
    "nothing filled in": (
        "m.yaml",
        f"sizes: [{ROW.replace('40.1', '')}, {ROW.replace('40.1', '~').replace('name: a', 'name: b')}]",
        "m.yaml:1:8|found 2 blanks and no size behind `measured:`, allowed: one filled in",
    ),
    "blanks with a mistake": (
        "m.yaml",
        f"uncertainty:\nsizes: [{ROW.replace('40.1', '')}, {ROW.replace('40.1', '3,2')}]",
        "m.yaml:2:118|sizes[0].2|found an unknown key",
    ),
    "no list": ("m.yaml", "units: mm", "sizes: found none"),
    "some uncertainties": (
        "m.yaml",
        f"sizes: [{ROW}, {ROW.replace('name: a', 'name: b, uncertainty: 0.01')}]",
        "sizes[0].uncertainty|for every size, or for none",
    ),
    "tolerance": ("m.yaml", f"tolerance: [0.1, -0.1]\nsizes: [{ROW}]", "m.yaml:1:12|lower, then upper"),
    "no head": ("m.csv", "a,outside,40,40.1,x\n", "m.csv:1:1|before the line that names the columns"),
    "cell": ("m.csv", HEAD + "a,outside,40,4O.1,x\n", "m.csv:2:14|sizes[0].measured|'4O.1'"),
    "missing cell": ("m.csv", HEAD + "a,outside,40,,x\n", "m.csv:2:1|sizes[0].measured: found nothing"),
    "too many cells": ("m.csv", HEAD + "a,outside,40,40.1,x,9\n", "m.csv:2:21|6 cells under a head of 5"),
    "quotation": ("m.csv", HEAD + '"a,outside,40,40.1,x\n', "m.csv:2:1|not closed"),
    "column twice": ("m.csv", "name,kind,kind\n", "m.csv:1:11|a second time"),
    "no file": ("gone.yaml", None, "gone.yaml: cannot be read"),
}


@pytest.mark.parametrize(("name", "text", "parts"), FAULTS.values(), ids=FAULTS.keys())
def test_mistakes_are_told_with_their_place(
    name: str, text: str | None, parts: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / name
    if text is not None:
        file.write_text(text)
    assert run(["adjust", str(file)]) == 2
    told = capsys.readouterr().err
    assert all(part in told for part in parts.split("|")), told


def test_whose_size_it_is(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, measured = folder / "first-part.yaml", str(folder / "measured.yaml")
    assert run(["adjust", measured, "--job", str(job), "--cutter", "mil"]) == 2
    assert "did you mean mill?" in capsys.readouterr().err
    job.write_text(job.read_text().replace("cutters:", "cutters:\n  drill: {base: drill-3}"))
    assert run(["adjust", measured, "--job", str(job)]) == 2
    assert "found nothing, allowed: drill, mill; or say --cutter" in capsys.readouterr().err
    assert run(["adjust", measured, "--job", str(job), "--cutter", "mill", "--without", "hole"]) == 2
    assert "did you mean hole" in capsys.readouterr().err
    assert run(["adjust", measured, "--write"]) == 2


def test_a_form_filled_in_by_hand(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Blanks are left out and counted; what is filled in counts as in a file written by hand."""
    blanks = [
        Blank(name="long", kind="outside", nominal=40, along=180, what="over all", tolerance=(-0.1, 0.05)),
        Blank(name='hole "1"', kind="inside", nominal=3.2, along=90.0, cutter="mill", cut_at=2.0),
        Blank(name="1 to 2", kind="centers", nominal=72.4711, along=207.98, cutter="mill", cut_at=2.0),
    ]
    text = form(blanks, ["plate, copy 1", "two\nlines"])
    for value in ("40.03", "3.18", "72.47"):
        text = text.replace("measured:         ,", f"measured: {value} ,", 1)
    long, hole, far = read_measured("m.yaml", text.encode())
    assert (long.name, long.kind, long.nominal, long.measured, long.along, long.tolerance, long.uncertainty) == (
        "long", "outside", 40, 40.03, 0, (-0.1, 0.05), None,
    )  # fmt: skip
    assert (hole.name, hole.along, hole.cutter, hole.cut_at, hole.measured) == ('hole "1"', 90, "mill", 2.0, 3.18)
    assert (far.nominal, far.along, far.cutter, far.cut_at) == (72.4711, pytest.approx(27.98), None, None)
    file = tmp_path / "form.yaml"
    file.write_text(
        form(blanks).replace("measured:         ,", "measured: 40.03 ,", 1).replace("uncertainty:", "uncertainty: 0.01")
    )
    assert run(["adjust", str(file)]) == 0
    assert "1 of 3 sizes filled in; blanks are left out" in capsys.readouterr().out
    assert run(["adjust", str(file), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["left_blank"] == 2


def test_not_readable_at_all() -> None:
    with pytest.raises(InputError, match="UTF-8"):
        read_measured("m.csv", b"\xff\xfe")
