"""The part of a job file that all test pieces share: machine, sheet and cutter, as a user would write them."""

from __future__ import annotations

from kerfwright.coupons.asked import BREAKTHROUGH, Asked

__all__ = ["CUTTER", "head", "num", "pair"]

CUTTER = "mill"
"""What the job calls the cutter."""


def num(value: float) -> str:
    """A length as short as may be, to 0.001 mm.

    >>> num(2.0), num(3.1751), num(-0.0)
    ('2', '3.175', '0')
    """
    return f"{value + 0.0:.3f}".rstrip("0").rstrip(".") if abs(value) >= 5e-4 else "0"


def pair(place: tuple[float, float]) -> str:
    """Two lengths."""
    return f"[{num(place[0])}, {num(place[1])}]"


def head(name: str, title: list[str], asked: Asked, size: tuple[float, float], tolerance: str) -> list[str]:
    """Lines from the first comment to the cutter. `tolerance` with its reason."""
    material, cutter, machine = asked.named
    sheet = [f"  material: {material}", f"  size: {pair(size)}", f"  thickness: {num(asked.thickness)}"]
    if asked.board is not None:
        sheet += [f"  breakthrough: {num(BREAKTHROUGH)}", f"  board: {num(asked.board)}"]
    sheet.append(f"  hold: {asked.hold}")
    if asked.linked:
        sheet += [
            "  # name each screw and clamp, in mm from the sheet's front left corner:",
            "  # keepout: [{circle: {center: [10, 10], diameter: 14}, height: 4}]",
        ]
    return [
        *(f"# {line}" for line in title),
        f"job: {name}",
        f"machine: {machine}",
        f"tolerance: {tolerance}",
        "sheet:",
        *sheet,
        "cutters:",
        f"  {CUTTER}: {cutter or _drawn(asked)}",
    ]


def _drawn(asked: Asked) -> str:
    c = asked.cutter
    said = f"form: end_mill, flutes: {c.flutes}, diameter: {num(c.diameter)}, teeth: {c.teeth}, flute_length: {num(c.flute_length)}"
    return f"{{{said}}}   # see that this is the cutter in your hand"
