"""How fast each piece may be run, and how much it may speed up along its way."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.machine import Acceleration, Axes, Machine
from kerfwright.timing.pieces import Pieces

__all__ = ["accelerations", "bend_speeds", "feed_speeds", "limited"]


def limited(xy: float, z: float, across: Floats, down: Floats) -> Floats:
    """The most that a vector may be of which X and Y have the share `across` and Z the share `down`, each with its limit.

    X and Y are held to their limit together, as a vector, not each for itself: then a part takes the same time however it is
    turned on the sheet, and a machine whose axes have a limit each is never slower than that.
    """
    with np.errstate(divide="ignore"):
        most: Floats = np.minimum(xy / across, z / down)
    return most


def feed_speeds(pieces: Pieces, machine: Machine) -> Floats:
    """Speeds (m,) in mm/s by the feed asked and the machine's fastest feed, or by its rapid."""
    rapid = pieces.feeds == 0

    def most(axes: Axes) -> Floats:
        return limited(axes.xy, axes.z, pieces.across, pieces.down)

    speeds: Floats = np.where(rapid, most(machine.rapid), np.minimum(pieces.feeds, most(machine.feed))) / 60
    return speeds


def bend_speeds(pieces: Pieces, acceleration: Acceleration) -> Floats:
    """Speeds (m,) in mm/s at which an arc of radius r asks for no more than a across: sqrt(a r) in the plan; inf for a line.

    A helix is faster along its way by the slope, as only its plan bends.
    """
    with np.errstate(divide="ignore"):
        speeds: Floats = np.sqrt(acceleration.xy * pieces.radii) / pieces.across
    return speeds


def accelerations(pieces: Pieces, acceleration: Acceleration) -> Floats:
    """Along the way, (m,) in mm/s2: the share of Z in a ramp or helix has Z's own limit."""
    return limited(acceleration.xy, acceleration.z, pieces.across, pieces.down)
