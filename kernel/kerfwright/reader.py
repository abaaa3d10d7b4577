"""What a reader of a language fills in. Written from the language's document, it shares no code with any writer."""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.moves import Moves
from kerfwright.traits import Traits

__all__ = ["Reader"]


@define(frozen=True, kw_only=True)
class Reader:
    """Reads one language: `language` is the word that dialects name in their traits."""

    language: ClassVar[str] = ""
    document: ClassVar[str] = ""

    traits: Traits

    def read(self, text: str) -> Moves:
        """Moves and events, from text alone. Raises CannotRead with line, word and rule: nothing is skipped or guessed."""
        raise NotImplementedError
