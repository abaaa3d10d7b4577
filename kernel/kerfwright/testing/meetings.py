"""Which strategies can meet in one operation, found from the registry: a new one is among them when it registers."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations
from zlib import crc32

from attrs import frozen

from kerfwright.registry import Registry
from kerfwright.strategy import Strategy
from kerfwright.testing.specimens import Specimen
from kerfwright.testing.trials import TRIED, Outcome, job_of, kinds_of, tried

__all__ = ["Meeting", "meetings"]

Made = Callable[[type[Strategy], str, Specimen], Strategy]
"""Gives a strategy its parameters, for an operation on a specimen."""


@frozen
class Meeting:
    """Two strategies of different kinds in one kind of operation."""

    operation: str
    first: type[Strategy]
    second: type[Strategy]

    def __str__(self) -> str:
        return f"{self.operation}: {self.first.kind} {self.first.name} + {self.second.kind} {self.second.name}"

    @property
    def number(self) -> int:
        """Always the same for the same names: chooses specimens and cutmodes without favour."""
        return crc32(str(self).encode())

    def tried(self, specimen: Specimen, made: Made, registry: Registry) -> Outcome:
        """The whole way on one specimen; climb or conventional by the names."""
        cutmode = ("climb", "conventional")[(self.number ^ crc32(specimen.name.encode())) & 1]
        chosen = [made(one, self.operation, specimen) for one in (self.first, self.second)]
        return tried(job_of(specimen, self.operation, chosen, cutmode), registry)


def meetings(registry: Registry) -> Iterator[Meeting]:
    """Every pair that can meet, in every operation where it can. A layout meets all strategies: it places their part."""
    for operation, cls in TRIED.items():
        kinds = {*kinds_of(cls), "layout"}
        some = [one for key, one in sorted(registry.strategies.items()) if key[0] in kinds]
        for a, b in combinations(some, 2):
            if a.kind != b.kind:
                yield Meeting(operation, a, b)
