"""What of a program data may vary: the fields, what of them contradicts itself, and the traits they come to."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from attrs import define, fields_dict

from kerfwright import fields
from kerfwright.dialect import Dialect
from kerfwright.traits import Traits
from kerfwright.units import INCH

__all__ = ["WordFields"]


@define(frozen=True, kw_only=True)
class WordFields(Dialect):
    """Fields by the groups of ISO 6983: program, block, word, run. Those without a key are for subclasses only."""

    language: ClassVar[str] = ""
    """The reader that its document asks for."""
    compensations: ClassVar[int] = 1
    """How many compensations its language has, each cancelled by a word of its own."""
    settled: ClassVar[tuple[str, ...]] = ()
    """Modes that its language has no words for."""
    changes: ClassVar[tuple[str, ...]] = ("automatic", "pause", "separate_programs")

    units: str = fields.choice("unit of lengths", ("mm", "inch"), default="mm", key="units")
    start: str = fields.choice("line before everything", ("", "%"), default="", key="program.start")
    end: str = fields.choice("program end", ("M2", "M30"), default="M2", key="program.end")
    titled: bool | None = fields.flag(
        "a comment names the program first",
        optional=True,
        key="program.name",
        otherwise="it does, where there are comments",
    )
    sequence: bool = fields.flag("blocks are numbered", default=False, key="block.sequence")
    block_length: int = fields.whole(
        "most characters in a line", least=128, most=1000, default=256, key="block.length"
    )  # no block is longer than 128; only comments are
    ending: str = fields.choice("line ends", ("lf", "crlf"), default="lf", key="block.ending")
    comments: str = fields.choice("comments", ("parentheses", "none"), default="parentheses", key="block.comments")
    decimals: int | None = fields.whole(
        "decimals of lengths", least=3, most=6, optional=True, key="word.decimals", otherwise="3, of inches 4"
    )
    feed_decimals: int | None = fields.whole(
        "decimals of feeds", least=0, most=3, optional=True, key="word.feed_decimals", otherwise="0, of inches 2"
    )
    centers: str = fields.choice(
        "how an arc says its center", ("incremental", "absolute", "radius"), default="incremental", key="word.centers"
    )
    quadrants: str = fields.choice(
        "an arc goes on over quadrants, or ends with each", ("multi", "single"), default="multi", key="word.quadrants"
    )
    helices: bool = fields.flag("an arc may move Z too", default=True, key="word.helices")
    arcs: bool = fields.flag("arcs are said as arcs", default=True, key="word.arcs")
    dwell_unit: str = fields.choice("unit of a dwell", ("s", "ms"), default="s", key="word.dwell_unit")
    dwell_word: str = fields.choice("letter of a dwell", ("P", "X", "F"), default="P", key="word.dwell_word")
    cycles: bool = fields.flag("canned cycles, where they do the same", default=False, key="word.cycles")
    work_offset: int = fields.whole("number of the work offset", least=1, most=6, default=1, key="run.work_offset")
    digits: int = fields.whole("most digits before the point", least=2, most=8, default=5)
    arc_radius: tuple[float, float] = fields.point("least and most radius of an arc", default=(0.01, 1000.0), above=0)

    @property
    def traits(self) -> Traits:
        """What a reader needs to know."""
        return Traits(
            language=self.language,
            units=self.units,
            decimals=self.places,
            arcs=self.arcs,
            helices=self.helices,
            arc_centers="unsigned" if self.quadrants == "single" else self.centers,
            quadrants=self.quadrants,
            dwell_unit=self.dwell_unit,
            dwell_word=self.dwell_word,
            cycles=self.cycles,
            cutter_change=self.change,
            block_length=self.block_length,
            sequence=self.sequence,
            comments=self.comments,
            start=self.start,
            end=self.end,
            work_offset=self.work_offset,
            compensations=self.compensations,
            settled=self.settled,
        )

    @property
    def places(self) -> int:
        """Decimals of lengths."""
        return self.decimals if self.decimals is not None else 4 if self.units == "inch" else 3

    @property
    def feed_places(self) -> int:
        """Decimals of feeds."""
        return self.feed_decimals if self.feed_decimals is not None else 2 if self.units == "inch" else 0

    @property
    def unit(self) -> float:
        """Length of the unit, in mm."""
        return INCH if self.units == "inch" else 1.0

    @property
    def digit(self) -> float:
        """The last digit, in mm."""
        return self.unit / float(10**self.places)

    def contradictions(self) -> Iterator[tuple[str, str]]:
        """Fields that no text can have together, each by its key with what is allowed."""
        yield from super().contradictions()
        if self.units == "inch" and self.places < 4:
            yield "word.decimals", "found 3 with units inch, allowed: at least 4, as 0.001 inch is 0.025 mm"
        if self.quadrants == "single" and self.centers != "incremental":
            text = "allowed: incremental, as with quadrants single centers are distances from the start, without sign"
            yield "word.centers", f"found {self.centers} with quadrants single, {text}"
        for name, key in (("centers", "word.centers"), ("quadrants", "word.quadrants"), ("helices", "word.helices")):
            own = fields_dict(type(self))[name].default
            if not self.arcs and getattr(self, name) not in (own, False):
                yield (
                    key,
                    f"found {_word(getattr(self, name))} with arcs false, allowed: leave it out, as there are no arcs",
                )
        if self.comments == "none":
            yield from self._silent()

    def _silent(self) -> Iterator[tuple[str, str]]:
        if self.titled:
            yield "program.name", "found true with comments none, allowed: false, as the name stands in a comment"
        if self.by_hand:
            text = "found true with comments none, allowed: false, as no stop could say the speed to set"
            yield "run.by_hand", text
        if self.cutter_change in ("pause", "automatic"):
            text = "allowed: separate_programs, as no stop could say which cutter"
            yield "run.cutter_change", f"found {self.cutter_change} with comments none, {text}"


def _word(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
