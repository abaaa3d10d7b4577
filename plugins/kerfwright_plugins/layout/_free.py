"""The largest upright rectangle inside a free area, for packers that know rectangles only."""

from __future__ import annotations

import numpy as np
import shapely

__all__ = ["rectangle"]

MANY = 24
"""Edges looked at in X and in Y: of more, every few are left out."""


def rectangle(area: shapely.Geometry) -> tuple[float, float, float, float]:
    """Its bounds; all 0 where there is none. Its sides touch extremes of the holes and of the outline.

    >>> rectangle(shapely.box(0, 0, 10, 6).difference(shapely.box(0, 0, 2, 2)))
    (2.0, 0.0, 10.0, 6.0)
    """
    if shapely.is_empty(area):
        return 0.0, 0.0, 0.0, 0.0
    rings = [r for part in shapely.get_parts(area) for r in (part.exterior, *part.interiors)]
    bounds = shapely.bounds(rings)
    corners = shapely.get_coordinates(shapely.simplify(area, 0.5))
    xs, ys = (_few(np.concatenate([bounds[:, k], bounds[:, k + 2], corners[:, k]])) for k in (0, 1))
    inner = shapely.buffer(area, 1e-6, join_style="mitre")
    shapely.prepare(inner)
    i, j = np.triu_indices(len(xs), 1)
    u, v = np.triu_indices(len(ys), 1)
    a, b = (g.ravel() for g in np.meshgrid(np.arange(len(i)), np.arange(len(u)), indexing="ij"))
    sides = xs[i[a]], ys[u[b]], xs[j[a]], ys[v[b]]
    size = (sides[2] - sides[0]) * (sides[3] - sides[1])
    for k in np.argsort(-size, kind="stable").tolist():
        x0, y0, x1, y1 = (float(s[k]) for s in sides)
        if shapely.covers(inner, shapely.box(x0, y0, x1, y1)):
            return x0, y0, x1, y1
    return 0.0, 0.0, 0.0, 0.0


def _few(values: np.ndarray) -> np.ndarray:
    some = np.unique(np.round(values, 6))
    return some if len(some) <= MANY else some[np.linspace(0, len(some) - 1, MANY).round().astype(int)]
