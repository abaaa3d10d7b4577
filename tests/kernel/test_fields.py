"""Bounds, units and defaults of a parameter, said once."""

from __future__ import annotations

import re

import attrs
import pytest
from attrs import frozen

from kerfwright import fields
from kerfwright.fields import spec


@frozen
class Inner:
    depth: float = fields.number("depth", unit="mm", above=0)


@frozen
class Sample:
    angle: float = fields.number("slope", unit="deg", above=0, most=45, default=3.0)
    share: float | None = fields.number("share", least=0, below=1, optional=True)
    count: int = fields.whole("count", least=1, most=9, default=1)
    on: bool = fields.flag("on", default=False)
    word: str = fields.choice("word", ("left", "right"), default="left")
    label: str = fields.text("label", default="", key="title")
    place: tuple[float, float] | None = fields.point("place", above=0, optional=True)
    inner: Inner | None = fields.nested("inner", Inner, optional=True)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"angle": 0}, "angle: found 0, allowed: a number above 0 and at most 45 deg"),
        ({"angle": 45.5}, "angle: found 45.5, allowed: a number above 0 and at most 45 deg"),
        ({"angle": float("nan")}, "angle: found nan, allowed: a number above 0 and at most 45 deg"),
        ({"angle": float("inf")}, "angle: found inf, allowed: a number above 0 and at most 45 deg"),
        ({"angle": True}, "angle: found True, allowed: a number above 0 and at most 45 deg"),
        ({"angle": "3"}, "angle: found '3', allowed: a number above 0 and at most 45 deg"),
        ({"angle": None}, "angle: found None, allowed: a number above 0 and at most 45 deg"),
        ({"share": 1}, "share: found 1, allowed: a number at least 0 and below 1"),
        ({"share": -0.1}, "share: found -0.1, allowed: a number at least 0 and below 1"),
        ({"count": 1.5}, "count: found 1.5, allowed: a whole number at least 1 and at most 9"),
        ({"count": 10}, "count: found 10, allowed: a whole number at least 1 and at most 9"),
        ({"count": True}, "count: found True, allowed: a whole number at least 1 and at most 9"),
        ({"on": 1}, "on: found 1, allowed: true or false"),
        ({"word": "up"}, "word: found 'up', allowed: one of left, right"),
        ({"label": 3}, "title: found 3, allowed: a text"),
        ({"place": (1, 0)}, "place: found 0, allowed: a number above 0 mm"),
        ({"place": (1, 2, 3)}, "place: found (1, 2, 3), allowed: 2 numbers"),
        ({"inner": 3}, "inner: found 3, allowed: Inner"),
    ],
)
def test_a_value_out_of_bounds_is_refused(given, message):
    with pytest.raises(ValueError, match=re.escape(message)) as e:
        Sample(**given)
    assert str(e.value) == message


def test_what_may_be_left_out_is_left_out():
    s = Sample()
    assert (s.angle, s.share, s.place, s.inner) == (3.0, None, None, None)
    assert Sample(share=0.0, inner=Inner(depth=1.0)).share == 0.0


def test_the_bounds_are_told_from_the_field_alone():
    whats = {a.name: spec(a) for a in attrs.fields(Sample)}
    assert whats["angle"].allowed() == "a number above 0 and at most 45 deg"
    assert whats["word"].allowed() == "one of left, right"
    assert whats["label"].key == "title"
    assert spec(attrs.fields(attrs.make_class("Bare", ["x"])).x) is None
