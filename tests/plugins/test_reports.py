"""The page and the picture: what they must say, that they are whole, need no network, and repeat to the byte."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from html import escape
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import attrs
import pytest

import kerfwright as kw
from kerfwright.cutter import Cutter, Holder
from kerfwright.figures import figures
from kerfwright.finding import Finding
from kerfwright.operation import Profile
from kerfwright.rates import Rates, choose
from kerfwright.result import CutterUse
from kerfwright.tables import load_tables
from kerfwright_plugins.reports.lives import lives
from kerfwright_plugins.reports.picture import Picture
from kerfwright_plugins.reports.run_sheet import RunSheet

EXAMPLES = Path(__file__).parents[2] / "examples"


SMALL = """\
job: small
machine: light-router
sheet: {material: cfrp, size: [SIZE], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}
cutters: {mill: burr-2}
parts: [{name: disc, at: [8, 12], shapes: [{circle: {center: [0, 0], diameter: 14}}]}]
operations: [{profile: {cutter: mill, select: outer}}]
"""


@pytest.fixture(scope="module")
def result() -> kw.Result:
    registry = kw.Registry.load()
    return kw.make(kw.load_job(EXAMPLES / "gauge-plate" / "gauge-plate.yaml", registry), registry)


@pytest.fixture(scope="module")
def page(result: kw.Result) -> str:
    return RunSheet().render(result)["run-sheet.html"]


@pytest.fixture(scope="module")
def picture(result: kw.Result) -> str:
    return Picture().render(result)["picture.svg"]


@pytest.mark.parametrize(
    "said",
    [
        "carbon-fibre laminate",
        "160 x 100 mm",
        "2.5 mm (from 2.45 to 2.6)",
        "the cutter goes 0.4 mm into it",
        "screws, 2 keepouts",
        "X left, Y front, Z top of the sheet",
        "travel Z8, approach Z2, deepest floor Z-3",  # most 2.6 and breakthrough 0.4
        "not yet confirmed on",
        "conducts electricity",
        "T1 drill: drill, Ø3.2",
        "T2 mill: compression end mill, Ø2",
        "Before the spindle starts",
        "the spindle starts where the cutter stands, then goes up",
        "Where each number comes from",
        "kc ae ap vf / 60,000",
        "For plans, not for safety",
        "Sign-off",
    ],
)
def test_the_run_sheet_says(page: str, said: str) -> None:
    assert said in page


def test_the_run_sheet_lists_every_program_with_its_digest_walk_round_first(page: str, result: kw.Result) -> None:
    places = [page.index(f"<td>{p.file}</td>") for p in sorted(result.programs, key=lambda p: p.kind == "program")]
    assert places == sorted(places)
    for p in result.programs:
        assert p.sha256[:12] in page


def test_nothing_is_fetched(page: str, picture: str) -> None:
    for text in (page, picture):
        without_namespace = text.replace("http://www.w3.org/2000/svg", "")
        assert not re.search(r"https?:|src=|<script|<link|@import|url\(", without_namespace)


def test_the_picture_is_xml_in_millimetres_and_holds_all_pieces(picture: str) -> None:
    root = ET.fromstring(picture)
    assert root.attrib["width"].endswith("mm")
    box = [float(v) for v in root.attrib["viewBox"].split()]
    assert float(root.attrib["width"][:-2]) == box[2]
    kinds = [e.attrib.get("class") for e in root.iter("{http://www.w3.org/2000/svg}path")]
    assert kinds.count("part") == 1
    assert {"sheet", "part", "kerf", "way", "air", "bridge", "keepout"} <= set(kinds)


def test_names_from_outside_are_made_safe(result: kw.Result) -> None:
    material = attrs.evolve(result.job.sheet.material, title="<b>&\"sheet'")
    job = attrs.evolve(result.job, sheet=attrs.evolve(result.job.sheet, material=material))
    hurt = Finding("gouge", "error", "<script>alert(1)</script>", at=(1.0, 2.0))
    spoiled = attrs.evolve(result, job=job, findings=(hurt,))
    for text in (*RunSheet().render(spoiled).values(), *Picture().render(spoiled).values()):
        assert "<script>" not in text
        assert "<b>&" not in text
    ET.fromstring(Picture().render(spoiled)["picture.svg"])


def test_a_finding_has_its_place_and_number_in_the_picture(result: kw.Result) -> None:
    found = Finding("gouge", "error", "0.2 mm into the part", at=(30.0, 40.0, -1.0))
    text = Picture().render(attrs.evolve(result, findings=(found,)))["picture.svg"]
    root = ET.fromstring(text)
    (circle,) = [e for e in root.iter("{http://www.w3.org/2000/svg}circle") if e.attrib.get("class") == "found"]
    assert (circle.attrib["cx"], circle.attrib["cy"]) == ("30", "40")


@pytest.mark.parametrize("size", ["30, 200", "62, 90", "200, 60"])
def test_the_words_under_the_picture_are_inside_it(size: str) -> None:
    """Letters of a plain sans serif taken as half as wide as they are high (from memory), also under a tall sheet."""
    registry = kw.Registry.load()
    result = kw.make(kw.load_job("tall.yaml", registry, text=SMALL.replace("SIZE", size)), registry)
    root = ET.fromstring(Picture().render(result)["picture.svg"])
    left, _, wide, _ = map(float, root.attrib["viewBox"].split())
    words = [e for e in root.iter("{http://www.w3.org/2000/svg}text") if len(e.text or "") > 1]
    assert len(words) == 8  # the disc is small under tape, which is a finding: title, six rows and that
    for e in words:
        assert float(e.attrib["x"]) + 0.5 * float(e.attrib["font-size"]) * len(e.text or "") <= left + wide, e.text


def test_one_of_a_thing_and_a_thickness_without_a_range() -> None:
    registry = kw.Registry.load()
    result = kw.make(kw.load_job("small.yaml", registry, text=SMALL.replace("SIZE", "62, 90")), registry)
    page = RunSheet().render(result)["run-sheet.html"]
    assert "1 program and 1 walk-round were read back" in page
    assert "2 mm, the same everywhere, as the job says: measure" in page
    assert "Sheet: 2 mm thick everywhere" in page
    assert "tape, 0 keepouts" in page


def test_a_page_in_mm_says_so_beside_programs_in_inch() -> None:
    """Z8 of the page is Z0.3150 on the controller's display."""
    registry = kw.Registry.load()
    text = SMALL.replace("SIZE", "62, 90")
    for output, said in (("", False), ("output: {base: nist6556, units: inch}\n", True)):
        result = kw.make(kw.load_job("small.yaml", registry, text=text + output), registry)
        assert ("Lengths" in RunSheet().render(result)["run-sheet.html"]) is said
        (walk,) = (p.text for p in result.programs if p.kind == "walk-round")
        assert ("Z0.3150" in walk) is said
        assert len(re.findall(r"X \d+\.\d Y \d+\.\d mm, clear\?", walk)) == 5


def test_the_same_result_gives_the_same_bytes(result: kw.Result, page: str, picture: str) -> None:
    assert RunSheet().render(result)["run-sheet.html"] == page
    assert Picture().render(result)["picture.svg"] == picture


def test_the_run_sheet_prints_what_the_rates_command_says(result: kw.Result, page: str) -> None:
    """Every line of every operation, value and reason. 2 cutters: 6 lines of a drill, 13 of a mill at the least."""
    seen = 0
    for work in result.setups[0].works:
        sheet, machine = result.job.sheet, result.job.machine
        for one in figures(work.rates, work.operation.cutter, sheet.material, machine):
            seen += 1
            why = escape(one.why.replace("_", " "))
            assert f"<td class=n>{one.shown}</td><td>{one.unit}</td><td>{why}</td>" in page
    assert seen > 20


def test_no_force_is_told_of_a_cone() -> None:
    """Its section is no rectangle of its diameter and a pass."""
    tables = load_tables(kw.Registry.load())
    cone = Cutter(form="chamfer_mill", flutes="straight", diameter=6, point_angle=90, tip_diameter=0.2, flute_length=5)
    rates = Rates(
        15000,
        400,
        100,
        1,
        0,
        dict.fromkeys(("spindle", "feed", "plunge_feed", "axial_depth", "radial_depth"), "the job"),
    )
    said = [one.name for one in figures(rates, cone, tables.materials["acrylic"], tables.machines["light-router"])]
    assert said == ["spindle", "cutting speed", "feed", "feed a tooth", "plunge feed", "axial depth", "radial depth"]


def test_metres_left_are_told_to_the_centimetre() -> None:
    """0.46 m left of 0.5 are not said to be 0.5."""
    result = cast(
        kw.Result,
        SimpleNamespace(
            cutters=(CutterUse("mill", 40.0, 0.08, 0.46, 0.04),),
            job=SimpleNamespace(cutters={"mill": SimpleNamespace(life=0.5)}),
        ),
    )
    assert "<td class=n>8%</td><td>0.46 m left</td>" in lives(result)


@pytest.mark.parametrize(
    ("reach", "holder", "said"),
    [(None, None, "L 8 mm"), (10, None, "L 10 mm"), (10, 22, "L 10 mm, its shank from there to 22 mm")],
)
def test_how_far_a_cutter_stands_free_is_said(reach: float | None, holder: float | None, said: str) -> None:
    tables = load_tables(kw.Registry.load())
    nut = None if holder is None else Holder(diameter=20, above=holder)
    mill = Cutter(form="end_mill", diameter=3, flute_length=8, shank=6, reach=reach, holder=nut)
    stuff, machine = tables.materials["acrylic"], tables.machines["light-router"]
    found = list(figures(choose(Profile(cutter=mill), stuff, machine, "first", 2.0), mill, stuff, machine))
    assert [one.why.endswith(f"(from memory), {said}") for one in found if one.name == "cutter bends"] == [True]
