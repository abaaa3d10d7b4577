"""The hooks a plugin may implement. Project name and entry point group: `kerfwright`."""

from __future__ import annotations

from pathlib import Path

import pluggy

from kerfwright.dialect import Dialect
from kerfwright.drawings import DrawingReader
from kerfwright.finding import Check
from kerfwright.operation import Operation
from kerfwright.reader import Reader
from kerfwright.report import Report
from kerfwright.strategy import Strategy
from kerfwright.taking import Taking

__all__ = ["hookimpl"]

hookspec = pluggy.HookspecMarker("kerfwright")
hookimpl = pluggy.HookimplMarker("kerfwright")
"""Marks a plugin's functions."""


@hookspec
def kerfwright_operations() -> list[type[Operation]]:  # type: ignore[empty-body]
    """Operations, by their `kind`."""


@hookspec
def kerfwright_takings() -> list[type[Taking]]:  # type: ignore[empty-body]
    """What operations take from a sheet, for the proof, by the `kind` of the operation."""


@hookspec
def kerfwright_strategies() -> list[type[Strategy]]:  # type: ignore[empty-body]
    """Strategies, by their `kind` and `name`."""


@hookspec
def kerfwright_drawings() -> list[type[DrawingReader]]:  # type: ignore[empty-body]
    """Readers of drawing files, by their `suffixes`."""


@hookspec
def kerfwright_dialects() -> list[type[Dialect]]:  # type: ignore[empty-body]
    """Dialects, by their `name`."""


@hookspec
def kerfwright_readers() -> list[type[Reader]]:  # type: ignore[empty-body]
    """Readers of program languages, by their `language`."""


@hookspec
def kerfwright_checks() -> list[type[Check]]:  # type: ignore[empty-body]
    """Checks, by their `name`."""


@hookspec
def kerfwright_reports() -> list[type[Report]]:  # type: ignore[empty-body]
    """Pages and pictures made from a result, by their `name`."""


@hookspec
def kerfwright_tables() -> list[Path]:  # type: ignore[empty-body]
    """YAML files with materials, cutters and machines, each value with its source."""
