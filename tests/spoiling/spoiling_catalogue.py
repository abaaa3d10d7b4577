"""The catalogue: ways to spoil a program, one row each, and the codes that must be told. To add one, add a row.  # a table

A row is a name, where it is done (`mill`: the last program of an end mill, `drill`: the first of a drill, `walk`: the
walk-round, `all`: every text, `order`: the programs of the sheet), the codes of which one at least must be among the
errors (written by hand, before it was tried), and the edit. An edit raises Nothing where a text has nothing of the kind.
A harmless row names no code but the reason why it does no harm.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
from attrs import frozen
from spoiling_texts import Nothing, Text

__all__ = ["CATALOGUE", "HARMLESS", "LINES", "Spoil"]


@frozen
class Spoil:
    """One row. `codes` parted by `|`: one of them must be told."""

    name: str
    on: str
    codes: str
    edit: Callable[[Any], Any]
    harmless: str = ""

    @property
    def wanted(self) -> set[str]:
        return set(self.codes.split("|")) if self.codes else set()


def none() -> Any:
    """For a row's either-or."""
    raise Nothing("this job has none")


def units(t: Text) -> tuple[str, str]:
    """The text's word for millimetres, and the one for inches."""
    for metric, inch in (("G21", "G20"), ("G71", "G70")):
        if any(metric in v for v in t.lines):
            return metric, inch
    raise Nothing("units are not said by a word")


def word(kind: str, value: Any = None) -> Callable[[Text], str]:
    """The line of an event lost."""
    return lambda t: t.lose(t.event(kind, value))


def waits(t: Text) -> str:
    """The letter that carries the time of a dwell."""
    found = re.search(r"\bG4 ([PXF])", "\n".join(t.lines))
    return found[1] if found else "P"


def wait(t: Text, seconds: str) -> str:
    """A block that waits."""
    return f"G4 {waits(t)}{seconds}"


def path_mode(new: str) -> Callable[[Text], str]:
    """The word that keeps the cutter to its way, changed or lost."""
    return lambda t: t.code("G61" if any("G61" in v for v in t.lines) else "G60", new, all_of_them=True)


def code(old: str, new: str, **how: Any) -> Callable[[Text], str]:
    return lambda t: t.code(old, new, **how)


def wall(t: Text) -> int:
    """The longest straight cut at the floor that has no more on its line than its end: a wall of the part."""
    alone = np.array([v.count("Z") == 0 for v in t.lines])[t.moves.lines - 1]
    return t.longest(t.deep & t.straight & alone)


def corner(t: Text) -> int:
    """The longest of these without whose end the way would be another: where chords of an arc go on from it, it would not."""
    n = t.moves.curve.nodes[:, :2]
    short, through = n[2:] - n[:-2], n[1:-1] - n[:-2]
    with np.errstate(invalid="ignore", divide="ignore"):
        off = np.abs(short[:, 0] * through[:, 1] - short[:, 1] * through[:, 0]) / np.hypot(*short.T)
    alone = np.array([v.count("Z") == 0 for v in t.lines])[t.moves.lines - 1]
    return t.longest(
        t.deep & t.straight & alone & (np.append(off, 0.0) > 0.05) & (np.append(np.hypot(*through.T), 0.0) > 3)
    )


def fresh_plunge(t: Text) -> int:
    """The first way straight down to where nothing has been cut before."""
    n = t.moves.curve.nodes
    for k in np.flatnonzero(t.plunges).tolist():
        near = np.hypot(*(n[: k + 1, :2] - n[k + 1, :2]).T) < 1.0
        if not (near & (n[: k + 1, 2] < n[k + 1, 2] + 0.01)).any():
            return int(k)
    raise Nothing("every way down leads into what is gone")


def stroke(t: Text) -> int:
    """The first way down of a drill that is written out: after a canned cycle the drill stands in the air."""
    if any(re.search(r"\bG8[123]\b", v) for v in t.lines):
        raise Nothing("a canned cycle")
    return drill_line(t)


def along(t: Text, k: int) -> str:
    """The letter in which a straight cut hardly moves: across the wall."""
    d = np.abs(np.diff(t.moves.curve.nodes[k : k + 2, :2], axis=0))[0]
    if d.min() > 0.01:
        raise Nothing("no cut along an axis")
    return "XY"[int(np.argmin(d))]


def down(t: Text) -> int:
    """Line of the way down before the longest cut at the floor."""
    return t.line(t.last(t.plunges & (np.arange(len(t.z) - 1) < wall(t))))


def bottoms(by: float) -> Callable[[Text], str]:
    """Every Z at the floor, raised or lowered."""
    return lambda t: t.every("Z", lambda z: z + by if z < t.deepest + 0.002 else z)


def one_bottom(by: float) -> Callable[[Text], str]:
    """The way down before the longest cut at the floor."""
    return lambda t: t.shifted(down(t), "Z", by)


def bridge(t: Text, which: int = 0) -> tuple[int, int, int]:
    if not t.lifted:
        raise Nothing("no bridges")
    return tuple(t.line(k) for k in t.lifted[which])  # type: ignore[return-value]


def cut_bridges(t: Text, count: int | None = None) -> str:
    some = t.lifted[:count]
    if not some:
        raise Nothing("no bridges")
    return t.lose(*(t.line(k[0]) for k in some))


def narrow(t: Text, by: float) -> str:
    """The longest straight before a bridge goes on by so much, into it; or ends so much earlier."""
    if not t.lifted:
        raise Nothing("no bridges")
    k = max((up - 1 for up, _, _ in t.lifted), key=lambda j: round(float(t.across[j]), 3))
    d = t.moves.curve.nodes[k + 1, :2] - t.moves.curve.nodes[k, :2]
    i = int(np.argmax(np.abs(d)))
    if t.across[k] < 1 - by or np.abs(d).min() > 0.01 or not t.straight[k]:
        raise Nothing("no straight before it that is long enough")
    return t.shifted(t.line(k), "XY"[i], by * float(np.sign(d[i])))


def lost_pass(t: Text, nth: int = 0) -> str:
    if len(t.passes) < 2:
        raise Nothing("one pass")
    _, a, b = t.passes[nth]
    return t.lose(*range(a, b + 1))


def swapped_passes(t: Text) -> str:
    if len(t.passes) < 2:
        raise Nothing("one pass")
    (z0, *_), (z1, *_) = t.passes[0], t.passes[1]
    first, last = t.passes[0][1], t.passes[1][2]

    def change(line: str) -> str:
        return line.replace(f"Z{z0:.3f}", "Z#").replace(f"Z{z1:.3f}", f"Z{z0:.3f}").replace("Z#", f"Z{z1:.3f}")

    return t.joined([change(v) if first <= k <= last else v for k, v in enumerate(t.lines)])


def half(t: Text, *end: str) -> str:
    n = t.line(t.longest(t.deep)) if t.deep.any() else len(t.lines) // 2
    return t.joined([*t.lines[:n], *end])


def extra(t: Text, x: float, y: float, *, z: float | None = None, rapid: bool = False) -> str:
    """One cut more, at the end: over the sheet, down, a little along, up."""
    k = t.last(t.lifts)
    up, low = t.setup.heights.travel, t.deepest if z is None else z
    rows = [f"G0 X{x:.3f} Y{y:.3f}", f"Z{t.setup.heights.approach:.3f}"]
    rows += [f"G0 Z{low:.3f}"] if rapid else [f"G1 Z{low:.3f} F50", f"X{x + 0.5:.3f}"]
    return t.after(t.line(k), *rows, f"G0 Z{up:.3f}")


def middle(t: Text) -> tuple[float, float]:
    """A place well inside the first piece that no loop is near."""
    piece = t.setup.pieces[0]
    x0, y0, x1, y1 = piece.loops[0].curve.polygon(0.01).bounds
    body = piece.loops[0].curve.polygon(0.01)
    for loop in piece.loops[1:]:
        body = shapely.difference(body, loop.curve.polygon(0.01))
    p = shapely.line_interpolate_point(shapely.maximum_inscribed_circle(body, 0.1), 0)
    assert x0 < p.x < x1
    assert y0 < p.y < y1
    return float(p.x), float(p.y)


def keepout(t: Text) -> str:
    if not t.setup.keepouts:
        raise Nothing("no keepout")
    area = t.setup.keepouts[0][0]
    return extra(t, float(area.centroid.x), float(area.centroid.y), z=t.top + 1.0)


def far(t: Text) -> str:
    """Where the sheet is, but no piece: 12 mm and more away from all."""
    room = shapely.difference(t.setup.stock.buffer(40), t.setup.stock.buffer(15))
    p = room.representative_point()
    return extra(t, float(p.x), float(p.y), z=t.top - 0.5)


def rapid_line(t: Text, k: int) -> str:
    """A move at feed made a rapid, those after it left as they were."""
    line, after = t.line(k), t.line(k) + 1
    head = t.lines[line].replace("G1 ", "")
    following = t.lines[after] if t.lines[after].startswith(("G", "M", "(")) else f"G1 {t.lines[after]}"
    return t.joined([*t.lines[:line], f"G0 {head}", following, *t.lines[after + 1 :]])


def merged_drop(t: Text) -> str:
    """Across and down in one line."""
    k = t.first(t.drops & np.append(False, t.across[:-1] > 0.01))
    a, b = t.line(k - 1), t.line(k)
    if b != a + 1:
        raise Nothing("no rapid across right before a drop")
    return t.joined([*t.lines[:a], f"{t.lines[a]} {t.lines[b]}", *t.lines[b + 1 :]])


def low_travel(t: Text) -> str:
    """A lift between two cuts that does not clear the travel plane, and neither does the way across."""
    k = t.first(t.lifts & (t.z[1:] > t.setup.heights.travel - 0.01) & (np.arange(len(t.z) - 1) > 2))
    if k >= t.last(t.lifts):
        raise Nothing("one lift only")
    return t.put(t.line(k), t.word(t.line(k), "Z", t.top + 0.5))


def lost_lift(t: Text) -> str:
    """The lift between two cuts is lost, its motion word kept."""
    k = t.first(t.lifts & (t.z[1:] > t.setup.heights.travel - 0.01) & (np.arange(len(t.z) - 1) > 2))
    if k >= t.last(t.lifts):
        raise Nothing("one lift only")
    nxt = t.line(k) + 1
    return t.joined([*t.lines[: t.line(k)], f"G0 {t.lines[nxt].replace('G0 ', '')}", *t.lines[nxt + 1 :]])


def arc(t: Text) -> int:
    """A line that says an arc at the floor, between two other cuts: no lead."""
    inner = np.concatenate([[False], t.deep[:-2] & t.deep[2:], [False]])
    k = t.longest(t.deep & ~t.straight & inner)
    t.number(t.line(k), "I")
    return k


def arc_turned(t: Text) -> str:
    k = t.line(arc(t))
    if "G2" in t.lines[k]:
        return t.put(k, t.lines[k].replace("G2", "G3"))
    if "G3" in t.lines[k]:
        return t.put(k, t.lines[k].replace("G3", "G2"))
    raise Nothing("its word is in force")


def arc_straight(t: Text) -> str:
    """An arc that lost its center and its word."""
    k = t.line(arc(t))
    if not t.lines[k].startswith(("G2", "G3")):
        raise Nothing("its word is in force")
    return t.put(k, re.sub(r" [IJ]-?[\d.]+", "", "G1" + t.lines[k][2:]))


def arc_cut_off(t: Text) -> str:
    """An arc whose end is moved along its chord."""
    k = arc(t)
    line = t.line(k)
    letter = "X" if "X" in t.lines[line] else "Y"
    return t.shifted(line, letter, 0.1)


def stop_without_height(t: Text) -> str:
    """The height after the last stop lost; and the place too, so that the text goes straight down."""
    for s in reversed(t.stops()):
        for line in range(s + 1, min(s + 14, len(t.lines))):
            if "Z" in t.lines[line] and not t.lines[line].startswith("("):
                if "G0" in t.lines[line] and "X" in t.lines[line + 1]:
                    return t.joined([*t.lines[:line], f"G0 {t.lines[line + 1]}", *t.lines[line + 2 :]])
                break
    raise Nothing("no stop")


def stop_without_place(t: Text) -> str:
    for s in reversed(t.stops()):
        for line in range(s + 1, min(s + 14, len(t.lines) - 1)):
            if "X" in t.lines[line] and "Y" in t.lines[line] and not t.lines[line].startswith("("):
                return t.lose(line)
    raise Nothing("no stop")


def stop_half_place(t: Text) -> str:
    for s in reversed(t.stops()):
        for line in range(s + 1, min(s + 14, len(t.lines) - 1)):
            if "X" in t.lines[line] and "Y" in t.lines[line] and not t.lines[line].startswith("("):
                return t.without(line, "Y")
    raise Nothing("no stop")


def repeated(t: Text) -> str:
    return t.after(t.line(wall(t)), t.lines[t.line(wall(t))])


def shifted_all(letter: str, by: float) -> Callable[[Text], str]:
    return lambda t: t.every(letter, lambda v: v + by)


def second(t: Text) -> int:
    """Line of the second cut at the floor with nothing but one end on it."""
    k = t.first(t.deep)
    return t.line(t.first(t.deep, k + 1))


def feeds(factor: float) -> Callable[[Text], str]:
    return lambda t: t.every("F", lambda f: max(1.0, f * factor))


def one_feed(t: Text, factor: float) -> str:
    k = t.longest(t.flat)
    line = t.line(k)
    return t.put(line, t.word(line, "F", round(float(t.moves.feeds[k]) * factor)))


def drill_line(t: Text) -> int:
    """The way down into the middle hole."""
    k = np.flatnonzero(t.plunges)
    if not len(k):
        raise Nothing("no stroke")
    return int(k[len(k) // 2])


def hole_lost(t: Text) -> str:
    """All strokes of one hole lost: from the rapid across to the lift."""
    k = drill_line(t)
    up = t.first(t.lifts & (t.z[1:] > t.setup.heights.travel - 0.01), k)
    down = max(j for j in range(k + 1) if t.across[j] > 0.01)
    if t.line(down) < 14:
        raise Nothing("the first hole")
    return t.lose(*range(t.line(down), t.line(up) + 1))


def hole_moved(t: Text, by: float) -> str:
    k = drill_line(t)
    j = max(j for j in range(k + 1) if t.across[j] > 0.01)
    letter = "X" if "X" in t.lines[t.line(j)] else "Y"
    return t.shifted(t.line(j), letter, by)


def one_more_hole(t: Text) -> str:
    x, y = middle(t)
    return extra(t, x, y)


CATALOGUE = [
    # units and modes
    Spoil("units lost", "mill", "reading|modes", lambda t: t.code(units(t)[0], "", all_of_them=True)),
    Spoil("other units", "mill", "too_deep|reading", lambda t: t.code(*units(t), all_of_them=True)),
    Spoil(
        "units changed on the way", "mill", "modes|reading", lambda t: t.before(t.line(t.first(t.drops)), units(t)[1])
    ),
    Spoil("units after the other modes", "mill", "modes", lambda t: t.swapped(t.event("units"), t.event("plane"))),
    Spoil("units not alone", "mill", "modes", lambda t: t.put(t.event("units"), f"{units(t)[0]} G17")),
    Spoil("counts from where it stands", "mill", "modes|reading", code("G90", "G91", all_of_them=True)),
    Spoil(
        "counts from where it stands for one move",
        "mill",
        "modes|reading",
        lambda t: t.put(t.line(wall(t)), "G91", t.lines[t.line(wall(t))], "G90"),
    ),
    Spoil("absolute lost", "mill", "reading|modes", code("G90", "", all_of_them=True)),
    Spoil("plane lost", "mill", "reading|modes", code("G17", "", all_of_them=True)),
    Spoil("other plane", "mill", "reading|modes", code("G17", "G18", all_of_them=True)),
    Spoil("feed mode lost", "mill", "reading|modes", code("G94", "", all_of_them=True)),
    Spoil("feed by time", "mill", "reading|modes", code("G94", "G93", all_of_them=True)),
    Spoil("path mode lost", "mill", "modes", path_mode("")),
    Spoil("corners rounded", "mill", "modes", path_mode("G64")),
    Spoil("compensation not cancelled", "mill", "modes", code("G40", "", all_of_them=True)),
    Spoil("compensation on", "mill", "reading|modes", code("G40", "G41", all_of_them=True)),
    Spoil("work offset lost", "mill", "modes", code("G54", "", all_of_them=True)),
    Spoil("other work offset in one program", "mill", "modes|reading", code("G54", "G55", all_of_them=True)),
    Spoil("other work offset everywhere", "all", "modes", code("G54", "G55", all_of_them=True)),
    # start
    Spoil(
        "first height lost",
        "mill",
        "start",
        lambda t: t.joined([*t.lines[: t.line(0)], "G0 " + t.lines[t.line(0) + 1], *t.lines[t.line(0) + 2 :]]),
    ),
    Spoil("first height too low", "mill", "start", lambda t: t.put(t.line(0), t.word(t.line(0), "Z", t.top + 1))),
    Spoil(
        "first height below the sheet",
        "mill",
        "start|rapid",
        lambda t: t.put(t.line(0), t.word(t.line(0), "Z", t.deepest)),
    ),
    Spoil("first place lost", "mill", "start|reading", lambda t: t.lose(t.line(1))),
    Spoil(
        "place before height",
        "mill",
        "start",
        lambda t: t.joined(
            [
                *t.lines[: t.line(0)],
                "G0 " + t.lines[t.line(1)],
                t.lines[t.line(0)].replace("G0 ", ""),
                *t.lines[t.line(1) + 1 :],
            ]
        ),
    ),
    Spoil(
        "height and place in one move",
        "mill",
        "start|rapid_descent",
        lambda t: t.joined(
            [*t.lines[: t.line(0)], f"{t.lines[t.line(0)]} {t.lines[t.line(1)]}", *t.lines[t.line(1) + 1 :]]
        ),
    ),
    # end
    Spoil("program end lost", "mill", "end", word("end")),
    Spoil("more after the end", "mill", "reading|end", lambda t: t.after(t.event("end"), "G0 X0.000")),
    Spoil("the end twice", "mill", "reading|end|text", lambda t: t.after(t.event("end"), t.lines[t.event("end")])),
    Spoil("last lift lost", "mill", "end|reading", lambda t: t.lose(t.line(t.last(t.lifts)))),
    Spoil(
        "last lift too low",
        "mill",
        "end",
        lambda t: t.put(t.line(t.last(t.lifts)), t.word(t.line(t.last(t.lifts)), "Z", t.top + 0.2)),
    ),
    Spoil("spindle left on", "mill", "end", word("spindle", "off")),
    Spoil("half of it lost, its end too", "mill", "end", half),
    Spoil(
        "half of it lost, ended by hand",
        "mill",
        "leftover|not_through|bridge",
        lambda t: half(t, f"G0 Z{t.setup.heights.travel:.3f}", "M5", "M2"),
    ),
    Spoil(
        "last number cut short",
        "mill",
        "end|reading",
        lambda t: "\n".join(t.lines[: t.line(t.last(t.deep))]) + "\n" + t.lines[t.line(t.last(t.deep))][:-2],
    ),
    # spindle
    Spoil("spindle never starts", "mill", "spindle", word("spindle", "clockwise")),
    Spoil(
        "spindle starts after the first cut",
        "mill",
        "spindle",
        lambda t: t.moved(t.event("spindle", "clockwise"), t.line(t.first(t.feeding))),
    ),
    Spoil("other way round", "mill", "spindle|reading", code("M3", "M4")),
    Spoil("speed lost", "mill", "reading|spindle", lambda t: t.without(t.event("speed"), "S")),
    Spoil(
        "faster than the spindle turns",
        "mill",
        "spindle",
        lambda t: t.put(t.event("speed"), t.word(t.event("speed"), "S", 60000)),
    ),
    Spoil(
        "half the speed",
        "mill",
        "spindle",
        lambda t: t.put(t.event("speed"), t.word(t.event("speed"), "S", t.number(t.event("speed"), "S") / 2)),
    ),
    Spoil("no wait for the spindle", "mill", "spindle", word("dwell")),
    Spoil(
        "wait too short",
        "mill",
        "spindle",
        lambda t: t.put(t.event("dwell"), t.word(t.event("dwell"), waits(t), t.number(t.event("dwell"), waits(t)) / 3)),
    ),
    Spoil(
        "wait in milliseconds",
        "mill",
        "dwell",
        lambda t: t.put(
            t.event("dwell"), t.word(t.event("dwell"), waits(t), t.number(t.event("dwell"), waits(t)) * 1000)
        ),
    ),
    Spoil("a wait in the cut", "mill", "dwell", lambda t: t.after(t.line(wall(t)), wait(t, "3.000"))),
    Spoil("a short wait in the cut", "mill", "dwell", lambda t: t.after(t.line(wall(t)), wait(t, "0.500"))),
    Spoil("spindle stopped in the cut", "mill", "spindle", lambda t: t.before(t.line(wall(t)), "M5")),
    Spoil("a stop in the cut", "mill", "spindle", lambda t: t.before(t.line(wall(t)), "M0")),
    # feeds
    Spoil("first feed lost", "mill", "reading|feed", lambda t: t.without(t.line(t.first(t.moves.feeds > 0)), "F")),
    Spoil(
        "all feeds lost",
        "mill",
        "reading",
        lambda t: t.joined([v if v.startswith("(") else re.sub(r"\s*F[\d.]+", "", v) for v in t.lines]),
    ),
    Spoil(
        "feed of nothing",
        "mill",
        "reading",
        lambda t: t.put(t.line(t.longest(t.flat)), t.word(t.line(t.longest(t.flat)), "F", 0)),
    ),
    Spoil("a feed doubled", "mill", "feed", lambda t: one_feed(t, 2)),
    Spoil("a feed ten percent too high", "mill", "feed", lambda t: one_feed(t, 1.1)),
    Spoil("feeds tenfold", "mill", "feed", feeds(10)),
    Spoil(
        "down at the feed across",
        "mill",
        "feed",
        lambda t: t.put(
            t.line(t.first(t.plunges)), t.word(t.line(t.first(t.plunges)), "F", float(t.moves.feeds.max()))
        ),
    ),
    Spoil("feed beyond the machine", "mill", "feed", lambda t: one_feed(t, 20)),
    Spoil("feeds a twentieth: it rubs", "mill", "chip", feeds(0.05)),
    Spoil("down as a rapid", "mill", "rapid", lambda t: rapid_line(t, fresh_plunge(t))),
    Spoil("a cut as a rapid", "mill", "rapid", lambda t: rapid_line(t, wall(t))),
    # depths
    Spoil("all floors deeper by 1", "mill", "too_deep", bottoms(-1.0)),
    Spoil("one way down deeper by 1", "mill", "too_deep", one_bottom(-1.0)),
    Spoil("one way down through the board", "mill", "too_deep", one_bottom(-20.0)),
    Spoil("all floors higher by 1", "mill", "not_through|leftover", bottoms(1.0)),
    Spoil("one way down higher by 1", "mill", "not_through|leftover|bridge|axial_depth", one_bottom(1.0)),
    Spoil(
        "sign of one depth lost",
        "mill",
        "leftover|not_through|bridge|axial_depth|rapid",
        lambda t: t.put(down(t), t.lines[down(t)].replace("Z-", "Z")),
    ),
    Spoil("all heights higher by 1", "mill", "not_through|leftover", shifted_all("Z", 1.0)),
    Spoil("all heights lower by 1", "mill", "too_deep", shifted_all("Z", -1.0)),
    Spoil("a pass lost", "mill", "axial_depth|reading", lost_pass),
    Spoil("the last pass lost", "mill", "not_through|leftover|bridge", lambda t: lost_pass(t, -1)),
    Spoil("two passes changed about", "mill", "axial_depth", swapped_passes),
    # bridges
    Spoil("one bridge cut through", "mill", "bridge", lambda t: cut_bridges(t, 1)),
    Spoil("all bridges cut through", "mill", "bridge|loose", cut_bridges),
    Spoil(
        "all bridges too thin",
        "mill",
        "bridge",
        lambda t: (
            t.every("Z", lambda z: z - 0.2 if any(abs(z - t.z[u + 1]) < 1e-6 for u, _, _ in t.lifted) else z)
            if t.lifted
            else bridge(t)
        ),
    ),
    Spoil("a bridge too narrow", "mill", "bridge", lambda t: narrow(t, 0.5)),
    Spoil("a bridge half as thick", "mill", "bridge", lambda t: t.shifted(bridge(t)[0], "Z", -0.3)),
    Spoil("a bridge five times as long", "mill", "bridge|leftover", lambda t: narrow(t, -12.0)),
    # shape
    Spoil("all X moved by 0.02", "mill", "gouge", shifted_all("X", 0.02)),
    Spoil("all Y moved by 0.02", "mill", "gouge", shifted_all("Y", -0.02)),
    Spoil("all X moved by 5", "mill", "gouge", shifted_all("X", 5.0)),
    Spoil("X wider by 0.1 %", "mill", "gouge|leftover|reading", lambda t: t.every("X", lambda v: v * 1.001)),
    Spoil("mirrored", "mill", "gouge|leftover|stray|reading", lambda t: t.every("X", lambda v: -v)),
    Spoil(
        "X and Y changed about",
        "mill",
        "reading|gouge|leftover",
        lambda t: t.joined([v if v.startswith("(") else v.translate(str.maketrans("XY", "YX")) for v in t.lines]),
    ),
    Spoil(
        "a wall cut 0.05 deeper into the part or less",
        "mill",
        "gouge|leftover|reading",
        lambda t: t.put(
            t.line(wall(t)),
            t.word(
                t.line(wall(t)),
                along(t, wall(t)),
                float(t.moves.curve.nodes[wall(t), "XY".index(along(t, wall(t)))]) + 0.05,
            ),
        ),
    ),
    Spoil(
        "a wall cut 0.05 the other way",
        "mill",
        "gouge|leftover|reading",
        lambda t: t.put(
            t.line(wall(t)),
            t.word(
                t.line(wall(t)),
                along(t, wall(t)),
                float(t.moves.curve.nodes[wall(t), "XY".index(along(t, wall(t)))]) - 0.05,
            ),
        ),
    ),
    Spoil("a cut at the floor lost", "mill", "gouge|leftover|reading|bridge", lambda t: t.lose(t.line(corner(t)))),
    Spoil(
        "two cuts changed about",
        "mill",
        "gouge|leftover|bridge|reading|not_through",
        lambda t: t.swapped(t.line(corner(t)), t.line(corner(t)) + 1),
    ),
    Spoil(
        "a point lost from a number",
        "mill",
        "machine_travel|gouge|stray|reading",
        lambda t: t.put(t.line(wall(t)), re.sub(r"([XY]-?\d+)\.(\d+)", r"\1\2", t.lines[t.line(wall(t))], count=1)),
    ),
    Spoil("an arc the other way round", "mill", "gouge|leftover|reading|bridge|stray", arc_turned),
    Spoil("an arc's center off by 0.1", "mill", "reading", lambda t: t.shifted(t.line(arc(t)), "I", 0.1)),
    Spoil(
        "an arc's center lost",
        "mill",
        "reading",
        lambda t: t.put(t.line(arc(t)), re.sub(r" [IJ]-?[\d.]+", "", t.lines[t.line(arc(t))])),
    ),
    Spoil("an arc as a straight", "mill", "gouge|leftover|reading", arc_straight),
    Spoil("an arc's end moved", "mill", "reading", arc_cut_off),
    Spoil("one cut more through a part", "mill", "gouge", lambda t: extra(t, *middle(t))),
    Spoil("one cut more away from all", "mill", "stray", far),
    # rapids
    Spoil("a lift lost between cuts", "mill", "rapid", lost_lift),
    Spoil("a lift too low between cuts", "mill", "rapid", low_travel),
    Spoil(
        "rapid too far down",
        "mill",
        "rapid",
        lambda t: t.put(t.line(t.first(t.drops)), t.word(t.line(t.first(t.drops)), "Z", t.top - 0.5)),
    ),
    Spoil("across and down at once", "mill", "rapid_descent|rapid", merged_drop),
    Spoil("rapid into a part", "mill", "rapid", lambda t: extra(t, *middle(t), rapid=True)),
    Spoil("into a keepout", "mill", "keepout", keepout),
    Spoil(
        "beyond the machine's travel",
        "mill",
        "machine_travel",
        lambda t: t.before(t.event("spindle", "off"), "G0 X1500.000"),
    ),
    Spoil(
        "higher than the machine reaches",
        "mill",
        "machine_travel",
        lambda t: t.before(t.event("spindle", "off"), "G0 Z150.000"),
    ),
    # cutters
    Spoil(
        "a cutter the job does not have",
        "mill",
        "cutter",
        lambda t: t.put(t.event("cutter"), t.word(t.event("cutter"), "T", 17)),
    ),
    Spoil(
        "the other cutter",
        "mill",
        "cutter|gouge|leftover",
        lambda t: (
            t.put(t.event("cutter"), t.word(t.event("cutter"), "T", 3 - t.number(t.event("cutter"), "T")))
            if len(t.setup.job.cutters) > 1
            else none()
        ),
    ),
    Spoil(
        "cutter lost", "mill", "cutter", lambda t: t.lose(t.event("cutter")) if len(t.setup.job.cutters) > 1 else none()
    ),
    Spoil(
        "a change of cutter on the way",
        "mill",
        "cutter|spindle|modes|reading",
        lambda t: t.before(t.line(t.first(t.drops)), "T9 M6"),
    ),
    # text
    Spoil("a word nobody knows", "mill", "reading", lambda t: t.put(t.line(wall(t)), t.lines[t.line(wall(t))] + " E5")),
    Spoil("a comment inside a comment", "mill", "reading", lambda t: t.before(t.line(0), "(one (two))")),
    Spoil("a comment that does not end", "mill", "reading", lambda t: t.before(t.line(0), "(one")),
    Spoil("a line too long", "mill", "reading|text", lambda t: t.before(t.line(0), "(" + "x" * 300 + ")")),
    Spoil(
        "a character from elsewhere",
        "mill",
        "reading|text",
        lambda t: t.put(t.line(wall(t)), t.lines[t.line(wall(t))] + "\u00a0"),
    ),
    Spoil("a control character in a comment", "mill", "reading|text", lambda t: t.before(t.line(0), "(one\x07)")),
    Spoil(
        "a block that a switch may skip",
        "mill",
        "reading",
        lambda t: t.put(t.line(wall(t)), "/" + t.lines[t.line(wall(t))]),
    ),
    Spoil("two motions in a block", "mill", "reading", lambda t: t.put(t.line(t.first(t.plunges)), "G0 G1 Z1.000")),
    Spoil(
        "one letter twice in a block",
        "mill",
        "reading",
        lambda t: t.put(t.line(wall(t)), t.lines[t.line(wall(t))] + " X1.000 X2.000"),
    ),
    # stops
    Spoil("height not restated after a stop", "mill", "restated", stop_without_height),
    Spoil("place not restated after a stop", "mill", "restated", stop_without_place),
    Spoil("half the place restated after a stop", "mill", "restated", stop_half_place),
    Spoil(
        "modes not restated after a stop",
        "mill",
        "modes",
        lambda t: t.lose(*range(t.stops()[-1] + 1, t.stops()[-1] + 5)) if t.stops() else none(),
    ),
    Spoil(
        "the stop for the speed lost", "mill", "spindle|start", lambda t: t.lose(t.stops()[-1]) if t.stops() else none()
    ),
    # drilling
    Spoil("a hole not drilled", "drill", "leftover|not_through|reading", hole_lost),
    Spoil("a hole 0.05 beside its place", "drill", "gouge|leftover", lambda t: hole_moved(t, 0.05)),
    Spoil("a hole drilled 5 mm beside", "drill", "gouge|leftover", lambda t: hole_moved(t, 5.0)),
    Spoil("one hole more", "drill", "gouge", one_more_hole),
    Spoil("a hole drilled as a rapid", "drill", "rapid|leftover", lambda t: rapid_line(t, drill_line(t))),
    Spoil("holes too shallow", "drill", "not_through|leftover", bottoms(1.6)),
    Spoil("holes too deep", "drill", "too_deep", bottoms(-3.0)),
    Spoil("drill not lifted between holes", "drill", "rapid|leftover", lost_lift),
    Spoil("drill feed doubled", "drill", "feed", feeds(2)),
    Spoil(
        "drill at the mill's speed",
        "drill",
        "spindle",
        lambda t: t.put(t.event("speed"), t.word(t.event("speed"), "S", 18000)),
    ),
    Spoil("drill waits at the bottom", "drill", "dwell", lambda t: t.after(t.line(stroke(t)), wait(t, "4.000"))),
    # the walk-round
    Spoil("walk-round without a corner's stop", "walk", "walk_round", lambda t: t.lose(t.stops()[-2])),
    Spoil("walk-round goes down", "walk", "walk_round", lambda t: t.every("Z", lambda z: t.top + 1)),
    Spoil("walk-round with the spindle on", "walk", "walk_round", lambda t: t.before(t.line(1), "M3 S9000")),
    Spoil("walk-round of something smaller", "walk", "walk_round", lambda t: t.every("X", lambda v: v * 0.9)),
    Spoil("walk-round without an end", "walk", "end", word("end")),
    # programs
    Spoil(
        "a program twice",
        "order",
        "programs",
        lambda texts: [(f"again-{f}" if k else f, *v) for k in (0, 1) for f, *v in texts],
    ),
    Spoil("a program left out", "order", "leftover", lambda texts: texts[1:] if len(texts) > 2 else none()),
    # no harm
    Spoil(
        "a comment more", "mill", "", lambda t: t.before(t.line(wall(t)), "(look)"), "a comment moves and sets nothing"
    ),
    Spoil(
        "spaces more",
        "mill",
        "",
        lambda t: t.put(t.line(wall(t)), t.lines[t.line(wall(t))].replace(" ", "  ") + " "),
        "blanks between words mean nothing in RS274/NGC",
    ),
    Spoil("a straight cut twice", "mill", "", repeated, "the second line goes to where the cutter stands"),
    Spoil(
        "a digit more",
        "mill",
        "",
        lambda t: t.put(t.line(wall(t)), re.sub(r"([XY]-?\d+\.\d+)", r"\g<1>0", t.lines[t.line(wall(t))])),
        "the same number with one zero more",
    ),
    Spoil(
        "a longer wait for the spindle",
        "mill",
        "",
        lambda t: t.put(t.event("dwell"), t.word(t.event("dwell"), waits(t), t.number(t.event("dwell"), waits(t)) + 2)),
        "two seconds more at the travel plane",
    ),
    Spoil(
        "a feed ten percent lower",
        "mill",
        "",
        lambda t: one_feed(t, 0.9),
        "slower than the rates by a tenth is a corner's feed",
    ),
    Spoil(
        "run-down at the end lost",
        "mill",
        "",
        lambda t: t.lose(t.event("dwell", None, sum(e.kind == "dwell" for e in t.moves.events) - 1)),
        "the spindle is off and nobody is asked to reach in",
    ),
    Spoil(
        "a higher lift",
        "mill",
        "",
        lambda t: t.put(t.line(t.last(t.lifts)), t.word(t.line(t.last(t.lifts)), "Z", t.setup.heights.travel + 2)),
        "higher than the travel plane is clear",
    ),
]


HARMLESS = [row for row in CATALOGUE if row.harmless]
"""What does no harm, and why."""
LINES = {
    "program end lost", "last lift lost", "spindle left on", "half of it lost, its end too", "spindle never starts",
    "no wait for the spindle", "a cut at the floor lost", "two cuts changed about", "a pass lost", "one bridge cut through",
    "all bridges cut through", "a hole not drilled", "walk-round without a corner's stop", "walk-round without an end",
    "a program left out", "a program twice",
}  # fmt: skip
"""Rows that only lose lines or change them about: they hold in a language that is not made of letters and numbers, too."""
