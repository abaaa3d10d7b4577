"""What is proved on the text, one file a check. They see no plan, no offset and no strategy."""

from __future__ import annotations

from kerfwright.finding import Check
from kerfwright.hookspecs import hookimpl
from kerfwright_plugins.checks.gouge import Gouge
from kerfwright_plugins.checks.leftover import Leftover
from kerfwright_plugins.checks.not_through import NotThrough

__all__ = ["kerfwright_checks"]


@hookimpl
def kerfwright_checks() -> list[type[Check]]:
    """Every check there is."""
    return [Gouge, Leftover, NotThrough]
