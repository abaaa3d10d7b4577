"""The job file of a draft, line by line: what it says, and beside it what it means and what to check."""

from __future__ import annotations

from attrs import evolve, frozen

from kerfwright.cutter import Cutter
from kerfwright.drafting.bridging import LINKED
from kerfwright.drafting.cutters import Tool, Tooling
from kerfwright.drafting.layout import Layout
from kerfwright.drafting.step import Step
from kerfwright.drafting.steps import Steps
from kerfwright.drafting.wish import BOARD, BREAKTHROUGH, Wish
from kerfwright.drafting.wording import WIDTH, columned, noted, num, quoted

__all__ = ["FILL_IN", "Sheetwords", "job_text"]

FILL_IN = "FILL-IN"
"""Stands where the user must say something: no job with it loads."""


@frozen
class Sheetwords:
    """What the job says of its sheet."""

    material: str
    thickness: str
    about: str = ""


def words_of(wish: Wish) -> Sheetwords:
    """As asked for, or to fill in."""
    material = FILL_IN if wish.material is None else wish.material.name
    thickness = FILL_IN if wish.thickness is None else wish.said
    bare = wish.thickness is not None and num(wish.thickness) == wish.said
    about = "" if bare or wish.thickness is None else f"{wish.thickness:.6g} mm; "
    return Sheetwords(material, thickness, about)


def job_text(
    name: str, drawing: str, head: list[str], odd: list[str], largest: str, wish: Wish, sheet: Sheetwords, tooling: Tooling,
    steps: Steps, layout: Layout,
) -> str:  # fmt: skip
    """All of the file."""
    rows = [row for v in head for row in noted(v)]
    if odd:
        rows += ["#", "# Odd in the drawing:", *(row for v in odd for row in noted(v, "#   - ", "#     "))]
    rows += ["", f"job: {quoted(name)}", columned(f"machine: {wish.machine.name}", "others: kerfwright list machines")]
    rows += _sheet(wish, sheet, layout)
    rows += ["cutters:", *noted(largest, "  # ", "  # ")]
    rows += [_cutter(key, tool) for key, tool in tooling.tools.items()]
    rows += ["parts:", f"  - name: {quoted(name)}", f"    drawing: {quoted(drawing)}", *layout.rows]
    rows += ["operations:"]
    for step in steps.operations:
        rows += _operation(step)
    if steps.ignored:
        rows += [
            columned("ignore:", "passed over by `inner` and `outer`, not by an operation that names it", 0),
            *(columned(f"  - {text}", comment, 50) for text, comment in steps.ignored),
        ]
    return "\n".join(rows) + "\n"


def _sheet(wish: Wish, sheet: Sheetwords, layout: Layout) -> list[str]:
    size = f"  size: [{num(layout.size[0])}, {num(layout.size[1])}]" if layout.size else "  # size: [300, 200]"
    unsaid = "fill in: kerfwright list materials" if sheet.material == FILL_IN else "others: kerfwright list materials"
    thick = f"{sheet.about}measure it: {{nominal: …, least: …, most: …}}"
    size_told = "X, Y: measure it" + ("" if layout.size else "; left out: the parts' extent and a margin")
    return [
        "sheet:",
        columned(f"  material: {sheet.material}", unsaid),
        columned(size, size_told),
        columned(f"  thickness: {sheet.thickness}", ("fill in; " if sheet.thickness == FILL_IN else "") + thick),
        columned(f"  breakthrough: {num(BREAKTHROUGH)}", "so far a through cut goes into the board"),
        columned(f"  board: {num(BOARD)}", "assumed: the sacrificial board under the sheet, measure yours"),
        columned(
            f"  hold: {wish.hold}",
            "bridges hold every piece" if wish.hold in LINKED else "it must hold every piece by its area",
        ),
        columned("  # keepout:", "every screw and clamp that the cutter could meet"),
        "  #   - {circle: {center: [8, 8], diameter: 14}, height: 4}",
    ]


def _cutter(key: str, tool: Tool) -> str:
    c: Cutter = tool.cutter
    said = [f"form: {c.form}"]
    said += [f"point_angle: {num(c.point_angle)}"] if c.form == "drill" else [f"flutes: {c.flutes}"]
    said += [f"diameter: {num(c.diameter)}", f"teeth: {c.teeth}", f"flute_length: {num(c.flute_length)}"]
    said += [] if c.shank is None else [f"shank: {num(c.shank)}"]
    whose = f"{tool.table} of the tables" if tool.table else "its teeth and flutes are assumed"
    return columned(f"  {key}: {{{', '.join(said)}}} ", f"{whose}: measure yours", 0)


def _operation(step: Step) -> list[str]:
    lead = "  # - " if step.asleep else "  - "
    line = columned(f"{lead}{step.text} ", step.comment, 0)
    if len(line) <= WIDTH:
        return [line]
    return [*noted(step.comment, "  # ", "  # "), f"{lead}{step.text}"]


def stand_in(sheet: Sheetwords, material: str) -> Sheetwords:
    """With something where the user must fill in, to see whether all else loads."""
    return evolve(
        sheet,
        material=material if sheet.material == FILL_IN else sheet.material,
        thickness="2" if sheet.thickness == FILL_IN else sheet.thickness,
    )
