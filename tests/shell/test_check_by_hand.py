"""Programs edited by hand, or from elsewhere, through `kerfwright check`: what is told of each is written by hand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from by_hand import JOB, Edit, put

from kerfwright.shell import run


def shallower(text: bytes) -> bytes:
    """Every depth at the floor raised by half a millimetre."""
    return put(r"Z-3\.400", "Z-2.900")(text)


HAND: dict[str, tuple[Edit, int, str]] = {
    # name: (edit, exit code, codes of which each must be among the errors)
    "as it was made": (lambda t: t, 0, ""),
    "a lower feed": (put(r"F(\d\d)\d\b", r"F\g<1>0"), 0, ""),
    "a comment more": (put(r"^M2$", "(washed by hand)\nM2"), 0, ""),
    "lines end as elsewhere": (lambda t: t.replace(b"\n", b"\r\n"), 0, ""),
    "lines end in returns alone": (lambda t: t.replace(b"\n", b"\r"), 1, "text"),
    "a faster feed": (put(r"F(\d+)", r"F9\g<1>", 1), 1, "feed"),
    "a point lost": (put(r"X(\d+)\.(\d+) Y", r"X\g<1>\g<2> Y", 1), 1, ""),
    "not deep enough": (shallower, 1, "not_through"),
    "an arc lost": (put(r"^X41\.542 Y41\.791 I11.*\n", ""), 1, "not_through"),
    "the end lost": (put(r"^M2\n", ""), 1, "end"),
    "the spindle's start lost": (put(r"^M3 .*\n", ""), 1, "spindle"),
    "a word we do not know": (put(r"^G17 ", "G17 G187 "), 1, "reading"),
    "a letter we do not know": (put(r"^M2$", "U4\nM2"), 1, "reading"),
    "a call of something else": (put(r"^M2$", "M98 P100\nM2"), 1, "reading"),
    "a variable": (put(r"^M2$", "#1=4\nM2"), 1, "reading"),
    "a line to skip by a switch": (put(r"^M5$", "/M5"), 1, "reading"),
    "nothing in it": (lambda t: b"", 1, ""),
    "a mark of byte order": (lambda t: b"\xef\xbb\xbf" + t, 1, "reading"),
    "a letter with an accent": (put(r"^M2$", "(caf\u00e9)\nM2"), 1, "text"),
    "bytes of another code in a comment": (lambda t: t.replace(b"\nM2", b"\n(caf\xe9)\nM2"), 1, "reading"),
    "a byte of nothing": (lambda t: t.replace(b"M5", b"M5\x00"), 1, "reading"),
    "two bytes a letter": (lambda t: t.decode().encode("utf-16"), 1, "reading"),
    "one endless line": (lambda t: b"(" + b"a" * 100_000 + b")\n" + t, 1, "reading"),
    "a picture": (lambda t: bytes(range(256)) * 40, 1, "reading"),
}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("washer")
    (folder / "washer.yaml").write_text(JOB)
    assert run(["make", str(folder / "washer.yaml"), "--out", str(folder / "out")]) == 0
    return folder


@pytest.mark.parametrize(("edit", "code", "codes"), HAND.values(), ids=HAND.keys())
def test_an_edit_is_told_with_its_line(
    edit: Edit, code: int, codes: str, made: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (source,) = (made / "out" / "washer").glob("*-mill.nc")
    program = tmp_path / "edited.nc"
    program.write_bytes(edit(source.read_bytes()))
    capsys.readouterr()
    assert run(["check", str(program), "--job", str(made / "washer.yaml"), "--json"]) == code
    out, err = capsys.readouterr()
    assert "Traceback" not in err
    errors = [f for f in json.loads(out)["findings"] if f["severity"] == "error"]
    assert bool(errors) == bool(code)
    assert set(codes.split("|") if codes else []) <= {f["check"] for f in errors}
    assert all(f["line"] for f in errors if f["check"] == "reading" and f["program"])


def test_a_file_that_is_not_there(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(made / "none.nc"), "--job", str(made / "washer.yaml")]) == 2
    assert "none.nc: cannot be read" in capsys.readouterr().err


@pytest.mark.parametrize(
    "name", ["a mark of byte order", "a byte of nothing", "two bytes a letter", "a picture", "nothing in it"]
)
def test_bytes_that_are_no_text_are_not_resumed(
    name: str, made: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (source,) = (made / "out" / "washer").glob("*-mill.nc")
    program = tmp_path / "edited.nc"
    program.write_bytes(HAND[name][0](source.read_bytes()))
    out = tmp_path / "rest"
    code = run(["resume", str(program), "--job", str(made / "washer.yaml"), "--at", "20", "--out", str(out)])
    assert code in (1, 2)
    assert not list(out.rglob("*.nc"))
    assert "Traceback" not in capsys.readouterr().err


def test_coolant_is_told(made: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (source,) = (made / "out" / "washer").glob("*-mill.nc")
    program = tmp_path / "wet.nc"
    program.write_bytes(put(r"^M3 ", "M8\nM3 ")(source.read_bytes()))
    assert run(["check", str(program), "--job", str(made / "washer.yaml")]) == 0
    assert "warning modes: turns coolant on, which the job does not ask for" in capsys.readouterr().err
