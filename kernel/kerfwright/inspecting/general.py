"""A class of ISO 2768-1 to the one number that all walls of a job must keep.

The class gives each size its own limits, plus and minus t, by its row. A size lies between two walls, and what moves walls
(a cutter that is not as wide as its mark, bending) moves both outward, or both inward: the size is off by twice what one wall
is. So the walls keep half of the tightest row that occurs, whatever causes it. That is stricter than the class where errors of
both walls cancel, and never looser. A tolerance that is a plain number stands for walls and for sizes alike, as before.

All outlines of the drawings count, whatever is done with them: which ones an operation finishes is not known yet.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from attrs import frozen

from kerfwright.inspecting.size import Size
from kerfwright.inspecting.sizes import to_measure
from kerfwright.job import Job, Part
from kerfwright.standards import GENERAL, general

__all__ = ["CLASSES", "GRADED", "Tightest", "general_told", "grade", "tightest"]

_LETTERS = "".join(GENERAL) + "".join(GENERAL).upper()
GRADED = rf"^\s*(?:[Ii][Ss][Oo]\s*2768(?:-1)?(?:\s*-\s*|\s+))?([{_LETTERS}])\s*$"
"""How a class is written; without flags, as a JSON Schema has none."""
CLASSES = f"a class {', '.join(GENERAL)} of ISO 2768-1"


@frozen
class Tightest:
    """The size of a job that its class leaves least room: of which part, and plus and minus how much (mm)."""

    part: str
    size: Size
    limit: float

    @property
    def wall(self) -> float:
        """What each wall must keep (mm)."""
        return self.limit / 2

    def told(self, name: str) -> str:
        """What follows from the class `name`, in words."""
        return (
            f"ISO 2768-{name}: the tightest row is that of {self.size.nominal:.4g} mm ({self.size.noun}, part {self.part!r}), ± "
            f"{self.limit:g} mm; a size has two walls that may both err one way, so each wall must keep ± {self.wall:g} mm"
        )


def grade(text: str) -> str | None:
    """The class that a text means, None where it means none.

    >>> [grade(v) for v in ("m", "ISO 2768-1 f", "ISO 2768 - c", "ISO 2768-mK", "0.1")]
    ['m', 'f', 'c', None, None]
    """
    found = re.fullmatch(GRADED, text)
    return found[1].lower() if found else None


def tightest(parts: Sequence[Part], name: str) -> Tightest | None:
    """Over all sizes of the drawings that are measured; None where there is none. Raises ValueError, naming each part, for
    sizes that the class has no limits for.
    """
    out: list[Tightest] = []
    without: dict[str, str] = {}
    for part in parts:
        for size in to_measure(part.drawing):
            try:
                out.append(Tightest(part.name, size, general(round(size.nominal, 4), name)))
            except ValueError as e:
                without.setdefault(part.name, f"part {part.name!r}, {size.noun}: {e}")
    if without:
        raise ValueError("; ".join(without.values()))
    return min(out, key=lambda t: (t.limit, t.size.nominal), default=None)


def general_told(job: Job) -> Iterator[str]:
    """What was made of the job's class, where it has one."""
    if job.tolerance_class is not None and (found := tightest(job.parts, job.tolerance_class)) is not None:
        yield found.told(job.tolerance_class)
