"""What one word-address language differs in from another."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from attrs import Factory, frozen

__all__ = ["Grammar", "by_code"]


def by_code(groups: Mapping[str, tuple[str, ...]]) -> Mapping[str, str]:
    """Modal group of each code."""
    return MappingProxyType({code: group for group, members in groups.items() for code in members})


@frozen
class Grammar:
    """`groups`: modal group of each code; `nonmodal` is none, but two of it in a block have no order. `refused`: codes whose
    effect is outside what is read, and why. `means`: codes that do what RS274/NGC says in another one.
    """

    groups: Mapping[str, str]
    refused: Mapping[str, str]
    means: Mapping[str, str] = Factory(dict)
    units: str = "G20 or G21"
    number_digits: int = 5
    """Most digits of a block's number."""
    rising: bool = False
    """Numbers of blocks rise."""
    closes: bool = True
    """A text that begins with a percent line ends with one; else the first line alone is one."""
    capitals: bool = False
    """Words have capital letters only."""
    either: bool = False
    """An arc has a center or a radius, whichever the block says; else what the trait says."""
    quadrants: bool = False
    """Whether an arc stays in a quadrant is said by a code."""
