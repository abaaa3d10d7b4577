"""A ledger's file, also one that was edited by hand: every fault at its place."""

from __future__ import annotations

import pytest

from kerfwright.errors import InputError
from kerfwright.ledger import Ledger, read_ledger

FAULTS = [
    ("cutters: 3", ["l.yaml:1:10: cutters: found 3, allowed: a list"]),
    ("cutter: []", ["l.yaml:1:1: cutter: found an unknown key"]),
    (
        "cutters:\n- {name: a, kind: b}",
        ["l.yaml:2:3: cutters[0].cut: found nothing, allowed: a number at least 0 and at most 999999 m"],
    ),
    (
        "cutters:\n- {name: a, kind: b, cut: -1}",
        ["l.yaml:2:27: cutters[0].cut: found -1, allowed: a number at least 0 and at most 999999 m"],
    ),
    (
        "cutters:\n- {name: a, kind: b, cut: 1, flute: [{from: 2, to: 1, cut: 1}]}",
        ["l.yaml:2:52: cutters[0].flute[0].to: found 1 mm, allowed: above from, 2 mm"],
    ),
    (
        "cutters:\n- {name: a, kind: b, cut: 1}\n- {name: a, kind: c, cut: 2}\n- {name: a, kind: b, cut: 2}",
        ["l.yaml:4:10: cutters[2].name: found 'a', b a second time, allowed: once"],
    ),
    (
        "boards:\n- {machine: m, grooves: [{depth: 1, area: 'POINT (1 1)'}]}",
        ["l.yaml:2:43: boards[0].grooves[0].area: found 'POINT (1 1)', allowed: WKT of polygons"],
    ),
    (
        "cutters:\n- {name: a, kind: b, cut: 1, flute: [{from: 1, to: 2, cut: 1e308}]}",
        ["l.yaml:2:60: cutters[0].flute[0].cut: found 1e308, allowed: a number at least 0 and at most 999999 m"],
    ),
    (
        "boards:\n- {machine: m, grooves: [{depth: 1, area: 'POLYGON ((0 0, 1e400 0, 1 1, 0 0))'}]}",
        [
            "l.yaml:2:43: boards[0].grooves[0].area: found 'POLYGON ((0 0, 1e400 0, 1 1, 0 0))', allowed: WKT of polygons"
        ],
    ),
    ("- 1", ["l.yaml:1:1: found a list of 1, allowed: a mapping of cutters, boards, booked"]),
]


@pytest.mark.parametrize(("text", "messages"), FAULTS)
def test_a_fault_in_a_ledger_is_told_with_its_place(text, messages):
    with pytest.raises(InputError) as e:
        read_ledger("l.yaml", text.encode())
    told = [str(f) for f in e.value.faults]
    assert len(told) == len(messages)
    assert all(t.startswith(m) for t, m in zip(told, messages, strict=True)), told


def test_an_empty_file_is_an_empty_ledger():
    assert read_ledger("l.yaml", b"") == Ledger()
    assert read_ledger("l.yaml", b"# nothing yet\n") == Ledger()
