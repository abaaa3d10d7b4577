"""Through a DXF drawing's model space and its blocks: which entities count, on which layer, through which transform."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

import numpy as np
from attrs import Factory, define

from kerfwright.arrays import Floats
from kerfwright.drawing import Remark
from kerfwright.errors import Fault
from kerfwright.outlines.chains import Chain, counted, place
from kerfwright_plugins.drawings.dxf_curves import CURVES, LEVEL, NoOutline, Slanted, curves, matrix_of

__all__ = ["Walk"]

MOST = 50_000
"""Entities of one drawing, blocks counted each time they are inserted: nested inserts can multiply without end."""
DEEP = 32
"""Blocks inside blocks."""


NEEDED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "LINE": ("start", "end"), "CIRCLE": ("center", "radius"), "ARC": ("center", "radius", "start_angle", "end_angle"),
        "ELLIPSE": ("center", "major_axis", "ratio"), "INSERT": ("name", "insert"),
    }
)  # fmt: skip
"""What an entity must state itself: the library would put in a value of its own."""


@define(eq=False)
class Walk:
    """Collects chains, remarks and faults. `name` is the drawing's, the path of its faults."""

    doc: Any
    name: str
    chains: list[Chain] = Factory(list)
    faults: list[Fault] = Factory(list)
    passed: Counter[str] = Factory(Counter)
    hidden: Counter[str] = Factory(Counter)
    told: list[Remark] = Factory(list)
    raised: int = 0
    wide: int = 0

    def everything(self, scale: float) -> None:
        """Model space, `scale` mm to its unit."""
        m = np.diag([scale, scale, scale, 1.0])
        if self._weight(self.doc.modelspace(), {}, 0) > MOST:
            self.faults.append(
                Fault(
                    self.name,
                    f"more than {MOST} entities, its blocks counted as often as inserted, or blocks inside blocks more than {DEEP} deep",
                )
            )
            return
        for e in self.doc.modelspace():
            self._entity(e, m, "")
        others = sum(e.dxftype() in CURVES for layout in self.doc.layouts if layout.name != "Model" for e in layout)
        if others:
            self.passed["in paper space"] = others

    def _weight(self, layout: Any, known: dict[str, int], depth: int) -> int:
        """Entities in a layout with all blocks inserted; counted once a block, so that the count itself ends."""
        total = 0
        for e in layout:
            total += 1
            if e.dxftype() == "INSERT":
                if depth >= DEEP:
                    return MOST + 1
                name, block = str(e.dxf.get("name", "")), e.block()
                if name not in known:
                    known[name] = self._weight(block, known, depth + 1) if block is not None else 0
                total += max(e.mcount, 1) * known[name]
        return total

    def _fault(self, e: Any, message: str) -> None:
        self.faults.append(Fault(self.name, f"{e.dxftype()} (handle {e.dxf.get('handle') or 'none'}): {message}"))

    def _layer(self, e: Any, around: str) -> str:
        """Layer 0 in a block is the layer of its insert."""
        own = str(e.dxf.get("layer", "0"))
        return around if own == "0" and around else own

    def _unseen(self, e: Any, layer: str) -> bool:
        table = self.doc.layers
        if e.dxf.get("invisible", 0):
            self.hidden["marked invisible"] += 1
        elif layer.lower() == "defpoints":
            self.hidden["on layer Defpoints, which is never plotted"] += 1
        elif table.has_entry(layer) and table.get(layer).is_frozen():
            self.hidden[f"on layer {layer}, which is frozen"] += 1
        elif e.dxftype() != "INSERT" and table.has_entry(layer) and table.get(layer).is_off():
            self.hidden[f"on layer {layer}, which is off"] += 1
        else:
            return False
        return True

    def _entity(self, e: Any, m: Floats, around: str) -> None:
        kind = e.dxftype()
        if kind not in CURVES and kind != "INSERT":
            self.passed[kind] += 1
            return
        layer = self._layer(e, around)
        if self._unseen(e, layer):
            return
        lacking = [key for key in NEEDED.get(kind, ()) if not e.dxf.hasattr(key)]
        if lacking:
            self._fault(e, f"it has no {' and no '.join(lacking)}".replace("_", " "))
            return
        try:
            if kind == "INSERT":
                self._insert(e, m, layer)
            else:
                self._curves(e, m, layer)
        except Slanted:
            self._fault(e, "it does not lie flat in the plane of the drawing")
        except NoOutline:
            self.passed[f"{kind} that is a mesh"] += 1
        except (LookupError, ValueError, TypeError, AttributeError, ArithmeticError, np.linalg.LinAlgError) as wrong:
            self._fault(e, f"it makes no curve: {wrong}")  # what a damaged entity lacks shows up only in its use

    def _curves(self, e: Any, m: Floats, layer: str) -> None:
        for c in curves(e, m):
            self.raised += bool(abs(float(c.nodes[0, 2])) > LEVEL)
            self.chains.append(Chain(c.at_z(0.0), layer, self.name))
        if e.dxftype() == "SPLINE" and not e.control_point_count() and self.chains:
            at = self.chains[-1].curve.start
            self.told.append(
                Remark(
                    f"a spline given by fit points alone is interpolated, at {place(at)}", (float(at[0]), float(at[1]))
                )
            )
        self.wide += bool(e.dxftype() == "LWPOLYLINE" and e.dxf.get("const_width", 0))

    def _insert(self, e: Any, m: Floats, layer: str) -> None:
        block = e.block()
        if block is None:
            self._fault(e, f"the block {e.dxf.name!r} is not in the drawing")
            return
        if block.block.is_xref or block.block.is_xref_overlay:
            self._fault(e, f"the block {e.dxf.name!r} is another file, which is not read: bind it into the drawing")
            return
        for one in e.multi_insert() if e.mcount > 1 else [e]:
            inner = matrix_of(one.matrix44()) @ m
            for child in block:
                self._entity(child, inner, layer)

    def remarks(self) -> list[Remark]:
        """What was passed over or set aside."""
        out = [f"{n} {kind} passed over: no outline" for kind, n in sorted(self.passed.items())]
        out += [
            f"{counted(n, 'entity').replace('entitys', 'entities')} {why}: passed over"
            for why, n in sorted(self.hidden.items())
        ]
        if self.raised:
            out.append(f"{counted(self.raised, 'outline')} drawn at a height other than 0, taken as flat")
        if self.wide:
            out.append(f"{counted(self.wide, 'polyline')} drawn with a width: the center line counts")
        return [*map(Remark, out), *self.told]
