"""Every mode that a program relies on is stated before it matters, units first and alone; none changes afterwards."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from attrs import define

from kerfwright.evidence import Evidence, Reading
from kerfwright.finding import Check, Finding

__all__ = ["Modes"]

WORDS = ("comment", "message", "name", "start")
"""What may stand before the units: it moves and sets nothing."""
STOPS = ("pause", "optional_pause", "change")
"""Where an operator may set or move anything, so that every mode is stated again before the next move."""
NEEDED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "units": ("mm", "inch"),
        "distance": ("absolute",),
        "plane": ("xy",),
        "feed_mode": ("per_minute",),
        "offset": ("off",),
        "path": ("exact_path", "exact_stop"),
    }
)
"""Each must be stated before the first move, with one of these values, and may be said again but not changed.

Corners are rounded on a continuous path, so the proof would not hold for it.
"""


@define(frozen=True, kw_only=True)
class Modes(Check):
    """Units first and alone, then distances, plane, feed, compensation and path, all before anything moves, and again after a stop."""

    name = "modes"
    remedy = "state every mode in the opening blocks, units first and alone, and again after each stop"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """Walk-rounds too: they also move the machine."""
        for r in evidence.readings:
            yield from self._units(r)
            yield from self._modes(r)
            yield from self._cancelled(r)
            yield from self._coolant(r)
        yield from self._zeros(evidence)

    def _units(self, r: Reading) -> Iterable[Finding]:
        assert r.moves is not None
        first = next((e for e in r.moves.events if e.kind not in WORDS), None)
        if first is None or first.kind != "units" or first.before > 0:
            line = 0 if first is None else first.line
            yield Finding(self.name, "error", "units are not the first thing it says", program=r.file, line=line)
            return
        others = [e for e in r.moves.events if e.line == first.line and e is not first and e.kind not in WORDS]
        if others or (r.moves.lines == first.line).any():
            yield Finding(
                self.name, "error", "units do not stand alone in their block", program=r.file, line=first.line
            )

    def _modes(self, r: Reading) -> Iterable[Finding]:
        assert r.moves is not None
        stops = [e for e in r.moves.events if e.kind in STOPS and e.before < len(r.moves.curve)]
        settled = () if r.traits is None else r.traits.settled
        for kind, allowed in NEEDED.items():
            if kind in settled:
                continue
            said = [e for e in r.moves.events if e.kind == kind]
            word = kind.replace("_", " ")
            if not said or said[0].before > 0:
                yield Finding(self.name, "error", f"moves before it has stated {word}", program=r.file)
            for stop in stops:
                if not any(e.line > stop.line and e.before <= stop.before for e in said):
                    text = f"moves after a stop before it has stated {word} again"
                    yield Finding(self.name, "error", text, program=r.file, line=stop.line)
            for e in said:
                if e.value not in allowed:
                    text = f"{word} {str(e.value).replace('_', ' ')}: a program must keep to {' or '.join(allowed)}"
                    yield Finding(self.name, "error", text.replace("_", " "), program=r.file, line=e.line)
                elif kind == "units" and e.value != said[0].value:
                    yield Finding(
                        self.name,
                        "error",
                        f"units change from {said[0].value} to {e.value}",
                        program=r.file,
                        line=e.line,
                    )

    def _cancelled(self, r: Reading) -> Iterable[Finding]:
        """Each compensation of the language, before the first move and again after a stop."""
        assert r.moves is not None
        need = 1 if r.traits is None else r.traits.compensations
        said = [e for e in r.moves.events if e.kind == "offset"]
        starts = [
            (0, 0),
            *((e.line, e.before) for e in r.moves.events if e.kind in STOPS and e.before < len(r.moves.curve)),
        ]
        for line, before in starts:
            mine = sum(e.line > line and e.before <= before for e in said)
            if 0 < mine < need:
                text = f"cancels {mine} of {need} compensations before it moves"
                yield Finding(self.name, "error", text, program=r.file, line=line)

    def _coolant(self, r: Reading) -> Iterable[Finding]:
        """No job asks for it: liquid on laminate, or on a router without a tray, is the operator's decision."""
        assert r.moves is not None
        for e in [e for e in r.moves.events if e.kind == "coolant" and e.value == "on"][:1]:
            yield Finding(
                self.name, "warning", "turns coolant on, which the job does not ask for", None, r.file, e.line
            )

    def _zeros(self, evidence: Evidence) -> Iterable[Finding]:
        """All programs of a sheet count from the same zero: the one that the dialect names, where it names one."""
        zero: object = None
        for r in evidence.readings:
            assert r.moves is not None
            wanted = float(r.traits.work_offset) if r.traits is not None and r.traits.work_offset else None
            said = [e for e in r.moves.events if e.kind == "work_offset"]
            if wanted is not None and not any(e.before == 0 for e in said):
                text = f"moves before it has stated work offset {wanted:g}"
                yield Finding(self.name, "error", text, program=r.file)
            for e in said:
                zero = (e.value if wanted is None else wanted) if zero is None else zero
                if e.value != zero:
                    text = f"counts from work offset {e.value}, " + (
                        f"others from {zero}" if wanted is None else f"the dialect from {zero:g}"
                    )
                    yield Finding(self.name, "error", text, None, r.file, e.line)
