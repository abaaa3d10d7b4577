"""Marks: shallow grooves along lines and outlines, or text in single strokes."""

from __future__ import annotations

from typing import ClassVar

import shapely
from attrs import frozen

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.operation import Answering
from kerfwright.selection import Selection
from kerfwright.spot import Spot
from kerfwright.way import Way
from kerfwright_plugins.lettering import ALLOWED, lettered, unknown

__all__ = ["Mark"]

PLACEHOLDERS = ("{part}", "{copy}")
RIM = 0.003
"""A mark may reach this far (mm) over the part's outline: chords."""


@frozen(kw_only=True)
class Mark(Answering):
    """A groove of `depth`, with the tip's middle on the line: along what is selected, or along the strokes of a `text`.

    Text stands in the drawing's coordinates, its lower left corner `at` a place, and is turned and moved with each piece;
    `{part}` and `{copy}` stand for the part's name and the number of the copy. Letters are capitals.
    """

    kind = "mark"
    forms: ClassVar[tuple[str, ...]] = ("chamfer_mill", "end_mill")
    follows_lines: ClassVar[bool] = True

    select: Selection | None = fields.custom(
        "lines and outlines to follow",
        "select",
        optional=True,
        example={"layer": "lines"},
        otherwise="it writes a text",
    )
    text: str | None = fields.text(
        f"what to write: {ALLOWED}, {{part}}, {{copy}}", optional=True, otherwise="it follows lines"
    )
    part: str | None = fields.text("the part that carries the text", optional=True, otherwise="every part")
    at: tuple[float, float] | None = fields.point("lower left corner of the text, in the drawing", optional=True)
    height: float = fields.number("height of a capital", unit="mm", above=0, most=200, default=5.0)
    turn: float = fields.number("turned about its corner, counter-clockwise", unit="deg", default=0.0)
    depth: float = fields.number("below the sheet's top", unit="mm", above=0, most=5, default=0.2)

    def __attrs_post_init__(self) -> None:
        if (self.select is None) == (self.text is None):
            found = "nothing" if self.text is None else "select and text"
            raise ValueError(f"select: found {found}, allowed: one of select, text")
        if self.text is None:
            return
        if self.at is None:
            raise ValueError("at: found nothing, allowed: two numbers mm, where the text stands in the drawing")
        plain = self.text
        for one in PLACEHOLDERS:
            plain = plain.replace(one, "")
        if wrong := unknown(plain):
            raise ValueError(f"text: found {wrong!r}, allowed: {ALLOWED}, and {', '.join(PLACEHOLDERS)}")
        if not self.text.strip():
            raise ValueError("text: found nothing to write")

    def on(self, part: str) -> bool:
        """Text needs no outline to stand on."""
        return self.text is not None and self.part in (None, part)

    def ways(self, spot: Spot) -> list[Way]:
        """Each line or stroke once."""
        out = []
        solid = shapely.buffer(shapely.union_all([v.curve.polygon() for v in spot.piece.loops if v.depth == 0]), RIM)
        for curve in self._lines(spot):
            if not shapely.covers(solid, curve.path(0.001)):
                x0, y0, x1, y1 = curve.bounds
                text = f"the mark between ({x0:.3f}, {y0:.3f}) and ({x1:.3f}, {y1:.3f}) reaches beyond the part"
                raise NoRoom(text)
            out.append(Way(curve.at_z(-self.depth)))
        return out

    def _lines(self, spot: Spot) -> list[Curve]:
        if self.text is None or self.at is None:
            return [*(one.curve for one in spot.loops), *spot.lines]
        words = self.text.replace("{part}", spot.piece.part).replace("{copy}", str(spot.piece.copy))
        if wrong := unknown(words):
            raise NoRoom(f"the text {words!r}: found {wrong!r}, allowed: {ALLOWED}")
        strokes = lettered(words, *self.at, self.height, self.turn)
        return [spot.piece.placed(one) for one in strokes]
