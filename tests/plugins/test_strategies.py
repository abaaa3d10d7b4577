"""What holds for every built-in strategy, whatever its kind."""

from __future__ import annotations

import attrs
import pytest

from kerfwright.fields import spec
from kerfwright.registry import Registry
from kerfwright.strategy import KINDS, Strategy
from kerfwright.testing import instance_of
from kerfwright_plugins.strategies import kerfwright_strategies

ALL = kerfwright_strategies()


def ids(cls: type[Strategy]) -> str:
    return f"{cls.kind}-{cls.name}"


def test_every_kind_has_one() -> None:
    assert {cls.kind for cls in ALL} == set(KINDS)


def test_no_name_is_given_twice() -> None:
    assert len({(cls.kind, cls.name) for cls in ALL}) == len(ALL)


def test_they_are_found_as_a_strangers_would_be() -> None:
    registry = Registry.load()
    assert {registry.strategies.get((cls.kind, cls.name)) for cls in ALL} == set(ALL)


@pytest.mark.parametrize("cls", ALL, ids=ids)
def test_it_says_what_it_does(cls: type[Strategy]) -> None:
    assert cls.name
    assert (cls.__doc__ or "").strip().endswith(".")
    one = instance_of(cls)
    assert isinstance(one, KINDS[cls.kind])
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        one.name = "other"  # type: ignore[misc]


@pytest.mark.parametrize("cls", ALL, ids=ids)
def test_every_parameter_has_help_bounds_and_a_default_within_them(cls: type[Strategy]) -> None:
    for field in attrs.fields(cls):
        what = spec(field)
        assert what is not None, f"{field.name} is no parameter of a job file"
        assert what.help
        if what.kind in ("choice", "custom"):  # words, and what has a reader of its own
            assert what.kind == "custom" or getattr(cls(), field.name) in what.options
            continue
        assert what.unit
        assert what.kind in ("number", "whole")
        assert (what.above, what.least) != (None, None)
        assert what.most is not None
        default = getattr(cls(), field.name)
        assert (default is None and what.optional) or what.fault(default) is None


@pytest.mark.parametrize("cls", ALL, ids=ids)
def test_a_parameter_out_of_its_bounds_is_refused_by_name(cls: type[Strategy]) -> None:
    for field in attrs.fields(cls):
        for wrong in (-1, 1e6, float("nan"), float("inf"), True, "3"):
            with pytest.raises(ValueError, match=rf"^{field.name}: found .*, allowed: "):
                cls(**{field.name: wrong})


def test_equal_parameters_make_equal_strategies() -> None:
    for cls in ALL:
        assert instance_of(cls) == instance_of(cls)
        assert hash(instance_of(cls)) == hash(instance_of(cls))
