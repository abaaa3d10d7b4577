"""How a job says its quote: in itself, in a shop file, or both; and every way to say it wrong, by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

import kerfwright as kw
from kerfwright.errors import InputError
from kerfwright.pricing.quote import Quote

JOB = """\
job: tag
machine: light-router
sheet: {material: acrylic, size: [100, 60], thickness: 2, breakthrough: 0.3, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: straight, diameter: 2, teeth: 2, flute_length: 8}
parts:
  - {name: tag, at: [20, 20], shapes: [{rectangle: {corner: [0, 0], size: [40, 20]}}]}
operations:
  - profile: {cutter: mill}
"""
SHOP = "currency: EUR\nsheet_price: 9.50\nhourly_rate: 48\nset_up_min: 15\nminimum: 30\n"
KEYS = "currency, sheet_price, sheet_share, hourly_rate, set_up_min, handling_min, minimum, quantity"
FILE = "a shop file that ends in .yaml"
PRICE = "a number at least 0 and at most 1e+09 money"
INSIDE = "a file inside the job's folder, folders separated by /"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    top = tmp_path / "jobs"
    (top / "prices").mkdir(parents=True)
    (top / "shop.yaml").write_text(SHOP)
    (top / "prices" / "north.yml").write_text("hourly_rate: 60\nhandling_min: 90 s\n")
    (top / "bad.yaml").write_text("hourly_rate: 48\nminimum: -1\nquantity: 0\nrate: 5\nshop: shop.yaml\n")
    (top / "list.yaml").write_text("- 48\n")
    (top / "torn.yaml").write_text("hourly_rate: [48\n")
    (top / "shop.txt").write_text(SHOP)
    (tmp_path / "far.yaml").write_text(SHOP)
    (top / "link.yaml").symlink_to(tmp_path / "far.yaml")
    return top


def load(folder: Path, quote: str) -> kw.Job:
    path = folder / "tag.yaml"
    path.write_text(JOB + quote + "\n")
    return kw.load_job(path)


FROM_SHOP = {"currency": "EUR", "sheet_price": 9.5, "hourly_rate": 48, "set_up_min": 15, "minimum": 30}
SAID = [
    ("quote: shop.yaml", Quote(**FROM_SHOP)),
    ("quote: {shop: shop.yaml, quantity: 20}", Quote(**FROM_SHOP, quantity=20)),
    (
        "quote: {shop: shop.yaml, hourly_rate: 52, sheet_share: used}",
        Quote(**FROM_SHOP | {"hourly_rate": 52}, sheet_share="used"),
    ),
    ("quote: prices/north.yml", Quote(hourly_rate=60, handling_min=1.5)),
    ("quote: {hourly_rate: 30, set_up_min: 10 min}", Quote(hourly_rate=30, set_up_min=10)),
    ("", None),
]


@pytest.mark.parametrize(("quote", "said"), SAID)
def test_a_quote_is_read(folder: Path, quote: str, said: Quote | None) -> None:
    assert load(folder, quote).quote == said


REFUSED = [
    ("quote: {sheet_price: -3}", [f"tag.yaml:10:22: quote.sheet_price: found -3, allowed: {PRICE}"]),
    ("quote: {hourly_rate: -1}", [f"tag.yaml:10:22: quote.hourly_rate: found -1, allowed: {PRICE}"]),
    ("quote: {minimum: 3 mm}", [f"tag.yaml:10:18: quote.minimum: found '3 mm', allowed: {PRICE}, without a unit"]),
    ("quote: {minimum: .inf}", [f"tag.yaml:10:18: quote.minimum: found .inf, allowed: {PRICE}"]),
    ("quote: {minimum: 1e12}", [f"tag.yaml:10:18: quote.minimum: found 1e12, allowed: {PRICE}"]),
    (
        "quote: {set_up_min: -5}",
        ["tag.yaml:10:21: quote.set_up_min: found -5, allowed: a number at least 0 and at most 100000 min"],
    ),
    (
        "quote: {handling_min: nothing}",
        [
            "tag.yaml:10:23: quote.handling_min: found 'nothing', allowed: a number at least 0 and at most 100000 min"
        ],
    ),
    (
        "quote: {hourly_rate: 1, quantity: 0}",
        ["tag.yaml:10:35: quote.quantity: found 0, allowed: a whole number at least 1 and at most 100000"],
    ),
    (
        "quote: {hourly_rate: 1, quantity: 2.5}",
        ["tag.yaml:10:35: quote.quantity: found 2.5, allowed: a whole number at least 1 and at most 100000"],
    ),
    (
        "quote: {hourly_rate: 1, sheet_share: half}",
        ["tag.yaml:10:38: quote.sheet_share: found 'half', allowed: one of whole, used"],
    ),
    (
        "quote: {hourly_rates: 1}",
        [
            f"tag.yaml:10:9: quote.hourly_rates: found an unknown key, allowed: shop, {KEYS}, did you mean hourly_rate?",
        ],
    ),
    ("quote: [1]", ["tag.yaml:10:8: quote: found a list of 1, allowed: a mapping of prices and quantity, or " + FILE]),
    ("quote: 12", ["tag.yaml:10:8: quote: found 12, allowed: a mapping of prices and quantity, or " + FILE]),
    ("quote:", ["tag.yaml:10:7: quote: found nothing, allowed: a mapping of prices and quantity, or a shop file"]),
    ("quote: shop.txt", ["tag.yaml:10:8: quote: found 'shop.txt', allowed: a mapping of prices and quantity, or " + FILE]),
    ("quote: {shop: [shop.yaml]}", [f"tag.yaml:10:15: quote.shop: found a list of 1, allowed: {FILE}"]),
    ("quote: shops.yaml", [f"tag.yaml:10:8: quote: found no file 'shops.yaml', allowed: {INSIDE}, did you mean shop.yaml?"]),
    ("quote: {shop: no/shop.yaml}", [f"tag.yaml:10:15: quote.shop: found no file 'no/shop.yaml', allowed: {INSIDE}"]),
    ("quote: ../far.yaml", [f"tag.yaml:10:8: quote: found '../far.yaml', allowed: {INSIDE}"]),
    ("quote: {shop: /etc/shop.yaml}", [f"tag.yaml:10:15: quote.shop: found '/etc/shop.yaml', allowed: {INSIDE}"]),
    (
        "quote: link.yaml",
        [f"tag.yaml:10:8: quote: found 'link.yaml', which leads out of the job's folder, allowed: {INSIDE}"],
    ),
    (
        "quote: {shop: bad.yaml, quantity: 0}",
        [
            f"bad.yaml:2:10: minimum: found -1, allowed: {PRICE}",
            "bad.yaml:3:11: quantity: found 0, allowed: a whole number at least 1 and at most 100000",
            f"bad.yaml:4:1: rate: found an unknown key, allowed: {KEYS}",
            f"bad.yaml:5:1: shop: found an unknown key, allowed: {KEYS}",
            "tag.yaml:10:35: quote.quantity: found 0, allowed: a whole number at least 1 and at most 100000",
        ],
    ),
    ("quote: list.yaml", [f"list.yaml:1:1: found no mapping, allowed: a mapping of {KEYS}"]),
    ("quote: torn.yaml", ["torn.yaml:2:1: no YAML: while parsing a flow sequence, expected ',' or ']', but got '<stream end>'"]),
]  # fmt: skip


@pytest.mark.parametrize(("quote", "told"), REFUSED)
def test_a_quote_said_wrong_is_refused(folder: Path, quote: str, told: list[str]) -> None:
    with pytest.raises(InputError) as e:
        load(folder, quote)
    assert [str(f).replace(f"{folder}/", "") for f in e.value.faults] == told


def test_a_quote_that_knows_no_price_is_told_at_its_place(folder: Path) -> None:
    with pytest.raises(InputError) as e:
        kw.make(load(folder, "quote: {quantity: 3}"))
    told = "tag.yaml:10:8: quote: found neither sheet_price nor hourly_rate, allowed: one of them at least"
    assert [str(f).replace(f"{folder}/", "") for f in e.value.faults] == [told]
