"""Rapids stay in the air: across at the travel plane, down no farther than the approach plane or where all is gone."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from attrs import define

from kerfwright.evidence import Evidence, quads
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.start import SLACK

__all__ = ["Rapid", "RapidDescent"]

MOST = 20
"""Findings of one kind that are told of a sheet: more would hide what matters."""


@define(frozen=True, kw_only=True)
class Rapid(Check):
    """Any X or Y rapid below the travel plane is an error; so is one down below the approach plane, unless the material
    over that place was gone before the move began (the strokes of a drill).
    """

    name = "rapid"
    remedy = "lift to the travel plane first, and end rapids down at the approach plane"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """In running order, 20 at most."""
        yield from list(self._all(evidence))[:MOST]

    def _all(self, evidence: Evidence) -> Iterable[Finding]:
        course, h = evidence.course, evidence.setup.heights
        moved = course.rapid & course.known
        across = moved & course.across & (course.low < h.travel - SLACK)
        for k in np.flatnonzero(across)[:MOST].tolist():
            what = "through material" if self._hits(evidence, k) else "below the travel plane"
            text = f"rapid across {what}, at Z {course.low[k]:.3f} (travel plane {h.travel:.3f})"
            yield Finding(self.name, "error", text, course.at(k), *course.where(k))
        down = moved & ~course.across & (course.b[:, 2] < course.a[:, 2]) & (course.b[:, 2] < h.approach - SLACK)
        for k in np.flatnonzero(down).tolist():
            if self._hits(evidence, k, above=True):
                text = f"rapid down into material, to Z {course.b[k, 2]:.3f} (approach plane {h.approach:.3f})"
                yield Finding(self.name, "error", text, course.at(k), *course.where(k))

    def _hits(self, evidence: Evidence, k: int, *, above: bool = False) -> bool:
        """Whether material stands in the way of a move at that moment. `above`: a hole must be there even in the air over
        the sheet, between its top and the approach plane.
        """
        course, highest = evidence.course, evidence.setup.heights.highest
        r, level = float(course.radius[k]), float(course.low[k] + course.point[k])
        if not np.isfinite(r):
            return True
        if course.low[k] >= highest and not above:
            return False
        level = min(level, highest - 0.006)
        way = shapely.linestrings([course.a[k, :2], course.b[k, :2] + [1e-7, 0.0]])
        takes = shapely.intersection(shapely.buffer(way, r - 0.02, quad_segs=quads(r)), evidence.setup.stock)
        gone = evidence.gone(round(level + 0.0005, 4), takes, k)
        return bool(shapely.area(shapely.difference(takes, gone)) > 1e-6)


@define(frozen=True, kw_only=True)
class RapidDescent(Check):
    """No X or Y motion together with a rapid downwards: its way would depend on how the axes keep together."""

    name = "rapid_descent"
    remedy = "go across at the travel plane first, then down"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """Walk-rounds too; 20 at most of each program."""
        for r in evidence.readings:
            m = r.moves
            assert m is not None
            n = m.curve.nodes
            new = np.isnan(n[:-1, :2]) & np.isfinite(n[1:, :2])
            with np.errstate(invalid="ignore"):
                across = (new | (np.abs(n[1:, :2] - n[:-1, :2]) > 1e-9)).any(axis=1)
                down = n[1:, 2] < n[:-1, 2] - 1e-9
            down |= np.isnan(n[:-1, 2]) & np.isfinite(n[1:, 2])  # from an unknown height it may be a descent
            for k in np.flatnonzero((m.feeds == 0) & down & across)[:MOST].tolist():
                text = f"rapid down to Z {n[k + 1, 2]:.3f} while X or Y moves"
                yield Finding(self.name, "error", text, None, r.file, int(m.lines[k]))
