"""What a test piece is asked for: material, thickness, cutter, machine, board, hold and offcut."""

from __future__ import annotations

from attrs import frozen

from kerfwright.cutter import Cutter
from kerfwright.errors import Fault, InputError
from kerfwright.machine import Machine
from kerfwright.material import Material, RateRow
from kerfwright.sheet import HOLDS

__all__ = ["BREAKTHROUGH", "Asked"]

BREAKTHROUGH = 0.3
"""How far a through cut of a test piece goes into the board (mm): the job file's own default."""
MARGIN = 8.0
BESIDE_SCREWS = 20.0
"""Left free along the sheet's edges (mm): for a hand that finds zero there; for screws or a frame (from memory)."""


@frozen
class Asked:
    """`material`, `cutter` and `machine` stand in the tables by the names `named`, in this order; a cutter that was given by its
    diameter has none (''). Lengths in mm. `board` None: nobody said that there is one. `size` None: as large as it takes.

    Raises InputError with what no test piece can be made of.
    """

    named: tuple[str, str, str]
    material: Material
    cutter: Cutter
    machine: Machine
    thickness: float
    board: float | None = None
    hold: str = "tape"
    size: tuple[float, float] | None = None

    def __attrs_post_init__(self) -> None:
        c, faults = self.cutter, []
        if c.form != "end_mill":
            faults.append(Fault("--cutter", f"found a {c.form}, allowed: an end mill"))
        elif self.material.row(c) is None:
            rows = ", ".join(f"{one} {a:g} to {b:g}" for one, a, b in self._rows())
            text = f"found {c.flutes} of {c.diameter:g} mm, for which {self.named[0]} has no rates, allowed: {rows or 'none'}"
            faults.append(Fault("--cutter", text))
        deep, reach = self.deepest, c.reach or c.flute_length
        if deep > reach + 1e-9:
            into = f", and a cut goes {BREAKTHROUGH:g} mm into the board" if self.board else ""
            most = reach - (deep - self.thickness)
            text = f"found {self.thickness:g} mm{into}, allowed: at most {most:g} mm with a cutter that reaches {reach:g} mm"
            faults.append(Fault("--thickness", text))
        if self.hold not in HOLDS:
            faults.append(Fault("--hold", f"found {self.hold!r}, allowed: {', '.join(HOLDS)}"))
        if faults:
            raise InputError(faults)

    def _rows(self) -> list[tuple[str, float, float]]:
        return [
            (flutes, *row.diameter) for row in self.material.rows if row.form == "end_mill" for flutes in row.flutes
        ]

    @property
    def row(self) -> RateRow:
        """The rates that hold for the cutter."""
        row = self.material.row(self.cutter)
        assert row is not None
        return row

    @property
    def deepest(self) -> float:
        """How deep a through cut is; without a board, as deep as the sheet is thick."""
        return self.thickness + (BREAKTHROUGH if self.board else 0.0)

    @property
    def linked(self) -> bool:
        """Only bridges hold what is cut out."""
        return self.hold in ("screws", "frame")

    @property
    def margin(self) -> float:
        """Left free along the sheet's edges (mm)."""
        return BESIDE_SCREWS if self.linked else MARGIN

    def sheet_size(self, need: tuple[float, float]) -> tuple[float, float]:
        """The offcut, or what is needed where none was given."""
        return self.size or need
