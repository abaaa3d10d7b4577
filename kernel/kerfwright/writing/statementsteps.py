"""Steps of a program as statements of cutter location data, all but its moves."""

from __future__ import annotations

from attrs import define

from kerfwright.arrays import Ints
from kerfwright.cutter import Cutter
from kerfwright.dialect import Said
from kerfwright.writing.operatorsteps import OperatorSteps
from kerfwright.writing.remark import remarks
from kerfwright.writing.wordtext import fixed

__all__ = ["StatementSteps"]


@define(frozen=True, kw_only=True)
class StatementSteps(OperatorSteps):
    """A statement a line."""

    numbered = "cutter "

    def opening(self, said: Said) -> str:
        """What the text is, then its units."""
        p = said.program
        return self._said("PARTNO", f"{p.name}: {p.kind}, sheet {p.sheet}")[0] + self._units()

    def closing(self, said: Said) -> str:
        """End of the work, end of the text."""
        return "END\nFINI\n"

    def finished(self, text: str) -> str:
        """Line ends."""
        return text.replace("\n", "\r\n") if self.ending == "crlf" else text

    def comment(self, text: str) -> str:
        """In as many lines as it takes."""
        return "".join(self._said("PPRINT", text))

    def stop(self, message: str, said: Said) -> str:
        """The message, then a stop; units are stated again."""
        said.forget()
        return (self.comment(message) or self.comment("stop")) + "STOP\n" + self._units()

    def delay(self, seconds: float, said: Said) -> str:
        """In seconds."""
        return f"DELAY/{self.time(seconds)}\n"

    def turning(self, speed: str) -> str:
        """Clockwise."""
        return f"SPINDL/{speed},CLW\n"

    def standing(self) -> str:
        """Off."""
        return "SPINDL/OFF\n"

    def loading(self, cutter: Cutter) -> str:
        """Its number and diameter."""
        return f"LOADTL/{cutter.number}\nCUTTER/{fixed(round(cutter.cuts / self.digit), self.places)}\n"

    def fetching(self, cutter: Cutter) -> str:
        """The same statement: the machine decides who changes it."""
        return self.loading(cutter)

    def cleared(self, start: Ints) -> str:
        """To a place from an unknown one: Z to its height, then X and Y."""
        x, y, z = (fixed(int(v), self.places) for v in start)
        return f"CLEARP/XYPLAN,{z}\nRETRCT\nRAPID\nGOTO/{x},{y},{z}\n"

    def _units(self) -> str:
        return f"UNITS/{'INCHES' if self.units == 'inch' else 'MM'}\n"

    def _said(self, word: str, text: str) -> list[str]:
        """The lines of a text, each behind the word that carries it; none where no character of it can be said."""
        return [f"{word} {line}\n" for line in remarks(text, self.block_length - len(word) - 1)]
