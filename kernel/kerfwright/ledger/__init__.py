"""The file a shop keeps: metres cut by each cutter along its flute, and grooves in the board. Changed only when asked."""

from __future__ import annotations

from kerfwright.ledger.booking import booked
from kerfwright.ledger.reading import read_ledger
from kerfwright.ledger.values import Ledger
from kerfwright.ledger.writing import ledger_text

__all__ = ["Ledger", "booked", "ledger_text", "read_ledger"]
