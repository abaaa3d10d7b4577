"""One operation of a draft as a line of YAML."""

from __future__ import annotations

from attrs import define

from kerfwright.drafting.bridging import Links

__all__ = ["Step", "counted", "profile"]


@define(frozen=True)
class Step:
    """An operation as YAML, with its comment. `asleep`: written as a comment, for the user to fill in."""

    text: str
    comment: str
    asleep: bool = False


def counted(n: int, noun: str) -> str:
    """A number with its noun.

    >>> counted(2, "piece")
    '2 pieces'
    """
    return f"{n} {noun}{'' if n == 1 else 's'}"


def profile(select: str, links: Links | None, comment: str, asleep: bool = False) -> Step:
    """Along outlines, with bridges where the hold asks for them."""
    bridges = "" if links is None else f", bridges: {links}"
    return Step(f"profile: {{cutter: mill, select: {select}{bridges}}}", comment, asleep)
