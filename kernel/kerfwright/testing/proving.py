"""One call that proves a third party's strategy."""

from __future__ import annotations

from collections.abc import Sequence

import attrs
from attrs import frozen

from kerfwright.errors import BrokenPromise
from kerfwright.fields import spec
from kerfwright.registry import Registry
from kerfwright.strategy import Strategy
from kerfwright.testing.answers import answers_of
from kerfwright.testing.form import form_of
from kerfwright.testing.questions import questions
from kerfwright.testing.specimens import Specimen, all_of_them
from kerfwright.testing.trials import TRIED, Outcome, job_of, kinds_of, tried

__all__ = ["Report", "instance_of", "prove_strategy"]

LEAST = 6
"""Of nine specimens, on how many a strategy must be proved clean."""


@frozen
class Report:
    """What was proved: how many questions it answered; and by (operation, specimen) what came of the whole way."""

    kind: str
    name: str
    asked: int
    outcomes: dict[tuple[str, str], Outcome]

    @property
    def clean(self) -> tuple[str, ...]:
        """Specimens on which it was proved clean in one operation at least."""
        return tuple(dict.fromkeys(s for (_, s), o in self.outcomes.items() if o.verdict == "clean"))

    def __str__(self) -> str:
        rows = [f"{self.kind} {self.name}: {self.asked} questions answered, clean on {len(self.clean)} specimens"]
        for (operation, specimen), o in self.outcomes.items():
            rows.append(f"  {operation:<8} {specimen:<8} {o.verdict}{': ' if o.reason else ''}{o.reason}")
        return "\n".join(rows)


def instance_of(cls: type[Strategy]) -> Strategy:
    """A strategy with its defaults; a field without one takes the example that its documentation gives.

    Raises BrokenPromise where a field has neither.
    """
    said = {}
    for field in attrs.fields(cls):
        if field.default is attrs.NOTHING and field.init:
            what = spec(field)
            if what is None or what.example is None:
                raise BrokenPromise(
                    f"{cls.kind} {cls.name}: its field `{field.name}` has neither default nor example; "
                    "hand in an object, with its parameters said"
                )
            said[field.name] = what.example
    return cls(**said)


def prove_strategy(
    strategy: type[Strategy] | Strategy,
    registry: Registry | None = None,
    *,
    specimens: Sequence[Specimen] | None = None,
) -> Report:
    """Prove a strategy: its form, its answers, and the whole way from job to proved text on the specimens.

    A class is tried with its defaults, an object with its parameters. It need not be registered. Raises BrokenPromise
    that says in sentences all that was found; what is refused with a reason is no fault, as long as six specimens come
    out clean.
    """
    registry = registry or Registry.load()
    cls = strategy if isinstance(strategy, type) else type(strategy)
    wrong = list(form_of(cls, registry))
    _stop(cls, wrong)
    one = instance_of(cls) if isinstance(strategy, type) else strategy
    chosen = all_of_them() if specimens is None else tuple(specimens)
    asked = questions(cls.kind, chosen)
    wrong += answers_of(one, asked)
    _stop(cls, wrong)
    outcomes = {
        (operation, s.name): tried(job_of(s, operation, (one,)), registry)
        for operation, kind in TRIED.items()
        if cls.kind in kinds_of(kind) or (cls.kind == "layout" and operation == "profile")
        for s in chosen
    }
    report = Report(cls.kind, cls.name, len(asked), outcomes)
    wrong += [f"{o} of the {s}: {v.reason}" for (o, s), v in outcomes.items() if v.verdict == "broken"]
    least = min(LEAST, len(chosen))
    if len(report.clean) < least:
        reasons = "; ".join(dict.fromkeys(f"{s}: {v.reason}" for (_, s), v in outcomes.items() if v.reason))
        wrong.append(f"it is clean on {len(report.clean)} of {len(chosen)} specimens, {least} are asked ({reasons})")
    _stop(cls, wrong)
    return report


def _stop(cls: type[Strategy], wrong: Sequence[str]) -> None:
    if wrong:
        raise BrokenPromise("\n".join([f"{cls.kind} {cls.name} ({cls.__module__}.{cls.__qualname__}):", *wrong]))
