"""Pieces on the sheet: each part turned and put in its places, everything counted from program zero."""

from __future__ import annotations

import math
from typing import cast

import numpy as np
import shapely
from attrs import Factory, define
from shapely import affinity

from kerfwright.arrays import Floats
from kerfwright.drawing import Loop
from kerfwright.errors import NoRoom
from kerfwright.job import Job, Part
from kerfwright.packing import Packing
from kerfwright.placing.defaults import strategy_named
from kerfwright.placing.packings import packings
from kerfwright.registry import Registry
from kerfwright.setup import Heights, Piece
from kerfwright.sheet import Sheet
from kerfwright.strategy import Layout

__all__ = ["MARGIN", "Laid", "lay", "material"]

MARGIN = 5.0
"""Left around the parts besides the widest cutter (mm) where the job gives no size (common practice: a finger's width of
waste that the hold can grip)."""

SLACK = 1e-6
"""Rounding of positions (mm)."""


@define(eq=False)
class Laid:
    """One sheet in program coordinates, and what is wrong with it: faults are (path in the job, message).

    `parts` are the pieces' part indices in the job, `areas` their material in plan.
    """

    stock: shapely.Polygon
    pieces: tuple[Piece, ...]
    parts: tuple[int, ...]
    areas: tuple[shapely.Geometry, ...]
    keepouts: tuple[tuple[shapely.Polygon, float], ...]
    faults: list[tuple[str, str]]
    warnings: list[str] = Factory(list)
    covered: list[tuple[int, str, str]] = Factory(list)
    """Pieces that lie over a keepout: part, path and message."""


@define(frozen=True, eq=False)
class _Place:
    """A piece in the coordinates of its sheet, counted from 1."""

    sheet: int
    part: int
    copy: int
    path: str
    x: float
    y: float
    turn: float
    loops: tuple[Loop, ...]
    area: shapely.Geometry
    bounds: tuple[float, float, float, float]
    shift: tuple[float, float]

    def __str__(self) -> str:
        return f"copy {self.copy} at ({self.x:g}, {self.y:g})"


def lay(job: Job, heights: Heights, registry: Registry) -> tuple[Laid, ...]:
    """Every copy of every part in its place, sheet by sheet; what is wrong with the job as a whole stands with the first.

    Raises PluginError where the default layout is not installed.
    """
    faults: list[tuple[str, str]] = []
    places: list[_Place] = []
    for k, part in enumerate(job.parts):
        if not part.drawing.loops:
            faults.append((f"parts[{k}].drawing", f"part {part.name!r} has no outline"))
        if not part.at:
            faults.append((f"parts[{k}].at", "found none, allowed: one place or more"))
        if part.drawing.loops and part.at and not isinstance(part.layout, Packing):
            try:
                places += _places(k, part, registry)
            except NoRoom as e:
                faults.append((f"parts[{k}].layout", str(e)))
    packed, more = packings(job, [(p.part, p.area) for p in places])
    faults += more
    for k, rows in packed.items():
        places += _pieces(k, job.parts[k], rows)
    _grain(job, places, faults)
    warnings: list[str] = []
    size = _size(job, places, warnings)
    shift = _zero(job.sheet, size, faults)
    sheets = range(1, max((p.sheet for p in places), default=1) + 1)
    laid = [_laid(job, heights, [p for p in places if p.sheet == n], size, shift) for n in sheets]
    laid[0].faults[:0] = faults
    laid[0].warnings[:0] = warnings
    return tuple(laid)


def _laid(
    job: Job,
    heights: Heights,
    places: list[_Place],
    size: tuple[float, float, float, float],
    shift: tuple[float, float],
) -> Laid:
    """One sheet."""
    faults: list[tuple[str, str]] = []
    _inside(job, places, size, faults)
    _apart(job, places, faults)
    covered = _covered(job, places)
    dx, dy = -shift[0], -shift[1]
    return Laid(
        shapely.box(size[0] + dx, size[1] + dy, size[2] + dx, size[3] + dy),
        tuple(
            Piece(
                job.parts[p.part].name,
                p.copy,
                k,
                p.turn,
                tuple(v.moved(dx, dy) for v in p.loops),
                (p.shift[0] + dx, p.shift[1] + dy),
            )
            for k, p in enumerate(places)
        ),
        tuple(p.part for p in places),
        tuple(affinity.translate(p.area, dx, dy) for p in places),
        tuple((affinity.translate(v.area, dx, dy), heights.highest + v.height) for v in job.sheet.keepout),
        faults,
        [],
        covered,
    )


def _places(k: int, part: Part, registry: Registry) -> list[_Place]:
    layout = part.layout or cast(Layout, strategy_named("layout", registry))
    rows = layout(material(part.drawing.loops), part.at, part.turn)
    return _pieces(k, part, np.column_stack([np.ones(len(rows)), rows]))


def _pieces(k: int, part: Part, rows: Floats) -> list[_Place]:
    """Copies of a part, from rows of sheet, x, y and turn."""
    turned: dict[float, tuple[tuple[Loop, ...], shapely.Geometry, tuple[float, float, float, float]]] = {}
    out = []
    listed = len(rows) == len(part.at) > 1
    for n, (sheet, x, y, turn) in enumerate(rows.tolist()):
        if turn not in turned:
            loops = tuple(v.moved(0.0, 0.0, turn) for v in part.drawing.loops)
            b = np.array([v.curve.bounds for v in loops])
            lo, hi = b[:, :2].min(0), b[:, 2:].max(0)
            turned[turn] = loops, material(loops), (float(lo[0]), float(lo[1]), float(hi[0]), float(hi[1]))
        loops, area, (x0, y0, x1, y1) = turned[turn]
        dx, dy = x - x0, y - y0
        moved = tuple(v.moved(dx, dy) for v in loops)
        path = f"parts[{k}].at" + (f"[{n}]" if listed else "")
        bounds = (x, y, x1 + dx, y1 + dy)
        out.append(
            _Place(int(sheet), k, n + 1, path, x, y, turn, moved, affinity.translate(area, dx, dy), bounds, (dx, dy))
        )
    return out


def material(loops: tuple[Loop, ...]) -> shapely.Geometry:
    """What of a part is material, in plan: the even-odd area of its loops."""
    return shapely.build_area(shapely.multilinestrings([v.curve.polygon().exterior for v in loops]))


def _grain(job: Job, places: list[_Place], faults: list[tuple[str, str]]) -> None:
    grain = job.sheet.grain
    for p in places:
        against = (p.turn - grain.along) % 360
        if grain.turns and not any(_same_turn(against, t) for t in grain.turns):
            allowed = ", ".join(f"{t:g}" for t in grain.turns)
            faults.append(
                (
                    f"parts[{p.part}].turn",
                    f"part {job.parts[p.part].name!r} {p} is turned {against:g} deg against the grain, allowed: {allowed}",
                )
            )


def _same_turn(a: float, b: float) -> bool:
    return abs((a - b + 180) % 360 - 180) < SLACK


def _size(job: Job, places: list[_Place], warnings: list[str]) -> tuple[float, float, float, float]:
    """Extent of the sheet in its own coordinates; without a size it reaches at least from its front left corner."""
    if job.sheet.size is not None:
        return 0.0, 0.0, *job.sheet.size
    margin = MARGIN + max((o.cutter.cuts for o in job.operations), default=0.0)
    b = np.array([p.bounds for p in places]).reshape(-1, 4)
    x0, y0 = (min(0.0, float(v) - margin) for v in b[:, :2].min(0, initial=np.inf))
    x1, y1 = (float(v) + margin for v in b[:, 2:].max(0, initial=0.0))
    warnings.append(
        f"nobody measured the sheet: taken as {x1 - x0:g} x {y1 - y0:g} mm, the extent of the parts and {margin:g} mm around"
    )
    return x0, y0, x1, y1


def _inside(
    job: Job, places: list[_Place], size: tuple[float, float, float, float], faults: list[tuple[str, str]]
) -> None:
    for p in places:
        over = {
            "left": size[0] - p.bounds[0],
            "front": size[1] - p.bounds[1],
            "right": p.bounds[2] - size[2],
            "back": p.bounds[3] - size[3],
        }
        beyond = [f"{v:.4g} mm beyond its {side} edge" for side, v in over.items() if v > SLACK]
        if beyond:
            sheet = f"a sheet of {size[2] - size[0]:g} x {size[3] - size[1]:g} mm"
            faults.append((p.path, f"part {job.parts[p.part].name!r} {p} reaches {' and '.join(beyond)}, on {sheet}"))


def _apart(job: Job, places: list[_Place], faults: list[tuple[str, str]]) -> None:
    """Pieces neither overlap nor touch. One may lie in the opening of another."""
    if not places:
        return
    areas = np.array([p.area for p in places], object)
    tree = shapely.STRtree(areas)
    for a, b in sorted((int(a), int(b)) for a, b in tree.query(areas, predicate="intersects").T if a < b):
        shared = shapely.intersection(areas[a], areas[b])
        how = f"overlap by {shared.area:.4g} mm2" if shared.area > 0 else "touch"
        one, other = (f"part {job.parts[p.part].name!r} {p}" for p in (places[a], places[b]))
        faults.append((places[b].path, f"{other} and {one} {how}, allowed: pieces that lie apart"))


def _covered(job: Job, places: list[_Place]) -> list[tuple[int, str, str]]:
    tree = shapely.STRtree([p.area for p in places])
    return [
        (p.part, p.path, f"part {job.parts[p.part].name!r} {p} lies over sheet.keepout[{k}]")
        for k, keepout in enumerate(job.sheet.keepout)
        for p in (places[i] for i in sorted(tree.query(keepout.area, predicate="intersects").tolist()))
    ]


def _zero(sheet: Sheet, size: tuple[float, float, float, float], faults: list[tuple[str, str]]) -> tuple[float, float]:
    """Where the program's zero lies, in sheet coordinates. A number counts from the left or front edge."""
    found = []
    words = (("left", "center", "right"), ("front", "center", "back"))
    for axis, value, names, lo, hi in (
        ("x", sheet.zero.x, words[0], size[0], size[2]),
        ("y", sheet.zero.y, words[1], size[1], size[3]),
    ):
        if isinstance(value, str):
            if value not in names:
                faults.append((f"sheet.zero.{axis}", f"found {value!r}, allowed: {', '.join(names)} or a number"))
            found.append({names[1]: (lo + hi) / 2, names[2]: hi}.get(value, lo))
        elif not math.isfinite(value):
            faults.append((f"sheet.zero.{axis}", f"found {value!r}, allowed: {', '.join(names)} or a number"))
            found.append(lo)
        else:
            found.append(lo + float(value))
    return found[0], found[1]
