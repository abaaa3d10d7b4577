"""`kerfwright batch`: many jobs, side by side; can be stopped and taken up again."""

from __future__ import annotations

import gc
import os
import re
import signal
import sys
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor, as_completed
from contextlib import ExitStack, contextmanager
from multiprocessing import get_context
from pathlib import Path
from threading import current_thread, main_thread

import click

from kerfwright import __version__
from kerfwright.errors import Fault, InputError
from kerfwright.operation import PACES
from kerfwright.registry import Registry
from kerfwright.saving import save_refused
from kerfwright.shell.books import Books
from kerfwright.shell.common import fault_text, job_name, options, registry_with, source_text, tell_faults
from kerfwright.shell.one_job import Told, one_job, tell
from kerfwright.shell.plugged import plugged
from kerfwright.shell.standing import Standing

__all__ = ["command"]


@click.command("batch")
@click.argument("jobs", nargs=-1, required=True, metavar="JOBS...")
@click.option(
    "--out",
    default="out",
    show_default=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder; files go to OUT/JOBNAME/, and what is done to OUT/batch.json.",
)
@click.option("--workers", type=click.IntRange(1, 1000), help="Jobs at a time; default: the machine's cores.")
@click.option("--scheduler", metavar="ADDRESS", help="A Dask scheduler, whose workers see the same folders.")
@click.option("--dialect", metavar="NAME", help="Dialect of the programs, instead of the jobs' or the machines'.")
@click.option("--pace", type=click.Choice(PACES), help="How bold the rates are, instead of the jobs'.")
@options
def command(
    jobs: tuple[str, ...], out: Path, workers: int | None, scheduler: str | None, dialect: str | None, pace: str | None,
    plugins: tuple[str, ...], as_json: bool,
) -> int:  # fmt: skip
    """Make many jobs (YAML files, or folders of them), each as `make` does.

    Stopped and started again with the same options, it goes on: a job stands while its file, the files it names, the plugins,
    its result and its programs are as they were. Folders are searched for .yaml files that begin a job.
    """
    registry = registry_with(plugins)
    instead = {"dialect": dialect, "pace": pace}
    try:
        sources = list(_sources(jobs))
        standing = Standing(out, {**instead, "plugins": list(plugins), "plugged": plugged(plugins, registry)})
        texts = {s: source_text(s) for s in sources}
        _names_of_their_own(texts)
        before = {s: standing.stands(s, texts[s]) for s in sources}
    except InputError as e:
        tell_faults(e.faults)
        return 2
    codes = [code for code in before.values() if code is not None]
    todo = [s for s in sources if before[s] is None]
    if codes:
        click.echo(f"{len(codes)} of {len(sources)} jobs stand as they were made before", err=True)
    lost: list[str] = []
    with ExitStack() as stack:
        try:
            executor = stack.enter_context(_executor(workers, scheduler, len(todo)))
        except InputError as e:
            tell_faults(e.faults)
            return 2
        with _ears_shut():
            running = {executor.submit(_made, s, texts[s], out, instead, plugins): s for s in todo}
        try:
            for k, future in enumerate(as_completed(running), 1):
                source = running[future]
                told = _outcome(future, source, lost)
                standing.note(source, texts[source], told)
                tell(told, as_json)
                codes.append(told.code)
                if sys.stderr.isatty():
                    click.echo(f"{k} of {len(todo)}", err=True)
        except BaseException:  # stopped: what has begun ends, what has not is left for the next time
            for future in running:
                future.cancel()
            raise
    for source in lost:  # by now nobody writes there; nothing of an earlier run may pass for what was to be made
        if name := job_name(texts[source]):
            save_refused(name, out, __version__, [Fault("", "internal fault: its worker was lost")], registry)
    return max(codes, default=0)


def _made(source: str, text: str, out: Path, instead: Mapping[str, str | None], plugins: tuple[str, ...]) -> Told:
    """One job in a worker."""
    try:
        return one_job(source, text, out, instead, Registry.load(plugins), Books(), {})
    except Exception as e:  # one job's bug must not stop the others
        return Told(3, "", err=(f"{source}: {fault_text(e)}",))


def _outcome(future: Future[Told], source: str, lost: list[str]) -> Told:
    """What a worker tells; where the worker itself was lost, its job goes to `lost`."""
    try:
        return future.result()
    except Exception as e:
        lost.append(source)
        return Told(3, "", err=(f"{source}: {fault_text(e)}",))


@contextmanager
def _ears_shut() -> Iterator[None]:
    """Workers begun in here never hear Ctrl-C, which goes to all processes of a terminal: they end the job that they have."""
    if current_thread() is not main_thread():  # only the main one may say what is heard
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def _executor(workers: int | None, scheduler: str | None, jobs: int) -> Iterator[Executor]:
    """Of this machine, or of a cluster. Raises InputError where there is no cluster."""
    if scheduler is None:
        many = min(workers or os.cpu_count() or 1, jobs)
        # one at a time needs no process of its own; a copy of a process with threads can hang
        pool = ProcessPoolExecutor(many, get_context("spawn")) if many > 1 else ThreadPoolExecutor(1)
        with pool as executor:
            yield executor
        return
    try:
        from distributed import Client
    except ImportError:
        text = f"found {scheduler!r}, allowed: with the extra `cluster` installed (pip install 'kerfwright[cluster]')"
        raise InputError([Fault("--scheduler", text)]) from None
    said, hook = "", sys.unraisablehook
    try:
        client = Client(scheduler, timeout="10s", set_as_default=False)  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as e:
        said = str(e) or type(e).__name__
    if said:
        sys.unraisablehook = lambda _: None  # a client that never was complains again when it is thrown away
        gc.collect()
        sys.unraisablehook = hook
        raise InputError([Fault("--scheduler", f"found no scheduler at {scheduler!r}: {said}")])
    with client:
        yield client.get_executor(pure=False)  # type: ignore[no-untyped-call]


def _sources(jobs: Iterable[str]) -> Iterator[str]:
    """Files as they are, folders as the jobs in them, each once."""
    found: list[str] = []
    for one in jobs:
        if one == "-":
            raise InputError([Fault("JOBS", "found standard input, allowed: files and folders")])
        if not Path(one).is_dir():
            found.append(one)
            continue
        inside = [str(p) for p in sorted(Path(one).rglob("*.yaml")) if _a_job(source_text(str(p)))]
        if not inside:
            raise InputError([Fault("JOBS", f"found no job in {one!r}")])
        found += inside
    return iter(dict.fromkeys(found))


def _a_job(text: str) -> bool:
    """It begins one, also where its name is none that is allowed: that is told, not passed over."""
    return bool(job_name(text) or re.search(r"^job[ \t]*:", text, re.MULTILINE))


def _names_of_their_own(texts: Mapping[str, str]) -> None:
    names: dict[str, str] = {}
    faults = []
    for source, text in texts.items():
        name = job_name(text)
        if name and name in names:
            same = f"found {name!r}, the name of {names[name]} too, allowed: a name of its own for each job"
            faults.append(Fault("job", same, source))
        names.setdefault(name, source)
    if faults:
        raise InputError(faults)
