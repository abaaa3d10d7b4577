"""Columns of whole numbers as text, against Python's own arithmetic with whole numbers."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kerfwright.writing.wordtext import CHUNK, Column, fixed, render


def test_words_kept_stand_in_the_order_of_the_columns():
    """A space between words, none before the first; a row that keeps nothing is no line."""
    yes, no = True, False
    columns = [
        Column("G", np.array([0, 1, 1, 2]), np.array([yes, yes, no, no])),
        Column("X", np.array([0, -1, 1_000, 5]), np.array([yes, yes, yes, no]), 3),
        Column("Y", np.array([999, 0, -12_345_678, 5]), np.array([no, yes, yes, no]), 3),
    ]
    assert render(columns) == b"G0 X0.000\nG1 X-0.001 Y0.000\nX1.000 Y-12345.678\n"


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (0, 0, "0"), (7, 0, "7"), (-7, 0, "-7"), (0, 3, "0.000"), (-1, 3, "-0.001"), (999, 3, "0.999"),
        (1000, 3, "1.000"), (-100_000, 4, "-10.0000"), (123_456_789_012, 6, "123456.789012"), (5, 6, "0.000005"),
        (2**40, 0, "1099511627776"),
    ],
)  # fmt: skip
def test_numbers_by_hand(value, decimals, text):
    """Any number of digits, a fixed number of decimals, a zero before the point, no minus before a zero."""
    assert fixed(value, decimals) == text
    assert render([Column("X", np.array([value]), np.array([True]), decimals)]) == f"X{text}\n".encode()


def test_nothing_is_no_text():
    """No columns, no rows, and rows that keep nothing."""
    none = np.zeros(0, np.int64)
    assert render([]) == b""
    assert render([Column("X", none, none.astype(bool), 3)]) == b""
    assert render([Column("X", np.arange(5), np.zeros(5, bool), 3)]) == b""


def test_random_columns_against_decimal():
    """200 tables of up to 30 rows: each word is the decimal number itself. All 200 reach it, with 500 rows."""
    reached = []

    @settings(max_examples=200, deadline=None, derandomize=True, database=None)
    @given(
        st.lists(
            st.tuples(st.integers(-(10**13), 10**13), st.integers(-999, 999), st.booleans(), st.booleans()), max_size=30
        ),
        st.integers(0, 6),
    )
    def prove(rows, decimals):
        a, b, keep_a, keep_b = (np.array(v) for v in zip(*rows)) if rows else (np.zeros(0, int),) * 4
        keep_a, keep_b = keep_a.astype(bool), keep_b.astype(bool)
        text = render([Column("A", a, keep_a, decimals), Column("B", b, keep_b)]).decode()
        expected = []
        for va, vb, ka, kb in rows:
            number = f"{Decimal(va).scaleb(-decimals):.{decimals}f}"
            words = ([f"A{number}"] if ka else []) + ([f"B{vb}"] if kb else [])
            expected += [" ".join(words) + "\n"] if words else []
        assert text == "".join(expected)
        reached.append(len(rows))

    prove()
    print("reached", len(reached))
    assert len(reached) >= 200
    assert sum(reached) >= 500


def test_chunks_meet():
    """Rows on both sides of a chunk's end are all there, in order, though each chunk has its own width."""
    n = 2 * CHUNK + 3
    values = np.arange(n) ** 2
    lines = render([Column("X", values, np.ones(n, bool), 3)]).decode().splitlines()
    assert len(lines) == n
    for k in (0, 1, CHUNK - 1, CHUNK, CHUNK + 1, 2 * CHUNK, n - 1):
        assert lines[k] == f"X{k * k // 1000}.{k * k % 1000:03d}"
