"""Test pieces from outside: their jobs are made and proved like any other, and what is measured on them comes back."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import attrs
import pytest
import yaml

import kerfwright as kw
from kerfwright.coupons.asked import Asked
from kerfwright.coupons.feeds import ladder, rungs
from kerfwright.shell import run
from kerfwright.tables import load_tables

RIGHT = {"--material": "cfrp", "--thickness": "2", "--cutter": "burr-2", "--machine": "light-router"}
BOARD = {"--board": "12 mm"}


def coupon(kind: str, out: Path, **more: str) -> int:
    said = RIGHT | {f"--{k.replace('_', '-')}": v for k, v in more.items()}
    return run(["coupon", kind, *(v for pair in said.items() for v in pair), "--out", str(out)])


def made(kind: str, out: Path) -> tuple[dict[str, object], str]:
    """result.json and the one program's text, of a coupon that was proved."""
    name = f"coupon-{kind}"
    assert run(["make", str(out / name / f"{name}.yaml"), "--out", str(out)]) == 0
    result = json.loads((out / name / "result.json").read_text())
    (file,) = [p["file"] for p in result["programs"] if p["kind"] == "program"]
    return result, (out / name / file).read_text()


def told(result: dict[str, object], check: str) -> list[str]:
    return [f["message"] for f in result["findings"] if f["check"] == check]


def test_slots_at_rising_feeds(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The table feeds 500 to 1000 mm/min there: six steps of 125 from 375, which is above 0.6 x 500. Each slot enters at its feed,
    full depth 2.3 mm, in the order of the numbers; its two long ways are 30 mm, to 15 mm from its middle.
    """
    assert coupon("rates", tmp_path, board="12") == 0
    assert "375, 500, 625, 750, 875, 1000 mm/min, 24000 rpm" in capsys.readouterr().out
    result, text = made("rates", tmp_path)
    begun = re.findall(r"Y([\d.]+)\nZ2\.000\nG1 Z0\.000 F50\nX[\d.]+ Z-0\.288 F(\d+)\n", text)
    assert begun == [
        ("15.050", "375"), ("27.050", "500"), ("39.050", "625"), ("51.050", "750"), ("63.050", "875"), ("75.050", "1000"),
    ]  # fmt: skip
    marks = re.findall(
        r'text: "(\d+)", at: \[3, (\d+)\]', (tmp_path / "coupon-rates" / "coupon-rates.yaml").read_text()
    )
    assert marks == [
        ("1", "3"),
        ("2", "15"),
        ("3", "27"),
        ("4", "39"),
        ("5", "51"),
        ("6", "63"),
    ]  # 8 mm up on the sheet
    assert text.count("Z-2.300\n") == 6
    assert set(re.findall(r"S(\d+)", text)) == {"24000"}
    assert told(result, "loose") == []
    assert [p["held_by"] for p in result["parts"]] == ["the sheet"]
    moves = kw.read(text, "nist6556").curve.nodes
    low = moves[moves[:, 2] < -2.299]
    assert low[:, 0].max() - low[:, 0].min() == pytest.approx(30.05, abs=0.05)  # arcs bulge over their ends
    page = (tmp_path / "coupon-rates" / "coupon.html").read_text()
    assert "<td class=number>6</td><td class=number>1000</td><td class=number>0.0417</td>" in page  # 1000 / 24000
    assert page.count("<td class=blank></td>") == 6 * 4
    for word in ("Dust of carbon-fibre", "spindle", "fire", "Tape must hold", "pace: steady", "feed: 875"):
        assert word in page


def test_without_a_board_nothing_goes_through(tmp_path: Path) -> None:
    """2 mm less 0.3 mm that stay."""
    assert (
        coupon("rates", tmp_path, steps="3", machine="small-router", cutter="2 mm", flutes="up", flute_length="6") == 0
    )
    result, text = made("rates", tmp_path)
    depths = [float(z) for z in re.findall(r"Z(-[\d.]+)", text)]
    assert min(depths) == -1.7
    assert told(result, "not_through") == []
    assert "flute_length: 6}   # see that this" in (tmp_path / "coupon-rates" / "coupon-rates.yaml").read_text()


RUNGS = [
    # first, last, slowest, steps, feeds by hand
    (500, 1000, 300, 6, (375, 500, 625, 750, 875, 1000)),
    (500, 1000, 300, 3, (400, 700, 1000)),
    (347.8, 347.8, 208.7, 6, (240, 260, 280, 300, 320, 340)),
    (100, 104, 60, 3, (60, 80, 100)),
    (500, 500, 498, 12, ()),
    (80, 70, 90, 3, ()),
]


@pytest.mark.parametrize(("first", "last", "slowest", "steps", "feeds"), RUNGS)
def test_feeds_are_round(first: float, last: float, slowest: float, steps: int, feeds: tuple[float, ...]) -> None:
    assert rungs(first, last, slowest, steps) == feeds


def test_a_weak_spindle_holds_the_feeds_back() -> None:
    """8 W at the first feed, 500 mm/min, are 300 N/mm2 x 2 mm x 1.6 mm x 500 / 60,000: 1.6 mm deep, and 500 is as fast as it gets."""
    tables = load_tables()
    router = tables.machines["light-router"]
    weak = attrs.evolve(router, spindle=attrs.evolve(router.spindle, power=8.0))
    names = ("cfrp", "burr-2", "light-router")
    found = ladder(Asked(names, tables.materials["cfrp"], tables.cutters["burr-2"], weak, 2.0, 12.0), 6)
    assert found.feeds == (375, 400, 425, 450, 475, 500)
    assert found.rates.axial_depth == 1.6
    assert "8 W" in found.limit


CHIPS = {
    # 120 m/min / (3 mm x pi) = 12732 rpm; 0.03 x 12700 = 381 and 0.06 x 12700 = 762 mm/min; 0.6 x 381 = 229
    "a single tooth": ("acrylic", ["single-3"], 12700, [250, 350, 450, 550, 650, 750]),
    # 500 / (8 x 0.01) = 6250 rpm is less than the spindle turns: 8000, where the least chip of 0.01 mm asks for 640 mm/min
    "teeth that would rub": ("pom", ["2", "--teeth", "8"], 8000, [700, 800, 900, 1000, 1100, 1200]),
}


@pytest.mark.parametrize(("material", "cutter", "speed", "feeds"), CHIPS.values(), ids=CHIPS.keys())
def test_chips_are_never_thinner_than_the_least(
    material: str,
    cutter: list[str],
    speed: float,
    feeds: list[float],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """By hand, from the rows of the table."""
    said = ["--material", material, "--thickness", "3", "--machine", "light-router", "--out", str(tmp_path), "--json"]
    assert run(["coupon", "rates", *said, "--cutter", *cutter]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["spindle"] == speed
    assert [s["feed"] for s in data["slots"]] == feeds
    assert [Path(f).exists() for f in data["files"]] == [True, True]


SIZES = {
    # by hand: outside n: (n + 2) s - 1.97; inside n: (n - 2) s + 1.97; s is 1.0005 in X and 0.9997 in Y; read to 0.01 mm
    "plate, along x": 76.07, "plate, along y": 61.01,
    "square 30, along x": 30.05, "square 30, along y": 30.02,
    "square 20, along x": 20.04, "square 20, along y": 20.02,
    "opening 25, along x": 24.98, "opening 25, along y": 24.96,
    "opening 12, along x": 11.97, "opening 12, along y": 11.97,
    "hole 1, along x": 4.97, "hole 1, along y": 4.97,
    "hole of 8, along x": 7.97, "hole of 8, along y": 7.97,
    "hole of 12, along x": 11.98, "hole of 12, along y": 11.97,
    "holes 1 to 2": 60.03, "holes 3 to 4": 60.03, "holes 1 to 3": 44.99, "holes 2 to 4": 44.99,
    # hole 4 of hole 1: (60.03 + 44.9865 sin 0.02 deg, 44.9865) = (60.0457, 44.9865); hole 3 of hole 2: (-60.0143, 44.9865)
    "holes 1 to 4": 75.03, "holes 2 to 3": 75.00,
}  # fmt: skip
TRUE = {"diameter:mill": -0.03, "scale_x": 0.0005, "scale_y": -0.0003, "square": math.radians(0.02)}


def test_a_machine_is_told_from_its_coupon(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A cutter of 1.97 mm instead of 2, X 0.05 % too long, Y 0.03 % too short, axes 89.98 deg apart."""
    assert coupon("fit", tmp_path, board="12") == 0
    result, text = made("fit", tmp_path)
    assert {p["name"]: p["held_by"] for p in result["parts"]} == {
        "plate": "tape",
        "square-30": "tape",
        "square-20": "tape",
    }
    nodes = kw.read(text, "nist6556").curve.nodes
    low = nodes[(nodes[:, 2] < -2.29) & (nodes[:, 0] < 88)]
    assert (low.max(0) - low.min(0))[:2] == pytest.approx((78, 63), abs=0.002)  # the plate, and the cutter around it
    form, job = tmp_path / "coupon-fit" / "measured.yaml", tmp_path / "coupon-fit" / "coupon-fit.yaml"
    capsys.readouterr()
    assert run(["adjust", str(form), "--job", str(job)]) == 2
    refused = capsys.readouterr().err
    assert "found 22 blanks and no size behind `measured:`" in refused
    filled = form.read_text().replace("uncertainty:    #", "uncertainty: 0.005    #")
    assert filled.count("0.005    #") == 1
    assert [s["name"] for s in yaml.safe_load(filled)["sizes"]] == list(SIZES)
    for name, value in SIZES.items():
        filled = re.sub(rf'measured: +(, name: "{re.escape(name)}")', rf"measured: {value}\g<1>", filled)
    form.write_text(filled)
    assert run(["adjust", str(form), "--job", str(job), "--json"]) == 0
    found = {v["key"]: v["interval_95"] for v in json.loads(capsys.readouterr().out)["values"]}
    assert list(found) == list(TRUE)
    for key, (low_end, high_end) in found.items():
        assert low_end <= TRUE[key] <= high_end, key
        assert low_end > 0 or high_end < 0, key  # told apart from no error
    assert coupon("fit", tmp_path, board="12") == 2
    assert "measured.yaml: found a form that is filled in" in capsys.readouterr().err
    assert form.read_text() == filled


def test_what_the_form_calls_nominal_is_what_the_job_draws(tmp_path: Path) -> None:
    """By hand for a 2 mm cutter: holes 1 to 4 at the corners of 60 x 45, their centers 8 mm inside of the plate's edges."""
    assert coupon("fit", tmp_path, board="12") == 0
    job = yaml.safe_load((tmp_path / "coupon-fit" / "coupon-fit.yaml").read_text())
    plate, *squares = ([next(iter(s.items())) for s in part["shapes"]] for part in job["parts"])
    circles = [(*said["center"], said["diameter"]) for kind, said in plate if kind == "circle"]
    assert circles == [(8, 8, 5), (68, 8, 5), (8, 53, 5), (68, 53, 5), (53, 8, 8), (53, 53, 12)]
    assert [said["size"] for kind, said in plate if kind == "rectangle"] == [[76, 61], [25, 25], [12, 12]]
    assert [said["size"] for square in squares for _, said in square] == [[30, 30], [20, 20]]
    sizes = yaml.safe_load((tmp_path / "coupon-fit" / "measured.yaml").read_text())["sizes"]
    across = [s["nominal"] for s in sizes if s["kind"] != "centers"]
    assert across == [76, 61, 30, 30, 20, 20, 25, 25, 12, 12, 5, 5, 8, 8, 12, 12]
    centers = [(s["nominal"], s["along"]) for s in sizes if s["kind"] == "centers"]
    assert centers == [
        (60, "x"), (60, "x"), (45, "y"), (45, "y"), (75, "36.8699 deg"), (75, "143.1301 deg"),  # atan 3/4
    ]  # fmt: skip


OTHERS = {
    # name: (kind, cutter, hold, thickness, machine); on the small router walls bend by more than the usual 0.1 mm
    "small cutter, screws": ("fit", "1.5", "screws", "1.5", "light-router"),
    "inch cutter": ("fit", "1/8 in", "tape", "1.5", "stiff-router"),
    "soft machine, screws": ("rates", "burr-1.5", "screws", "3", "small-router"),
}


@pytest.mark.parametrize(("kind", "cutter", "hold", "thick", "machine"), OTHERS.values(), ids=OTHERS.keys())
def test_other_cutters_and_holds(kind: str, cutter: str, hold: str, thick: str, machine: str, tmp_path: Path) -> None:
    assert (
        coupon(kind, tmp_path, cutter=cutter, hold=hold, board="10", material="gfrp", thickness=thick, machine=machine)
        == 0
    )
    result, _ = made(kind, tmp_path)
    held = {p["held_by"] for p in result["parts"]}
    assert held == ({"the sheet"} if kind == "rates" else {"2 bridges"} if hold == "screws" else {"tape"})
    assert all("comes free" not in message for message in told(result, "loose"))


def test_a_larger_offcut_gives_longer_centers(tmp_path: Path) -> None:
    """132 x 81 mm are what 60 x 45 needs; each step is 20 x 15 more."""
    nominal = {}
    for size in ("134,81", "154,96", "153,96", "500,500"):
        assert coupon("fit", tmp_path / size, board="12", size=size) == 0
        sizes = yaml.safe_load((tmp_path / size / "coupon-fit" / "measured.yaml").read_text())["sizes"]
        nominal[size] = [s["nominal"] for s in sizes if s["name"] in ("holes 1 to 2", "holes 1 to 3", "holes 1 to 4")]
    assert nominal == {
        "134,81": [60, 45, 75],
        "154,96": [80, 60, 100],
        "153,96": [60, 45, 75],
        "500,500": [160, 120, 200],
    }


def test_the_same_bytes_each_time(tmp_path: Path) -> None:
    files = {}
    for run_ in ("a", "b"):
        assert coupon("rates", tmp_path / run_, board="12", steps="12") == 0
        assert coupon("fit", tmp_path / run_, board="12") == 0
        folder = tmp_path / run_
        files[run_] = {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}
    assert files["a"] == files["b"]
    assert len(files["a"]) == 5


REFUSED = {
    # name: (kind, options, part of what is told)
    "material": ("rates", {"material": "cfpr"}, "--material: found 'cfpr', allowed: acrylic, "),
    "machine": ("fit", {"machine": "light"}, "--machine: found 'light', allowed: light-router, "),
    "cutter": ("fit", {"cutter": "burr-9"}, "--cutter: found 'burr-9', allowed: burr-1.5, "),
    "no rates": ("rates", {"cutter": "9 mm"}, "--cutter: found burr of 9 mm, for which cfrp has no rates, allowed: burr 1.5 to 3.2"),
    "drill": ("rates", {"cutter": "drill-3"}, "--cutter: found a drill, allowed: an end mill"),
    "none": ("rates", {"steps": "0"}, "--steps: found 0, allowed: 3 to 12"),
    "many": ("rates", {"steps": "99"}, "--steps: found 99, allowed: 3 to 12"),
    "thick": ("rates", {"thickness": "9"}, "--thickness: found 9 mm, allowed: at most 8 mm with a cutter that reaches 8 mm"),
    "thick, into the board": (
        "fit", {"thickness": "7.8", "board": "12"}, "goes 0.3 mm into the board, allowed: at most 7.7 mm",
    ),
    "offcut": ("rates", {"size": "62,89"}, "--size: found 62 x 89 mm for 6 steps, allowed: 5 steps fit"),
    "turned": ("rates", {"size": "90,62"}, "allowed: 3 steps fit; with the offcut turned to 62,90: 6 steps"),
    "tiny": ("rates", {"size": "40,40"}, "allowed: no coupon fits: one of 3 needs 62 x 54 mm"),
    "offcut of a fit": ("fit", {"size": "81,134", "board": "12"}, "at least 134 x 81 mm; it fits when the offcut is turned to 134,81"),
    "no size": ("fit", {"size": "120", "board": "12"}, "--size: found '120', allowed: X and Y of the offcut, as 120,80"),
    "no board": ("fit", {}, "--board: found nothing, allowed: the thickness of the sacrificial board"),
    "thin board": ("rates", {"board": "0.2"}, "sheet.breakthrough: found 0.3 mm, allowed: at most sheet.board, 0.2 mm"),
    "flutes": ("rates", {"flutes": "up"}, "--flutes: found the cutter burr-2 of the tables, allowed: only beside a diameter"),
}  # fmt: skip


@pytest.mark.parametrize(("kind", "more", "message"), REFUSED.values(), ids=REFUSED.keys())
def test_what_no_coupon_is_made_of(
    kind: str, more: dict[str, str], message: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert coupon(kind, tmp_path, **more) == 2
    assert message in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
