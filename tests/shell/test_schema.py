"""`kerfwright schema`: what the loader takes it takes, and what it refuses the loader refuses at the same place.

What a schema cannot say is listed in `kerfwright.jobfile.schema`; `ONLY_THE_LOADER` below holds one of each, so that the list stays true.
"""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import hypothesis.strategies as st
import pytest
import yaml
from hypothesis import given
from jsonschema import Draft202012Validator

import kerfwright as kw
from kerfwright.errors import InputError
from kerfwright.fields import Spec
from kerfwright.jobfile import fragments, scalars
from kerfwright.jobfile.customs import CUSTOMS
from kerfwright.jobfile.nodes import Scalar
from kerfwright.jobfile.schema import job_schema
from kerfwright.registry import Registry
from kerfwright.shell import run
from kerfwright.tables import load_tables
from kerfwright.units import UNITS

ROOT = Path(__file__).parents[2]
REGISTRY = Registry.load()
TABLES = load_tables(REGISTRY)
SCHEMA = job_schema(REGISTRY)
VALIDATOR = Draft202012Validator(SCHEMA)
JOBS = sorted(
    p for top in ("examples", "tests/dialects") for p in (ROOT / top).rglob("*.yaml") if p.read_text().startswith("job:")
    or "\njob:" in p.read_text()
)  # fmt: skip
STRANGERS = {"weir-plate": "weir_tape", "staff-tag": "weir_thinning"}
BASE: dict[str, Any] = {
    "job": "tag",
    "machine": "light-router",
    "sheet": {"material": "gfrp", "size": [120, 80], "thickness": 2, "board": 12, "hold": "tape"},
    "cutters": {
        "mill": {"form": "end_mill", "flutes": "burr", "diameter": 2, "teeth": 6, "flute_length": 8},
        "drill": {"form": "drill", "diameter": 1.6, "point_angle": 118, "flute_length": 12},
        "cone": {"form": "chamfer_mill", "diameter": 6, "point_angle": 90, "flute_length": 4},
    },
    "parts": [{"name": "tag", "at": [15, 15], "shapes": [{"rectangle": {"corner": [0, 0], "size": [30, 20]}}]}],
    "operations": [{"profile": {"cutter": "mill", "select": "outer"}}],
}
GONE = object()


@pytest.fixture(autouse=True)
def _tables_read_once(monkeypatch):
    monkeypatch.setattr("kerfwright.jobfile.job.load_tables", lambda _: TABLES)


def changed(*changes: tuple[str, Any]) -> dict[str, Any]:
    """The base with values at paths, `operations/0/profile/entry`."""
    job = copy.deepcopy(BASE)
    for path, value in changes:
        at: Any = job
        *way, last = (int(key) if key.isdigit() else key for key in path.split("/"))
        for key in way:
            at = at[key]
        if value is GONE:
            del at[last]
        else:
            at[last] = value
    return job


def places(job: Any) -> set[str]:
    """Where the schema finds faults, the innermost of each."""
    found, more = set(), list(VALIDATOR.iter_errors(job))
    while more:
        error = more.pop()
        more += error.context or ()
        found.add("/".join(map(str, error.absolute_path)))
    return found


def refusals(job: Any) -> str:
    """What the loader says of it; nothing where it takes it."""
    try:
        kw.load_job("job.yaml", REGISTRY, text=yaml.safe_dump(job, allow_unicode=True))
    except InputError as e:
        return str(e)
    return ""


def test_it_is_a_schema_of_the_draft_it_names():
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(SCHEMA)
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA
    assert not [name for name, one in SCHEMA["$defs"].items() if not one]


@pytest.mark.parametrize("path", JOBS, ids=lambda p: p.stem)
def test_every_job_of_the_examples_is_valid(path: Path, monkeypatch):
    validator = VALIDATOR
    job = yaml.safe_load(path.read_text())
    if plugin := STRANGERS.get(path.stem):
        assert not validator.is_valid(job)
        monkeypatch.syspath_prepend(path.parents[1] / "src")
        validator = Draft202012Validator(job_schema(Registry.load((plugin,))))
    assert [e.message for e in validator.iter_errors(job)] == []


def test_there_are_jobs_to_look_at():
    assert len(JOBS) >= 10
    assert {p.stem for p in JOBS} >= STRANGERS.keys()


def test_every_reader_of_a_custom_field_has_a_fragment_with_words_beside_it():
    assert len(CUSTOMS) > 20
    for name, custom in CUSTOMS.items():
        assert custom.schema is not None, name
        assert custom.schema.__module__ == custom.read.__module__, name


def test_every_key_is_described_and_every_default_is_valid():
    count, defaults = 0, 0
    more: list[Any] = [SCHEMA]
    while more:
        one = more.pop()
        if isinstance(one, list):
            more += one
        elif isinstance(one, dict):
            for key, value in one.get("properties", {}).items():
                if one.get("additionalProperties") is False:
                    count += 1
                    assert value.get("description") or "$ref" in value, key
                    for said in [value[k] for k in ("default",) if k in value] + value.get("examples", []):
                        defaults += 1
                        Draft202012Validator({"$defs": SCHEMA["$defs"], **value}).validate(said)
            more += [value for key, value in one.items() if key not in ("default", "examples")]
    assert count > 400
    assert defaults > 200


P = "operations/0/profile"
TAKEN = [
    (),
    (("units", "inch"), ("sheet/size", [5, 3]), ("sheet/thickness", 0.08), ("sheet/board", "12 mm"),
     ("cutters", {"mill": {"form": "end_mill", "diameter": "1/16 in", "flute_length": 0.3}}),
     ("operations/0/profile/entry", {"helix": {"radius": 0.03}})),
    ((f"{P}/entry", "toolaxis"),),
    ((f"{P}/entry", {"ramp": {"angle": "4 deg"}}),),
    ((f"{P}/entry", {"ramp": {"angle": "0.1 rad"}}),),
    ((f"{P}/feed", "1/2 m/min"), (f"{P}/spindle", "250 1/s"), (f"{P}/radial_depth", "40 %")),
    ((f"{P}/feed", "20 in/min"), (f"{P}/axial_depth", "500 um"), (f"{P}/plunge_feed", "80")),
    ((f"{P}/bridges", {"width": 0.8, "thickness": 0.4, "spacing": 40}),),
    ((f"{P}/bridges", {"width": 0.8, "thickness": 0.4}),),
    ((f"{P}/bridges", {"count": 3}),),
    ((f"{P}/bridges", {"at": [[10, 0], [20, 20]], "width": 1}),),
    ((f"{P}/bridges", {"spacing": {"width": 1}}),),
    ((f"{P}/bridges", "spacing"),),
    ((f"{P}/passes", {"listed": {"depths": [1, "1.5 mm"]}}),),
    ((f"{P}/depth", "through"), (f"{P}/allowance", {"side": 0.2})),
    ((f"{P}/depth", 1.5), (f"{P}/from", 0.5)),
    ((f"{P}/select", ["outer", {"circles": [3, 4]}, {"layer": 0, "within": [0, 0, 9, 9]}]),),
    (("sheet/thickness", {"nominal": 2, "least": 1.9}), ("sheet/grain", {"along": "90 deg", "turns": [90, 270]})),
    (("sheet/zero", {"x": "center", "y": 12, "z": "board_top"}),),
    (("sheet/keepout", [{"circle": {"center": [5, 5], "diameter": 4}, "height": 3},
                        {"polygon": [[60, 60], [70, 60], [70, 70]], "height": "2 mm"}]),),
    (("sheet/material", {"base": "gfrp", "cutmode": "conventional"}),),
    (("machine", {"base": "light-router", "dialect": {"base": "iso6983", "word": {"dwell_word": "P"}}}),),
    (("cutters/mill", "burr-2"), ("cutters/drill", {"base": "drill-1.6", "measured": 1.58})),
    (("cutters/mill/holder", {"diameter": 20, "above": 18}), ("cutters/mill/life", 200), ("cutters/mill/price", 9)),
    (("output", "nist6556"),),
    (("output", {"dialect": "nist6556", "units": "inch", "block": {}, "run": {"work_offset": 2}}),),
    (("parts/0/at", [[15, 15], [60, 15]]), ("parts/0/layout", "placed")),
    (("parts/0/layout", {"grid": {"columns": 2}}),),
    (("parts/0/shapes", [{"polygon": [[0, 0], [9, 0], [9, 9]], "layer": 3}]),),
    (("parts/0/shapes", [{"path": "M0 0 H20 V10 H0 Z"}, {"slot": {"from": [30, 5], "to": [40, 5], "width": 3}}]),),
    (("parts/0/shapes", [{"wkt": {"text": "POLYGON ((0 0, 20 0, 20 10, 0 0))"}}]),),
    (("quote", {"sheet_price": 3, "set_up_min": "30 min", "quantity": 20}),),
    (("tolerance", 0.2), ("pace", "proven"), ("ignore", {"layer": "notes"}), ("planes", {"travel": 10})),
    (("operations", [{"pocket": {"cutter": "mill", "select": "outer", "depth": 1, "cover": {"bidirectional": {}}}}]),),
    (("operations", [{"drill": {"cutter": "drill", "cycle": "peck"}}, {"mark": {"cutter": "cone", "select": "all"}}]),),
]  # fmt: skip
"""Changes of the base that are jobs, by hand."""


@pytest.mark.parametrize("changes", TAKEN, ids=[", ".join(path for path, _ in c) or "base" for c in TAKEN])
def test_what_the_loader_takes_is_valid(changes):
    job = changed(*changes)
    assert refusals(job) == ""
    assert places(job) == set()


SHAPES = "parts/0/shapes"
FAULTY = [
    ("speed", 3, "", "speed"),
    ("job", GONE, "", "job"),
    ("job", "a/b", "job", "job"),
    ("machine", "heavy-router", "machine", "machine"),
    ("machine", {"base": "light-router", "rapids": "fast"}, "machine/rapids", "machine.rapids"),
    ("machine", {"home": True}, "machine", "machine.spindle"),
    ("units", "cm", "units", "units"),
    ("sheet", [1, 2], "sheet", "sheet"),
    ("sheet/material", "steel", "sheet/material", "sheet.material"),
    ("sheet/size", [120], "sheet/size", "sheet.size"),
    ("sheet/size", [120, 0], "sheet/size/1", "sheet.size[1]"),
    ("sheet/thickness", 51, "sheet/thickness", "sheet.thickness"),
    ("sheet/thickness", {"least": 1.9}, "sheet/thickness", "sheet.thickness.nominal"),
    ("sheet/breakthrough", "3 deg", "sheet/breakthrough", "sheet.breakthrough"),
    ("sheet/board", -1, "sheet/board", "sheet.board"),
    ("sheet/hold", "glue", "sheet/hold", "sheet.hold"),
    ("sheet/zero", {"x": "middle"}, "sheet/zero/x", "sheet.zero.x"),
    ("sheet/keepout", [{"height": 4}], "sheet/keepout/0", "sheet.keepout[0]"),
    ("sheet/keepout", [{"circle": {"center": [1, 1]}, "height": 4}], "sheet/keepout/0/circle", "sheet.keepout[0].circle"),
    ("planes", {"travel": 201}, "planes/travel", "planes.travel"),
    ("cutters", {}, "cutters", "cutters"),
    ("cutters/mill/teeth", 2.5, "cutters/mill/teeth", "cutters.mill.teeth"),
    ("cutters/mill/teeth", "two", "cutters/mill/teeth", "cutters.mill.teeth"),
    ("cutters/mill/diamter", 2, "cutters/mill", "cutters.mill.diamter"),
    ("cutters/mill/diameter", True, "cutters/mill/diameter", "cutters.mill.diameter"),
    ("cutters/drill/point_angle", GONE, "cutters/drill", "cutters.drill.point_angle"),
    ("cutters/a b", "burr-2", "cutters", "cutters.a b"),
    ("parts", [], "parts", "parts"),
    ("parts/0/name", 7, "parts/0/name", "parts[0].name"),
    ("parts/0/drawing", "tag.dxf", "parts/0", "parts[0]"),
    ("parts/0/turn", "a little", "parts/0/turn", "parts[0].turn"),
    ("parts/0/layout", {"grid": {"columns": 0}}, "parts/0/layout/grid/columns", "parts[0].layout.grid.columns"),
    (SHAPES, [{"circle": {"center": [0, 0], "diameter": 4}, "wkt": "POLYGON"}], f"{SHAPES}/0", "parts[0].shapes[0]"),
    (SHAPES, [{"star": {}}], f"{SHAPES}/0", "parts[0].shapes[0].star"),
    (SHAPES, [{"circle": {"center": [0, 0], "radius": 4}}], f"{SHAPES}/0/circle", "parts[0].shapes[0].circle.radius"),
    ("operations", [], "operations", "operations"),
    ("operations/0", {"mill": {"cutter": "mill"}}, "operations/0", "operations[0]"),
    ("operations/0/drill", {"cutter": "drill"}, "operations/0", "operations[0]"),
    (f"{P}/cutter", GONE, P, "operations[0].profile.cutter"),
    (f"{P}/entry", "dive", f"{P}/entry", "operations[0].profile.entry"),
    (f"{P}/entry", {"ramp": {}, "helix": {}}, f"{P}/entry", "operations[0].profile.entry"),
    (f"{P}/entry", {"ramp": {"angle": 46}}, f"{P}/entry/ramp/angle", "operations[0].profile.entry.ramp.angle"),
    (f"{P}/entry", {"ramp": {"slope": 3}}, f"{P}/entry/ramp", "operations[0].profile.entry.ramp.slope"),
    (f"{P}/passes", "listed", f"{P}/passes", "operations[0].profile"),
    (f"{P}/bridges", {"width": 0.8, "spacing": 40, "count": 3}, f"{P}/bridges", "operations[0].profile.bridges"),
    (f"{P}/bridges", {}, f"{P}/bridges", "operations[0].profile.bridges"),
    (f"{P}/feed", "-5 mm/min", f"{P}/feed", "operations[0].profile.feed"),
    (f"{P}/feed", "20 mm", f"{P}/feed", "operations[0].profile.feed"),
    (f"{P}/feed", None, f"{P}/feed", "operations[0].profile.feed"),
    (f"{P}/radial_depth", 0.95, f"{P}/radial_depth", "operations[0].profile.radial_depth"),
    (f"{P}/repeat", 6, f"{P}/repeat", "operations[0].profile.repeat"),
    (f"{P}/depth", "thru", f"{P}/depth", "operations[0].profile.depth"),
    (f"{P}/waste", "left", f"{P}/waste", "operations[0].profile.waste"),
    (f"{P}/cycle", "peck", P, "operations[0].profile.cycle"),
    (f"{P}/select", "outside", f"{P}/select", "operations[0].profile.select"),
    (f"{P}/select", {"circle": 3}, f"{P}/select", "operations[0].profile.select.circle"),
    (f"{P}/select", [], f"{P}/select", "operations[0].profile.select"),
    ("operations/0", {"pocket": {"cutter": "mill"}}, "operations/0/pocket", "operations[0].pocket.depth"),
    ("output", "nist", "output", "output"),
    ("output", {"base": "nist6556-core", "word": {"cycles": True}}, "output/word", "output.word.cycles"),
    ("output", {"base": "nist6556", "dialect": "iso6983"}, "output", "output"),
    ("output", {"base": "iso4343", "block": {"sequence": True}}, "output", "output.block.sequence"),
    ("output", {"base": "nist6556", "word": {"decimals": 9}}, "output/word/decimals", "output.word.decimals"),
    ("output", {"units": "inch"}, "output", "output"),
    ("tolerance", 6, "tolerance", "tolerance"),
    ("pace", "wild", "pace", "pace"),
    ("quote", {"quantity": 0}, "quote/quantity", "quote.quantity"),
    ("quote", "prices.txt", "quote", "quote"),
]  # fmt: skip
"""Path and value that spoil the base; where the schema must find it, and at which key the loader does. By hand."""


@pytest.mark.parametrize(
    ("path", "value", "place", "key"),
    FAULTY,
    ids=[f"{p} {'gone' if v is GONE else repr(v)[:30]}" for p, v, _, _ in FAULTY],
)
def test_what_is_faulty_is_not_valid(path, value, place, key):
    job = changed((path, value))
    assert place in places(job)
    assert f": {key}" in refusals(job)


ONLY_THE_LOADER = [
    (("cutters/mill/diameter", "99 mm"),),
    (("units", "inch"), ("sheet/size", [5, 3]), ("sheet/thickness", 3)),
    (("sheet/thickness", {"nominal": 2, "least": 3}),),
    (("planes", {"travel": 2, "approach": 3}),),
    ((f"{P}/cutter", "drill"),),
    ((f"{P}/cutter", "spoon"),),
    ((f"{P}/depth", 1), (f"{P}/from", 1.5)),
    ((f"{P}/depth", 3),),
    (("sheet/breakthrough", 3), ("sheet/board", 1)),
    (("cutters/mill/number", 2), ("cutters/drill/number", 2)),
    (("cutters/cone/point_angle", GONE),),
    (("job", "com1"),),
    (("output", {"base": "nist6556", "units": "inch", "word": {"decimals": 3}}),),
    (("parts/0/shapes", GONE), ("parts/0/drawing", "nowhere.dxf")),
    (("parts/0/shapes", [{"path": "zigzag"}]),),
    (("operations", [{"countersink": {"cutter": "cone"}}]),),
]  # fmt: skip
"""What the list of `kerfwright.jobfile.schema` says cannot be said: valid, and refused."""


@pytest.mark.parametrize("changes", ONLY_THE_LOADER, ids=[", ".join(p for p, _ in c) for c in ONLY_THE_LOADER])
def test_what_a_schema_cannot_say_is_listed_and_refused_by_the_loader(changes):
    job = changed(*changes)
    assert places(job) == set()
    assert refusals(job)


NUMBERS = st.one_of(
    st.integers(-200, 200).map(str),
    st.floats(-200, 200, allow_nan=False).map(lambda v: f"{v:.3f}"),
    st.tuples(st.integers(0, 9), st.integers(0, 4), st.integers(0, 9)).map(lambda v: f"{v[0]} {v[1]}/{v[2]}"),
    st.tuples(st.integers(-9, 9), st.integers(0, 9)).map(lambda v: f"{v[0]}/{v[1]}"),
    st.sampled_from(
        ["", "0", "00", "007", "-0.5", "+2", ".5", "5.", "1e3", "1e", "1 2", "0x10", "1_000", "1.5 1/2", "٣"]
    ),
)
WORDS = st.one_of(st.sampled_from(["", *UNITS, "furlong", "mm mm"]), st.text("minch/s°%", max_size=6))


@given(
    number=NUMBERS, blank=st.sampled_from(["", " ", "  "]), word=WORDS,
    unit=st.sampled_from(["mm", "mm/min", "deg", "rpm", "s", "m", "min", "1", "money", "N/mm"]),
)  # fmt: skip
def test_a_text_is_a_number_for_the_schema_where_the_loader_reads_one(number, blank, word, unit):
    text, what = f"{number}{blank}{word}", Spec("number", "", unit)
    try:
        scalars.number(Scalar(1, 1, text, True), what, "mm")
        read = True
    except ValueError:
        read = False
    assert Draft202012Validator(fragments.number(what)).is_valid(text) is read, text


def test_the_command_prints_it(capsys):
    assert run(["schema"]) == 0
    assert json.loads(capsys.readouterr().out) == SCHEMA
    assert run(["schema", "--json"]) == 0
    (line,) = capsys.readouterr().out.splitlines()
    assert json.loads(line) == SCHEMA


def test_with_nothing_installed_it_is_a_schema_that_takes_no_job():
    bare = job_schema(Registry.load(installed=False))
    Draft202012Validator.check_schema(bare)
    assert not Draft202012Validator(bare).is_valid(BASE)


@pytest.mark.parametrize("command", [["schema"], ["explain", "ramp"]])
def test_a_table_at_fault_is_told_with_its_place(command, tmp_path, capsys):
    (tmp_path / "mine.yaml").write_text("units: mm\nmachines:\n  shed: {travle: [1, 1, 1], source: nobody}\n")
    plugin = tmp_path / "shed_tables.py"
    plugin.write_text(
        "from pathlib import Path\nfrom kerfwright.hookspecs import hookimpl\n\n\n@hookimpl\ndef kerfwright_tables():\n"
        "    return [Path(__file__).with_name('mine.yaml')]\n"
    )
    assert run([*command, "--plugin", str(plugin)]) == 2
    out = capsys.readouterr()
    assert "mine.yaml:3:10: machines.shed.travle: found an unknown key" in out.err
    assert "did you mean travel?" in out.err
    assert out.out == ""
