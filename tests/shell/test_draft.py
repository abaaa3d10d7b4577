"""`kerfwright draft` from outside: what is written where, what is told, what is refused."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from kerfwright.shell import run

EXAMPLES = Path(__file__).parents[2] / "examples"
SAID = ["--material", "cfrp", "--thickness", "2"]


@pytest.fixture
def clamp(tmp_path: Path) -> Path:
    return Path(shutil.copy(EXAMPLES / "mast-clamp" / "mast-clamp.dxf", tmp_path / "mast clamp.dxf"))


def test_draft_then_make(clamp: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """84 x 52 mm; four holes of 4.5 mm on layer holes, a bore of 22 mm."""
    assert run(["draft", str(clamp), *SAID]) == 0
    out = capsys.readouterr().out
    assert out.startswith("mast-clamp: 84 x 52 mm, area 3512.9 mm2\n  pieces      1\n")
    assert "holes       4 × Ø4.5  cleared to dust, 3 mm mill\n              1 × Ø22  an opening\n" in out
    assert "smallest inside radius 15 mm at (42, 37)" in out
    assert f"written: {tmp_path / 'mast-clamp.yaml'}" in out
    assert "caution: A draft is a guess from lines: check every line of it before you cut." in out
    assert "The dust conducts electricity" in out
    assert run(["make", str(tmp_path / "mast-clamp.yaml"), "--out", str(tmp_path / "out")]) == 0
    assert "mast-clamp: proved" in capsys.readouterr().out


def test_nothing_is_overwritten_unasked(clamp: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "mast-clamp.yaml"
    file.write_text("mine")
    assert run(["draft", str(clamp), *SAID]) == 2
    assert "which is there already, allowed: a new file, or --force" in capsys.readouterr().err
    assert file.read_text() == "mine"
    assert run(["draft", str(clamp), *SAID, "--force"]) == 0
    assert file.read_text().startswith("# Drafted from mast clamp.dxf")


def test_as_json_into_a_folder_above(clamp: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "drawings of may"
    folder.mkdir()
    moved = clamp.rename(folder / clamp.name)
    job = tmp_path / "job.yaml"
    assert run(["draft", str(moved), *SAID, "--name", "clamp", "--out", str(job), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["job"], data["file"], data["size"]) == ("clamp", str(job), [84, 52])
    assert data["holes"][0] == {"count": 4, "diameter": 4.5, "done": "cleared to dust, 3 mm mill"}
    assert data["to_do"] == []
    assert 'drawing: "drawings of may/mast clamp.dxf"' in job.read_text()


def test_a_recess_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The display of the gauge plate: layer recess, its extent begins at (72, 32)."""
    plate = Path(shutil.copy(EXAMPLES / "gauge-plate" / "gauge-plate.dxf", tmp_path))
    assert run(["draft", str(plate), *SAID]) == 0
    assert "  recess? 1 outline, layer 'recess': NOT CUT until you wake its suggestion" in capsys.readouterr().out
    assert run(["draft", str(plate), *SAID, "--force", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["in_doubt"] == [{"kind": "recess", "layer": "recess", "outlines": 1, "at": [72, 32]}]


REFUSED = {
    # name: (arguments after the drawing, words of the message)
    "material": (["--material", "cfpr"], "--material: found 'cfpr', allowed: acrylic,|did you mean cfrp?"),
    "thickness": (["--thickness", "2 kg"], "--thickness: found the unit 'kg'"),
    "no thickness": (["--thickness", "0"], "--thickness: found '0', allowed: a length above 0 and at most 50 mm"),
    "machine": (["--machine", "lite-router"], "--machine: found 'lite-router'|did you mean light-router?"),
    "cutter": (["--cutter", "burr-9"], "--cutter: found 'burr-9', allowed: burr-1.5,"),
    "a drill": (["--cutter", "drill-3"], "--cutter: found a drill, allowed: an end_mill"),
    "hold": (["--hold", "glue"], "--hold: found 'glue', allowed: screws, tape, vacuum, frame"),
    "count": (["--count", "0"], "--count: found 0, allowed: 1 to 500"),
    "name": (["--name", "a/b"], "--name: found 'a/b', allowed: letters"),
    "device": (["--name", "con"], "job: found 'con', allowed: letters"),
    "elsewhere": (["--out", "/nowhere/else.yaml"], "--out: found '/nowhere/else.yaml', allowed: a file in the drawing's folder"),
    "two at once": (["--hold", "glue", "--count", "0"], "--hold: found|--count: found"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_mistake_is_told_and_nothing_written(
    name: str, clamp: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments, words = REFUSED[name]
    assert run(["draft", str(clamp), *SAID, *arguments]) == 2
    told = capsys.readouterr().err
    assert all(w in told for w in words.split("|")), told
    assert [p.name for p in tmp_path.iterdir()] == [clamp.name]


@pytest.mark.parametrize(
    ("file", "text", "words"),
    [
        ("plate.pdf", "", "found a file of kind '.pdf', allowed: .dxf, .svg"),
        ("gone.dxf", None, "gone.dxf: cannot be read: No such file or directory"),
        ("bad.dxf", "hello", "it is no DXF file, or part of it is missing"),
        ("bad.svg", "<svg", "the file cannot be read as XML"),
    ],
)
def test_a_drawing_that_cannot_be_read(
    file: str, text: str | None, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / file
    if text is not None:
        path.write_text(text)
    assert run(["draft", str(path), *SAID]) == 2
    assert words in capsys.readouterr().err
    assert not list(tmp_path.glob("*.yaml"))


def test_what_keeps_make_from_it_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """700 mm on a machine with a travel of 600."""
    file = tmp_path / "long.svg"
    file.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="800mm" height="50mm" viewBox="0 0 800 50">'
        '<rect x="10" y="10" width="700" height="20"/></svg>'
    )
    assert run(["draft", str(file), *SAID]) == 0
    out = capsys.readouterr().out
    assert "to do: " in out
    assert "allowed: at most 600 mm, the machine's travel" in out
    assert (tmp_path / "long.yaml").exists()
