"""What a draft tells: lines for a terminal, and the same as data."""

from __future__ import annotations

from typing import Any

from kerfwright.drafting import Draft
from kerfwright.drafting.step import counted
from kerfwright.drafting.wording import num, place_of, spot

__all__ = ["as_data", "told"]


def told(draft: Draft, file: str) -> str:
    """Lines for a terminal."""
    found, tooling = draft.found, draft.tooling
    rows = [f"{draft.name}: {num(draft.size[0])} x {num(draft.size[1])} mm, area {num(round(found.material, 1))} mm2"]
    rows.append(f"  pieces      {len(found.outlines)}")
    for n, (hole, done) in enumerate(draft.steps.done):
        rows.append(f"  {'holes' if n == 0 else '':<11} {hole}  {done}")
    round_ones = {k for h in found.holes for k in h.loops}
    others = [k for k in found.openings if k not in round_ones]
    if others:
        rows.append(f"  openings    {len(others)}")
    for kind, told_as in (
        ("recess", "recess?"),
        ("mark", "mark?"),
        ("nested", "recess, or opening with a piece in it?"),
    ):
        some = [d for d in found.doubts if d.kind == kind]
        if some:
            n = sum(len(d.loops) for d in some)
            layers = ", ".join(sorted({repr(d.layer) for d in some if d.layer}))
            where = f"layer {layers}" if layers else place_of(found.drawing.loops[some[0].around[0]])
            rows.append(
                f"  {told_as} {counted(n, 'outline')}, {where}: NOT CUT until you wake its suggestion in the file"
            )
    if draft.radius is not None:
        rows.append(f"  smallest inside radius {num(draft.radius.radius)} mm at {spot(draft.radius.at)}")
    rows.append(f"  {draft.largest}")
    for key, tool in tooling.tools.items():
        c = tool.cutter
        kind = "drill" if c.form == "drill" else f"{c.flutes} mill"
        rows.append(f"  {key:<11} {kind} of {num(c.diameter)} mm{f' ({tool.table})' if tool.table else ''}")
    rows += [f"odd: {v}" for v in draft.odd]
    rows += [f"to do: {v}" for v in draft.to_do]
    rows.append(f"written: {file}")
    rows += [f"caution: {v}" for v in draft.cautions]
    return "\n".join(rows)


def as_data(draft: Draft, file: str) -> dict[str, Any]:
    """For other programs; lengths in mm, drawing coordinates."""
    found, tooling, radius = draft.found, draft.tooling, draft.radius
    return {
        "job": draft.name,
        "file": file,
        "size": [round(v, 3) for v in draft.size],
        "area_mm2": round(found.material, 3),
        "pieces": len(found.outlines),
        "holes": [
            {"count": len(h.loops), "diameter": round(h.diameter, 3), "done": done} for h, done in draft.steps.done
        ],
        "openings": len(found.openings),
        "in_doubt": [
            {"kind": d.kind, "layer": d.layer, "outlines": len(d.loops), "at": _corner(draft, d.around[0])}
            for d in found.doubts
        ],
        "smallest_inside_radius": None
        if radius is None
        else {"radius": round(radius.radius, 3), "at": [round(v, 3) for v in radius.at]},
        "sharp_inside_corners": len(tooling.sharp.corners),
        "largest_cutter": tooling.largest,
        "cutters": {k: {"diameter": t.cutter.diameter, "table": t.table} for k, t in tooling.tools.items()},
        "odd": list(draft.odd),
        "to_do": list(draft.to_do),
        "cautions": list(draft.cautions),
    }


def _corner(draft: Draft, loop: int) -> list[float]:
    """Lower left corner of an outline's extent."""
    return [round(v, 3) + 0.0 for v in draft.found.drawing.loops[loop].curve.bounds[:2]]
