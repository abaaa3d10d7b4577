"""Tables: every value has a source, and a table is read as strictly as a job."""

from __future__ import annotations

from pathlib import Path

import attrs
import pytest
import yaml

from kerfwright import fields
from kerfwright.errors import InputError
from kerfwright.jobfile.nodes import parse
from kerfwright.registry import Registry
from kerfwright.tables import Tables, load_tables
from kerfwright_plugins.tables import kerfwright_tables

INSTALLED = load_tables(Registry(tables=kerfwright_tables()))

TABLE = """\
units: mm
materials:
  foam:
    title: {value: foam board, source: from memory}
    source: common practice
    rates:
      - {form: drill, diameter: [1, 3], cutting_speed: [50 m/min, 60 m/min], plunge_feed: [90, 120], source: from memory}
machines:
  shop:
    spindle: {most: {value: 20000, source: measured}, least: 9000, source: its plate}
    feed: {xy: 1000, z: {value: 300, source: measured}}
    rapid: {xy: 2000, z: 400}
    source: from memory
"""


def read(tmp_path: Path, *texts: str) -> Tables:
    files = [tmp_path / f"{k}.yaml" for k in range(len(texts))]
    for file, text in zip(files, texts, strict=True):
        file.write_text(text)
    return load_tables(Registry(tables=files))


def told(tmp_path: Path, *texts: str) -> list[str]:
    with pytest.raises(InputError) as e:
        read(tmp_path, *texts)
    return [str(f).replace(f"{tmp_path}/", "") for f in e.value.faults]


def test_each_value_carries_its_source(tmp_path):
    t = read(tmp_path, TABLE)
    foam, shop = t.materials["foam"], t.machines["shop"]
    assert (foam.name, foam.title, foam.sources["title"]) == ("foam", "foam board", "from memory")
    assert foam.rows[0].cutting_speed == (50000, 60000)
    assert foam.rows[0].sources["plunge_feed"] == "from memory"
    assert (shop.name, shop.spindle.most, shop.spindle.least, shop.feed.z) == ("shop", 20000, 9000, 300)
    assert {k.removeprefix("machines.shop."): v for k, v in t.sources.items() if "shop" in k} == {
        "spindle.most": "measured",
        "spindle.least": "its plate",
        "feed.xy": "from memory",
        "feed.z": "measured",
        "rapid.xy": "from memory",
        "rapid.z": "from memory",
    }


ROWS = [
    (
        "    source: from memory\n",
        "",
        [
            f"0.yaml:{line}:{column}: machines.shop.{key}: found a value without a source, allowed: {{value: …, source: …}}, "
            "or a source beside it"
            for line, column, key in ((11, 16, "feed.xy"), (12, 17, "rapid.xy"), (12, 26, "rapid.z"))
        ],
    ),
    (
        "[90, 120], source: from memory}",
        "[90, 120]}",
        [
            f"0.yaml:7:{column}: materials.foam.rates[0].{key}: found a value without a source, allowed: "
            "{value: …, source: …}, or a source beside it"
            for column, key in ((16, "form"), (33, "diameter"), (56, "cutting_speed"), (91, "plunge_feed"))
        ],
    ),
    (
        "source: from memory}\n    source",
        "source: 3}\n    source",
        [
            "0.yaml:4:40: materials.foam.title.source: found 3, allowed: a text that says where the value comes from, in "
            "quotes where it looks like a number or a truth"
        ],
    ),
    (
        "{value: foam board, source: from memory}",
        "{value: foam board, sauce: from memory}",
        ["0.yaml:4:32: materials.foam.title.sauce: found an unknown key, allowed: value, source, did you mean source?"],
    ),
    ("units: mm\n", "", ["0.yaml:1:1: units: found no units of plain numbers, allowed: mm, inch"]),
    (
        "machines:",
        "machine:",
        [
            "0.yaml:8:1: machine: found an unknown key, allowed: units, materials, cutters, machines, did you mean machines?"
        ],
    ),
    (
        "xy: 1000",
        "xy: -1000",
        ["0.yaml:11:16: machines.shop.feed.xy: found -1000, allowed: a number above 0 mm/min"],
    ),
    (
        "    rapid: {xy: 2000, z: 400}\n",
        "",
        ["0.yaml:10:5: machines.shop.rapid: found nothing, allowed: a mapping of xy, z"],
    ),
    (
        "[90, 120]",
        "[90]",
        ["0.yaml:7:91: materials.foam.rates[0].plunge_feed: found a list of 1, allowed: a list of 2 numbers mm/min"],
    ),
]


@pytest.mark.parametrize(("old", "new", "messages"), ROWS)
def test_a_fault_in_a_table_is_told_with_its_place(tmp_path, old, new, messages):
    assert TABLE.count(old) == 1
    assert told(tmp_path, TABLE.replace(old, new)) == messages


def test_files_that_are_no_tables(tmp_path):
    assert told(tmp_path, "[]") == [
        "0.yaml:1:1: found no mapping, allowed: a mapping of units, materials, cutters, machines"
    ]
    assert told(tmp_path, "units: mm\ncutters: []") == [
        "0.yaml:2:10: cutters: found no mapping, allowed: a mapping of names"
    ]
    with pytest.raises(InputError, match=r"gone\.yaml: cannot be read: No such file or directory"):
        load_tables(Registry(tables=[tmp_path / "gone.yaml"]))


def test_a_name_is_offered_once(tmp_path):
    assert told(tmp_path, TABLE, TABLE) == [
        "1.yaml: materials.foam: found a name that 0.yaml offers too, allowed: once",
        "1.yaml: machines.shop: found a name that 0.yaml offers too, allowed: once",
    ]


def test_a_table_is_read_once_for_a_registry_and_anew_where_it_changed(tmp_path):
    file = tmp_path / "0.yaml"
    file.write_text(TABLE)
    registry = Registry(tables=[file])
    first, second = load_tables(registry), load_tables(registry)
    assert first == second
    assert first.materials["foam"] is second.materials["foam"]
    assert load_tables(Registry(tables=[file])).materials["foam"] is not first.materials["foam"]
    file.write_text(TABLE.replace("most: {value: 20000", "most: {value: 21000"))
    assert load_tables(registry).machines["shop"].spindle.most == 21000
    assert first.machines["shop"].spindle.most == 20000


@pytest.mark.skipif(not hasattr(yaml, "CSafeLoader"), reason="only one parser is installed")
@pytest.mark.parametrize("file", kerfwright_tables(), ids=lambda p: Path(p).stem)
def test_both_parsers_see_the_same_values_at_the_same_places(file):
    data = Path(file).read_bytes()
    assert len(data) > 100
    assert parse(data, "t", yaml.CSafeLoader) == parse(data, "t", yaml.SafeLoader)


def test_a_table_states_its_own_units(tmp_path):
    assert read(tmp_path, TABLE.replace("units: mm", "units: inch")).machines["shop"].feed.xy == pytest.approx(25400)


def test_what_is_installed():
    assert {"cfrp", "gfrp", "plywood", "acrylic"} <= set(INSTALLED.materials)
    assert len(INSTALLED.cutters) >= 4
    assert {c.flutes for c in INSTALLED.cutters.values()} >= {"burr", "compression", "up"}
    assert {c.form for c in INSTALLED.cutters.values()} == {"end_mill", "drill"}
    assert {"light-router", "small-router"} <= set(INSTALLED.machines)


def test_what_is_installed_says_what_it_is():
    """No source poses as more than it is: each says practice, memory or assumption."""
    assert len(INSTALLED.sources) > 100
    for path, source in INSTALLED.sources.items():
        assert source.startswith(("common practice", "from memory", "assumed for")), path


@pytest.mark.parametrize("name", sorted(INSTALLED.materials))
def test_each_value_of_a_material_has_its_source(name):
    material = INSTALLED.materials[name]
    for k, row in enumerate(material.rows):
        said = {a.name for a in attrs.fields(type(row)) if fields.spec(a) and getattr(row, a.name) != a.default}
        assert said <= set(row.sources), k


def test_a_laminate_says_so_and_its_dust_is_told():
    for name, material in INSTALLED.materials.items():
        assert material.laminate == (name in ("cfrp", "gfrp", "g10"))
        assert material.dust
    assert INSTALLED.materials["cfrp"].conductive
    assert INSTALLED.materials["plywood"].burns
    assert INSTALLED.materials["acrylic"].melts


def test_proven_is_never_slower_than_first():
    for material in INSTALLED.materials.values():
        for row in material.rows:
            for pair in (row.cutting_speed, row.feed, row.plunge_feed, row.axial_depth, row.radial_depth):
                assert pair is None or pair[0] <= pair[1]
