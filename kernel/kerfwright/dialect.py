"""What a dialect fills in: how one family of controllers wants a program written.

Must override: `traits`, `opening`, `closing`, and one method for each step it can say.
May override: any step method; a dialect is a subclass of its nearest and overrides only what differs.
Never: `write`.
"""

from __future__ import annotations

from typing import ClassVar, final

import numpy as np
from attrs import define, field

from kerfwright.arrays import Floats
from kerfwright.errors import CannotSay
from kerfwright.program import Drilling, Motion, Program, Step
from kerfwright.traits import Traits

__all__ = ["Dialect", "Said"]


@define(eq=False)
class Said:
    """What the text has said so far, while it is written. Nothing that it has not said may be relied on.

    `here`: position the text has stated (nan where not), `words`: modal words in force, for dialects to keep.
    """

    program: Program
    here: Floats = field(factory=lambda: np.full(3, np.nan))
    words: dict[str, object] = field(factory=dict)

    @property
    def known(self) -> bool:
        """The text has stated X, Y and Z since the start or the last cutter change."""
        return bool(np.isfinite(self.here).all())

    def forget(self) -> None:
        """After a stop or cutter change: every word is written anew."""
        self.here = np.full(3, np.nan)
        self.words.clear()


@define(frozen=True, kw_only=True)
class Dialect:
    """A dialect of a program language. Fields are its traits that a job may vary."""

    name: ClassVar[str] = ""
    document: ClassVar[str] = ""
    """The document that defines it."""
    suffix: ClassVar[str] = ".txt"
    """Ending of its files."""
    rules: ClassVar[tuple[tuple[str, str], ...]] = ()
    """Each rule it follows, with its source or `from memory`: shown by `explain`."""

    @property
    def traits(self) -> Traits:
        """What a reader needs to know."""
        raise NotImplementedError

    def opening(self, said: Said) -> str:
        """Blocks before the first step: every mode the program relies on, units first."""
        raise NotImplementedError

    def closing(self, said: Said) -> str:
        """Blocks after the last step: program end."""
        raise NotImplementedError

    @final
    def write(self, program: Program) -> str:
        """The text: opening, each step by the method of its name, closing. Raises CannotSay; never leaves a step out."""
        said = Said(program)
        out = [self.opening(said)]
        for step in program.steps:
            out.append(self.say(step, said))
        out.append(self.closing(said))
        return "".join(out)

    @final
    def say(self, step: Step, said: Said) -> str:
        """One step, by the method named after it in lower case."""
        method = getattr(self, type(step).__name__.lower(), None)
        if method is None:
            raise CannotSay(f"{self.name} cannot say {type(step).__name__}")
        text: str = method(step, said)
        return text

    def drilling(self, step: Drilling, said: Said) -> str:
        """Written out stroke by stroke, which every dialect can."""
        return self.motion(step.expanded(), said)

    def motion(self, step: Motion, said: Said) -> str:
        """Moves along a curve. From an unknown place: Z first, then X and Y, then every word once."""
        raise NotImplementedError
