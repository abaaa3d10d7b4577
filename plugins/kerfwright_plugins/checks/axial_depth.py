"""No cut meets more material at once than the axial depth of its operation: a lost or swapped pass breaks the cutter."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Bools, Floats
from kerfwright.evidence import Cutting, Evidence
from kerfwright.finding import Check, Finding
from kerfwright.setup import Work
from kerfwright_plugins.checks.whose import owners

__all__ = ["AxialDepth", "at_once"]

SLACK = 0.01
"""Rounding of two heights in the text, and of the depths that the job says (mm)."""


@define(frozen=True, kw_only=True)
class AxialDepth(Check):
    """Where the axis of an end mill goes flat through the sheet, material no thicker than one pass stands over its tip.

    What only one side of the cutter meets (a finishing lap, a trochoid's loops) is not asked: that is radial depth.
    """

    name = "axial_depth"
    remedy = (
        "put the lost pass back, or ask for a larger axial_depth or for passes: single where the cutter can bear it"
    )

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """The first cut of each program that is too thick, from the top down."""
        setup, course = evidence.setup, evidence.course
        highest = setup.heights.highest
        limits = {w.index: at_once(evidence, w) for w in setup.works}
        finite = [v for v in limits.values() if np.isfinite(v)]
        if not finite or not len(course):
            return
        a, b = course.a, course.b
        with np.errstate(invalid="ignore"):
            flat = ~course.rapid & course.known & course.across & (np.abs(a[:, 2] - b[:, 2]) < 1e-6)
            deep = flat & (course.low < highest - min(finite) - SLACK)
        mills = np.array([c.form == "end_mill" for c in course.cutters] + [False])[course.cutter]
        told: set[int] = set()
        for z in sorted(set(np.round(b[deep & mills, 2], 3).tolist()), reverse=True):
            cut = evidence.at(z + 0.002)
            here = np.abs(course.b[cut.first, 2] - z) < 0.0015
            lines = cut.take(here & flat[cut.first] & mills[cut.first])
            if not len(lines):
                continue
            allowed = self._allowed(evidence, lines, limits)
            bad = self._thick(evidence, lines, z, allowed)
            for k in np.flatnonzero(bad).tolist():
                move = int(lines.first[k])
                program = int(course.program[move])
                if program in told:
                    continue
                told.add(program)
                text = (
                    f"cuts at Z {z:.3f} where more than {allowed[k]:.3f} mm of material stand: the axial depth is less"
                )
                yield Finding(self.name, "error", text, course.at(move), *course.where(move))

    @staticmethod
    def _allowed(evidence: Evidence, lines: Cutting, limits: Mapping[int, float]) -> Floats:
        """The deepest cut at once that any operation allows which a line may belong to, (k,)."""
        out = np.zeros(len(lines))
        for work, mine in owners(evidence, lines).items():
            out = np.where(mine, np.maximum(out, limits[work]), out)
        return out

    @staticmethod
    def _thick(evidence: Evidence, lines: Cutting, z: float, allowed: Floats) -> Bools:
        """Over which lines the axis finds material still, higher than allowed above Z `z`."""
        bad = np.zeros(len(lines), np.bool_)
        highest = evidence.setup.heights.highest
        middle = shapely.line_interpolate_point(lines.lines, 0.5, normalized=True)
        stock = evidence.setup.stock
        groups: dict[float, list[int]] = defaultdict(list)
        for k, most in enumerate(np.round(allowed, 4).tolist()):
            if z + most + SLACK < highest - 0.006:
                groups[most].append(k)
        for most, some in groups.items():
            mine = np.array(some, np.int64)
            above = evidence.at(round(z + most + SLACK, 4))
            gone = np.zeros(len(mine), np.bool_)
            if len(above):
                reach = float(above.radius.max())
                i, j = above.tree.query(middle[mine], predicate="dwithin", distance=reach)
                before = above.last[j] < lines.first[mine[i]]
                i, j = i[before], j[before]
                near = shapely.distance(middle[mine[i]], above.lines[j]) < above.radius[j] - 1e-4
                gone[i[near]] = True
            bad[mine] = ~gone & shapely.intersects(stock, middle[mine])
        return bad


def at_once(evidence: Evidence, work: Work) -> float:
    """How much material (mm) an operation may meet at once: its axial depth; without bound for a drill and a single pass."""
    op, heights = work.operation, evidence.setup.heights
    if op.cutter.form != "end_mill" or getattr(getattr(op, "passes", None), "name", "") == "single":
        return np.inf
    return work.rates.axial_depth + heights.highest - heights.top  # passes count from the nominal top
