"""Neither cutter, nor the nut above it, nor the dust shoe enters a keepout."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.evidence import Cutting, Evidence
from kerfwright.finding import Check, Finding

__all__ = ["Keepout"]


@define(frozen=True, kw_only=True)
class Keepout(Check):
    """Rapids count too; where they are not coordinated, the box that one may sweep counts."""

    name = "keepout"
    remedy = "move the keepout or the part, raise the travel plane, or take a longer cutter or a smaller nut"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each keepout and thing that enters it."""
        course, setup = evidence.course, evidence.setup
        if not setup.keepouts or not len(course):
            return
        shoe = setup.job.machine.dust_shoe
        cutters = course.cutters
        things = [("cutter", np.zeros(len(course)), course.radius)]
        if any(c.holder for c in cutters):
            above = np.array([*(c.holder.above if c.holder else 0.0 for c in cutters), 0.0])
            wide = np.array([*(c.holder.diameter / 2 if c.holder else np.nan for c in cutters), np.nan])
            things.append(("nut", above[course.cutter], wide[course.cutter]))
        if any(c.shank and c.shank > c.cuts for c in cutters):
            above = np.array([*(c.flute_length for c in cutters), 0.0])
            wide = np.array([*(c.shank / 2 if c.shank else np.nan for c in cutters), np.nan])
            things.append(("shank", above[course.cutter], wide[course.cutter]))
        if shoe is not None:
            every = np.ones(len(course))
            things.append(("dust shoe", every * shoe.above, every * shoe.diameter / 2))
        for area, top in setup.keepouts:
            for what, rise, radius in things:
                cut = Cutting.at(course, top - 1e-6, rise, radius)
                if not len(cut):
                    continue
                room = shapely.distance(cut.lines, area) - cut.radius
                k = int(np.argmin(room))
                if room[k] < -0.001:
                    spot = shapely.get_point(shapely.shortest_line(cut.lines[k], area), 0)
                    move = course.nearest(spot.x, spot.y, int(cut.first[k]), int(cut.last[k]))
                    text = f"the {what} enters a keepout by {-room[k]:.3f} mm; its top is at Z {top:.3f}"
                    at = (round(spot.x, 3), round(spot.y, 3), round(float(cut.low[k] - rise[move]), 3))
                    yield Finding(self.name, "error", text, at, *course.where(move))
            if setup.job.machine.rapids == "independent":
                for what, rise, radius in things:
                    yield from self._boxes(evidence, area, top, what, rise, radius)

    def _boxes(
        self, evidence: Evidence, area: shapely.Polygon, top: float, what: str, rise: Floats, radius: Floats
    ) -> Iterable[Finding]:
        course = evidence.course
        with np.errstate(invalid="ignore"):
            low = np.flatnonzero(course.rapid & course.known & course.across & (course.low + rise < top - 1e-6))
        if not len(low):
            return
        corners = np.concatenate([course.a[low, :2], course.b[low, :2]], axis=1)
        box = shapely.box(*np.minimum(corners[:, :2], corners[:, 2:]).T, *np.maximum(corners[:, :2], corners[:, 2:]).T)
        for j in np.flatnonzero(shapely.distance(box, area) < radius[low] - 0.001)[:1].tolist():
            k = int(low[j])
            text = (
                f"in a rapid whose axes do not keep together the {what} may enter a keepout; its top is at Z {top:.3f}"
            )
            yield Finding(self.name, "error", text, course.at(k), *course.where(k))
