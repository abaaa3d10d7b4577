"""A finding: one place where a rule does not hold; and the protocol of the checks that find them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from attrs import define, frozen

if TYPE_CHECKING:
    from kerfwright.evidence import Evidence

__all__ = ["SEVERITIES", "Check", "Finding", "Measured"]

SEVERITIES = ("error", "warning", "note")


@frozen
class Finding:
    """`check` is the code of the rule; an `error` keeps the program from being released.

    `at` is (x, y, z) or (x, y) in program zero, mm; `program` the file; `line` the program line from 1, 0 for none.
    `remedy` is what to do about it; where a check leaves it out, the proof puts in what the check says of all its findings.
    """

    check: str
    severity: str
    message: str
    at: tuple[float, ...] | None = None
    program: str = ""
    line: int = 0
    remedy: str = ""


@frozen
class Measured:
    """What a check measured of one piece, whether or not it is a finding: distances in mm, what holds it. None: not its task.

    `gouge`: how far the sweep must shrink to leave the piece alone; `leftover`: how far it must grow to take all that a
    round cutter could reach.
    """

    piece: int
    gouge: float | None = None
    leftover: float | None = None
    held_by: str | None = None


@define(frozen=True, kw_only=True)
class Check:
    """One rule, proved on the text of all programs of one sheet. Sees the evidence only: no plan, no strategy.

    A check that is `first` is asked before any move is followed; where it finds an error, no other is asked.
    """

    name: ClassVar[str] = ""
    remedy: ClassVar[str] = ""
    """What to do about its findings, in one sentence without a full stop."""
    first: ClassVar[bool] = False

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """Every place where the rule does not hold."""
        raise NotImplementedError

    def measure(self, evidence: Evidence) -> Iterable[Measured]:
        """What it measured of the pieces; most checks measure nothing."""
        return ()
