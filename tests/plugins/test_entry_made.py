"""Entries through the whole way: job file, plan, text, read back, proved."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely

import kerfwright as kw
from kerfwright.errors import InputError
from kerfwright.program import Motion, Role
from kerfwright.registry import Registry
from kerfwright.result import Result

REGISTRY = Registry.load()
JOB = """
job: station
machine: light-router
sheet: {{material: cfrp, size: [{width:.0f}, {height:.0f}], thickness: 2, breakthrough: 0.4, board: 12, hold: {hold}}}
cutters:
  mill: {{form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}
  drill: {{form: drill, diameter: 3, point_angle: 118, flute_length: 18}}
parts:
  - {{name: plate, shapes: [{shapes}], at: [20, 20]}}
operations:
{operations}
output: {{dialect: nist6556}}
"""
HELD = "bridges: {width: 0.8, thickness: 0.5, spacing: 25}"


def made(
    folder: Path, *operations: str, shapes: str, size: tuple[float, float] = (60, 40), hold: str = "screws"
) -> Result:
    done = "\n".join(f"  - {o}" for o in operations)
    text = JOB.format(shapes=shapes, operations=done, hold=hold, width=size[0] + 40, height=size[1] + 40)
    path = folder / "station.yaml"
    path.write_text(text)
    return kw.make(kw.load_job(path, REGISTRY), REGISTRY)


def wkt(shape: shapely.Polygon) -> str:
    return f"{{wkt: '{shapely.to_wkt(shape, rounding_precision=6)}'}}"


def clean(result: Result) -> None:
    assert result.ok, [f.message for f in result.findings if f.severity == "error"]
    for part in result.parts:
        assert part.worst_gouge_mm <= 0.005
        assert part.worst_leftover_mm <= 0.005


ENTRIES = ["helix", "{helix: {angle: 8, radius: 0.4}}", "zigzag", "{zigzag: {angle: 6, length: 2}}"]


@pytest.mark.parametrize(("entry", "cutmode"), [(ENTRIES[0], "climb"), (ENTRIES[3], "conventional")])
def test_profiles_of_every_outline(tmp_path: Path, shape: shapely.Polygon, entry: str, cutmode: str) -> None:
    says = f"cutter: mill, entry: {entry}, cutmode: {cutmode}"
    sides = ("inner", "outer") if len(shape.interiors) else ("outer",)
    x0, y0, x1, y1 = shape.bounds
    operations = [f"profile: {{{says}, select: {side}}}" for side in sides]
    clean(made(tmp_path, *operations, shapes=wkt(shape), size=(x1 - x0, y1 - y0), hold="tape"))


@pytest.mark.parametrize("entry", ENTRIES[::2])
@pytest.mark.parametrize("name", ["neck", "comb", "rib", "star"])
def test_recesses_of_an_outline(tmp_path: Path, shapes: dict[str, shapely.Polygon], name: str, entry: str) -> None:
    """The area of each outline cleared to 0.8 mm in a plate 6 mm larger, its holes left as islands."""
    x0, y0, x1, y1 = shapes[name].bounds
    plate = f"{{rectangle: {{corner: [{x0 - 6:.3f}, {y0 - 6:.3f}], size: [{x1 - x0 + 12:.3f}, {y1 - y0 + 12:.3f}]}}}}"
    pocket = f"pocket: {{cutter: mill, select: {{layer: low}}, depth: 0.8, radial_depth: 0.4, entry: {entry}}}"
    outer = f"profile: {{cutter: mill, select: outer, entry: {entry}, {HELD}}}"
    low = wkt(shapely.Polygon(shapes[name].exterior)).replace("}", ", layer: low}")
    clean(made(tmp_path, pocket, outer, shapes=f"{plate}, {low}", size=(x1 - x0 + 12, y1 - y0 + 12)))


FRAME = "{rectangle: {corner: [0, 0], size: [60, 40]}}"
OPENING = "{rectangle: {corner: [30, 8], size: [20, 14]}}"
SPECK = "{rectangle: {corner: [10, 10], size: [2.022, 2.001]}}"
SLIT = "{rectangle: {corner: [10, 10], size: [8, 2.001]}}"
HOLE = "{circle: {center: [15, 25], diameter: 2.03}}"

REFUSED = [
    ("ramp", SPECK, "a cut of 0.046 mm is too short for a ramp; enter along the tool axis there"),
    ("helix", SPECK, "beside the start not even a helix of 0.1 mm radius fits"),
    ("helix", SLIT, "beside the start not even a helix of 0.1 mm radius fits"),
    ("helix", HOLE, "beside the start not even a helix of 0.1 mm radius fits"),
    ("zigzag", SPECK, "at the start of the cut there is no straight piece of 0.05 mm"),
    ("zigzag", HOLE, "at the start of the cut there is no straight piece of 0.05 mm"),
]  # fmt: skip


def profiles(entry: str = "") -> tuple[str, str]:
    said = f"entry: {entry}, " if entry else ""
    return (
        f"profile: {{cutter: mill, select: inner, axial_depth: 0.8, {said}{HELD}}}",
        f"profile: {{cutter: mill, select: outer, {HELD}}}",
    )


@pytest.mark.parametrize(("entry", "opening", "message"), REFUSED)
def test_no_room_is_told_of_the_outline(tmp_path: Path, entry: str, opening: str, message: str) -> None:
    """What the job says is never changed: no other entry is tried."""
    with pytest.raises(InputError) as told:
        made(tmp_path, *profiles(entry), shapes=f"{FRAME}, {OPENING}, {opening}")
    (fault,) = told.value.faults
    assert fault.path == "operations[0].profile.entry"
    assert fault.message.endswith(f": no room: {message}")


def test_where_nothing_else_fits_straight_down_and_a_note(tmp_path: Path) -> None:
    free = [f"profile: {{cutter: mill, select: {side}, axial_depth: 0.8}}" for side in ("inner", "outer")]
    result = made(tmp_path, *free, shapes=f"{FRAME}, {OPENING}, {SPECK}", hold="tape")
    clean(result)
    (note,) = [f for f in result.findings if f.check == "plan"]
    assert note.severity == "note"
    assert note.program == "station-1-mill.nc"
    assert note.message == (
        "operations[0].profile, part 'plate' copy 1, outline of 2.022 x 2.001 mm at (30.000, 30.000): entry toolaxis: "
        "no room for ramp (a cut of 0.046 mm is too short for a ramp; enter along the tool axis there), "
        "no room for helix (beside the start not even a helix of 0.1 mm radius fits)"
    )
    # straight down in that hole only: elsewhere no way down is steeper than a ramp's 3 degrees
    (program,) = [p.program for p in result.programs if p.kind == "program"]
    assert program is not None
    (motion,) = [s for s in program.steps if isinstance(s, Motion)][:1]
    curve = motion.curve
    fall = (motion.roles == Role.APPROACH) & (curve.nodes[1:, 2] < -1e-6) & (motion.feeds > 0)
    steep = fall & (-(curve.nodes[1:, 2] - curve.nodes[:-1, 2]) > curve.lengths * 0.0525)
    assert steep.sum() == 3  # one for each pass
    assert abs(curve.nodes[1:][steep][:, :2] - [31.011, 31.0005]).max() < 0.02
    assert fall.sum() > 6  # the others are ramps


def test_copies_are_told_once(tmp_path: Path) -> None:
    some = ", ".join(SPECK.replace("10, 10", f"{x}, 10") for x in (5, 11, 17))
    result = made(tmp_path, *profiles(), shapes=f"{FRAME}, {OPENING}, {some}")
    clean(result)
    (note,) = [f.message for f in result.findings if f.check == "plan"]
    assert "2.022 x 2.001 mm at (25.000, 30.000) and 2 more: entry toolaxis: " in note


def test_a_ramp_that_fits_is_not_told(tmp_path: Path) -> None:
    result = made(tmp_path, *profiles(), shapes=f"{FRAME}, {OPENING}, {SLIT}, {HOLE}")
    clean(result)
    assert [f for f in result.findings if f.check == "plan"] == []


def test_a_pin_left_by_a_wide_helix_is_found(tmp_path: Path) -> None:
    """A radius that is asked for is obeyed; what would come free inside it stops the program."""
    result = made(tmp_path, *profiles("{helix: {angle: 0.5, radius: 3}}"), shapes=f"{FRAME}, {OPENING}")
    errors = [f.message for f in result.findings if f.severity == "error"]
    assert errors == ["a slug of 12.5 mm2 comes free, and hold 'screws' does not hold it"]


@pytest.mark.parametrize(
    "cycle", ["peck", "{peck: {depth: 0.4}}", "chip_break", "{chip_break: {depth: 0.7, back: 0.1}}"]
)
def test_holes_in_strokes(tmp_path: Path, cycle: str) -> None:
    holes = ", ".join(f"{{circle: {{center: [{x}, {y}], diameter: 3}}}}" for x in (8, 20, 40) for y in (10, 25))
    drill = f"drill: {{cutter: drill, select: {{circles: 3}}, cycle: {cycle}}}"
    clean(made(tmp_path, drill, profiles()[1], shapes=f"{FRAME}, {holes}"))
