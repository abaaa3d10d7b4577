"""Five invented jobs that programs are spoiled of: together they have all that a program can have."""

from __future__ import annotations

import copy
import json
from typing import Any

import kerfwright as kw
from kerfwright.errors import CannotSay, InputError
from kerfwright.registry import Registry
from kerfwright.result import Result

__all__ = ["JOBS", "made"]

MILL = {"form": "end_mill", "flutes": "compression", "diameter": 2.0, "teeth": 2, "flute_length": 8}
RATES = {"spindle": 18000, "feed": 600, "plunge_feed": 100}


def _circle(x: float, y: float, diameter: float, layer: str) -> dict[str, Any]:
    return {"circle": {"center": [x, y], "diameter": diameter}, "layer": layer}


def _rectangle(x: float, y: float, w: float, h: float, layer: str, radius: float = 0.0) -> dict[str, Any]:
    return {
        "rectangle": {"corner": [x, y], "size": [w, h], **({"radius": radius} if radius else {})},
        "layer": layer,
    }


JOBS: dict[str, dict[str, Any]] = {
    # twenty-four holes drilled, a rim with fourteen bridges; two cutters, screws that are named
    "sieve": {
        "machine": "light-router",
        "sheet": {
            "material": "cfrp", "size": [150, 110], "thickness": 2, "breakthrough": 0.4, "board": 12, "hold": "screws",
            "keepout": [{"circle": {"center": [c, d], "diameter": 12}, "height": 4} for c in (8, 142) for d in (8, 102)],
        },
        "cutters": {
            "drill": {"form": "drill", "diameter": 3.0, "point_angle": 118, "flute_length": 16},
            "mill": MILL,
        },
        "parts": [
            {
                "name": "sieve", "at": [20, 20],
                "shapes": [
                    _rectangle(0, 0, 110, 70, "rim"),
                    *(_circle(10 + 18 * i, 11 + 16 * k, 3.0, "hole") for i in range(6) for k in range(4)),
                ],
            }
        ],
        "operations": [
            {"drill": {"cutter": "drill", "select": {"layer": "hole"}, "spindle": 9000, "plunge_feed": 80}},
            {
                "profile": {
                    "cutter": "mill", "select": "outer", "passes": "equal", "axial_depth": 0.9, **RATES,
                    "entry": "toolaxis", "bridges": {"width": 0.8, "thickness": 0.5, "spacing": 25},
                }
            },
        ],
    },
    # a recess with islands, an opening and a rim with bridges; speed set by hand, no reference switches: stops
    "island": {
        "machine": "small-router",
        "sheet": {
            "material": "plywood", "size": [120, 100], "thickness": 4, "breakthrough": 0.5, "board": 18, "hold": "screws",
            "zero": {"x": "center", "y": "center", "z": "board_top"},
        },
        "cutters": {"mill": {**MILL, "diameter": 3.0, "flute_length": 12}},
        "parts": [
            {
                "name": "tray", "at": [15, 15],
                "shapes": [
                    _rectangle(0, 0, 84, 64, "rim", 4), _rectangle(8, 8, 40, 48, "recess", 3),
                    _circle(20, 20, 7, "island"), _circle(36, 36, 6, "island"), _rectangle(16, 38, 8, 8, "island"),
                    _rectangle(56, 12, 20, 36, "window", 3),
                ],
            }
        ],
        "operations": [
            {
                "pocket": {
                    "cutter": "mill", "select": [{"layer": "recess"}, {"layer": "island"}], "depth": 1.5,
                    "spindle": 16000, "feed": 600, "plunge_feed": 120, "axial_depth": 1.5, "radial_depth": 0.4,
                    "entry": {"ramp": {"angle": 4}},
                }
            },
            {
                "profile": {
                    "cutter": "mill", "select": [{"layer": "window"}, {"layer": "rim"}], "passes": "equal",
                    "spindle": 16000, "feed": 600, "plunge_feed": 120, "axial_depth": 1.6, "entry": "toolaxis",
                    "bridges": {"width": 1.2, "thickness": 0.8, "spacing": 45},
                }
            },
        ],
    },
    # holes pecked and holes with the chip broken; taped down, zero on the board
    "peg": {
        "machine": "light-router",
        "sheet": {
            "material": "acrylic", "size": [100, 80], "thickness": 3, "breakthrough": 0.3, "board": 12, "hold": "tape",
            "zero": {"x": "left", "y": "front", "z": "board_top"},
        },
        "cutters": {
            "drill": {"form": "drill", "diameter": 2.5, "point_angle": 118, "flute_length": 16},
            "mill": MILL,
        },
        "parts": [
            {
                "name": "peg", "at": [14, 14],
                "shapes": [
                    _rectangle(0, 0, 66, 46, "rim"), _rectangle(22, 14, 22, 18, "window", 2),
                    *(_circle(10, 8 + 10 * k, 2.5, "deep") for k in range(4)),
                    *(_circle(56, 8 + 10 * k, 2.5, "chip") for k in range(4)),
                ],
            }
        ],
        "operations": [
            {
                "drill": {
                    "cutter": "drill", "select": {"layer": "deep"}, "spindle": 9000, "plunge_feed": 80,
                    "cycle": {"peck": {"depth": 1.2}},
                }
            },
            {
                "drill": {
                    "cutter": "drill", "select": {"layer": "chip"}, "spindle": 9000, "plunge_feed": 80,
                    "cycle": {"chip_break": {"depth": 1.2}},
                }
            },
            {
                "profile": {
                    "cutter": "mill", "select": [{"layer": "window"}, {"layer": "rim"}], "passes": "equal",
                    "axial_depth": 1.2, **RATES, "entry": "toolaxis",
                }
            },
        ],
    },
    # six copies on a grid, holes cleared to dust, conventional, ramps; bridges by count
    "grid": {
        "machine": "light-router",
        "sheet": {
            "material": "gfrp", "size": [150, 110], "thickness": {"nominal": 2, "least": 1.9, "most": 2.1},
            "breakthrough": 0.3, "board": 12, "hold": "frame",
        },
        "cutters": {"mill": MILL},
        "parts": [
            {
                "name": "tile", "at": [15, 15], "layout": {"grid": {"columns": 3, "rows": 2, "gap": 8}},
                "shapes": [_rectangle(0, 0, 30, 24, "rim"), _circle(15, 12, 5, "seat")],
            }
        ],
        "operations": [
            {
                "pocket": {
                    "cutter": "mill", "select": {"layer": "seat"}, "depth": "through", **RATES, "axial_depth": 1.3,
                    "radial_depth": 0.4, "cutmode": "conventional",
                }
            },
            {
                "profile": {
                    "cutter": "mill", "select": "outer", "passes": "equal", "axial_depth": 1.3, **RATES,
                    "cutmode": "conventional", "entry": {"ramp": {"angle": 3}},
                    "bridges": {"count": {"count": 4, "width": 1.0, "thickness": 0.6}},
                }
            },
        ],
    },
    # two end mills, two parts, leads, a thickness range, vacuum
    "pair": {
        "machine": "light-router",
        "sheet": {
            "material": "cfrp", "size": [160, 90], "thickness": {"nominal": 2, "least": 1.95, "most": 2.1},
            "breakthrough": 0.4, "board": 12, "hold": "vacuum",
        },
        "cutters": {"wide": {**MILL, "diameter": 3.0, "flute_length": 10}, "fine": {**MILL, "diameter": 1.5}},
        "parts": [
            {
                "name": "left", "at": [15, 15],
                "shapes": [_rectangle(0, 0, 56, 50, "rim"), _rectangle(10, 10, 36, 24, "recess", 2)],
            },
            {
                "name": "right", "at": [90, 15],
                "shapes": [_rectangle(0, 0, 50, 50, "rim"), _rectangle(12, 12, 26, 26, "window", 1)],
            },
        ],
        "operations": [
            {
                "pocket": {
                    "cutter": "wide", "select": {"layer": "recess"}, "depth": 0.8, **RATES, "axial_depth": 0.8,
                    "radial_depth": 0.4,
                }
            },
            {
                "profile": {
                    "cutter": "fine", "select": [{"layer": "window"}, {"layer": "rim"}], "passes": "equal",
                    "axial_depth": 0.9, **RATES, "entry": "toolaxis", "lead": {"tangent": {"radius": 1}},
                }
            },
        ],
    },
}  # fmt: skip
"""By name; the dialect is put in by `made`."""


def made(name: str, dialect: str, registry: Registry) -> Result | None:
    """The job in a dialect; None where that dialect cannot carry it."""
    job = copy.deepcopy(JOBS[name]) | {"job": name, "output": {"dialect": dialect}}
    try:
        result = kw.make(kw.load_job("-", registry, text=json.dumps(job)), registry)
    except (InputError, CannotSay):
        return None
    return None if any(f.check == "dialect" for f in result.findings) else result
