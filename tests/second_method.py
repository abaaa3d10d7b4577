"""A second way to the truth: reads a program by regular expressions and measures it against shapes known in closed form.

Nothing of the package is used here, neither its reader nor its curves, offsets or checks, so an error would have to be
made twice, in two ways, to be overlooked. All lengths in mm.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from typing import Any

import numpy as np

STEP = 0.02
"""From one sample of a wall to the next."""
BESIDE = math.ceil(0.45 / STEP)
"""Samples beside a bridge where the round end of a cut can be told from the wall it touches."""
FAR = 1000.0
WORD = re.compile(r"([A-Z])\s*([-+]?(?:\d+\.?\d*|\.\d+))")


# --- shapes: lines ("L", p, q) and arcs ("A", center, radius, start angle, sweep), counter-clockwise


def line(p: Any, q: Any) -> tuple[Any, ...]:
    return ("L", np.asarray(p, float), np.asarray(q, float))


def arc(c: Any, r: float, start: float, sweep: float) -> tuple[Any, ...]:
    return ("A", np.asarray(c, float), r, start, sweep)


def circle(c: Any, diameter: float) -> list[Any]:
    return [arc(c, diameter / 2, 0.0, math.pi), arc(c, diameter / 2, math.pi, math.pi)]


def polygon(points: Any) -> list[Any]:
    return [line(p, q) for p, q in zip(points, [*points[1:], points[0]])]


def rectangle(corner: Any, size: Any, r: float) -> list[Any]:
    (x, y), (w, h) = corner, size
    if not r:
        return polygon([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])
    q = math.pi / 2
    return [
        line((x + r, y), (x + w - r, y)), arc((x + w - r, y + r), r, -q, q),
        line((x + w, y + r), (x + w, y + h - r)), arc((x + w - r, y + h - r), r, 0, q),
        line((x + w - r, y + h), (x + r, y + h)), arc((x + r, y + h - r), r, q, q),
        line((x, y + h - r), (x, y + r)), arc((x + r, y + r), r, 2 * q, q),
    ]  # fmt: skip


def slot(a: Any, b: Any, width: float) -> list[Any]:
    a, b, r = np.asarray(a, float), np.asarray(b, float), width / 2
    along = (b - a) / np.hypot(*(b - a))
    out, angle = np.array([along[1], -along[0]]) * r, math.atan2(-along[0], along[1])
    return [
        line(a + out, b + out), arc(b, r, angle, math.pi), line(b - out, a - out), arc(a, r, angle + math.pi, math.pi),
    ]  # fmt: skip


def dee(c: Any, r: float) -> list[Any]:
    """Half a disc, flat side down."""
    return [line((c[0] - r, c[1]), (c[0] + r, c[1])), arc(c, r, 0.0, math.pi)]


def moved(prims: list[Any], turn: float, dx: float, dy: float) -> list[Any]:
    """Turned about the origin (degrees), then shifted."""
    t = math.radians(turn)
    m, d = np.array([[math.cos(t), -math.sin(t)], [math.sin(t), math.cos(t)]]), np.array([dx, dy])
    return [line(m @ p[1] + d, m @ p[2] + d) if p[0] == "L" else arc(m @ p[1] + d, p[2], p[3] + t, p[4]) for p in prims]


def extent(prims: list[Any]) -> tuple[float, float, float, float]:
    pts = []
    for p in prims:
        if p[0] == "L":
            pts += [p[1], p[2]]
            continue
        angles = [p[3], p[3] + p[4]] + [k * math.pi / 2 for k in range(-16, 17) if p[3] < k * math.pi / 2 < p[3] + p[4]]
        pts += [p[1] + p[2] * np.array([math.cos(a), math.sin(a)]) for a in angles]
    a = np.array(pts)
    return (*a.min(0), *a.max(0))


def tables(prims: list[Any]) -> tuple[Any, Any]:
    lines = np.array([[*p[1], *p[2]] for p in prims if p[0] == "L"]).reshape(-1, 4)
    arcs = np.array([[*p[1], *p[2:]] for p in prims if p[0] == "A"]).reshape(-1, 5)
    return lines, arcs


def to_lines(p: Any, s: Any) -> Any:
    """Distances (n, m) of points from straight segments."""
    d = s[:, 2:] - s[:, :2]
    q = p[:, None] - s[None, :, :2]
    f = np.clip((q * d).sum(-1) / np.maximum((d * d).sum(-1), 1e-18), 0, 1)
    return np.hypot(*np.moveaxis(q - f[..., None] * d, -1, 0))


def to_arcs(p: Any, a: Any) -> Any:
    """Distances (n, m) of points from arcs."""
    q = p[:, None] - a[None, :, :2]
    away, angle = np.hypot(q[..., 0], q[..., 1]), np.arctan2(q[..., 1], q[..., 0])
    ahead = np.mod((angle - a[:, 3]) * np.sign(a[:, 4]), 2 * np.pi)
    ends = np.minimum(
        *(
            np.hypot(q[..., 0] - a[:, 2] * np.cos(e), q[..., 1] - a[:, 2] * np.sin(e))
            for e in (a[:, 3], a[:, 3] + a[:, 4])
        )
    )
    return np.where((ahead <= np.abs(a[:, 4])) & (a[:, 4] != 0), np.abs(away - a[:, 2]), ends)


def away(prims: list[Any], p: Any) -> Any:
    """Distance of points from an outline."""
    lines, arcs = tables(prims)
    out = np.full(len(p), FAR)
    if len(lines):
        out = np.minimum(out, to_lines(p, lines).min(1))
    return np.minimum(out, to_arcs(p, arcs).min(1)) if len(arcs) else out


def inside(prims: list[Any], p: Any) -> Any:
    """Even-odd: in the polygon of chords, but for the caps between chord and arc (arcs turn half a circle at most)."""
    # a hair aside: on the very height of a corner or a center the last digit would decide
    p, odd = p + [1.3e-7, 2.7e-7], np.zeros(len(p), bool)
    for one in prims:
        if one[0] == "L":
            a, b = one[1], one[2]
        else:
            a, b = (one[1] + one[2] * np.array([math.cos(t), math.sin(t)]) for t in (one[3], one[3] + one[4]))
            side = (b[0] - a[0]) * (p[:, 1] - a[1]) - (b[1] - a[1]) * (p[:, 0] - a[0])
            odd ^= (np.hypot(*(p - one[1]).T) < one[2]) & (side < 0)
        if a[1] != b[1]:
            x = a[0] + (p[:, 1] - a[1]) * (b[0] - a[0]) / (b[1] - a[1])
            odd ^= ((a[1] > p[:, 1]) != (b[1] > p[:, 1])) & (p[:, 0] < x)
    return odd


def samples(prims: list[Any], step: float = STEP) -> tuple[Any, Any]:
    """Points along an outline and the normals outwards; corners twice, once with each side's."""
    pts, normals = [], []
    for one in prims:
        if one[0] == "L":
            d = one[2] - one[1]
            long = float(np.hypot(*d))
            f = np.linspace(0, 1, max(2, math.ceil(long / step) + 1))[:, None]
            pts.append(one[1] + f * d)
            normals.append(np.tile([d[1] / long, -d[0] / long], (len(f), 1)))
        else:
            a = one[3] + one[4] * np.linspace(0, 1, max(3, math.ceil(one[2] * abs(one[4]) / step) + 1))
            n = np.stack([np.cos(a), np.sin(a)], 1)
            pts.append(one[1] + one[2] * n)
            normals.append(n)
    return np.vstack(pts), np.vstack(normals)


# --- programs


@dataclass
class Move:
    a: Any
    b: Any
    kind: int
    feed: float
    line: int
    spindle: bool
    cutter: int
    arc: tuple[float, float, float, float, float] | None = None


@dataclass
class Said:
    moves: list[Move] = field(default_factory=list)
    ended: bool = False
    dwells: float = 0.0
    modes: set[str] = field(default_factory=set)


def read(text: str) -> Said:
    """Moves of a program: G0 to G3, XY plane, incremental centers, absolute G81 and G82 with G98. Raises ValueError for what it does not know."""
    out, here = Said(), np.full(3, np.nan)
    motion, scale, absolute, feed, spindle, cutter = -1, 1.0, True, 0.0, False, 0
    retract = depth = math.nan
    for number, raw in enumerate(text.splitlines(), 1):
        block = re.sub(r"\([^)]*\)", "", raw)
        words = WORD.findall(block)
        if WORD.sub("", block).strip():
            raise ValueError(f"line {number}: {raw}")
        if out.ended and words:
            break
        axes, center, dwell = {}, {"I": 0.0, "J": 0.0}, False
        for letter, digits in words:
            v = float(digits)
            if letter == "G":
                code = f"G{v:g}"
                out.modes.add(code)
                if v in (0, 1, 2, 3, 81, 82):
                    motion = int(v)
                elif v == 80:
                    motion = -1
                elif v in (20, 21):
                    scale = 25.4 if v == 20 else 1.0
                elif v in (90, 91):
                    absolute = v == 90
                elif v == 4:
                    dwell = True
                elif v not in (17, 94, 40, 49, 54, 61, 98):
                    raise ValueError(f"line {number}: {code}")
            elif letter == "M":
                spindle = {3.0: True, 4.0: True, 5.0: False}.get(v, spindle)
                out.ended |= v in (2, 30)
            elif letter in "XYZ":
                axes["XYZ".index(letter)] = v
            elif letter in "IJ":
                center[letter] = v
            elif letter == "R":
                retract = v
            elif letter == "F":
                feed = v
            elif letter == "T":
                cutter = int(v)
        if dwell or not axes:
            continue
        to = here.copy()
        for k, v in axes.items():
            to[k] = v * scale + (0.0 if absolute else here[k])
        if motion in (81, 82):  # across, down to R, by feed to Z, back up; the place keeps its height
            depth = to[2] if 2 in axes else depth
            x, y = to[:2]
            if "G98" not in out.modes or not math.isfinite(depth + retract + x + y + here[2]):
                raise ValueError(f"line {number}: {raw}")
            stops = [((x, y, here[2]), 0), ((x, y, retract * scale), 0), ((x, y, depth), 1), ((x, y, here[2]), 0)]
            for place, kind in stops:
                out.moves.append(Move(here, np.array(place), kind, feed * scale, number, spindle, cutter))
                here = np.array(place)
            continue
        one = Move(here, to, motion, feed * scale, number, spindle, cutter)
        if motion in (2, 3):
            c = here[:2] + scale * np.array([center["I"], center["J"]])
            r0, r1 = np.hypot(*(here[:2] - c)), np.hypot(*(to[:2] - c))
            if not abs(r0 - r1) < 0.003:
                raise ValueError(f"line {number}: radii {r0:.4f} and {r1:.4f}")
            a0, a1 = (math.atan2(*(q[:2] - c)[::-1]) for q in (here, to))
            sweep = (a1 - a0) % (2 * math.pi) if motion == 3 else -((a0 - a1) % (2 * math.pi))
            one.arc = (*c, (r0 + r1) / 2, a0, sweep or (2 * math.pi if motion == 3 else -2 * math.pi))
        out.moves.append(one)
        here = to
    return out


@dataclass
class Cut:
    """What lies at or below a level: lines (n, 4), arcs (m, 5), and the cutter's radius of each."""

    lines: Any
    arcs: Any
    lr: Any
    ar: Any

    @classmethod
    def at(cls, programs: list[tuple[Said, float, float]], level: float) -> Cut:
        """Of programs, each with the cutter's radius and the length of its point."""
        lines, arcs, lr, ar = [], [], [], []
        for said, r, point in programs:
            for m in said.moves:
                z0, z1 = m.a[2] + point, m.b[2] + point
                if not min(z0, z1) <= level or np.isnan(m.a).any():
                    continue
                f0 = 0.0 if z0 <= level else (level - z0) / (z1 - z0)
                f1 = 1.0 if z1 <= level else (level - z0) / (z1 - z0)
                if m.arc is None:
                    d = m.b[:2] - m.a[:2]
                    lines.append([*(m.a[:2] + f0 * d), *(m.a[:2] + f1 * d)])
                    lr.append(r)
                else:
                    x, y, radius, start, sweep = m.arc
                    arcs.append([x, y, radius, start + f0 * sweep, (f1 - f0) * sweep])
                    ar.append(r)
        return cls(np.array(lines).reshape(-1, 4), np.array(arcs).reshape(-1, 5), np.array(lr), np.array(ar))

    def short(self, p: Any, block: int = 64) -> Any:
        """How far each point is from the sweep, negative inside it; 1000 where nothing is within half a mm of it."""
        out = np.full(len(p), FAR)
        s, a, reach = self.lines, self.arcs, 0.5
        s_lo, s_hi = np.minimum(s[:, :2], s[:, 2:]), np.maximum(s[:, :2], s[:, 2:])
        for k in range(0, len(p), block):
            q = p[k : k + block]
            lo, hi = q.min(0), q.max(0)
            near = ((s_lo <= hi + (self.lr + reach)[:, None]) & (s_hi >= lo - (self.lr + reach)[:, None])).all(1)
            if near.any():
                out[k : k + block] = (to_lines(q, s[near]) - self.lr[near]).min(1)
            wide = (a[:, 2] + self.ar + reach)[:, None]
            near = ((a[:, :2] - wide <= hi) & (a[:, :2] + wide >= lo)).all(1)
            if near.any():
                out[k : k + block] = np.minimum(out[k : k + block], (to_arcs(q, a[near]) - self.ar[near]).min(1))
        return out

    def centers(self, step: float) -> tuple[Any, Any]:
        """Points along the cutter's way, ends included, and its radius there."""
        pts, radii = [np.zeros((0, 2))], [np.zeros(0)]
        for s, r in zip(self.lines, self.lr):
            f = np.linspace(0, 1, max(2, math.ceil(float(np.hypot(*(s[2:] - s[:2]))) / step) + 1))[:, None]
            pts.append(s[:2] + f * (s[2:] - s[:2]))
            radii.append(np.full(len(f), r))
        for c, r in zip(self.arcs, self.ar):
            t = c[3] + c[4] * np.linspace(0, 1, max(2, math.ceil(abs(c[4]) * c[2] / step) + 1))
            pts.append(c[:2] + c[2] * np.stack([np.cos(t), np.sin(t)], 1))
            radii.append(np.full(len(t), r))
        return np.vstack(pts), np.concatenate(radii)


# --- what the sheet must become


@dataclass
class Task:
    """An outline that is worked on: `how` is outside, inside, pocket or drill; `islands` stand in a pocket.

    `floor` is the Z it goes down to, `r` the radius of its cutter, `bridge` the (width, thickness) declared.
    """

    how: str
    prims: list[Any]
    floor: float
    r: float
    through: bool
    bridge: tuple[float, float] | None = None
    islands: list[list[Any]] = field(default_factory=list)


@dataclass
class Solid:
    """A piece: what is inside its outer outline but in no opening."""

    part: str
    outer: Task
    openings: list[Task] = field(default_factory=list)
    pockets: list[Task] = field(default_factory=list)

    def boundary(self, level: float) -> list[list[Any]]:
        """Outlines of what stays at a level."""
        out = [self.outer.prims]
        gone = [t for t in self.pockets if t.floor < level]
        for t in gone:
            out += [t.prims, *t.islands]
        for t in self.openings:
            p = samples(t.prims, 5.0)[0][:1]
            if not any(bool(inside(g.prims, p)[0]) for g in gone):
                out.append(t.prims)
        return out

    def has(self, p: Any, level: float) -> Any:
        """Points that stay at a level."""
        on = inside(self.outer.prims, p)
        for t in self.openings:
            on &= ~inside(t.prims, p)
        for t in self.pockets:
            if t.floor < level:
                area = inside(t.prims, p)
                for i in t.islands:
                    area &= ~inside(i, p)
                on &= ~area
        return on


@dataclass
class Sheet:
    solids: list[Solid]
    top: float
    underside: float
    lowest: float
    """The underside where the sheet is thickest."""
    box: tuple[float, float, float, float]
    linked: bool
    """Held by what grips only the sheet, not what is cut out of it."""


@dataclass
class Judgement:
    gouge: dict[str, float] = field(default_factory=dict)
    leftover: dict[str, float] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    bridges: int = 0
    wide: list[float] = field(default_factory=list)
    """Waists of bridges that came out wider than declared: they hold, but are told."""


def judge(sheet: Sheet, programs: list[tuple[Said, float, float]], cell: float = 0.25) -> Judgement:
    """Measure programs, each with its cutter's radius and point, against a sheet."""
    out = Judgement({s.part: 0.0 for s in sheet.solids}, {s.part: 0.0 for s in sheet.solids})
    _motions(sheet, programs, out)
    cuts: dict[float, Cut] = {}

    def cut(level: float) -> Cut:
        level = round(level, 6)
        if level not in cuts:
            cuts[level] = Cut.at(programs, level)
        return cuts[level]

    floors = {t.floor for s in sheet.solids for t in s.pockets if not t.through}
    tops = sorted({sheet.top, *floors}, reverse=True)
    levels = [z - 0.01 for z in tops] + [(a + b) / 2 for a, b in zip(tops, [*tops[1:], sheet.underside])]
    for level in [*levels, sheet.underside + 0.005]:
        c = cut(level)
        way, r = c.centers(0.5)
        for s in sheet.solids:
            walls = s.boundary(level)
            worst = max(float(-c.short(samples(w)[0]).min()) for w in walls)
            x0, y0, x1, y1 = extent(s.outer.prims)
            near = ((way >= [x0, y0]) & (way <= [x1, y1])).all(1)
            if near.any():
                p, rp = way[near], r[near]
                over = s.has(p, level)
                if over.any():
                    d = np.min([away(w, p[over]) for w in walls], axis=0)
                    worst = max(worst, float((d + rp[over]).max()))
            out.gouge[s.part] = max(out.gouge[s.part], worst)
    every = [w for s in sheet.solids for w in s.boundary(sheet.underside - 0.001)]
    for s in sheet.solids:
        for t in [s.outer, *s.openings, *s.pockets]:
            left = _left(sheet, s, t, cut, every, out)
            out.leftover[s.part] = max(out.leftover[s.part], left)
    deepest = min(t.floor for s in sheet.solids for t in [s.outer, *s.openings, *s.pockets])
    for said, _, point in programs:
        low = min((float(np.nanmin([m.a[2], m.b[2]])) for m in said.moves), default=0.0) + point
        if low < deepest - 0.002:
            out.faults.append(f"goes to {low:.3f}, deepest floor {deepest:.3f}")
    if sheet.linked:
        _loose(sheet, cut(sheet.underside + 0.005), cell, out)
    return out


def _motions(sheet: Sheet, programs: list[tuple[Said, float, float]], out: Judgement) -> None:
    for said, _, _ in programs:
        if not said.ended:
            out.faults.append("no program end")
        for m in said.moves:
            low = float(np.nanmin([m.a[2], m.b[2], np.inf]))
            if low < sheet.top - 1e-6:
                flat = np.abs(m.b[:2] - m.a[:2]).max() > 1e-6
                if m.kind == 0 and (flat or m.b[2] < m.a[2]):
                    out.faults.append(f"line {m.line}: rapid in the sheet, Z {low:.3f}")
                if not m.spindle:
                    out.faults.append(f"line {m.line}: spindle stands in the sheet")
                if m.kind and m.feed <= 0:
                    out.faults.append(f"line {m.line}: no feed")


def _reachable(t: Task, every: list[list[Any]], p: Any) -> Any:
    """Whether a cutter's center may stand at points: its disc leaves what stays alone."""
    if t.how == "pocket":
        walls = [t.prims, *t.islands]
        ok = inside(t.prims, p)
        for i in t.islands:
            ok &= ~inside(i, p)
    else:
        walls = every
        ok = inside(t.prims, p) == (t.how == "inside")
    return ok & (np.min([away(w, p) for w in walls], axis=0) >= t.r - 1e-5)


def _left(sheet: Sheet, s: Solid, t: Task, cut: Any, every: list[list[Any]], out: Judgement) -> float:
    """Worst leftover of one task, bridges excepted; bridges are counted and measured."""
    level = t.floor + (0.01 if t.through else 0.005)
    if t.how == "drill":
        return max(0.0, float(cut(level).short(samples(t.prims)[0]).max()))
    worst, reached = 0.0, 0
    for outline in [t.prims, *t.islands]:
        p, n = samples(outline)
        waste = -n if (t.how != "outside") == (outline is t.prims) else n
        ok = _reachable(t, every, p + waste * t.r)
        reached += int(ok.sum())
        short = cut(level).short(p)
        if t.bridge is not None and outline is t.prims:
            ok &= ~_bridges(sheet, t, p, n, waste, cut, short > 0.006, out)
        worst = max(worst, float(short[ok].max(initial=0.0)))
    if t.how != "pocket":
        worst = max(worst, _fillets(t, every, cut(level)))
    if not reached:
        out.faults.append(f"{s.part}: the cutter cannot reach a {t.how}")
    if t.how == "pocket":
        x0, y0, x1, y1 = extent(t.prims)
        # off the corners' own heights, where in or out is decided by the last digit
        grid = np.stack(np.meshgrid(np.arange(x0 + 0.0137, x1, 0.2), np.arange(y0 + 0.0171, y1, 0.2)), -1).reshape(
            -1, 2
        )
        clear = _reachable(t, every, grid)
        worst = max(worst, float(cut(level).short(grid[clear], 32).max(initial=0.0)))
    return worst


def _fillets(t: Task, every: list[list[Any]], c: Cut) -> float:
    """Leftover of the rounded corners that a round cutter makes of corners between straights."""
    worst = 0.0
    for a, b in zip(t.prims, [*t.prims[1:], t.prims[0]]):
        if a[0] != "L" or b[0] != "L":
            continue
        d0, d1 = ((q[2] - q[1]) / np.hypot(*(q[2] - q[1])) for q in (a, b))
        turn = math.atan2(d0[0] * d1[1] - d0[1] * d1[0], float(d0 @ d1))
        if turn * (1 if t.how == "inside" else -1) < 0.05:
            continue
        half = (math.pi - abs(turn)) / 2
        mid = (d1 - d0) / np.hypot(*(d1 - d0))
        center = a[2] + mid * t.r / math.sin(half)
        if _reachable(t, every, center[None])[0]:
            angle = math.atan2(-mid[1], -mid[0]) + np.linspace(-1, 1, 9) * (math.pi / 2 - half)
            p = center + t.r * np.stack([np.cos(angle), np.sin(angle)], 1)
            worst = max(worst, float(c.short(p).max()))
    return worst


def _bridges(sheet: Sheet, t: Task, p: Any, n: Any, waste: Any, cut: Any, standing: Any, out: Judgement) -> Any:
    """Samples that stand for bridges, and a margin beside them. Faults where those are not as declared."""
    assert t.bridge is not None
    width, thickness = t.bridge
    top = sheet.underside + min(thickness, sheet.top - sheet.underside)
    standing = standing & (cut(top + 0.01).short(p) <= 0.006)
    excused = np.zeros(len(p), bool)
    if t.how == "inside" and _is_dust(t):
        return excused
    if not standing.any():
        out.faults.append("no bridge stands on an outline that must have two")
        return excused
    k = np.roll(np.arange(len(p)), -int(np.argmin(standing)))
    edges = np.flatnonzero(np.diff(np.concatenate([[0], standing[k].astype(int), [0]])))
    count = 0
    way, _ = cut(top - 0.01).centers(0.02)
    to_wall = np.abs(away(t.prims, way) - t.r) < 0.05
    way = way[to_wall & (inside(t.prims, way) == (t.how == "inside"))]
    for i, j in zip(edges[::2], edges[1::2]):
        run = k[i:j]
        long = float(np.hypot(*np.diff(p[run], axis=0).T).sum())
        if long > 2 * (width + 2 * t.r) + 0.3:
            continue
        count += 1
        excused[k[np.arange(i - BESIDE, j + BESIDE) % len(k)]] = True
        m = run[len(run) // 2]
        more = math.ceil((t.r + 0.5) / STEP)
        here = p[k[np.arange(i - more, j + more) % len(k)]][::4]
        near = way[np.hypot(*(way - p[m]).T) < long + 3 * t.r + 1.0]
        near = near[np.hypot(*np.moveaxis(near[:, None] - here[None], -1, 0)).min(1) < t.r + 0.05]
        side = (near - p[m]) @ np.array([-n[m][1], n[m][0]])
        a, b = near[side < 0], near[side >= 0]
        if not len(a) or not len(b):
            out.faults.append(f"a bridge at {p[m].round(2)} has a cut on one side only")
            continue
        waist = float(np.hypot(*np.moveaxis(a[:, None] - b[None], -1, 0)).min()) - 2 * t.r
        if waist > width + 0.32:
            out.wide.append(waist)
        if waist < width - 0.06:
            out.faults.append(f"a bridge at {p[m].round(2)} is {waist:.3f} wide, declared {width}")
    out.bridges += count
    if count < 2:
        out.faults.append(f"{count} bridges stand on an outline that must have two")
    return excused


def _is_dust(t: Task) -> bool:
    """An opening whose kerf leaves nothing inside that could be held."""
    x0, y0, x1, y1 = extent(t.prims)
    grid = np.stack(np.meshgrid(np.arange(x0 + 0.0137, x1, 0.1), np.arange(y0 + 0.0171, y1, 0.1)), -1).reshape(-1, 2)
    grid = grid[inside(t.prims, grid)]
    return bool(away(t.prims, grid).max(initial=0.0) < 2 * t.r + 0.05)


def _loose(sheet: Sheet, c: Cut, cell: float, out: Judgement) -> None:
    """A raster of what stands at the underside; what hangs together is joined run by run."""
    x0, y0, x1, y1 = sheet.box
    xs, ys = np.arange(x0 + cell / 2, x1, cell), np.arange(y0 + cell / 2, y1, cell)
    short = np.full((len(ys), len(xs)), FAR)
    tile = 24
    for i in range(0, len(ys), tile):
        for j in range(0, len(xs), tile):
            g = np.stack(np.meshgrid(xs[j : j + tile], ys[i : i + tile]), -1)
            short[i : i + tile, j : j + tile] = c.short(g.reshape(-1, 2), tile * tile).reshape(g.shape[:2])
    stands = short > 0
    label = np.full(stands.shape, -1)
    parent: list[int] = []

    def root(a: int) -> int:
        while parent[a] != a:
            parent[a] = parent[parent[a]]
            a = parent[a]
        return a

    for i, row in enumerate(stands):
        edge = np.flatnonzero(np.diff(np.concatenate([[0], row.astype(int), [0]])))
        for a, b in zip(edge[::2], edge[1::2]):
            label[i, a:b] = len(parent)
            parent.append(len(parent))
            if i:
                for other in np.unique(label[i - 1, a:b]):
                    if other >= 0:
                        parent[root(int(other))] = root(len(parent) - 1)
    flat = np.array([root(k) for k in range(len(parent))])
    name = np.where(stands, flat[label], -1)
    names, count = np.unique(name[stands], return_counts=True)
    main = names[np.argmax(count)]
    for one in names[names != main]:
        mine = name == one
        if mine.sum() * cell * cell > 0.3 and short[mine].max() > 0.1:
            i, j = np.argwhere(mine)[0]
            out.faults.append(f"{mine.sum() * cell * cell:.1f} mm2 come loose near {xs[j]:.1f}, {ys[i]:.1f}")
