"""No file of the planner, and none of placing but the table of defaults, names a strategy: by name, by class or by module.

Strategies are those that are installed, so a new one is watched when it registers. Names like `none` and `single` are plain
words too; so what is looked for is a string in code that is a strategy's name, a variable that is its class, or an import of
its module: not words in comments, docstrings and messages.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import kerfwright
from kerfwright.placing import defaults
from kerfwright.registry import Registry

KERNEL = Path(kerfwright.__file__).parent
TABLE = KERNEL / "placing" / "defaults.py"
FILES = [f for folder in ("planning", "placing") for f in sorted((KERNEL / folder).rglob("*.py")) if f != TABLE]
STRATEGIES = Registry.load().strategies


def docstrings(tree: ast.AST) -> set[int]:
    """Of modules, classes and functions, and bare strings under attributes: they say, and do nothing."""
    return {id(n.value) for n in ast.walk(tree) if isinstance(n, ast.Expr) and isinstance(n.value, ast.Constant)}


def named(source: str) -> Iterator[str]:
    """Strategies that code names."""
    names = {name for _, name in STRATEGIES}
    classes = {cls.__name__ for cls in STRATEGIES.values()}
    modules = {cls.__module__ for cls in STRATEGIES.values()}
    packages = {m.split(".")[0] for m in modules}
    tree = ast.parse(source)
    said = docstrings(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and node.value in names and id(node) not in said:
            yield str(node.value)
        elif isinstance(node, ast.Name) and node.id in classes:
            yield node.id
        elif isinstance(node, ast.Attribute) and node.attr in classes:
            yield node.attr
        elif isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] in packages:
            yield node.module
        elif isinstance(node, ast.Import):
            yield from (a.name for a in node.names if a.name.split(".")[0] in packages)


def test_no_file_of_the_planner_names_a_strategy() -> None:
    found = [(str(f.relative_to(KERNEL)), word) for f in FILES for word in named(f.read_text())]
    assert found == []
    assert len(FILES) > 30


def test_the_search_finds_what_it_should() -> None:
    """Each way to name one, in code made up here; and words that are none."""
    assert list(named('if entry.name == "helix":\n    pass')) == ["helix"]
    assert list(named("isinstance(entry, Helix)")) == ["Helix"]
    assert list(named("isinstance(entry, entries.Helix)")) == ["Helix"]
    assert list(named("from kerfwright_plugins.entry.helix import Helix")) == ["kerfwright_plugins.entry.helix"]
    assert list(named("import kerfwright_plugins.entry")) == ["kerfwright_plugins.entry"]
    assert list(named('"""The entry is a helix."""\n# helix\nx = "a helix"')) == []


def test_the_one_table_of_defaults_names_some() -> None:
    """So the search would find them; and each is installed."""
    assert set(named(TABLE.read_text())) == {
        *defaults.NAMES.values(),
        *(n for some in defaults.INSTEAD.values() for n in some),
    }
