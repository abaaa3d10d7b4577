"""All that a round cutter can reach is gone. A leftover is a distance: how far the sweep must grow to take it."""

from __future__ import annotations

from collections.abc import Iterable

from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding, Measured
from kerfwright_plugins.checks.nearby import line_near
from kerfwright_plugins.checks.remains import FAR, remains

__all__ = ["Leftover"]


@define(frozen=True, kw_only=True)
class Leftover(Check):
    """What an operation must take, down to its floor, is taken; declared bridges are excepted, and no more than those."""

    name = "leftover"
    remedy = "undo the edit, or make the program anew; where the cutter cannot get in, take a smaller one"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each outline or pocket of which more than 0.005 mm is left."""
        for one in evidence.shared(remains).left:
            must = one.must
            if must.through and one.rises is not None:
                continue  # told as not through
            piece = evidence.setup.pieces[must.piece]
            what = f"{must.work.operation.kind} of {piece.part}, copy {piece.copy} ({must.work.path})"
            if one.rises is not None:
                text = f"{what}: {one.rises - must.floor:.3f} mm is left above the floor at Z {must.floor:.3f}"
            elif not len(must.wall):
                text = f"{what}: a cutter of {2 * must.radius:g} mm cannot get in"
            elif one.distance >= FAR:
                text = f"{what}: nothing of it is cut"
            else:
                text = f"{what}: {one.distance:.3f} mm is left that the cutter could reach"
            yield Finding(self.name, "error", text, one.at, *line_near(evidence, one.at))

    def measure(self, evidence: Evidence) -> Iterable[Measured]:
        """The worst of each piece, fine or not, bridges excepted."""
        for piece, worst in enumerate(evidence.shared(remains).worst.tolist()):
            yield Measured(piece, leftover=worst)
