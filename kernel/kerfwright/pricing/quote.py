"""What a shop wants to know of a job's price: prices, minutes, and how many. Plain numbers in the shop's own currency."""

from __future__ import annotations

from attrs import frozen

from kerfwright import fields

__all__ = ["SHARES", "Quote"]

SHARES = ("whole", "used")
"""What of a sheet is charged."""
MOST = 1e9
"""Most of any price: more is a slip of the hand."""


@frozen
class Quote:
    """What a job costs: inputs. None is not known: it is told as not counted, and never taken as nothing.

    `quantity` counts pieces where the job has one part, else sets, a set being what one run of the job gives; None: one run.
    A sheet is charged whole (a shop does not sell the same sheet twice); with `used` only its length from the left edge to
    behind the furthest piece, where the shop keeps the rest for another job. `minimum` None: no order is too small.
    """

    currency: str = fields.text("what stands beside amounts", default="")
    sheet_price: float | None = fields.number("price of a sheet", unit="money", least=0, most=MOST, optional=True)
    sheet_share: str = fields.choice("what of a sheet is charged", SHARES, default="whole")
    hourly_rate: float | None = fields.number(
        "an hour of machine and operator", unit="money", least=0, most=MOST, optional=True
    )
    set_up_min: float | None = fields.number("set-up, once a job", unit="min", least=0, most=100_000, optional=True)
    handling_min: float | None = fields.number(
        "handling of each piece: broken out, deburred, packed", unit="min", least=0, most=100_000, optional=True
    )
    minimum: float | None = fields.number("least price of an order", unit="money", least=0, most=MOST, optional=True)
    quantity: int | None = fields.whole("pieces, or sets of several parts", least=1, most=100_000, optional=True)
