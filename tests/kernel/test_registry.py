"""What strangers' plugins may do wrong: each is told, and stops nobody else. And the public face."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

import kerfwright
from kerfwright.dialect import Dialect
from kerfwright.errors import PluginError
from kerfwright.hookspecs import hookimpl
from kerfwright.operation import Drill, Pocket, Profile
from kerfwright.registry import Registry
from kerfwright.strategy import Lead, Route, Strategy

GOOD = """
from kerfwright.hookspecs import hookimpl
from kerfwright.strategy import Lead

class Swing(Lead):
    name = "swing"

@hookimpl
def kerfwright_strategies():
    return [Swing]
"""


class Point:
    """An entry point, as importlib.metadata gives it."""

    dist = None

    def __init__(self, name: str, plugin: Any) -> None:
        self.name, self.value, self._plugin = name, f"{name}.module", plugin

    def load(self) -> Any:
        if isinstance(self._plugin, BaseException):
            raise self._plugin
        return self._plugin


def plugin(name: str, **hooks: Any) -> ModuleType:
    module = ModuleType(name)
    for hook, answer in hooks.items():

        def give(answer: Any = answer) -> Any:
            if isinstance(answer, Exception):
                raise answer
            return answer

        setattr(module, hook, hookimpl(lambda give=give: give()))
    return module


@pytest.fixture
def load(monkeypatch: pytest.MonkeyPatch) -> Any:
    def loaded(*points: Point) -> Registry:
        monkeypatch.setattr("kerfwright.registry.entry_points", lambda group: list(points))
        return Registry.load()

    return loaded


class Swing(Lead):
    name = "swing"


class Other(Lead):
    name = "swing"


class Nameless(Lead):
    pass


class Homeless(Strategy):
    name = "homeless"
    kind = "colour"


class Spoken(Dialect):
    name = "spoken"


SWING = Point("z-good", plugin("z", kerfwright_strategies=[Swing]))

PROBLEMS = {
    "cannot be imported": (
        Point("a", ImportError("no module named gears")),
        "plugin ?: a (a.module) cannot be loaded: ImportError: no module named gears",
    ),
    "offers nothing": (
        Point("a", plugin("a")),
        "plugin ?: a: offers nothing: no function in it is marked with `hookimpl`",
    ),
    "leaves the program": (Point("a", SystemExit(3)), "plugin ?: a (a.module) cannot be loaded: SystemExit: 3"),
    "hook fails": (
        Point("a", plugin("a", kerfwright_strategies=ZeroDivisionError("division by zero"))),
        "plugin ?: a: kerfwright_strategies failed: ZeroDivisionError: division by zero",
    ),
    "hook gives nothing": (
        Point("a", plugin("a", kerfwright_strategies=None)),
        "plugin ?: a: kerfwright_strategies failed: TypeError: 'NoneType' object is not iterable",
    ),
    "no subclass": (
        Point("a", plugin("a", kerfwright_strategies=[int])),
        "plugin ?: a: strategies <class 'int'> is passed over: it is no subclass of Strategy",
    ),
    "an object for a class": (
        Point("a", plugin("a", kerfwright_strategies=[Swing()])),
        "plugin ?: a: strategies Swing() is passed over: it is no subclass of Strategy",
    ),
    "another shelf": (
        Point("a", plugin("a", kerfwright_dialects=[Swing])),
        f"plugin ?: a: dialects {Swing!r} is passed over: it is no subclass of Dialect",
    ),
    "no name": (
        Point("a", plugin("a", kerfwright_strategies=[Nameless])),
        f"plugin ?: a: strategies {Nameless!r} is passed over: it has no name",
    ),
    "unknown kind": (
        Point("a", plugin("a", kerfwright_strategies=[Homeless])),
        f"plugin ?: a: strategies {Homeless!r} is passed over: its kind 'colour' is none of entry, passes, cover, bridges, "
        "lead, corners, cycle, route, slotting, layout",
    ),
}


@pytest.mark.parametrize("case", PROBLEMS)
def test_a_broken_plugin_is_told_and_stops_nobody(load: Any, case: str) -> None:
    point, message = PROBLEMS[case]
    registry = load(point, SWING)
    assert registry.problems == [message]
    assert registry.strategies == {("lead", "swing"): Swing}


def test_a_misspelt_hook(load: Any) -> None:
    bad = plugin("a", kerfwright_strategys=[Other], kerfwright_dialects=[Spoken])
    registry = load(Point("a", bad), SWING)
    (problem,) = registry.problems
    assert problem.startswith("plugin ?: a: ")
    assert "kerfwright_strategys" in problem
    assert registry.strategies == {("lead", "swing"): Swing}
    assert registry.dialects == {}  # the whole plugin is passed over: nobody knows what else it meant


def test_a_name_offered_twice_stays_with_the_first(load: Any) -> None:
    registry = load(SWING, Point("zz", plugin("zz", kerfwright_strategies=[Other])))
    assert registry.strategies == {("lead", "swing"): Swing}
    assert registry.problems == [
        "plugin ?: zz: strategies ('lead', 'swing') is offered by ?: z-good already, and is passed over"
    ]
    assert registry.origins[Swing] == "?: z-good"


def test_one_name_in_two_kinds_is_two_things(load: Any) -> None:
    class Turn(Route):
        name = "swing"

    registry = load(SWING, Point("zz", plugin("zz", kerfwright_strategies=[Turn])))
    assert registry.strategies == {("lead", "swing"): Swing, ("route", "swing"): Turn}
    assert registry.problems == []


def test_registries_share_nothing(load: Any) -> None:
    one, other = load(SWING), load()
    assert one.strategies
    assert other.strategies == {}


def test_nothing_installed() -> None:
    registry = Registry.load(installed=False)
    shelves = (registry.operations, registry.strategies, registry.drawings, registry.dialects, registry.readers)
    assert not any(map(bool, (*shelves, registry.checks, registry.reports, registry.tables, registry.problems)))


def test_a_file_is_a_plugin(tmp_path: Path) -> None:
    file = tmp_path / "swing.py"
    file.write_text(GOOD)
    registry = Registry.load([str(file)], installed=False)
    assert list(registry.strategies) == [("lead", "swing")]
    assert list(registry.origins.values()) == [str(file)]
    assert registry.problems == []


def test_a_module_is_a_plugin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "my_swing_module.py").write_text(GOOD)
    monkeypatch.syspath_prepend(tmp_path)
    assert list(Registry.load(["my_swing_module"], installed=False).strategies) == [("lead", "swing")]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (None, "no such file"),
        ("1/0", "cannot be loaded: ZeroDivisionError: division by zero"),
        ("def (", "cannot be loaded: SyntaxError: "),
        ("raise SystemExit(1)", "cannot be loaded: SystemExit: 1"),
    ],
)
def test_a_file_that_the_user_named_must_load(tmp_path: Path, text: str | None, message: str) -> None:
    file = tmp_path / "broken.py"
    if text is not None:
        file.write_text(text)
    with pytest.raises(PluginError) as e:
        Registry.load([str(file)], installed=False)
    assert message in str(e.value)
    assert str(file) in str(e.value)


def test_a_module_that_is_not_there() -> None:
    with pytest.raises(PluginError, match="plugin no_such_module_here cannot be loaded: ModuleNotFoundError"):
        Registry.load(["no_such_module_here"], installed=False)


def test_what_is_installed_has_no_problem_and_comes_through_entry_points() -> None:
    registry = Registry.load()
    assert registry.problems == []
    core = {"profile": Profile, "pocket": Pocket, "drill": Drill}
    assert core.items() <= registry.operations.items()
    assert set(registry.operations) - set(core) == set(registry.takings)  # what is planned can be proved
    assert all(registry.origins[one].startswith("kerfwright: ") for one in registry.strategies.values())


# the public face


def run(code: str) -> str:
    return subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stdout.strip()


def test_import_is_lazy() -> None:
    heavy = ("numpy", "shapely", "attrs", "pluggy", "yaml", "click", "ezdxf", "kerfwright.job")
    assert run(f"import sys, kerfwright; print([m for m in {heavy!r} if m in sys.modules])") == "[]"


def test_all_is_what_the_types_say_and_every_name_is_there() -> None:
    """Names imported for type checkers are those of `__all__`, each from the module it is loaded from."""
    tree = ast.parse(Path(kerfwright.__file__).read_text())
    typed = {
        alias.asname: f"{node.module}"
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("kerfwright.")
        for alias in node.names
    }
    assert {"__version__", *typed} == set(kerfwright.__all__)
    assert len(kerfwright.__all__) == len(set(kerfwright.__all__))
    assert dir(kerfwright) == sorted(kerfwright.__all__)
    for name, module in typed.items():
        value = getattr(kerfwright, name)
        assert value is getattr(sys.modules[module], name)  # type: ignore[index]


def test_an_unknown_name() -> None:
    with pytest.raises(AttributeError, match="module 'kerfwright' has no attribute 'plann'"):
        _ = kerfwright.plann
