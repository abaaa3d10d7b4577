"""The whole way from sizes to corrections, as values that the shell tells and other programs may use."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence

from attrs import evolve, frozen

from kerfwright.adjusting.correcting import Correction, Verdict, corrections, verdicts
from kerfwright.adjusting.fitting import Fit, fit
from kerfwright.adjusting.measured import Measured
from kerfwright.adjusting.outliers import outliers
from kerfwright.adjusting.whose import assigned
from kerfwright.cutter import Cutter
from kerfwright.errors import Fault, InputError
from kerfwright.jobfile.words import nearest

__all__ = ["Adjustment", "adjust"]


@frozen(eq=False)
class Adjustment:
    """`fit`, what follows for each cutter and each size, and for each outlier (the worst first) the fit without it
    and those before it."""

    fit: Fit
    corrections: tuple[Correction, ...]
    verdicts: tuple[Verdict, ...]
    outliers: tuple[tuple[Measured, Fit], ...]

    @property
    def refused(self) -> bool:
        """There is doubt: nothing is to be changed."""
        return any(c.refused for c in self.corrections) or bool(self.outliers)

    @property
    def measured(self) -> dict[str, float]:
        """By cutter, the diameter (mm) to write into the job; empty where there is doubt."""
        return {} if self.refused else {c.cutter: c.found for c in self.corrections if c.applies}


def adjust(
    sizes: Sequence[Measured],
    cutters: Mapping[str, Cutter] | None = None,
    *,
    cutter: str | None = None,
    without: Collection[str] = (),
    tolerance: float | Callable[[float], float] | None = None,
    file: str = "",
) -> Adjustment:
    """What sizes say of the cutters of a job, and of the machine.

    `cutter` is the name of the one that made what names none; `without` are names of sizes to leave out; `tolerance` (mm, plus
    and minus, one number or by nominal size) holds for sizes that say none. Raises InputError, with `file` in its faults.
    """
    names = [s.name for s in sizes]
    faults = [
        Fault("--without", f"found {n!r}, allowed: the name of a size{nearest(n, names)}", file)
        for n in without
        if n not in names
    ]
    kept = [s for s in sizes if s.name not in without]
    if faults or not kept:
        raise InputError(faults or [Fault("--without", "found every size, allowed: one is left at least", file)])
    if tolerance is not None:
        limit = tolerance if callable(tolerance) else lambda _: tolerance
        kept = [s if s.tolerance else evolve(s, tolerance=(-limit(s.nominal), limit(s.nominal))) for s in kept]
    owned, diameters = assigned(kept, cutters, cutter, file)
    found = fit(owned, diameters)
    fixed = [n for n, c in (cutters or {}).items() if c.form != "end_mill"]
    odd = tuple(outliers(found))
    each = corrections(found, [s for s, _ in odd], fixed)
    out = Adjustment(found, each, (), odd)
    applied = {c.cutter: c.found - c.was for c in each if c.cutter in out.measured}
    return evolve(out, verdicts=verdicts(found, applied))
