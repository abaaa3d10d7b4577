"""Passes at given depths."""

from __future__ import annotations

from typing import Any, ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.errors import NoRoom
from kerfwright.strategy import Passes

__all__ = ["ListedPasses"]

SAME = 1e-9
"""Depths that differ by less (mm) are one."""


@define(frozen=True, kw_only=True)
class ListedPasses(Passes):
    """A pass at each of the depths, which count from the sheet's top down like every depth of a job.

    The last pass is always at the operation's floor, whether the list ends with it or above it: a through cut has its
    breakthrough. A depth above `from` or below the floor is refused, and so is a step of more than the axial depth.
    """

    name: ClassVar[str] = "listed"
    depths: tuple[float, ...] = fields.custom(
        "depths of the passes below the sheet's top, rising", "numbers:mm", example=(0.4, 0.8)
    )

    def __attrs_post_init__(self) -> None:
        said: Any = self.depths
        numbers = isinstance(said, tuple) and all(type(v) in (int, float) and np.isfinite(v) and v > 0 for v in said)
        if not numbers or not said or any(b <= a for a, b in zip(said, said[1:])):
            found = ", ".join(f"{v:g}" for v in said) if numbers else repr(said)
            raise ValueError(
                f"depths: found {found or 'none'}, allowed: one number above 0 mm or more, each above the last"
            )

    def levels(self, top: float, bottom: float, axial_depth: float) -> Floats:
        """At the depths, then at `bottom`. Raises NoRoom where they contradict what they are asked for."""
        for depth in self.depths:
            if -depth >= top - SAME:
                raise NoRoom(
                    f"found a depth of {depth:g} mm, allowed: below {max(-top, 0.0):g} mm, where material begins"
                )
            if -depth < bottom - SAME:
                raise NoRoom(f"found a depth of {depth:g} mm, allowed: at most {-bottom:g} mm, the floor")
        z = np.array([*(-d for d in self.depths if -d > bottom + SAME), bottom])
        steps = -np.diff(np.append(top, z))
        k = int(np.argmax(steps > axial_depth + 1e-6))
        if steps[k] > axial_depth + 1e-6:
            raise NoRoom(
                f"found {steps[k]:.4g} mm in one pass, down to {-z[k]:.4g} mm, allowed: at most the axial depth of "
                f"{axial_depth:.4g} mm, or say another `axial_depth`"
            )
        return z

    def stretch(self, above: float, below: float) -> Passes:
        """The depths that lie between two others, and the lower of those."""
        return ListedPasses(depths=(*(d for d in self.depths if above + SAME < d < below - SAME), below))
