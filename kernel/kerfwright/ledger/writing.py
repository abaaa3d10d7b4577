"""A ledger as text: YAML that a person can read, correct and cut entries from."""

from __future__ import annotations

from typing import Any

import shapely
import yaml

from kerfwright.ledger.values import Ledger

__all__ = ["ledger_text"]

HEAD = """\
# Ledger of a shop, for `kerfwright make --ledger`. Metres by cutter, and where along the flute (mm above the tip); grooves in
# the board, in mm from the sheet's front left corner: true only where every sheet lies with that corner at the same place.
# After a new cutter, delete its entry; after a new, turned or planed board, delete the board's.
"""


def ledger_text(ledger: Ledger) -> str:
    """The file's text; the same bytes for the same values."""
    data: dict[str, Any] = {
        "cutters": [
            {
                "name": c.name,
                "kind": c.kind,
                "cut": round(c.cut, 4),
                "flute": [{"from": f.low, "to": f.high, "cut": round(f.cut, 4)} for f in c.flute],
            }
            for c in ledger.cutters
        ],
        "boards": [
            {
                "machine": b.machine,
                "grooves": [
                    {"depth": g.depth, "area": shapely.to_wkt(g.area, rounding_precision=1)} for g in b.grooves
                ],
            }
            for b in ledger.boards
        ],
        "booked": [{"job": b.job, "programs": b.programs, "times": b.times} for b in ledger.booked],
    }
    return HEAD + yaml.safe_dump(data, sort_keys=False, allow_unicode=True, width=10**9)
