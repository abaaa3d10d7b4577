"""The form of a fit coupon: sizes to be measured, in the format that `kerfwright adjust` reads, with blanks."""

from __future__ import annotations

from kerfwright.adjusting.form import Blank, direction, form
from kerfwright.coupons.asked import Asked
from kerfwright.coupons.fitpiece import FitPiece
from kerfwright.coupons.jobtext import CUTTER, num

__all__ = ["HOW", "UNCERTAINTY", "fit_form", "sizes"]

HOW = (
    "Sizes of a fit coupon; THIS_FILE is measured.yaml, JOB coupon-fit.yaml. Fill in `uncertainty` too, where you know it.",
    "Directions are the sheet's own: x lies along the groove on a square and, on the plate, from hole 1 (beside the 1) to hole 2.",
    "outside, inside: square between two walls, not at a corner, nor on a stub of a bridge; of a hole, its diameter in that direction.",
    "centers: measure from far wall to far wall, and from near wall to near wall; half of their sum is the distance of centers.",
)
UNCERTAINTY = (
    "Uncertainty: one standard deviation, not the most it may be off: measure one size ten times over, lifting the caliper each time, and take the",
    "deviation of those; no less than half of the display's last digit. From memory: digital caliper 0.015 to 0.02, micrometer and gauge",
    "pins 0.005. Say more where walls are fuzzy.",
)


def sizes(asked: Asked, piece: FitPiece) -> list[Blank]:
    """What is measured on a fit coupon."""
    out = [("plate", "outside", piece.plate[k], axis) for k, axis in enumerate((0.0, 90.0))]
    for side, _ in piece.outside:
        out += [(f"square {num(side)}", "outside", side, axis) for axis in (0.0, 90.0)]
    for side, _ in piece.inside:
        out += [(f"opening {num(side)}", "inside", side, axis) for axis in (0.0, 90.0)]
    names = ("hole 1", f"hole of {num(piece.holes[1])}", f"hole of {num(piece.holes[2])}")
    for name, diameter in zip(names, piece.holes, strict=True):
        out += [(name, "inside", diameter, axis) for axis in (0.0, 90.0)]
    named = [(f"{name}, along {direction(axis)}", kind, nominal, axis) for name, kind, nominal, axis in out]
    (a, b), d, slope = piece.centers, piece.diagonal, piece.slope
    for one, two, far, along in (
        (1, 2, a, 0.0), (3, 4, a, 0.0), (1, 3, b, 90.0), (2, 4, b, 90.0), (1, 4, d, slope), (2, 3, d, 180 - slope),
    ):  # fmt: skip
        named.append((f"holes {one} to {two}", "centers", far, along))
    cut = asked.cutter.cuts  # what the paths of this piece are made for
    return [
        Blank(name=name, kind=kind, nominal=nominal, along=along, cutter=CUTTER, cut_at=cut)
        for name, kind, nominal, along in named
    ]


def fit_form(asked: Asked, piece: FitPiece) -> str:
    """The text of measured.yaml."""
    return form(sizes(asked, piece), [*HOW, *UNCERTAINTY])
