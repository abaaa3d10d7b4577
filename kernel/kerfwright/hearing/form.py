"""The form that goes to the machine with the programs, and the file that its answers are written into."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from kerfwright.hearing.trials import HIGH, Trial

__all__ = ["answers_yaml", "form_html"]

BEFORE = (
    "No cutter in the spindle, spindle off, and its supply locked if it can be.",
    f"Zero X and Y in the middle of a free area of 100 x 100 mm. Zero Z with the nose at least 100 mm above everything: the programs "
    f"go up to {HIGH:g} mm, and never below that zero.",
    "Hand on the stop. A controller that does not understand a text may move anywhere: stop it, and answer no.",
    "Local rules and the people trained on this machine stand above this page.",
)
ANSWER = "yes: it ran to its end and did exactly that · no: an alarm, or anything else · left empty: not tried"


def form_html(machine: str, trials: Sequence[tuple[Trial, str]]) -> str:
    """A page to print: what to do first, then a line with a blank for each program (trial and file)."""
    rows = "".join(
        f"<tr><td><code>{escape(file)}</code></td><td>{escape(_asked(t))}</td><td class=blank></td></tr>"
        for t, file in trials
    )
    items = "".join(f"<li>{escape(text)}</li>" for text in BEFORE)
    return (
        "<!doctype html><html lang=en><meta charset=utf-8><title>Hearing test</title><style>body{font:15px/1.4 sans-serif;max-width:60em;"
        "margin:2em auto;padding:0 1em}table{border-collapse:collapse;width:100%}td,th{border:1px solid #888;padding:.35em .6em;"
        "text-align:left;vertical-align:top}.blank{width:8em}li{margin:.3em 0}</style>"
        f"<h1>Hearing test: {escape(machine)}</h1><p>Which dialect does this controller understand? Programs in the air, in this order; "
        f"where a square is not understood, leave out the rest of that language.</p><h2>First</h2><ul>{items}</ul>"
        f"<h2>Then</h2><p>{escape(ANSWER)}</p><table><tr><th>Program</th><th>What it should do</th><th>Answer</th></tr>{rows}</table>"
        "<p>Write the answers into <code>answers.yaml</code> and give it to <code>kerfwright coupon controller --answers "
        "answers.yaml</code>.</p></html>\n"
    )


def answers_yaml(machine: str, trials: Sequence[tuple[Trial, str]]) -> str:
    """The same as a file with blanks."""
    lines = [f"# {text}" for text in (*BEFORE, ANSWER)]
    lines += [f"machine: {machine}", "heard:"]
    width = max(len(t.name) for t, _ in trials) + 1
    lines += [f"  {t.name + ':':<{width}}   # {file}: {_asked(t)}" for t, file in trials]
    return "\n".join(lines) + "\n"


def _asked(trial: Trial) -> str:
    return trial.shows + ("; how many seconds did it stand?" if trial.kind == "dwell" else "")
