"""A result into its folder: every file whole or not at all, `result.json` last, no program of an earlier run left."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from kerfwright.adjusting.form import filled_in
from kerfwright.errors import Fault
from kerfwright.registry import Registry
from kerfwright.result import Result
from kerfwright.resultfile import refused_json, result_json
from kerfwright.resumption import FROM_LINE, remainder_name

__all__ = ["remove_remainder", "save", "save_refused", "write_whole"]

RESULT = "result.json"
PAGES = ("run-sheet.html", "quote.html")
PICTURE = re.compile(r"finding-\d+\.svg")
INSPECTION = re.compile(r"inspection-.+\.html")
FORM = re.compile(r"measured-.+\.yaml")
"""To be filled in by hand: from then on it is the user's, and stays as it is."""


def save(result: Result, out: str | Path, registry: Registry | None = None) -> Path:
    """Writes into `out`/JOBNAME and returns that folder. Programs are written only where every one was proved.

    A remainder has a folder of its own in there, so that nothing of the whole job is replaced by a part of it.
    Raises OSError where a file cannot be written; then no `result.json` is left.
    """
    registry = registry or Registry.load()
    files: dict[str, str] = {}
    for kind in registry.reports.values():
        if result.ok or kind.when_failed:
            files.update(kind().render(result))
    if result.ok:
        files.update({p.file: p.text for p in result.programs})
    folder, name = Path(out) / result.job.name, result.job.name
    if result.resumed is not None:
        name = result.resumed.name
        folder = folder / name
    return _replace(folder, name, files, result_json(result), registry)


def save_refused(job: str, out: str | Path, version: str, faults: Iterable[Fault], registry: Registry) -> None:
    """A job whose input is wrong: its earlier programs go, and `result.json` says why. Only where its folder exists."""
    folder = Path(out) / job
    if folder.is_dir():
        _replace(folder, job, {}, refused_json(job, version, faults), registry)


def remove_remainder(job: str, out: str | Path, program: str, line: int, registry: Registry) -> None:
    """A remainder that was refused: what an earlier call released for the same line goes."""
    name = remainder_name(program, line)
    for old in _earlier(Path(out) / job / name, name, registry):
        old.unlink(missing_ok=True)


def _replace(folder: Path, job: str, files: Mapping[str, str], result: str, registry: Registry) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / RESULT).unlink(missing_ok=True)
    for old in _earlier(folder, job, registry):
        old.unlink(missing_ok=True)
    for name, text in files.items():
        if not _filled_in(folder / name):
            write_whole(folder / name, text)
    write_whole(folder / RESULT, result)
    return folder


def _earlier(folder: Path, job: str, registry: Registry) -> list[Path]:
    """What earlier runs of this job released: by its name and the endings of programs, its pages and blank forms; and remainders
    of programs that are no more.
    """
    endings = {d.suffix for d in registry.dialects.values()}
    found: list[tuple[Path, tuple[str, ...]]] = [(p, (f"{job}-", f"{job}.")) for p in folder.glob("*")]
    found += [(p, (p.parent.name,)) for p in folder.glob(f"*{FROM_LINE}*/*")]
    return sorted(
        p
        for p, begins in found
        if p.is_file()
        and (
            p.name in PAGES
            or PICTURE.fullmatch(p.name)
            or INSPECTION.fullmatch(p.name)
            or (FORM.fullmatch(p.name) and not _filled_in(p))
            or (p.suffix in endings and p.name.startswith(begins))
        )
    )


def _filled_in(path: Path) -> bool:
    """It is a form with measured sizes in it, or one that cannot be read: neither is replaced."""
    if not FORM.fullmatch(path.name) or not path.exists():
        return False
    try:
        return filled_in(path.read_text(encoding="utf-8"))
    except UnicodeDecodeError:
        return True


def write_whole(path: Path, text: str) -> None:
    """Written beside and moved into place, so a reader sees the old file or the new one. Faults name `path`."""
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".kerfwright-")
    except OSError as e:
        raise OSError(e.errno, e.strerror, str(path)) from e
    try:
        with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace", newline="\n") as f:
            f.write(text)
        os.chmod(name, 0o644)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
