"""A job file for a drawing: what its lines most likely mean, said so that the user can check and correct it."""

from __future__ import annotations

import os
import re
from pathlib import Path

from attrs import define

from kerfwright.cautions import cautions
from kerfwright.drafting.cutters import Tooling, tooled
from kerfwright.drafting.layout import laid_out
from kerfwright.drafting.oddities import limit_words, odd
from kerfwright.drafting.opening import opened_drawing
from kerfwright.drafting.radii import Radius, smallest
from kerfwright.drafting.sorting import Sorted, sort
from kerfwright.drafting.steps import Steps, stepped
from kerfwright.drafting.text import FILL_IN, Sheetwords, job_text, stand_in, words_of
from kerfwright.drafting.wish import Wish, safe_name, wished
from kerfwright.drafting.wording import num, place_of
from kerfwright.errors import Fault, InputError
from kerfwright.job import Job
from kerfwright.jobfile import load_job
from kerfwright.placing import place
from kerfwright.placing.choosing import chosen, outlines
from kerfwright.registry import Registry
from kerfwright.tables import Tables, load_tables

__all__ = ["Draft", "Wish", "draft", "wished"]

CHECK = (
    "A draft is a guess from lines: check every line of it before you cut.\n"
    "The program is proved against this file, not against what you meant."
)


NAME = re.compile(r"[A-Za-z0-9_-][A-Za-z0-9_.-]{0,63}")


@define(frozen=True, eq=False)
class Draft:
    """The job file's text, where it belongs, and what to tell. `to_do`: what keeps `make` from it as it stands."""

    name: str
    file: Path
    text: str
    size: tuple[float, float]
    found: Sorted
    tooling: Tooling
    steps: Steps
    radius: Radius | None
    largest: str
    odd: tuple[str, ...]
    to_do: tuple[str, ...]
    cautions: tuple[str, ...]


def draft(
    drawing: Path, wish: Wish, *, name: str | None = None, out: Path | None = None, registry: Registry | None = None,
    tables: Tables | None = None,
) -> Draft:  # fmt: skip
    """Read a drawing and write the text of a job for it; touches no file but reads the drawing.

    `out` is where the file will lie, default NAME.yaml beside the drawing. Raises InputError with every fault of the drawing,
    and where a job could not name it from there.
    """
    registry = registry or Registry.load()
    tables = tables or load_tables(registry)
    found = sort(opened_drawing(drawing, registry))
    name = safe_name(drawing.stem) if name is None else name
    file = drawing.parent / f"{name}.yaml" if out is None else out
    if not NAME.fullmatch(name):
        allowed = "letters a to z, digits, - _ and ., at most 64"
        raise InputError([Fault("--name", f"found {name!r}, allowed: {allowed}")])
    inside = _inside(drawing, file)
    radius = smallest(found)
    tooling = tooled(found, wish, tables.cutters, radius)
    steps = stepped(found, tooling, wish, registry)
    x0, y0, x1, y1 = found.drawing.bounds
    told = odd(found, tooling, radius) + list(steps.words)
    reaches = f"{num(tooling.largest)} mm" if tooling.limit or tooling.hole else f"{num(tooling.largest)} mm or more"
    largest = f"The largest cutter that reaches every corner and gap: {reaches}; {limit_words(tooling, radius)}."
    layout = laid_out(wish, x1 - x0, y1 - y0, tooling.mill.cutter.cuts)
    head = [f"Drafted from {drawing.name}: {num(x1 - x0)} x {num(y1 - y0)} mm, {_counts(found)}.", *CHECK.split("\n")]
    sheet = words_of(wish)

    def said(words: Sheetwords) -> str:
        return job_text(name, inside, head, told, largest, wish, words, tooling, steps, layout)

    trial = stand_in(sheet, sorted(tables.materials)[0] if tables.materials else FILL_IN)
    job = load_job(file, registry, text=said(trial), name=str(file))
    told += _lost(job, found)
    to_do = [f"say {key}: it stands as {FILL_IN}" for key, value in (("the material", sheet.material), ("the thickness", sheet.thickness)) if value == FILL_IN]  # fmt: skip
    if not to_do:
        try:
            place(job, registry)
        except InputError as e:
            to_do = [str(f) for f in e.faults]
    to_do += steps.to_do
    care = cautions(job) if wish.material is not None else ()
    return Draft(
        name,
        file,
        said(sheet),
        (x1 - x0, y1 - y0),
        found,
        tooling,
        steps,
        radius,
        largest,
        tuple(told),
        tuple(to_do),
        (CHECK.replace("\n", " "), *care),
    )


def _inside(drawing: Path, file: Path) -> str:
    """The drawing's path as the job says it."""
    try:
        relative = os.path.relpath(drawing.resolve(), file.parent.resolve())
    except ValueError:  # another disk
        relative = ".."
    if relative.startswith(".."):
        raise InputError(
            [Fault("--out", f"found {str(file)!r}, allowed: a file in the drawing's folder or in one above it: a job reads only from its own folder tree")]
        )  # fmt: skip
    return Path(relative).as_posix()


def _lost(job: Job, found: Sorted) -> list[str]:
    """Words for outlines that `ignore` lifts although a draft means to cut them: boxes around others hold them too."""
    if job.ignore is None:
        return []
    gone = {o.index for o in chosen(job.ignore, outlines(job))} & {*found.openings, *found.outlines}
    return [
        f"`ignore` lifts the outline with its {place_of(found.drawing.loops[k])} too: NOT CUT unless an operation names it"
        for k in sorted(gone)
    ]


def _counts(found: Sorted) -> str:
    """Pieces, holes and openings in words."""
    n = sum(len(h.loops) for h in found.small)
    parts = [(len(found.outlines), "piece"), (n, "hole"), (len(found.openings), "opening")]
    text = ", ".join(f"{k} {noun}{'' if k == 1 else 's'}" for k, noun in parts if k)
    return text + (f", {len(found.doubtful)} in doubt" if found.doubtful else "")
