"""The machine can reach it: extents against its travel."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.curve import Curve
from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding

__all__ = ["MachineTravel"]


@define(frozen=True, kw_only=True)
class MachineTravel(Check):
    """All programs and walk-rounds of a sheet together span no more than the machine's travel.

    Only spans: where the sheet's zero lies on the machine is the operator's to choose.
    """

    name = "machine_travel"
    remedy = "lay the parts closer together or turn them, or take another machine"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each axis."""
        travel = evidence.setup.job.machine.travel
        if travel is None:
            return
        ends: list[list[tuple[float, float]]] = [[], [], []]
        for r in evidence.readings:
            assert r.moves is not None
            c = r.moves.curve
            known = np.flatnonzero(np.isfinite(c.nodes).all(1))
            if not len(known):
                continue
            x0, y0, x1, y1 = Curve(c.nodes[known[0] :], c.turns[known[0] :]).bounds
            z = c.nodes[known[0] :, 2]
            for axis, ends_ in enumerate(((x0, x1), (y0, y1), (float(z.min()), float(z.max())))):
                ends[axis].append(ends_)
        for axis, most in enumerate(travel):
            if ends[axis] and (span := max(b for _, b in ends[axis]) - min(a for a, _ in ends[axis])) > most:
                text = f"{'XYZ'[axis]} spans {span:.1f} mm, the machine travels {most:g} mm"
                yield Finding(self.name, "error", text)
