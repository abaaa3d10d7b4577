"""The page that says what a job costs: what it must say, when it is there, and that it goes when it is no longer true."""

from __future__ import annotations

import re
from pathlib import Path

import attrs
import pytest

import kerfwright as kw
from kerfwright.finding import Finding
from kerfwright.pricing.cost import Cost, Line, PartPrice, Price
from kerfwright.shell import run
from kerfwright_plugins.reports.quote_page import QuotePage

SPACERS = Path(__file__).parents[2] / "examples" / "spacers" / "spacers.yaml"
SET = Cost(
    currency="<i>",
    unit="set",
    units_per_run=1,
    pieces_per_run=6,
    sheets_per_run=2,
    charged_sheets_per_run=1.25,
    lines=(Line("Sheets", 120.0, "3 runs & more"),),
    per_run=40.0,
    price=Price(3, 3, 6, 120.0, 40.0, 6.6667),
    quantities=(Price(1, 1, 2, 40.0, 40.0, 6.6667), Price(3, 3, 6, 120.0, 40.0, 6.6667)),
    parts=(PartPrice('left "cheek"', 2, 0.75, 15.0), PartPrice("arm", 4, 0.25, 2.5)),
    yielded=0.425,
    not_counted=("handling: no <b>handling_min",),
)


@pytest.fixture(scope="module")
def result() -> kw.Result:
    return kw.make(kw.load_job(SPACERS))


@pytest.fixture(scope="module")
def page(result: kw.Result) -> str:
    return QuotePage().render(result)["quote.html"]


@pytest.mark.parametrize(
    "said",
    [
        "Quote: spacers",
        "plywood, 4 mm",
        "40 pieces",
        "4 runs of 1 whole sheet, 3.2 a sheet</td><td class=n>12.80<",
        "15 min once, 48 an hour</td><td class=n>12.00<",
        "40 pieces of 0.5 min, 48 an hour</td><td class=n>16.00<",
        "<td class=n>400</td><td class=n>34</td><td class=n>34</td><td class=n>408</td>",  # 400 / 12 = 33.3
        "1 sheet, charged whole. Pieces are 28.9 %",  # 12 x pi (12 x 12 - 4.2 x 4.2) of 150 x 110
        "carriage and tax",
    ],
)
def test_the_page_says(page: str, said: str) -> None:
    assert said in page


def test_amounts_on_the_page_add_up(page: str) -> None:
    counted = page.partition("What is counted")[2].partition("</table>")[0]
    *lines, total = [float(v) for v in re.findall(r"<td class=n>([\d.]+)</td></tr>", counted)]
    assert len(lines) == 5
    assert sum(lines) == pytest.approx(total, abs=1e-9)
    assert f"<b>{total:.2f} EUR</b>" in page


@pytest.mark.parametrize(
    "said",
    [
        "3 sets",
        "40.00 &lt;i&gt; a set, 6.67 &lt;i&gt; a piece in the mean",
        "3 runs &amp; more",
        "no &lt;b&gt;handling_min",
        "left &quot;cheek&quot;</td><td class=n>2</td><td class=n>75.0 %</td><td class=n>15.00<",
        "2 sheets, of which 1.250 are charged, by length",
        "42.5 %",
    ],
)
def test_sets_and_names_from_outside(result: kw.Result, said: str) -> None:
    page = QuotePage().render(attrs.evolve(result, cost=SET))["quote.html"]
    assert said in page
    assert "<i>" not in page


def test_nothing_is_fetched(page: str) -> None:
    assert not re.search(r"https?:|src=|<script|<link|@import|url\(", page)


def test_none_is_written_where_none_is_asked_or_nothing_was_proved(result: kw.Result, tmp_path: Path) -> None:
    assert QuotePage().render(attrs.evolve(result, cost=None)) == {}
    folder = result.save(tmp_path)
    assert (folder / "quote.html").is_file()
    attrs.evolve(result, cost=None).save(tmp_path)
    assert not (folder / "quote.html").exists()
    result.save(tmp_path)
    attrs.evolve(result, findings=(Finding("gouge", "error", "0.2 mm"),)).save(tmp_path)
    assert not (folder / "quote.html").exists()


def test_the_shell_tells_it_in_a_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = SPACERS.read_text().replace(
        "quote: {shop: shop.yaml, sheet_price: 3.20, quantity: 40}", "quote: {sheet_price: 3.20}"
    )
    (tmp_path / "spacers.yaml").write_text(
        text.replace("columns: 4, rows: 3", "columns: 1, rows: 1").replace(", price: 14", "")
    )
    assert run(["make", str(tmp_path / "spacers.yaml"), "--out", str(tmp_path / "out")]) == 0
    (line,) = [v for v in capsys.readouterr().out.splitlines() if "quote.html" in v]
    assert line.split(maxsplit=1)[1] == "3.20 for 1 piece (1 run, sheets: 1); not counted: 4 things"
