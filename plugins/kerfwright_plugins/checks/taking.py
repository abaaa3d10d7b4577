"""What operations beyond the core make of a piece is sound: told by their takings."""

from __future__ import annotations

from collections.abc import Iterable

from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.target import target

__all__ = ["TakingCheck"]


@define(frozen=True, kw_only=True)
class TakingCheck(Check):
    """A cut may be right and its result still be of no use, a knife edge say. What a taking says is wrong is an error."""

    name = "taking"
    remedy = "ask for less: a smaller width or diameter, or thicker sheet; the message says what is wrong"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """Operation by operation, piece by piece."""
        for one in evidence.shared(target).taken:
            piece = one.spot.piece
            for text, at in one.taking.faults(one.work.operation, one.spot):
                what = f"{one.work.operation.kind} of {piece.part}, copy {piece.copy} ({one.work.path}): {text}"
                yield Finding(self.name, "error", what, (round(at[0], 3), round(at[1], 3)))
