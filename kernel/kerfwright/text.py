"""Program to text and text to moves, by the dialect's name. The two ways share nothing but the dialect's traits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kerfwright.errors import Fault, InputError
from kerfwright.moves import Moves
from kerfwright.program import Program
from kerfwright.registry import Registry

if TYPE_CHECKING:
    from kerfwright.dialect import Dialect
    from kerfwright.reader import Reader

__all__ = ["dialect_named", "read", "reader_of", "write"]


def dialect_named(name: str | Dialect, registry: Registry) -> Dialect:
    """A dialect as it stands in its document, or one that was varied already. Raises InputError with the names there are."""
    if not isinstance(name, str):
        return name
    if name not in registry.dialects:
        raise InputError([Fault("output.dialect", f"found {name!r}, allowed: {', '.join(sorted(registry.dialects))}")])
    return registry.dialects[name]()


def write(program: Program, dialect: str | Dialect, registry: Registry | None = None) -> str:
    """The program's text, in a dialect by its name or as it was varied. Raises CannotSay where the dialect has no words for a step."""
    return dialect_named(dialect, registry or Registry.load()).write(program)


def read(text: str, dialect: str | Dialect, registry: Registry | None = None) -> Moves:
    """Moves from text alone. Raises CannotRead with line, word and rule."""
    registry = registry or Registry.load()
    return reader_of(dialect_named(dialect, registry), registry).read(text)


def reader_of(dialect: Dialect, registry: Registry) -> Reader:
    """What reads the dialect's language. Raises InputError where nothing does: then nothing in it could be proved."""
    traits = dialect.traits
    if traits.language not in registry.readers:
        known = ", ".join(sorted(registry.readers)) or "none"
        text = (
            f"found {dialect.name!r}, whose language {traits.language!r} no installed reader reads; those read {known}"
        )
        raise InputError([Fault("output.dialect", text)])
    return registry.readers[traits.language](traits=traits)
