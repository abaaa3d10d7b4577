"""Arcs between places that have been rounded: which can be said as an arc, and with which center."""

from __future__ import annotations

import numpy as np
from attrs import frozen

from kerfwright.arrays import Bools, Floats, Ints

__all__ = ["RoundedArcs", "rounded_arcs"]


@frozen(eq=False)
class RoundedArcs:
    """For each segment (n,): said as an `arc`, as `chords`, or, where neither, as the line it is after rounding.

    `centers` (n, 2), from the start of each, in units of the last digit; 0 where no arc is said.
    """

    arc: Bools
    chords: Bools
    centers: Ints


def rounded_arcs(
    nodes: Ints, sagittas: Floats, turns: Floats, *, least: float, most: float, apart: float, off: float
) -> RoundedArcs:
    """Arcs between rounded nodes (n+1, 2), all lengths in units of the last digit.

    The center lies on the bisector of the rounded chord, at the arc's turn, and is then rounded itself. It is said as an
    arc only where its radius is `least` to `most`, the radii to its ends differ by no more than `apart`, and its middle
    lies within `off` of where it should (`sagittas`: height of the true arc's bow). Ends that round to one place never
    make an arc: it would be read as a full circle. A bow under half a digit is a line.
    """
    chord = np.diff(nodes, axis=0)
    apart_ends = chord.any(axis=1)
    there = (np.abs(turns) > 1e-9) & (sagittas >= 0.5) & (apart_ends | (np.abs(turns) > np.pi))
    cot = 1 / np.tan(np.where(there, turns, 1.0) / 2)
    ideal = (chord + np.stack([-chord[:, 1], chord[:, 0]], axis=1) * cot[:, None]) / 2
    centers = np.rint(np.where(there[:, None], np.clip(ideal, -(2.0**53), 2.0**53), 0.0)).astype(np.int64)
    first, last = np.hypot(*centers.T), np.hypot(*(centers - chord).T)
    length = np.where(apart_ends, np.hypot(*chord.T), 1.0)
    # a counter-clockwise arc bows to the right of its chord, whatever side its center is on
    bow = (centers[:, 0] * chord[:, 1] - centers[:, 1] * chord[:, 0]) * np.sign(turns) / length + (first + last) / 2
    arc = (
        there
        & apart_ends
        & (first >= least)
        & (first <= most)
        & (np.abs(first - last) <= apart)
        & (np.abs(bow - sagittas) <= off)
    )
    return RoundedArcs(arc, there & ~arc, centers * arc[:, None])
