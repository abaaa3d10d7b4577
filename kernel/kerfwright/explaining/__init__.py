"""Everything installed, told one by one: what it does, what it takes, and where each of its values comes from."""

from __future__ import annotations

from kerfwright.explaining.explanation import Explanation
from kerfwright.explaining.lookup import UnknownName, everything, explain
from kerfwright.explaining.page import page

__all__ = ["Explanation", "UnknownName", "everything", "explain", "page"]
