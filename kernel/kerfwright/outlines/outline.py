"""From chains to a Drawing: joined, cleaned, and every outline proved closed, simple and clear of the others."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from typing import Any

import attrs
import numpy as np
import shapely

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.drawing import Drawing, Line, Loop, Remark
from kerfwright.errors import Fault, InputError
from kerfwright.outlines.bends import FLATNESS
from kerfwright.outlines.chains import Chain, cleaned, counted, place, together
from kerfwright.outlines.joining import joined

__all__ = ["Chain", "outlined"]

TOUCH = 0.002
"""Outlines nearer than this (mm) touch; an outline narrower on the whole has no area."""

FAR = 100_000.0
"""Coordinates beyond this (mm) are a fault: no sheet is 100 m long, so the drawing's unit is wrong."""

TOLD = 50
"""Faults of one kind told one by one."""


def outlined(
    chains: Sequence[Chain], remarks: Sequence[Remark] = (), name: str = "", open_layers: Collection[str] = ()
) -> Drawing:
    """The drawing that `chains` make. `name` is the path of faults that belong to no chain. On `open_layers` a chain that is
    not closed stays an open line, joined to no other.

    Raises InputError with every fault found: not closed, branching, crossing itself, without area, crossing or touching
    another. `remarks` come first in the drawing's.
    """
    wild = [c for c in chains if not (np.abs(c.curve.nodes) < FAR).all()]
    if wild:
        raise InputError(_few([Fault(c.path or name, _wild(c.curve)) for c in wild]))
    clean, told = cleaned([c for c in chains if len(c.curve)])
    lines = [Line(c.curve, c.layer) for c in clean if not c.curve.closed and c.layer in open_layers]
    closed, more, open_faults = joined([c for c in clean if not c.curve.closed and c.layer not in open_layers])
    faults = _few(open_faults)
    loops = [_shut(c) for c in clean if c.curve.closed] + closed
    if not loops and not faults:
        raise InputError([Fault(name, "found no outline, allowed: at least one closed outline")])
    good, areas, bad = _simple(loops)
    faults += bad
    good, areas, again = _once(good, areas)
    faults += _apart(good, areas)
    if faults:
        raise InputError(faults)
    drawn = [Loop(c.curve, c.layer) for c in good]
    return attrs.evolve(Drawing.nested(drawn, [*remarks, *told, *more, *again], areas), lines=tuple(lines))


def _shut(chain: Chain) -> Chain:
    """Ends in the very point where it starts."""
    nodes = chain.curve.nodes.copy()
    nodes[-1] = nodes[0]
    return attrs.evolve(chain, curve=Curve(nodes, chain.curve.turns))


def _wild(curve: Curve) -> str:
    if not np.isfinite(curve.nodes).all():
        return "a coordinate is not a finite number"
    row = curve.nodes[np.abs(curve.nodes).max(axis=1).argmax()]
    return f"a line reaches {place(row)}; allowed: {FAR:g} mm from zero. Is the drawing's unit right?"


def _few(faults: list[Fault]) -> list[Fault]:
    """Enough to work from; a drawing full of the same fault is not told line by line."""
    if len(faults) <= TOLD:
        return faults
    return [*faults[:TOLD], Fault(faults[0].path, f"and {len(faults) - TOLD} more of this kind")]


def _areas(loops: Sequence[Chain]) -> Any:
    """Polygons of all loops, flattened in one go."""
    whole, owner = together([c.curve for c in loops])
    points, k = whole.flat(FLATNESS)
    of = owner[k]
    return shapely.polygons(shapely.linearrings(points[1:, :2][of >= 0], indices=of[of >= 0]))


def _no_area(chain: Chain) -> Fault:
    return Fault(chain.path, f"an outline has no area, at {place(chain.curve.start)}")


def _slim(curve: Curve) -> bool:
    """Next to no area: nothing but a way there and back, or loops of an 8 that cancel out."""
    return abs(curve.signed_area) <= TOUCH / 2 * curve.length


def _spread(curve: Curve) -> float:
    """Area of its hull, by which an 8 is told from a way there and back."""
    return float(shapely.convex_hull(shapely.multipoints(curve.flat(TOUCH)[0][:, :2])).area)


def _simple(loops: list[Chain]) -> tuple[list[Chain], Any, list[Fault]]:
    """Those with an area that do not cross themselves, their polygons, and the faults of the others."""
    faults, wide = [], []
    for c in loops:
        if _slim(c.curve) and _spread(c.curve) <= TOUCH / 2 * c.curve.length:
            faults.append(_no_area(c))
        else:
            wide.append(c)
    if not wide:
        return [], np.empty(0, object), _few(faults)
    areas = _areas(wide)
    valid = shapely.is_valid(areas)
    for k, c in enumerate(wide):
        if not valid[k]:
            reason = str(shapely.is_valid_reason(areas[k]))
            found = re.search(r"\[(\S+) ([^\s\]]+)", reason)
            where = np.array([float(found[1]), float(found[2])]) if found else c.curve.start
            verb = "touches" if "Ring" in reason else "crosses"
            faults.append(Fault(c.path, f"an outline {verb} itself at {place(where)}"))
        elif _slim(c.curve):
            valid[k] = False
            faults.append(_no_area(c))
    return [wide[k] for k in np.flatnonzero(valid).tolist()], areas[valid], _few(faults)


def _once(loops: list[Chain], areas: Any) -> tuple[list[Chain], Any, list[Remark]]:
    """Without outlines drawn twice, whatever pieces each is made of."""
    if not loops:
        return loops, areas, []
    box = shapely.bounds(areas)
    middle = shapely.points((box[:, :2] + box[:, 2:]) / 2)
    i, j = shapely.STRtree(middle).query(middle, predicate="dwithin", distance=TOUCH)
    pair = (i < j) & (np.abs(box[i] - box[j]).max(axis=1) <= TOUCH)
    i, j = i[pair], j[pair]
    same = shapely.hausdorff_distance(shapely.boundary(areas[i]), shapely.boundary(areas[j])) <= 2 * TOUCH
    gone = set(j[same].tolist())
    if not gone:
        return loops, areas, []
    keep = [k for k in range(len(loops)) if k not in gone]
    first = loops[min(gone)].curve.start
    layers = {loops[a].layer for a in i[same].tolist()} | {loops[b].layer for b in gone}
    besides = f"; of their layers {', '.join(sorted(layers))} the first drawn counts" if len(layers) > 1 else ""
    told = f"{counted(len(gone), 'outline')} drawn twice left out, the first at {place(first)}{besides}"
    return [loops[k] for k in keep], areas[keep], [Remark(told, (float(first[0]), float(first[1])))]


def _apart(loops: list[Chain], areas: Any) -> list[Fault]:
    """A fault for every two outlines that cross or touch."""
    if len(loops) < 2:
        return []
    rings = shapely.boundary(areas)
    i, j = shapely.STRtree(rings).query(rings, predicate="dwithin", distance=TOUCH)
    i, j = i[i < j], j[i < j]
    cross = shapely.overlaps(areas[i], areas[j])
    order = np.lexsort((j, i))
    faults = []
    for k in order[:TOLD].tolist():
        a, b = int(i[k]), int(j[k])
        where: Floats = shapely.get_coordinates(shapely.shortest_line(rings[a], rings[b]))[0]
        besides = f" ({loops[a].path})" if loops[a].path not in ("", loops[b].path) else ""
        verb = "cross" if cross[k] else "touch"
        faults.append(Fault(loops[b].path, f"two outlines {verb} at {place(where)}{besides}"))
    if len(order) > TOLD:
        faults.append(Fault(loops[0].path, f"and {len(order) - TOLD} more of this kind"))
    return faults
