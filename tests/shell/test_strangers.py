"""Strangers' plugins, found as if they were installed: what is wrong with one is told by every command and stops nobody else."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from kerfwright.shell import run

JOB = """\
job: tag
machine: light-router
sheet: {material: gfrp, size: [60, 60], thickness: 2, breakthrough: 0.3, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: burr, diameter: 2, teeth: 6, flute_length: 8}
parts:
  - {name: tag, at: [15, 15], shapes: [{rectangle: {corner: [0, 0], size: [30, 20], radius: 3}}]}
operations:
  - profile: {cutter: mill, select: outer, passes: PASSES}
"""
STRATEGY = '''\
from typing import ClassVar
import numpy as np
from attrs import define
from kerfwright.hookspecs import hookimpl
from kerfwright.strategy import Passes

@define(frozen=True, kw_only=True)
class Mine(Passes):
    """A stranger's own."""

    name: ClassVar[str] = "NAME"

    def levels(self, top, bottom, axial_depth):
        return np.array(ANSWER)

@hookimpl
def HOOK():
    return [Mine]
'''


def strategy(name: str, hook: str = "kerfwright_strategies", answer: str = "[(top + bottom) / 2, bottom]") -> str:
    return STRATEGY.replace("NAME", name).replace("HOOK", hook).replace("ANSWER", answer)


# distribution -> its module
PLUGINS = {
    "good-halves": strategy("halves"),
    "bad-import": "import no_such_library_at_all\n",
    "bad-syntax": "def (:\n",
    "bad-leaver": "raise SystemExit(7)\n",
    "bad-hook": strategy("never", hook="kerfwright_strategys"),
    "bad-name": strategy("equal"),
    "zz-halves": strategy("halves"),
    "bad-asked": "from kerfwright.hookspecs import hookimpl\n\n@hookimpl\ndef kerfwright_checks():\n    return 1 / 0\n",
    "bad-promise": strategy("shallow", answer="[bottom / 2]"),
}
TOLD = [
    "warning: plugin bad-import: main (bad_import) cannot be loaded: ModuleNotFoundError: No module named 'no_such_library_at_all'",
    "warning: plugin bad-syntax: main (bad_syntax) cannot be loaded: SyntaxError: ",
    "warning: plugin bad-leaver: main (bad_leaver) cannot be loaded: SystemExit: 7",
    "warning: plugin bad-hook: main: unknown hook 'kerfwright_strategys' in plugin ",
    "warning: plugin bad-name: main: strategies ('passes', 'equal') is offered by kerfwright: strategies already, and is passed over",
    "warning: plugin zz-halves: main: strategies ('passes', 'halves') is offered by good-halves: main already, and is passed over",
    "warning: plugin bad-asked: main: kerfwright_checks failed: ZeroDivisionError: division by zero",
]


@pytest.fixture
def strangers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Nine distributions on the path, as an installer would leave them."""
    site = tmp_path / "site"
    for name, text in PLUGINS.items():
        module = name.replace("-", "_")
        info = site / f"{module}-1.0.dist-info"
        info.mkdir(parents=True)
        (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: 1.0\n")
        (info / "entry_points.txt").write_text(f"[kerfwright]\nmain = {module}\n")
        (site / f"{module}.py").write_text(text)
    monkeypatch.syspath_prepend(site)
    yield tmp_path
    for name in PLUGINS:
        sys.modules.pop(name.replace("-", "_"), None)


def make(folder: Path, passes: str) -> int:
    job = folder / "tag.yaml"
    job.write_text(JOB.replace("PASSES", passes))
    return run(["make", str(job), "--out", str(folder / "out")])


@pytest.mark.parametrize("passes", ["equal", "halves"])
def test_make_goes_on_and_tells_each(strangers: Path, passes: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert make(strangers, passes) == 0
    told = capsys.readouterr().err
    for line in TOLD:
        assert told.count(line) == 1, line
    assert told.count("warning: plugin ") == len(TOLD)
    assert "Traceback" not in told
    z = (strangers / "out" / "tag" / "tag-1-mill.nc").read_text()
    assert ("Z-1.150" in z) is (passes == "halves")  # half of 2.3 mm; the rates cut this sheet in more passes or in one


def test_list_tells_each_and_shows_where_things_come_from(strangers: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["list", "strategies"]) == 0
    out = capsys.readouterr()
    assert all(line in out.err for line in TOLD)
    rows = {" ".join(r.split()[:2]): r for r in out.out.splitlines()[1:]}
    assert rows["passes halves"].endswith("A stranger's own. [good-halves: main]")
    assert "[" not in rows["passes equal"]
    assert "passes never" not in rows
    assert run(["list", "strategies", "--json"]) == 0
    (line,) = capsys.readouterr().out.splitlines()
    origin = {n["name"]: n["origin"] for n in json.loads(line)["names"]}
    assert origin["passes halves"] == "good-halves: main"
    assert origin["passes equal"] == "kerfwright: strategies"


def test_a_broken_promise_names_the_plugin_and_writes_nothing(
    strangers: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert make(strangers, "shallow") == 3
    told = capsys.readouterr().err
    assert "BrokenPromise: passes shallow (bad_promise.Mine): levels fall from top to exactly bottom" in told
    assert "This is a bug of the plugin that it names, not of your job" in told
    assert "Traceback" not in told
    assert not list((strangers / "out").glob("*/*.nc"))


def test_what_is_passed_over_is_unknown_to_a_job(strangers: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert make(strangers, "never") == 2
    assert "tag.yaml:9:" in (told := capsys.readouterr().err)
    assert "found 'never', allowed: " in told
    assert "halves" in told
