"""A file that the user named, as bytes."""

from __future__ import annotations

from pathlib import Path

from kerfwright.errors import Fault, InputError
from kerfwright.jobfile.nodes import MOST_BYTES

__all__ = ["given"]


def given(name: str) -> bytes:
    """All of it, and a byte more than is read of any: the parser tells a file that is too long. Raises InputError."""
    try:
        with Path(name).open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as e:
        raise InputError([Fault("", f"cannot be read: {getattr(e, 'strerror', None) or e}", name)]) from None
