"""The command line from outside: what is written where, what is told, and the exit code."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from by_hand import JOB

from kerfwright.shell import run

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "washer.yaml"
    path.write_text(JOB)
    return path


def names(folder: Path) -> set[str]:
    return {p.name for p in folder.iterdir()}


def test_make_writes_everything_and_result_last(job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["make", str(job), "--out", str(tmp_path / "out")]) == 0
    folder = tmp_path / "out" / "washer"
    data = json.loads((folder / "result.json").read_text())
    assert data["ok"] is True
    assert {p["kind"] for p in data["programs"]} == {"program", "walk-round"}
    pictures = {f["picture"] for f in data["findings"] if f["picture"]}
    pages = {"run-sheet.html", "picture.svg", "result.json", "inspection-washer.html", "measured-washer.yaml"}
    assert names(folder) == {p["file"] for p in data["programs"]} | pages | pictures
    newest = max(folder.iterdir(), key=lambda p: p.stat().st_mtime_ns)
    assert newest.name == "result.json"
    assert "washer: proved" in capsys.readouterr().out


def test_same_job_same_bytes(job: Path, tmp_path: Path) -> None:
    for out in ("a", "b"):
        assert run(["make", str(job), "--out", str(tmp_path / out)]) == 0
    a, b = tmp_path / "a" / "washer", tmp_path / "b" / "washer"
    assert names(a) == names(b)
    for name in names(a):
        assert (a / name).read_bytes() == (b / name).read_bytes(), name


def test_wrong_input_removes_the_earlier_programs(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert run(["make", str(job), "--out", str(out)]) == 0
    job.write_text(JOB.replace("thickness: 3", "thickness: -3"))
    assert run(["make", str(job), "--out", str(out)]) == 2
    assert "washer.yaml:3:" in capsys.readouterr().err
    left = names(out / "washer")
    assert "run-sheet.html" not in left
    assert not [n for n in left if n.startswith("washer-")]
    data = json.loads((out / "washer" / "result.json").read_text())
    assert data["ok"] is False
    assert data["programs"] == []
    assert "sheet.thickness" in data["findings"][0]["message"]


def test_check_proves_what_make_wrote_and_refuses_it_spoiled(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["make", str(job), "--out", str(tmp_path / "out")]) == 0
    (program,) = list((tmp_path / "out" / "washer").glob("washer-1-*"))
    assert run(["check", str(program), "--job", str(job)]) == 0
    text = program.read_text()
    assert "Z-3.400" in text
    program.write_text(text.replace("Z-3.400", "Z-2.900"))
    capsys.readouterr()
    assert run(["check", str(program), "--job", str(job)]) == 1
    told = capsys.readouterr()
    assert "NOT PROVED" in told.out
    assert "not_through" in told.err


def test_check_without_the_programs_that_do_the_rest_is_not_proved(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["make", str(job), "--out", str(tmp_path / "out")]) == 0
    (walk_round,) = list((tmp_path / "out" / "washer").glob("*walk-round*"))
    assert run(["check", str(walk_round), "--job", str(job)]) == 1
    assert "NOT PROVED" in capsys.readouterr().out


def test_job_from_standard_input_and_json(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(JOB))
    assert run(["make", "-", "--json", "--out", str(tmp_path)]) == 0
    (line,) = capsys.readouterr().out.splitlines()
    assert json.loads(line)["job"] == "washer"


def test_several_jobs_give_the_highest_code_and_the_good_one_is_made(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("job: bad\nmachine: no-such-router\n")
    assert run(["make", str(bad), str(job), "--json", "--out", str(tmp_path / "out")]) == 2
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [(r["job"], r["ok"]) for r in rows] == [("bad", False), ("washer", True)]


REFUSED = [
    (["make"], 2, "Missing argument 'JOB...'"),
    (["make", "no-such.yaml"], 2, "no-such.yaml"),
    (["make", "{job}", "--dialect", "no-such"], 2, "found 'no-such', allowed: "),
    (["make", "{job}", "--pace", "wild"], 2, "'wild' is not one of 'first', 'steady', 'proven'"),
    (["make", "{job}", "{job}"], 2, "found 'washer', the name of"),
    (["make", "{job}", "--plugin", "no_such_module"], 2, "plugin no_such_module cannot be loaded"),
    (["make", "{job}", "--plugin", "no-such.py"], 2, "plugin no-such.py: no such file"),
    (["check", "{job}.none", "--job", "{job}"], 2, "cannot be read: No such file or directory"),
    (["check", "{job}", "--job", "{job}", "--cutter", "spoon"], 2, "found 'spoon', the job has mill"),
    (
        ["check", "{job}", "--job", "{job}", "--dialect", "no-such"],
        2,
        "found 'no-such', allowed: ",
    ),
    (["check", "{job}", "--job", "{job}"], 1, "reading"),
    (["list", "spoons"], 2, "'spoons' is not one of"),
    (["brew"], 2, "No such command 'brew'"),
]


@pytest.mark.parametrize(("arguments", "code", "told"), REFUSED, ids=[" ".join(a) for a, _, _ in REFUSED])
def test_refusals(
    arguments: list[str],
    code: int,
    told: str,
    job: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run([a.replace("{job}", str(job)) for a in arguments]) == code
    out = capsys.readouterr()
    assert told in out.err
    assert "Traceback" not in out.err + out.out


def test_a_bug_is_said_to_be_one(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("on purpose")

    assert run(["make", str(job), "--out", str(tmp_path)]) == 0
    assert [n for n in names(tmp_path / "washer") if n.startswith("washer-")]
    capsys.readouterr()
    monkeypatch.setattr("kerfwright.shell.books.make", broken)
    assert run(["make", str(job), "--out", str(tmp_path)]) == 3
    # the programs of the run before must not pass for this one's
    assert names(tmp_path / "washer") == {"picture.svg", "result.json"}
    assert json.loads((tmp_path / "washer" / "result.json").read_text())["ok"] is False
    told = capsys.readouterr().err
    assert "internal fault: ZeroDivisionError: on purpose" in told
    assert "Traceback" not in told
    assert "Traceback" in Path(told.split("lie in ")[1].strip().rstrip(".")).read_text()


def test_list_names_what_is_installed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["list", "--json"]) == 0
    shelves = {
        row["kind"]: {n["name"] for n in row["names"]} for row in map(json.loads, capsys.readouterr().out.splitlines())
    }
    assert {"profile", "pocket", "drill"} <= shelves["operations"]
    assert {"entry ramp", "entry toolaxis", "passes single", "passes equal", "cover contour_parallel"} <= shelves[
        "strategies"
    ]
    assert {"nist6556", "nist6556-lines"} <= shelves["dialects"]
    assert {"cfrp", "gfrp", "plywood", "acrylic"} <= shelves["materials"]
    assert len(shelves["cutters"]) >= 4
    assert len(shelves["machines"]) >= 2
    assert all(shelves.values())


def test_list_says_what_each_thing_does_in_a_whole_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    said: dict[tuple[str, str], str] = {}
    for kind in ("operations", "strategies", "dialects", "drawings", "checks", "reports"):
        assert run(["list", kind, "--json"]) == 0
        said |= {(kind, n["name"]): n["help"] for n in json.loads(capsys.readouterr().out)["names"]}
    assert {key: text for key, text in said.items() if not text.endswith(".")} == {}
    assert said["checks", "gouge"] == "No cut into what must stay."
    assert said["reports", "run_sheet"].startswith("The page that goes to the machine")


def test_a_plugin_file_is_added_for_one_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plugin = tmp_path / "bare.py"
    plugin.write_text(
        "from typing import ClassVar\nimport numpy as np\nfrom attrs import define\nfrom kerfwright.hookspecs import hookimpl\n"
        "from kerfwright.strategy import Passes\n\n\n"
        '@define(frozen=True, kw_only=True)\nclass Halves(Passes):\n    """Two passes."""\n\n    name: ClassVar[str] = \'halves\'\n\n'
        "    def levels(self, top, bottom, axial_depth):\n        return np.array([(top + bottom) / 2, bottom])\n\n\n"
        "@hookimpl\ndef kerfwright_strategies():\n    return [Halves]\n"
    )
    job = tmp_path / "washer.yaml"
    job.write_text(JOB.replace("select: outer}", "select: outer, passes: halves, axial_depth: 2}"))
    assert run(["make", str(job), "--out", str(tmp_path / "out")]) == 2
    assert "halves" in capsys.readouterr().err
    assert run(["make", str(job), "--out", str(tmp_path / "out"), "--plugin", str(plugin)]) == 0
    assert run(["list", "strategies", "--plugin", str(plugin)]) == 0
    assert "Two passes." in capsys.readouterr().out


@pytest.mark.parametrize(
    "path",
    sorted(set(EXAMPLES.glob("*/*.yaml")) - set(EXAMPLES.glob("*/measured.yaml")) - set(EXAMPLES.glob("*/shop.yaml"))),
    ids=lambda p: p.stem,
)
def test_every_example_is_made_and_proved(path: Path, tmp_path: Path) -> None:
    assert run(["make", str(path), "--out", str(tmp_path)]) == 0


def test_help_and_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--version"]) == 0
    assert "0.1.0" in capsys.readouterr().out
    for command in ("make", "check", "list"):
        assert run([command, "--help"]) == 0
        assert "Usage:" in capsys.readouterr().out
