"""Rates: the job's word first, then the material's row at the pace, held to the machine; each with its reason."""

from __future__ import annotations

import itertools

import attrs
import pytest

from kerfwright.cutter import Cutter
from kerfwright.errors import InputError
from kerfwright.machine import Axes, Machine, Spindle
from kerfwright.material import Material, RateRow
from kerfwright.operation import PACES, Drill, Pocket, Profile
from kerfwright.rates import choose
from kerfwright.registry import Registry
from kerfwright.tables import load_tables
from kerfwright_plugins.tables import kerfwright_tables

MILL = Cutter(name="mill", form="end_mill", flutes="up", diameter=2, teeth=2, flute_length=8)
DRILL = Cutter(name="drill", form="drill", diameter=2, teeth=2, flute_length=20, point_angle=118)
MACHINE = Machine(
    name="shop", spindle=Spindle(least=8000, most=24000), feed=Axes(xy=3000, z=800), rapid=Axes(xy=4000, z=900)
)
ROW = RateRow(
    form="end_mill",
    flutes=("up",),
    diameter=(1, 3),
    cutting_speed=(100_000, 140_000),
    feed=(400, 800),
    plunge_feed=(100, 200),
    axial_depth=(1, 2),
    one_pass=1.5,
    radial_depth=(0.3, 0.4),
    sources=dict.fromkeys(
        ("cutting_speed", "feed", "plunge_feed", "axial_depth", "one_pass", "radial_depth"), "a page"
    ),
)
FOAM = Material(name="foam", rows=(ROW,))


def rates(
    material=FOAM, machine=MACHINE, pace="first", thickness=2.0, breakthrough=0.0, kind=Profile, cutter=MILL, **said
):
    return choose(kind(cutter=cutter, **said), material, machine, pace, thickness, breakthrough)


def told(**how) -> list[str]:
    with pytest.raises(InputError) as e:
        rates(**how)
    return [str(f) for f in e.value.faults]


def row(**other):
    return Material(name="foam", rows=(attrs.evolve(ROW, **other),))


@pytest.mark.parametrize(
    ("pace", "spindle", "feed", "plunge", "axial", "radial"),
    # 100, 120 and 140 m/min on 2 mm: 15915, 19099, 22282 rpm, down to the next hundred
    [
        ("first", 15900, 400, 100, 1, 0.3),
        ("steady", 19000, 600, 150, 1.5, 0.35),
        ("proven", 22200, 800, 200, 2, 0.4),
    ],
)
def test_a_row_at_each_pace(pace, spindle, feed, plunge, axial, radial):
    r = rates(pace=pace, thickness=6.0)
    assert (r.spindle, r.feed, r.plunge_feed, r.axial_depth) == (spindle, feed, plunge, axial)
    assert r.radial_depth == pytest.approx(radial)
    assert set(r.sources) == {"spindle", "feed", "plunge_feed", "axial_depth", "radial_depth"}
    assert r.sources["feed"] == f"foam, up end_mill 1 to 3 mm, pace {pace} (a page)"
    assert r.sources["spindle"] == f"cutting speed {100 + 20 * ['first', 'steady', 'proven'].index(pace)} m/min: " + (
        f"foam, up end_mill 1 to 3 mm, pace {pace} (a page)"
    )


def test_an_operation_has_a_pace_of_its_own():
    assert rates(pace="first", **{"feed": None}).feed == 400
    assert choose(Profile(cutter=MILL, pace="proven"), FOAM, MACHINE, "first", 2.0).feed == 800


def test_the_job_s_word_comes_first():
    r = rates(spindle=9000.0, feed=100.0, plunge_feed=20.0, axial_depth=0.2, radial_depth=0.1)
    assert (r.spindle, r.feed, r.plunge_feed, r.axial_depth, r.radial_depth) == (9000, 100, 20, 0.2, 0.1)
    assert set(r.sources.values()) == {"the job"}


def test_the_measured_diameter_decides_the_speed():
    """100 m/min on 1.9 mm: 16753 rpm."""
    assert rates(cutter=attrs.evolve(MILL, measured=1.9)).spindle == 16700


def test_the_machine_s_limits_hold():
    slow = attrs.evolve(MACHINE, feed=Axes(xy=300, z=60), spindle=Spindle(least=5000, most=12000))
    r = rates(machine=slow)
    assert (r.spindle, r.feed, r.plunge_feed) == (12000, 300, 60)
    assert r.sources["spindle"] == (
        "as fast as the spindle of shop turns; foam, up end_mill 1 to 3 mm, pace first (a page) would allow 15915 rpm"
    )
    assert r.sources["feed"] == "no faster than shop feeds in X and Y"
    assert r.sources["plunge_feed"] == "no faster than shop feeds in Z"


def test_a_spindle_that_turns_too_fast_is_told():
    fast = attrs.evolve(MACHINE, spindle=Spindle(least=18000, most=24000))
    r = rates(machine=fast)
    assert r.spindle == 18000  # 113 m/min: above what the pace asks for, within the row
    assert r.sources["spindle"].startswith("as slowly as the spindle of shop turns; foam, up end_mill")
    faster = attrs.evolve(MACHINE, spindle=Spindle(least=23000, most=24000))
    assert told(machine=faster) == [
        "spindle: found 145 m/min at the slowest 23000 rpm of shop, allowed: at most 140 m/min for foam, up end_mill "
        "1 to 3 mm, pace first (a page)"
    ]


def test_teeth_hold_the_feed_back_where_the_spindle_is_slow():
    """0.01 mm for each of 2 teeth at 8000 rpm is 160 mm/min."""
    r = rates(material=row(feed_per_tooth=(0.01, 0.02), sources={**ROW.sources, "feed_per_tooth": "b"}), spindle=8000.0)
    assert r.feed == 160
    assert r.sources["feed"] == (
        "no more than 0.01 mm for each of 2 teeth: foam, up end_mill 1 to 3 mm, pace first (b)"
    )
    assert rates(material=row(feed_per_tooth=(0.1, 0.2))).feed == 400


@pytest.mark.parametrize(
    ("thickness", "breakthrough", "axial"),
    [(1.5, 0.0, 1.5), (1.5, 0.4, 1.9), (1.6, 0.4, 1.0), (0.5, 0.2, 1.0), (1.5, 7.0, 8.0)],
)
def test_one_pass_where_the_row_allows(thickness, breakthrough, axial):
    assert rates(thickness=thickness, breakthrough=breakthrough).axial_depth == pytest.approx(axial)


def test_a_blind_cut_counts_its_own_depth():
    assert rates(thickness=6.0, kind=Pocket, depth=1.4, start=0.2).axial_depth == pytest.approx(1.2)
    assert rates(thickness=6.0, breakthrough=0.5, kind=Pocket, depth=1.6).axial_depth == 1


def test_a_pass_is_never_deeper_than_the_flutes():
    r = rates(cutter=attrs.evolve(MILL, flute_length=0.7))
    assert (r.axial_depth, r.sources["axial_depth"]) == (0.7, "the cutter's flute length")


def test_a_drill_only_goes_down():
    m = Material(
        name="foam",
        rows=(RateRow(form="drill", diameter=(1, 3), cutting_speed=(60_000, 90_000), plunge_feed=(80, 160)),),
    )
    r = rates(material=m, kind=Drill, cutter=DRILL, thickness=3.0, breakthrough=0.5)
    assert (r.spindle, r.feed, r.plunge_feed, r.axial_depth, r.radial_depth) == (9500, 80, 80, 3.5, 0)
    assert r.sources["plunge_feed"] == "foam, drill 1 to 3 mm, pace first (the job file)"
    assert r.sources["feed"] == "a drill only goes down: its plunge feed"
    said = {"material": m, "kind": Drill, "cutter": DRILL}
    assert rates(**said, feed=300.0).feed == 300
    assert told(**said, feed=4000.0) == [
        "feed: found 4000 mm/min, allowed: at most 3000 mm/min, what shop feeds in X and Y"
    ]


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"spindle": 30000.0}, "spindle: found 30000 rpm, allowed: 8000 to 24000 rpm, what the spindle of shop turns"),
        ({"spindle": 5000.0}, "spindle: found 5000 rpm, allowed: 8000 to 24000 rpm, what the spindle of shop turns"),
        ({"feed": 3001.0}, "feed: found 3001 mm/min, allowed: at most 3000 mm/min, what shop feeds in X and Y"),
        ({"plunge_feed": 801.0}, "plunge_feed: found 801 mm/min, allowed: at most 800 mm/min, what shop feeds in Z"),
        ({"axial_depth": 9.0}, "axial_depth: found 9 mm, allowed: at most 8 mm, the cutter's flute length"),
    ],
)
def test_more_than_the_machine_has_is_told(said, message):
    assert told(**said) == [message]


def test_all_faults_are_told_at_once():
    assert [m.split(":")[0] for m in told(spindle=1.0, feed=9999.0, plunge_feed=9999.0, axial_depth=9.0)] == [
        "spindle",
        "plunge_feed",
        "feed",
        "axial_depth",
    ]


@pytest.mark.parametrize(
    ("cutter", "kind", "message"),
    [
        (
            attrs.evolve(MILL, diameter=6.0),
            Profile,
            "cutter: found an end_mill (up) of 6 mm, for which foam has no rates, allowed: give spindle, plunge_feed, feed, "
            "axial_depth in the operation",
        ),
        (
            attrs.evolve(MILL, flutes="burr"),
            Pocket,
            "cutter: found an end_mill (burr) of 2 mm, for which foam has no rates, allowed: give spindle, plunge_feed, feed, "
            "axial_depth, radial_depth in the operation",
        ),
        (
            DRILL,
            Drill,
            "cutter: found a drill of 2 mm, for which foam has no rates, allowed: give spindle, plunge_feed in the operation",
        ),
    ],
)
def test_without_a_row_the_job_must_say_all(cutter, kind, message):
    assert told(cutter=cutter, kind=kind, **({"depth": 1.0} if kind is Pocket else {})) == [message]


def test_without_a_row_the_job_s_rates_are_enough():
    r = rates(cutter=attrs.evolve(MILL, diameter=6.0), spindle=9000.0, feed=300.0, plunge_feed=50.0, axial_depth=1.0)
    assert (r.spindle, r.feed, r.plunge_feed, r.axial_depth, r.radial_depth) == (9000, 300, 50, 1, 0)
    assert r.sources["radial_depth"] == "not used: nothing is cut beside a cut"


TABLES = load_tables(Registry(tables=kerfwright_tables()))


@pytest.mark.parametrize("material", sorted(TABLES.materials))
def test_a_material_with_each_cutter_on_each_machine(material):
    """Rates within what the machine has, or a plain refusal; a burr is for laminates alone. 12 x 3 x 3 for each material."""
    reached = 0
    for c, m, pace in itertools.product(TABLES.cutters.values(), TABLES.machines.values(), PACES):
        how = {"material": TABLES.materials[material], "machine": m, "cutter": c, "pace": pace, "thickness": 3.0}
        reached += 1
        if c.flutes == "burr" and not TABLES.materials[material].laminate:
            assert told(**how)[0].startswith(
                f"cutter: found an end_mill (burr) of {c.diameter:g} mm, for which {material} has no rates"
            )
            continue
        r = rates(kind=Drill if c.form == "drill" else Profile, **how)
        assert m.spindle.least <= r.spindle <= m.spindle.most
        assert 0 < r.feed <= m.feed.xy
        assert 0 < r.plunge_feed <= m.feed.z
        assert 0 < r.axial_depth <= c.flute_length
        assert 0 <= r.radial_depth <= 0.9
    assert reached == 108


def chips(**other):
    return row(least_chip=0.02, sources={**ROW.sources, "least_chip": "c"}, **other)


def test_a_chip_is_kept_by_a_slower_spindle():
    """400 mm/min over 2 teeth of 0.02 mm: 10000 rpm, where 100 m/min would be 15900."""
    r = rates(material=chips())
    assert (r.spindle, r.feed) == (10000, 400)
    assert r.sources["spindle"] == (
        "slower than 15900 rpm, so that a chip has 0.02 mm: foam, up end_mill 1 to 3 mm, pace first (c)"
    )
    assert rates(material=chips(), pace="proven").spindle == 20000


def test_a_chip_that_cannot_be_kept_is_said_to_rub():
    """At 8000 rpm, the slowest, 200 mm/min make 0.0125 mm; at the job's own 16000 rpm 400 make 0.0125 too."""
    slow = rates(material=chips(feed=(200, 800)))
    assert slow.spindle == 8000
    assert slow.sources["feed"].endswith(
        "; a chip of 0.0125 mm rubs, 0.02 mm are wanted: foam, up end_mill 1 to 3 mm, pace first (c)"
    )
    own = rates(material=chips(), spindle=16000.0)
    assert (own.spindle, "a chip of 0.0125 mm rubs" in own.sources["feed"]) == (16000, True)


def test_a_burr_keeps_its_speed():
    """Its teeth cannot be counted."""
    m = row(flutes=("burr",), least_chip=0.02)
    assert rates(material=m, cutter=attrs.evolve(MILL, flutes="burr")).spindle == 15900


def test_there_are_nine_materials_twelve_cutters_and_three_machines():
    assert (len(TABLES.materials), len(TABLES.cutters), len(TABLES.machines)) == (9, 12, 3)
