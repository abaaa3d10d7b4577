"""Outlines of one shape: planned once, copied by a shift. The same to 1e-4 mm counts; turned copies do not."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.curve import Curve

__all__ = ["Alike", "alike", "shape_of"]


@define(frozen=True, eq=False)
class Alike:
    """Members of one shape: their indices in what was asked, in order, and how far each lies from the first, (k, 2)."""

    members: tuple[int, ...]
    shifts: Floats


def shape_of(curve: Curve, origin: Floats | None = None) -> bytes:
    """What curves of one shape have in common; with an `origin` (2,) also where they lie from it."""
    rel = curve.nodes[:, :2] - (curve.nodes[0, :2] if origin is None else origin)
    key: bytes = np.rint(np.concatenate([rel.ravel() * 1e4, curve.turns * 1e7])).tobytes()
    return key


def alike(keys: Sequence[Hashable], starts: Floats) -> list[Alike]:
    """Groups of equal keys in order of appearance; `starts` (n, 2) is a point of each member, the same in its shape."""
    groups: dict[Hashable, list[int]] = {}
    for k, key in enumerate(keys):
        groups.setdefault(key, []).append(k)
    return [Alike(tuple(m), starts[m] - starts[m[0]]) for m in groups.values()]
