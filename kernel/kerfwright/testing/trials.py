"""The whole way with chosen strategies: a specimen becomes a job, the job is made, and what came of it is told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import attrs
from attrs import frozen

from kerfwright.cutter import Cutter
from kerfwright.errors import BrokenPromise, InputError
from kerfwright.fields import spec
from kerfwright.job import Job, Part
from kerfwright.machine import Axes, Machine, Spindle
from kerfwright.making import make
from kerfwright.material import Material
from kerfwright.operation import OUTER, Drill, Operation, Pocket, Profile
from kerfwright.packing import Packing
from kerfwright.registry import Registry
from kerfwright.result import Result
from kerfwright.selection import Choice, Selection
from kerfwright.sheet import Sheet, Thickness
from kerfwright.strategy import Cycle, Strategy
from kerfwright.testing.specimens import CUTTER, HOLES, Specimen

__all__ = ["CLOSE", "TRIED", "Outcome", "job_of", "kinds_of", "tried"]

CLOSE = 0.005
"""Gouge and leftover that still count as clean, mm."""
TRIED: Mapping[str, type[Operation]] = {"profile": Profile, "pocket": Pocket, "drill": Drill}
"""Operations that a strategy is tried in."""

MILL = Cutter(name="mill", number=1, form="end_mill", diameter=CUTTER, teeth=2, flute_length=8.0)
DRILL = Cutter(name="drill", number=2, form="drill", diameter=HOLES, flute_length=8.0, point_angle=118.0)
FINE = Cutter(name="fine", number=3, form="end_mill", diameter=HOLES - 0.3, teeth=2, flute_length=8.0)
"""For cycles that go around in a hole wider than the cutter."""
ROUTER = Machine(
    name="trial",
    travel=(400.0, 300.0, 60.0),
    home=True,
    rapids="coordinated",
    spindle=Spindle(least=8000, most=24000),
    feed=Axes(xy=2000, z=800),
    rapid=Axes(xy=3000, z=1200),
)
SHEET = Sheet(
    material=Material(name="trial"),
    size=(300.0, 200.0),
    thickness=Thickness(nominal=1.5),
    breakthrough=0.3,
    board=12.0,
    hold="tape",
)
RATES: dict[str, Any] = {"spindle": 18000.0, "plunge_feed": 100.0}
MILLING: dict[str, Any] = {**RATES, "cutter": MILL, "feed": 500.0, "axial_depth": 1.0, "radial_depth": 0.4}
EVERY = Selection((Choice(),), "all")
DRILLED = Selection((Choice(circles=(HOLES - 0.01, HOLES + 0.01)),), "the drilled holes")
RECESS = 0.9
"""Depth of a specimen's pocket, mm."""


@frozen
class Outcome:
    """`verdict`: clean, refused (with the reason) or broken (with what is wrong). Distances in mm."""

    verdict: str
    reason: str = ""
    gouge: float = 0.0
    leftover: float = 0.0


def kinds_of(operation: type[Operation]) -> dict[str, str]:
    """The strategy kinds that an operation asks for, and the field of each."""
    found = {a.name: spec(a) for a in attrs.fields(operation)}
    return {str(what.of): name for name, what in found.items() if what is not None and what.kind == "strategy"}


def job_of(specimen: Specimen, operation: str, strategies: Sequence[Strategy], cutmode: str = "climb") -> Job:
    """One part on a taped sheet, worked on by one kind of operation that uses the strategies; the rest is left to defaults.

    profile: every outline, through · pocket: a recess, through where there are bridges · drill: holes, then the outline.
    """
    fields = kinds_of(TRIED[operation])
    said: dict[str, Any] = {fields[s.kind]: s for s in strategies if s.kind in fields}
    layout: Any = next((s for s in strategies if s.kind == "layout"), None)
    drawing, ignore, operations = specimen.drawing, None, list[Operation]()
    if operation == "profile":
        said |= {**MILLING, "cutmode": cutmode}
        operations = [Profile(**said, select=EVERY)]
    elif operation == "pocket":
        depth = None if "bridges" in said else RECESS
        operations = [Pocket(**MILLING, **said, cutmode=cutmode, select=specimen.recess, depth=depth)]
        ignore = OUTER if specimen.recess.choices[0].nesting == "inner" else None  # what no pocket takes
    else:
        drawing = specimen.drilled
        wide = any(isinstance(s, Cycle) and s.wide for s in strategies)
        drill = Drill(**{**(MILLING if wide else RATES), **said, "cutter": FINE if wide else DRILL, "select": DRILLED})
        operations = [drill, Profile(**MILLING, select=OUTER)]
    at = ((0.0, 0.0),) if isinstance(layout, Packing) else ((20.0, 20.0),)
    part = Part(name=specimen.name, drawing=drawing, at=at, layout=layout)
    return Job(
        name="trial",
        machine=ROUTER,
        sheet=SHEET,
        cutters={"mill": MILL, "drill": DRILL, "fine": FINE},
        parts=(part,),
        operations=tuple(operations),
        ignore=ignore,
    )


def tried(job: Job, registry: Registry) -> Outcome:
    """Make it. A refusal is an answer; a broken promise, an error found or any other exception is not."""
    try:
        result = make(job, registry)
    except InputError as e:
        return Outcome("refused", "; ".join(f.message for f in e.faults))
    except BrokenPromise as e:
        return Outcome("broken", str(e))
    except Exception as e:  # a stranger's code may raise anything; that is what is looked for
        return Outcome("broken", f"{type(e).__name__}: {e}")
    return judged(result)


def judged(result: Result) -> Outcome:
    """Clean where all is proved, and nothing is cut into or left by more than 0.005 mm."""
    gouge = max((p.worst_gouge_mm for p in result.parts), default=0.0)
    left = max((p.worst_leftover_mm for p in result.parts), default=0.0)
    errors = [f"{f.check}: {f.message}" for f in result.findings if f.severity == "error"]
    if gouge > CLOSE:
        errors.append(f"cut into by {gouge:.4f} mm")
    if left > CLOSE:
        errors.append(f"{left:.4f} mm left")
    if not any(p.kind == "program" for p in result.programs):
        errors.append("no program was written")
    return Outcome("broken" if errors else "clean", "; ".join(errors), gouge, left)
