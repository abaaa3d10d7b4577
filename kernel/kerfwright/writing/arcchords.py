"""Arcs as chords, laid on the side where waste is: what is said of an arc where it cannot be said as one."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.curve import Curve

__all__ = ["chords", "halved"]


def chords(curve: Curve, these: Bools, waste: Ints, within: float, rounding: float) -> tuple[Curve, Ints]:
    """The arcs `these` as straight pieces, all else untouched; and for each new segment the old one it comes from.

    Pieces lie within `within` (mm) of the arc after every new node has been rounded by at most `rounding` (mm), and where
    `waste` is 1 (left of travel) or -1 (right) never on the other side of it by more than what `rounding` is over 0.75 `within`
    (0.0003 mm for the fourth decimal of an inch, nothing for finer ones). Where the arc curves towards its waste
    they are chords of it; else tangents, touching it at both ends, so that neighbours still meet. Ends stay exact.
    """
    arc = np.flatnonzero(these)
    turns, radii = curve.turns[arc], np.hypot(*curve.chords[arc].T) / (2 * np.abs(np.sin(curve.turns[arc] / 2)))
    outside = waste[arc] * np.sign(turns) < 0
    guard = np.where((waste[arc] != 0) & (radii > 4 * rounding), min(rounding, within * 0.75), 0.0)
    bow = np.where(waste[arc] != 0, max(within - 2 * rounding, within / 4), within / 2)
    half = np.arccos(np.where(outside, radii / (radii + bow), np.clip(1 - bow / radii, 0, 1)))
    steps = np.maximum(np.ceil(np.abs(turns) / (2 * half) - 1e-9), 1).astype(np.int64)
    inner = np.where(outside, steps, steps - 1)  # nodes between the ends
    owner = np.repeat(np.arange(len(arc)), inner)
    nth = np.arange(len(owner)) - np.repeat(np.cumsum(inner) - inner, inner) + 1
    part = (nth - np.where(outside, 0.5, 0.0)[owner]) / steps[owner]
    scale = np.where(outside, 1 / np.cos(turns / (2 * steps)) + guard / radii, 1 - guard / radii)
    count = np.ones(len(curve), np.int64)
    count[arc] += inner
    segment = np.repeat(np.arange(len(curve)), count)
    nodes = np.empty((len(segment) + 1, 3))
    ends = np.concatenate([[0], np.cumsum(count)])
    between = np.ones(len(nodes), np.bool_)
    between[ends] = False
    nodes[ends], nodes[between] = curve.nodes, _on(curve, arc[owner], part, scale[owner])
    return Curve(nodes, np.where(these, 0.0, curve.turns)[segment]), segment


def halved(curve: Curve, most: float) -> tuple[Curve, Ints]:
    """Arcs that turn by more than `most` (rad) in equal smaller ones; and for each new segment the old one."""
    count = np.maximum(np.ceil(np.abs(curve.turns) / most - 1e-9), 1).astype(np.int64)
    segment = np.repeat(np.arange(len(curve)), count)
    nth = np.arange(len(segment)) - np.repeat(np.cumsum(count) - count, count) + 1
    last = nth == count[segment]
    nodes = np.empty((len(segment) + 1, 3))
    nodes[0] = curve.nodes[0]
    nodes[1:][last] = curve.nodes[1:]
    nodes[1:][~last] = _on(curve, segment[~last], (nth / count[segment])[~last], np.ones((~last).sum()))
    return Curve(nodes, curve.turns[segment] / count[segment]), segment


def _on(curve: Curve, segment: Ints, part: Floats, scale: Floats) -> Floats:
    """Points (k, 3) at fraction `part` of arcs, their distance from the center scaled."""
    chord, cot = curve.chords[segment], 1 / np.tan(curve.turns[segment] / 2)
    across = np.stack([-chord[:, 1], chord[:, 0]], axis=1) * cot[:, None]
    center = curve.nodes[segment, :2] + (chord + across) / 2
    arm = curve.nodes[segment, :2] - center
    angle = curve.turns[segment] * part
    c, s = np.cos(angle) * scale, np.sin(angle) * scale
    z = curve.nodes[segment, 2] + part * (curve.nodes[segment + 1, 2] - curve.nodes[segment, 2])
    return np.column_stack(
        [center[:, 0] + c * arm[:, 0] - s * arm[:, 1], center[:, 1] + s * arm[:, 0] + c * arm[:, 1], z]
    )
