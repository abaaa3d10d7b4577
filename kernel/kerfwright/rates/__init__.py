"""Rates of one operation: spindle speed, feeds and depths, each with the reason it has its value."""

from __future__ import annotations

from kerfwright.formulas import cutting_speed, feed_per_tooth
from kerfwright.rates.choice import choose
from kerfwright.rates.values import Rates

__all__ = ["Rates", "choose", "cutting_speed", "feed_per_tooth"]
