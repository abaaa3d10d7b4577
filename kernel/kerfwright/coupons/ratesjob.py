"""The job of a rates coupon: numbers first, then each slot as an operation of its own."""

from __future__ import annotations

from kerfwright.coupons.asked import Asked
from kerfwright.coupons.jobtext import CUTTER, head, num, pair
from kerfwright.coupons.slots import Slots

__all__ = ["NAME", "rates_job"]

NAME = "coupon-rates"
TOLERANCE = "0.3   # wide: walls are looked at here, not measured, and the fastest slots bend cutter and machine"
ENTRY = "{zigzag: {angle: 3, length: 6}}"
"""Down to and fro on a short piece, so that nearly all of a slot is cut at full depth and width (our choice)."""
DEEP = 0.2
"""Depth of the numbers (mm), and no more than a quarter of the sheet (our choice)."""


def rates_job(asked: Asked, found: Slots) -> str:
    """The job file's text."""
    speed, depth = num(found.ladder.rates.spindle), found.ladder.depth
    title = [
        f"Test piece: {len(found.places)} slots at rising feeds. Made by `kerfwright coupon rates`; read coupon.html first.",
        "A slot is 0.1 mm wider than the cutter, so that nothing comes loose in it.",
    ]
    lines = head(NAME, title, asked, found.size, TOLERANCE)
    lines += ["parts:", "  - name: coupon", f"    at: {pair((found.margin, found.margin))}", "    shapes:"]
    lines += [f"      - rectangle: {{corner: [0, 0], size: {pair(found.plate)}}}", "        layer: plate"]
    for n, (_, begin, end) in enumerate(found.places, 1):
        slot = f"{{from: {pair(begin)}, to: {pair(end)}, width: {num(found.width)}}}"
        lines += [f"      - slot: {slot}", f"        layer: slot-{n}"]
    lines += ["ignore: {layer: plate}   # stays in the sheet", "operations:"]
    deep = num(min(DEEP, asked.thickness / 4))
    for n, (at, _, _) in enumerate(found.places, 1):
        text = f'text: "{n}", at: {pair(at)}, height: {num(found.height)}, depth: {deep}, spindle: {speed}'
        lines.append(f"  - mark: {{cutter: {CUTTER}, {text}}}")
    through = "through" if depth is None else num(depth)
    for n, feed in enumerate(found.ladder.feeds, 1):
        what = f"select: {{layer: slot-{n}}}, waste: inside, depth: {through}, spindle: {speed}, feed: {num(feed)}"
        lines.append(f"  - profile: {{cutter: {CUTTER}, {what}, entry: {ENTRY}}}")
    return "\n".join(lines) + "\n"
