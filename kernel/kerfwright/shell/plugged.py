"""What plugins and tables hold, in one digest: where it differs, so may every program."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from importlib.metadata import entry_points
from importlib.util import find_spec
from pathlib import Path

from kerfwright.registry import GROUP, Registry

__all__ = ["plugged"]


def plugged(plugins: Iterable[str], registry: Registry) -> str:
    """SHA-256 over the plugins of one call (files or modules, with the modules of their packages), all tables, and the versions
    of the packages whose plugins are installed. What a plugin reads besides is not seen.
    """
    packages = {f"{p.dist.name} {p.dist.version}" for p in entry_points(group=GROUP) if p.dist}
    files = [*(f for name in plugins for f in _files(name)), *registry.tables]
    held = [hashlib.sha256(f.read_bytes()).hexdigest() for f in files]  # sorted: the same wherever they lie
    return hashlib.sha256("\n".join([*sorted(packages), *sorted(held)]).encode()).hexdigest()


def _files(name: str) -> list[Path]:
    if name.endswith(".py"):
        return [Path(name)]
    spec = find_spec(name)
    if spec is None or spec.origin is None:
        return []
    origin = Path(spec.origin)
    return sorted(origin.parent.rglob("*.py")) if origin.name == "__init__.py" else [origin]
