"""Which parameters the given sizes can tell, and which they cannot tell from one another."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from attrs import frozen

from kerfwright.adjusting.model import Array, Parameter

__all__ = ["LEAST", "Untold", "tell"]

LEAST = 0.1
"""A parameter is told where this part of its effect on the sizes is not also an effect of the others (a choice of ours:
the others then widen its uncertainty at most ten times)."""


@frozen
class Untold:
    """A parameter that is left out, as if it had no error; `mixed` are those it cannot be told from, none: no effect."""

    parameter: Parameter
    mixed: tuple[Parameter, ...] = ()

    def __str__(self) -> str:
        why = f"not to be told from {', '.join(p.name for p in self.mixed)}" if self.mixed else "no size shows it"
        return f"{self.parameter.name}: {why}; measure {self.parameter.tells}"


def tell(weighted: Array, of: Sequence[Parameter]) -> tuple[list[int], list[Untold], dict[str, tuple[Parameter, ...]]]:
    """Columns that are kept, what is left out, and by key the parameters left out on which a kept one depends.

    `weighted` (sizes, parameters): the design, each row over its uncertainty. Scales and squareness are kept only where told
    apart from all else. A cutter's diameter is kept wherever a size shows it, since one size is what a shop measures first;
    what it then takes for granted is said.
    """
    norms = np.linalg.norm(weighted, axis=0)
    seen = [k for k in range(len(of)) if norms[k] > 0]
    unit = weighted[:, seen] / norms[seen]
    kept, out, depends = [], [], {}
    for k, one in enumerate(of):
        if k not in seen:
            out.append(Untold(one))
            continue
        mixed = _mixed(unit, seen.index(k))
        if mixed is None or one.cutter is not None:
            kept.append(k)
        else:
            out.append(Untold(one, tuple(of[seen[j]] for j in mixed)))
        if mixed is not None and one.cutter is not None:
            depends[one.key] = tuple(of[seen[j]] for j in mixed)
    left = {u.parameter.key for u in out}
    return kept, out, {key: tuple(p for p in ps if p.key in left) for key, ps in depends.items()}


def _mixed(unit: Array, k: int) -> list[int] | None:
    """The columns that together do what column k does, or None where enough of it is its own."""
    others = [j for j in range(unit.shape[1]) if j != k]
    if not others:
        return None
    parts = np.linalg.lstsq(unit[:, others], unit[:, k], rcond=1e-9)[0]
    if np.linalg.norm(unit[:, k] - unit[:, others] @ parts) >= LEAST:
        return None
    return [j for j, part in zip(others, parts, strict=True) if abs(part) > 0.05]
