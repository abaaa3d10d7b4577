"""What paths that aim at the drawing make of a hole with limits of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kerfwright.budget import Budget
from kerfwright.job import Job

__all__ = ["fit_faults", "fits_told"]


def fit_faults(job: Job) -> Iterator[tuple[str, str]]:
    """Fits of circles that a part does not have."""
    for k, part in enumerate(job.parts):
        there = sorted({round(loop.circle.diameter, 3) for loop in part.drawing.loops if loop.circle})
        for j, fit in enumerate(part.fits):
            if not any(fit.of(d) for d in there):
                have = ", ".join(f"{d:g}" for d in there) or "none"
                yield (
                    f"parts[{k}].fits[{j}].circles",
                    f"found {fit.circles:g} mm, allowed: a circle of {part.name!r}: {have}",
                )


def fits_told(job: Job, budgets: Sequence[Budget]) -> Iterator[str]:
    """Holes whose limits leave less room than what is known to move their two walls: the path aims at the drawing."""
    known = {b.part: b.total for b in budgets}
    for part in job.parts:
        for fit in part.fits:
            low, high = fit.limits
            room, need = min(fit.circles - low, high - fit.circles), 2 * known.get(part.name, 0.0)
            if room < need:
                yield (
                    f"part {part.name!r}, holes of {fit.circles:g} mm, {fit.grade}: from {low:.3f} to {high:.3f} mm; the paths aim at "
                    f"{fit.circles:g}, {abs(room):.3f} mm {'from a limit' if room >= 0 else 'outside of them'}, and the walls' budget is 2 x {need / 2:.3f} mm: draw it at "
                    f"{(low + high) / 2:.3f} with `nominal: {fit.nominal or fit.circles:g}`, or finish it to size by another way"
                )
