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

__all__ = ["NAMES", "fill", "strategy_named"]

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
    said: dict[str, Any] = {}
    for one in attrs.fields(type(operation)):
        what = spec(one)
        if what and what.kind == "strategy" and what.of in NAMES and getattr(operation, one.name) is None:
            said[one.name] = strategy_named(what.of, registry)
    if operation.cutmode is None:
        said["cutmode"] = material.cutmode
    return attrs.evolve(operation, **said)
