"""A finding: one place where a rule does not hold; and the protocol of the checks that find them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from attrs import define, frozen

if TYPE_CHECKING:
    from kerfwright.evidence import Evidence

__all__ = ["SEVERITIES", "Check", "Finding"]

SEVERITIES = ("error", "warning", "note")


@frozen
class Finding:
    """`check` is the code of the rule; an `error` keeps the program from being released.

    `at` is (x, y, z) or (x, y) in program zero, mm; `program` the file; `line` the program line from 1, 0 for none.
    """

    check: str
    severity: str
    message: str
    at: tuple[float, ...] | None = None
    program: str = ""
    line: int = 0


@define(frozen=True, kw_only=True)
class Check:
    """One rule, proved on the text of all programs of one sheet. Sees the evidence only: no plan, no strategy."""

    name: ClassVar[str] = ""

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """Every place where the rule does not hold."""
        raise NotImplementedError
