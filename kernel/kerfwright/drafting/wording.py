"""Words of a draft that stand in YAML: quoted where they must be, comments on one line, selections that select just that."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable

from kerfwright.drafting.sorting import Hole, Sorted
from kerfwright.drawing import Loop
from kerfwright.selection import Choice

__all__ = ["boxed", "columned", "num", "one_line", "place_of", "quoted", "selecting", "spot"]

PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9_./-]*")
WORDS = {"yes", "no", "on", "off", "true", "false", "null", "y", "n", "outer", "inner", "all"}
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


def _box(loop: Loop) -> tuple[float, float, float, float]:
    """Bounds, outwards to 0.01 mm."""
    x0, y0, x1, y1 = loop.curve.bounds
    down, up = math.floor, math.ceil
    return down(x0 * 100) / 100, down(y0 * 100) / 100, up(x1 * 100) / 100, up(y1 * 100) / 100


def boxed(loop: Loop) -> str:
    """`{within: …}` around an outline."""
    return "{within: [" + ", ".join(f"{v + 0.0:g}" if abs(v) < 1e5 else repr(v) for v in _box(loop)) + "]}"


def selecting(found: Sorted, loops: Iterable[int], hole: Hole | None = None) -> str:
    """The shortest selection that selects these loops and no other: a diameter, a layer, or boxes.

    A box that holds more than its outline says the diameter too, where there is one.
    """
    want = set(loops)
    said = "" if hole is None else num(hole.diameter)
    if hole is not None and found.selects(Choice(circles=(float(said), float(said)))) == want:
        return f"{{circles: {said}}}"
    layers = {found.drawing.loops[k].layer for k in want}
    if len(layers) == 1 and (layer := layers.pop()) and found.selects(Choice(layer=layer)) == want:
        return f"{{layer: {quoted(layer)}}}"
    boxes = []
    for k in sorted(want):
        loop = found.drawing.loops[k]
        box = boxed(loop)
        if hole is not None and found.selects(Choice(within=_box(loop))) != {k}:
            box = f"{{circles: {said}, {box[1:]}"
        boxes.append(box)
    return boxes[0] if len(boxes) == 1 else f"[{', '.join(boxes)}]"
