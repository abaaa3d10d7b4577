"""What is told of one thing, before it is laid out."""

from __future__ import annotations

from typing import Any

import attrs
from attrs import frozen

__all__ = ["Explanation", "Named", "Parameter", "Rule", "Value"]


@frozen(kw_only=True)
class Parameter:
    """One key that it takes. `default` None: it has none; `otherwise` says what holds where it is left out.

    `example` shows the form of a value, and is no advice. `fixed`: it always has the default, and is no key.
    """

    key: str
    help: str
    allowed: str
    unit: str = ""
    default: Any = None
    needed: bool = False
    otherwise: str = ""
    example: Any = None
    fixed: bool = False


@frozen(kw_only=True)
class Value:
    """One value of an entry of a table, and where it comes from."""

    key: str
    help: str
    value: Any
    unit: str
    source: str


@frozen
class Rule:
    """One rule that a dialect follows, and where it comes from."""

    rule: str
    source: str


@frozen
class Named:
    """Something installed that belongs to it, with the plugin that brings it."""

    name: str
    help: str
    origin: str


@frozen(kw_only=True)
class Explanation:
    """`kind` says what it is, `text` what it does, in paragraphs; `facts` are the rest of it, each under a word."""

    kind: str
    name: str
    origin: str = ""
    text: tuple[str, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    installed: tuple[Named, ...] = ()
    parameters: tuple[Parameter, ...] = ()
    values: tuple[Value, ...] = ()
    rules: tuple[Rule, ...] = ()
    example: str = ""

    def as_mapping(self) -> dict[str, Any]:
        """For JSON: what is empty is left out."""
        out = attrs.asdict(self) | {"facts": dict(self.facts)}
        return {key: list(value) if isinstance(value, tuple) else value for key, value in out.items() if value}
