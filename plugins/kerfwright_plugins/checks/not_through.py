"""What must go through the sheet goes through it where it is thickest, and by the breakthrough."""

from __future__ import annotations

from collections.abc import Iterable

from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.nearby import line_near
from kerfwright_plugins.checks.remains import remains

__all__ = ["NotThrough"]


@define(frozen=True, kw_only=True)
class NotThrough(Check):
    """A through cut that stays in the sheet is an error; one that passes it by less than the breakthrough a warning."""

    name = "not_through"
    remedy = "set the cutter's length anew, or raise the breakthrough or the sheet's most thickness in the job"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each outline."""
        found = evidence.shared(remains)
        for one in found.left:
            if one.must.through and one.rises is not None:
                piece = evidence.setup.pieces[one.must.piece]
                yield Finding(
                    self.name,
                    "error",
                    f"{one.must.work.operation.kind} of {piece.part}, copy {piece.copy}, reaches Z {one.rises:.3f}: "
                    f"the sheet's underside may lie at Z {evidence.lowest:.3f}",
                    one.at,
                    *line_near(evidence, one.at),
                )
        for must, z in found.shallow:
            piece = evidence.setup.pieces[must.piece]
            yield Finding(
                self.name,
                "warning",
                f"{must.work.operation.kind} of {piece.part}, copy {piece.copy}, goes {evidence.lowest - z:.3f} mm below "
                f"the underside, the breakthrough is {evidence.lowest - must.floor:.3f} mm",
            )
