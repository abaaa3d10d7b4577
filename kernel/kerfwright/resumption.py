"""A run that was stopped and goes on: where, and how each piece stood."""

from __future__ import annotations

from pathlib import PurePath

from attrs import frozen

__all__ = ["DOUBT", "FROM_LINE", "STATES", "Resumption", "Standing", "remainder_name"]

DOUBT = 10.0
"""Length of cut (mm) before the named line that counts as missing: a controller shows a line while it still carries out
earlier ones, and a cutter breaks before anybody sees it. From memory: about 1.5 s at the feeds of small cutters.
"""
FROM_LINE = "-from-line-"
"""What tells a remainder by its name."""
STATES = ("finished", "doubtful", "untouched")


@frozen
class Standing:
    """How one piece stands after a stop. `state` is finished, doubtful or untouched; `why` says so in words."""

    name: str
    sheet: int
    copy: int
    state: str
    why: str


@frozen
class Resumption:
    """What a remainder goes on from: the program that was stopped (file, digest), the line that was named, and the line
    from which the remainder cuts again. `doubt_mm`: how much of the cut before the named line may be missing.
    """

    program: str
    sha256: str
    at: int
    begins: int
    doubt_mm: float
    pieces: tuple[Standing, ...] = ()

    @property
    def name(self) -> str:
        """Name of the remainder."""
        return remainder_name(self.program, self.at)


def remainder_name(program: str, line: int) -> str:
    """Name of the remainder of a program's file.

    >>> remainder_name("out/plate/plate-2-mill.nc", 120)
    'plate-2-mill-from-line-120'
    """
    return f"{PurePath(program).stem}{FROM_LINE}{line}"
