"""How each kind of operation is planned: those of the core by name, all others by what they answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Protocol

from kerfwright.arrays import Floats
from kerfwright.planning.asking import asked
from kerfwright.planning.bridging import Asked
from kerfwright.planning.context import Context
from kerfwright.planning.drilling import drilled
from kerfwright.planning.held import Held, Kerf
from kerfwright.planning.pocketing import pocketed
from kerfwright.planning.profiling import profiled
from kerfwright.program import Drilling, Motion

__all__ = ["KINDS", "Planned", "planned"]


class Planned(Protocol):
    """An operation in plan: what it cuts and which bridges it places; then its step, once all bridges are known."""

    @property
    def kerfs(self) -> list[Kerf]:
        """What is cut away, program frame."""

    @property
    def asked(self) -> list[Asked]:
        """Bridges that it places."""

    def step(self, held: Held, here: Floats | None) -> Motion | Drilling:
        """Its moves from where the cutter stands (3,), None at the start of a program."""


KINDS: Mapping[str, Callable[[Context], Planned]] = MappingProxyType(
    {"profile": profiled, "pocket": pocketed, "drill": drilled}
)


def planned(context: Context) -> Planned:
    """One operation in plan. Raises InputError where it cannot be done."""
    return KINDS.get(context.operation.kind, asked)(context)
