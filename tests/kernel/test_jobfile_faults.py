"""Every fault of a job file, as the user reads it: `»` marks the place that the message must name. One table, so long.

Rows are written by hand: what stands in the job instead of the lines named, and the messages.
"""

from __future__ import annotations

from typing import ClassVar

import attrs
import pytest
from attrs import define

from kerfwright import fields
from kerfwright.dialect import Dialect
from kerfwright.drawing import Drawing
from kerfwright.drawings import DrawingReader
from kerfwright.errors import Fault, InputError
from kerfwright.jobfile import load_job
from kerfwright.operation import Drill, Pocket, Profile
from kerfwright.registry import Registry
from kerfwright.strategy import Bridges, Entry, Layout, Route


@define(frozen=True, kw_only=True)
class Slope(Entry):
    name: ClassVar[str] = "ramp"
    angle: float = fields.number("slope of the way down", unit="deg", above=0, most=45, default=3.0)


@define(frozen=True, kw_only=True)
class Straight(Entry):
    name: ClassVar[str] = "toolaxis"


@define(frozen=True, kw_only=True)
class Spaced(Bridges):
    name: ClassVar[str] = "spacing"
    spacing: float = fields.number("distance of bridges", unit="mm", above=0, default=40.0)


@define(frozen=True, kw_only=True)
class InOrder(Route):
    name: ClassVar[str] = "listed"


@define(frozen=True, kw_only=True)
class Rows(Layout):
    name: ClassVar[str] = "grid"
    columns: int = fields.whole("columns", least=1)
    gap: float = fields.number("gap", unit="mm", least=0, default=5.0)


@define(frozen=True)
class Dots(DrawingReader):
    suffixes: ClassVar[tuple[str, ...]] = (".dot",)

    def read(self, data: bytes, name: str) -> Drawing:
        raise InputError(
            [Fault("", "an outline is open at 3, 4", name, 7, 1), Fault("layer cut", "two outlines cross at 5, 6")]
        )


@define(frozen=True, kw_only=True)
class Plain(Dialect):
    name: ClassVar[str] = "nist6556"


REGISTRY = Registry(
    operations={o.kind: o for o in (Profile, Pocket, Drill)},
    strategies={(s.kind, s.name): s for s in (Slope, Straight, Spaced, InOrder, Rows)},
    drawings={".dot": Dots},
    dialects={"nist6556": Plain},
)

TABLE = """\
units: mm
materials:
  cfrp: {title: carbon fibre, source: from memory}
  gfrp: {title: glass fibre, source: from memory}
cutters:
  burr-2: {form: end_mill, flutes: burr, diameter: 2, flute_length: 8, source: from memory}
machines:
  light-router:
    spindle: {least: 8000, most: 24000}
    feed: {xy: 3000, z: 800}
    rapid: {xy: 4000, z: 1200}
    source: from memory
"""

JOB = """\
job: gauge
units: mm
machine: light-router
sheet:
  material: cfrp
  size: [300, 200]
  thickness: 2
  breakthrough: 0.4
  board: 12
cutters:
  mill: {form: end_mill, diameter: 2, flute_length: 8}
  drill: {form: drill, diameter: 1.6, point_angle: 118, flute_length: 12}
parts:
  - name: plate
    shapes: [{circle: {center: [20, 20], diameter: 30}}]
operations:
  - profile: {cutter: mill}
"""

NAME_OF_FILE = "job.yaml"
NAME = "letters a to z, digits, - _ and ., at most 64, neither beginning nor ending with a point, and no device"
SHEET = "material, size, thickness, breakthrough, board, grain, hold, zero, keepout"
SHAPE = "circle, rectangle, slot, polygon, path, wkt"
SELECT = "one of outer, inner, all, a mapping of circles, layer, within, part, or a list of these"
QUOTED = "in quotes where it looks like a number or a truth"
LENGTHS = "mm, cm, m, um, µm, in, inch, ft"
THICK = "a number above 0 and at most 50 mm"
CUTTER_NAME = "letters a to z, digits, - _ and ., at most 32, for it names programs"
INSIDE = "a file inside the job's folder, folders separated by /"
LATER = "the plugin that has it is not installed"
CLASSES = "a class f, m, c, v of ISO 2768-1"
CUTTERS = "burr-2"
PART = "    shapes: [{circle: {center: [20, 20], diameter: 30}}]"
MILL = "  mill: {form: end_mill, diameter: 2, flute_length: 8}"
DRILL = "  drill: {form: drill, diameter: 1.6, point_angle: 118, flute_length: 12}"
BOARD_TO_PART = "  board: 12\ncutters:\n" + MILL + "\n" + DRILL + "\nparts:\n  - name: plate"
DOES = "  - profile: {cutter: mill}"
KEEPOUTS = "board: 12\n  keepout:\n"
PROFILE = (
    "cutter, depth, from, spindle, feed, plunge_feed, axial_depth, radial_depth, pace, cutmode, allowance, repeat, skin, "
    "route, select, waste, entry, passes, bridges, lead, corners, slotting"
)

ROWS: list[tuple[str, str, list[str]]] = [
    # the top of the file
    ("job: gauge", "job: »my job", [f"job: found 'my job', allowed: {NAME}"]),
    ("job: gauge", "job: ».hidden", [f"job: found '.hidden', allowed: {NAME}"]),
    ("job: gauge", "job: »../out", [f"job: found '../out', allowed: {NAME}"]),
    ("job: gauge", "job: »nul.txt", [f"job: found 'nul.txt', allowed: {NAME}"]),
    ("job: gauge", "job: »Pegelmaß", [f"job: found 'Pegelmaß', allowed: {NAME}"]),
    ("job: gauge", "job: »12", [f"job: found 12, allowed: a text, {QUOTED}"]),
    ("job: gauge", "job: »true", [f"job: found true, allowed: a text, {QUOTED}"]),
    ("job: gauge", "job: »[a]", ["job: found a list of 1, allowed: a text"]),
    ("job: gauge", "job:»", ["job: found nothing, allowed: a text"]),
    ("job: gauge\nunits: mm", "»units: mm", ["job: found nothing, allowed: a text"]),
    ("job: gauge", 'job: »"a\\tb"', ["job: found 'a\\tb', allowed: a text of printable characters"]),
    ("job: gauge", f"job: »{'a' * 201}", ["job: found 201 characters, allowed: a text of at most 200"]),
    ("units: mm", "units: »cm", ["units: found 'cm', allowed: one of mm, inch"]),
    (
        "units: mm",
        "»unit: mm",
        [
            "unit: found an unknown key, allowed: job, machine, sheet, planes, cutters, parts, operations, ignore, output, "
            "pace, tolerance, quote, units, did you mean units?"
        ],
    ),
    ("units: mm", "units: mm\npace: »frist", ["pace: found 'frist', allowed: one of first, steady, proven, did you mean first?"]),
    ("units: mm", "units: mm\n»units: mm", ["units: found the key a second time, first in line 2, allowed: once"]),
    # machine
    (
        "light-router",
        "»light-ruter",
        ["machine: found 'light-ruter', allowed: a machine: light-router, did you mean light-router?"],
    ),
    ("light-router", "»3", ["machine: found 3, allowed: a machine: light-router"]),
    ("light-router", "»[light-router]", ["machine: found a list of 1, allowed: a machine, or a mapping"]),
    (
        "light-router",
        "{base: »heavy, spindle: {least: 1, »speed: 3}}",
        [
            "machine.base: found 'heavy', allowed: a machine: light-router",
            "machine.spindle.speed: found an unknown key, allowed: least, most, by_hand, wake_s, run_down_s, power",
        ],
    ),
    (
        "light-router",
        "{base: light-router, spindle: »{least: 30000}}",
        ["machine.spindle: found least 30000 above most 24000 rpm, allowed: in rising order"],
    ),
    (
        "light-router",
        "{base: light-router, spindle: {wake_s: »20 mm}}",
        ["machine.spindle.wake_s: found '20 mm', allowed: a number at least 0 s, in s, ms, min, h"],
    ),
    (
        "light-router",
        "{base: light-router, dialect: »iso6983}",
        [f"machine.dialect: found 'iso6983': {LATER}, allowed: nist6556"],
    ),
    ("light-router", "{base: light-router, home: »1}", ["machine.home: found 1, allowed: true or false"]),
    ("light-router", "{base: light-router, home: »yes}", ["machine.home: found 'yes', allowed: true or false"]),
    (
        "light-router",
        "»{spindle: {least: 8000, most: 20000}}",
        [
            "machine.feed: found nothing, allowed: a mapping of xy, z",
            "machine.rapid: found nothing, allowed: a mapping of xy, z",
        ],
    ),
    (
        "light-router",
        "{base: light-router, travel: »[300, 200]}",
        ["machine.travel: found a list of 2, allowed: a list of 3 numbers mm"],
    ),
    # sheet
    ("cfrp", "»steel", ["sheet.material: found 'steel', allowed: a material: cfrp, gfrp"]),
    ("cfrp", "»cfpr", ["sheet.material: found 'cfpr', allowed: a material: cfrp, gfrp, did you mean cfrp?"]),
    (
        "cfrp",
        "{base: cfrp, rates: [»{form: end_mill, diameter: [1, 2], cutting_speed: [1, 2], plunge_feed: [1, 2]}]}",
        [
            "sheet.material.rates[0]: found a row of an end_mill that leaves out a rate, allowed: feed, axial_depth, "
            "radial_depth"
        ],
    ),
    (
        "cfrp",
        "{base: cfrp, rates: [{form: drill, diameter: »[2, 1], cutting_speed: [1, »0], plunge_feed: [1, 2]}]}",
        [
            "sheet.material.rates[0].diameter: found 2 before 1 mm, allowed: the lesser first",
            "sheet.material.rates[0].cutting_speed[1]: found 0, allowed: a number above 0 mm/min",
        ],
    ),
    ("[300, 200]", "»[300]", ["sheet.size: found a list of 1, allowed: a list of 2 numbers mm"]),
    ("[300, 200]", "[300, »-2]", ["sheet.size[1]: found -2, allowed: a number above 0 mm"]),
    ("[300, 200]", "»300", ["sheet.size: found 300, allowed: a list of 2 numbers mm"]),
    ("thickness: 2", "thickness: »-1", [f"sheet.thickness: found -1, allowed: {THICK}"]),
    ("thickness: 2", "thickness: »51", [f"sheet.thickness: found 51, allowed: {THICK}"]),
    ("thickness: 2", "thickness: »3 in", [f"sheet.thickness: found '3 in' (76.2 mm), allowed: {THICK}"]),
    ("thickness: 2", "thickness: ».nan", [f"sheet.thickness: found .nan, allowed: {THICK}"]),
    ("thickness: 2", "thickness: »-.inf", [f"sheet.thickness: found -.inf, allowed: {THICK}"]),
    ("thickness: 2", "thickness: »1e999", [f"sheet.thickness: found 1e999, allowed: {THICK}"]),
    ("thickness: 2", "thickness: »true", [f"sheet.thickness: found true, allowed: {THICK}"]),
    ("thickness: 2", "thickness: »thin", [f"sheet.thickness: found 'thin', allowed: {THICK}"]),
    ("thickness: 2", "thickness: »010", [f"sheet.thickness: found 010, allowed: {THICK}, without leading zeros"]),
    ("thickness: 2", "thickness: »3 deg", [f"sheet.thickness: found '3 deg', allowed: {THICK}, in {LENGTHS}"]),
    ("thickness: 2", "thickness: »3 ells", [f"sheet.thickness: found '3 ells', allowed: {THICK}, in {LENGTHS}"]),
    ("thickness: 2", "thickness: »1/0 in", [f"sheet.thickness: found '1/0 in', allowed: {THICK}"]),
    (
        "thickness: 2",
        "thickness: »{nominal: 2, least: 2.1}",
        ["sheet.thickness: found least 2.1, nominal 2, most 2, allowed: in rising order"],
    ),
    (
        "thickness: 2",
        "thickness: {nominal: »true}",
        [f"sheet.thickness.nominal: found true, allowed: {THICK}"],
    ),
    ("thickness: 2", "»thicknes: 2", [f"sheet.thicknes: found an unknown key, allowed: {SHEET}, did you mean thickness?"]),
    ("  material: cfrp\n  size: [300, 200]\n  thickness: 2\n", "  »material: cfrp\n  size: [300, 200]\n", ["sheet.thickness: found nothing, allowed: thickness, or {nominal, least, most}"]),
    ("thickness: 2", "thickness: 2\n  »thickness: 3", ["sheet.thickness: found the key a second time, first in line 7, allowed: once"]),
    ("breakthrough: 0.4", "breakthrough: »11", ["sheet.breakthrough: found 11, allowed: a number at least 0 and at most 10 mm"]),
    ("breakthrough: 0.4\n  board: 12", "breakthrough: »0.4", ["sheet.breakthrough: found 0.4 mm, allowed: at most sheet.board, 0 mm"]),
    ("board: 12", "board: 12\n  hold: »glue", ["sheet.hold: found 'glue', allowed: one of screws, tape, vacuum, frame"]),
    (
        "board: 12",
        "board: 12\n  zero: {x: »middle, y: »[1], z: »sheet}",
        [
            "sheet.zero.x: found 'middle', allowed: left, center, right or a number mm",
            "sheet.zero.y: found a list of 1, allowed: a number mm",
            "sheet.zero.z: found 'sheet', allowed: one of sheet_top, board_top, did you mean sheet_top?",
        ],
    ),
    ("board: 12", "board: 12\n  grain: {turns: [0, »up]}", ["sheet.grain.turns[1]: found 'up', allowed: a number deg"]),
    (
        BOARD_TO_PART,
        BOARD_TO_PART.replace("12\n", "12\n  grain: {along: 90 deg, turns: [0, 180]}\n", 1).replace("name", "»name"),
        ["parts[0].turn: found 0 deg, 270 deg against the grain, allowed: 90, 270 deg"],
    ),
    ("board: 12", KEEPOUTS + "    - »{height: 3}", ["sheet.keepout[0]: found no area, allowed: one of circle, rectangle, polygon"]),
    (
        "board: 12",
        KEEPOUTS + "    - »{circle: {center: [1, 1], diameter: 2}, polygon: [], height: 3}",
        ["sheet.keepout[0]: found circle and polygon, allowed: one of circle, rectangle, polygon"],
    ),
    (
        "board: 12",
        KEEPOUTS + "    - {polygon: »[[0, 0], [9, 9], [9, 0], [0, 9]], height: »-3}",
        [
            "sheet.keepout[0].polygon: found a list of 4, allowed: corners of an area that does not cross itself",
            "sheet.keepout[0].height: found -3, allowed: a number at least 0 mm",
        ],
    ),
    (
        "board: 12",
        KEEPOUTS + "    - {rectangle: »{corner: [0, 0]}, height: 3}",
        ["sheet.keepout[0].rectangle.size: found nothing, allowed: a list of 2 numbers above 0 mm"],
    ),
    ("board: 12", KEEPOUTS + "    - »3", ["sheet.keepout[0]: found 3, allowed: a mapping of circle, rectangle, polygon, height"]),
    # planes
    (
        "  board: 12\n",
        "  board: 12\n  keepout: [{circle: {center: [9, 9], diameter: 8}, height: 6.5}]\nplanes: {travel: »8}\n",
        ["planes.travel: found 8 mm, allowed: at least 8.5 mm, 2 mm above the highest keepout"],
    ),
    ("cutters:\n", "planes: »{travel: 1, approach: 3}\ncutters:\n", ["planes: found approach 3 above travel 1 mm, allowed: at most travel"]),
    ("cutters:\n", "planes: »3\ncutters:\n", ["planes: found 3, allowed: a mapping of travel, approach"]),
    # cutters
    (
        MILL,
        "  mill: {form: »endmill, diameter: »0, flute_length: 8, teeth: »1.5}",
        [
            "cutters.mill.form: found 'endmill', allowed: one of end_mill, drill, chamfer_mill, did you mean end_mill?",
            "cutters.mill.diameter: found 0, allowed: a number above 0 and at most 50 mm",
            "cutters.mill.teeth: found 1.5, allowed: a whole number at least 1 and at most 24",
        ],
    ),
    (MILL, "  mill: »{form: end_mill, diameter: 2}", ["cutters.mill.flute_length: found nothing, allowed: a number above 0 and at most 200 mm"]),
    (MILL, "  mill: {form: end_mill, diameter: 2, flute_length: 8, point_angle: »90}", ["cutters.mill.point_angle: found a point, allowed: only on a drill or a chamfer_mill"]),
    (
        MILL,
        "  mill: {form: end_mill, diameter: 2, flute_length: 8, holder: »{diameter: 10}}",
        ["cutters.mill.holder.above: found nothing, allowed: a number above 0 mm"],
    ),
    (
        MILL,
        "  mill: {form: end_mill, diameter: 2, flute_length: 8, life: »0 m}",
        ["cutters.mill.life: found '0 m', allowed: a number above 0 m"],
    ),
    (MILL, "  mill: »burr-3", [f"cutters.mill: found 'burr-3', allowed: a cutter: {CUTTERS}, did you mean burr-2?"]),
    (MILL, "  mill: »[burr-2]", ["cutters.mill: found a list of 1, allowed: a cutter, or a mapping"]),
    (
        MILL,
        "  mill: {base: burr-2, number: 4}\n  other: {base: burr-2, number: »4}",
        ["cutters.other.number: found 4, which is mill's, allowed: a number of its own"],
    ),
    (MILL, MILL + "\n  »../a: burr-2", [f"cutters.../a: found the name '../a', allowed: {CUTTER_NAME}"]),
    (MILL, MILL + "\n  »two words: burr-2", [f"cutters.two words: found the name 'two words', allowed: {CUTTER_NAME}"]),
    (MILL, MILL + "\n  »7: burr-2", [f"cutters.7: found 7, allowed: a text, {QUOTED}"]),
    (MILL, MILL + "\n  ? »[a, b]\n  : burr-2", ["cutters: found a key that is a list or a mapping, allowed: a word"]),
    (
        DRILL,
        "  drill: »{form: drill, diameter: 1.6, flute_length: 12}",
        [
            "cutters.drill.point_angle: found nothing, allowed: a number above 0 and at most 180 deg: a through hole goes "
            "deeper by the point"
        ],
    ),
    (f"cutters:\n{MILL}\n{DRILL}", "cutters: »{}", ["cutters: found an empty mapping, allowed: a mapping of names to cutters"]),
    (f"cutters:\n{MILL}\n{DRILL}", "cutters:\n  »mill: burr-2" + "".join(f"\n  c{k}: burr-2" for k in range(99)), ["cutters: found 100 cutters, allowed: at most 99"]),
    # parts
    ("  - name: plate\n" + PART, "  »[]", ["parts: found no parts, allowed: at least one"]),
    (
        "  - name: plate\n" + PART,
        "  - »{}",
        [
            "parts[0].name: found nothing, allowed: a text",
            "parts[0]: found no drawing, allowed: one of drawing, shapes",
        ],
    ),
    ("  - name: plate\n", "  - »name: plate\n    drawing: a.dot\n", ["parts[0]: found drawing and shapes, allowed: one of drawing, shapes"]),
    (PART, PART + "\n  - name: »plate\n" + PART, ["parts[1].name: found 'plate', which parts[0] is called, allowed: each name once"]),
    (PART, PART + "\n    at: »[1, 2, 3]", ["parts[0].at: found a list of 3, allowed: a pair [x, y] mm or a list of pairs"]),
    (PART, PART + "\n    at: [[1, 2], »[3]]", ["parts[0].at[1]: found a list of 1, allowed: a list of 2 numbers mm"]),
    (PART, PART + "\n    at: [»left, 2]", ["parts[0].at[0]: found 'left', allowed: a number mm"]),
    (PART, PART + "\n    turn: »90 mm", ["parts[0].turn: found '90 mm', allowed: a number deg, in deg, °, rad"]),
    (PART, PART + "\n    layout: {»nest: {count: 12, gap: 5}}", [f"parts[0].layout: found 'nest': {LATER}, allowed: grid"]),
    (PART, PART + "\n    layout: {grid: {columns: »0}}", ["parts[0].layout.grid.columns: found 0, allowed: a whole number at least 1"]),
    (PART, PART + "\n    layout: »grid", ["parts[0].layout.columns: found nothing, allowed: a whole number at least 1"]),
    # shapes
    (PART, "    shapes: »[]", [f"parts[0].shapes: found a list of 0, allowed: a list of shapes: {SHAPE}"]),
    (PART, "    shapes: »circle", [f"parts[0].shapes: found 'circle', allowed: a list of shapes: {SHAPE}"]),
    (
        PART,
        "    shapes:\n      - »circl: {center: [20, 20], diameter: 30}\n      - »3\n      - »{layer: a}",
        [
            f"parts[0].shapes[0].circl: found an unknown key, allowed: {SHAPE}, layer, did you mean circle?",
            f"parts[0].shapes[1]: found 3, allowed: a mapping of one of {SHAPE}",
            f"parts[0].shapes[2]: found no shape, allowed: one of {SHAPE}",
        ],
    ),
    (
        PART,
        "    shapes:\n      - »{circle: {center: [20, 20], diameter: 30}, slot: {}}",
        [f"parts[0].shapes[0]: found circle and slot, allowed: one of {SHAPE}"],
    ),
    (
        PART,
        "    shapes:\n      - circle: {center: »[20, 20, 3], diameter: »-30}\n      - path: »3\n      - polygon: »3",
        [
            "parts[0].shapes[0].circle.center: found a list of 3, allowed: a list of 2 numbers mm",
            "parts[0].shapes[0].circle.diameter: found -30, allowed: a number above 0 mm",
            f"parts[0].shapes[1].path: found 3, allowed: a text, {QUOTED}",
            "parts[0].shapes[2].polygon: found 3, allowed: a list of pairs, [[x, y], …]",
        ],
    ),
    (
        PART,
        "    shapes:\n      - circle: {center: [20, 20], diameter: 30, layer: a}\n        layer: »b",
        ["parts[0].shapes[0].layer: found a second layer, allowed: one, here or in circle"],
    ),
    (PART, "    shapes: [{circle: »3}]", ["parts[0].shapes[0].circle: found 3, allowed: a mapping of layer, center, diameter"]),
    (PART, "    shapes: [{circle: {center: [20, 20], diameter: 30, layer: »[a]}}]", ["parts[0].shapes[0].circle.layer: found a list of 1, allowed: a text"]),
    (PART, PART[:-2] + ", layer: »{a: b}}]", ["parts[0].shapes[0].layer: found a mapping, allowed: a text"]),
    # drawings
    (PART, "    drawing: »../x.dot", [f"parts[0].drawing: found '../x.dot', allowed: {INSIDE}"]),
    (PART, "    drawing: »a/../../x.dot", [f"parts[0].drawing: found 'a/../../x.dot', allowed: {INSIDE}"]),
    (PART, "    drawing: »/etc/hostname", [f"parts[0].drawing: found '/etc/hostname', allowed: {INSIDE}"]),
    (PART, "    drawing: »c:\\x.dot", [f"parts[0].drawing: found 'c:\\\\x.dot', allowed: {INSIDE}"]),
    (PART, "    drawing: »~/x.dot", [f"parts[0].drawing: found '~/x.dot', allowed: {INSIDE}"]),
    (PART, '    drawing: »"a\\0b"', ["parts[0].drawing: found 'a\\x00b', allowed: a file's name of printable characters"]),
    (PART, "    drawing: »plat.dot", [f"parts[0].drawing: found no file 'plat.dot', allowed: {INSIDE}, did you mean plate.dot?"]),
    (PART, "    drawing: »inner", [f"parts[0].drawing: found no file 'inner', allowed: {INSIDE}"]),
    (PART, "    drawing: »link.dot", [f"parts[0].drawing: found 'link.dot', which leads out of the job's folder, allowed: {INSIDE}"]),
    (PART, "    drawing: »linked/far.dot", [f"parts[0].drawing: found 'linked/far.dot', which leads out of the job's folder, allowed: {INSIDE}"]),
    (PART, "    drawing: »notes.txt", ["parts[0].drawing: found a file of kind '.txt', allowed: .dot"]),
    (
        PART,
        "    drawing: »plate.dot",
        [
            "parts[0].drawing: plate.dot:7:1: an outline is open at 3, 4",
            "parts[0].drawing: plate.dot: layer cut: two outlines cross at 5, 6",
        ],
    ),
    # operations
    (DOES, "  »[]", ["operations: found a list of 0, allowed: at least one of drill, pocket, profile"]),
    (DOES, "  - »profil: {cutter: mill}", ["operations[0]: found 'profil', allowed: drill, pocket, profile, did you mean profile?"]),
    (DOES, "  - »profile", ["operations[0]: found 'profile', allowed: a mapping of one key: drill, pocket, profile"]),
    (DOES, "  - profile:»", [f"operations[0].profile: found nothing, allowed: a mapping of {PROFILE}"]),
    (DOES, DOES[:4] + "»profile: {cutter: mill}\n    drill: {cutter: drill}", ["operations[0]: found 2 keys, allowed: a mapping of one key: drill, pocket, profile"]),
    (DOES, "  - profile: {cutter: »mil}", ["operations[0].profile.cutter: found 'mil', allowed: one of the job's cutters: drill, mill, did you mean mill?"]),
    (DOES, "  - profile: {cutter: »drill}", ["operations[0].profile.cutter: found 'drill', which is of form drill, allowed: one of form end_mill"]),
    (DOES, "  - drill: {cutter: »mill}", ["operations[0].drill.cutter: found 'mill', which is of form end_mill, allowed: one of form drill"]),
    (DOES, "  - pocket: »{cutter: mill}", ["operations[0].pocket.depth: found nothing, allowed: `through`, or a number above 0 mm"]),
    (DOES, "  - pocket: {cutter: mill, depth: »3}", ["operations[0].pocket.depth: found 3 mm, allowed: at most 2 mm, the sheet's thickness, or `through`"]),
    (DOES, "  - pocket: {cutter: mill, depth: »trough}", ["operations[0].pocket.depth: found 'trough', allowed: `through`, or a number above 0 mm, did you mean through?"]),
    (DOES, "  - pocket: {cutter: mill, depth: »0}", ["operations[0].pocket.depth: found 0, allowed: a number above 0 mm"]),
    (DOES, "  - pocket: {cutter: mill, depth: 1, from: »1}", ["operations[0].pocket.from: found 1 mm, allowed: less than the depth, 1 mm"]),
    (
        DOES,
        "  - profile: {cutter: mill, radial_depth: »1.5, feed: »0, spindle: »3 mm, pace: »fast}",
        [
            "operations[0].profile.radial_depth: found 1.5, allowed: a number above 0 and at most 0.9",
            "operations[0].profile.feed: found 0, allowed: a number above 0 mm/min",
            "operations[0].profile.spindle: found '3 mm', allowed: a number above 0 rpm, in rpm, 1/min, 1/s",
            "operations[0].profile.pace: found 'fast', allowed: one of first, steady, proven, did you mean first?",
        ],
    ),
    (DOES, "  - profile: {cutter: mill, radial_depth: »0.4 mm}", ["operations[0].profile.radial_depth: found '0.4 mm', allowed: a number above 0 and at most 0.9, without a unit"]),
    (DOES, "  - profile: {cutter: mill, waste: »left}", ["operations[0].profile.waste: found 'left', allowed: one of outside, inside, line"]),
    (DOES, "  - profile: {cutter: mill, cutmode: »climbing}", ["operations[0].profile.cutmode: found 'climbing', allowed: one of climb, conventional, did you mean climb?"]),
    (
        MILL,
        MILL.replace("diameter: 2", "diameter: 2,»5"),
        [
            "cutters.mill.5: found an unknown key, allowed: base, number, form, flutes, diameter, teeth, flute_length, reach, shank, "
            "point_angle, tip_diameter, most_spindle, holder, life, price, measured, did you mean 2.5, with a decimal point?"
        ],
    ),
    (DOES, "  - profile: {cutter: mill, »feeds: 3}", [f"operations[0].profile.feeds: found an unknown key, allowed: {PROFILE}, did you mean feed?"]),
    (DOES, "  - profile: {»<<: {}, cutter: mill}", [f"operations[0].profile.<<: found an unknown key, allowed: {PROFILE}"]),
    # selections
    (DOES, "  - profile: {cutter: mill, select: »outter}", [f"operations[0].profile.select: found 'outter', allowed: {SELECT}, did you mean outer?"]),
    (DOES, "  - profile: {cutter: mill, select: »[]}", [f"operations[0].profile.select: found a list of 0, allowed: {SELECT}"]),
    (DOES, "  - profile: {cutter: mill, select: [outer, »3]}", [f"operations[0].profile.select[1]: found 3, allowed: {SELECT}"]),
    (
        DOES,
        "  - profile: {cutter: mill, select: {circles: »[3, 2], »layr: 3, within: »[1, 2, 1, 4]}}",
        [
            "operations[0].profile.select.circles: found 3 before 2 mm, allowed: [least, most]",
            "operations[0].profile.select.layr: found an unknown key, allowed: circles, layer, within, part, did you mean layer?",
            "operations[0].profile.select.within: found a box without area, allowed: [x0, y0, x1, y1] with x0 < x1 and y0 < y1",
        ],
    ),
    (DOES, "  - profile: {cutter: mill, select: {part: »plat}}", ["operations[0].profile.select.part: found 'plat', allowed: plate, did you mean plate?"]),
    (DOES, DOES + "\nignore: {part: »lid}", ["ignore.part: found 'lid', allowed: plate"]),
    (DOES, "  - profile: {cutter: mill, select: {layer: »[a]}}", ["operations[0].profile.select.layer: found a list of 1, allowed: a text"]),
    # strategies
    (DOES, "  - profile: {cutter: mill, entry: »helix}", [f"operations[0].profile.entry: found 'helix': {LATER}, allowed: ramp, toolaxis"]),
    (DOES, "  - profile: {cutter: mill, entry: {»zigzag: {angle: 2}}}", [f"operations[0].profile.entry: found 'zigzag': {LATER}, allowed: ramp, toolaxis"]),
    (DOES, "  - profile: {cutter: mill, passes: {»listed: {}}}", [f"operations[0].profile.passes: found 'listed': {LATER}, allowed: no passes is installed"]),
    (DOES, "  - profile: {cutter: mill, lead: {»tangent: {radius: 1}}}", [f"operations[0].profile.lead: found 'tangent': {LATER}, allowed: no lead is installed"]),
    (DOES, "  - profile: {cutter: mill, lead: »angle}", [f"operations[0].profile.lead: found 'angle': {LATER}, allowed: no lead is installed"]),
    (DOES, "  - profile: {cutter: mill, corners: »relief}", [f"operations[0].profile.corners: found 'relief': {LATER}, allowed: no corners is installed"]),
    (DOES, "  - profile: {cutter: mill, slotting: »trochoid}", [f"operations[0].profile.slotting: found 'trochoid': {LATER}, allowed: no slotting is installed"]),
    (DOES, "  - drill: {cutter: drill, cycle: »peck}", [f"operations[0].drill.cycle: found 'peck': {LATER}, allowed: no cycle is installed"]),
    (DOES, "  - drill: {cutter: drill, cycle: »chip_break}", [f"operations[0].drill.cycle: found 'chip_break': {LATER}, allowed: no cycle is installed"]),
    (DOES, "  - drill: {cutter: drill, cycle: »helical}", [f"operations[0].drill.cycle: found 'helical': {LATER}, allowed: no cycle is installed"]),
    (DOES, "  - profile: {cutter: mill, entry: »rampe}", ["operations[0].profile.entry: found 'rampe', allowed: ramp, toolaxis, did you mean ramp?"]),
    (DOES, "  - profile: {cutter: mill, entry: {ramp: {angle: »90}}}", ["operations[0].profile.entry.ramp.angle: found 90, allowed: a number above 0 and at most 45 deg"]),
    (DOES, "  - profile: {cutter: mill, entry: {ramp: {»angel: 9}}}", ["operations[0].profile.entry.ramp.angel: found an unknown key, allowed: angle, did you mean angle?"]),
    (DOES, "  - profile: {cutter: mill, entry: »{ramp: {}, toolaxis: {}}}", ["operations[0].profile.entry: found 2 keys (ramp, toolaxis), allowed: one, a name of: ramp, toolaxis"]),
    (DOES, "  - profile: {cutter: mill, entry: »[ramp]}", ["operations[0].profile.entry: found a list of 1, allowed: a name or a one-key mapping: ramp, toolaxis"]),
    (DOES, "  - profile: {cutter: mill, entry: »3}", ["operations[0].profile.entry: found 3, allowed: ramp, toolaxis"]),
    (DOES, "  - profile: {cutter: mill, bridges: {width: »0, spacing: 40}}", ["operations[0].profile.bridges.width: found 0, allowed: a number above 0 and at most 20 mm"]),
    (DOES, "  - profile: {cutter: mill, bridges: {»widht: 1}}", ["operations[0].profile.bridges.widht: found an unknown key, allowed: width, thickness, spacing, did you mean width?"]),
    (DOES, "  - profile: {cutter: mill, bridges: {thickness: »3}}", ["operations[0].profile.bridges.thickness: found 3 mm, allowed: at most 2 mm, the sheet's thickness"]),
    # allowances, spring passes, skins
    (DOES, "  - profile: {cutter: mill, allowance: »0.2}", ["operations[0].profile.allowance: found 0.2, allowed: a mapping of side, bottom"]),
    (DOES, "  - profile: {cutter: mill, allowance: {side: »-1}}", ["operations[0].profile.allowance.side: found -1, allowed: a number at least 0 mm"]),
    (DOES, "  - profile: {cutter: mill, allowance: {»sides: 1}}", ["operations[0].profile.allowance.sides: found an unknown key, allowed: side, bottom, did you mean side?"]),
    (DOES, "  - profile: {cutter: mill, waste: line, allowance: {side: »0.2}}", ["operations[0].profile.allowance.side: found 0.2 mm on a cut on its line, which has no wall to finish, allowed: 0 mm"]),
    (DOES, "  - pocket: {cutter: mill, depth: 1, allowance: {bottom: »1}}", ["operations[0].pocket.allowance.bottom: found 1 mm, allowed: below 1 mm, what there is to cut"]),
    (DOES, "  - pocket: {cutter: mill, depth: 1, from: 0.4, allowance: {bottom: »0.7}}", ["operations[0].pocket.allowance.bottom: found 0.7 mm, allowed: below 0.6 mm, what there is to cut"]),
    (DOES, "  - profile: {cutter: mill, allowance: {bottom: »2}}", ["operations[0].profile.allowance.bottom: found 2 mm, allowed: below 2 mm, what there is to cut"]),
    (DOES, "  - drill: {cutter: drill, allowance: »{side: 0.1}}", ["operations[0].drill.allowance: found it on a drill, allowed: on profile and pocket"]),
    (DOES, "  - profile: {cutter: mill, repeat: »6}", ["operations[0].profile.repeat: found 6, allowed: a whole number at least 0 and at most 5"]),
    (DOES, "  - profile: {cutter: mill, repeat: »0.5}", ["operations[0].profile.repeat: found 0.5, allowed: a whole number at least 0 and at most 5"]),
    (DOES, "  - drill: {cutter: drill, repeat: »1}", ["operations[0].drill.repeat: found it on a drill, allowed: on profile and pocket"]),
    (DOES, "  - profile: {cutter: mill, skin: »0}", ["operations[0].profile.skin: found 0, allowed: a number above 0 mm"]),
    (DOES, "  - profile: {cutter: mill, skin: »2}", ["operations[0].profile.skin: found 2 mm, allowed: below 2 mm, what there is to cut"]),
    (DOES, "  - profile: {cutter: mill, from: 0.5, skin: »1.6}", ["operations[0].profile.skin: found 1.6 mm, allowed: below 1.5 mm, what there is to cut"]),
    (DOES, "  - profile: {cutter: mill, depth: 1, skin: »0.2}", ["operations[0].profile.skin: found 0.2 mm with a depth of 1 mm, allowed: with depth `through`"]),
    (DOES, "  - profile: {cutter: mill, skin: »0.2, allowance: {side: 0.1}}", ["operations[0].profile.skin: found 0.2 mm with an allowance, allowed: one of the two, a skin in the operation that finishes"]),
    (DOES, "  - drill: {cutter: drill, skin: »0.2}", ["operations[0].drill.skin: found it on a drill, allowed: on profile and pocket"]),
    # prices and tolerances
    (DOES, DOES + "\nquote: {quantity: »0}", ["quote.quantity: found 0, allowed: a whole number at least 1 and at most 100000"]),
    (DOES, DOES + "\ntolerance: »0", [f"tolerance: found 0, allowed: a number above 0 and at most 5 mm, or {CLASSES}"]),
    (DOES, DOES + "\ntolerance: »fine", [f"tolerance: found 'fine', allowed: a number above 0 and at most 5 mm, or {CLASSES}"]),
    (DOES, DOES + "\ntolerance: »ISO 2768-mK", [f"tolerance: found 'ISO 2768-mK', allowed: a number above 0 and at most 5 mm, or {CLASSES}"]),
    (DOES, DOES + "\ntolerance: »[m]", [f"tolerance: found a list of 1, allowed: a number above 0 and at most 5 mm, or {CLASSES}"]),
    (
        PART + "\noperations:\n" + DOES,
        "    shapes: [{circle: {center: [20, 20], diameter: 30}}, {circle: {center: [20, 20], diameter: 0.4}}]\noperations:\n"
        + DOES + "\ntolerance: »ISO 2768-m",
        ["tolerance: found the class 'm', which has no limits for some sizes: part 'plate', hole: found 0.4 mm, allowed: 0.5 to 1000 mm; or a number"],
    ),
    (
        PART + "\noperations:\n" + DOES,
        "    shapes: [{circle: {center: [20, 20], diameter: 30}}, {circle: {center: [20, 20], diameter: 3}}]\noperations:\n"
        + DOES + "\ntolerance: »v",
        ["tolerance: found the class 'v', which has no limits for some sizes: part 'plate', hole: found 3 mm, allowed: above 3 to 1000 mm; or a number"],
    ),
    (
        DOES,
        DOES + "\noutput: {base: nist6556, »units: inch, »word: {decimals: 4}}",
        [  # the dialect of this test has neither
            "output.units: found an unknown key, allowed: dialect, base, run",
            "output.word: found an unknown key, allowed: dialect, base, run",
        ],
    ),
    (DOES, DOES + "\noutput: »{}", ["output: found no dialect, allowed: one of dialect, base"]),
    (DOES, DOES + "\noutput: {dialect: »nist6565}", ["output.dialect: found 'nist6565', allowed: nist6556, did you mean nist6556?"]),
    (DOES, DOES + "\noutput: »iso4343", [f"output: found 'iso4343': {LATER}, allowed: nist6556"]),
    # no plain data
    (
        DOES,
        "  - profile: »&a {cutter: mill}\n  - profile: »*a",
        [
            "operations[0].profile: found the anchor &a, allowed: the value itself, written out",
            "operations[1].profile: found the alias *a, allowed: the value itself, written out",
        ],
    ),
    (DOES, "  - profile: »!!python/object/apply:os.system {cutter: mill}", ["operations[0].profile: found the tag tag:yaml.org,2002:python/object/apply:os.system, allowed: plain data without tags"]),
    ("thickness: 2", "thickness: »!!float 2", ["sheet.thickness: found the tag tag:yaml.org,2002:float, allowed: plain data without tags"]),
    (DOES, DOES + "\n  - »*a", ["operations[1]: found the alias *a, allowed: the value itself, written out"]),
    (DOES, "  - profile: {cutter: mill, select: [»*a, inner]}", ["operations[0].profile.select[0]: found the alias *a, allowed: the value itself, written out"]),
    (MILL, MILL + "\n  other: »*a", ["cutters.other: found the alias *a, allowed: the value itself, written out"]),
    (PART, "    shapes: »*a", ["parts[0].shapes: found the alias *a, allowed: the value itself, written out"]),
    (PART, "    shapes: [»*a]", ["parts[0].shapes[0]: found the alias *a, allowed: the value itself, written out"]),
    ("board: 12", KEEPOUTS + "    - {circle: »*a, height: 3}", ["sheet.keepout[0].circle: found the alias *a, allowed: the value itself, written out"]),
    (DOES, DOES + "\n»---\njob: other", ["found a second document, allowed: one"]),
]  # fmt: skip


def placed(new: str, old: str, messages: list[str]) -> tuple[str, list[str]]:
    """The job without its marks, and the messages with the places where the marks stood."""
    assert JOB.count(old) == 1, old
    marked = JOB.replace(old, new)
    places, plain = [], ""
    for piece in marked.split("»"):
        plain += piece
        places.append((plain.count("\n") + 1, len(plain) - plain.rfind("\n")))
    places = places[:-1]
    if len(places) == 1:
        places *= len(messages)
    return plain, [f"{NAME_OF_FILE}:{x}:{y}: {m}" for (x, y), m in zip(places, messages, strict=True)]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    top = tmp_path_factory.mktemp("jobs")
    outside = tmp_path_factory.mktemp("elsewhere")
    (top / "table.yaml").write_text(TABLE)
    for name in ("plate.dot", "notes.txt"):
        (top / name).write_text("x")
    (top / "inner").mkdir()
    (outside / "far.dot").write_text("x")
    (top / "link.dot").symlink_to(outside / "far.dot")
    (top / "linked").symlink_to(outside)
    return top


def told(folder, text: str | bytes) -> list[str]:
    file = folder / "job.yaml"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(InputError) as e:
        load_job(file, attrs.evolve(REGISTRY, tables=[folder / "table.yaml"]), name=NAME_OF_FILE)
    return [str(f) for f in e.value.faults]


@pytest.mark.parametrize(("old", "new", "messages"), ROWS, ids=[f"{k}-{m[0][:40]}" for k, (_, _, m) in enumerate(ROWS)])
def test_a_fault_is_told_with_its_place(folder, old, new, messages):
    text, expected = placed(new, old, messages)
    assert told(folder, text) == expected


def test_what_the_shapes_refuse_is_told_at_the_shape(folder):
    """The words are the drawing's, which has tests of its own."""
    shapes = "    shapes:\n      - circle: {center: [20, 20], diameter: 30}\n      - circle: {center: [30, 20], diameter: 30}"
    assert told(folder, JOB.replace(PART, shapes))[0].startswith("job.yaml:17:9: parts[0].shapes[1]: ")
    (found,) = told(folder, JOB.replace(PART, "    shapes: [{path: L 3 4}, {circle: {center: [1, 1], diameter: 2}}]"))
    assert found.startswith("job.yaml:15:21: parts[0].shapes[0].path: ")
    (found,) = told(folder, JOB.replace(PART, "    shapes: [{polygon: [[0, 0], [1, 1]]}]"))
    assert found.startswith("job.yaml:15:24: parts[0].shapes[0].polygon: ")
    (found,) = told(folder, JOB.replace(PART, "    shapes: [{rectangle: {corner: [0, 0], size: [4, 4], radius: 3}}]"))
    assert found == (
        "job.yaml:15:65: parts[0].shapes[0].rectangle.radius: found 3, allowed: at most half the shorter side, 2 mm"
    )


def test_keys_left_out_are_told_at_the_top(folder):
    assert told(folder, "job: gauge") == [
        "job.yaml:1:1: machine: found nothing, allowed: a name from `list machines`, or a mapping",
        f"job.yaml:1:1: sheet: found nothing, allowed: a mapping of {SHEET}",
        "job.yaml:1:1: cutters: found nothing, allowed: the cutters, by name",
        "job.yaml:1:1: operations: found nothing, allowed: what is done, in this order",
        "job.yaml:1:1: parts: found no parts, allowed: at least one",
    ]


def test_all_faults_of_a_file_are_told_in_its_order(folder):
    text = JOB.replace("board: 12", "bord: 12").replace("hold", "held").replace("diameter: 2,", "diameter: 200,")
    text = (
        text.replace("cfrp", "steel").replace("gauge", "my gauge").replace("{cutter: mill}", "{cuter: mill, depth: -1}")
    )
    assert [m.split(": found")[0] for m in told(folder, text)] == [
        "job.yaml:1:6: job",
        "job.yaml:5:13: sheet.material",
        "job.yaml:9:3: sheet.bord",
        "job.yaml:11:36: cutters.mill.diameter",
        "job.yaml:17:15: operations[0].profile.cuter",
        "job.yaml:17:35: operations[0].profile.depth",
    ]


def test_a_text_that_cannot_be_read_is_told(folder, monkeypatch):
    """A file the system refuses to open; made so here, since a test may run as one who may read all."""

    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("kerfwright.jobfile.files._read", refuse)
    text = JOB.replace(PART, "    drawing: plate.dot")
    assert told(folder, text) == [
        f"job.yaml:15:14: parts[0].drawing: found 'plate.dot', which cannot be read (Permission denied), allowed: {INSIDE}"
    ]


def test_links_in_a_circle_are_told(folder):
    (folder / "round.dot").symlink_to(folder / "round.dot")
    (found,) = told(folder, JOB.replace(PART, "    drawing: round.dot"))
    assert found.startswith("job.yaml:15:14: parts[0].drawing: found ")


def test_a_drawing_too_large_is_told(folder, monkeypatch):
    monkeypatch.setattr("kerfwright.jobfile.files.MOST_DRAWING", 0)
    assert told(folder, JOB.replace(PART, "    drawing: plate.dot")) == [
        "job.yaml:15:14: parts[0].drawing: found a file of 1 bytes, allowed: at most 0"
    ]
