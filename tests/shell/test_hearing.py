"""The hearing test: what its programs do is worked out here by hand, and what its answers decide stands in a table."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
import yaml

import kerfwright as kw
from kerfwright.errors import InputError
from kerfwright.hearing import confirmed, decided, heard, trials
from kerfwright.registry import Registry
from kerfwright.shell import run

REGISTRY = Registry.load()
TRIED = trials(REGISTRY)
NIST = [t for t in TRIED if t.dialect.traits.language == "rs274ngc"]


def moves_of(name: str) -> kw.Moves:
    (trial,) = [t for t in TRIED if t.name == name]
    traits = trial.dialect.traits
    return REGISTRY.readers[traits.language](traits=traits).read(trial.text)


def test_every_language_that_is_read_is_tried_and_every_form_of_its_words() -> None:
    names = [t.name for t in NIST]
    assert names == [
        "rs274ngc-square", "rs274ngc-arc-incremental-multi", "rs274ngc-arc-radius-multi", "rs274ngc-helix", "rs274ngc-dwell-P-s",
        "rs274ngc-dwell-P-ms", "rs274ngc-stop",
    ]  # fmt: skip
    assert {t.dialect.traits.language for t in TRIED} == set(REGISTRY.readers)


@pytest.mark.parametrize("trial", TRIED, ids=lambda t: t.name)
def test_in_the_air_with_the_spindle_off(trial: kw.hearing.Trial) -> None:  # type: ignore[name-defined]
    """No start of a spindle in its words, no Z below 5 mm."""
    assert not re.search(r"\bM0?[34]\b|\bS\d", trial.text)
    assert all(float(z) >= 0.1969 for z in re.findall(r"Z(-?\d+\.\d+)", trial.text))  # 5 mm, also in inches
    moves = moves_of(trial.name)
    assert np.nanmin(moves.curve.nodes[:, 2]) >= 5 - 1e-6
    assert not moves.spindle.any()


def test_a_square_by_hand() -> None:
    """Up to 20, to zero, then 40 right, 30 back, 40 left, 30 front."""
    ends = moves_of("rs274ngc-square").curve.nodes[-4:, :2].tolist()
    assert ends == [[40, 0], [40, 30], [0, 30], [0, 0]]


@pytest.mark.parametrize("name", ["rs274ngc-arc-incremental-multi", "rs274ngc-arc-radius-multi"])
def test_a_quarter_circle_by_hand(name: str) -> None:
    """From (30, 5) to (10, 25), counter-clockwise about (10, 5): radius 20, a quarter."""
    curve = moves_of(name).curve
    assert curve.nodes[-1, :2].tolist() == pytest.approx([10, 25])
    assert curve.centers[-1].tolist() == pytest.approx([10, 5], abs=2e-3)
    assert curve.turns[-1] == pytest.approx(np.pi / 2, abs=1e-3)


def test_a_dwell_by_hand() -> None:
    for name, number in (("rs274ngc-dwell-P-s", "P4.000"), ("rs274ngc-dwell-P-ms", "P4000")):
        assert any(number in line for t in TRIED if t.name == name for line in t.text.splitlines())


YES = {t.name: "yes" for t in NIST}
DECIDES = {
    # name: (answers, dialect, what varies it), None: none is understood
    "all understood": ({}, "nist6556", {}),
    "seconds counted": ({"rs274ngc-dwell-P-s": "5"}, "nist6556", {}),
    "a dwell of no time": ({"rs274ngc-dwell-P-s": "0"}, "nist6556", {"word.dwell_unit": "ms"}),
    "an hour": ({"rs274ngc-dwell-P-s": "no", "rs274ngc-dwell-P-ms": "4.5s"}, "nist6556", {"word.dwell_unit": "ms"}),
    "centers not understood": ({"rs274ngc-arc-incremental-multi": "no"}, "nist6556", {"word.centers": "radius"}),
    "no helix": ({"rs274ngc-helix": "no"}, "nist6556", {"word.helices": False}),
    "no arcs": (
        {"rs274ngc-arc-incremental-multi": "no", "rs274ngc-arc-radius-multi": "no"},
        "nist6556",
        {"word.arcs": False, "word.helices": False},
    ),
    "no square": ({"rs274ngc-square": "no"}, None, {}),
    "no stop": ({"rs274ngc-stop": "no"}, None, {}),
    "no dwell": ({"rs274ngc-dwell-P-s": "0", "rs274ngc-dwell-P-ms": "no"}, None, {}),
}


@pytest.mark.parametrize(("edit", "name", "sets"), DECIDES.values(), ids=DECIDES.keys())
def test_what_answers_decide(edit: dict[str, str], name: str | None, sets: dict[str, object]) -> None:
    answers = heard({**YES, **edit})
    if name is None:
        with pytest.raises(InputError, match="not understood"):
            decided(NIST, answers)
        return
    assert decided(NIST, answers) == (name, sets)
    cls = REGISTRY.dialects[name]
    varied = cls(**{cls.variations()[k].name: v for k, v in sets.items()})
    assert confirmed(varied.traits, answers)
    assert confirmed(cls().traits, answers) == (not sets)


def test_answers_that_are_none() -> None:
    with pytest.raises(InputError) as told:
        heard(
            {"rs274ngc-square": "perhaps", "rs274ngc-dwell-P-s": "long", "rs274ngc-stop": "4", "flag": "yes"}, list(YES)
        )
    assert [f.path for f in told.value.faults] == [
        "heard.rs274ngc-square", "heard.rs274ngc-dwell-P-s", "heard.rs274ngc-stop", "heard.flag",
    ]  # fmt: skip


def test_from_the_shell_to_the_run_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    assert run(["coupon", "controller", "--machine", "shed-router", "--out", str(out)]) == 0
    folder = out / "hearing-test"
    files = sorted(p.name for p in folder.iterdir())
    assert {"answers.yaml", "form.html", "01-" + TRIED[0].name + TRIED[0].dialect.suffix} <= set(files)
    assert len(files) == len(TRIED) + 2
    form = (folder / "form.html").read_text()
    assert "No cutter in the spindle" in form
    assert all(t.name in form for t in TRIED)
    blank = folder / "answers.yaml"
    assert run(["coupon", "controller", "--answers", str(blank)]) == 2
    filled = re.sub(r"(  rs274ngc-[\w-]+:) +#.*", r"\1 yes", blank.read_text()).replace("P-s: yes", "P-s: 4")
    blank.write_text(filled)
    assert run(["coupon", "controller", "--answers", str(blank)]) == 0
    entry = yaml.safe_load((folder / "machine.yaml").read_text())
    assert entry["dialect"] == {"base": "nist6556"}
    job = JOB.replace(
        "MACHINE", yaml.safe_dump({"base": "light-router", **entry}, default_flow_style=True, width=2000).strip()
    )
    result = kw.make(kw.load_job("tag.yaml", REGISTRY, text=job), REGISTRY)
    assert result.ok, result.findings
    result.save(tmp_path)
    sheet = (tmp_path / "tag" / "run-sheet.html").read_text()
    assert "its answers to the hearing test say so" in sheet
    assert "not yet confirmed" not in sheet
    plain = kw.make(kw.load_job("tag.yaml", REGISTRY, text=JOB.replace("MACHINE", "light-router")), REGISTRY)
    plain.save(tmp_path / "plain")
    assert "not yet confirmed on this machine" in (tmp_path / "plain" / "tag" / "run-sheet.html").read_text()
    capsys.readouterr()


JOB = """
job: tag
machine: MACHINE
sheet: {material: gfrp, size: [60, 40], thickness: 1.5, breakthrough: 0.3, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: compression, diameter: 2, teeth: 2, flute_length: 8}
parts:
  - {name: tag, at: [10, 10], shapes: [rectangle: {corner: [0, 0], size: [30, 20], radius: 3}]}
operations:
  - profile: {cutter: mill, select: outer}
"""


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "found no answers"),
        ("heard: 4", "found no answers"),
        ("heard: {a: yes}", "no such trial"),
        ("{", "cannot be read"),
    ],
)
def test_a_file_that_is_no_form(text: str, message: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "answers.yaml"
    file.write_text(text)
    assert run(["coupon", "controller", "--answers", str(file)]) == 2
    assert message in capsys.readouterr().err
