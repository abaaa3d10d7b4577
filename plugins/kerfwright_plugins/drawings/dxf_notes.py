"""What a library would only log becomes something the caller can tell."""

from __future__ import annotations

import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["noted"]


class _Notes(logging.Handler):
    """Keeps the warnings of its own thread: several drawings may be read at once."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.texts: list[str] = []
        self.own = threading.get_ident()

    def emit(self, record: logging.LogRecord) -> None:
        if record.thread == self.own:
            self.texts.append(record.getMessage())


@contextmanager
def noted(logger: str) -> Iterator[list[str]]:
    """Warnings logged to `logger` and below while this lasts."""
    notes = _Notes()
    log = logging.getLogger(logger)
    log.addHandler(notes)
    try:
        yield notes.texts
    finally:
        log.removeHandler(notes)
