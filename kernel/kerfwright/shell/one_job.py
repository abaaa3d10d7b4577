"""One job from its file to its folder, and what is told of it: for `make`, and for `batch` in a process of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

import attrs
import click
from attrs import Factory, frozen

from kerfwright import __version__
from kerfwright.errors import Fault, InputError
from kerfwright.jobfile import load_job
from kerfwright.registry import Registry
from kerfwright.result import Result
from kerfwright.resultfile import refused_json, result_json
from kerfwright.saving import save, save_refused
from kerfwright.shell.books import Books, lives
from kerfwright.shell.common import as_line, finding_line, job_name

__all__ = ["Told", "one_job", "tell"]


@frozen
class Told:
    """`code` is the exit code of this job; `out` and `err` go to standard output and error, `json` instead of `out` where
    asked. `files` are what the job named, with their SHA-256; none where it was refused.
    """

    code: int
    name: str
    out: str = ""
    err: tuple[str, ...] = ()
    json: str = ""
    files: Mapping[str, str] = Factory(dict)


def one_job(
    source: str, text: str, out: Path, instead: Mapping[str, str | None], registry: Registry, books: Books,
    taken: Mapping[str, str],
) -> Told:  # fmt: skip
    """Made, proved and saved. `instead`: dialect and pace in place of the job's. `taken`: names of other jobs of this call,
    with their sources. Raises what is a bug, once nothing of an earlier run is left that could pass for proved.
    """
    name = job_name(text)
    try:
        job = load_job(source, registry, text=text) if source == "-" else load_job(source, registry)
        name = job.name
        if name in taken:
            same = [Fault("job", f"found {name!r}, the name of {taken[name]} too; each job needs its own", source)]
            return Told(2, "", err=_errors(same), json=as_line(refused_json(name, __version__, same)))
        job = attrs.evolve(job, dialect=instead["dialect"] or job.dialect, pace=instead["pace"] or job.pace)
        result = books.made(job, registry)
    except InputError as e:
        if name and name not in taken:
            save_refused(name, out, __version__, e.faults, registry)
        refused = as_line(refused_json(name, __version__, e.faults))
        return Told(2, name, err=_errors(e.faults), json=refused)
    except Exception as e:
        if name and name not in taken:
            save_refused(name, out, __version__, [Fault("", f"internal fault: {type(e).__name__}")], registry)
        raise
    try:
        folder = save(result, out, registry)
    except OSError as e:
        return Told(2, name, err=(f"error: {e.filename or out}: cannot be written: {e.strerror}",))
    try:
        kept = books.keep(result)
    except OSError as e:  # what is not booked is not released
        faults = [Fault("", f"cannot be written: {e.strerror}", str(e.filename or books.file))]
        save_refused(name, out, __version__, faults, registry)
        return Told(2, name, err=_errors(faults), json=as_line(refused_json(name, __version__, faults)))
    told = "\n".join([_summary(result, folder), *kept])
    findings = tuple(finding_line(f) for f in result.findings)
    return Told(0 if result.ok else 1, name, told, findings, as_line(result_json(result)), job.origin.files)


def tell(told: Told, as_json: bool) -> None:
    """On standard output and error."""
    for line in told.err:
        click.echo(line, err=True)
    if text := told.json if as_json else told.out:
        click.echo(text)


def _errors(faults: Iterable[Fault]) -> tuple[str, ...]:
    return tuple(f"error: {f}" for f in faults)


def _summary(result: Result, folder: Path) -> str:
    errors = sum(f.severity == "error" for f in result.findings)
    if not result.ok:
        return f"{result.job.name}: NOT RELEASED, {errors} error(s); no program written. See {folder / 'picture.svg'} and {folder / 'result.json'}"
    rows = [f"{result.job.name}: proved, in {folder}"]
    for p in result.programs:
        minutes, seconds = divmod(round(p.time_s), 60)
        about = "at least " if p.time_kind == "least" else ""
        rows.append(
            f"  {p.file:<40} {p.lines:>6} lines  {p.cut_length_mm / 1000:7.2f} m cut  {about}{minutes}:{seconds:02d} min"
        )
    rows += lives(result)
    rows.append(f"  {'run-sheet.html':<40} read it at the machine before you start")
    rows += [f"  {p.name:<40} what to measure on the first piece" for p in sorted(folder.glob("inspection-*.html"))]
    if result.cost is not None:
        rows.append(f"  {'quote.html':<40} {result.cost}")
    return "\n".join(rows)
