"""The inspection sheet and its form: the same rows on both, each number once in the picture, and nothing of the user's lost."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import attrs
import pytest
import yaml

import kerfwright as kw
from kerfwright.adjusting.form import filled_in
from kerfwright.placing import place
from kerfwright_plugins.reports.inspection import InspectionSheet

REGISTRY = kw.Registry.load()
SVG = "{http://www.w3.org/2000/svg}"
HOLES = [f"{{circle: {{center: [{8 + 10 * x}, {8 + 10 * y}], diameter: 3.2}}}}" for y in range(4) for x in range(6)]
JOB = """\
job: rail
machine: light-router
tolerance: TOLERANCE
sheet: {material: gfrp, size: [200, 140], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: burr, diameter: 2, measured: 1.96, teeth: 6, flute_length: 9}
  drill: {form: drill, diameter: 3.2, point_angle: 118, flute_length: 20}
parts:
  - name: "NAME"
    at: [20, 20]
    turn: 90
    shapes: [{path: "M0 0 H90 V60 L80 80 H0 Z"}, HOLES, {rectangle: {corner: [20, 55], size: [30, 12], radius: 2}}]
operations:
  - drill: {cutter: drill, select: {circles: 3.2}}
  - profile: {cutter: mill, select: inner}
  - profile: {cutter: mill, select: outer}
output: nist6556
"""


def made(tolerance: str = "0.1", name: str = "rail") -> kw.Result:
    """Placed only: the sheet asks for no more of a result."""
    text = JOB.replace("TOLERANCE", tolerance).replace("NAME", name).replace("HOLES", ", ".join(HOLES))
    job = kw.load_job("rail.yaml", REGISTRY, text=text)
    return kw.Result(job, "0", place(job, REGISTRY), (), ())


@pytest.fixture(scope="module")
def files() -> dict[str, str]:
    return dict(InspectionSheet().render(made()))


@pytest.fixture(scope="module")
def page(files: dict[str, str]) -> str:
    return files["inspection-rail.html"]


def cells(page: str) -> list[list[str]]:
    """The rows of sizes, tags taken away."""
    rows = re.findall(r"<tr><td class=n>(.*?)</tr>", page)
    return [[re.sub("<[^>]*>", "", c) for c in re.split("</td>", row)] for row in rows]


def test_page_and_form_have_the_same_rows(files: dict[str, str], page: str) -> None:
    form = files["measured-rail.yaml"]
    said = yaml.safe_load(form)
    rows = cells(page)
    assert [r[0] for r in rows] == [str(n) for n in range(1, len(rows) + 1)]
    in_form = {int(s["name"].split()[0]): s for s in said["sizes"]}
    not_there = [int(n) for n in re.findall(r"not asked here, as it ends in a corner or a curve: (\d+)", form)]
    assert sorted([*in_form, *not_there]) == list(range(1, len(rows) + 1))
    assert not_there == []
    for number, size in in_form.items():
        row = rows[number - 1]
        assert float(row[3]) == pytest.approx(size["nominal"], abs=0.0006)
        assert (float(row[4]), float(row[5])) == (
            pytest.approx(size["nominal"] - 0.1, abs=0.0006), pytest.approx(size["nominal"] + 0.1, abs=0.0006)
        )  # fmt: skip
        assert (float(row[6]), float(row[7])) == (
            pytest.approx(size["nominal"] - 0.07, abs=0.0006), pytest.approx(size["nominal"] + 0.07, abs=0.0006)
        )  # fmt: skip
        assert size["measured"] is None
        # X of the drawing lies along Y of the sheet: the part is turned by 90 deg
        assert (row[2], size["along"]) in (("X", "y"), ("Y", "x")) or float(row[2][:-1]) == pytest.approx(
            (float(size["along"].split()[0]) + 90) % 180, abs=0.01
        )
        drilled = " hole " in size["name"]
        assert size.get("cut_at") == (None if size["kind"] == "centers" else 3.2 if drilled else 1.96)
    assert not filled_in(form)


@pytest.mark.parametrize(
    "said",
    [
        "24 × Ø3.2 mm, hole, 8 of them to measure",
        "M3 fine, ISO 273",
        "ISO 14253-1",
        "U = 0.03 mm",
        "± 0.1 mm",
        "part &#x27;rail&#x27;, copy 1 on sheet 1, turned by 90 deg",
        "wear gloves",
        "kerfwright adjust measured-rail.yaml",
    ],
)
def test_the_page_says(page: str, said: str) -> None:
    assert said in page


def test_each_number_stands_once_in_the_picture_and_balloons_do_not_cover_each_other(page: str) -> None:
    picture = ET.fromstring(page[page.index("<svg") : page.index("</svg>") + 6])
    digits = [int(t.text or "") for t in picture.iter(f"{SVG}text")]
    assert sorted(digits) == list(range(1, len(cells(page)) + 1))
    balloons = [e for e in picture.iter(f"{SVG}circle") if e.attrib["class"] == "balloon"]
    assert len(balloons) == len(digits)
    at = [(float(e.attrib["cx"]), float(e.attrib["cy"]), float(e.attrib["r"])) for e in balloons]
    left, top, wide, tall = map(float, picture.attrib["viewBox"].split())
    for n, (x, y, r) in enumerate(at):
        assert left <= x - r
        assert x + r <= left + wide
        assert top <= y - r
        assert y + r <= top + tall
        for u, v, _ in at[:n]:
            assert math.hypot(x - u, y - v) > 1.6 * r


def test_no_number_stands_where_two_distances_cross() -> None:
    """There it would belong to either: a plate whose diagonals meet in its middle, at 60, 40."""
    holes = "".join(f", {{circle: {{center: [{x}, {y}], diameter: 3.2}}}}" for x in (8, 112) for y in (8, 72))
    shapes = f"    shapes: [{{rectangle: {{corner: [0, 0], size: [120, 80], radius: 3}}}}{holes}]"
    text = re.sub("    shapes:.*", shapes, JOB).replace("    turn: 90\n", "").replace("TOLERANCE", "0.1")
    text = text.replace("  - profile: {cutter: mill, select: inner}\n", "").replace("NAME", "rail")
    job = kw.load_job("rail.yaml", REGISTRY, text=text)
    page = InspectionSheet().render(kw.Result(job, "0", place(job, REGISTRY), (), ()))["inspection-rail.html"]
    picture = ET.fromstring(page[page.index("<svg") : page.index("</svg>") + 6])
    balloons = [e.attrib for e in picture.iter(f"{SVG}circle") if e.attrib["class"] == "balloon"]
    assert len(balloons) == 12  # two sizes over all, four holes, four rows of holes, two diagonals
    assert all(math.hypot(float(b["cx"]) - 60, float(b["cy"]) + 40) > float(b["r"]) for b in balloons)


def test_the_picture_is_told_by_line_types(page: str) -> None:
    """ISO 128: edges wide, dimensions narrow (half or less), centers narrow and long-dashed dotted."""
    wide = float(re.search(r"\.edge{[^}]*stroke-width:([\d.]+)", page)[1])  # type: ignore[index]
    for name in ("dim", "axis"):
        assert float(re.search(rf"\.{name}{{[^}}]*stroke-width:([\d.]+)", page)[1]) <= wide / 2  # type: ignore[index]
    assert re.search(r"\.axis{[^}]*stroke-dasharray:([\d.]+ ){3}[\d.]+}", page)
    assert not re.search(r"\.(n|no|center|box|blank){[^}]*stroke", page)  # names of the page's own style


def test_nothing_is_fetched_and_names_are_made_safe() -> None:
    files = InspectionSheet().render(made(name="<b>&/../x"))
    assert sorted(files) == ["inspection-b-x.html", "measured-b-x.yaml"]
    page = files["inspection-b-x.html"].replace("http://www.w3.org/2000/svg", "")
    assert "<b>&" not in page
    assert not re.search(r"https?:|src=|<script|<link|@import|url\(", page)


def test_a_size_that_ends_in_a_corner_is_on_the_page_and_not_in_the_form() -> None:
    text = JOB.replace("TOLERANCE", "0.1").replace("NAME", "wedge").replace("HOLES", HOLES[0])
    text = text.replace("M0 0 H90 V60 L80 80 H0 Z", "M0 0 H90 L0 180 Z").replace("turn: 90", "turn: 90 deg")
    job = kw.load_job("wedge.yaml", REGISTRY, text=text.replace("[200, 140]", "[240, 140]"))
    files = InspectionSheet().render(kw.Result(job, "0", place(job, REGISTRY), (), ()))
    form = files["measured-wedge.yaml"]
    assert "# not asked here, as it ends in a corner or a curve: 1 over all 90" in form
    assert [s["name"] for s in yaml.safe_load(form)["sizes"]][:2] == ["3 opening 30", "4 opening 12"]
    assert [r[1] for r in cells(files["inspection-wedge.html"])][:2] == ["over all", "over all"]
    assert files["inspection-wedge.html"].count("ends in a corner or curve: not in the form") == 2


def test_limits_by_class_are_each_of_their_row() -> None:
    """ISO 2768-f by hand: 90 ± 0.15, 12 ± 0.1, 3.2 ± 0.05; less 0.03."""
    rows = cells(InspectionSheet().render(made("f"))["inspection-rail.html"])
    at = {(r[1], r[3]): r[4:8] for r in rows}
    assert at["over all", "90.000"] == ["89.850", "90.150", "89.880", "90.120"]
    assert at["opening", "12.000"] == ["11.900", "12.100", "11.930", "12.070"]
    assert at["Ø hole", "3.200"] == ["3.150", "3.250", "3.180", "3.220"]
    fine = InspectionSheet().render(made("0.03"))["inspection-rail.html"]
    assert {tuple(r[6:8]) for r in cells(fine)} == {("-", "-")}
    assert "No caliper proves 1, 2, 3" in fine


def test_a_form_with_sizes_in_it_is_never_replaced(tmp_path: Path) -> None:
    result = made()
    folder = result.save(tmp_path, REGISTRY)
    form = folder / "measured-rail.yaml"
    blank = form.read_text()
    form.write_text(blank + "# touched\n")
    result.save(tmp_path, REGISTRY)
    assert form.read_text() == blank  # nothing was filled in
    mine = blank.replace("measured:   ", "measured: 3.2", 1)
    form.write_text(mine)
    result.save(tmp_path, REGISTRY)
    assert form.read_text() == mine
    other = attrs.evolve(result, job=made(name="other").job, setups=made(name="other").setups)
    other.save(tmp_path, REGISTRY)
    left = {p.name for p in folder.iterdir()}
    assert {"measured-rail.yaml", "measured-other.yaml", "inspection-other.html"} <= left
    assert "inspection-rail.html" not in left
    assert form.read_text() == mine
