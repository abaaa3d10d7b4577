"""Which cutter made which size, and for which diameter its paths were made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import evolve

from kerfwright.adjusting.measured import Measured
from kerfwright.cutter import Cutter
from kerfwright.errors import Fault, InputError
from kerfwright.jobfile.words import nearest

__all__ = ["assigned"]

ANY = "cutter"
"""What the cutter is called where there is no job."""


def assigned(
    sizes: Sequence[Measured], cutters: Mapping[str, Cutter] | None, chosen: str | None = None, file: str = ""
) -> tuple[tuple[Measured, ...], dict[str, float]]:
    """Each size with its cutter, and by cutter the diameter (mm) that the paths were made for.

    A size that names no cutter is of the `chosen` one, or of the only one. `cutters` None: there is no job, any name holds.
    A cutter whose job says a measured diameter asks for `cut_at`: else a second run on the same sizes would correct twice.
    Raises InputError with all faults.
    """
    faults: list[Fault] = []
    if cutters is not None and chosen is not None and chosen not in cutters:
        text = f"found {chosen!r}, allowed: {', '.join(cutters)}{nearest(chosen, cutters)}"
        raise InputError([Fault("--cutter", text)])
    only = chosen or (ANY if cutters is None else next(iter(cutters)) if len(cutters) == 1 else None)
    out: list[Measured] = []
    said: dict[str, float] = {}
    for k, size in enumerate(sizes):
        if size.kind == "centers":
            out.append(size)
            continue
        path, name = f"sizes[{k}] ({size.name})", size.cutter or only
        if name is None or (cutters is not None and name not in cutters):
            known = ", ".join(cutters or ())
            near = nearest(name, cutters or ()) if name else "; or say --cutter"
            faults.append(Fault(f"{path}.cutter", f"found {name or 'nothing'}, allowed: {known}{near}", file))
            continue
        out.append(evolve(size, cutter=name))
        if size.cut_at is not None and said.setdefault(name, size.cut_at) != size.cut_at:
            text = f"found {size.cut_at:g} mm and {said[name]:g} mm for {name}, allowed: sizes of one program at a time"
            faults.append(Fault(f"{path}.cut_at", text, file))
    faults += _doubtful(out, cutters or {}, said, file)
    if faults:
        raise InputError(faults)
    names = dict.fromkeys(s.cutter for s in out if s.kind != "centers" and s.cutter)
    known_at = {n: c.cuts for n, c in (cutters or {}).items()}
    return tuple(out), {n: said.get(n, known_at.get(n, 0.0)) for n in names}


def _doubtful(
    sizes: Sequence[Measured], cutters: Mapping[str, Cutter], said: Mapping[str, float], file: str
) -> list[Fault]:
    """Sizes of cutters that were corrected already, without word of which diameter the piece was cut at."""
    out = []
    for name in dict.fromkeys(s.cutter for s in sizes if s.kind != "centers" and s.cutter):
        one = cutters.get(name)
        if one is not None and one.measured is not None and name not in said:
            text = (
                f"found nothing, while the job says that {name} measures {one.measured:g} mm, allowed: the diameter that the "
                f"programs of this piece were made for ({one.measured:g} mm, or {one.diameter:g} mm as marked)"
            )
            out.append(Fault("cut_at", text, file))
    return out
