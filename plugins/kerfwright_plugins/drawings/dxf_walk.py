"""Through a DXF drawing's model space and its blocks: which entities count, on which layer, through which transform."""

from __future__ import annotations

from collections import Counter
from typing import Any

import numpy as np
from attrs import Factory, define

from kerfwright.arrays import Floats
from kerfwright.chains import Chain, counted, place
from kerfwright.drawing import Remark
from kerfwright.errors import Fault
from kerfwright_plugins.drawings.dxf_curves import CURVES, LEVEL, Slanted, curves, matrix_of

__all__ = ["Walk"]

MOST = 200_000
"""Entities of one drawing, blocks counted each time they are inserted: nested inserts can multiply without end."""
DEEP = 32
"""Blocks inside blocks."""


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
    seen: int = 0
    raised: int = 0
    wide: int = 0

    def everything(self, scale: float) -> None:
        """Model space, `scale` mm to its unit."""
        m = np.diag([scale, scale, scale, 1.0])
        for e in self.doc.modelspace():
            self._entity(e, m, "", 0)
        others = sum(e.dxftype() in CURVES for layout in self.doc.layouts if layout.name != "Model" for e in layout)
        if others:
            self.passed["in paper space"] = others

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

    def _entity(self, e: Any, m: Floats, around: str, depth: int) -> None:
        self.seen += 1
        if self.seen > MOST:
            if self.seen == MOST + 1:
                self.faults.append(
                    Fault(self.name, f"more than {MOST} entities, its blocks counted as often as inserted")
                )
            return
        kind = e.dxftype()
        if kind not in CURVES and kind != "INSERT":
            self.passed[kind] += 1
            return
        layer = self._layer(e, around)
        if self._unseen(e, layer):
            return
        try:
            if kind == "INSERT":
                self._insert(e, m, layer, depth)
            else:
                self._curves(e, m, layer)
        except Slanted:
            self._fault(e, "it does not lie flat in the plane of the drawing")
        except LookupError:
            self.passed["POLYLINE that is a mesh" if kind == "POLYLINE" else kind] += 1
        except (ValueError, TypeError, AttributeError, ArithmeticError, np.linalg.LinAlgError) as wrong:
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

    def _insert(self, e: Any, m: Floats, layer: str, depth: int) -> None:
        block = e.block()
        if block is None:
            self._fault(e, f"the block {e.dxf.name!r} is not in the drawing")
            return
        if block.block.is_xref or block.block.is_xref_overlay:
            self._fault(e, f"the block {e.dxf.name!r} is another file, which is not read: bind it into the drawing")
            return
        if depth >= DEEP:
            self._fault(e, f"blocks lie inside blocks more than {DEEP} deep")
            return
        if e.mcount > MOST:
            self._fault(e, f"found {e.mcount} copies, allowed: {MOST}")
            return
        for one in e.multi_insert() if e.mcount > 1 else [e]:
            inner = matrix_of(one.matrix44()) @ m
            for child in block:
                self._entity(child, inner, layer, depth + 1)
                if self.seen > MOST:
                    return

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
