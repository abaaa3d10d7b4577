"""What an operation does where the job leaves it open."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import kerfwright
from kerfwright.errors import PluginError
from kerfwright.material import Material
from kerfwright.placing.defaults import NAMES, fill, strategy_named
from kerfwright.registry import Registry
from kerfwright.strategy import KINDS

FILLED = {
    "profile": {
        "entry": "ramp", "passes": "equal", "lead": "none", "corners": "none", "slotting": "full", "route": "shortest",
        "bridges": None,
    },
    "pocket": {
        "entry": "ramp", "passes": "equal", "cover": "contour_parallel", "lead": "none", "corners": "none",
        "route": "shortest", "bridges": None,
    },
    "drilling": {"cycle": "straight", "route": "shortest"},
}  # fmt: skip


@pytest.mark.parametrize("laminate", [True, False])
@pytest.mark.parametrize("kind", FILLED)
def test_every_strategy_is_said(shop: Any, kind: str, laminate: bool) -> None:
    bare = getattr(shop, kind)(**({"bridges": None} if kind != "drilling" else {}))
    full = fill(bare, Material(laminate=laminate), shop.registry)
    assert {k: getattr(getattr(full, k), "name", None) for k in FILLED[kind]} == FILLED[kind]
    assert type(full) is type(bare)


def test_what_the_job_says_stays(shop: Any) -> None:
    mine = shop.registry.strategies["entry", "ramp"]()
    full = fill(shop.profile(entry=mine), Material(), shop.registry)
    assert full.entry is mine
    assert full.bridges is shop.bridges


@pytest.mark.parametrize(("said", "material", "found"), [(None, "conventional", "conventional"), (None, "climb", "climb"), ("climb", "conventional", "climb")])  # fmt: skip
def test_cutmode(shop: Any, said: Any, material: str, found: str) -> None:
    assert fill(shop.profile(cutmode=said), Material(cutmode=material), shop.registry).cutmode == found


def test_a_default_that_is_not_installed(shop: Any) -> None:
    with pytest.raises(PluginError, match="the default route `shortest` is not installed"):
        fill(shop.profile(), Material(), Registry())


def test_every_kind_but_bridges_has_a_default_that_is_installed() -> None:
    registry = Registry.load()
    assert set(NAMES) == set(KINDS) - {"bridges"}
    for kind, name in NAMES.items():
        one = strategy_named(kind, registry)
        assert (one.kind, one.name) == (kind, name)


def test_no_other_file_of_the_kernel_names_a_default_strategy() -> None:
    """Where a name stands as a text of its own, in a file other than defaults.py. Kinds and common words are passed over."""
    import ast

    names = set(NAMES.values()) - {"none", "full", "straight"}
    folder = Path(kerfwright.__file__).parent
    found = {
        (path.name, node.value)
        for path in [*folder.glob("*.py"), *folder.glob("planning/**/*.py")]
        if path.name != "defaults.py"
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Constant) and node.value in names
    }
    assert found == set()


def test_place_fills_operations(shop: Any) -> None:
    job = shop.job(sheet=shop.sheet(material=Material(cutmode="conventional")))
    for work in shop.place(job).works:
        assert work.operation.cutmode == "conventional"
        assert work.operation.route.name == "shortest"
    assert all(o.route is None for o in job.operations)


def test_the_pace_of_the_job_is_that_of_an_operation_without_one(shop: Any) -> None:
    job = shop.job(shop.drilling(), shop.profile(pace="steady"), pace="proven")
    assert [w.operation.pace for w in shop.place(job).works] == ["proven", "steady"]
