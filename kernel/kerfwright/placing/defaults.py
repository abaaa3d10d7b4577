"""What an operation does where the job leaves it open. The one place that names a default strategy."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, TypeVar

import attrs

from kerfwright.errors import PluginError
from kerfwright.fields import spec
from kerfwright.material import Material
from kerfwright.operation import Operation
from kerfwright.registry import Registry
from kerfwright.strategy import Strategy

__all__ = ["INSTEAD", "NAMES", "fill", "instead", "strategy_named"]

NAMES: Mapping[str, str] = MappingProxyType(
    {
        "entry": "ramp",
        "passes": "equal",
        "cover": "contour_parallel",
        "lead": "none",
        "corners": "none",
        "cycle": "straight",
        "route": "shortest",
        "slotting": "full",
        "layout": "placed",
    }
)
"""Strategy by kind. Entry is a ramp in every material (common practice): straight down tears the layers of a laminate,
and not every end mill cuts at its center. There is no default for `bridges`: whether a piece needs them is the user's word.
"""

INSTEAD: Mapping[str, tuple[str, ...]] = MappingProxyType({"entry": ("helix", "toolaxis")})
"""What is tried in turn where the default finds no room, by kind (common practice in laminate: straight down only where
nothing else is left). Only where the job left the choice open, and never unsaid: what was taken is a note.
"""

Kind = TypeVar("Kind", bound=Operation)


def strategy_named(kind: str, registry: Registry) -> Strategy:
    """The default strategy of a kind, with its own defaults. Raises PluginError where it is not installed."""
    name = NAMES[kind]
    if (kind, name) not in registry.strategies:
        raise PluginError(f"the default {kind} `{name}` is not installed")
    return registry.strategies[kind, name]()


def fill(operation: Kind, material: Material, registry: Registry) -> Kind:
    """The operation with every strategy and the cutmode said; `bridges` stays as it is.

    Raises PluginError where a default strategy is not installed.
    """
    said: dict[str, Any] = {name: strategy_named(kind, registry) for name, kind in _open(operation)}
    if operation.cutmode is None:
        said["cutmode"] = material.cutmode
    return attrs.evolve(operation, **said)


def instead(operation: Operation, registry: Registry) -> dict[str, tuple[Strategy, ...]]:
    """By kind, what is tried after the default of what the operation leaves open; what is not installed is passed over."""
    tried = {kind: [(kind, name) for name in INSTEAD.get(kind, ())] for _, kind in _open(operation)}
    found = {
        kind: tuple(registry.strategies[k]() for k in some if k in registry.strategies) for kind, some in tried.items()
    }
    return {kind: some for kind, some in found.items() if some}


def _open(operation: Operation) -> list[tuple[str, str]]:
    """Field and kind of each strategy that is left open and has a default."""
    found = [(one.name, spec(one)) for one in attrs.fields(type(operation)) if getattr(operation, one.name) is None]
    return [(name, str(what.of)) for name, what in found if what and what.kind == "strategy" and what.of in NAMES]
