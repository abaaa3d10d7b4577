"""What a user asks of a draft, each word checked before the drawing is looked at."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TypeVar

from attrs import frozen

from kerfwright.cutter import Cutter
from kerfwright.errors import Fault, InputError
from kerfwright.jobfile.rules import DEVICES
from kerfwright.jobfile.words import nearest
from kerfwright.machine import Machine
from kerfwright.material import Material
from kerfwright.sheet import HOLDS
from kerfwright.tables import Tables
from kerfwright.units import quantity

__all__ = ["BOARD", "BREAKTHROUGH", "Wish", "safe_name", "wished"]

T = TypeVar("T")

BREAKTHROUGH = 0.4
"""How far a draft cuts into the board (mm; common practice: a few tenths, more than the sheet is uneven)."""
BOARD = 12.0
"""Thickness of the board that a draft assumes (mm), and says so (common practice)."""
MOST_COUNT = 500
"""Copies that a draft lays out."""


@frozen
class Wish:
    """Checked options. `material` and `thickness` None: the job is left to fill in. `said` is the thickness in the user's
    words; `cutter` the one asked for, `cutter_name` its name in the tables, '' where a diameter was given.
    """

    machine: Machine
    material: Material | None = None
    thickness: float | None = None
    said: str = ""
    cutter: Cutter | None = None
    cutter_name: str = ""
    hold: str = "screws"
    count: int = 1

    @property
    def deep(self) -> float | None:
        """How deep a through cut goes (mm)."""
        return None if self.thickness is None else self.thickness + BREAKTHROUGH


def safe_name(stem: str) -> str:
    """A job's name made of a file's.

    >>> safe_name("Front plate (v2)"), safe_name("größe"), safe_name("con")
    ('Front-plate-v2', 'gr-e', 'part-con')
    """
    name = re.sub(r"[^A-Za-z0-9_.]+", "-", stem).strip("-.")[:60].rstrip("-.") or "part"
    return f"part-{name}" if DEVICES.fullmatch(name) else name


def wished(
    tables: Tables,
    *,
    machine: str = "light-router",
    material: str | None = None,
    thickness: str | None = None,
    cutter: str | None = None,
    hold: str = "screws",
    count: int = 1,
) -> Wish:
    """The options as values. Raises InputError with every fault found, each with what is allowed."""
    faults: list[Fault] = []

    def named(key: str, name: str, shelf: Mapping[str, T]) -> T | None:
        if name in shelf:
            return shelf[name]
        faults.append(Fault(key, f"found {name!r}, allowed: {', '.join(sorted(shelf))}{nearest(name, shelf)}"))
        return None

    def mm(key: str, text: str) -> float | None:
        try:
            value, unit = quantity(text)
        except ValueError as e:
            faults.append(Fault(key, str(e)))
            return None
        if unit not in ("", "mm") or not 0 < value <= 50:
            faults.append(Fault(key, f"found {text!r}, allowed: a length above 0 and at most 50 mm"))
            return None
        return value

    router = named("--machine", machine, tables.machines)
    stuff = None if material is None else named("--material", material, tables.materials)
    thick = None if thickness is None else mm("--thickness", thickness)
    mill, mill_name = None, ""
    if cutter is not None and (cutter in tables.cutters or not cutter.strip()[:1].isdigit()):
        mill, mill_name = named("--cutter", cutter, tables.cutters), cutter
        if mill is not None and mill.form != "end_mill":
            faults.append(Fault("--cutter", f"found a {mill.form}, allowed: an end_mill, which can cut outlines"))
    elif cutter is not None:
        wide = mm("--cutter", cutter)
        flutes = "burr" if stuff is not None and stuff.laminate else "up"
        if wide is not None:
            mill = Cutter(form="end_mill", flutes=flutes, diameter=round(wide, 6), teeth=2, flute_length=4 * wide)
    if hold not in HOLDS:
        faults.append(Fault("--hold", f"found {hold!r}, allowed: {', '.join(HOLDS)}"))
    if not 1 <= count <= MOST_COUNT:
        faults.append(Fault("--count", f"found {count}, allowed: 1 to {MOST_COUNT}"))
    if faults or router is None:
        raise InputError(faults)
    said = "" if thickness is None else thickness.strip()
    return Wish(router, stuff, thick, said, mill, mill_name, hold, count)
