"""Rates line by line: each number with its formula, its inputs, the limit that decided, and where it comes from."""

from __future__ import annotations

from collections.abc import Iterator

from attrs import frozen

from kerfwright.cutter import Cutter
from kerfwright.forces import CORE, MODULUS, RADIAL, load
from kerfwright.formulas import chip_thickness, cutting_speed, feed_per_tooth
from kerfwright.machine import Machine
from kerfwright.material import Material
from kerfwright.rates import Rates

__all__ = ["FOR_PLANS", "Figure", "figures"]

FOR_PLANS = "For plans, not for safety: the maker's data and local rules stand above these numbers. First cuts: listen and look."


@frozen
class Figure:
    """`why`: formula with its inputs, or the limit and the source that decided."""

    name: str
    value: float
    unit: str
    why: str

    @property
    def shown(self) -> str:
        """Four digits, or all before the point."""
        return f"{self.value:.4g}" if abs(self.value) < 1000 else f"{self.value:.0f}"

    def __str__(self) -> str:
        return f"{self.name:<22}{self.shown:>10} {self.unit:<8} {self.why}"


def figures(rates: Rates, cutter: Cutter, material: Material, machine: Machine) -> Iterator[Figure]:
    """Of a cut at its full width, as a profile has it."""
    r, d = rates, cutter.cuts
    speed = cutting_speed(d, r.spindle)
    yield Figure("spindle", r.spindle, "rpm", r.sources["spindle"])
    yield Figure("cutting speed", speed, "m/min", f"pi D n / 1000: D {d:g} mm, n {r.spindle:g} rpm")
    if cutter.form != "drill":
        yield Figure("feed", r.feed, "mm/min", r.sources["feed"])
        yield from _chip(r, cutter)
    yield Figure("plunge feed", r.plunge_feed, "mm/min", r.sources["plunge_feed"])
    if cutter.form == "drill":
        turn = r.plunge_feed / r.spindle
        yield Figure("feed a turn", turn, "mm", f"vf / n: {r.plunge_feed:g} mm/min, {r.spindle:g} rpm")
        return
    yield Figure("axial depth", r.axial_depth, "mm", r.sources["axial_depth"])
    yield Figure("radial depth", r.radial_depth, "of DC", r.sources["radial_depth"])
    if material.cutting_force is not None and cutter.form == "end_mill":  # a cone's section is another
        yield from _forces(material.cutting_force, r, cutter, material, machine)


def _chip(r: Rates, cutter: Cutter) -> Iterator[Figure]:
    if cutter.flutes == "burr":
        why = f"vf / n: {r.feed:g} mm/min, {r.spindle:g} rpm; a burr's teeth cannot be counted"
        yield Figure("feed a turn", r.feed / r.spindle, "mm", why)
        return
    tooth = feed_per_tooth(r.feed, r.spindle, cutter.teeth)
    yield Figure("feed a tooth", tooth, "mm", f"vf / (n z): {r.feed:g} mm/min, {r.spindle:g} rpm, {cutter.teeth} teeth")
    a = r.radial_depth
    if 0 < a < 0.5:
        why = f"2 fz sqrt(a - a2): beside a cut, radial depth {a:g} of DC; at full width it is fz"
        yield Figure("chip, greatest", chip_thickness(tooth, a), "mm", why)


def _forces(kc: float, r: Rates, cutter: Cutter, material: Material, machine: Machine) -> Iterator[Figure]:
    one = load(kc, cutter, machine, r.spindle, r.feed, r.axial_depth, cutter.cuts)
    source = material.sources.get("cutting_force", "the job file")
    have = machine.spindle.power
    limit = "" if have is None else f"; the spindle has {have:g} W" + (": too weak" if one.power > have else "")
    cut = f"kc {kc:g} N/mm2 ({source}), ae {cutter.cuts:g} mm, ap {r.axial_depth:g} mm, vf {r.feed:g} mm/min"
    yield Figure("power", one.power, "W", f"kc ae ap vf / 60,000: {cut}{limit}")
    yield Figure("force", one.force, "N", "60 P / vc, mean, along the edge's way")
    yield Figure("side force", one.side, "N", f"with {RADIAL:g} of it square to that (from memory)")
    core, free = max(cutter.flute_length, cutter.reach or 0.0), cutter.holder.above if cutter.holder else 0.0
    length = f"L {core:g} mm" + (f", its shank from there to {free:g} mm" if free > core else "")
    why = f"F L3 / 3 E I: core {CORE:g} of DC (common practice), E {MODULUS / 1000:g} GPa (from memory), {length}"
    yield Figure("cutter bends", one.cutter, "mm", why)
    if one.machine is not None:
        yield Figure("machine bends", one.machine, "mm", f"F / k: k {machine.stiffness:g} N/mm")
