"""Every dialect as it stands, and variations by data, as a job's `output` has them: what snapshots and round trips go through."""

from __future__ import annotations

from kerfwright.dialect import Dialect
from kerfwright.registry import Registry

__all__ = ["VARIED", "varied"]

VARIED = {
    "nist-inch": ("nist6556", {"units": "inch"}),
    "nist-radius": ("nist6556", {"word.centers": "radius", "word.cycles": False}),
    "nist-flat-arcs": ("nist6556", {"word.helices": False, "word.dwell_unit": "ms", "program.end": "M30"}),
    "nist-framed": (
        "nist6556",
        {"program.start": "%", "block.sequence": True, "block.ending": "crlf", "run.work_offset": 3},
    ),
    "nist-silent": ("nist6556", {"block.comments": "none", "word.decimals": 4, "word.feed_decimals": 1}),
    "core-no-arcs": ("nist6556-core", {"word.arcs": False, "units": "inch", "word.decimals": 5}),
    "iso-inch": ("iso6983", {"units": "inch", "word.decimals": 4, "run.work_offset": 2}),
    "iso-absolute": ("iso6983", {"word.centers": "absolute", "word.dwell_word": "P"}),
    "iso-radius": ("iso6983", {"word.centers": "radius", "word.dwell_word": "F", "block.sequence": False}),
    "iso-milliseconds": (
        "iso6983",
        {"word.dwell_unit": "ms", "program.start": "", "program.end": "M30", "program.name": False},
    ),
    "eia-multi": ("eia274", {"word.quadrants": "multi", "word.helices": True}),
    "eia-helices": ("eia274", {"word.helices": True, "word.decimals": 4}),
    "eia-inch": ("eia274", {"units": "inch", "block.sequence": False, "block.ending": "crlf"}),
    "cl-inch": ("iso4343", {"units": "inch", "word.decimals": 5, "block.ending": "crlf"}),
    "cl-chords": ("iso4343", {"word.arcs": False, "run.cutter_change": "automatic"}),
}
"""By name: the dialect, and what varies it."""


def varied(registry: Registry) -> dict[str, Dialect]:
    """All of them."""
    names = ("nist6556", "nist6556-core", "nist6556-lines", "iso6983", "eia274", "iso4343")
    stands = {name: registry.dialects[name]() for name in names}
    for name, (base, keys) in VARIED.items():
        cls = registry.dialects[base]
        stands[name] = cls(**{cls.variations()[key].name: value for key, value in keys.items()})
    return stands
