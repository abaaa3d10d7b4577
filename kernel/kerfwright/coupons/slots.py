"""Where the slots of a rates coupon lie on the offcut, and their numbers beside them."""

from __future__ import annotations

import math

from attrs import frozen

from kerfwright.coupons.asked import Asked
from kerfwright.coupons.feeds import Ladder, ladder
from kerfwright.errors import Fault, InputError

__all__ = ["LEAST", "MOST", "Slots", "slots"]

LEAST, MOST = 3, 12
"""Slots of a coupon: fewer tell nothing, more are not told apart (our choice)."""
WIDER = 0.1
"""How much wider than the cutter a slot is (mm; our choice): the way back along its other wall takes this much."""
ROOM = 2.0
"""Between two slots' cells, and around all (mm; our choice)."""
TALL = 4.0
"""Height of a number over the cutter's diameter, so that its strokes stay apart (our choice)."""


@frozen
class Slots:
    """`ladder`: the feeds. `size`: the sheet's; `plate`: the outline around all slots, its corner at `margin` on the sheet.

    Slots run along X. `places`: by slot, in the plate's coordinates, corner of the number and the centers of both ends, on which
    the slot is `width` wide. `height` is that of the numbers. Lengths in mm.
    """

    ladder: Ladder
    size: tuple[float, float]
    plate: tuple[float, float]
    margin: float
    width: float
    height: float
    places: tuple[tuple[tuple[float, float], tuple[float, float], tuple[float, float]], ...]


def slots(asked: Asked, steps: int) -> Slots:
    """As many columns as it takes, slot 1 at the front left, each column rising to the back.

    Raises InputError where the offcut is too small, with how many would fit.
    """
    if not LEAST <= steps <= MOST:
        raise InputError([Fault("--steps", f"found {steps}, allowed: {LEAST} to {MOST}")])
    found = ladder(asked, steps)
    d, tall = asked.cutter.cuts, max(4.0, TALL * asked.cutter.cuts)
    long, number = _long(asked, found), tall * (10 if steps > 9 else 4) / 6
    wide, high = d + number + ROOM + long + d + WIDER, tall + d
    around = 2 * (asked.margin + ROOM)
    if asked.size is None:
        columns = 1 if steps <= 6 else 2
        rows = -(-steps // columns)
    else:
        columns, rows = _grid(asked.size, around, wide, high)
        if columns * rows < steps:
            raise InputError([_small(asked.size, steps, around, wide, high)])
        columns = -(-steps // rows)
        rows = min(rows, steps)
    plate = (math.ceil(columns * (wide + ROOM) + ROOM), math.ceil(rows * (high + ROOM) + ROOM))
    need = (plate[0] + 2 * asked.margin, plate[1] + 2 * asked.margin)
    places = []
    for k in range(steps):
        x, y = ROOM + (k // rows) * (wide + ROOM), ROOM + (k % rows) * (high + ROOM)
        begin, middle = x + d + number + ROOM + (d + WIDER) / 2, y + high / 2
        places.append(((x + d / 2, y + d / 2), (begin, middle), (begin + long, middle)))
    return Slots(found, asked.sheet_size(need), plate, asked.margin, d + WIDER, tall, tuple(places))


def _long(asked: Asked, found: Ladder) -> float:
    """Between the centers of a slot's ends. The cutter enters in the middle and cuts the full width to either end: there it
    takes no more than a quarter of the way to reach the fastest feed, and a quarter to stop.
    """
    speed, by = found.feeds[-1] / 60, asked.machine.acceleration
    half = max(15.0, 5 * asked.cutter.cuts, 0.0 if by is None else 2 * speed**2 / by.xy)
    return 2.0 * math.ceil(half / 5) * 5


def _grid(size: tuple[float, float], around: float, wide: float, high: float) -> tuple[int, int]:
    """Columns and rows that fit, each with its share of room; the plate's size is rounded up to whole mm."""
    x, y = (math.floor(v - around + 1e-9) for v in size)
    return max(int((x + ROOM) // (wide + ROOM)), 0), max(int((y + ROOM) // (high + ROOM)), 0)


def _small(size: tuple[float, float], steps: int, around: float, wide: float, high: float) -> Fault:
    columns, rows = _grid(size, around, wide, high)
    turned = _grid(size[::-1], around, wide, high)
    n, m = columns * rows, turned[0] * turned[1]
    if n >= LEAST:
        fits = f"{n} steps fit"
    else:
        fits = f"no coupon fits: one of {LEAST} needs {math.ceil(wide + around)} x {math.ceil(LEAST * (high + ROOM) - ROOM + around)} mm"
    if m > n and m >= LEAST:
        fits += f"; with the offcut turned to {size[1]:g},{size[0]:g}: {min(m, MOST)} steps"
    text = f"found {size[0]:g} x {size[1]:g} mm for {steps} steps, allowed: {fits}"
    return Fault("--size", text)
