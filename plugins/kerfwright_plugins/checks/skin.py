"""A skin is cut when all else is done."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.layers import allowed
from kerfwright_plugins.checks.taken import done
from kerfwright_plugins.checks.target import CLOSE, target

__all__ = ["SkinCheck"]


@define(frozen=True, kw_only=True)
class SkinCheck(Check):
    """The first cut below a skin comes after all that the operations without one, and those above it, must take."""

    name = "skin"
    remedy = "cut the skin last, in every piece, as the job asks; make the program anew"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """The first cut that comes too early, and what was still to do."""
        wanted = evidence.shared(target)
        skins = {w.index for w in evidence.setup.works if w.last}
        if not skins:
            return
        first, move, work, level = np.inf, -1, "", 0.0
        for must in wanted.musts:
            if must.work.index not in skins or must.work.last:
                continue
            cut = evidence.at(must.floor - CLOSE - 0.001).near(allowed(wanted, must)[1], -CLOSE)
            if len(cut) and cut.first.min() < first:
                move, work, level = int(cut.first.min()), must.work.path, must.floor
                first = float(move)
        for must in wanted.musts:
            if must.work.last or move < 0 or done(evidence, must) < first:
                continue
            piece = evidence.setup.pieces[must.piece]
            text = (
                f"goes below Z {level:.3f}, into the skin of {work}, before {must.work.path} is done with {piece.part}, "
                f"copy {piece.copy}"
            )
            yield Finding(self.name, "error", text, evidence.course.at(move), *evidence.course.where(move))
            return
