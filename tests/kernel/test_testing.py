"""The kit for those who write plugins finds each broken promise. Every strategy here breaks one, on purpose."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from typing import Any, ClassVar

import attrs
import numpy as np
import pytest
import shapely
from attrs import define

from kerfwright import fields
from kerfwright.curve import EMPTY, Curve
from kerfwright.errors import BrokenPromise, NoRoom
from kerfwright.registry import Registry
from kerfwright.strategy import Bridges, Cycle, Entry, Layout, Lead, Passes, Slotting, Strategy
from kerfwright.testing import all_of_them, instance_of, job_of, prove_strategy, tried
from kerfwright.testing.answers import answers_of
from kerfwright.testing.form import form_of
from kerfwright.testing.questions import questions

REGISTRY = Registry.load()
SPECIMENS = {s.name: s for s in all_of_them()}
SPACING: Any = REGISTRY.strategies["bridges", "spacing"]()
FEW = [SPECIMENS["neck"], SPECIMENS["comb"]]


@define(frozen=True, kw_only=True)
class Halves(Passes):
    """Two passes of one depth."""

    name: ClassVar[str] = "halves"
    share: float = fields.number("what the first pass takes", unit="1", above=0, below=1, default=0.5)

    def levels(self, top: float, bottom: float, axial_depth: float) -> Any:
        return np.array([top + self.share * (bottom - top), bottom])


def test_a_good_one_is_proved_and_told() -> None:
    report = prove_strategy(Halves, REGISTRY, specimens=FEW)
    assert report.clean == ("neck", "comb")
    assert {k for k, _ in report.outcomes} == {"profile", "pocket"}
    assert str(report).startswith("passes halves: 5 questions answered, clean on 2 specimens\n")
    assert "  pocket   comb     clean" in str(report)


def test_with_its_parameters() -> None:
    assert prove_strategy(Halves(share=0.45), REGISTRY, specimens=FEW).name == "halves"


# the form


@define(frozen=True, kw_only=True)
class Twin(Passes):
    """A name that others have."""

    name: ClassVar[str] = "equal"

    def levels(self, top: float, bottom: float, axial_depth: float) -> Any:
        return np.array([bottom])


@define(kw_only=True)
class Loose(Strategy):
    """Of no kind."""

    name: ClassVar[str] = "loose"


class Plain(Halves):
    """Not made by attrs: it has a dict."""


class Open(Halves):
    """Lets itself be changed."""

    name: ClassVar[str] = "open"
    __setattr__ = object.__setattr__


@define(frozen=True, kw_only=True)
class Silent(Halves):
    name: ClassVar[str] = "silent"


@define(frozen=True, kw_only=True)
class Shouting(Halves):
    """A name that no job file can say."""

    name: ClassVar[str] = "Halves!"


@define(frozen=True, kw_only=True)
class Trusting(Halves):
    """Its own judge."""

    name: ClassVar[str] = "trusting"

    def __call__(self, top: float, bottom: float, axial_depth: float) -> Any:
        return self.levels(top, bottom, axial_depth)


@define(frozen=True, kw_only=True)
class Empty(Passes):
    """Does nothing."""

    name: ClassVar[str] = "empty"


@define(frozen=True, kw_only=True)
class Dumb(Halves):
    """Fields that say too little."""

    name: ClassVar[str] = "dumb"
    a: float = 3.0
    b: float = fields.number("", unit="mm", above=0, default=1.0)
    c: int = fields.whole("how many", default=1)
    d: float = fields.number("too much", unit="mm", above=0, most=5, default=9.0)


FORM = [
    (Twin, ["its name is taken: passes equal is offered by kerfwright: strategies"]),
    (Loose, ["its kind is '': it must be a subclass of one of Entry, Passes, "]),
    (Plain, ["it is no attrs class of its own"]),
    (Open, ["it is no attrs class of its own", "it is not frozen"]),
    (Silent, ["it has no docstring"]),
    (Shouting, ["its name is 'Halves!': it must be small letters"]),
    (Trusting, ["it replaces `__call__`"]),
    (Empty, ["it does not fill in `levels`"]),
    (
        Dumb,
        [
            "its field `a` is no parameter",
            "its field `b` has no help",
            "its field `b` has no upper bound",
            "its field `c` has no lower bound",
            "its field `c` has no upper bound",
            "the default of its field `d` is out of bounds: found 9, allowed: a number above 0 and at most 5 mm",
        ],
    ),
]


@pytest.mark.parametrize(("cls", "told"), FORM, ids=[c.__name__ for c, _ in FORM])
def test_the_form(cls: type[Strategy], told: list[str]) -> None:
    with pytest.raises(BrokenPromise) as e:
        prove_strategy(cls, REGISTRY, specimens=FEW)
    head, *lines = str(e.value).split("\n")
    assert cls.__qualname__ in head
    assert len(lines) == len(told)
    for line, part in zip(lines, told, strict=True):
        assert line.startswith(part)


def test_a_field_without_default_needs_an_example_or_an_object() -> None:
    @define(frozen=True, kw_only=True)
    class Asking(Halves):
        """Wants to be told."""

        name: ClassVar[str] = "asking"
        rest: float = fields.number("what the last pass takes", unit="mm", above=0, most=5)

    with pytest.raises(BrokenPromise, match="its field `rest` has neither default nor example"):
        prove_strategy(Asking, REGISTRY, specimens=FEW)
    assert prove_strategy(Asking(rest=0.2), REGISTRY, specimens=FEW).clean

    @define(frozen=True, kw_only=True)
    class Shown(Halves):
        """Shows how."""

        name: ClassVar[str] = "shown"
        rest: float = fields.number("what the last pass takes", unit="mm", above=0, most=5, example=0.2)

    assert instance_of(Shown) == Shown(rest=0.2)


# the answers


def passes(answer: Callable[[float, float, float], Any]) -> type[Strategy]:
    @define(frozen=True, kw_only=True)
    class Answering(Passes):
        """Answers what it is told to."""

        name: ClassVar[str] = "answering"

        def levels(self, top: float, bottom: float, axial_depth: float) -> Any:
            return answer(top, bottom, axial_depth)

    return Answering


def of(base: type[Strategy], method: str, answer: Callable[..., Any]) -> type[Strategy]:
    body = {"name": "answering", "__doc__": "Answers.", "__annotations__": {"name": "ClassVar[str]"}, method: lambda self, *a: answer(*a)}  # fmt: skip
    return define(frozen=True, kw_only=True)(type("Answering", (base,), body))


NUMBERS = count(1)


def changed(cut: Curve, room: Any) -> Any:
    cut.nodes[0, 0] += 1e-9
    return EMPTY, EMPTY


def lifted(cut: Curve, room: Any) -> Any:
    """A way in that comes down from above."""
    return Curve(np.array([cut.start + [0, 0, 1], cut.start]), np.zeros(1)), EMPTY


def outside(cut: Curve, room: Any) -> Any:
    """A straight way in from 30 mm away to the right, through the part."""
    (a,) = cut.at(0)[1]
    return Curve.line(np.array([cut.start + 30 * np.array([np.sin(a), -np.cos(a), 0]), cut.start])), EMPTY


def short_cut(loop: Curve, room: Any, radius: float, advance: float) -> Curve:
    """Leaves out a node where the room allows it."""
    for k in range(1, len(loop)):
        some = Curve(np.delete(loop.nodes, k, 0), np.delete(loop.turns, k))
        if not loop.turns[k - 1 : k + 1].any() and room.fits(some):
            return some
    return loop


ANSWERS = [
    (passes(lambda t, b, d: np.array([b - 0.1])), "levels fall from top to exactly bottom"),
    (passes(lambda t, b, d: np.array([t - (t - b) / (next(NUMBERS) + 1), b])), "asked again it answers otherwise"),
    (passes(lambda t, b, d: 1 / 0), "it raises ZeroDivisionError: division by zero; where there is no room, NoRoom"),
    (of(Lead, "lead", changed), "it changes what it was given"),
    (of(Lead, "lead", lifted), "Z belongs to passes, entry and the lifts of bridges"),
    (of(Lead, "lead", outside), "leads stay in the room"),
    (of(Lead, "lead", lambda cut, room: (_ for _ in ()).throw(NoRoom(""))), "it raises NoRoom without a reason"),
    (of(Slotting, "slot", short_cut), "it leaves out nodes of the loop"),
    (of(Cycle, "strokes", lambda t, b: [[b, t, 2, 0]]), "a stroke goes down, then up by rapid (1) or feed (0)"),
    (of(Layout, "places", lambda o, at, turn: [[np.nan, 0, 0]]), "places are rows of three numbers"),
    (of(Entry, "enter", lambda c, t, b, r: (c.at_z(t, b), c.length / 2)), "a way ends on the cut, at bottom"),
]


@pytest.mark.parametrize(("cls", "told"), ANSWERS, ids=[t for _, t in ANSWERS])
def test_the_answers(cls: type[Strategy], told: str) -> None:
    with pytest.raises(BrokenPromise) as e:
        prove_strategy(cls, REGISTRY, specimens=[SPECIMENS["spiral"]])
    assert told in str(e.value)


@define(frozen=True, kw_only=True)
class Jealous(Passes):
    """Serves the first object of its class only: what no field says."""

    name: ClassVar[str] = "jealous"
    first: ClassVar[list[int]] = []

    def levels(self, top: float, bottom: float, axial_depth: float) -> Any:
        self.first.append(id(self))
        return np.array([bottom] if self.first[0] == id(self) else [(top + bottom) / 2, bottom])


def test_two_objects_with_one_set_of_parameters_answer_alike() -> None:
    with pytest.raises(BrokenPromise, match="a second object with the same parameters answers otherwise"):
        prove_strategy(Jealous, REGISTRY, specimens=FEW)


# the whole way


def test_clean_on_too_few_is_told_with_the_reasons() -> None:
    def picky(cut: Curve, top: float, bottom: float, room: Any) -> Any:
        raise NoRoom("it is Tuesday")

    with pytest.raises(BrokenPromise) as e:
        prove_strategy(of(Entry, "enter", picky), REGISTRY, specimens=FEW)
    assert "it is clean on 0 of 2 specimens, 2 are asked" in str(e.value)
    assert "no room: it is Tuesday" in str(e.value)


def test_what_only_the_text_shows_is_found() -> None:
    """Bridges of a quarter of the width that the job asks for: no single answer of theirs is wrong."""

    def thin(loop: Curve, kerf: float) -> Any:
        found = SPACING.places(loop, kerf)
        return [attrs.evolve(b, width=0.2) for b in found]

    with pytest.raises(BrokenPromise) as e:
        prove_strategy(of(Bridges, "places", thin), REGISTRY, specimens=[SPECIMENS["neck"]])
    assert "\nprofile of the neck: bridge: neck, copy 1: a bridge's waist of 0.2" in str(e.value)


def test_without_checks_nothing_is_clean() -> None:
    bare = attrs.evolve(REGISTRY, checks={})
    assert tried(job_of(SPECIMENS["neck"], "profile", ()), bare).verdict == "broken"


# the specimens


def test_nine_of_them_and_each_is_a_drawing() -> None:
    assert list(SPECIMENS) == ["plate", "neck", "islands", "comb", "spiral", "gear", "rib", "small", "star"]
    for s in SPECIMENS.values():
        for drawing in (s.drawing, s.drilled):
            areas = [one.curve.polygon() for one in drawing.loops]
            assert shapely.is_valid(areas).all()
            lines = [a.exterior for a in areas]
            assert all(a.distance(b) > 0.2 for i, a in enumerate(lines) for b in lines[:i])
    circles = [one.circle for one in SPECIMENS["plate"].drawing.loops if one.depth == 1]
    assert len(circles) == 60
    assert max(one.depth for one in SPECIMENS["islands"].drawing.loops) == 5


def test_the_channel_is_of_the_cutters_width() -> None:
    """A disc of 1.998 mm goes in; one of 2.04 mm nowhere."""
    channel = SPECIMENS["spiral"].drawing.loops[1].curve.polygon()
    assert not shapely.buffer(channel, -0.999, quad_segs=32).is_empty
    assert shapely.buffer(channel, -1.02, quad_segs=32).is_empty


@pytest.mark.parametrize("kind", ["entry", "lead", "cover", "bridges", "slotting", "corners", "layout"])
def test_questions_come_from_every_specimen_with_room(kind: str) -> None:
    asked = {q.label.partition(",")[0] for q in questions(kind, list(SPECIMENS.values()))}
    assert asked >= set(SPECIMENS) - ({"small"} if kind == "cover" else set())


def test_every_installed_strategy_answers_as_it_promises() -> None:
    """Form and answers on two specimens; the whole way stands in the pairs."""
    few = [SPECIMENS["neck"], SPECIMENS["small"]]
    asked = {kind: questions(kind, few) for kind, _ in REGISTRY.strategies}
    for (kind, name), cls in REGISTRY.strategies.items():
        assert list(form_of(cls, REGISTRY)) == []
        one = instance_of(cls)
        if (kind, name) == ("route", "search"):
            one = attrs.evolve(one, effort=0.1)  # a library that takes all the time it is given
        assert list(answers_of(one, asked[kind])) == [], cls
