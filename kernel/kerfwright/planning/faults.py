"""How planning refuses: every fault names the operation in the job file."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from kerfwright.errors import InputError, NoRoom
from kerfwright.setup import Setup, Work

__all__ = ["refused", "told"]


def refused(setup: Setup, work: Work, message: str, key: str = "") -> InputError:
    """The error that an operation cannot be done, at its key in the job file."""
    return InputError([setup.job.origin.fault(f"{work.path}.{key}" if key else work.path, message)])


@contextmanager
def told(setup: Setup, work: Work, kind: str, where: str) -> Iterator[None]:
    """A strategy's NoRoom becomes a fault of the operation that says which outline it is about."""
    try:
        yield
    except NoRoom as e:
        raise refused(setup, work, f"{where}: no room: {e}", kind) from e
