"""kerfwright: toolpaths for flat parts, proved on the program's own text. The public face; everything loads on first use."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kerfwright.batch import make_many as make_many
    from kerfwright.curve import Curve as Curve
    from kerfwright.cutter import Cutter as Cutter
    from kerfwright.drawing import Drawing as Drawing
    from kerfwright.drawing import Loop as Loop
    from kerfwright.errors import InputError as InputError
    from kerfwright.errors import KerfwrightError as KerfwrightError
    from kerfwright.finding import Finding as Finding
    from kerfwright.job import Job as Job
    from kerfwright.job import Part as Part
    from kerfwright.job import Planes as Planes
    from kerfwright.jobfile import load_job as load_job
    from kerfwright.ledger import Ledger as Ledger
    from kerfwright.ledger import booked as booked
    from kerfwright.ledger import read_ledger as read_ledger
    from kerfwright.machine import Machine as Machine
    from kerfwright.making import make as make
    from kerfwright.material import Material as Material
    from kerfwright.moves import Moves as Moves
    from kerfwright.operation import Drill as Drill
    from kerfwright.operation import Pocket as Pocket
    from kerfwright.operation import Profile as Profile
    from kerfwright.planning import plan as plan
    from kerfwright.pricing.quote import Quote as Quote
    from kerfwright.program import Program as Program
    from kerfwright.registry import Registry as Registry
    from kerfwright.result import Result as Result
    from kerfwright.resuming import resume as resume
    from kerfwright.sheet import Sheet as Sheet
    from kerfwright.text import read as read
    from kerfwright.text import write as write

_HOME = {
    "Curve": "curve", "Cutter": "cutter", "Drawing": "drawing", "Drill": "operation", "Finding": "finding",
    "InputError": "errors", "Job": "job", "KerfwrightError": "errors", "Loop": "drawing", "Machine": "machine",
    "Material": "material", "Moves": "moves", "Part": "job", "Planes": "job", "Pocket": "operation",
    "Profile": "operation", "Program": "program", "Quote": "pricing.quote", "Registry": "registry", "Result": "result", "Sheet": "sheet",
    "Ledger": "ledger", "booked": "ledger", "read_ledger": "ledger", "load_job": "jobfile", "make": "making", "make_many": "batch", "plan": "planning", "read": "text",
    "resume": "resuming", "write": "text",
}  # fmt: skip

__version__ = "0.1.0"
__all__ = ["__version__", *sorted(_HOME)]  # noqa: PLE0604


def __getattr__(name: str) -> Any:
    if name in _HOME:
        import importlib

        value = getattr(importlib.import_module(f"kerfwright.{_HOME[name]}"), name)
        globals()[name] = value
        return value
    raise AttributeError(f"module 'kerfwright' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
