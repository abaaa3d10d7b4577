"""Rates: the job's word first, then the material's row at the pace, held to the machine; each with its reason."""

from __future__ import annotations

import itertools

import attrs
import pytest

from kerfwright.cutter import Cutter
from kerfwright.errors import InputError
from kerfwright.machine import Acceleration, Axes, Machine, Spindle
from kerfwright.material import Material, RateRow
from kerfwright.operation import PACES, Allowance, Drill, Pocket, Profile
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


def test_a_material_without_a_name_is_this_material():
    assert (
        rates(material=Material(rows=(ROW,))).sources["feed"].startswith("this material, up end_mill 1 to 3 mm, pace")
    )


def test_depth_is_chosen_for_the_spindle_that_turns():
    """400 mm/min at 10000 rpm, 62.83 m/min, for a chip of 0.02 mm; kc 1000, 2 mm wide, a mm deep: 13.33 W, 12.73 N, 14.24 N at the
    side: 0.1424 mm of a machine of 100 N/mm, 0.01259 of the cutter. 0.05 mm of the wall: 0.32 mm deep. At 15900 rpm it were 0.51.
    """
    machine = attrs.evolve(MACHINE, stiffness=100.0)
    r = rates(material=attrs.evolve(chips(), cutting_force=1000.0), machine=machine)
    assert (r.spindle, r.feed, r.axial_depth) == (10000, 400, 0.32)


def test_what_the_slowest_spindle_does_not_keep_less_depth_does():
    """200 mm/min at 8000 rpm, the slowest, make 0.0125 mm. 320 make 0.02: then 1 x 200/320 mm deep. At the job's own 16000 rpm: 640
    instead of 400.
    """
    slow = rates(material=chips(feed=(200, 800)))
    assert (slow.spindle, slow.feed, slow.axial_depth) == (8000, 320, 0.62)
    assert slow.sources["feed"] == (
        "raised from 200 mm/min, so that the chip of a tooth has 0.02 mm: foam, up end_mill 1 to 3 mm, pace first (c)"
    )
    assert slow.sources["axial_depth"] == (
        "less than 1 mm, as the feed was raised to keep the chip; foam, up end_mill 1 to 3 mm, pace first (a page)"
    )
    own = rates(material=chips(), spindle=16000.0)
    assert (own.spindle, own.feed, own.axial_depth) == (16000, 640, 0.62)


def test_a_chip_that_cannot_be_kept_is_said_to_rub():
    """Bolder than proven is never chosen: 304 mm/min at 8000 rpm make 0.019 mm. What the job says stays: 256 at 16000, 0.008 mm."""
    held = rates(material=chips(feed=(200, 304)))
    assert (held.spindle, held.feed, held.axial_depth) == (8000, 304, 0.65)
    rubs = "mm rubs, 0.02 mm are wanted: foam, up end_mill 1 to 3 mm, pace first (c)"
    assert held.sources["feed"].endswith(f"; a chip of 0.0190 {rubs}")
    own = rates(material=chips(), spindle=16000.0, feed=256.0)
    assert (own.spindle, own.feed, own.axial_depth) == (16000, 256, 1)
    assert own.sources["feed"] == f"the job; a chip of 0.0080 {rubs}"
    deep = rates(material=chips(), spindle=16000.0, axial_depth=1.5)
    assert (deep.feed, deep.axial_depth, "rubs" in deep.sources["feed"]) == (400, 1.5, True)


def test_a_burr_keeps_its_speed_and_cuts_less_deep():
    """Its teeth cannot be counted: 400 mm/min at 15900 rpm are 0.0252 mm a turn; for 0.03 mm 477 mm/min, 0.838 mm deep."""
    burr = attrs.evolve(MILL, flutes="burr")
    r = rates(material=chips(flutes=("burr",)), cutter=burr)
    assert (r.spindle, r.feed, r.axial_depth) == (15900, 400, 1)
    r = rates(material=row(flutes=("burr",), least_chip=0.03), cutter=burr)
    assert (r.spindle, r.feed, r.axial_depth) == (15900, 477, 0.83)
    assert "the chip of a turn has 0.03 mm" in r.sources["feed"]


def test_beside_a_cut_the_chip_is_thinner():
    """0.3 of DC: 2 sqrt(0.3 - 0.09) = 0.9165 of the feed a tooth, so 9165 rpm where a full cut has 10000."""
    assert rates(material=chips(), kind=Pocket, depth=1.0).spindle == 9100
    assert rates(material=chips(), kind=Pocket, depth=1.0, radial_depth=0.5).spindle == 10000


def test_a_drill_keeps_its_chip_by_its_speed():
    """80 mm/min over 2 edges at 9500 rpm: 0.0042 mm; 0.005 at 8000. No more than 0.002 mm an edge at 9500: 38 mm/min."""
    drill = {"form": "drill", "diameter": (1, 3), "cutting_speed": (60_000, 90_000), "plunge_feed": (80, 160)}
    r = rates(material=Material(name="foam", rows=(RateRow(**drill, least_chip=0.005),)), kind=Drill, cutter=DRILL)
    assert (r.spindle, r.plunge_feed) == (8000, 80)
    r = rates(
        material=Material(name="foam", rows=(RateRow(**drill, feed_per_tooth=(0.002, 0.01)),)), kind=Drill, cutter=DRILL
    )
    assert (r.spindle, r.plunge_feed, r.feed) == (9500, 38, 38)


WEAK = attrs.evolve(MACHINE, spindle=Spindle(least=8000, most=24000, power=5))
SOFT = attrs.evolve(MACHINE, stiffness=50)


@pytest.mark.parametrize(
    ("machine", "force", "said", "axial", "why"),
    # 1.5 mm in one pass. kc D ap vf / 60,000 is 4 W for each mm at 300 N/mm2 and 400 mm/min; at 99.9 m/min 2.40 N, 2.69 at the side
    [
        (MACHINE, 300, {}, 1.5, "one pass up to 1.5 mm"),
        (WEAK, 300, {}, 1.25, "what the spindle's 5 W cut"),
        # 32 F L / (pi d3) of 26.9 N, 8 mm, core 1.6 mm: 534 N/mm2 for each mm
        (MACHINE, 3000, {}, 1.12, "what a core of 1.6 mm bears: 600 N/mm2 by bending (from memory)"),
        # 2.69 N / 50 N/mm + 0.0024 mm of the cutter: 0.0561 mm for each mm
        (SOFT, 300, {}, 0.89, "a side force that moves the wall by 0.05 mm, half of the tolerance (our choice)"),
        (SOFT, 300, {"allowance": Allowance(side=0.2)}, 1.5, "one pass up to 1.5 mm"),
        (SOFT, 300, {"axial_depth": 1.4}, 1.4, "the job"),
    ],
)
def test_depth_is_held_to_what_spindle_cutter_and_machine_bear(machine, force, said, axial, why):
    material = attrs.evolve(FOAM, cutting_force=force)
    r = rates(material=material, machine=machine, thickness=1.5, **said)
    assert r.axial_depth == axial
    assert r.sources["axial_depth"].startswith(why)


def test_a_feed_that_is_reached_on_a_short_way():
    """sqrt(2 x 10 mm/s2 x 2 mm) = 6.32 mm/s = 379 mm/min."""
    r = rates(machine=attrs.evolve(MACHINE, acceleration=Acceleration(xy=10, z=5)))
    assert (r.feed, r.plunge_feed) == (379, 100)
    assert r.sources["feed"] == ("no faster than shop gets within 2 mm, the cutter's diameter: sqrt(2 a D), a 10 mm/s2")


def test_a_cutter_that_may_not_turn_faster():
    r = rates(cutter=attrs.evolve(MILL, most_spindle=12000.0))
    assert (r.spindle, r.sources["spindle"].startswith("as fast as the cutter bears; foam")) == (12000, True)
    assert told(cutter=attrs.evolve(MILL, most_spindle=12000.0), spindle=13000.0) == [
        "spindle: found 13000 rpm, allowed: 8000 to 12000 rpm, what the cutter bears and the spindle of shop turns"
    ]
    assert told(cutter=attrs.evolve(MILL, most_spindle=5000.0))[0] == (
        "cutter: most_spindle: found 5000 rpm, allowed: at least 8000 rpm, the slowest of shop"
    )


def test_there_are_nine_materials_twelve_cutters_and_three_machines():
    assert (len(TABLES.materials), len(TABLES.cutters), len(TABLES.machines)) == (9, 12, 3)
