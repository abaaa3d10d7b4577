"""What a job file means, in mm."""

from __future__ import annotations

import io
import math
import sys
from typing import ClassVar

import attrs
import pytest
from attrs import define

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.dialect import Dialect
from kerfwright.drawing import Drawing, Loop
from kerfwright.drawings import DrawingReader
from kerfwright.errors import InputError
from kerfwright.jobfile import load_job
from kerfwright.operation import INNER, OUTER, Drill, Pocket, Profile
from kerfwright.registry import Registry
from kerfwright.selection import Choice
from kerfwright.strategy import Bridges, Cycle, Entry, Layout, Lead, Passes
from kerfwright_plugins.tables import kerfwright_tables


@define(frozen=True, kw_only=True)
class Slope(Entry):
    name: ClassVar[str] = "ramp"
    angle: float = fields.number("slope of the way down", unit="deg", above=0, most=45, default=3.0)


@define(frozen=True, kw_only=True)
class Equal(Passes):
    name: ClassVar[str] = "equal"


@define(frozen=True, kw_only=True)
class Straight(Cycle):
    name: ClassVar[str] = "straight"


@define(frozen=True, kw_only=True)
class Plain(Lead):
    name: ClassVar[str] = "none"


@define(frozen=True, kw_only=True)
class Spaced(Bridges):
    name: ClassVar[str] = "spacing"
    spacing: float = fields.number("distance of bridges", unit="mm", above=0, default=40.0)


@define(frozen=True, kw_only=True)
class Counted(Bridges):
    name: ClassVar[str] = "count"
    count: int = fields.whole("how many", least=2, default=2)


@define(frozen=True, kw_only=True)
class Rows(Layout):
    name: ClassVar[str] = "grid"
    columns: int = fields.whole("columns", least=1)
    gap: float = fields.number("gap", unit="mm", least=0, default=5.0)


@define(frozen=True)
class Dots(DrawingReader):
    """Reads `x y diameter`."""

    suffixes: ClassVar[tuple[str, ...]] = (".dot",)

    def read(self, data: bytes, name: str) -> Drawing:
        x, y, d = map(float, data.split())
        return Drawing.nested([Loop(Curve.circle(x, y, d / 2), name)])


@define(frozen=True, kw_only=True)
class Core(Dialect):
    name: ClassVar[str] = "nist6556"


@define(frozen=True, kw_only=True)
class Other(Dialect):
    name: ClassVar[str] = "nist6556-lines"


REGISTRY = Registry(
    operations={o.kind: o for o in (Profile, Pocket, Drill)},
    strategies={(s.kind, s.name): s for s in (Slope, Equal, Straight, Plain, Spaced, Counted, Rows)},
    drawings={".dot": Dots},
    dialects={d.name: d for d in (Core, Other)},
    tables=kerfwright_tables(),
)

GAUGE = """\
job: river-gauge
units: mm
machine: light-router
sheet:
  material: cfrp
  size: [300, 200]
  thickness: {nominal: 2, least: 1.9, most: 2.1}
  breakthrough: 0.4
  board: 12
  grain: {along: 0 deg, turns: [0, 180]}
  hold: screws
  zero: {x: left, y: 12.5, z: board_top}
  keepout:
    - {circle: {center: [10, 10], diameter: 14}, height: 4}
    - {rectangle: {corner: [280, 0], size: [20, 30]}, height: 6}
    - {polygon: [[0, 190], [10, 200], [0, 200]], height: 1}
planes: {travel: 8, approach: 2}
cutters:
  mill: {form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8, measured: 1.98}
  drill: {form: drill, diameter: 1.6, point_angle: 118, flute_length: 12, number: 1, holder: {diameter: 12, above: 25}}
  fine: compression-2
parts:
  - name: plate
    shapes:
      - rectangle: {corner: [0, 0], size: [60, 40], radius: 2}
      - circle: {center: [10, 10], diameter: 1.6}
        layer: 0
      - polygon: [[20, 10], [40, 10], [40, 30]]
      - circle: {center: [50, 30], diameter: 4, layer: recess}
    at: [[20, 20], [100, 20]]
    turn: 180
  - name: dot
    drawing: drawings/small.DOT
    layout: {grid: {columns: 3, gap: 8}}
operations:
  - drill:   {cutter: drill, select: {circles: 1.6, part: plate}, cycle: straight}
  - pocket:  {cutter: mill, select: [{layer: recess}, {within: [0, 0, 30, 30]}], depth: 0.8, from: 0.2, radial_depth: 40 %}
  - profile: {cutter: mill, waste: inside, select: inner, entry: {ramp: {angle: 5}}, cutmode: climb, allowance: {side: 0}}
  - profile: {cutter: fine, passes: equal, lead: none, axial_depth: 1.0, bridges: {width: 0.9, thickness: 0.4, spacing: 30},
              depth: through, spindle: 18000 rpm, feed: 0.6 m/min, pace: steady}
ignore: {circles: [5, 6]}
pace: proven
tolerance: 0.05
output: {dialect: nist6556-lines}
"""


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "drawings").mkdir()
    (tmp_path / "drawings" / "small.DOT").write_text("5 6 8")
    (tmp_path / "job.yaml").write_text(GAUGE)
    return tmp_path


@pytest.fixture
def job(folder):
    return load_job(folder / "job.yaml", REGISTRY)


def load(text: str):
    return load_job("-", REGISTRY, text=text)


def short(**lines: str) -> str:
    """A small job; each argument takes the place of the line of that key."""
    parts = {
        "job": "job: gauge",
        "units": "units: mm",
        "machine": "machine: light-router",
        "sheet": "sheet: {material: cfrp, thickness: 2, board: 12}",
        "cutters": "cutters: {mill: {form: end_mill, diameter: 2, flute_length: 8}}",
        "parts": "parts: [{name: plate, shapes: [{circle: {center: [20, 20], diameter: 30}}]}]",
        "operations": "operations: [{profile: {cutter: mill}}]",
    }
    return "\n".join((parts | lines).values())


def test_the_top(job):
    assert (job.name, job.units, job.pace, job.tolerance, job.dialect) == (
        "river-gauge",
        "mm",
        "proven",
        0.05,
        "nist6556-lines",
    )
    assert job.machine.name == "light-router"
    assert job.ignore.choices == (Choice(circles=(5.0, 6.0)),)
    assert job.warnings == ()
    assert (job.planes.travel, job.planes.approach) == (8, 2)


def test_the_sheet(job):
    s = job.sheet
    assert (s.material.name, s.material.laminate, s.size) == ("cfrp", True, (300, 200))
    assert (s.thickness.least, s.thickness.nominal, s.thickness.most) == (1.9, 2, 2.1)
    assert (s.breakthrough, s.board, s.hold, s.grain.along, s.grain.turns) == (0.4, 12, "screws", 0, (0, 180))
    assert (s.zero.x, s.zero.y, s.zero.z) == ("left", 12.5, "board_top")
    assert [k.height for k in s.keepout] == [4, 6, 1]
    assert s.keepout[1].area.bounds == (280, 0, 300, 30)
    assert s.keepout[2].area.area == 50


def test_a_round_keepout_is_nowhere_smaller(job):
    area = job.sheet.keepout[0].area
    least = area.exterior.distance(type(area.centroid)(10, 10))
    assert 7 <= least + 1e-9 < 7.003


def test_the_cutters(job):
    assert list(job.cutters) == ["mill", "drill", "fine"]
    mill, drill, fine = job.cutters.values()
    assert (mill.name, mill.number, mill.cuts, mill.flutes) == ("mill", 2, 1.98, "compression")
    assert (drill.number, drill.point_angle, drill.holder.above) == (1, 118, 25)
    assert (fine.name, fine.number, fine.diameter) == ("fine", 3, 2)


def test_the_parts(job):
    plate, dot = job.parts
    assert (plate.name, plate.at, plate.turn, plate.layout) == ("plate", ((20, 20), (100, 20)), 180, None)
    assert [(one.layer, one.depth) for one in plate.drawing.loops] == [("", 0), ("0", 1), ("", 1), ("recess", 1)]
    assert plate.drawing.bounds == pytest.approx((0, 0, 60, 40), abs=1e-9)
    assert (dot.at, dot.layout) == (((0, 0),), Rows(columns=3, gap=8))
    assert dot.drawing.loops[0].layer == "drawings/small.DOT"
    assert dot.drawing.bounds == pytest.approx((1, 2, 9, 10))


def test_the_operations(job):
    drill, pocket, inside, outside = job.operations
    assert (drill.kind, drill.cutter, drill.depth, drill.cycle) == ("drill", job.cutters["drill"], None, Straight())
    assert drill.select.choices == (Choice(circles=(1.6, 1.6), part="plate"),)
    assert drill.select.text == "{circles: 1.6, part: plate}"
    assert (pocket.depth, pocket.start, pocket.radial_depth) == (0.8, 0.2, 0.4)
    assert pocket.select.choices == (Choice(layer="recess"), Choice(within=(0, 0, 30, 30)))
    assert (inside.waste, inside.select, inside.cutmode, inside.entry) == ("inside", INNER, "climb", Slope(angle=5))
    assert inside.through
    assert (outside.waste, outside.select, outside.passes, outside.lead) == (None, OUTER, Equal(), Plain())
    assert outside.bridges == Spaced(width=0.9, thickness=0.4, spacing=30)
    assert (outside.spindle, outside.feed, outside.pace, outside.axial_depth) == (18000, 600, "steady", 1)


def place(piece: str, inner: str) -> str:
    """Line and column of `inner` in the first line that holds `piece`."""
    lines = GAUGE.split("\n")
    k = next(k for k, line in enumerate(lines) if piece in line)
    return f"{k + 1}:{lines[k].index(inner) + 1}"


@pytest.mark.parametrize(
    ("path", "piece", "inner"),
    [
        ("operations[2].profile.entry.ramp.angle", "waste: inside", "5}}"),
        ("operations[2].profile.feed", "waste: inside", "{cutter"),
        ("operations[2].profile", "waste: inside", "{cutter"),
        ("operations[2]", "waste: inside", "profile"),
        ("operations[7]", "- drill: ", "-"),
        ("parts[0].drawing", "- name: plate", "name"),
        ("parts[0].at[1]", "at: [[20", "[100"),
        ("sheet.keepout[1].rectangle.size", "rectangle: {corner: [280", "[20, 30]"),
        ("cutters.fine.diameter", "fine: comp", "comp"),
    ],
)
def test_later_faults_name_the_line(job, path, piece, inner):
    assert str(job.origin.fault(path, "x")).endswith(f"job.yaml:{place(piece, inner)}: {path}: x")


INCH = """\
job: inch-gauge
units: inch
machine: {base: light-router, travel: [20, 12, 3], acceleration: {xy: 10, z: 5}, rapid: {xy: 100, z: 30}, stiffness: 200}
sheet:
  material: {base: cfrp, rates: [{form: drill, diameter: [0.1, 0.2], cutting_speed: [2000, 3000], plunge_feed: [3, 5]}]}
  size: [12, 200 mm]
  thickness: 1/8
  breakthrough: 1/64 in
  board: 0.5
  grain: {along: 90, turns: [0, 270]}
  keepout: [{circle: {center: [1, 1], diameter: 0.5}, height: 0.1}]
planes: {travel: 0.3, approach: 2 mm}
cutters:
  mill: {form: end_mill, diameter: 1/8, flute_length: 1 1/4 in, life: 12, point_angle: 180}
parts:
  - name: plate
    shapes:
      - path: M 0 0 H 4 V 2 H 0 Z
      - wkt: POLYGON ((1 1, 1.5 1, 1.5 1.5, 1 1))
      - circle: {center: [3, 1], diameter: 10 mm}
      - slot: {from: [1, 0.4], to: [2, 0.4], width: 0.25}
    at: [1, 25.4 mm]
operations:
  - profile: {cutter: mill, feed: 20, plunge_feed: 4 in/min, spindle: 18000, select: {circles: [0.3, 0.5]}, axial_depth: 0.05,
              bridges: {width: 0.04, thickness: 0.5 mm}}
tolerance: 0.004
"""


def test_plain_numbers_are_in_the_units_however_deep():
    job = load(INCH)
    near = pytest.approx
    m, s, mill, part, op = job.machine, job.sheet, job.cutters["mill"], job.parts[0], job.operations[0]
    assert m.travel == near((508, 304.8, 76.2))
    assert (m.acceleration.xy, m.rapid.xy, m.feed.xy, m.stiffness) == near((254, 2540, 3000, 200))
    assert s.size == near((304.8, 200))
    assert (s.thickness.nominal, s.breakthrough, s.board) == near((3.175, 0.396875, 12.7))
    assert (s.grain.along, s.keepout[0].height) == near((90, 2.54))
    assert s.keepout[0].area.centroid.x == near(25.4)
    row = s.material.rows[0]
    assert row.diameter + row.cutting_speed + row.plunge_feed == near((2.54, 5.08, 50800, 76200, 76.2, 127))
    assert (job.planes.travel, job.planes.approach) == near((7.62, 2))
    assert (mill.diameter, mill.flute_length, mill.life) == near((3.175, 31.75, 12))
    assert part.at == (near((25.4, 25.4)),)
    assert part.drawing.bounds == near((0, 0, 101.6, 50.8))
    boxes = sorted(tuple(round(v, 3) for v in one.curve.bounds) for one in part.drawing.loops)
    assert boxes == [
        (0, 0, 101.6, 50.8),
        (22.225, 6.985, 53.975, 13.335),
        (25.4, 25.4, 38.1, 38.1),
        (71.2, 20.4, 81.2, 30.4),
    ]
    assert (op.feed, op.plunge_feed, op.spindle, op.axial_depth) == near((508, 101.6, 18000, 1.27))
    assert op.select.choices[0].circles == near((7.62, 12.7))
    assert (op.bridges.width, op.bridges.thickness, op.bridges.spacing) == near((1.016, 0.5, 40))
    assert job.tolerance == near(0.1016)


def test_units_may_stand_anywhere_in_the_file():
    text = short(units="", sheet="sheet: {material: cfrp, thickness: 0.1, board: 1}", cutters="cutters: {mill: burr-2}")
    text += "\nunits: inch"
    assert load(text).sheet.thickness.nominal == pytest.approx(2.54)
    assert load(text).cutters["mill"].diameter == 2  # a table states its own units


def test_defaults():
    job = load(short())
    assert (job.pace, job.tolerance, job.dialect, job.quote, job.ignore) == ("first", 0.1, None, None, None)
    assert (job.planes.travel, job.sheet.breakthrough, job.sheet.hold) == (8, 0.3, "screws")
    assert (job.parts[0].at, job.parts[0].turn) == (((0, 0),), 0)
    assert job.operations[0].select == OUTER


def test_a_base_gives_what_a_mapping_leaves_out():
    said = "machine: {base: light-router, spindle: {most: 18000}, dust_shoe: {diameter: 60}}"
    m = load(short(machine=said)).machine
    assert (m.name, m.spindle.least, m.spindle.most, m.spindle.wake_s, m.dust_shoe.diameter) == (
        "light-router",
        8000,
        18000,
        5,
        60,
    )
    c = load(short(cutters="cutters: {mill: {base: burr-2, diameter: 2.4}}")).cutters["mill"]
    assert (c.name, c.number, c.flutes, c.diameter) == ("mill", 1, "burr", 2.4)


def test_a_material_says_what_the_job_changed():
    said = "sheet: {material: {base: cfrp, dust: none, rates: []}, thickness: 2, board: 12}"
    m = load(short(sheet=said)).sheet.material
    assert (m.name, m.dust, m.rows) == ("cfrp", "none", ())
    assert m.sources == {
        "title": "common practice",
        "cutting_force": "from memory",
        "laminate": "common practice",
        "conductive": "common practice",
        "cutmode": "common practice",
        "dust": "the job file",
        "rates": "the job file",
    }


def test_numbers_of_cutters_are_given_in_order_and_never_twice():
    said = "cutters: {mill: burr-2, a: {base: burr-2, number: 2}, b: up-3, c: {base: up-3, number: 1}, d: up-3}"
    job = load(short(cutters=said))
    assert {n: c.number for n, c in job.cutters.items()} == {"mill": 3, "a": 2, "b": 4, "c": 1, "d": 5}


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("{width: 1}", Spaced(width=1.0)),
        ("{width: 1, count: 3}", Counted(width=1.0, count=3)),
        ("{spacing: 20}", Spaced(spacing=20.0)),
        ("{count: {count: 4, width: 2}}", Counted(count=4, width=2.0)),
        ("count", Counted()),
    ],
)
def test_bridges_are_told_apart_by_a_key(said, expected):
    assert (
        load(short(operations=f"operations: [{{profile: {{cutter: mill, bridges: {said}}}}}]")).operations[0].bridges
        == expected
    )


@pytest.mark.parametrize("said", ["ramp", "{ramp: {}}", "{ramp: }", "{ramp: {angle: 3 deg}}", "{ramp: {angle: 3.0}}"])
def test_a_strategy_is_a_name_or_a_one_key_mapping(said):
    assert (
        load(short(operations=f"operations: [{{profile: {{cutter: mill, entry: {said}}}}}]")).operations[0].entry
        == Slope()
    )


def test_radians_are_degrees_inside():
    said = f"operations: [{{profile: {{cutter: mill, entry: {{ramp: {{angle: {math.pi / 6} rad}}}}}}}}]"
    assert load(short(operations=said)).operations[0].entry.angle == pytest.approx(30)


@pytest.mark.parametrize("said", ["3", "3.0", "30e-1"])
def test_a_whole_number_may_be_written_with_a_point(said):
    job = load(short(cutters=f"cutters: {{mill: {{base: burr-2, teeth: {said}}}}}"))
    assert job.cutters["mill"].teeth == 3
    assert type(job.cutters["mill"].teeth) is int


@pytest.mark.parametrize("said", ["nist6556", "{dialect: nist6556}", "{base: nist6556}"])
def test_output(said):
    assert load(short() + f"\noutput: {said}").dialect == "nist6556"


def test_a_thin_sheet_under_screws_is_told():
    sheet = "sheet: {{material: cfrp, thickness: {}, size: [90, 90], board: 12, hold: {}}}"
    told = "a sheet of 0.8 mm needs glue or tape as well as screws (common practice)"
    assert load(short(sheet=sheet.format("{nominal: 1, least: 0.8}", "screws"))).warnings == (told,)
    assert load(short(sheet=sheet.format("1", "screws"))).warnings == ()
    assert load(short(sheet=sheet.format("0.8", "tape"))).warnings == ()


def test_a_job_comes_from_standard_input(monkeypatch, folder):
    monkeypatch.chdir(folder)
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(GAUGE.encode())))
    job = load_job("-", REGISTRY)
    assert job.parts[1].drawing.bounds == pytest.approx((1, 2, 9, 10))
    assert job.origin.file == "-"
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"units: ells")))
    with pytest.raises(InputError, match=r"^-:1:1: job: found nothing"):
        load_job("-", REGISTRY)


def test_text_is_read_instead_of_the_file(folder):
    job = load_job(folder / "not-there.yaml", REGISTRY, text=GAUGE, name="other")
    assert job.parts[1].drawing.bounds == pytest.approx((1, 2, 9, 10))
    assert job.origin.file == "other"


def test_a_byte_order_mark_and_dos_lines_do_no_harm(folder):
    (folder / "job.yaml").write_bytes(b"\xef\xbb\xbf" + GAUGE.replace("\n", "\r\n").encode())
    assert load_job(folder / "job.yaml", REGISTRY).name == "river-gauge"


def test_a_link_inside_the_folder_is_followed(folder):
    (folder / "near.dot").symlink_to(folder / "drawings" / "small.DOT")
    assert (
        load_job(folder / "job.yaml", REGISTRY, text=GAUGE.replace("drawings/small.DOT", "near.dot")).parts[1].drawing
    )


def test_a_plugin_that_needs_a_key_of_its_own_has_it_read():
    """The loader knows no list of keys: a class registered a moment ago is read by its fields."""

    @define(frozen=True, kw_only=True)
    class Screw(Entry):
        name: ClassVar[str] = "screw"
        pitch: float = fields.number("down a turn", unit="mm", above=0)
        turns: int = fields.whole("turns", least=1, default=1)
        centers: bool = fields.flag("over its center", default=False)

    registry = attrs.evolve(REGISTRY, strategies={**REGISTRY.strategies, ("entry", "screw"): Screw})
    said = short(operations="operations: [{profile: {cutter: mill, entry: {screw: {pitch: 1/10 in, centers: true}}}}]")
    entry = load_job("-", registry, text=said).operations[0].entry
    assert (type(entry), entry.turns, entry.centers) == (Screw, 1, True)
    assert entry.pitch == pytest.approx(2.54)
