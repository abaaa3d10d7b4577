"""Plugins and dialects use only names that a kernel module lists as public."""

from __future__ import annotations

import ast
import importlib
import pkgutil
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FILES = sorted(p for top in ("plugins", "dialects") for p in (ROOT / top).rglob("*.py"))


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(ROOT)))
def test_only_public_names_of_the_kernel_are_used(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "kerfwright":
            home = importlib.import_module(node.module)
            public = [
                *home.__all__,
                *([m.name for m in pkgutil.iter_modules(home.__path__)] if node.module == "kerfwright" else []),
            ]
            assert not [a.name for a in node.names if a.name not in public], f"line {node.lineno}"


def test_there_are_plugins_to_look_at() -> None:
    assert len(FILES) > 40
