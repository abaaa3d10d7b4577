"""Which outlines an operation works on: the words of `select`."""

from __future__ import annotations

from attrs import field, frozen

__all__ = ["Choice", "Selection"]


@frozen(kw_only=True)
class Choice:
    """All of these must hold. `nesting` is outer, inner or all; lengths in mm, `within` in the drawing's coordinates."""

    nesting: str = "all"
    circles: tuple[float, float] | None = None
    """Least and most diameter."""
    layer: str | None = None
    within: tuple[float, float, float, float] | None = None
    part: str | None = None


@frozen
class Selection:
    """Any of the choices may hold. `text` is how the job said it, for messages."""

    choices: tuple[Choice, ...]
    text: str = field(default="", eq=False)
