"""A cutter in words for the operator."""

from __future__ import annotations

from kerfwright.cutter import Cutter

__all__ = ["described"]


def described(c: Cutter) -> str:
    """Name, form and what it cuts."""
    return f"{c.name}: {c.form.replace('_', ' ')} D{c.cuts:g} mm"
