"""JSON Schema (draft 2020-12) of the job file with all that is installed, for editors.

What a schema cannot say, and only the loader tells:

- bounds of a number that carries its unit as text (`0 mm`, `99 deg`), but for its sign; and `-0`, which the loader takes;
- in a job in inch, upper bounds of plain lengths, feeds and accelerations (they are those in mm), and lower ones (eased by 25.4);
- what one YAML reader takes for a number, a truth or a date and this one does not: 0x10, 1_000, 12:30, yes; an unquoted number
  that is a text in another place (a cutter named "2" has quotes wherever it is named); `.nan`, and keys given twice;
- numbers in rising order: least and most, the corners of `within`, thickness; approach and travel plane;
- what follows from another key: a cutter's form for an operation, `from` above `depth`, a depth, skin or bridge within the sheet,
  breakthrough within the board, the travel plane over keepouts, turns that the grain allows, tip diameters and points of chamfer mills
  and end mills, a layer said twice, and what contradicts itself in a dialect's variations, or with an operation's or a
  strategy's own rules (one of size and diameter);
- names: that a cutter or part is one of the job's, each name and T number used once; names that devices have; whether files are there
  and what stands in them; what a drawing holds, and whether a selection matches anything in it;
- shapes that cannot be: radii too large, outlines that cross themselves, grammar of `path` and `wkt`.
"""

from __future__ import annotations

from kerfwright.job import Job
from kerfwright.jobfile.customs import CUSTOMS
from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.rules import NAME
from kerfwright.jobfile.schemas import Schemas
from kerfwright.registry import Registry

__all__ = ["DRAFT", "job_schema"]

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def job_schema(registry: Registry | None = None) -> Fragment:
    """The schema, for JSON. Raises InputError where a table is at fault."""
    schemas = Schemas(registry or Registry.load(), CUSTOMS)
    root = schemas.mapping(Job)
    root["properties"]["job"]["pattern"] = f"^{NAME}$"
    parts = root["properties"]["parts"]
    parts.pop("default", None)
    parts["minItems"] = 1
    root["required"].append("parts")
    return {
        "$schema": DRAFT,
        "title": "kerfwright job",
        "description": "One job: what is cut from what, on which machine, in which order.",
        **root,
        "$defs": dict(sorted(schemas.defs.items())),
    }
