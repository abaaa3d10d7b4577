"""The job of a fit coupon: marks, holes and the small opening to dust, the large opening, then the pieces."""

from __future__ import annotations

from kerfwright.coupons.asked import Asked
from kerfwright.coupons.fitpiece import FitPiece
from kerfwright.coupons.jobtext import CUTTER, head, num, pair

__all__ = ["NAME", "fit_job", "square_name"]

NAME = "coupon-fit"
TOLERANCE = "0.2   # wide: how far the walls are off is what this piece is to tell"
DEEP = 0.2
"""Depth of the marks (mm), and no more than a quarter of the sheet (our choice)."""
GROOVE = 0.4
"""Length of the groove on a square, over its side (our choice)."""


def square_name(size: float) -> str:
    """Of the part that is a square."""
    return f"square-{num(size)}"


def fit_job(asked: Asked, piece: FitPiece) -> str:
    """The job file's text."""
    title = [
        "Test piece to be measured. Made by `kerfwright coupon fit`; read coupon.html first, then fill in measured.yaml.",
        "The 1 stands beside hole 1, at the front left; the groove on each square lies along X.",
    ]
    size = asked.sheet_size(piece.size)
    lines = [
        *head(NAME, title, asked, size, TOLERANCE),
        "parts:",
        "  - name: plate",
        f"    at: {pair(piece.at)}",
        "    shapes:",
    ]
    lines += [_rectangle((0.0, 0.0), piece.plate, piece.radius), *_holes(piece)]
    (large, at), (small, other) = piece.inside
    lines.append(_rectangle(at, (large, large), piece.radius))
    lines += [_rectangle(other, (small, small), piece.radius), "        layer: small"]
    for side, place in piece.outside:
        lines += [f"  - name: {square_name(side)}", f"    at: {pair(place)}"]
        lines += ["    shapes:", _rectangle((0.0, 0.0), (side, side), piece.radius)]
    return "\n".join([*lines, *_operations(asked, piece)]) + "\n"


def _rectangle(corner: tuple[float, float], size: tuple[float, float], radius: float) -> str:
    return f"      - rectangle: {{corner: {pair(corner)}, size: {pair(size)}, radius: {num(radius)}}}"


def _holes(piece: FitPiece) -> list[str]:
    (x, y), (a, b) = piece.first, piece.centers
    corners = [(x, y), (x + a, y), (x, y + b), (x + a, y + b)]
    placed = [(c, piece.holes[0], f"   # hole {n}") for n, c in enumerate(corners, 1)]
    placed += [(c, d, "") for c, d in zip(piece.middle, piece.holes[1:], strict=True)]
    return [f"      - circle: {{center: {pair(c)}, diameter: {num(d)}}}{word}" for c, d, word in placed]


def _operations(asked: Asked, piece: FitPiece) -> list[str]:
    """What comes free, comes free last; under screws and frames bridges hold it."""
    d, deep = asked.cutter.cuts, num(min(DEEP, asked.thickness / 4))
    links = ""
    if asked.linked:
        links = f", bridges: {{width: 0.8, thickness: {num(min(0.5, asked.thickness / 2))}, count: 2}}"
    tall, at = piece.letter
    lines = [
        f'  - mark: {{cutter: {CUTTER}, text: "1", part: plate, at: {pair(at)}, height: {num(tall)}, depth: {deep}}}'
    ]
    for side, _ in piece.outside:
        long = GROOVE * side
        place, height = ((side - long) / 2, side / 2), 1.5 * long  # the stroke of _ is two thirds of its height long
        text = f'text: "_", part: {square_name(side)}, at: {pair(place)}, height: {num(height)}, depth: {deep}'
        lines.append(f"  - mark: {{cutter: {CUTTER}, {text}}}")
    least, most = num(piece.holes[0] - d / 4), num(piece.holes[2] + d / 4)
    return [
        "operations:",
        *lines,
        f"  - pocket: {{cutter: {CUTTER}, select: {{circles: [{least}, {most}]}}, depth: through}}",
        f"  - pocket: {{cutter: {CUTTER}, select: {{layer: small}}, depth: through}}   # too small a slug to come loose",
        f"  - profile: {{cutter: {CUTTER}, select: inner{links}}}",
        f"  - profile: {{cutter: {CUTTER}, select: outer{links}}}",
    ]
