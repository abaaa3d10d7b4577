"""Allowances, spring passes and skins, the whole way: what is left is measured by the second method, which knows no plan."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import kerfwright as kw
from kerfwright.placing import place
from kerfwright.proof import prove, reading_of
from kerfwright.registry import Registry


def _second_method() -> Any:
    path = Path(__file__).parents[2] / "second_method.py"
    spec = importlib.util.spec_from_file_location("kerfwright_second_method_finishing", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


second = _second_method()

SHEET = """
job: trial
machine: light-router
sheet: {material: cfrp, size: [120, 80], thickness: {nominal: 2, least: 1.95, most: 2.1}, breakthrough: 0.4, board: 12,
  hold: HOLD, zero: {z: ZERO}}
cutters:
  mill: {form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}
  fine: {form: end_mill, flutes: compression, diameter: 1.5, teeth: 2, flute_length: 8}
parts:
  - name: plate
    at: [20, 20]
    shapes:
      - rectangle: {corner: [0, 0], size: [60, 40], radius: 3, layer: edge}
      - circle: {center: [12, 20], diameter: 12}
      - rectangle: {corner: [30, 8], size: [24, 24], radius: 2, layer: recess}
      - circle: {center: [42, 20], diameter: 8, layer: recess}
operations:
"""
REGISTRY = Registry.load()
REST = {
    "outer": "  - profile: {cutter: fine, select: {layer: edge}}\n",
    "hole": "  - profile: {cutter: fine, select: {circles: 12}}\n",
    "recess": "  - pocket: {cutter: fine, select: {layer: recess}, depth: 0.8, radial_depth: 0.4}\n",
}
OUTER = second.moved(second.rectangle((0, 0), (60, 40), 3), 0, 20, 20)
HOLE = second.moved(second.circle((12, 20), 12), 0, 20, 20)
RECESS = second.moved(second.rectangle((30, 8), (24, 24), 2), 0, 20, 20)
ISLAND = second.moved(second.circle((42, 20), 8), 0, 20, 20)


def made(operations: str, hold: str = "tape", zero: str = "sheet_top") -> Any:
    text = SHEET.replace("HOLD", hold).replace("ZERO", zero) + operations
    return kw.make(kw.load_job("trial.yaml", REGISTRY, text=text), REGISTRY)


def errors(result: Any) -> list[str]:
    return [f"{f.check}: {f.message}" for f in result.findings if f.severity == "error"]


def cuts(result: Any, only: str = "") -> list[Any]:
    """Programs as the second method reads them."""
    radius = {"mill": 1.0, "fine": 0.75}
    return [
        (second.read(p.text), radius[p.cutter.name], 0.0)
        for p in result.programs
        if p.kind == "program" and only in p.file
    ]


WALLS = {"outer": (OUTER,), "hole": (HOLE,), "recess": (RECESS, ISLAND)}
ROUGH = {
    "outer": "  - profile: {cutter: mill, select: {layer: edge}, ",
    "hole": "  - profile: {cutter: mill, select: {circles: 12}, ",
    "recess": "  - pocket: {cutter: mill, select: {layer: recess}, depth: 0.8, radial_depth: 0.4, ",
}
FLOORS = {  # without allowance: through, or 0.8 mm below the top; with: from the underside where it counts
    ("sheet_top", "through"): (-2.5, -1.95),
    ("board_top", "through"): (-0.4, 0.0),
    ("sheet_top", "recess"): (-0.8, -0.8),
    ("board_top", "recess"): (1.2, 1.2),
}
CASES = [  # each pair of values is there
    ("outer", 0.1, 0.0, "climb", "sheet_top"),
    ("outer", 0.3, 0.15, "conventional", "board_top"),
    ("outer", 0.3, 0.0, "climb", "board_top"),
    ("hole", 0.1, 0.0, "conventional", "board_top"),
    ("hole", 0.3, 0.15, "climb", "sheet_top"),
    ("hole", 0.1, 0.15, "conventional", "sheet_top"),
    ("recess", 0.1, 0.15, "climb", "board_top"),
    ("recess", 0.3, 0.0, "conventional", "sheet_top"),
    ("recess", 0.3, 0.15, "climb", "sheet_top"),
]


@pytest.mark.parametrize(("what", "side", "bottom", "mode", "zero"), CASES)
def test_what_is_left_is_as_thick_as_asked_and_then_taken(
    what: str, side: float, bottom: float, mode: str, zero: str
) -> None:
    rough = f"{ROUGH[what]}cutmode: {mode}, allowance: {{side: {side}, bottom: {bottom}}}}}\n"
    others = "".join(text for key, text in REST.items() if key not in (what, "outer"))
    finish = "" if what == "outer" else REST[what]
    result = made((others + rough if what == "outer" else rough + finish + others) + REST["outer"], zero=zero)
    assert errors(result) == []
    assert all(p.worst_gouge_mm <= 0.005 and p.worst_leftover_mm <= 0.005 for p in result.parts)
    programs = cuts(result, "-mill")
    z0, z1 = FLOORS[zero, "recess" if what == "recess" else "through"]
    floor = z1 + bottom if bottom else z0
    low = min(m.b[2] for said, _, _ in programs for m in said.moves)
    assert low == pytest.approx(floor, abs=0.0015)
    cut = second.Cut.at(programs, floor + 0.01)
    for wall in WALLS[what]:
        left = cut.short(second.samples(wall)[0])
        assert abs(left - side).max() < 0.005
    assert not any(f.message.endswith("finishes") for f in result.findings)


@pytest.mark.parametrize("times", [0, 1, 3])
def test_a_spring_pass_is_the_same_lap_again_without_another_entry(times: int) -> None:
    outer = "select: {layer: edge}, lead: {tangent: {radius: 1}}, axial_depth: 1}\n"
    result = made(REST["hole"] + REST["recess"] + f"  - profile: {{cutter: mill, repeat: {times}, {outer}")
    assert errors(result) == []
    ((said, _, _),) = cuts(result, "-mill")
    floor = [m for m in said.moves if m.kind and m.b[2] < -2.4995 and m.a[2] < -2.4995]
    each = [
        k for k, m in enumerate(floor) if np.hypot(*(m.b[:2] - (81, 57))) < 0.002
    ]  # a straight of the lap ends there
    assert len(each) == 1 + times
    laps = [[(*m.b, m.kind) for m in floor[a:b]] for a, b in zip(each, each[1:])]
    assert all(lap == laps[0] for lap in laps)
    assert len([m for m in said.moves if m.kind == 0 and m.b[2] < m.a[2] - 1]) == 3  # one way down a pass


def test_spring_passes_of_a_pocket_go_along_its_walls_at_its_floor() -> None:
    rest = REST["hole"] + REST["outer"]
    plain, again = (cuts(made(ROUGH["recess"] + f"repeat: {n}}}\n" + rest), "-mill")[0][0] for n in (0, 2))
    for at in ((73.0, 45.0), (57.0, 40.0)):  # a radius off the recess's right wall, and off the island's left

        def passed(said: Any, here: tuple[float, float] = at) -> int:
            one = [m for m in said.moves if m.kind and max(m.a[2], m.b[2]) < -0.7995]
            return sum(_passes(m, here) for m in one)

        assert passed(again) - passed(plain) == 2
    assert [min(m.b[2] for m in said.moves) for said in (plain, again)] == [-0.8, -0.8]


def _passes(m: Any, at: tuple[float, float]) -> bool:
    """Whether a move passes a place or ends there; not where it only begins there."""
    p = np.array([at])
    if m.arc is None:
        near = second.to_lines(p, np.array([[*m.a[:2], *m.b[:2]]]))[0, 0]
    else:
        near = second.to_arcs(p, np.array([m.arc]))[0, 0]
    begins = np.hypot(*(m.a[:2] - at)) < 0.002
    return bool(near < 0.002 and not begins and np.hypot(*(m.b[:2] - m.a[:2])) > 0.001)


def test_spring_passes_rise_over_bridges_every_time() -> None:
    outer = "select: {layer: edge}, bridges: {width: 0.8, thickness: 0.5, spacing: 60}}\n"
    jobs = [REST["hole"] + REST["recess"] + f"  - profile: {{cutter: mill, repeat: {n}, {outer}" for n in (0, 2)]
    plain, again = (cuts(made(job), "-mill")[0][0] for job in jobs)
    assert errors(made(jobs[1])) == []

    def on_top(said: Any) -> int:
        return sum(1 for m in said.moves if m.kind and max(abs(m.a[2] + 1.45), abs(m.b[2] + 1.45)) < 1e-3)

    def laps(said: Any) -> int:
        return sum(1 for m in said.moves if m.kind and np.hypot(*(m.b[:2] - (81, 57))) < 0.002 and m.b[2] < -2.4)

    assert laps(again) - laps(plain) == 2
    assert on_top(plain) >= 4
    assert (on_top(again) - on_top(plain)) % 2 == 0
    assert on_top(again) - on_top(plain) >= 2 * 4


SKINNED = (
    "  - profile: {cutter: mill, select: {circles: 12}, skin: 0.3}\n"
    "  - profile: {cutter: mill, select: {layer: edge}, allowance: {side: 0.2, bottom: 0.3}}\n"
    "  - profile: {cutter: fine, select: {layer: edge}, skin: 0.3, repeat: 1}\n"
    "  - pocket: {cutter: fine, select: {layer: recess}, depth: 0.8, radial_depth: 0.4}\n"
)


@pytest.mark.parametrize(("zero", "skin_at", "floor"), [("sheet_top", -1.65, -2.5), ("board_top", 0.3, -0.4)])
def test_with_a_skin_nothing_is_through_before_all_else_is_done(zero: str, skin_at: float, floor: float) -> None:
    result = made(SKINNED, zero=zero)
    assert errors(result) == []
    moves = [m for said, _, _ in cuts(result) for m in said.moves]
    low = np.array([np.fmin(m.a[2], m.b[2]) for m in moves])
    first = int(np.flatnonzero(low < skin_at - 0.001)[0])
    assert low[:first].min() == pytest.approx(skin_at, abs=0.001)
    top = 0.0 if zero == "sheet_top" else 2.1
    late = [m for m in moves[first:] if m.kind and min(m.a[2], m.b[2]) < top - 0.01 and m.a[2] < top]
    assert max(m.b[2] for m in late) <= skin_at + 0.001  # from there on, only what lies under skins is cut
    assert min(m.b[2] for m in late) == pytest.approx(floor, abs=0.001)
    assert {p.held_by for p in result.parts} == {"tape"}
    assert [w.path for w in result.setups[0].works if w.last] == ["operations[0].profile", "operations[2].profile"]


WRONG = [
    # in the job, instead; the checks that must tell that these programs are for another job
    ("side: 0.2", "side: 0.21", {"allowance"}),
    ("side: 0.2", "side: 0.19", {"allowance"}),
    ("bottom: 0.3", "bottom: 0.32", {"allowance"}),
    ("bottom: 0.3", "bottom: 0.28", {"allowance", "skin"}),
    ("skin: 0.3, repeat", "skin: 0.4, repeat", {"allowance", "from_depth", "skin"}),
    ("skin: 0.3, repeat", "skin: 0.2, repeat", {"allowance", "from_depth", "skin"}),
    ("circles: 12}, skin: 0.3", "circles: 12}, skin: 0.2", {"allowance", "from_depth", "skin"}),
]


@pytest.fixture(scope="module")
def skinned() -> list[tuple[str, str]]:
    return [(p.file, p.text) for p in made(SKINNED).programs if p.kind == "program"]


def codes(text: str, files: list[tuple[str, str]]) -> set[str]:
    job = kw.load_job("trial.yaml", REGISTRY, text=SHEET.replace("HOLD", "tape").replace("ZERO", "sheet_top") + text)
    (setup,) = place(job, REGISTRY)
    readings = [reading_of(name, "program", body, "nist6556", job, REGISTRY) for name, body in files]
    found = {f.check for f in prove(setup, readings, REGISTRY).findings if f.severity == "error"}
    return found - {"walk_round"}


@pytest.mark.parametrize(("old", "new", "told"), WRONG)
def test_programs_that_leave_more_or_less_than_the_job_says_are_not_proved(
    skinned: list[tuple[str, str]], old: str, new: str, told: set[str]
) -> None:
    assert codes(SKINNED.replace(old, new, 1), skinned) == told


def test_skins_cut_before_the_rest_are_told(skinned: list[tuple[str, str]]) -> None:
    assert len(skinned) == 4  # mill; fine; mill: a skin; fine: a skin
    assert codes(SKINNED, skinned) == set()
    assert codes(SKINNED, [skinned[0], skinned[2], skinned[1], skinned[3]]) == {"skin"}


def test_what_nothing_finishes_stays_too_big_and_is_told() -> None:
    result = made(REST["hole"] + REST["recess"] + ROUGH["outer"] + "allowance: {side: 0.2}}\n")
    assert errors(result) == []
    cut = second.Cut.at(cuts(result), -2.49)
    assert abs(cut.short(second.samples(OUTER)[0]) - 0.2).max() < 0.005
    assert [f.message for f in result.findings if f.severity == "warning"] == [
        "operations[2].profile leaves 0.2 mm at the side that no later operation finishes: part 'plate': outer outline of "
        "60 x 40 mm on layer 'edge' at (0, 0)"
    ]


def test_bridges_stand_alike_in_rough_and_finishing_cuts_and_count_once() -> None:
    bridges = "bridges: {width: 0.8, thickness: 0.5, spacing: 60}}\n"
    text = ROUGH["outer"] + "allowance: {side: 0.2}, " + bridges + REST["outer"].replace("}}\n", "}, " + bridges)
    result = made(REST["hole"] + REST["recess"] + text)
    assert errors(result) == []
    assert [p.held_by for p in result.parts] == ["4 bridges"]
    assert not [f for f in result.findings if f.check == "bridge"]


def test_a_finishing_pass_deeper_than_the_axial_depth_is_told() -> None:
    rough = ROUGH["outer"] + "allowance: {side: 0.2}}\n"
    fine = REST["outer"].replace("}}\n", "}, passes: single, axial_depth: 1}\n")
    told = [f.message for f in made(REST["hole"] + REST["recess"] + rough + fine).findings if f.check == "plan"]
    assert told == [
        "operations[3].profile: a pass takes 2.5 mm at once, the axial depth of its rates is 1 mm; of the wall only the "
        "0.2 mm that operations[2].profile leaves stand there"
    ]
    told = [f.message for f in made(REST["hole"] + REST["recess"] + fine).findings if f.check == "plan"]
    assert told == ["operations[2].profile: a pass takes 2.5 mm at once, the axial depth of its rates is 1 mm"]


REFUSED = [
    (
        "  - profile: {cutter: mill, select: {layer: edge}, passes: {listed: {depths: [1, 2, 3]}}, axial_depth: 1}\n",
        "operations[2].profile.passes: found a depth of 3 mm, allowed: at most 2.5 mm, the floor",
    ),
    (
        "  - profile: {cutter: mill, select: {layer: edge}, passes: {listed: {depths: [1, 2]}}, axial_depth: 0.9}\n",
        "operations[2].profile.passes: found 1 mm in one pass, down to 1 mm, allowed: at most the axial depth of 0.9 mm, or "
        "say another `axial_depth`",
    ),
    (
        "  - profile: {cutter: mill, select: {layer: edge}, passes: {listed: {depths: []}}}\n",
        "operations[2].profile.passes.listed.depths: found none, allowed: one number above 0 mm or more, each above the last",
    ),
    (
        "  - profile: {cutter: mill, select: {layer: edge}, passes: {listed: {}}}\n",
        "operations[2].profile.passes.listed.depths: found nothing, allowed: ",
    ),
    (
        ROUGH["recess"] + "allowance: {side: 0.2}, corners: {relief: {toward: bisector}}}\n" + REST["outer"],
        "a relief belongs to the finished wall, and this operation leaves 0.2 mm at the side; allowed: `corners` on the "
        "operation that finishes it",
    ),
    (
        "  - profile: {cutter: mill, select: {circles: 12}, allowance: {side: 5.5}}\n" + REST["outer"],
        "found a cutter of 2 mm, allowed: at most 0.97 mm, the largest that enters",
    ),
]


@pytest.mark.parametrize(("text", "message"), REFUSED)
def test_what_contradicts_itself_is_refused(text: str, message: str) -> None:
    sharp = SHEET.replace("radius: 2, layer: recess", "layer: recess")
    sharp = sharp.replace("HOLD", "tape").replace("ZERO", "sheet_top")
    first = "" if "circles" in text else REST["hole"]
    with pytest.raises(kw.InputError) as e:
        kw.make(kw.load_job("trial.yaml", REGISTRY, text=sharp + first + REST["recess"] + text), REGISTRY)
    assert any(message in str(f) for f in e.value.faults), e.value.faults
