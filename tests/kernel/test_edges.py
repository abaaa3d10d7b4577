"""Pieces at the sheet's edge, outlines drawn in a recess, outlines that `ignore` names: refused or left alone, in words."""

from __future__ import annotations

import pytest

import kerfwright as kw

JOB = """\
job: trial
machine: light-router
sheet: {{material: plywood, size: [100, 80], thickness: 4, breakthrough: 0.3, board: 12, hold: {hold}}}
cutters: {{m: {{form: end_mill, flutes: up, diameter: 3, teeth: 2, flute_length: 12}}}}
parts:
  - name: p
    at: {at}
    shapes:
      - {{rectangle: {{corner: [0, 0], size: [60, 40], radius: 4}}, layer: rim}}
      - {{rectangle: {{corner: [10, 8], size: [40, 24], radius: 3}}, layer: recess}}
      - {{rectangle: {{corner: [20, 14], size: [20, 12], radius: 2}}, layer: window}}
{more}
operations:
  - pocket: {{cutter: m, select: {{layer: recess}}, depth: 1.5}}
  - profile: {{cutter: m, select: {{layer: window}}, from: 1.5{waste}, bridges: {{width: 1.5, thickness: 1, spacing: 20}}}}
  - profile: {{cutter: m, select: {{layer: rim}}, bridges: {{width: 1.5, thickness: 1, spacing: 45}}}}
"""


@pytest.fixture(scope="module")
def registry() -> kw.Registry:
    return kw.Registry.load()


def made(
    registry: kw.Registry, hold: str = "screws", at: str = "[20, 20]", waste: str = ", waste: inside", more: str = ""
) -> kw.Result:
    return kw.make(
        kw.load_job("trial.yaml", registry, text=JOB.format(hold=hold, at=at, waste=waste, more=more)), registry
    )


REFUSED = {
    "front left corner under screws": (
        {"at": "[0, 0]"},
        "trial.yaml:16:14: operations[2].profile: the kerf around part 'p' copy 1 reaches 3 mm beyond the sheet's edge, where "
        "hold 'screws' finds no sheet for bridges; allowed: more than 3 mm from every edge",
    ),
    "kerf just at the right edge under a frame": (
        {"at": "[37, 20]", "hold": "frame"},
        "trial.yaml:16:14: operations[2].profile: the kerf around part 'p' copy 1 reaches 0 mm beyond the sheet's edge, where "
        "hold 'frame' finds no sheet for bridges; allowed: more than 3 mm from every edge",
    ),
    "a window in a recess, its waste left open": (
        {"waste": ""},
        "trial.yaml:15:14: operations[1].profile: part 'p': outer outline of 20 x 12 mm on layer 'window' at (20, 14) lies in "
        "what operations[0].pocket clears: nobody says on which side its waste is; allowed: `waste: inside` for an opening, "
        "`waste: outside` for a piece that comes out",
    ),
}


@pytest.mark.parametrize(("change", "told"), REFUSED.values(), ids=REFUSED)
def test_refused(change: dict[str, str], told: str, registry: kw.Registry) -> None:
    with pytest.raises(kw.InputError) as refused:
        made(registry, **change)
    assert told in [str(f) for f in refused.value.faults]


def test_at_the_edge_under_tape_is_the_users_business(registry: kw.Registry) -> None:
    assert made(registry, at="[0, 0]", hold="tape").ok


def test_a_window_in_a_recess_is_cut_inside_its_line(registry: kw.Registry) -> None:
    result = made(registry)
    assert result.ok
    text = next(p.text for p in result.programs if p.kind == "program")
    # the window spans X 40 to 60 on the sheet; a 3 mm cutter inside it keeps its center between 41.5 and 58.5
    assert "X41.500" in text
    assert "X38.500" not in text


def test_what_ignore_names_is_left_alone(registry: kw.Registry) -> None:
    plain = made(registry)
    more = "      - {rectangle: {corner: [3, 3], size: [4, 30]}, layer: text}\nignore: {layer: text}"
    lettered = made(registry, more=more)
    assert [p.text for p in lettered.programs] == [p.text for p in plain.programs]


def test_remarks_of_a_drawing_are_told(tmp_path, registry: kw.Registry) -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30"><rect width="40" height="30"/><text x="3" y="9">A</text></svg>'
    (tmp_path / "plate.svg").write_text(svg)
    (tmp_path / "plate.yaml").write_text(
        "job: plate\nmachine: light-router\n"
        "sheet: {material: acrylic, size: [80, 60], thickness: 3, breakthrough: 0.3, board: 12, hold: tape}\n"
        "cutters: {m: {form: end_mill, flutes: up, diameter: 3, teeth: 2, flute_length: 12}}\n"
        "parts: [{name: plate, drawing: plate.svg, at: [15, 15]}]\n"
        "operations: [{profile: {cutter: m}}]\n"
    )
    result = kw.make(kw.load_job(tmp_path / "plate.yaml", registry), registry)
    (note,) = [f.message for f in result.findings if f.check == "drawing"]
    assert note.startswith("part 'plate': ")
    assert "text" in note


def test_an_operation_whose_outlines_are_all_ignored_is_told(registry: kw.Registry) -> None:
    text = JOB.format(hold="tape", at="[20, 20]", waste="", more="ignore: all")
    text = text[: text.index("  - pocket")] + "  - profile: {cutter: m, select: inner}\n"
    with pytest.raises(kw.InputError) as refused:
        kw.make(kw.load_job("trial.yaml", registry, text=text), registry)
    assert [str(f) for f in refused.value.faults] == [
        "trial.yaml:14:34: operations[0].profile.select: 'inner' matches nothing; the drawings have 2 outer outlines and 1 inner"
    ]


def test_a_choice_that_says_more_than_inner_outer_or_all_goes_before_ignore(registry: kw.Registry) -> None:
    assert [p.text for p in made(registry, more="ignore: all").programs] == [p.text for p in made(registry).programs]
