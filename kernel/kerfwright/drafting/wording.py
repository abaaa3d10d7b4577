"""Words of a draft that stand in YAML: quoted where they must be, comments on one line, selections that select just that."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterable

import numpy as np

from kerfwright.drafting.sorting import Hole, Sorted
from kerfwright.drawing import Loop
from kerfwright.selection import Choice

__all__ = [
    "WIDTH",
    "box_of",
    "boxed",
    "columned",
    "noted",
    "num",
    "one_line",
    "place_of",
    "quoted",
    "selecting",
    "spot",
]

PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9_./-]*")
WORDS = {"yes", "no", "on", "off", "true", "false", "null", "y", "n", "outer", "inner", "all"}
WIDTH = 128
"""Longest line of a comment."""
COMMENT = 34
"""Column where comments begin."""


def num(value: float) -> str:
    """A number with three places at most.

    >>> num(3.2000001), num(-0.0001)
    ('3.2', '0')
    """
    text = f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def spot(at: tuple[float, float]) -> str:
    """A place in the drawing."""
    return f"({num(at[0])}, {num(at[1])})"


def one_line(text: str) -> str:
    """Text that can stand in a comment: no line ends, nothing that does not print."""
    return "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))


def noted(text: str, lead: str = "# ", more: str = "# ") -> list[str]:
    """A comment on as many lines as it takes."""
    return textwrap.wrap(one_line(text), WIDTH, initial_indent=lead, subsequent_indent=more, break_on_hyphens=False)


def quoted(text: str) -> str:
    """A name as YAML, quoted where it could be taken for something else.

    >>> quoted("plate.dxf"), quoted("front plate.dxf"), quoted("no"), quoted("0")
    ('plate.dxf', '"front plate.dxf"', '"no"', '"0"')
    """
    if PLAIN.fullmatch(text) and text.lower() not in WORDS:
        return text
    shown = json.dumps(text, ensure_ascii=False)
    return shown if all(c.isprintable() for c in text) else json.dumps(text)


def columned(text: str, comment: str, column: int = COMMENT) -> str:
    """A line with its comment."""
    return f"{text.ljust(column - 1)} # {one_line(comment)}" if comment else text


def place_of(loop: Loop) -> str:
    """Where an outline lies: center of a circle, else the lower left corner."""
    c = loop.circle
    return f"center {spot((c.x, c.y))}" if c else f"lower left corner {spot(loop.curve.bounds[:2])}"


def box_of(loop: Loop) -> tuple[float, float, float, float]:
    """Bounds, outwards to 0.01 mm."""
    x0, y0, x1, y1 = loop.curve.bounds
    low, high = (
        np.floor(np.round(np.array([x0, y0]) * 100, 3)) / 100,
        np.ceil(np.round(np.array([x1, y1]) * 100, 3)) / 100,
    )
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def boxed(loop: Loop) -> str:
    """`{within: …}` around an outline."""
    return "{within: [" + ", ".join(map(num, box_of(loop))) + "]}"


def selecting(found: Sorted, loops: Iterable[int], hole: Hole | None = None) -> str:
    """The shortest selection that selects these loops and no other: a diameter, a layer, or boxes.

    Where even diameter and layer do not tell an outline from those in its box, the box selects them too.
    """
    want = set(loops)
    said = "" if hole is None else num(hole.diameter)
    if hole is not None and found.selects(Choice(circles=(float(said), float(said)))) == want:
        return f"{{circles: {said}}}"
    layers = {found.drawing.loops[k].layer for k in want}
    if len(layers) == 1 and (layer := layers.pop()) and found.selects(Choice(layer=layer)) == want:
        return f"{{layer: {quoted(layer)}}}"
    boxes = [_one(found, k) for k in sorted(want)]
    return boxes[0] if len(boxes) == 1 else f"[{', '.join(boxes)}]"


def _one(found: Sorted, k: int) -> str:
    """A box around an outline, and where that holds more what else tells it from the others: its diameter, its layer."""
    loop = found.drawing.loops[k]
    box, circle, layer = box_of(loop), loop.circle, loop.layer
    size = 0.0 if circle is None else float(num(circle.diameter))
    tried = [(Choice(within=box), "")]
    if circle is not None:
        tried.append((Choice(within=box, circles=(size, size)), f"circles: {num(size)}, "))
    if layer:
        tried.append((Choice(within=box, layer=layer), f"layer: {quoted(layer)}, "))
    said = next((text for choice, text in tried if found.selects(choice) == {k}), tried[1 if circle else 0][1])
    return f"{{{said}{boxed(loop)[1:]}"
