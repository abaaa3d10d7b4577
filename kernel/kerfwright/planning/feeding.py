"""Feeds of dives: plunge feed straight down, the edge's feed in arcs, slower where more is engaged than was planned."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from attrs import define, field

from kerfwright.arrays import Floats
from kerfwright.planning.context import Context
from kerfwright.planning.diving import Dive
from kerfwright.planning.engaging import edge_share, shares
from kerfwright.planning.run import Block, Run
from kerfwright.program import Role

__all__ = ["Feeding"]

NEAR = 0.01
"""A cut lies on its way within this (mm)."""


@define(eq=False)
class Feeding:
    """Feeds of an operation's dives. Ways whose engagement was planned are looked at once, in the order they are cut."""

    context: Context
    _parts: dict[int, tuple[shapely.STRtree, Floats]] = field(factory=dict)
    _known: dict[tuple[int, int], tuple[Dive, Floats]] = field(factory=dict)

    @classmethod
    def of(cls, context: Context, blocks: Sequence[Block]) -> Feeding:
        """With what the runs of each block find of what those before them have left."""
        made = cls(context)
        for block in blocks:
            planned = [run for run in block.runs if run.depth is not None]
            if planned and id(planned[0]) not in made._parts:
                made._look(planned)
        return made

    def _look(self, runs: Sequence[Run]) -> None:
        depth = runs[0].depth
        assert depth is not None
        curves = [run.curve.mirrored() if self.context.flip else run.curve for run in runs]
        found = shares([run.curve for run in runs], self.context.radius, depth)
        for run, curve, part in zip(runs, curves, found, strict=True):
            cut = np.flatnonzero(run.roles == Role.CONTACT)
            self._parts[id(run)] = shapely.STRtree(curve.paths(0.001)[cut]), part[cut]

    def feeds(self, dive: Dive, run: Run | None = None) -> Floats:
        """Of each segment, mm/min. Steeper than 45 degrees down is a plunge; upright flanks go no faster than Z may."""
        key = id(dive), id(run)
        if key not in self._known:
            self._known[key] = dive, self._feeds(dive, run)  # with the dive, so that its id stays its own
        return self._known[key][1]

    def _feeds(self, dive: Dive, run: Run | None) -> Floats:
        c, curve = self.context, dive.curve
        rates, limit = c.work.rates, c.setup.job.machine.feed.z
        rise = np.diff(curve.nodes[:, 2])
        feed = rates.feed * edge_share(curve, dive.waste, c.radius) * self._part(dive, run)
        feeds = np.where(-rise > curve.lengths + 1e-9, rates.plunge_feed, feed)
        return np.where(rise > curve.lengths + 1e-9, np.minimum(rates.feed, limit), feeds)

    def _part(self, dive: Dive, run: Run | None) -> Floats:
        out = np.ones(len(dive.curve))
        if run is None or id(run) not in self._parts:
            return out
        tree, parts = self._parts[id(run)]
        cut = np.flatnonzero(dive.roles == Role.CONTACT)
        flat = dive.curve.at_z(0.0)
        middle, _ = flat.at(flat.s[cut] + flat.lengths[cut] / 2)
        i, j = tree.query_nearest(shapely.points(middle[:, :2]), max_distance=NEAR)
        np.minimum.at(out, cut[i], parts[j])
        return out
