"""`kerfwright coupon controller`: the hearing test of a controller."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click
import yaml

from kerfwright.errors import Fault, InputError
from kerfwright.hearing import Trial, answers_yaml, decided, form_html, heard, trials
from kerfwright.shell.common import options, registry_with, tell_faults

__all__ = ["command"]


@click.command("controller")
@click.option("--machine", default="my-router", metavar="NAME", help="What the machine is called.")
@click.option(
    "--out", type=click.Path(file_okay=False), default="out", help="Where the folder `hearing-test` is written."
)
@click.option(
    "--answers", type=click.Path(dir_okay=False), help="The file of answers, filled in: tells the dialect they decide."
)
@options
def command(machine: str, out: str, answers: str | None, plugins: tuple[str, ...], as_json: bool) -> int:
    """Learn which dialect a machine's controller understands: small programs in the air, and a form for what it did.

    With --answers the form is read back: the machine's entry for job files is written beside it, as `machine.yaml`.
    """
    registry = registry_with(plugins)
    tried = trials(registry)
    if answers is not None:
        return _decided(Path(answers), tried)
    folder = Path(out) / "hearing-test"
    folder.mkdir(parents=True, exist_ok=True)
    named = [(t, f"{n:02d}-{t.name}{t.dialect.suffix}") for n, t in enumerate(tried, 1)]
    for trial, file in named:
        (folder / file).write_bytes(trial.text.encode("ascii"))
    (folder / "form.html").write_text(form_html(machine, named), encoding="utf-8")
    (folder / "answers.yaml").write_text(answers_yaml(machine, named), encoding="utf-8")
    click.echo(f"{len(named)} programs in the air, form.html and answers.yaml, in {folder}: read form.html first")
    return 0


def _decided(file: Path, tried: Sequence[Trial]) -> int:
    try:
        said = yaml.safe_load(file.read_text(encoding="utf-8"))
        if not isinstance(said, dict) or not isinstance(said.get("heard"), dict):
            raise InputError(
                [Fault(str(file), "found no answers, allowed: the file `answers.yaml` of the hearing test, filled in")]
            )
        answers = heard(said["heard"], [t.name for t in tried])
        name, sets = decided(tried, answers)
    except (OSError, UnicodeDecodeError, yaml.YAMLError) as e:
        tell_faults([Fault(str(file), f"cannot be read: {e}")])
        return 2
    except InputError as e:
        tell_faults(e.faults)
        return 2
    groups: dict[str, object] = {"base": name}
    for key, value in sets.items():
        group, _, rest = key.partition(".")
        if rest:
            inner = groups.setdefault(group, {})
            assert isinstance(inner, dict)
            inner[rest] = value
        else:
            groups[key] = value
    entry = {"name": str(said.get("machine", "")), "dialect": groups, "heard": answers}
    text = yaml.safe_dump(entry, sort_keys=False, allow_unicode=True)
    (file.parent / "machine.yaml").write_text(text, encoding="utf-8")
    click.echo(
        f"{name}{', varied' if sets else ''}: put this under `machine:` in your jobs, beside `base:` and what else it needs\n{text}",
        nl=False,
    )
    return 0
