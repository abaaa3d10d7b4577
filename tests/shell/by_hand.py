"""A job for the tests of the shell, and edits of what it makes."""

from __future__ import annotations

import re
from collections.abc import Callable

__all__ = ["JOB", "Edit", "put"]

JOB = """\
job: washer
machine: light-router
sheet: {material: acrylic, size: [60, 60], thickness: 3, breakthrough: 0.4, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: straight, diameter: 3, teeth: 1, flute_length: 12}
parts:
  - name: washer
    shapes:
      - circle: {center: [0, 0], diameter: 30}
      - circle: {center: [0, 0], diameter: 12.5}
    at: [15, 15]
operations:
  - profile: {cutter: mill, select: inner}
  - profile: {cutter: mill, select: outer}
"""

Edit = Callable[[bytes], bytes]


def put(pattern: str, new: str, count: int = 0) -> Edit:
    """Text for text; it must be there."""

    def edit(text: bytes) -> bytes:
        out, n = re.subn(pattern.encode(), new.encode(), text, count=count, flags=re.MULTILINE)
        assert n, pattern
        return out

    return edit
