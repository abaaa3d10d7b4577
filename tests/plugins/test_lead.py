"""Leads."""

from __future__ import annotations

import shapely

from kerfwright.curve import Curve
from kerfwright.room import Room
from kerfwright_plugins.lead.none import NoLead


def test_none_is_no_way_at_all() -> None:
    into, out = NoLead()(Curve.circle(0, 0, 5), Room(shapely.box(-9, -9, 9, 9)))
    assert (len(into), len(out)) == (0, 0)
