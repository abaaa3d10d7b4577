"""What a dialect fills in: how one family of controllers wants a program written.

Must override: `traits`, `opening`, `closing`, and one method for each step it can say.
May override: any step method, `finished`, `contradictions`; a dialect is a subclass of its nearest and overrides only what
differs. A field with a key is what data may vary; `fields.absent` in a subclass fixes it.
Never: `write`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any, ClassVar, final

import numpy as np
from attrs import Attribute, define, field, fields_dict, has

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.errors import CannotSay, Contradiction
from kerfwright.machine import CUTTER_CHANGES
from kerfwright.program import Drilling, Motion, Program, Step
from kerfwright.traits import Traits

__all__ = ["Dialect", "Said"]


@define(eq=False)
class Said:
    """What the text has said so far, while it is written. Nothing that it has not said may be relied on.

    `here`: position the text has stated (nan where not), `words`: number of each modal word in force, for dialects to keep.
    """

    program: Program
    here: Floats = field(factory=lambda: np.full(3, np.nan))
    words: dict[str, int] = field(factory=dict)
    fitted: int = 0
    """Number of the cutter that the text has named last, 0 for none."""

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
    """A dialect of a program language. Fields are its traits that a job may vary, by their keys: `units`, `word.decimals`."""

    name: ClassVar[str] = ""
    document: ClassVar[str] = ""
    """The document that defines it."""
    suffix: ClassVar[str] = ".txt"
    """Ending of its files."""
    rules: ClassVar[tuple[tuple[str, str], ...]] = ()
    """Each rule it follows, with its source or `from memory`: shown by `explain`."""
    changes: ClassVar[tuple[str, ...]] = ("separate_programs",)
    """Changes of cutter that it can say."""

    cutter_change: str | None = fields.choice(
        "how cutters are changed, instead of the machine's way",
        CUTTER_CHANGES,
        optional=True,
        key="run.cutter_change",
        otherwise="the machine's",
    )
    by_hand: bool | None = fields.flag(
        "spindle speed is set by hand, instead of what the machine says",
        optional=True,
        key="run.by_hand",
        otherwise="the machine's",
    )

    def __attrs_post_init__(self) -> None:
        told = tuple(self.contradictions())
        if told:
            raise Contradiction(told)

    def contradictions(self) -> Iterator[tuple[str, str]]:
        """Fields that contradict one another or the language, each by its key with what was found and is allowed."""
        if self.change not in self.changes:
            yield "run.cutter_change", f"found {self.change}, allowed: {', '.join(self.changes)}"

    @classmethod
    def variations(cls) -> dict[str, Attribute[Any]]:
        """What data may say of it, by key; an attribute without `init` is fixed."""
        own, out = fields_dict(cls), {}
        for one in reversed(cls.__mro__):
            for name, attribute in fields_dict(one).items() if has(one) else ():
                said = fields.spec(attribute)
                if said is not None and said.key:
                    out[said.key] = own[name]
        return out

    @property
    def varied(self) -> dict[str, Any]:
        """What of it is not as the document has it, by key."""
        values = {key: (getattr(self, one.name), one.default) for key, one in self.variations().items()}
        return {key: value for key, (value, default) in values.items() if value != default}

    @property
    def change(self) -> str:
        """How cutters are changed."""
        return self.cutter_change or "separate_programs"

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
        for step in _joined(program.steps):
            out.append(self.say(step, said))
        out.append(self.closing(said))
        return self.finished("".join(out))

    def finished(self, text: str) -> str:
        """The last touch to the whole text, for what counts its lines or ends them."""
        return text

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


def _joined(steps: Sequence[Step]) -> Iterator[Step]:
    """Motions that follow one another as one: a text is set in few long arrays. Raises CannotSay where it cannot be."""
    for moving, run in groupby(steps, lambda step: isinstance(step, Motion)):
        if moving:
            yield _one([step for step in run if isinstance(step, Motion)])
        else:
            yield from run


def _one(motions: list[Motion]) -> Motion:
    for m in motions:
        n = len(m.curve)
        if not (len(m.curve.nodes) - 1 == len(m.feeds) == len(m.roles) == n) or (
            m.waste is not None and len(m.waste) != n
        ):
            raise CannotSay(f"a motion of {n} segments has {len(m.feeds)} feeds and {len(m.roles)} roles")
    nodes = np.concatenate([m.curve.nodes for m in motions])
    feeds = np.concatenate([m.feeds for m in motions])
    turns = np.concatenate([m.curve.turns for m in motions])
    if not (np.isfinite(nodes).all() and np.isfinite(feeds).all() and np.isfinite(turns).all()):
        raise CannotSay("a motion has a place, turn or feed that is no finite number")
    if (feeds < 0).any():
        raise CannotSay(f"a feed of {feeds.min():g} mm/min is below 0")
    starts = np.cumsum([len(m.curve.nodes) for m in motions])[:-1]
    apart = np.abs(nodes[starts] - nodes[starts - 1]).max(axis=1, initial=0)
    if (apart > 1e-5).any():
        raise CannotSay(f"a motion begins {apart.max():.4f} mm from where the last one left the cutter")
    waste = [np.zeros(len(m.feeds), np.int64) if m.waste is None else m.waste for m in motions]
    curve = Curve(np.delete(nodes, starts, axis=0), turns)
    return Motion(curve, np.concatenate([m.roles for m in motions]), feeds, np.concatenate(waste))
