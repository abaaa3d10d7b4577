"""No cut meets more material at once than the axial depth of its operation: a lost or swapped pass breaks the cutter."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.evidence import Cutting, Evidence
from kerfwright.finding import Check, Finding
from kerfwright.setup import Work
from kerfwright_plugins.checks.whose import owners

__all__ = ["AxialDepth", "at_once"]

SLACK = 0.01
"""Rounding of two heights in the text, and of the depths that the job says (mm)."""
MANY = 4000
"""Lines that are looked at together."""


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
        """The highest cut of each program that is too thick."""
        setup, course = evidence.setup, evidence.course
        highest = setup.heights.highest
        limits = {w.index: at_once(evidence, w) for w in setup.works}
        finite = [v for v in limits.values() if np.isfinite(v)]
        if not finite or not len(course):
            return
        a, b = course.a, course.b
        mills = np.array([c.form == "end_mill" for c in course.cutters] + [False])[course.cutter]
        with np.errstate(invalid="ignore"):
            flat = ~course.rapid & course.known & course.across & (np.abs(a[:, 2] - b[:, 2]) < 1e-6)
            deep = flat & mills & (course.low < highest - min(finite) - SLACK)
        lines = Cutting.at(course, highest - 0.006, moves=np.flatnonzero(deep))
        if not len(lines):
            return
        allowed = self._allowed(evidence, lines, limits)
        bad = np.flatnonzero(self._thick(evidence, lines, allowed))
        program = course.program[lines.first[bad]]
        for k in np.unique(program).tolist():
            mine = bad[program == k]
            worst = mine[np.lexsort((lines.first[mine], -lines.low[mine]))[0]]
            move, most = int(lines.first[worst]), allowed[worst]
            text = f"cuts at Z {lines.low[worst]:.3f} where more than {most:.3f} mm of material stand: the axial depth is less"
            yield Finding(self.name, "error", text, course.at(move), *course.where(move))

    @staticmethod
    def _allowed(evidence: Evidence, lines: Cutting, limits: Mapping[int, float]) -> Floats:
        """The deepest cut at once that any operation allows which a line may belong to, (k,)."""
        out = np.zeros(len(lines))
        for work, mine in owners(evidence, lines).items():
            out = np.where(mine, np.maximum(out, limits[work]), out)
        return out

    @staticmethod
    def _thick(evidence: Evidence, lines: Cutting, allowed: Floats) -> Bools:
        """Over which flat lines the axis finds material still, higher than allowed above them, (k,)."""
        course, setup = evidence.course, evidence.setup
        bad = np.zeros(len(lines), np.bool_)
        middle = shapely.line_interpolate_point(lines.lines, 0.5, normalized=True)
        level = np.round(lines.low + allowed + SLACK, 4)
        asked = np.flatnonzero((level < setup.heights.highest - 0.006) & shapely.intersects(setup.stock, middle))
        reach = float(np.nanmax(course.radius))
        for mine in (part for z in np.unique(level[asked]) for part in _some(asked[level[asked] == z])):
            # a ramp has flat crumbs at many heights: only what comes near is looked at
            near = np.unique(course.boxes.query(middle[mine], predicate="dwithin", distance=reach)[1])
            above = Cutting.at(course, float(level[mine[0]]), moves=near)
            gone = np.zeros(len(mine), np.bool_)
            if len(above):
                i, j = above.tree.query(middle[mine], predicate="dwithin", distance=reach)
                before = above.last[j] < lines.first[mine[i]]
                i, j = i[before], j[before]
                gone[i[shapely.distance(middle[mine[i]], above.lines[j]) < above.radius[j] - 1e-4]] = True
            bad[mine] = ~gone
        return bad


def _some(rows: Ints) -> list[Ints]:
    """A part of them at a time, for memory."""
    return [rows[k : k + MANY] for k in range(0, len(rows), MANY)]


def at_once(evidence: Evidence, work: Work) -> float:
    """How much material (mm) an operation may meet at once: its axial depth; without bound for a drill and a single pass."""
    op, heights = work.operation, evidence.setup.heights
    if op.cutter.form != "end_mill" or getattr(getattr(op, "passes", None), "name", "") == "single":
        return np.inf
    return work.rates.axial_depth + heights.highest - heights.top  # passes count from the nominal top
