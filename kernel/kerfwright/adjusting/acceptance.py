"""Does a size conform? Decision rules of ISO 14253-1 (from memory): a proof is asked for, either way."""

from __future__ import annotations

__all__ = ["CONFORMING", "NOT_CONFORMING", "NOT_PROVEN", "accepted"]

CONFORMING, NOT_CONFORMING, NOT_PROVEN = "conforming", "not conforming", "not proven"
ROUNDING = 1e-9


def accepted(value: float, lower: float, upper: float, expanded: float | None) -> str:
    """The verdict on a value (mm) with limits and expanded uncertainty (k = 2); without one nothing is proven.

    Conforming: within the limits narrowed by the uncertainty. Not conforming: beyond them widened by it.

    >>> [accepted(d, -0.1, 0.1, 0.03) for d in (0.07, 0.08, -0.14)]
    ['conforming', 'not proven', 'not conforming']
    """
    if expanded is None:
        return NOT_PROVEN
    if lower + expanded - ROUNDING <= value <= upper - expanded + ROUNDING:
        return CONFORMING
    outside = value < lower - expanded - ROUNDING or value > upper + expanded + ROUNDING
    return NOT_CONFORMING if outside else NOT_PROVEN
