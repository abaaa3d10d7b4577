"""Arcs: from what a block says to included angles, for many arcs at once."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.traits import Traits

__all__ = ["LIMIT", "Pieces", "by_center", "by_radius", "centers_of", "pieces"]

LIMIT = {1.0: 0.002, 25.4: 0.0002 * 25.4}
"""How far (mm) the distances of both ends from the center may differ, by length of the unit: 0.002 mm, 0.0002 inch."""
SLACK = 1e-9
"""A difference of exactly the limit, written in decimals, passes (mm)."""
SAME = 1e-7
"""Ends nearer than this (mm) are one point."""
LEAST = 1e-6
"""Least radius, and least length along the arc between two ends that are not one point (mm)."""
HALF = 1.05 * np.pi
"""An arc of more than this is kept as two, so that chord and angle alone tell its center well."""

Pieces: TypeAlias = tuple[Floats, Floats, Ints]
"""Ends (m, 3), angles (m,), and for each the arc that it is of (m,)."""


def by_center(start: Floats, end: Floats, center: Floats, sign: Floats, limit: float) -> tuple[Floats, Bools, Bools]:
    """Included angles (n,) of arcs given by their centers; ends that are one point make a full circle.

    All places (n, 2); sign +1 counter-clockwise. Also which ones break the rule of equal radii, and which have no one
    meaning: no radius, or two different ends in one direction from the center.
    """
    u, v = start - center, end - center
    r0, r1 = np.hypot(u[:, 0], u[:, 1]), np.hypot(v[:, 0], v[:, 1])
    between = np.arctan2(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0], (u * v).sum(axis=1))
    apart = end - start
    same = np.hypot(apart[:, 0], apart[:, 1]) < SAME
    turn = np.where(same, 2 * np.pi, (sign * between) % (2 * np.pi))
    least = np.minimum(r0, r1)
    vague = (least < LEAST) | (~same & (np.abs(between) * least < LEAST))
    return sign * turn, np.abs(r0 - r1) > limit + SLACK, vague


def centers_of(
    start: Floats, end: Floats, given: Floats, sign: Floats, limit: float, traits: Traits
) -> tuple[Floats, Floats, Bools, Bools]:
    """Angles, centers, and what `by_center` says of them, from I and J (n, 2) as a dialect's traits mean them."""
    if traits.quadrants == "single":
        return _quadrant(start, end, given, sign, limit)
    center = given if traits.arc_centers == "absolute" else start + given
    turn, uneven, vague = by_center(start, end, center, sign, limit)
    return turn, center, uneven, vague


def _quadrant(
    start: Floats, end: Floats, given: Floats, sign: Floats, limit: float
) -> tuple[Floats, Floats, Bools, Bools]:
    """Of the four centers that distances without sign may mean, the one about which the arc stays in one quadrant. Those with
    a sign, and those with no such center or with several whose arcs are not one to within the limit, are vague.
    """
    signs = np.array([(1, 1), (-1, 1), (1, -1), (-1, -1)])
    centers = start + given * signs[:, None, :]
    turns, apart = np.zeros((4, len(start))), np.full((4, len(start)), np.inf)
    for k, here in enumerate(centers):
        u, v = start - here, end - here
        r0, r1 = np.hypot(*u.T), np.hypot(*v.T)
        some = np.flatnonzero((u * v >= -limit * np.maximum(r0, LEAST)[:, None]).all(axis=1))
        turns[k, some], uneven, vague = by_center(start[some], end[some], here[some], sign[some], limit)
        good = some[(np.abs(turns[k, some]) < 0.6 * np.pi) & ~uneven & ~vague]
        apart[k, good] = np.abs(r0 - r1)[good]
    best, all_of_them = np.argmin(apart, axis=0), np.arange(len(start))
    center = centers[best, all_of_them]
    # a distance of nearly 0 may be meant either way: the middle of the arc is where it should be all the same
    c, s = np.cos(turns / 2)[..., None], np.sin(turns / 2)[..., None]
    arm = start - centers
    middle = centers + c * arm + s * np.stack([-arm[..., 1], arm[..., 0]], axis=-1)
    far = middle - middle[best, all_of_them]
    other = (np.hypot(far[..., 0], far[..., 1]) > 2 * limit) & np.isfinite(apart)
    none = ~np.isfinite(apart).any(axis=0) | other.any(axis=0) | (given < 0).any(axis=1)
    return turns[best, all_of_them], center, np.zeros(len(start), np.bool_), none


def by_radius(start: Floats, end: Floats, radius: Floats, sign: Floats, limit: float) -> tuple[Floats, Floats, Bools]:
    """Included angles (n,) and centers (n, 2) of arcs given by a radius, negative for more than half a turn.

    Also which ones do not reach from end to end.
    """
    chord = end - start
    half = np.hypot(chord[:, 0], chord[:, 1]) / 2
    short = half - np.abs(radius) > limit + SLACK
    turn = 2 * np.arcsin(half / np.maximum(np.maximum(np.abs(radius), half), LEAST))
    turn = sign * np.where(radius < 0, 2 * np.pi - turn, turn)
    cot = np.cos(turn / 2) / np.sin(np.where(turn == 0, np.pi, turn / 2))
    center = start + np.stack([chord[:, 0] - chord[:, 1] * cot, chord[:, 1] + chord[:, 0] * cot], axis=1) / 2
    return turn, center, short


def pieces(start: Floats, end: Floats, center: Floats, turn: Floats) -> Pieces:
    """Arcs from start to end, (n, 3) both, as segments; those of more than half a turn split in their middle."""
    two = np.abs(turn) > HALF
    k = np.repeat(np.arange(len(turn)), np.where(two, 2, 1))
    ends, turns = end[k], np.where(two[k], turn[k] / 2, turn[k])
    if two.any():
        u, v = start[two, :2] - center[two], end[two, :2] - center[two]
        r0, r1 = np.hypot(u[:, 0], u[:, 1]), np.hypot(v[:, 0], v[:, 1])
        angle, scale = turn[two] / 2, (r0 + r1) / (2 * r0)
        c, s = np.cos(angle) * scale, np.sin(angle) * scale
        first = np.flatnonzero(two[k] & np.concatenate([[True], np.diff(k) > 0]))
        ends[first, 0] = center[two, 0] + c * u[:, 0] - s * u[:, 1]
        ends[first, 1] = center[two, 1] + s * u[:, 0] + c * u[:, 1]
        ends[first, 2] = (start[two, 2] + end[two, 2]) / 2
    return ends, turns, k
