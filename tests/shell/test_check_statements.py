"""A program of statements edited by hand, through `kerfwright check`: what is told of each is written by hand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from by_hand import JOB, Edit, put

from kerfwright.shell import run

HAND: dict[str, tuple[Edit, int, str]] = {
    # name: (edit, exit code, codes of which one must be among the errors)
    "as it was made": (lambda t: t, 0, ""),
    "a lower feed": (put(r"^FEDRAT/(\d\d)\d,", r"FEDRAT/\g<1>0,"), 0, ""),
    "a remark more": (put(r"^END$", "PPRINT washed by hand\nEND"), 0, ""),
    "spaces more": (put(r",", " , "), 0, ""),
    "a longer wait": (put(r"^DELAY/\d+", "DELAY/20"), 0, ""),
    "units lost": (put(r"^UNITS/MM\n", "", 1), 1, "reading modes"),
    "other units": (put(r"^UNITS/MM$", "UNITS/INCHES"), 1, "reading"),
    "units not said again after a stop": (put(r"^SPINDL/(.*)CLW$", r"STOP\nSPINDL/\g<1>CLW", 1), 1, "modes"),
    "a faster feed": (put(r"^FEDRAT/", "FEDRAT/9", 1), 1, "feed"),
    "a feed lost": (put(r"^FEDRAT/.*\n", ""), 1, "reading"),
    "not deep enough": (put(r",-3\.400", ",-2.900"), 1, "not_through"),
    "too deep": (put(r",-3\.400", ",-13.400"), 1, "too_deep"),
    "a cut as a rapid": (put(r"^GOTO/(.*,-3\.400)$", r"RAPID\nGOTO/\g<1>", 1), 1, "rapid reading"),
    "a rapid lost": (put(r"^RAPID\n", "", 1), 1, "reading feed spindle start"),
    "circles in halves the other way round": (put(r",0,0,1,", ",0,0,-1,"), 0, ""),
    "a circle lost": (put(r"^CIRCLE/.*-3\.400,.*\n", "", 1), 1, "gouge leftover not_through"),
    "a circle's center moved": (put(r"^CIRCLE/(\d)", r"CIRCLE/9\g<1>", 1), 1, "reading"),
    "all X moved": (put(r"^(GOTO|CIRCLE)/(\d)(\d)\.", r"\g<1>/\g<2>\g<3>.1", 0), 1, "reading gouge"),
    "the end lost": (put(r"^END\n", ""), 1, "end"),
    "half of it lost": (lambda t: t[: len(t) * 4 // 5].rpartition(b"\n")[0] + b"\n", 1, "end reading"),
    "the spindle's start lost": (put(r"^SPINDL/.*CLW\n", ""), 1, "spindle"),
    "the spindle the other way": (put(r",CLW$", ",CCLW"), 1, "spindle"),
    "the wait for the spindle lost": (put(r"^DELAY/.*\n", "", 1), 1, "spindle"),
    "the plane to withdraw to is too low": (put(r"^CLEARP/XYPLAN,.*", "CLEARP/XYPLAN,1", 1), 1, "start"),
    "the withdrawal lost": (put(r"^RETRCT\n", "", 1), 1, "start"),
    "another cutter": (put(r"^LOADTL/\d+", "LOADTL/7"), 1, "cutter missing"),
    "coolant on": (put(r"^SPINDL/(.*)CLW$", r"COOLNT/ON\nSPINDL/\g<1>CLW", 1), 0, ""),
    "a word we do not know": (put(r"^END$", "CYCLE/DRILL,4\nEND"), 1, "reading"),
    "more after the end": (put(r"^FINI$", "GOTO/1,1,8\nFINI"), 1, "reading"),
    "a letter with an accent": (put(r"^END$", "PPRINT caf\u00e9\nEND"), 1, "reading text"),
}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The job, and its program."""
    folder = tmp_path_factory.mktemp("washer")
    job = folder / "washer.yaml"
    job.write_text(JOB + "output: {dialect: iso4343}\n")
    assert run(["make", str(job), "--out", str(folder / "out")]) == 0
    (program,) = (folder / "out" / "washer").glob("washer-1-*.cl")
    return job, program


@pytest.mark.parametrize("name", HAND)
def test_edited_by_hand(name: str, made: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    edit, code, wanted = HAND[name]
    job, program = made
    mine = tmp_path / program.name
    mine.write_bytes(edit(program.read_bytes()))
    capsys.readouterr()
    assert run(["check", str(mine), "--job", str(job), "--json"]) == code
    told = json.loads(capsys.readouterr().out.splitlines()[0])
    errors = {f["check"] for f in told["findings"] if f["severity"] == "error"}
    assert bool(errors) == bool(code)
    if wanted:
        assert errors & set(wanted.split()), errors
