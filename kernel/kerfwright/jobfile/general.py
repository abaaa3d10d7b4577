"""A job whose tolerance is a class of ISO 2768-1: the number that its walls must keep."""

from __future__ import annotations

from typing import Any

from kerfwright.inspecting.general import tightest
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.reading import BAD

__all__ = ["resolve"]


def resolve(reader: JobReader, values: dict[str, Any]) -> None:
    """In place of a class its number, and beside it the class. A size that the class has no limits for is a fault."""
    said, parts = values.get("tolerance"), values.get("parts")
    if not isinstance(said, str):
        return
    values["tolerance_class"], values["tolerance"] = said, BAD
    if parts is BAD or parts is None:
        return
    try:
        found = tightest(parts, said)
    except ValueError as e:
        reader.fault(
            None, "tolerance", f"found the class {said!r}, which has no limits for some sizes: {e}; or a number"
        )
        return
    if found is None:
        reader.fault(None, "tolerance", f"found the class {said!r} without a size to measure, allowed: a number")
    else:
        values["tolerance"] = found.wall
