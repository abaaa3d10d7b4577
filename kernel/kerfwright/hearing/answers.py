"""What was heard: answers read back, the dialect they decide, and whether they confirm the one that a job is written in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, TypeAlias

from kerfwright.errors import Fault, InputError
from kerfwright.hearing.trials import WAIT_S, Trial
from kerfwright.traits import Traits

__all__ = ["Heard", "confirmed", "decided", "heard"]

Heard: TypeAlias = Mapping[str, str]
"""By trial: `yes`, `no`, or the seconds it stood still."""
NEAR_S = 1.5
"""A person counts seconds this well."""


def heard(said: Mapping[str, Any], names: Sequence[str] | None = None) -> dict[str, str]:
    """Answers as given, `yes` and `no` in any spelling; what was left empty is left out. Raises InputError with all faults."""
    out, faults = {}, []
    for key, value in said.items():
        word = (
            {True: "yes", False: "no", None: ""}.get(value) if value is None or isinstance(value, bool) else str(value)
        )
        word = (word or "").strip().lower()
        if names is not None and key not in names:
            faults.append(Fault(f"heard.{key}", f"found no such trial, allowed: {', '.join(names)}"))
        elif word in ("yes", "no") or ("-dwell-" in key and _seconds(word) is not None):
            out[key] = word
        elif word:
            allowed = "yes, no or the seconds it stood still" if "-dwell-" in key else "yes or no"
            faults.append(Fault(f"heard.{key}", f"found {value!r}, allowed: {allowed}"))
    if faults:
        raise InputError(faults)
    return out


def decided(trials: Sequence[Trial], answers: Heard) -> tuple[str, dict[str, Any]]:
    """The first dialect that was understood, and what varies it, by key. Raises InputError with what is missing of each."""
    faults = []
    for square in (t for t in trials if t.kind == "square"):
        mine = [t for t in trials if t.dialect.name == square.dialect.name]
        lacks = [t.name for t in mine if t.kind in ("square", "stop") and not _yes(t.name, answers)]
        waits = [t for t in mine if t.kind == "dwell" and _yes(t.name, answers)]
        lacks += [] if waits else [next(t.name for t in mine if t.kind == "dwell")]
        if lacks:
            why = "; a program waits for the spindle and stops for you, so these are needed"
            faults.append(Fault(f"heard.{lacks[0]}", f"{square.dialect.name}: not understood: {', '.join(lacks)}{why}"))
            continue
        arcs = [t for t in mine if t.kind == "arc" and _yes(t.name, answers)]
        keys = square.dialect.variations()
        sets = {**waits[0].sets, **(arcs[0].sets if arcs else {})}
        if not arcs and "word.arcs" in keys:
            sets["word.arcs"] = False
        helix = arcs and any(t.kind == "helix" and _yes(t.name, answers) for t in mine)
        if not helix and any(t.kind == "helix" for t in mine):
            sets["word.helices"] = False
        return square.dialect.name, {
            k: v for k, v in sets.items() if getattr(type(square.dialect)(), keys[k].name) != v
        }
    raise InputError(faults or [Fault("heard", "found nothing that was understood")])


def confirmed(traits: Traits, answers: Heard) -> bool:
    """Whether all that a text with these traits relies on was understood by the machine."""
    of = traits.language
    need = [f"{of}-square", f"{of}-stop", f"{of}-dwell-{traits.dwell_word}-{traits.dwell_unit}"]
    if traits.arcs:
        need.append(f"{of}-arc-{traits.arc_centers}-{traits.quadrants}")
        need += [f"{of}-helix"] if traits.helices else []
    return traits.units == "mm" and all(_yes(name, answers) for name in need)


def _yes(name: str, answers: Heard) -> bool:
    said = answers.get(name, "")
    seconds = _seconds(said)
    return said == "yes" if seconds is None else abs(seconds - WAIT_S) <= NEAR_S


def _seconds(word: str) -> float | None:
    try:
        return float(word.removesuffix("s"))
    except ValueError:
        return None
