"""What a report fills in: a page, a picture or a data file made from a result."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, ClassVar

from attrs import define

if TYPE_CHECKING:
    from kerfwright.result import Result

__all__ = ["Report"]


@define(frozen=True)
class Report:
    """`when_failed`: also made when the programs did not pass (pictures and findings are, run sheets are not)."""

    name: ClassVar[str] = ""
    when_failed: ClassVar[bool] = True

    def render(self, result: Result) -> Mapping[str, str]:
        """File name -> text, the same bytes for the same result."""
        raise NotImplementedError
