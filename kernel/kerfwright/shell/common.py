"""What the commands share: options, the registry, how findings and faults are told."""

from __future__ import annotations

import json
import re
import sys
import tempfile
import traceback
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

import click

from kerfwright.errors import BrokenPromise, Fault, InputError, PluginError
from kerfwright.finding import Finding
from kerfwright.registry import Registry

__all__ = [
    "as_line",
    "fault_text",
    "finding_line",
    "internal_fault",
    "job_name",
    "options",
    "program_text",
    "registry_with",
    "tell_faults",
    "tell_finding",
]

SAFE = "[A-Za-z0-9][A-Za-z0-9._-]{0,99}"
"""A job's name that may name a folder."""

F = TypeVar("F", bound=Callable[..., Any])


def options(function: F) -> F:
    """`--plugin` and `--json`, which every command takes."""
    plugin = click.option(
        "--plugin", "plugins", multiple=True, metavar="FILE_OR_MODULE", help="Add a plugin for this run; repeatable."
    )
    machine = click.option("--json", "as_json", is_flag=True, help="Machine-readable output, one line a job.")
    return plugin(machine(function))


def registry_with(plugins: Iterable[str]) -> Registry:
    """What is installed and the plugins named; problems of installed ones are told on standard error."""
    try:
        registry = Registry.load(tuple(plugins))
    except PluginError as e:
        raise click.ClickException(str(e)) from e
    for problem in registry.problems:
        click.echo(f"warning: {problem}", err=True)
    return registry


def tell_faults(faults: Iterable[Fault]) -> None:
    """Each on a line of its own, on standard error."""
    for fault in faults:
        click.echo(f"error: {fault}", err=True)


def tell_finding(f: Finding) -> None:
    """On standard error."""
    click.echo(finding_line(f), err=True)


def finding_line(f: Finding) -> str:
    """`file:line: severity check: message (at X Y Z)`."""
    place = ":".join(str(v) for v in (f.program, f.line) if v)
    at = "" if f.at is None else " (at " + " ".join(f"{a}{v:.3f}" for a, v in zip("XYZ", f.at, strict=False)) + ")"
    return ": ".join(v for v in (place, f"{f.severity} {f.check}", f.message + at) if v)


def as_line(text: str) -> str:
    """JSON text on one line."""
    return json.dumps(json.loads(text), ensure_ascii=False, separators=(",", ":"))


def job_name(text: str) -> str:
    """The name that a job's file gives, also where the rest of it is wrong; '' where it gives none that is safe."""
    found = re.search(rf"^job:[ \t]*['\"]?({SAFE})['\"]?[ \t]*(?:#.*)?$", text, re.MULTILINE)
    return found[1] if found else _name_in_other_words(text)


def _name_in_other_words(text: str) -> str:
    """YAML has more ways to say it: `{job: name, ...}`, `"job" : name`."""
    if "job" not in text:
        return ""
    from kerfwright.jobfile.nodes import Mapped, Scalar, parse  # YAML waits until it is needed

    try:
        root, _ = parse(text.encode("utf-8", "surrogatepass"), "")
    except InputError:
        return ""
    said = root.get("job") if isinstance(root, Mapped) else None
    return said.text if isinstance(said, Scalar) and re.fullmatch(SAFE, said.text) else ""


def internal_fault(error: BaseException) -> int:
    """Say that it is a bug and where its details lie. Returns the exit code."""
    click.echo(fault_text(error), err=True)
    return 3


def fault_text(error: BaseException) -> str:
    """The details are written to a file; says which, and whose bug it is."""
    with tempfile.NamedTemporaryFile(
        "w", prefix="kerfwright-fault-", suffix=".txt", delete=False, encoding="utf-8"
    ) as f:
        traceback.print_exception(error, file=f)
    whose = "the plugin that it names" if isinstance(error, BrokenPromise) else "the tool"
    return f"internal fault: {type(error).__name__}: {error}\nThis is a bug of {whose}, not of your job; its details lie in {Path(f.name)}."


def source_text(source: str) -> str:
    """A job's text, from its file or standard input; '' where it cannot be read (the loader tells why)."""
    if source == "-":
        return sys.stdin.read()
    try:
        return Path(source).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""


def program_text(file: str) -> str:
    """A program's text. A byte that is no UTF-8 is kept as a character that no reader takes. Raises InputError."""
    try:
        return Path(file).read_bytes().decode("utf-8", "surrogateescape")
    except OSError as e:
        raise InputError([Fault(file, f"cannot be read: {e.strerror}")]) from e
