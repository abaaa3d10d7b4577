"""Which operation takes how long: by hand on one hole, and on whole jobs in every dialect."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import attrs
import numpy as np
import pytest

import kerfwright as kw
from kerfwright.resultfile import result_dict
from kerfwright.shell import run
from kerfwright.timing import operation_times

REGISTRY = kw.Registry.load()
JOB = """
job: tag
machine:
  travel: [300, 300, 80]
  home: true
  spindle: {least: 6000, most: 24000, wake_s: 4, run_down_s: 7}
  feed: {xy: 3000, z: 600}
  rapid: {xy: 6000, z: 1200}
sheet: {material: acrylic, size: [80, 60], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}
planes: {travel: 8, approach: 2}
cutters:
  drill: {form: drill, diameter: 3.2, point_angle: 118, flute_length: 12}
  mill: {form: end_mill, flutes: straight, diameter: 3, teeth: 1, flute_length: 12}
parts:
  - name: tag
    at: [15, 15]
    shapes:
      - rectangle: {corner: [0, 0], size: [40, 20], radius: 4}
      - circle: {center: [8, 10], diameter: 3.2}
      - circle: {center: [25, 10], diameter: 10}
operations:
  - drill: {cutter: drill, select: {circles: 3.2}, cycle: straight, plunge_feed: 60}
  - profile: {cutter: mill, select: {circles: 10}}
  - profile: {cutter: mill, select: outer}
"""
GIVEN = ("rapid: {xy: 6000, z: 1200}", "rapid: {xy: 6000, z: 1200}\n  acceleration: {xy: 400, z: 100}")


def made(tmp_path: Path, *swaps: tuple[str, str]) -> kw.Result:
    text = JOB
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "tag.yaml"
    path.write_text(text)
    result = kw.make(kw.load_job(path, REGISTRY), REGISTRY)
    assert result.ok, result.findings
    return result


def cutting(result: kw.Result) -> list[dict[str, Any]]:
    return [p for p in result_dict(result)["programs"] if p["kind"] == "program"]


@pytest.mark.parametrize(
    ("swaps", "seconds", "kind"),
    [
        # Z 8 to 2 by rapid, 20 mm/s: 0.3 s; 2 to -(2 + 0.4 + 1.6 / tan 59) = -3.3614 at 1 mm/s: 5.3614 s; 11.3614 mm up: 0.5681 s
        ((), 6.2295, "least"),
        # down: 0.2 s and 2 mm, 0.19 s and 1.995 mm to 1 mm/s, 2.005 mm: 0.4903 s; 5.3564 mm at 1 mm/s and 0.01 s; up: 0.4 s and
        # 7.3614 / 20 = 0.3681 s
        ((GIVEN,), 6.6247, "accelerated"),
    ],
)
def test_one_hole_by_hand(tmp_path: Path, swaps: tuple[tuple[str, str], ...], seconds: float, kind: str) -> None:
    first, second, _ = made(tmp_path, *swaps).programs
    (hole,) = first.operations
    assert (hole.operation, hole.cutter, first.time_kind) == ("operations[0].drill", "drill", kind)
    assert hole.time_s == pytest.approx(seconds, abs=2e-3)  # the bottom is written to 0.001 mm
    # what is left: 4 s and 7 s of the spindle. From an unknown place there is no way to the first hole
    assert first.time_s - hole.time_s == pytest.approx(11.0)
    assert [o.operation for o in second.operations] == ["operations[1].profile", "operations[2].profile"]
    assert second.time_s - sum(o.time_s for o in second.operations) == pytest.approx(11.0)


@pytest.mark.parametrize(
    ("dialect", "change"), [*((name, "pause") for name in REGISTRY.dialects), ("iso6983", "automatic")]
)
def test_in_every_dialect_each_operation_is_found(tmp_path: Path, dialect: str, change: str) -> None:
    """The plan has the lengths, the text the moves; arcs as chords and restated words do not hide an operation."""
    several = {"base": dialect, **({} if dialect.startswith("nist6556-") else {"run": {"cutter_change": change}})}
    programs = cutting(made(tmp_path, GIVEN, ("operations:", f"output: {several}\noperations:")))
    assert [o["operation"] for p in programs for o in p["operations"]] == [
        "operations[0].drill",
        "operations[1].profile",
        "operations[2].profile",
    ]
    for p in programs:
        assert p["between_s"] >= 11.0
        assert round(sum(o["time_s"] for o in p["operations"]) + p["between_s"], 1) == p["time_s"]
    together = len(programs) == 1
    assert sum(p["waiting_s"] for p in programs) == (60.0 if together else 0.0)
    assert sum(p["stops"] for p in programs) == (0 if not together else 2 if change == "automatic" else 1)


def test_a_stop_between_operations_belongs_to_none(tmp_path: Path) -> None:
    """Spindle set by hand to another speed for the last operation: 7 s run down and 4 s wake up more, and two stops."""
    by_hand = ("most: 24000", "most: 24000, by_hand: true")
    swaps = (GIVEN, ("select: outer}", "select: outer, spindle: 12000}"))
    (_, plain, _), (_, stopped, _) = made(tmp_path, *swaps).programs, made(tmp_path, *swaps, by_hand).programs
    assert stopped.times is not None
    assert stopped.times.waits.stops == 2
    assert stopped.times.waiting_s == 0
    assert [o.time_s for o in stopped.operations] == pytest.approx([o.time_s for o in plain.operations], abs=0.05)
    rest = [p.time_s - sum(o.time_s for o in p.operations) for p in (plain, stopped)]
    # without hands the speed changes on the move, with its own 4 s of waiting
    assert rest == pytest.approx([4 + 4 + 7, 4 + 7 + 4 + 7], abs=0.05)


def test_both_halves_of_a_skin_are_one_operation(tmp_path: Path) -> None:
    (_, second, _) = made(
        tmp_path, GIVEN, ("circles: 10}}", "circles: 10}, skin: 0.3}"), ("outer}", "outer, skin: 0.3}")
    ).programs
    assert [o.operation for o in second.operations] == ["operations[1].profile", "operations[2].profile"]
    assert second.time_s - sum(o.time_s for o in second.operations) == pytest.approx(11.0, abs=0.05)


def test_a_text_that_does_not_follow_the_plan_has_no_operations(tmp_path: Path) -> None:
    (_, second, walk) = made(tmp_path, GIVEN).programs
    assert second.program is not None
    assert second.moves is not None
    assert second.times is not None
    assert operation_times(second.program, second.moves, second.times) == second.operations
    moved = attrs.evolve(second.moves, curve=second.moves.curve.moved(0.1, 0.0))
    assert operation_times(second.program, moved, second.times) == ()
    nodes = second.moves.curve.nodes.copy()
    nodes[5:-20, 2] += np.where(np.arange(len(nodes[5:-20])) % 2, 3.0, 0.0)  # a way that is longer than the plan's
    longer = attrs.evolve(second.moves, curve=attrs.evolve(second.moves.curve, nodes=nodes))
    assert operation_times(second.program, longer, second.times) == ()
    assert walk.operations == ()


@pytest.mark.parametrize(("swaps", "least"), [((), True), ((GIVEN,), False)])
def test_least_is_said_only_where_it_is(
    tmp_path: Path, swaps: tuple[tuple[str, str], ...], least: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    made(tmp_path, *swaps)
    assert run(["make", str(tmp_path / "tag.yaml"), "--out", str(tmp_path)]) == 0
    rows = [line for line in capsys.readouterr().out.splitlines() if " m cut " in line]
    assert len(rows) == 3
    assert all(re.search(r"m cut  at least \d+:\d\d min$" if least else r"m cut  \d+:\d\d min$", row) for row in rows)
    page = (tmp_path / "tag" / "run-sheet.html").read_text()
    assert page.count("Time at least (min:s)") == (2 if least else 0)
    assert ("as the machine does not say its acceleration" in page) is least
    for said in ("<td>1</td><td>drill</td><td>drill</td>", "<td>3</td><td>profile</td><td>mill</td>", "together"):
        assert said in page
