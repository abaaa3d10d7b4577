"""Holes wider than the cutter: the way around, and through the whole way."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from attrs import define

import kerfwright as kw
from kerfwright.curve import Curve
from kerfwright.errors import BrokenPromise, InputError, NoRoom
from kerfwright.proof import prove, reading_of
from kerfwright.registry import Registry
from kerfwright.strategy import Cycle
from kerfwright_plugins.cycle.helical import Helical

REGISTRY = Registry.load()
JOB = """
job: station
machine: light-router
sheet: {{material: cfrp, size: [100, 80], thickness: 2, breakthrough: 0.4, board: 12, hold: screws}}
cutters:
  mill: {{form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}
  drill: {{form: drill, diameter: 3, point_angle: 118, flute_length: 18}}
parts:
  - {{name: plate, shapes: [{{rectangle: {{corner: [0, 0], size: [60, 40]}}}}, {holes}], at: [20, 20]}}
operations:
  - drill: {{{says}}}
  - profile: {{cutter: mill, select: outer, bridges: {{width: 0.8, thickness: 0.5, spacing: 40}}}}
output: {{dialect: nist6556}}
"""


def made(folder: Path, says: str, *diameters: float) -> kw.Result:
    holes = ", ".join(f"{{circle: {{center: [{6 + 9 * k}, 15], diameter: {d}}}}}" for k, d in enumerate(diameters))
    path = folder / "station.yaml"
    path.write_text(JOB.format(holes=holes, says=says))
    return kw.make(kw.load_job(path, REGISTRY), REGISTRY)


@pytest.mark.parametrize(("wider", "cutter"), [(0.1, 1.0), (0.55, 1.0), (1.0, 1.0), (0.3, 0.4), (2.9, 3.0)])
def test_the_way_around(wider: float, cutter: float) -> None:
    """Down a little off the wall, once around there at the bottom, once around along it; nothing stays in the middle."""
    cycle = Helical(angle=4, finish=0.1)
    way = cycle.bored(wider, cutter, 0.0, -2.4, 1.0)
    z, r = way.nodes[:, 2], np.hypot(*way.flat(1e-4)[0][:, :2].T)
    inner = wider - min(0.1, wider / 4)
    falls = np.diff(z) < -1e-9
    slope = -np.diff(z)[falls] / way.lengths[falls]
    assert slope.max() <= math.tan(math.radians(4)) * (1 + 1e-9)
    assert np.hypot(*way.nodes[:-1][falls][:, :2].T) == pytest.approx(np.full(falls.sum(), inner))
    assert r.max() <= wider + 1e-6
    assert r.min() >= inner - 1e-3
    flat = way.lengths[~falls]
    assert (z[1:][~falls] == -2.4).all()
    assert flat.sum() == pytest.approx(2 * math.pi * (inner + wider + (inner + wider) / 2))
    assert (way.turns > 0).all()
    assert inner < cutter  # no core: every place of the helix takes the middle


def test_a_turn_falls_by_no_more_than_the_axial_depth() -> None:
    """2 pi 0.9 mm at 30 degrees would fall 3.3 mm; with 0.5 mm a turn, 2.4 mm take five turns of 0.48 mm."""
    way = Helical(angle=30).bored(1.0, 1.0, 0.0, -2.4, 0.5)
    at = (np.abs(way.nodes[:, :2] - way.start[:2]).max(1) < 1e-9) & (way.nodes[:, 2] > -2.4)
    assert way.nodes[at, 2] == pytest.approx([0, -0.48, -0.96, -1.44, -1.92])


@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
@pytest.mark.parametrize("depth", ["through", "0.8"])
def test_holes_of_many_widths(tmp_path: Path, depth: str, cutmode: str) -> None:
    says = f"cutter: mill, cutmode: {cutmode}, depth: {depth}, select: {{circles: [2, 5]}}, cycle: helical"
    result = made(tmp_path, says, 2.2, 2.5, 3.0, 3.8, 4.1, 3.8)
    assert result.ok, result.findings
    assert max(p.worst_gouge_mm for p in result.parts) <= 0.005
    assert max(p.worst_leftover_mm for p in result.parts) <= 0.005
    moves = result.programs[0].moves
    assert moves is not None
    # the last lap of the 3.8 mm holes, whose center circle is 0.9 mm in radius, keeps its sense
    cuts = np.abs(np.abs(moves.curve.radii) - 0.9) < 1e-3
    assert cuts.any()
    deepest = moves.curve.nodes[1:, 2] < (-2 if depth == "through" else -0.79)
    sense = np.sign(moves.curve.turns[cuts & deepest])
    assert set(sense.tolist()) == {1.0 if cutmode == "climb" else -1.0}


def test_a_hole_cut_to_the_wrong_circle_is_found(tmp_path: Path) -> None:
    """The proof asks for the circle's own diameter: a program for 3.0 mm leaves 0.1 mm of a 3.2 mm hole."""
    says = "cutter: mill, select: {circles: [2, 5]}, cycle: helical"
    small = made(tmp_path, says, 3.0).programs
    (tmp_path / "wide").mkdir()
    wide = made(tmp_path / "wide", says, 3.2)
    (setup,) = wide.setups
    readings = [reading_of(p.file, p.kind, p.text, p.dialect, setup.job, REGISTRY) for p in small]
    worst = max(part.worst_leftover_mm for part in prove(setup, readings, REGISTRY).parts)
    assert worst == pytest.approx(0.1, abs=0.01)
    readings = [reading_of(p.file, p.kind, p.text, p.dialect, setup.job, REGISTRY) for p in wide.programs]
    (tmp_path / "narrow").mkdir()
    (setup,) = made(tmp_path / "narrow", says, 3.0).setups
    worst = max(part.worst_gouge_mm for part in prove(setup, readings, REGISTRY).parts)
    assert worst == pytest.approx(0.1, abs=0.01)


REFUSED = [
    ("cutter: mill, cycle: helical", 4.2, "operations[0].drill.cycle", "a hole of 4.2 mm keeps a core, allowed: at most 4.1 mm; clear it as a pocket"),
    ("cutter: mill, cycle: helical", 2.05, "operations[0].drill.select", "too narrow for the cycle helical, allowed: above 2.1 mm"),
    ("cutter: mill, cycle: straight", 3.0, "operations[0].drill.cutter", "found 'mill', which is of form end_mill, allowed: one of form drill"),
    ("cutter: drill, cycle: helical", 4.0, "operations[0].drill.cutter", "found 'drill', which is of form drill, allowed: one of form end_mill"),
    ("cutter: drill, cycle: straight", 4.0, "operations[0].drill.select", "not the hole of a drill of 3 mm, allowed: within 0.1 mm"),
]  # fmt: skip


@pytest.mark.parametrize(("says", "diameter", "key", "message"), REFUSED)
def test_refused(tmp_path: Path, says: str, diameter: float, key: str, message: str) -> None:
    with pytest.raises(InputError) as told:
        made(tmp_path, f"{says}, select: {{circles: [2, 5]}}", diameter)
    (fault,) = told.value.faults
    assert fault.path == key
    assert fault.message.endswith(message)


def test_it_has_no_strokes() -> None:
    with pytest.raises(NoRoom, match="a helix needs a hole wider than the cutter"):
        Helical()(2.0, -1.0)


def ways() -> dict[str, Curve]:
    """Each breaks one promise in a hole whose center circle is 0.5 mm in radius."""
    lap = Curve.circle(0, 0, 0.5)
    down = Curve.join([lap] * 3).at_z(0, -1)
    return {
        "begins at top": Curve.join([lap] * 3).at_z(0.1, -1),
        "stays in the hole": Curve.join([Curve.circle(0.1, 0, 0.5)] * 3).at_z(0, -1),
        "all around at the bottom": down,
        "no more than the axial depth": Curve.join([lap.at_z(0, -1), lap.at_z(-1)]),
    }


@pytest.mark.parametrize("rule", ways())
def test_a_broken_promise_is_told(rule: str) -> None:
    @define(frozen=True, kw_only=True)
    class Odd(Cycle):
        name = "odd"
        wide = True

        def around(self, wider: float, cutter: float, top: float, bottom: float, axial_depth: float) -> Curve:
            return ways()[rule]

    with pytest.raises(BrokenPromise, match=f"cycle odd .*{rule}"):
        Odd().bored(0.5, 1.0, 0.0, -1.0, 0.5)
