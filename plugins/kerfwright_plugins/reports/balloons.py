"""Where numbered balloons find room in a picture."""

from __future__ import annotations

import math
from collections.abc import Iterable

from attrs import Factory, define

__all__ = ["Balloons"]

Point = tuple[float, float]


@define
class Balloons:
    """Balloons of one radius; each stands where it covers least of what is there already. Lengths of the picture."""

    radius: float
    there: list[tuple[float, float, float]] = Factory(list)
    """Other balloons: center and radius."""
    holes: list[tuple[float, float, float]] = Factory(list)
    """Circles that they had better not cover."""

    def put(self, candidates: Iterable[Point]) -> Point:
        """The first of the candidates with the most room; it is taken from now on."""
        best = min(candidates, key=self._covered)
        self.there.append((*best, self.radius))
        return best

    def beside(self, center: Point, radius: float) -> Point:
        """Beside a circle, off the axes, as near as may be."""
        near = [
            (center[0] + far * math.cos(math.radians(a)), center[1] + far * math.sin(math.radians(a)))
            for far in (radius + self.radius * g for g in (1.8, 2.6, 3.6, 5.0))
            for a in (45, 315, 135, 225, 22, 338, 158, 202, 68, 292, 112, 248)
        ]
        return self.put(near)

    def on(self, a: Point, b: Point) -> Point:
        """On a line between two points, in its middle where there is room."""
        return self.put(
            [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in (0.5, 0.35, 0.65, 0.22, 0.78, 0.43, 0.57)]
        )

    def _covered(self, at: Point) -> float:
        def over(x: float, y: float, r: float, gap: float) -> float:
            return max(0.0, r + gap * self.radius - math.hypot(at[0] - x, at[1] - y))

        return sum(10 * over(x, y, r, 1.3) for x, y, r in self.there) + sum(over(*h, 1.0) for h in self.holes)
