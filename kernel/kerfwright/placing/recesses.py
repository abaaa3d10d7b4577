"""Outlines drawn in a recess: outer by their nesting, yet often an opening in its floor. The job must say which."""

from __future__ import annotations

from collections.abc import Sequence

from kerfwright.operation import Operation, Pocket, Profile
from kerfwright.placing.choosing import Outline, described

__all__ = ["recess_faults"]


def recess_faults(operations: Sequence[Operation], worked: Sequence[Sequence[Outline]]) -> list[tuple[str, str]]:
    """Faults (path, message) where a profile leaves `waste` open on an outline whose surroundings are only pocketed.

    By nesting such an outline is outer and would be cut outside its line; an opening drawn there would come out too big.
    """
    through = {one.key for o, on in zip(operations, worked, strict=True) if o.pierces for one in on}
    recess = {
        one.key: f"operations[{k}].{o.kind}"
        for k, (o, on) in enumerate(zip(operations, worked, strict=True))
        if isinstance(o, Pocket) and not o.pierces
        for one in on
    }
    faults = []
    for k, (o, on) in enumerate(zip(operations, worked, strict=True)):
        if not isinstance(o, Profile) or o.waste is not None:
            continue
        for one in on:
            around = (one.part, one.loop.parent)
            if one.loop.depth >= 2 and not one.inner and around in recess and around not in through:
                faults.append(
                    (
                        f"operations[{k}].{o.kind}",
                        f"{described([one])[0]} lies in what {recess[around]} clears: nobody says on which side its waste is; "
                        "allowed: `waste: inside` for an opening, `waste: outside` for a piece that comes out",
                    )
                )
    return faults
