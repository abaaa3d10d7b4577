"""What a made job costs, line by line. Amounts are in the shop's own currency, whole hundredths of it."""

from __future__ import annotations

from typing import Any

import attrs
from attrs import frozen

__all__ = ["Cost", "Line", "PartPrice", "Price", "money"]


def money(amount: float, currency: str = "") -> str:
    """As it is shown.

    >>> money(12.5, "EUR"), money(0.5)
    ('12.50 EUR', '0.50')
    """
    return f"{amount:.2f} {currency}".rstrip()


@frozen
class Line:
    """One amount, and how it comes about."""

    what: str
    amount: float
    how: str


@frozen
class Price:
    """Of a quantity: `each` is a unit of it, `per_piece` the mean of all pieces; both rounded to four decimals."""

    quantity: int
    runs: int
    sheets: int
    total: float
    each: float
    per_piece: float


@frozen
class PartPrice:
    """What a piece of one part costs, where all parts share the total by their areas. `share` is that of all its pieces."""

    name: str
    pieces_per_run: int
    share: float
    each: float


@frozen
class Cost:
    """`lines` add up to `total`, the price of `quantity` units; `unit` is a piece, or a set: all that one run gives.

    `per_run` is what each run adds when it is made in full: set-up and minimum left out. `yielded` is the area of the
    pieces by the area of sheet that is charged. `not_counted` names what could not be counted, and the key that would do it.
    """

    currency: str
    unit: str
    units_per_run: int
    pieces_per_run: int
    sheets_per_run: int
    charged_sheets_per_run: float
    lines: tuple[Line, ...]
    per_run: float
    price: Price
    quantities: tuple[Price, ...]
    parts: tuple[PartPrice, ...]
    yielded: float
    not_counted: tuple[str, ...]

    def __str__(self) -> str:
        p, c = self.price, self.currency
        mean = "" if p.quantity == 1 else f", {money(p.each, c)} a {self.unit}"
        left = len(self.not_counted)
        lacking = f"; not counted: {left} thing{'' if left == 1 else 's'}" if left else ""
        many = f"{p.quantity} {self.unit}{'' if p.quantity == 1 else 's'}"
        return f"{money(p.total, c)} for {many}{mean} ({p.runs} run{'' if p.runs == 1 else 's'}, sheets: {p.sheets}){lacking}"

    def as_dict(self) -> dict[str, Any]:
        """The mapping of `result.json`."""
        p = self.price
        return {
            "currency": self.currency or None,
            "unit": self.unit,
            "units_per_run": self.units_per_run,
            "pieces_per_run": self.pieces_per_run,
            "sheets_per_run": self.sheets_per_run,
            "charged_sheets_per_run": round(self.charged_sheets_per_run, 4),
            "quantity": p.quantity,
            "runs": p.runs,
            "sheets": p.sheets,
            "lines": [attrs.asdict(one) for one in self.lines],
            "total": p.total,
            "each": p.each,
            "per_piece": p.per_piece,
            "per_run": self.per_run,
            "quantities": [attrs.asdict(one) for one in self.quantities],
            "parts": [{**attrs.asdict(one), "share": round(one.share, 4)} for one in self.parts],
            "yield": round(self.yielded, 4),
            "not_counted": list(self.not_counted),
        }
