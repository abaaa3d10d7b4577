"""The page of a rates coupon: what to mind, a table to fill in, and what to conclude."""

from __future__ import annotations

from kerfwright.cautions import cautions
from kerfwright.coupons.asked import Asked
from kerfwright.coupons.page import heading, items, page, paragraph, table
from kerfwright.coupons.slots import Slots
from kerfwright.job import Job
from kerfwright.rates import feed_per_tooth

__all__ = ["chip", "rates_page"]

BEFORE = (
    "Make the job with `kerfwright make`; its run sheet tells where zero is. Compare the picture with the offcut and what holds it.",
    "The spindle at the speed of the program, extraction on, one hand at the stop. Slots are cut in the order of their numbers.",
    "Stop at once where it howls, glows, smokes, smells of burning, melts, or the sheet moves: the feeds after it are not for this machine.",
    "Let the spindle stand before you touch sheet or cutter, and write each line while you remember the sound.",
)
LOOK = (
    "Edge: splinters, fuzz, layers that come apart, burr, steps. The cutter entered in the middle and cut its full width to one end, "
    "came back along the other wall, where it took 0.1 mm, and did the same in the other half. So half of each wall is as the full cut "
    "leaves it, half as a light second cut does; judge the first.",
    "Sound: even, or a howl, a rattle, a change on the way.",
    "Dust or chips: fine dust means rubbing, chips mean cutting; melted crumbs mean heat. In laminate it is always dust: see whether it is burnt.",
    "Heat: brown or shiny edges, a warm sheet under the back of a hand; never touch the cutter, and the sheet only once the spindle stands. "
    "(All four: common practice.)",
)
CONCLUDE = (
    "Good is the last slot that is no worse than those below it in all four columns. Write the feed of the slot before it: what is left "
    "is for corners, harder places and a cutter that grows dull (common practice).",
    "If slot 1 is bad already: a sharp cutter, a better hold, less depth in a pass; then a new coupon. Feeding still slower rubs.",
    "If slot 1 rubs and those above it are good, slow feeds are the fault: stay above them.",
    "If the last slot is good as well, keep its feed: this tool plans no faster. What holds it back: ",
    "All this holds for this material, thickness, cutter and machine, and for a cutter as sharp as this one.",
)


def chip(asked: Asked, spindle: float, feed: float) -> float:
    """Advance for each tooth (mm), of a burr for each turn."""
    return feed_per_tooth(feed, spindle, 1 if asked.cutter.flutes == "burr" else asked.cutter.teeth)


def rates_page(asked: Asked, found: Slots, job: Job) -> str:
    """HTML. `job` is the coupon's own."""
    rates, depth = found.ladder.rates, found.ladder.depth
    each = "feed a turn, mm" if asked.cutter.flutes == "burr" else "chip per tooth, mm"
    rows = [
        (str(n), f"{feed:g}", f"{chip(asked, rates.spindle, feed):.4f}", "", "", "", "")
        for n, feed in enumerate(found.ladder.feeds, 1)
    ]
    deep = "through, into the board" if depth is None else f"{depth:g} mm, not through"
    passes = f"{rates.axial_depth:g} mm in a pass at most"
    c = asked.cutter
    said = (
        f"{asked.material.title or asked.named[0]}, {asked.thickness:g} mm, held by {asked.hold}; {c.flutes} end mill of {c.cuts:g} mm, "
        f"{c.teeth} teeth; {asked.named[2]}; {rates.spindle:.0f} rpm; slots {deep}, {passes}. Nothing comes loose."
    )
    good = found.ladder.feeds[-2]
    conclude = [t + found.ladder.limit + "." if t.endswith(": ") else t for t in CONCLUDE]
    paces = [(name, f"{r.feed:g}", f"{r.spindle:.0f}", f"{r.axial_depth:g}") for name, r in found.ladder.paces]
    example = (
        f"operations:\n  - profile: {{cutter: mill, select: outer, spindle: {rates.spindle:.0f}, feed: {good:g}}}\n"
    )
    return page(
        f"Rates coupon: {asked.named[0]}, {c.cuts:g} mm, {asked.named[2]}",
        [
            paragraph(said),
            heading("What can hurt"),
            items(cautions(job)),
            heading("At the machine"),
            items(BEFORE),
            table(
                ("slot", "feed, mm/min", each, "edge", "sound", "dust or chips", "heat"),
                rows,
            ),
            heading("What to look at"),
            items(LOOK),
            heading("What to conclude"),
            items(conclude),
            paragraph("In your jobs, the feed and the speed that it was found at; as if slot "
                      f"{len(rows) - 1} were the one to keep:"),
            f"<pre>{example}</pre>\n",
            paragraph("Or a pace for all operations, `pace: steady` at the job's top, where its feed is no more than what you keep. A pace "
                      "sets speed and depth as well: what this coupon did not try, it did not prove."),
            table(("pace", "feed, mm/min", "spindle, rpm", "depth of a pass, mm"), paces),
        ],
    )  # fmt: skip
