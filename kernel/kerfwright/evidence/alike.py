"""Places that look the same: what was worked out at one holds at all others, moved. A plate with sixty equal holes, or a
sheet of a hundred equal plates, is judged once.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Floats, Ints

__all__ = ["Alike", "linked"]

MANY = 8192
"""Boxes whose neighbours are asked for at a time."""

SAME = 1e-5
"""Coordinates this near (mm) are the same: far below what any check can tell."""


def linked(n: int, a: Ints, b: Ints) -> Ints:
    """Number, from 0, of the cluster of each of n things, of which pairs (a, b) touch."""
    root = np.arange(n)
    while True:  # the smallest neighbour wins; paths are halved, so few rounds are needed
        new = root.copy()
        np.minimum.at(new, a, root[b])
        np.minimum.at(new, b, root[a])
        new = new[new]
        if (new == root).all():
            break
        root = new
    return np.asarray(np.unique(root, return_inverse=True)[1], np.int64)


def _touching(boxes: Any) -> Ints:
    """The cluster of each box, of boxes that touch. Some at a time: where many lie over one another, pairs are many."""
    tree, root = shapely.STRtree(boxes), np.arange(len(boxes))
    for start in range(0, len(boxes), MANY):
        i, k = tree.query(boxes[start : start + MANY])
        a, b = root[i + start], root[k]
        apart = a < b
        if apart.any():
            some, ends = np.unique(np.concatenate([a[apart], b[apart]]), return_inverse=True)
            a, b = ends.reshape(2, -1)
            first = np.full(len(some), len(boxes))
            cluster = linked(len(some), a, b)
            np.minimum.at(first, cluster, some)
            to = np.arange(len(boxes))
            to[some] = first[cluster]
            root = to[root]
    return np.asarray(np.unique(root, return_inverse=True)[1], np.int64)


@define(frozen=True, eq=False, slots=False)
class Alike:
    """n lines in clusters that cannot reach each other. `group` (n,) is the cluster of each, `model` (groups,) the first
    cluster of the same shape: the same lines with the same marks in the same order, moved.
    """

    group: Ints
    model: Ints
    order: Ints
    begin: Ints

    @classmethod
    def of(cls, lines: Any, reach: Floats, marks: Any) -> Alike:
        """Clusters of lines whose boxes, grown by `reach` (n,), touch. `marks` (n,): a number that must be the same too."""
        b = shapely.bounds(lines)
        boxes = shapely.box(b[:, 0] - reach, b[:, 1] - reach, b[:, 2] + reach, b[:, 3] + reach)
        group = _touching(boxes)
        order = np.argsort(group, kind="stable")
        begin = np.concatenate([[0], np.cumsum(np.bincount(group))])
        # only clusters of as many lines with as many points may be alike
        size = np.add.reduceat(shapely.get_num_coordinates(lines)[order], begin[:-1]) if len(order) else begin[:-1]
        _, key, count = np.unique(
            np.column_stack([np.diff(begin), size]), axis=0, return_inverse=True, return_counts=True
        )
        model = np.arange(len(size))
        twins = np.flatnonzero(count[key.ravel()] > 1)
        some = order[np.isin(group[order], twins)]
        p, of = shapely.get_coordinates(lines[some], return_index=True)
        size = size[twins]
        first = np.cumsum(size) - size
        whole = np.rint((p - np.repeat(p[first], size, axis=0)) / SAME).astype(np.int64)
        rows = np.column_stack(
            [whole, np.diff(of, prepend=-1), np.rint(np.asarray(marks, float)[some][of] / SAME).astype(np.int64)]
        )
        seen: dict[bytes, int] = {}
        model[twins] = [
            seen.setdefault(rows[a : a + n].tobytes(), g)
            for g, a, n in zip(twins.tolist(), first.tolist(), size.tolist())
        ]
        return cls(group, np.asarray(model, np.int64), order, begin)

    @cached_property
    def chosen(self) -> Any:
        """Marks (n,) of the lines in models."""
        return self.model[self.group] == self.group

    @cached_property
    def place(self) -> Ints:
        """Place of each line in its cluster, (n,)."""
        out = np.empty(len(self.order), np.int64)
        out[self.order] = np.arange(len(self.order)) - self.begin[self.group[self.order]]
        return out

    def spread(self, a: Ints, b: Ints, values: Floats) -> tuple[Ints, Ints, Floats]:
        """Pairs of lines (a, b) of models, and a value of each: the same for all clusters that look like theirs."""
        group = self.group[a]
        copies = np.argsort(self.model, kind="stable")  # clusters by model
        start = np.searchsorted(self.model[copies], group)
        count = np.bincount(self.model, minlength=len(self.model))[group]
        pair = np.repeat(np.arange(len(a)), count)
        nth = np.arange(len(pair)) - np.repeat(np.cumsum(count) - count, count)
        to = copies[start[pair] + nth]
        return (
            self.order[self.begin[to] + self.place[a][pair]],
            self.order[self.begin[to] + self.place[b][pair]],
            values[pair],
        )
