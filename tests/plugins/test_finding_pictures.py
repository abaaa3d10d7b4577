"""Pictures of findings: one each, of the right place, small enough to read, linked where people look."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import attrs
import pytest

import kerfwright as kw
from kerfwright.finding import Finding
from kerfwright.making import result_of
from kerfwright.places import MOST, pictured, place_of
from kerfwright.placing import place
from kerfwright.proof import reading_of
from kerfwright.resultfile import result_json
from kerfwright_plugins.reports.finding_pictures import FindingPictures
from kerfwright_plugins.reports.run_sheet import RunSheet

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def registry() -> kw.Registry:
    return kw.Registry.load()


@pytest.fixture(scope="module")
def good(registry: kw.Registry) -> kw.Result:
    return kw.make(kw.load_job(EXAMPLES / "gauge-plate" / "gauge-plate.yaml", registry), registry)


@pytest.fixture(scope="module")
def spoiled(good: kw.Result, registry: kw.Registry) -> kw.Result:
    """One hole 0.3 mm beside its place."""
    setups = place(good.job, registry)
    readings = []
    for p in good.programs:
        text = p.text.replace("X88.000 Y77.000", "X88.300 Y77.000")
        readings.append((setups[0], reading_of(p.file, p.kind, text, p.dialect, good.job, registry)))
    return result_of(good.job, setups, readings, registry)


def test_each_finding_with_a_place_has_one(spoiled: kw.Result) -> None:
    names = pictured(spoiled)
    assert names
    assert set(FindingPictures().render(spoiled)) == set(names.values())
    data = json.loads(result_json(spoiled))
    assert [f["picture"] for f in data["findings"]] == [names.get(k) for k in range(len(spoiled.findings))]


def test_it_shows_place_words_and_program_line(spoiled: kw.Result) -> None:
    k, name = next((k, n) for k, n in pictured(spoiled).items() if spoiled.findings[k].check == "gouge")
    f, text = spoiled.findings[k], FindingPictures().render(spoiled)[name]
    root = ET.fromstring(text)
    words = "\n".join(e.text or "" for e in root.iter("{http://www.w3.org/2000/svg}text"))
    assert f"{f.severity}: gouge" in words
    assert f"{f.program}, line {f.line}" in words
    program = next(p for p in spoiled.programs if p.file == f.program)
    assert program.text.split("\n")[f.line - 1].replace(" ", "\u00a0") in words
    kinds = {e.attrib.get("class") for e in root.iter("{http://www.w3.org/2000/svg}path")}
    assert {"part", "kerf", "way", "said", "mark"} <= kinds
    wide, tall = (float(root.attrib[a].removesuffix("mm")) for a in ("width", "height"))
    assert wide <= 190
    assert tall <= 277  # A4 less its margins
    assert re.search(r"https?:|src=|<script|url\((?!#)", text.replace("http://www.w3.org/2000/svg", "")) is None


def test_only_what_is_near_is_drawn(spoiled: kw.Result) -> None:
    """The size of a picture does not follow the size of the program."""
    programs = sum(len(p.data) for p in spoiled.programs)
    assert programs > 5000
    assert all(len(text) < 40_000 for text in FindingPictures().render(spoiled).values())


def test_a_program_line_without_a_place_gives_one(good: kw.Result) -> None:
    p = next(p for p in good.programs if p.kind == "program")
    line = p.text.split("\n").index("X36.500 Y34.500") + 1
    one = Finding("modes", "warning", "look here", None, p.file, line)
    result = attrs.evolve(good, findings=(one, Finding("job", "note", "nowhere")))
    assert place_of(result, one) == (36.5, 34.5)
    assert pictured(result) == {0: "finding-1.svg"}
    page = RunSheet().render(result)["run-sheet.html"]
    assert '<a href="finding-1.svg">finding-1.svg</a>' in page
    assert "note: nowhere</li>" in page


def test_no_more_than_anybody_looks_at(good: kw.Result) -> None:
    many = tuple(Finding("rapid", "error", str(k), (20.0 + k, 20.0)) for k in range(MOST + 5))
    assert len(FindingPictures().render(attrs.evolve(good, findings=many))) == MOST


def test_a_clean_result_has_none(good: kw.Result) -> None:
    clean = attrs.evolve(good, findings=tuple(f for f in good.findings if place_of(good, f) is None))
    assert FindingPictures().render(clean) == {}


def test_the_first_page_says_what_was_proved_and_what_was_not(good: kw.Result) -> None:
    page = RunSheet().render(good)["run-sheet.html"]
    first = page[: page.index("Cautions")]
    for p in good.programs:
        assert p.sha256 in first
    for name in ("gouge", "leftover", "not through", "rapid descent", "loose", "keepout"):
        assert name in first
    for said in (
        "2.45 to 2.6 mm thick everywhere",
        "T1 drill cuts Ø3.2 mm (as marked, not measured)",
        "Zero: X left, Y front",
        "not yet confirmed",
        "says of forces is an estimate",
    ):
        assert said in first
    assert "Tolerance budget: plate" in page
