"""Arcs between places that have been rounded: which can be said as an arc, and with which center."""

from __future__ import annotations

import numpy as np
from attrs import frozen

from kerfwright.arrays import Bools, Floats, Ints

__all__ = ["RoundedArcs", "rounded_arcs"]


@frozen(eq=False)
class RoundedArcs:
    """For each segment (n,): said as an `arc`, as `chords`, or, where neither, as the line it is after rounding.

    `centers` (n, 2), from the start of each, and `radii` (n,), in units of the last digit; 0 where no arc is said.
    """

    arc: Bools
    chords: Bools
    centers: Ints
    radii: Ints

    def of(self, segment: Ints) -> RoundedArcs:
        """The same for segments cut up; `segment` says the old one of each."""
        return RoundedArcs(self.arc[segment], self.chords[segment], self.centers[segment], self.radii[segment])


def rounded_arcs(
    nodes: Ints,
    chords: Floats,
    turns: Floats,
    *,
    least: float,
    most: float,
    apart: float,
    off: float,
    radius: bool = False,
) -> RoundedArcs:
    """Arcs between rounded nodes (n+1, 2), whose true chords are (n, 2); all lengths in units of the last digit.

    The center lies on the bisector of the rounded chord, at the arc's turn, and is then rounded itself. It is said as an
    arc only where its radius is `least` to `most`, the radii to its ends differ by no more than `apart`, and its middle
    lies within `off` of where it should. Ends that round to one place never make an arc: it would be read as a full
    circle. A bow under half a digit is a line. With `radius` the text says a rounded radius, and a reader finds the center.
    """
    n = len(turns)
    none = np.zeros(n, np.bool_)
    arcs = RoundedArcs(none, none.copy(), np.zeros((n, 2), np.int64), np.zeros(n, np.int64))
    sagittas = np.hypot(chords[:, 0], chords[:, 1]) / 2 * np.abs(np.tan(turns / 4))
    bent = np.flatnonzero((sagittas >= 0.5) & (np.abs(turns) > 1e-9))
    if not len(bent):
        return arcs
    turn, true = turns[bent], sagittas[bent]
    dx, dy = (nodes[bent + 1] - nodes[bent]).T
    length = np.hypot(dx, dy)
    cot = 1 / np.tan(turn / 2)
    far = 2.0**53  # beyond it a float holds no half digits; `most` refuses such a center anyway
    i, j = (np.rint(np.clip(v, -far, far)) for v in ((dx - dy * cot) / 2, (dy + dx * cot) / 2))
    first, last = np.hypot(i, j), np.hypot(i - dx, j - dy)
    # a counter-clockwise arc bows to the right of its chord, whatever side its center is on
    bow = (i * dy - j * dx) * np.sign(turn) / np.maximum(length, 1.0) + (first + last) / 2
    mean = np.rint(np.minimum((first + last) / 2, far))
    if radius:  # of an arc of less than half a turn
        first = last = mean = np.rint(np.clip(length / 2 / np.abs(np.sin(turn / 2)), 0, far))
        bow = mean - np.sqrt(np.maximum(mean**2 - length**2 / 4, 0))
    said = (
        (first >= least)
        & (first <= most)
        & (np.abs(first - last) <= apart)
        & (np.abs(bow - true) <= off)
        & (length > 0)
        & (not radius or 2 * mean >= length)
    )
    arcs.arc[bent] = said
    arcs.chords[bent] = ~said & ((length > 0) | (np.abs(turn) > np.pi))
    arcs.centers[bent[said]] = np.stack([i[said], j[said]], axis=1).astype(np.int64)
    arcs.radii[bent[said]] = mean[said].astype(np.int64)
    return arcs
