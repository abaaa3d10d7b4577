"""Bridges as places in the sheet: strips from the wall across the kerf to what the cuts leave standing.

A place, not a piece of a way: every later stage changes lengths, and other cuts pass it too.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from attrs import define, fields

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.curve import Curve
from kerfwright.fineness import quad_segs
from kerfwright.sweep import flat_runs, strands

__all__ = ["FAR", "Held", "Kerf", "across", "grazed"]

FAR = 12.0
"""A bridge ends within this many radii of the cutter, or there is no place for it."""


@define(frozen=True, eq=False)
class Held:
    """m bridges, program frame, mm.

    wall (m, 2) on the wall · out (m, 2) from there to the waste, length 1 · far (m,) how far the strip goes · half (m,)
    half of its width · z (m,) its top · slope (m,) of its flanks (mm per mm, inf is square).
    """

    wall: Floats
    out: Floats
    far: Floats
    half: Floats
    z: Floats
    slope: Floats

    def __len__(self) -> int:
        return len(self.far)

    @classmethod
    def none(cls) -> Held:
        """No bridge."""
        return cls(np.zeros((0, 2)), np.zeros((0, 2)), *[np.zeros(0) for _ in range(4)])

    @classmethod
    def join(cls, some: Sequence[Held]) -> Held:
        """All of several."""
        if not some:
            return cls.none()
        return cls(*[np.concatenate([getattr(h, a.name) for h in some]) for a in fields(cls)])

    def take(self, which: Ints) -> Held:
        """Some of them."""
        return Held(*[getattr(self, a.name)[which] for a in fields(Held)])

    def near(self, box: tuple[float, float, float, float], reach: float) -> Held:
        """Those whose strips come within `reach` of a box (x0, y0, x1, y1)."""
        b = self.boxes(reach)
        return self.take(
            np.flatnonzero((b[:, 0] <= box[2]) & (b[:, 2] >= box[0]) & (b[:, 1] <= box[3]) & (b[:, 3] >= box[1]))
        )

    def moved(self, dx: float, dy: float) -> Held:
        """Shifted."""
        return Held(self.wall + [dx, dy], self.out, self.far, self.half, self.z, self.slope)

    def mirrored(self) -> Held:
        """Seen in a mirror: X changes sign."""
        return Held(self.wall * [-1.0, 1.0], self.out * [-1.0, 1.0], self.far, self.half, self.z, self.slope)

    def gap(self, xy: Floats) -> Floats:
        """Distance of points (..., 2) to the strips, (..., m)."""
        q = xy[..., None, :] - self.wall
        u = (q * self.out).sum(-1)
        v = np.abs(q[..., 0] * self.out[:, 1] - q[..., 1] * self.out[:, 0])
        gap: Floats = np.hypot(np.maximum(np.maximum(-u, u - self.far), 0), np.maximum(v - self.half, 0))
        return gap

    def boxes(self, reach: float) -> Floats:
        """Bounds (m, 4) of the strips, grown by `reach`."""
        ends = np.stack([self.wall, self.wall + self.far[:, None] * self.out])
        grow = self.half[:, None] + reach
        return np.concatenate([ends.min(0) - grow, ends.max(0) + grow], axis=1)


@define(frozen=True, eq=False)
class Kerf:
    """A way that is cut at several places: where (k, 2) it is shifted to, the cutter's radius, and how deep it goes."""

    curve: Curve
    shifts: Floats
    radius: float
    bottom: float


def across(
    points: Floats, left: Floats, z: Floats, width: Floats, radius: float, kerfs: Sequence[Kerf], stock: shapely.Polygon
) -> Floats:
    """How far (m,) from center points (m, 2) towards `left` (m, 2) all is cut away below z, until something stands.

    What is thinner than `width` does not count as standing, nor what lies beyond the sheet. nan where nothing stands
    within `FAR` radii.
    """
    if not len(points):
        return np.zeros(0)
    length = FAR * radius
    rays = shapely.linestrings(np.stack([points, points + length * left], axis=1))
    # the first edge of the sheet counts, whatever lies behind it
    rim = shapely.distance(shapely.points(points), shapely.intersection(rays, stock.exterior))
    limit = np.where(np.isnan(rim), np.inf, rim)
    spans = _spans(points, left, z, rays, kerfs)
    out = np.full(len(points), np.nan)
    for i, (from_, to) in enumerate(spans):
        reach = radius
        for k in np.argsort(from_, kind="stable"):
            if from_[k] >= reach + width[i]:
                break
            reach = max(reach, to[k])
        if reach < length - 1e-6 and reach + width[i] <= limit[i]:
            out[i] = reach
    return out


def _spans(points: Floats, left: Floats, z: Floats, rays: Floats, kerfs: Sequence[Kerf]) -> list[tuple[Floats, Floats]]:
    """Where (from, to) each ray runs through a kerf that is cut below its z."""
    lines, radii, bottoms = _near(rays, kerfs)
    if not len(lines):
        return [(np.zeros(0), np.zeros(0))] * len(points)
    ray, line = shapely.STRtree(lines).query(rays, predicate="dwithin", distance=float(radii.max()))
    deep = bottoms[line] < z[ray] - 1e-9
    ray, line = ray[deep], line[deep]
    used, back = np.unique(line, return_inverse=True)
    quads = quad_segs(float(radii.max()), 0.002)
    hit = shapely.intersection(rays[ray], shapely.buffer(lines[used], radii[used], quad_segs=quads)[back])
    parts, pair = shapely.get_parts(hit, return_index=True)
    solid = ~shapely.is_empty(parts)
    parts, own = parts[solid], ray[pair[solid]]
    xy, k = shapely.get_coordinates(parts, return_index=True)
    t = ((xy - points[own[k]]) * left[own[k]]).sum(1)
    at = np.flatnonzero(np.r_[True, np.diff(k) > 0]) if len(k) else np.zeros(0, int)
    low, high = (np.minimum.reduceat(t, at), np.maximum.reduceat(t, at)) if len(at) else (t, t)
    return [(low[own == i], high[own == i]) for i in range(len(points))]


def _near(rays: Floats, kerfs: Sequence[Kerf]) -> tuple[Floats, Floats, Floats]:
    """Open strands of the kerfs that come near any ray, with radius and bottom of each."""
    tree = shapely.STRtree(rays)
    lines, radii, bottoms = [np.zeros(0, object)], [], []
    for kerf in kerfs:
        box = np.array(kerf.curve.bounds)
        box = np.tile(box, (len(kerf.shifts), 1)) + np.tile(kerf.shifts, 2)
        box += kerf.radius * np.array([-1, -1, 1, 1])
        near = np.unique(tree.query(shapely.box(*box.T))[0])
        if not len(near):
            continue
        points, starts = flat_runs([kerf.curve], 0.002)
        some = [strands(points + kerf.shifts[n], starts, 24)[0] for n in near]
        lines += some
        count = sum(map(len, some))
        radii.append(np.full(count, kerf.radius))
        bottoms.append(np.full(count, kerf.bottom))
    return np.concatenate(lines), np.concatenate([*radii, []]), np.concatenate([*bottoms, []])


def grazed(held: Held, kerfs: Sequence[Kerf], radius: float) -> Bools:
    """Which bridges (m,) a cut passes beside without crossing them, so near that it is raised: it leaves a stub at its own
    wall there, which is a link that nobody asked for.
    """
    side = np.column_stack([-held.out[:, 1], held.out[:, 0]]) * held.half[:, None]
    end = held.wall + held.far[:, None] * held.out
    strips = shapely.polygons(np.stack([held.wall - side, end - side, end + side, held.wall + side], axis=1))
    axes = shapely.linestrings(np.stack([held.wall, end], axis=1))
    lines, radii, bottoms = _near(axes, kerfs)
    out = np.zeros(len(held), bool)
    if not len(lines):
        return out
    wide = shapely.buffer(strips, radius - 0.01, quad_segs=16)
    strip, line = shapely.STRtree(lines).query(wide, predicate="intersects")
    deep = (bottoms[line] < held.z[strip] - 1e-9) & (np.abs(radii[line] - radius) < 1e-9)
    for k in np.unique(strip[deep]).tolist():
        within = shapely.intersection(shapely.union_all(lines[line[deep & (strip == k)]]), wide[k])
        runs = [g for g in shapely.get_parts(within) if shapely.get_type_id(g) == 1]
        merged = shapely.get_parts(shapely.line_merge(shapely.multilinestrings(runs)))
        out[k] = bool((~shapely.intersects(merged, axes[k])).any())
    return out
