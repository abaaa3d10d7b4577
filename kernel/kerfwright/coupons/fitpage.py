"""The page of a fit coupon: what to mind, how to measure, and what comes of it."""

from __future__ import annotations

from kerfwright.adjusting.form import direction
from kerfwright.cautions import cautions
from kerfwright.coupons.asked import Asked
from kerfwright.coupons.fitform import HOW, UNCERTAINTY, sizes
from kerfwright.coupons.fitpiece import FitPiece
from kerfwright.coupons.page import heading, items, page, paragraph, table
from kerfwright.job import Job

__all__ = ["fit_page"]

BEFORE = (
    "Make the job with `kerfwright make`; its run sheet tells where zero is. Compare the picture with the offcut and what holds it.",
    "The cutter that you will work with, at the feeds that you will work with: a cutter bends, and what it bends belongs to its diameter. "
    "If you have found better feeds, write them into the job first.",
    "Under tape and vacuum one slug in the plate comes free, and then the pieces: stop at once if one moves. Take nothing out before the "
    "spindle stands, and break out what bridges hold only then.",
)
MEASURE = (
    "Take off fuzz and burr with a fine file laid flat, not at an angle; under screws, the stubs of the bridges too.",
    "Let the pieces come to the room's temperature. Wipe the jaws; close them and see that they read zero.",
    *HOW[1:],
)
AFTER = (
    "`adjust` tells what the cutter really cuts, how far X and Y move for each mm told, and how square they are, each with its 95 % interval.",
    "Diameter: `--write` sets it in a job. Scales and squareness belong into the controller's settings or the machine's frame; no job corrects them.",
    "It refuses where one size does not fit the others: measure that one again.",
    "A second coupon after the correction is the proof.",
)


def fit_page(asked: Asked, piece: FitPiece, job: Job) -> str:
    """HTML. `job` is the coupon's own."""
    c = asked.cutter
    said = (
        f"{asked.material.title or asked.named[0]}, {asked.thickness:g} mm, held by {asked.hold}; {c.flutes} end mill of {c.cuts:g} mm, "
        f"{c.teeth} teeth; {asked.named[2]}. Centers of the corner holes {piece.centers[0]:g} x {piece.centers[1]:g} mm, across "
        f"{piece.diagonal:g} mm."
    )
    rows = [(b.name, b.kind, f"{b.nominal:g}", direction(b.along), "") for b in sizes(asked, piece)]
    return page(
        f"Fit coupon: {asked.named[0]}, {c.cuts:g} mm, {asked.named[2]}",
        [
            paragraph(said),
            heading("What can hurt"),
            items(cautions(job)),
            heading("At the machine"),
            items(BEFORE),
            heading("How to measure"),
            items(MEASURE),
            paragraph(" ".join(UNCERTAINTY)),
            heading("Sizes"),
            paragraph(
                "Write them here at the bench, then into measured.yaml; the forms that `make` writes for each part stay empty."
            ),
            table(("size", "kind", "nominal, mm", "along", "measured, mm"), rows),
            heading("What comes of it"),
            items(AFTER),
        ],
    )
