"""Drafts: what outlines are taken for, which cutter is chosen, what is odd, all against drawings worked out by hand."""

from __future__ import annotations

import math
import shutil
from pathlib import Path

import ezdxf
import pytest
import shapely

import kerfwright as kw
from kerfwright.drafting import Draft, draft, wished
from kerfwright.drafting.fitting import waste
from kerfwright.errors import InputError
from kerfwright.jobfile import load_job
from kerfwright.registry import Registry
from kerfwright.tables import load_tables

EXAMPLES = Path(__file__).parents[2] / "examples"
REGISTRY = Registry.load()
TABLES = load_tables(REGISTRY)


class Board:
    """A DXF drawing in the making, mm unless another code of $INSUNITS is given."""

    def __init__(self, units: int = 4) -> None:
        self.doc = ezdxf.new()
        self.doc.header["$INSUNITS"] = units
        self.m = self.doc.modelspace()

    def rectangle(self, x: float, y: float, w: float, h: float, r: float = 0.0, layer: str = "0") -> Board:
        b = math.tan(math.pi / 8)
        rounded = [
            (x + r, y, 0), (x + w - r, y, b), (x + w, y + r, 0), (x + w, y + h - r, b),
            (x + w - r, y + h, 0), (x + r, y + h, b), (x, y + h - r, 0), (x, y + r, b),
        ]  # fmt: skip
        sharp = [(x, y, 0), (x + w, y, 0), (x + w, y + h, 0), (x, y + h, 0)]
        self.m.add_lwpolyline(rounded if r else sharp, format="xyb", close=True, dxfattribs={"layer": layer})
        return self

    def circle(self, x: float, y: float, diameter: float, layer: str = "0") -> Board:
        self.m.add_circle((x, y), diameter / 2, dxfattribs={"layer": layer})
        return self

    def line(self, *ends: tuple[float, float], layer: str = "0") -> Board:
        self.m.add_line(*ends, dxfattribs={"layer": layer})
        return self

    def save(self, folder: Path, name: str = "plate.dxf") -> Path:
        self.doc.saveas(folder / name)
        return folder / name


def plate(units: int = 4) -> Board:
    """60 x 40 mm, corners of 5 mm."""
    return Board(units).rectangle(0, 0, 60, 40, 5)


def drafted(file: Path, *, material: str | None = "gfrp", thickness: str | None = "2", **more: object) -> Draft:
    how = {k: v for k, v in more.items() if k in ("name", "out")}
    asked = {k: v for k, v in more.items() if k not in how}
    wish = wished(TABLES, material=material, thickness=thickness, **asked)  # type: ignore[arg-type]
    return draft(file, wish, registry=REGISTRY, tables=TABLES, **how)  # type: ignore[arg-type]


def made(one: Draft) -> kw.Result:
    return kw.make(load_job(one.file, REGISTRY, text=one.text), REGISTRY)


def table(one: Draft) -> list[str]:
    return [f"{hole}: {done}" for hole, done in one.steps.done]


def mill(one: Draft) -> str:
    return one.tooling.mill.table


@pytest.mark.parametrize(
    ("example", "hold", "holes", "mill_of"),
    [
        ("gauge-plate/gauge-plate.dxf", "screws", ["8 × Ø3.2: cleared to dust, 2 mm mill", "1 × Ø22: an opening"], "burr-2"),
        ("mast-clamp/mast-clamp.dxf", "frame", ["4 × Ø4.5: cleared to dust, 3 mm mill", "1 × Ø22: an opening"], "burr-3"),
        ("vane-arm/vane-arm.svg", "tape", ["1 × Ø3.4: cleared to dust, 2 mm mill", "2 × Ø4.5: cleared to dust, 2 mm mill"], "burr-2"),
    ],
)  # fmt: skip
def test_examples_are_made_from_their_drafts(
    example: str, hold: str, holes: list[str], mill_of: str, tmp_path: Path
) -> None:
    file = Path(shutil.copy(EXAMPLES / example, tmp_path))
    one = drafted(file, hold=hold)
    assert one.to_do == ()
    assert table(one) == holes
    assert mill(one) == mill_of
    result = made(one)
    assert result.ok, result.findings
    assert result.programs


def test_holes_by_hand(tmp_path: Path) -> None:
    """Drills of the tables: 1.6, 2.5, 3 mm. 1.65 is drilled (0.05 off), 3.1 is not; Ø11 is 95 mm2, Ø11.5 104 mm2."""
    board = plate().circle(10, 10, 1.6).circle(50, 10, 1.6).circle(10, 30, 1.65).circle(20, 10, 3).circle(30, 10, 3.1)
    board.circle(20, 28, 11).circle(40, 28, 11.5)
    one = drafted(board.save(tmp_path))
    assert table(one) == [
        "2 × Ø1.6: drilled, 1.6 mm",
        "1 × Ø1.65: drilled, 1.6 mm",
        "1 × Ø3: drilled, 3 mm",
        "1 × Ø3.1: cleared to dust, 2 mm mill",
        "1 × Ø11: cleared to dust, 2 mm mill",
        "1 × Ø11.5: an opening",
    ]
    kinds = [s.text.split(":")[0] for s in one.steps.operations]
    assert kinds == ["drill", "drill", "drill", "pocket", "pocket", "profile", "profile"]
    assert made(one).ok


@pytest.mark.parametrize(
    ("board", "chosen", "largest", "why"),
    [
        (plate().rectangle(20, 10, 20, 15, 1.2), "burr-2", 2.4, "inside radius 1.2 mm"),
        (plate().rectangle(20, 10, 20, 15, 1.0), "burr-2", 2.0, "inside radius 1 mm"),
        (plate().rectangle(20, 10, 20, 15, 0.9), "burr-1.5", 1.8, "inside radius 0.9 mm"),
        (plate().rectangle(20, 10, 20, 15, 1.5), "burr-3", 3.0, "inside radius 1.5 mm"),
        (plate().rectangle(20, 10, 20, 15), "burr-3", 6.5, "nothing in the drawing"),  # sharp: no cutter reaches
        (plate().rectangle(20, 10, 20, 2.1), "burr-2", 2.1, "the tightest place"),
        (
            plate().rectangle(20, 10, 20, 2.0),
            "burr-1.5",
            2.0,
            "the tightest place",
        ),  # as wide as the cutter: it cannot enter
        (plate().rectangle(62.6, 0, 30, 40, 5), "burr-2", 2.6, "the tightest place"),  # between two pieces
        (plate().circle(20, 20, 3.7), "burr-3", 3.08, "a hole of 3.7 mm"),  # 3.7 / 1.2
        (plate().circle(20, 20, 3.5), "burr-2", 2.91, "a hole of 3.5 mm"),
        (plate().rectangle(20, 10, 20, 15, 0.4), "up-1", 0.8, "inside radius 0.4 mm"),  # none is small enough
    ],
    ids=lambda v: None if isinstance(v, Board) else str(v),
)
def test_the_largest_cutter_by_hand(board: Board, chosen: str, largest: float, why: str, tmp_path: Path) -> None:
    one = drafted(board.save(tmp_path))
    assert mill(one) == chosen
    assert one.tooling.largest == pytest.approx(largest, abs=0.011)
    assert why in one.largest
    assert (one.tooling.missed is not None) == (chosen == "up-1")


def test_a_corner_that_no_cutter_of_the_tables_reaches_is_told(tmp_path: Path) -> None:
    """Left in a fillet of radius r by a cutter of radius R: (R - r)(sqrt 2 - 1); 0.1 x 0.414 = 0.041 mm."""
    one = drafted(plate().rectangle(20, 10, 20, 15, 0.4).save(tmp_path))
    found = [v for v in one.odd if v.startswith("a cutter of 1 mm does not reach")]
    assert len(found) == 1
    assert "(0.041 mm stays)" in found[0]
    assert "measures 0.8" in found[0]
    assert "inside radius 0.4 mm at (" in found[0]


def test_a_small_cutter_makes_only_the_holes_that_need_it(tmp_path: Path) -> None:
    """Ø1.3 is no drill's; 1.3 / 1.2 = 1.083 mm: a mill of 1 mm, too thin for whole outlines."""
    one = drafted(plate().circle(10, 10, 1.3).circle(30, 20, 6).save(tmp_path))
    assert {k: t.table for k, t in one.tooling.tools.items()} == {"fine": "up-1", "mill": "burr-3"}
    assert table(one) == ["1 × Ø1.3: cleared to dust, 1 mm mill", "1 × Ø6: cleared to dust, 3 mm mill"]
    assert made(one).ok


def test_a_hole_that_nothing_makes_is_ignored_loudly(tmp_path: Path) -> None:
    one = drafted(plate().circle(10, 10, 0.6).save(tmp_path))
    assert "1 × Ø0.6: too small for every cutter of the tables, NOT MADE until you name one" in one.odd
    assert "ignore:" in one.text
    assert made(one).ok


@pytest.mark.parametrize(("bend", "room"), [(90, 5.0), (135, 5.0)])
def test_waste_knows_its_corners(bend: float, room: float) -> None:
    """A hole of 10 x 10 mm has four corners with half a side each; one of a triangle 45, 45, 90 has bends of 135 and 90."""
    square = shapely.Polygon([(0, 0), (10, 0), (10, 10), (0, 10)] if bend == 90 else [(0, 0), (10, 0), (0, 10)])
    found = waste(shapely.box(-20, -20, 30, 30).difference(square))
    assert len(found.corners) == (4 if bend == 90 else 3)
    assert math.degrees(found.bends.max()) == pytest.approx(bend)
    assert found.room.min() == pytest.approx(room)


ODD = {
    # name: (drawing, what is told)
    "no unit": (plate(0), "the drawing names no unit ($INSUNITS): counted as mm"),
    "the same twice": (plate().rectangle(0, 0, 60, 40, 5), "1 outline drawn twice left out, the first at 5, 0"),
    "a layer that says recess": (plate().rectangle(20, 10, 9, 9, 2, "Recess"), "the layer 'Recess' sounds like a recess"),
    "a layer that says mark": (plate().rectangle(20, 10, 9, 9, 2, "engrave"), "the layer 'engrave' sounds like a mark"),
    "a counterbore": (plate().circle(20, 20, 6).circle(20, 20, 3), "the outline with its center (20, 20) has others in it"),
    "a piece in an opening": (
        plate().rectangle(10, 5, 40, 30, 3).rectangle(20, 12, 20, 16, 3),
        "the outline with its lower left corner (10, 5) has others in it",
    ),
    "a page's edge": (plate().rectangle(-20, -20, 100, 80).circle(30, 20, 20), "is the outermost outline the edge of a sheet"),
    "sharp corners": (plate().rectangle(20, 10, 20, 15), "4 sharp inside corners, the first at (20, 10)"),
    "too large": (Board().rectangle(0, 0, 1200, 10), "it measures 1200 x 10 mm: is the unit right?"),
    "too small": (Board().rectangle(0, 0, 2, 1), "it measures 2 x 1 mm: is the unit right?"),
    "a fold": (plate().line((10, 20), (50, 20), layer="fold"), "1 open line on layer 'fold': taken as a mark 0.2 mm deep"),
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
def test_what_is_odd_is_told(name: str, tmp_path: Path) -> None:
    board, told = ODD[name]
    one = drafted(board.save(tmp_path))
    assert [v for v in one.odd if v.startswith(told)], one.odd
    assert " ".join(told.split()[:6]) in " ".join(one.text.replace("#", " ").split())


def test_a_piece_without_room_for_bridges_is_left_to_do(tmp_path: Path) -> None:
    """4 x 4 mm: a bridge of 0.8 mm under a cutter of 3 mm needs 3.8 mm of straight on a way of 7 mm with round corners."""
    file = Board().rectangle(0, 0, 4, 4).save(tmp_path)
    (told,) = drafted(file).to_do
    assert told.startswith("the outline with its lower left corner (0, 0) has no room for two bridges")
    assert drafted(file, hold="tape").to_do == ()


def test_text_is_told(tmp_path: Path) -> None:
    board = plate()
    board.m.add_text("top")
    assert "1 TEXT passed over: no outline" in drafted(board.save(tmp_path)).odd


@pytest.mark.parametrize("name", ["a layer that says recess", "a counterbore", "a piece in an opening", "a fold"])
def test_what_is_in_doubt_is_not_cut_and_the_rest_is(name: str, tmp_path: Path) -> None:
    one = drafted(ODD[name][0].save(tmp_path))
    assert one.to_do == ()
    result = made(one)
    assert result.ok, result.findings
    lines = [v.strip() for v in one.text.splitlines()]
    if name != "a fold":
        assert any(v.startswith("# - pocket:") and "depth: FILL-IN" in v for v in lines)
        assert "NOT CUT until an operation names it" in one.text
    else:
        assert any(v.startswith("- mark: {cutter: mill, select: {layer: fold}") for v in lines)


def filled(one: Draft, *suggestions: str) -> str:
    """The text with suggestions awake, 0.8 mm deep; nothing else is changed."""
    rows = [
        row.replace("  # - ", "  - ").replace("FILL-IN", "0.8") if any(s in row for s in suggestions) else row
        for row in one.text.splitlines()
    ]
    assert rows != one.text.splitlines()
    return "\n".join(rows)


@pytest.mark.parametrize(
    ("board", "suggestions"),
    [
        (plate().rectangle(20, 10, 20, 15, 2, "recess"), ["# - pocket"]),
        (plate().circle(20, 20, 6).circle(20, 20, 3).circle(40, 20, 3), ["# - pocket"]),
        (plate().circle(20, 20, 6).circle(20, 20, 3).circle(40, 20, 6), ["# - pocket"]),
        (plate().rectangle(5, 5, 50, 30, 3).rectangle(15, 12, 25, 16, 3), ["# - pocket", "waste: inside"]),
        (
            plate().rectangle(5, 5, 50, 30, 3).rectangle(15, 12, 25, 16, 3),
            ["# - profile: {cutter: mill, select: {within: [5, "],
        ),
        (plate().rectangle(20, 10, 20, 15, 2, "etched"), ["# - mark"]),
    ],
    ids=["recess", "counterbore", "counterbore, and a hole as wide", "recess and opening", "opening and piece", "mark"],
)
def test_suggestions_filled_in_are_made(board: Board, suggestions: list[str], tmp_path: Path) -> None:
    """Take the comment's sign away, fill in the depth: it is cut with all else."""
    one = drafted(board.save(tmp_path))
    job = load_job(one.file, REGISTRY, text=filled(one, *suggestions))
    assert len(job.operations) == len(load_job(one.file, REGISTRY, text=one.text).operations) + len(suggestions)
    result = kw.make(job, REGISTRY)
    assert result.ok, result.findings


def test_an_open_outline_is_the_fault_that_a_job_tells(tmp_path: Path) -> None:
    file = plate().line((10, 20), (50, 20)).save(tmp_path)
    with pytest.raises(InputError) as drafting:
        drafted(file)
    job = f"job: a\nmachine: light-router\nsheet: {{material: gfrp, thickness: 2, board: 9}}\ncutters: {{}}\nparts: [{{name: a, drawing: {file.name}}}]\noperations: []"
    with pytest.raises(InputError) as loading:
        load_job(tmp_path / "a.yaml", REGISTRY, text=job)
    (told,) = (f.message for f in drafting.value.faults)
    assert told.startswith("an outline is not closed: open end at 10, 20")
    assert any(told in f.message for f in loading.value.faults)


def test_inches(tmp_path: Path) -> None:
    """2 x 1 inch with a hole of 1/8 inch, in a sheet of 1/16 inch, cut with 3/32 inch: 2.381 mm."""
    one = drafted(
        Board(1).rectangle(0, 0, 2, 1).circle(1, 0.5, 0.125).save(tmp_path), thickness="1/16 in", cutter="3/32 in"
    )
    assert one.size == pytest.approx((50.8, 25.4))
    assert table(one) == ["1 × Ø3.175: cleared to dust, 2.381 mm mill"]
    job = load_job(one.file, REGISTRY, text=one.text)
    assert job.sheet.thickness.nominal == pytest.approx(1.5875)
    assert job.cutters["mill"].diameter == pytest.approx(2.381)


def test_names_with_spaces_and_signs(tmp_path: Path) -> None:
    board = plate().rectangle(20, 10, 20, 15, 2, "seat (A), #1 [x]")
    one = drafted(board.save(tmp_path, "front plate (v2) #3.dxf"))
    assert one.name == "front-plate-v2-3"
    assert one.file == tmp_path / "front-plate-v2-3.yaml"
    assert 'drawing: "front plate (v2) #3.dxf"' in one.text
    assert 'select: {layer: "seat (A), #1 [x]"}' in one.text
    assert load_job(one.file, REGISTRY, text=one.text).parts[0].drawing.loops[1].layer == "seat (A), #1 [x]"


def test_what_is_not_said_is_left_to_fill_in(tmp_path: Path) -> None:
    one = drafted(plate().save(tmp_path), material=None, thickness=None)
    assert [v.split(":")[0] for v in one.to_do] == ["say the material", "say the thickness"]
    with pytest.raises(InputError) as e:
        load_job(one.file, REGISTRY, text=one.text)
    assert [f.path for f in e.value.faults] == ["sheet.material", "sheet.thickness"]


@pytest.mark.parametrize(
    ("count", "layout"),
    [(6, "grid: {columns: 2, rows: 3, gap: 10}"), (13, "nest: {count: 13, gap: 5}")],
)  # 2 x 3: 130 x 140 mm; 13 in a row are 900 mm and more, the machine has 600
def test_copies(count: int, layout: str, tmp_path: Path) -> None:
    one = drafted(plate().save(tmp_path), count=count)
    assert layout in one.text
    assert one.to_do == ()


@pytest.mark.parametrize(("thickness", "bridges"), [("1", "width: 0.8, thickness: 0.3"), ("0.5", "width: 0.8, thickness: 0.25"), ("6", "width: 1.2, thickness: 1,")])  # fmt: skip
def test_bridges_by_thickness(thickness: str, bridges: str, tmp_path: Path) -> None:
    assert bridges in drafted(plate().save(tmp_path), thickness=thickness, material="plywood").text


def test_an_svg_without_size(tmp_path: Path) -> None:
    """40 x 20 px, 96 to the inch: 10.583 x 5.292 mm."""
    file = tmp_path / "tag.svg"
    file.write_text('<svg xmlns="http://www.w3.org/2000/svg"><rect x="1" y="1" width="40" height="20" rx="4"/></svg>')
    one = drafted(file, hold="tape")
    assert one.size == pytest.approx((10.583, 5.292), abs=0.001)
    assert any("no unit" in v or "96 to the inch" in v for v in one.odd)
