"""What a fit coupon is made of: a plate with holes and openings, and two squares beside it."""

from __future__ import annotations

import math

from attrs import frozen

from kerfwright.coupons.asked import Asked
from kerfwright.errors import Fault, InputError

__all__ = ["FitPiece", "fit_piece"]

Place = tuple[float, float]
STEP = (20.0, 15.0)
"""Centers stand at a rectangle of 4 to 3, whose diagonal is 5: 25 mm for each step."""
LEAST, USUAL, MOST = 3, 3, 8
"""Steps of the rectangle: 60 x 45 mm at least, 160 x 120 mm at most (our choice)."""
UP_TO = 3.2
"""Cutters up to this diameter make the sizes below (mm); those of larger ones grow with them."""
OUTSIDE, INSIDE, HOLES = (30.0, 20.0), (25.0, 12.0), (5.0, 8.0, 12.0)
"""Squares, openings and diameters (mm), for a cutter of up to 2.5 mm; the first hole is that of the corners (our choice)."""


@frozen
class FitPiece:
    """Lengths in mm, in the plate's coordinates; `at` are places on the sheet.

    `size`: the sheet's. `centers`: X and Y distance of the corner holes, the first of them at `first`. `holes`: diameters, the
    first that of the corners; `middle`: centers of the other two. `inside`: each opening's size and corner. `outside`: each
    square's size and place on the sheet. `radius` of all corners. `letter`: height of the 1 beside hole 1, and its place.
    """

    size: Place
    at: Place
    plate: Place
    centers: Place
    first: Place
    holes: tuple[float, float, float]
    middle: tuple[Place, Place]
    inside: tuple[tuple[float, Place], tuple[float, Place]]
    outside: tuple[tuple[float, Place], tuple[float, Place]]
    radius: float
    letter: tuple[float, Place]

    @property
    def diagonal(self) -> float:
        """Distance of the centers of holes 1 and 4, and of 2 and 3."""
        return math.hypot(*self.centers)

    @property
    def slope(self) -> float:
        """Direction from hole 1 to hole 4, degrees from X."""
        return math.degrees(math.atan2(self.centers[1], self.centers[0]))


def fit_piece(asked: Asked) -> FitPiece:
    """The largest rectangle of holes that the offcut has room for, the usual one without an offcut. Raises InputError."""
    if asked.board is None:
        text = (
            "found nothing, allowed: the thickness of the sacrificial board; the pieces of a fit coupon are cut through"
        )
        raise InputError([Fault("--board", text)])
    grown = math.ceil(max(asked.cutter.cuts / UP_TO, 1.0) * 2) / 2
    if asked.size is None:
        return _piece(asked, USUAL, grown)
    steps = range(MOST, LEAST - 1, -1)
    fitting = [one for one in (_piece(asked, n, grown) for n in steps) if _fits(one.size, asked.size)]
    if fitting:
        return fitting[0]
    need, (x, y) = _piece(asked, LEAST, grown).size, asked.size
    turned = f"; it fits when the offcut is turned to {y:g},{x:g}" if _fits(need, (y, x)) else ""
    text = f"found {x:g} x {y:g} mm, allowed: at least {need[0]:g} x {need[1]:g} mm{turned}"
    raise InputError([Fault("--size", text)])


def _fits(need: Place, have: Place) -> bool:
    return need[0] <= have[0] + 1e-9 and need[1] <= have[1] + 1e-9


def _piece(asked: Asked, steps: int, grown: float) -> FitPiece:
    """`size` is what it needs."""
    d, margin = asked.cutter.cuts, asked.margin + math.ceil(asked.cutter.cuts)
    a, b = (v * steps * grown for v in STEP)
    corner = float(max(HOLES[0], math.ceil(2 * d)))
    holes = (corner, corner + HOLES[1] - HOLES[0], corner + HOLES[2] - HOLES[0])
    rim = math.ceil(corner / 2 + 5 * grown)
    plate, gap = (a + 2 * rim, b + 2 * rim), math.ceil(2 * d) + 4.0  # two kerfs, and a rib between them
    large, small = (v * grown for v in INSIDE)
    left, right = rim + 0.32 * a, rim + 0.75 * a
    squares = tuple(v * grown for v in OUTSIDE)
    beside, above = margin + plate[0] + gap, margin + squares[0] + gap
    tall = max(4.0, min(4 * d, 9 * grown))
    return FitPiece(
        size=(beside + squares[0] + margin, max(plate[1], squares[0] + gap + squares[1]) + 2 * margin),
        at=(margin, margin),
        plate=plate,
        centers=(a, b),
        first=(float(rim), float(rim)),
        holes=holes,
        middle=((right, float(rim)), (right, rim + b)),
        inside=(
            (large, (left - large / 2, rim + b / 2 - large / 2)),
            (small, (right - small / 2, rim + b / 2 - small / 2)),
        ),
        outside=((squares[0], (beside, margin)), (squares[1], (beside, above))),
        radius=math.ceil(1.25 * d) / 2,
        letter=(tall, (rim + corner / 2 + d / 2 + 2.0, rim - tall / 2)),
    )
