"""Evidence: what the programs' own text says that the cutter does. Nothing here has seen a plan."""

from __future__ import annotations

from kerfwright.evidence.alike import Alike, linked
from kerfwright.evidence.course import Course
from kerfwright.evidence.cutting import CHORD, Cutting, quads
from kerfwright.evidence.reading import Reading, cutter_of
from kerfwright.evidence.sheet import Evidence

__all__ = ["CHORD", "Alike", "Course", "Cutting", "Evidence", "Reading", "cutter_of", "linked", "quads"]
