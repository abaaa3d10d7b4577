"""What a made job costs. Amounts are worked by hand, beside each. Jobs made whole: `test_quoting_made.py`."""

from __future__ import annotations

import math

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kerfwright.pricing.consumption import Consumption, Pieces, Wear
from kerfwright.pricing.cost import Cost
from kerfwright.pricing.quote import Quote
from kerfwright.pricing.quoting import cost_of

RUN = Consumption(
    parts=(Pieces("ring", 12, 12_000.0),),
    sheets=2,
    used=1.25,
    sheet_area=60_000.0,
    used_area=37_500.0,
    time_s=900.0,
    wear=(Wear("mill", 9.0, 60.0, 14.0),),
)
"""Twelve rings of two sheets, a quarter of an hour, 9 m of a cutter that lasts 60 m and costs 14."""
SHOP = Quote(sheet_price=8.0, hourly_rate=48.0, set_up_min=15.0, handling_min=0.5)


def amounts(cost: Cost) -> dict[str, float]:
    return {line.what: line.amount for line in cost.lines}


def test_thirty_of_twelve_a_run() -> None:
    cost = cost_of(attrs.evolve(SHOP, quantity=30), RUN)
    assert amounts(cost) == {  # three runs: 12 + 12 + 6 wanted
        "Sheets": 48.00,  # 3 runs x 2 sheets x 8
        "Machine time": 36.00,  # 3 x 0.25 h x 48
        "Set-up": 12.00,  # 0.25 h x 48, once
        "Handling": 12.00,  # 30 x 0.5 min = 0.25 h x 48: the six that are too many are not handled
        "Wear of cutter mill": 6.30,  # 3 x 9 m of 60 m x 14
    }
    assert cost.price.total == 114.30
    assert cost.price.per_piece == cost.price.each == 3.81  # 114.30 / 30
    assert cost.per_run == 34.90  # 16 + 12 + 4.80 (12 x 0.5 min = 0.1 h) + 2.10
    assert (cost.unit, cost.price.runs, cost.price.sheets) == ("piece", 3, 6)
    assert cost.yielded == 0.2  # 12,000 of 60,000
    assert cost.not_counted == ()


def test_the_table_of_quantities() -> None:
    cost = cost_of(attrs.evolve(SHOP, quantity=30), RUN)
    assert [(q.quantity, q.runs, q.sheets, q.total, q.each) for q in cost.quantities] == [
        (1, 1, 2, 42.50, 42.50),  # 16 + 12 + 12 + 0.40 + 2.10
        (30, 3, 6, 114.30, 3.81),
        (60, 5, 10, 186.50, 3.1083),  # 80 + 60 + 12 + 24 + 10.50
        (150, 13, 26, 463.30, 3.0887),  # 208 + 156 + 12 + 60 + 27.30
        (300, 25, 50, 884.50, 2.9483),  # 400 + 300 + 12 + 120 + 52.50
    ]


def test_without_a_quantity_one_run_is_asked() -> None:
    cost = cost_of(SHOP, RUN)
    assert (cost.price.quantity, cost.price.runs) == (12, 1)
    assert cost.price.total == 46.90  # 34.90 + 12 of set-up
    assert [q.quantity for q in cost.quantities] == [1, 12, 24, 60, 120]


def test_of_one_piece_the_table_has_one_row_less() -> None:
    assert [q.quantity for q in cost_of(attrs.evolve(SHOP, quantity=1), RUN).quantities] == [1, 2, 5, 10]


def test_the_minimum_is_a_line_of_its_own() -> None:
    cost = cost_of(attrs.evolve(SHOP, quantity=1, minimum=50.0), RUN)
    assert cost.lines[-1].what == "Up to the minimum"
    assert cost.lines[-1].amount == 7.50  # 50 less 42.50
    assert cost.price.total == 50.0
    assert [q.total for q in cost.quantities] == [50.0, 50.0, 50.0, 50.0]  # 2, 5, 10: at most 46.10
    assert cost.per_run == 34.90


def test_a_minimum_that_is_reached_adds_nothing() -> None:
    assert "Up to the minimum" not in amounts(cost_of(attrs.evolve(SHOP, quantity=1, minimum=42.5), RUN))


def test_a_minimum_finer_than_a_hundredth_is_kept_to() -> None:
    assert cost_of(attrs.evolve(SHOP, quantity=1, minimum=50.001), RUN).price.total == 50.01


def test_only_the_length_in_use_is_charged_where_the_shop_keeps_the_rest() -> None:
    cost = cost_of(attrs.evolve(SHOP, quantity=30, sheet_share="used"), RUN)
    assert amounts(cost)["Sheets"] == 30.00  # 3 x 1.25 x 8
    assert cost.yielded == 0.32  # 12,000 of 37,500
    assert cost.price.sheets == 6


def test_several_parts_are_counted_in_sets() -> None:
    """A run gives 2 cheeks and 4 arms, 3,000 and 1,000 mm2 together: one set."""
    run = attrs.evolve(RUN, parts=(Pieces("cheek", 2, 3000.0), Pieces("arm", 4, 1000.0)), wear=())
    cost = cost_of(attrs.evolve(SHOP, quantity=3), run)
    assert (cost.unit, cost.units_per_run, cost.pieces_per_run, cost.price.runs) == ("set", 1, 6, 3)
    assert amounts(cost) == {
        "Sheets": 48.00,
        "Machine time": 36.00,
        "Set-up": 12.00,
        "Handling": 7.20,  # 3 sets x 6 pieces x 0.5 min = 0.15 h x 48
    }
    assert cost.price.total == 103.20
    assert cost.price.each == 34.40  # 103.20 / 3
    assert cost.price.per_piece == 5.7333  # 103.20 / 18
    assert [(p.name, p.pieces_per_run, p.share, p.each) for p in cost.parts] == [
        ("cheek", 2, 0.75, 12.90),  # 34.40 x 3/4 / 2
        ("arm", 4, 0.25, 2.15),  # 34.40 x 1/4 / 4
    ]


def test_halves_of_a_hundredth_go_up_line_by_line() -> None:
    run = attrs.evolve(RUN, time_s=100.0, wear=(Wear("mill", 1.0, 8.0, 0.2),))
    cost = cost_of(Quote(hourly_rate=33.0), run)
    assert amounts(cost) == {"Machine time": 0.92, "Wear of cutter mill": 0.03}  # 0.9167, 0.025
    assert cost.price.total == 0.95


UNKNOWN = {
    "sheet": ({"sheet_price": None}, ["2 sheets a run: no sheet_price"]),
    "hour": (
        {"hourly_rate": None},
        ["machine time, 15:00 min a run: no hourly_rate", "set-up: no hourly_rate", "handling: no hourly_rate"],
    ),
    "minutes": ({"set_up_min": None, "handling_min": None}, ["set-up: no set_up_min", "handling: no handling_min"]),
    "no set-up at all": ({"set_up_min": 0.0, "handling_min": 0.0}, []),
    "no set-up, no rate": (
        {"set_up_min": 0.0, "handling_min": None, "hourly_rate": None},
        ["machine time, 15:00 min a run: no hourly_rate", "handling: no handling_min and no hourly_rate"],
    ),
}


@pytest.mark.parametrize("case", UNKNOWN)
def test_what_is_not_known_is_told(case: str) -> None:
    change, told = UNKNOWN[case]
    assert list(cost_of(attrs.evolve(SHOP, **change), RUN).not_counted) == told


@pytest.mark.parametrize(
    ("life", "price", "told"),
    [(None, 14.0, "no life"), (60.0, None, "no price"), (None, None, "no life and no price")],
)
def test_wear_of_a_cutter_nobody_knows_is_told(life: float | None, price: float | None, told: str) -> None:
    cost = cost_of(SHOP, attrs.evolve(RUN, wear=(Wear("drill", 0.5, life, price),)))
    assert cost.not_counted == (f"wear of cutter drill, 0.50 m a run: {told}",)
    assert "Wear of cutter drill" not in amounts(cost)


def test_more_is_never_cheaper_and_nothing_is_below_the_minimum() -> None:
    """400 quotes: total at least the minimum, n + 1 at least as dear as n, lines that add up, rows that agree."""
    cases = 0
    amount = st.none() | st.integers(0, 100_000).map(lambda cents: cents / 100)
    minutes = st.none() | st.floats(0, 500)

    @settings(max_examples=400, deadline=None, derandomize=True, database=None)
    @given(
        st.builds(Quote, sheet_price=amount, hourly_rate=amount, set_up_min=minutes, handling_min=minutes, minimum=amount,
                  sheet_share=st.sampled_from(["whole", "used"]), quantity=st.integers(1, 500)),
        st.lists(st.builds(Pieces, st.just("p"), st.integers(1, 40), st.floats(1, 1e6)), min_size=1, max_size=3),
        st.integers(1, 9), st.floats(0.01, 1), st.floats(0, 1e5),
        st.lists(st.builds(Wear, st.just("mill"), st.floats(0.001, 1e4), st.none() | st.floats(0.1, 1e4), amount), max_size=3),
    )  # fmt: skip
    def holds(quote: Quote, parts: list[Pieces], sheets: int, part: float, time_s: float, wear: list[Wear]) -> None:
        nonlocal cases
        run = Consumption(tuple(parts), sheets, sheets * part, sheets * 6e4, sheets * 6e4 * part, time_s, tuple(wear))
        assert quote.quantity is not None
        cost = cost_of(quote, run)
        more = cost_of(attrs.evolve(quote, quantity=quote.quantity + 1), run)
        assert cost.price.total >= (quote.minimum or 0)
        assert more.price.total >= cost.price.total
        assert math.isclose(sum(line.amount for line in cost.lines), cost.price.total, abs_tol=1e-6)
        assert [q.total for q in cost.quantities] == sorted(q.total for q in cost.quantities)
        assert cost.price in cost.quantities
        cases += 1

    holds()
    assert cases == 400
