"""What the job says, and for the rest the material's row at a pace, held to what machine and cutter can do."""

from __future__ import annotations

import math

from kerfwright.cutter import Cutter
from kerfwright.errors import Fault, InputError
from kerfwright.formulas import cutting_speed
from kerfwright.machine import Machine
from kerfwright.material import Material, RateRow
from kerfwright.operation import PACES, Operation
from kerfwright.rates.chips import faster_feed, slower_spindle
from kerfwright.rates.depths import depth_limits
from kerfwright.rates.values import Rates

__all__ = ["choose"]


def choose(
    operation: Operation,
    material: Material,
    machine: Machine,
    pace: str,
    thickness: float,
    breakthrough: float = 0.0,
    tolerance: float = 0.1,
) -> Rates:
    """What the job says, and for the rest the material's row for the cutter at a pace, held to what the machine can do.

    `thickness` is the thickest place of the sheet and `breakthrough` what a through cut goes below it (mm); they decide
    whether one pass is enough; `tolerance` (mm) how far a side force may move a wall. Raises InputError with one fault for each
    rate that cannot be, its path counted from the operation (`feed`).
    """
    return _Choice(operation, material, machine, operation.pace or pace, thickness, breakthrough, tolerance).rates()


class _Choice:
    """Collects values, the lines that say why, and the faults."""

    def __init__(
        self,
        operation: Operation,
        material: Material,
        machine: Machine,
        pace: str,
        thickness: float,
        breakthrough: float,
        tolerance: float,
    ) -> None:
        self.operation, self.material, self.machine, self.tolerance = operation, material, machine, tolerance
        self.cutter: Cutter = operation.cutter
        self.row: RateRow | None = material.row(self.cutter)
        self.pace, self.share = pace, PACES.index(pace) / (len(PACES) - 1)
        below = breakthrough if operation.pierces else 0.0
        bottom = (operation.depth or thickness + below) - operation.allowance.bottom
        self.cut, self.breakthrough = bottom - operation.start, below
        self.sources: dict[str, str] = {}
        self.faults: list[Fault] = []

    def rates(self) -> Rates:
        self._row_or_all()
        spindle = self._spindle()
        plunge = self._feed("plunge_feed", self.machine.feed.z, "Z", spindle)
        drill = self.cutter.form == "drill"
        if drill and self.operation.feed is None:
            feed, self.sources["feed"] = plunge, "a drill only goes down: its plunge feed"
        else:
            feed = self._feed("feed", self.machine.feed.xy, "X and Y", spindle)
        radial = self._radial_depth()
        spindle = self._slower(spindle, feed, radial)
        axial = self._axial_depth(spindle, feed, radial)
        if self.faults:
            raise InputError(self.faults)
        return self._kept_chip(Rates(spindle, feed, plunge, axial, radial, self.sources))

    def _row_or_all(self) -> None:
        """Without a row the job must say every rate that the operation uses."""
        if self.row is not None:
            return
        need = ["spindle", "plunge_feed"]
        if self.cutter.form != "drill":
            need += ["feed", "axial_depth"] + (["radial_depth"] if self.operation.kind == "pocket" else [])
        missing = [name for name in need if getattr(self.operation, name) is None]
        if missing:
            c, what = self.cutter, self.material.name or "this material"
            kind = (
                f"a {c.form}" if c.form == "drill" else f"{'an' if c.form[0] in 'aeiou' else 'a'} {c.form} ({c.flutes})"
            )
            message = f"found {kind} of {c.diameter:g} mm, for which {what} has no rates, "
            raise InputError([Fault("cutter", message + f"allowed: give {', '.join(missing)} in the operation")])

    def _table(self, name: str) -> float | None:
        """A row's value at the pace."""
        pair = getattr(self.row, name) if self.row is not None else None
        return None if pair is None else pair[0] + (pair[1] - pair[0]) * self.share

    def _why(self, name: str) -> str:
        """Where a row's value comes from, in words."""
        assert self.row is not None
        least, most = self.row.diameter
        kind = self.row.form if self.row.form == "drill" else f"{self.cutter.flutes} {self.row.form}"
        source = self.row.sources.get(name, "the job file")
        return f"{self.material.name or 'this material'}, {kind} {least:g} to {most:g} mm, pace {self.pace} ({source})"

    def _said(self, name: str, least: float, most: float, unit: str, whose: str) -> float | None:
        """A rate the job says, or None; a fault where it is out of range."""
        value: float | None = getattr(self.operation, name)
        if value is None:
            return None
        if not least <= value <= most:
            allowed = f"{least:g} to {most:g}" if least else f"at most {most:g}"
            self.faults.append(Fault(name, f"found {value:g} {unit}, allowed: {allowed} {unit}, {whose}"))
        self.sources[name] = "the job"
        return value

    def _spindle(self) -> float:
        s, name = self.machine.spindle, self.machine.name or "the machine"
        most, whose = s.most, f"what the spindle of {name} turns"
        if self.cutter.most_spindle is not None and self.cutter.most_spindle < most:
            most, whose = self.cutter.most_spindle, f"what the cutter bears and the spindle of {name} turns"
        if most < s.least:
            text = f"found {most:g} rpm, allowed: at least {s.least:g} rpm, the slowest of {name}"
            self.faults.append(Fault("cutter", f"most_spindle: {text}"))
        said = self._said("spindle", s.least, max(most, s.least), "rpm", whose)
        table = self._table("cutting_speed")
        if said is not None or table is None:
            return said or s.least
        assert self.row is not None
        d, why = self.cutter.cuts, self._why("cutting_speed")
        wanted = table / (math.pi * d)
        if wanted >= most:
            fast = f"the spindle of {name} turns" if most == s.most else "the cutter bears"
            self.sources["spindle"] = f"as fast as {fast}; {why} would allow {wanted:.0f} rpm"
            return most
        if wanted < s.least:
            speed, bound = cutting_speed(d, s.least), max(self.row.cutting_speed) / 1000
            if speed > bound:
                text = f"found {speed:.0f} m/min at the slowest {s.least:g} rpm of {name}, allowed: at most {bound:.0f} m/min"
                self.faults.append(Fault("spindle", f"{text} for {why}"))
            self.sources["spindle"] = f"as slowly as the spindle of {name} turns; {why} asks for {wanted:.0f} rpm"
            return s.least
        self.sources["spindle"] = f"cutting speed {table / 1000:g} m/min: {why}"
        return max(s.least, math.floor(wanted / 100) * 100.0)

    def _feed(self, name: str, limit: float, axes: str, spindle: float) -> float:
        machine = self.machine.name or "the machine"
        said = self._said(name, 0.0, limit, "mm/min", f"what {machine} feeds in {axes}")
        table = self._table(name)
        if said is not None or table is None:
            return said or limit
        options = [(table, self._why(name)), *self._reached(name, limit, axes)]
        tooth = self._table("feed_per_tooth")
        if tooth is not None and (name == "feed" or self.cutter.form == "drill"):
            text = f"no more than {tooth:g} mm for each of {self.cutter.teeth} teeth: {self._why('feed_per_tooth')}"
            options.append((tooth * self.cutter.teeth * spindle, text))
        value, self.sources[name] = min(options, key=lambda one: one[0])
        return math.floor(value + 1e-9) if value >= 10 else value

    def _reached(self, name: str, limit: float, axes: str) -> list[tuple[float, str]]:
        """What the machine feeds, and what it reaches on a way as short as the cutter is wide."""
        machine = self.machine.name or "the machine"
        out = [(limit, f"no faster than {machine} feeds in {axes}")]
        if self.machine.acceleration is not None and name == "feed":
            a, d = self.machine.acceleration.xy, self.cutter.cuts
            text = f"no faster than {machine} gets within {d:g} mm, the cutter's diameter: sqrt(2 a D), a {a:g} mm/s2"
            out.append((60 * math.sqrt(2 * a * d), text))
        return out

    def _slower(self, spindle: float, feed: float, radial: float) -> float:
        """Slow enough for the material's least chip."""
        least = None if self.row is None else self.row.least_chip
        if least is None:
            return spindle
        slower = slower_spindle(self.operation, self.cutter, self.machine, spindle, feed, radial, least)
        if slower < spindle:
            text = f"slower than {spindle:.0f} rpm, so that a chip has {least:g} mm: {self._why('least_chip')}"
            self.sources["spindle"] = text
        return slower

    def _kept_chip(self, r: Rates) -> Rates:
        if self.row is None or self.row.least_chip is None:
            return r
        most = [limit for limit, _ in self._reached("feed", self.machine.feed.xy, "X and Y")]
        bold = max(self.row.feed or (0.0,))
        least = self.row.least_chip
        return faster_feed(r, self.operation, self.cutter, least, min([bold, *most]), self._why("least_chip"))

    def _axial_depth(self, spindle: float, feed: float, radial: float) -> float:
        said = self._said("axial_depth", 0.0, self.cutter.flute_length, "mm", "the cutter's flute length")
        if said is not None:
            return said
        if self.cutter.form == "drill":
            self.sources["axial_depth"] = "a drill goes down at once"
            return self.cut
        table = self._table("axial_depth")
        if table is None or self.row is None:
            return self.cutter.flute_length
        whole = self.cut - self.breakthrough <= self.row.one_pass + 1e-9
        value = max(self.cut, table) if whole else table
        self.sources["axial_depth"] = (
            f"one pass up to {self.row.one_pass:g} mm: {self._why('one_pass')}" if whole else self._why("axial_depth")
        )
        o, kc = self.operation, self.material.cutting_force
        limits = depth_limits(o, self.cutter, self.machine, kc, spindle, feed, radial, self.tolerance)
        least, why = min(limits, key=lambda one: one[0])
        if value > least + 1e-9:
            self.sources["axial_depth"] = why
            return least if least == self.cutter.flute_length else max(math.floor(least * 100) / 100, 0.01)
        return value

    def _radial_depth(self) -> float:
        said = self._said("radial_depth", 0.0, 0.9, "of DC", "of the cutter's diameter")
        if said is not None:
            return said
        table = self._table("radial_depth")
        if table is None:
            self.sources["radial_depth"] = "not used: nothing is cut beside a cut"
            return 0.0
        self.sources["radial_depth"] = self._why("radial_depth")
        return table
