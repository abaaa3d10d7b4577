"""`kerfwright explain`: everything installed can be explained, with all that its fields, rules and sources say."""

from __future__ import annotations

import json
import re
from pathlib import Path

import attrs
import pytest
import yaml

import kerfwright as kw
from kerfwright import fields
from kerfwright.explaining import everything, page
from kerfwright.registry import Registry
from kerfwright.shell import run
from kerfwright.strategy import KINDS
from kerfwright.tables import load_tables

ROOT = Path(__file__).parents[2]
REGISTRY = Registry.load()
TOLD = everything(REGISTRY)
TABLES = load_tables(REGISTRY)
SHELVES = ("operations", "strategies", "dialects", "readers", "checks", "reports")
CLASSES = [(shelf, key, cls) for shelf in SHELVES for key, cls in getattr(REGISTRY, shelf).items()]


@pytest.fixture(autouse=True)
def _tables_read_once(monkeypatch):
    monkeypatch.setattr("kerfwright.jobfile.job.load_tables", lambda _: TABLES)


def squeezed(text: str) -> str:
    return " ".join(text.split())


def text_of(name: str) -> str:
    return squeezed("\n".join(page(one) for one in TOLD[name]))


def helps(cls: type, inside: str = "") -> list[tuple[str, str]]:
    """Keys and helps of a class, and of the mappings inside it."""
    found = []
    for attribute in attrs.fields(cls):
        what = fields.spec(attribute)
        if what is not None:
            key = inside + (what.key or attribute.name)
            found.append((key, what.help))
            found += helps(what.of, f"{key}.") if what.kind == "nested" else []
    return found


@pytest.mark.parametrize(("shelf", "key", "cls"), CLASSES, ids=[f"{s} {k}" for s, k, _ in CLASSES])
def test_every_plugin_is_told_with_every_key_and_help(shelf, key, cls):
    told = text_of(" ".join(key) if isinstance(key, tuple) else key)
    assert squeezed(cls.__doc__ or "") in told
    for name, help_ in helps(cls):
        if shelf == "dialects" and name not in cls.variations():
            continue  # a field for subclasses only
        assert name in told
        assert squeezed(help_) in told
    if shelf == "checks":
        assert f"remedy {squeezed(cls.remedy)}" in told
    if shelf == "dialects":
        assert squeezed(cls.document) in told
        assert cls.rules
        for rule, source in cls.rules:
            assert squeezed(f"- {rule} [{source}]") in told
        assert all(name in told for name in cls.variations())


def test_the_classes_and_their_keys_are_many():
    assert len(CLASSES) > 70
    assert sum(len(helps(cls)) for _, _, cls in CLASSES) > 200


@pytest.mark.parametrize("shelf", ["materials", "cutters", "machines"])
def test_every_value_of_every_table_is_told_with_its_source(shelf):
    count = 0
    for name, thing in getattr(TABLES, shelf).items():
        (told,) = (one for one in TOLD[name] if one.kind == shelf.removesuffix("s"))
        values = {v.key: v for v in told.values}
        said = {k.removeprefix(f"{shelf}.{name}."): s for k, s in TABLES.sources.items() if f"{shelf}.{name}." in k}
        count += len(said)
        assert said.keys() <= values.keys()
        assert {k: values[k].source for k in said} == said
        assert {help_ for key, help_ in helps(type(thing)) if key in values} <= {v.help for v in told.values}
        text = squeezed(page(told))
        assert all(squeezed(source) in text for source in said.values())
    assert count > 10


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_told_with_who_asks_and_who_fills_it(kind):
    (told,) = (one for one in TOLD[kind] if one.kind == "kind of strategy")
    assert [n.name for n in told.installed] == sorted(n for k, n in REGISTRY.strategies if k == kind)
    asked = dict(told.facts)["asked by"].split(", ")
    assert asked == [
        *(["part"] if kind == "layout" else []),
        *(
            name
            for name, cls in sorted(REGISTRY.operations.items())
            if any(s.kind == "strategy" and s.of == kind for a in attrs.fields(cls) if (s := fields.spec(a)))
        ),
    ]
    assert "kerfwright.strategy." in dict(told.facts)["of your own"]


def test_every_name_that_list_prints_can_be_explained(capsys):
    assert run(["list", "--json"]) == 0
    names = [n["name"] for row in map(json.loads, capsys.readouterr().out.splitlines()) for n in row["names"]]
    assert len(names) > 100
    assert not [name for name in names if name not in TOLD]


def test_every_page_is_readable_in_100_columns_and_leaks_nothing_of_python():
    lines = [line for told in TOLD.values() for one in told for line in page(one).splitlines()]
    assert len(lines) > 2000
    assert [line for line in lines if len(line) > 100] == []
    assert [line for line in lines if line != line.rstrip()] == []
    assert [line for line in lines if re.search(r"<class|NOTHING|Factory|object at 0x|\bNone\b|Spec\(", line)] == []


# name -> what a reader must find, by hand
SAID = {
    "profile": ["profile: operation", "entry way down into the material", "outside, inside, line", "default: outer"],
    "pocket": ["must be said", "cover ways that clear the area"],
    "ramp": ["strategy of the kind entry", "a number above 0 and at most 45 deg; default: 3 deg", "entry: {ramp: {angle: 3}}"],
    "entry": ["kind of strategy", "asked by plane_milling, pocket, profile", "enter(cut, top, bottom, room)", "zigzag To and"],
    "bridges": ["spacing About one bridge", "default: 0.8 mm"],
    "nist6556": ["NISTIR 6556", "F is a length a minute (G94) [from memory]", "word.centers", "one of incremental, radius"],
    "nist6556-core": ["word.cycles canned cycles, where they do the same no key: it has no other than false", "our own subset"],
    "iso6983": ["iso6983: dialect", "iso6983: reader of a language"],
    "cfrp": ["carbon-fibre laminate", "conductive true", "cutting_force 300 N/mm2", "source: from memory", "common practice"],
    "burr-2": ["burr-2: cutter", "flute_length 8 mm", "cutters: {mill: burr-2}"],
    "light-router": ["spindle.most 24000 rpm", "assumed for a light 3-axis router", "machine: {base: light-router"],
    "gouge": ["gouge: check", "No cut into what must stay", "remedy do not run it", "nothing is released"],
    "none": ["strategy of the kind corners", "strategy of the kind lead"],
    "listed": ["strategy of the kind passes", "strategy of the kind route", "passes: {listed: {depths: [0.4, 0.8]}}"],
    "entry helix": ["helix: strategy of the kind entry", "left out: 0.9 of the cutter's radius"],
    "dxf": [".dxf: drawing", "a file without a unit counts as mm"],
    "run_sheet": ["run_sheet: report", "where every program was proved"],
}  # fmt: skip


@pytest.mark.parametrize("name", SAID)
def test_what_a_reader_must_find(name, capsys):
    assert run(["explain", *name.split()]) == 0
    told = squeezed(capsys.readouterr().out)
    assert [text for text in SAID[name] if text not in told] == []


UNKNOWN = [
    ("rampp", "found 'rampp', allowed: a name from `kerfwright list`, or a kind of strategy, did you mean ramp?"),
    ("nist6566", "did you mean nist6556?"),
    ("entry rampp", "did you mean entry ramp?"),
    ("xyzzyxyz", "found 'xyzzyxyz', allowed: a name from `kerfwright list`, or a kind of strategy\n"),
]


@pytest.mark.parametrize(("name", "told"), UNKNOWN)
def test_an_unknown_name_is_told_with_the_nearest(name, told, capsys):
    assert run(["explain", name]) == 2
    out = capsys.readouterr()
    assert told in out.err
    assert out.out == ""


def test_json_is_one_mapping(capsys):
    assert run(["explain", "none", "--json"]) == 0
    (line,) = capsys.readouterr().out.splitlines()
    said = json.loads(line)
    assert said["name"] == "none"
    assert [one["kind"] for one in said["found"]] == ["strategy of the kind corners", "strategy of the kind lead"]
    assert run(["explain", "ramp", "--json"]) == 0
    (ramp,) = json.loads(capsys.readouterr().out)["found"]
    (angle,) = ramp["parameters"]
    assert (angle["key"], angle["unit"], angle["default"], angle["needed"]) == ("angle", "deg", 3, False)


def examples() -> dict[str, list]:
    """What the pages give as examples, by the key that they are for."""
    out: dict[str, list] = {}
    for told in {id(one): one for all_ in TOLD.values() for one in all_}.values():
        for line in told.example.splitlines():
            ((key, value),) = yaml.safe_load(line).items()
            out.setdefault(key, []).append((told, value))
    return out


FORMS = {
    "mill": {"form": "end_mill", "diameter": 2, "flute_length": 8},
    "drill": {"form": "drill", "diameter": 1.6, "point_angle": 118, "flute_length": 12},
    "cone": {"form": "chamfer_mill", "diameter": 6, "point_angle": 90, "flute_length": 4},
}


def job(**said) -> dict:
    part = {"name": "tag", "shapes": [{"rectangle": {"corner": [0, 0], "size": [30, 20]}}]}
    return {
        "job": "tag",
        "machine": "light-router",
        "sheet": {"material": "gfrp", "size": [300, 200], "thickness": 2, "board": 12},
        "cutters": FORMS,
        "parts": [part],
        "operations": [{"profile": {"cutter": "mill", "select": "outer"}}],
    } | said


def test_every_example_of_an_operation_and_a_strategy_is_a_job():
    found = examples()
    done, parts = [], []
    for told, value in found["operations"]:
        ((kind, said),) = value[0].items()
        form = REGISTRY.operations[kind].forms[0]
        done.append({kind: said | {"cutter": "cone" if form == "chamfer_mill" else said["cutter"]}})
        assert said["cutter"] in ("mill", "drill"), told.name
    for kind in KINDS:
        for told, value in found[kind]:
            if kind == "layout":
                part = job()["parts"][0] | {"name": f"{told.name}-{len(parts)}", "layout": value}
                parts.append(part)
                continue
            of = {"cover": "pocket", "cycle": "drill"}.get(kind, "profile")
            cutter = "mill" if of != "drill" or told.name == "helical" else "drill"
            done.append({of: {"cutter": cutter, kind: value, **({"depth": 1} if of == "pocket" else {})}})
    assert len(done) > 35
    loaded = kw.load_job("job.yaml", REGISTRY, text=yaml.safe_dump(job(operations=done, parts=parts)))
    assert len(loaded.operations) == len(done)


@pytest.mark.parametrize("key", ["output", "machine", "sheet"])
def test_examples_of_dialects_and_tables_are_jobs(key):
    found = examples()[key]
    assert len(found) >= 6
    for _, value in found[:: len(found) // 6]:
        base = job()
        whole = {**base[key], **value} if key == "sheet" else value
        assert kw.load_job("job.yaml", REGISTRY, text=yaml.safe_dump(base | {key: whole}))


def test_every_example_of_a_cutter_is_one_of_a_job():
    found = [one for _, value in examples()["cutters"] for one in value.values()]
    assert len(found) == 2 * len(TABLES.cutters)
    cutters = FORMS | {f"c{k}": one for k, one in enumerate(found)}
    assert len(kw.load_job("job.yaml", REGISTRY, text=yaml.safe_dump(job(cutters=cutters))).cutters) == len(cutters)


def test_a_strangers_plugins_are_told_like_our_own(monkeypatch, capsys):
    monkeypatch.syspath_prepend(ROOT / "examples" / "stranger-strategy" / "src")
    monkeypatch.syspath_prepend(ROOT / "examples" / "stranger-dialect" / "src")
    assert run(["explain", "thinning", "--plugin", "weir_thinning"]) == 0
    told = squeezed(capsys.readouterr().out)
    for text in (
        "thinning: strategy of the kind passes [weir_thinning]",
        "Passes that get thinner towards the bottom.",
        "last thickness of the last pass, at most a number at least 0.05 and at most 10 mm; default: 0.3 mm",
        "growth how much thicker the pass above is a number at least 1.1 and at most 5; default: 1.5",
        "passes: {thinning: {last: 0.3, growth: 1.5}}",
    ):
        assert text in told
    assert run(["explain", "passes", "--plugin", "weir_thinning"]) == 0
    told = squeezed(capsys.readouterr().out)
    assert (
        "thinning The last passes get thinner, so that the underside of a laminate splinters less. [weir_thinning]"
        in told
    )
    assert run(["explain", "weir-tape", "--plugin", "weir_tape"]) == 0
    told = squeezed(capsys.readouterr().out)
    assert "a dwell has whole seconds; M30 ends [the workshop's hearing test (invented)]" in told
    assert "program.end program end no key: it has no other than M30" in told
    assert run(["explain", "thinning"]) == 2
