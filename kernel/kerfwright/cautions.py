"""What can hurt in this job, said in few words. It defers to the material maker's data, local rules and trained people."""

from __future__ import annotations

from kerfwright.job import Job

__all__ = ["LAST_WORD", "cautions"]

LAST_WORD = "The makers' data, local rules and the people trained on this machine stand above this page."


def cautions(job: Job) -> tuple[str, ...]:
    """Cautions for the operator, the gravest first; source: common practice of shops that rout sheet."""
    material = job.sheet.material
    name = material.title or material.name or "this sheet"
    out = [
        f"Dust of {name}: extraction on before the spindle starts; a fitted particle mask (FFP3 or better) and eye protection."
    ]
    if material.dust:
        out.append(f"Dust and chips: {material.dust}.")
    if material.conductive:
        out.append(
            "The dust conducts electricity: keep it out of the controller, motors and mains parts; no blowing with air."
        )
    if material.burns or material.melts:
        out.append(
            "Chips and dust can catch fire: stay with the machine, extinguisher at hand, never leave a cut running alone."
        )
    else:
        out.append(
            "Stay with the machine while it cuts; a rubbing cutter can set dust and board on fire; extinguisher at hand."
        )
    out.append(
        "Hands, hair and sleeves away from the spindle; it runs on after the stop. Cover closed where there is one."
    )
    held = {
        "screws": "Screws and clamps stand clear of the way: compare the picture with the sheet before the start.",
        "frame": "The frame stands clear of the way: compare the picture with the sheet before the start.",
        "tape": "Tape must hold over the whole of every piece: press it down, and stop at once if a piece moves.",
        "vacuum": "Vacuum must be up before the start and stay up: stop at once if it falls or a piece moves.",
    }
    out.append(held[job.sheet.hold])
    out.append(
        "Cut edges and bridge stubs are sharp and splinter: gloves when the spindle stands, never while it turns."
    )
    out.append(LAST_WORD)
    return tuple(out)
