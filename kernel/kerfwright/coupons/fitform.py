"""The form of a fit coupon: sizes to be measured, in the format that `kerfwright adjust` reads, with blanks."""

from __future__ import annotations

from typing import Any

import yaml

from kerfwright.coupons.asked import Asked
from kerfwright.coupons.fitpiece import FitPiece
from kerfwright.coupons.jobtext import num

__all__ = ["filled_in", "form", "sizes"]

HOW = (
    "Fill in `uncertainty` and each `measured`, in mm; delete the line of a size that you cannot measure. Then:",
    "  kerfwright adjust measured.yaml --job coupon-fit.yaml",
    "Directions are the sheet's own: x lies along the groove on a square and, on the plate, from hole 1 (beside the 1) to hole 2.",
    "outside, inside: square between two walls, not at a corner, nor on a stub of a bridge; of a hole, its diameter in that direction.",
    "centers: measure from far wall to far wall, and from near wall to near wall; half of their sum is the distance of centers.",
)
UNCERTAINTY = (
    "one standard deviation, not the most it may be off: measure one size ten times over, lifting the caliper each time, and take the",
    "deviation of those; no less than half of the display's last digit. From memory: digital caliper 0.015 to 0.02, micrometer and gauge",
    "pins 0.005. Say more where walls are fuzzy.",
)


def sizes(piece: FitPiece) -> list[tuple[str, str, float, str]]:
    """Name, kind, nominal (mm) and direction of each size."""
    out = [("plate", "outside", piece.plate[k], axis) for k, axis in enumerate("xy")]
    for side, _ in piece.outside:
        out += [(f"square {num(side)}", "outside", side, axis) for axis in "xy"]
    for side, _ in piece.inside:
        out += [(f"opening {num(side)}", "inside", side, axis) for axis in "xy"]
    names = ("hole 1", f"hole of {num(piece.holes[1])}", f"hole of {num(piece.holes[2])}")
    for name, diameter in zip(names, piece.holes, strict=True):
        out += [(name, "inside", diameter, axis) for axis in "xy"]
    named = [(f"{name}, along {axis}", kind, nominal, axis) for name, kind, nominal, axis in out]
    (a, b), d, slope = piece.centers, piece.diagonal, piece.slope
    for one, two, far, along in (
        (1, 2, a, "x"), (3, 4, a, "x"), (1, 3, b, "y"), (2, 4, b, "y"),
        (1, 4, d, f"{slope:.4f} deg"), (2, 3, d, f"{180 - slope:.4f} deg"),
    ):  # fmt: skip
        named.append((f"holes {one} to {two}", "centers", far, along))
    return named


def form(asked: Asked, piece: FitPiece) -> str:
    """The text of measured.yaml."""
    rows = [
        f'  - {{name: "{name}", kind: {kind}, nominal: {num(nominal)}, along: {along}, measured: }}'
        for name, kind, nominal, along in sizes(piece)
    ]
    lines = [f"# {text}" for text in HOW]
    lines += [
        "units: mm",
        "uncertainty:   # " + UNCERTAINTY[0],
        *(f"               # {text}" for text in UNCERTAINTY[1:]),
    ]
    lines.append(f"cut_at: {num(asked.cutter.cuts)}   # the diameter that the paths of this piece are made for")
    return "\n".join([*lines, "sizes:", *rows]) + "\n"


def filled_in(text: str) -> bool:
    """Somebody wrote into this form; what cannot be read counts as written by somebody."""
    try:
        found: Any = yaml.safe_load(text)
        return found["uncertainty"] is not None or any(s["measured"] is not None for s in found["sizes"])
    except (yaml.YAMLError, TypeError, KeyError):
        return True
