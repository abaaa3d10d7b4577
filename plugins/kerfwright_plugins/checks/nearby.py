"""Where in the text to look for what was not cut."""

from __future__ import annotations

import shapely

from kerfwright.evidence import Evidence

__all__ = ["line_near"]


def line_near(evidence: Evidence, at: tuple[float, ...]) -> tuple[str, int]:
    """File and line of the cut nearest to a place; no file and line 0 where nothing is cut at all."""
    cut = evidence.at(evidence.setup.heights.highest - 0.006)
    if not len(cut):
        return "", 0
    k = int(cut.tree.nearest(shapely.Point(at[0], at[1])))
    return evidence.course.where(evidence.course.nearest(at[0], at[1], int(cut.first[k]), int(cut.last[k])))
