"""Pages, pictures and data made from a result."""

from __future__ import annotations

from kerfwright.hookspecs import hookimpl
from kerfwright.report import Report
from kerfwright_plugins.reports.finding_pictures import FindingPictures
from kerfwright_plugins.reports.inspection import InspectionSheet
from kerfwright_plugins.reports.picture import Picture
from kerfwright_plugins.reports.quote_page import QuotePage
from kerfwright_plugins.reports.run_sheet import RunSheet

__all__ = ["kerfwright_reports"]


@hookimpl
def kerfwright_reports() -> list[type[Report]]:
    """The run sheet, the picture, the pictures of findings, the inspection sheets, and the quote."""
    return [RunSheet, Picture, FindingPictures, InspectionSheet, QuotePage]
