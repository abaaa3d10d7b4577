"""What is proved on the text, one file a check. They see no plan, no offset and no strategy."""

from __future__ import annotations

from kerfwright.finding import Check
from kerfwright.hookspecs import hookimpl
from kerfwright_plugins.checks.allowance import AllowanceCheck
from kerfwright_plugins.checks.axial_depth import AxialDepth
from kerfwright_plugins.checks.bridge import BridgeCheck
from kerfwright_plugins.checks.chip import Chip
from kerfwright_plugins.checks.cutter import CutterCheck
from kerfwright_plugins.checks.dwell import Dwell
from kerfwright_plugins.checks.end import End
from kerfwright_plugins.checks.feed import Feed
from kerfwright_plugins.checks.freed_cut import FreedCut
from kerfwright_plugins.checks.from_depth import FromDepth
from kerfwright_plugins.checks.gouge import Gouge
from kerfwright_plugins.checks.keepout import Keepout
from kerfwright_plugins.checks.leftover import Leftover
from kerfwright_plugins.checks.loose import Loose
from kerfwright_plugins.checks.machine_travel import MachineTravel
from kerfwright_plugins.checks.modes import Modes
from kerfwright_plugins.checks.moved import Moved
from kerfwright_plugins.checks.not_through import NotThrough
from kerfwright_plugins.checks.programs import Programs
from kerfwright_plugins.checks.rapid import Rapid, RapidDescent
from kerfwright_plugins.checks.reach import Reach
from kerfwright_plugins.checks.reading import ReadingCheck
from kerfwright_plugins.checks.restated import Restated
from kerfwright_plugins.checks.skin import SkinCheck
from kerfwright_plugins.checks.spindle import Spindle
from kerfwright_plugins.checks.start import Start
from kerfwright_plugins.checks.stray import Stray
from kerfwright_plugins.checks.taking import TakingCheck
from kerfwright_plugins.checks.text import TextCheck
from kerfwright_plugins.checks.too_deep import TooDeep
from kerfwright_plugins.checks.walk_round import WalkRound

__all__ = ["kerfwright_checks"]


@hookimpl
def kerfwright_checks() -> list[type[Check]]:
    """Every check there is."""
    return [
        ReadingCheck, Modes, Start, End, CutterCheck, Spindle, Feed, Gouge, Leftover, NotThrough, TooDeep, Stray, BridgeCheck,
        Rapid, RapidDescent, Keepout, MachineTravel, Loose, FreedCut, FromDepth, WalkRound, Moved, AllowanceCheck, SkinCheck,
        AxialDepth, Chip, Dwell, Reach, Restated, TextCheck, TakingCheck, Programs,
    ]  # fmt: skip
