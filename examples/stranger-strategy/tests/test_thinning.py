"""The kit proves what every strategy must keep; what is special about this one is tested by hand."""

import pytest

import kerfwright as kw
from kerfwright.testing import prove_strategy
from weir_thinning import Thinning


@pytest.mark.parametrize("strategy", [Thinning, Thinning(last=0.1, growth=3.0)], ids=repr)
def test_it_keeps_every_promise(strategy):
    report = prove_strategy(strategy)
    assert len(report.clean) >= 6, str(report)


def test_thinner_towards_the_bottom():
    """0.3 mm, twice that, and the axial depth above: 1.9 mm in all."""
    assert Thinning(last=0.3, growth=2.0)(0.0, -1.9, 1.0).tolist() == pytest.approx([-1.0, -1.6, -1.9])


def test_what_does_not_add_up_is_thinned_alike():
    """0.3 + 0.6 + 1.0 mm for a depth of 0.95 mm: half of each."""
    assert Thinning(last=0.3, growth=2.0)(0.0, -0.95, 1.0).tolist() == pytest.approx([-0.5, -0.8, -0.95])


def test_never_thicker_than_the_rates_allow():
    assert Thinning(last=0.3)(0.0, -0.1, 0.1).tolist() == [-0.1]


def test_it_is_installed():
    registry = kw.Registry.load()
    assert registry.problems == []
    assert registry.strategies["passes", "thinning"] is Thinning
    assert registry.origins[Thinning] == "weir-thinning: thinning"
