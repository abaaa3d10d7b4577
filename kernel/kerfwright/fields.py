"""Parameters said once: unit, help and bounds of a field, for validation, the job file, `explain` and documents."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

import attrs

__all__ = [
    "Spec",
    "absent",
    "choice",
    "custom",
    "flag",
    "listed",
    "nested",
    "number",
    "point",
    "spec",
    "strategy",
    "text",
    "whole",
]

KEY = "kerfwright"


@attrs.frozen
class Spec:
    """What a field takes. `kind` tells the job-file loader how to read it; `unit` is the unit inside the program.

    kinds: number, whole, flag, text, choice, point, nested, listed, strategy, custom. `otherwise` says what holds where an
    optional field is left out; `example` shows its form.
    """

    kind: str
    help: str
    unit: str = ""
    above: float | None = None
    least: float | None = None
    below: float | None = None
    most: float | None = None
    options: tuple[str, ...] = ()
    of: Any = None
    key: str = ""
    optional: bool = False
    example: Any = None
    otherwise: str = ""

    def allowed(self) -> str:
        """The bounds in words.

        >>> Spec("number", "slope", unit="deg", above=0, most=45).allowed()
        'a number above 0 and at most 45 deg'
        """
        if self.options:
            return "one of " + ", ".join(option or '""' for option in self.options)
        limits = [
            f"{word} {limit:g}"
            for word, limit in (
                ("above", self.above),
                ("at least", self.least),
                ("below", self.below),
                ("at most", self.most),
            )
            if limit is not None
        ]
        noun = {
            "number": "a number",
            "whole": "a whole number",
            "flag": "true or false",
            "text": "a text",
            "point": "two numbers",
        }.get(self.kind, "a mapping")
        return " ".join(v for v in (noun, " and ".join(limits), self.unit if self.unit != "1" else "") if v)

    def fault(self, value: object) -> str | None:
        """What is wrong with a number, or None."""
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
            return f"found {value!r}, allowed: {self.allowed()}"
        if self.kind == "whole" and not float(value).is_integer():
            return f"found {value!r}, allowed: {self.allowed()}"
        ok = (
            (self.above is None or value > self.above)
            and (self.least is None or value >= self.least)
            and (self.below is None or value < self.below)
            and (self.most is None or value <= self.most)
        )
        return None if ok else f"found {value:g}, allowed: {self.allowed()}"


def spec(attribute: attrs.Attribute[Any]) -> Spec | None:
    """The Spec of an attrs attribute, or None for one that is no parameter."""
    found = attribute.metadata.get(KEY)
    return found if isinstance(found, Spec) else None


def _field(what: Spec, default: Any, check: Callable[[Any, Any, Any], None] | None) -> Any:
    def validate(instance: Any, attribute: Any, value: Any) -> None:
        if value is None and what.optional:
            return
        if check is not None:
            check(instance, attribute, value)

    return attrs.field(default=default, validator=validate, metadata={KEY: what}, kw_only=True)


def _numeric(what: Spec) -> Callable[[Any, Any, Any], None]:
    def check(instance: Any, attribute: Any, value: Any) -> None:
        wrong = what.fault(value)
        if wrong:
            raise ValueError(f"{what.key or attribute.name}: {wrong}")

    return check


def absent(default: Any = None) -> Any:
    """A parameter of the base class that a class does not take: it is no key of its mapping, and has one value."""
    return attrs.field(default=default, init=False)


def number(
    help: str,
    *,
    unit: str = "1",
    above: float | None = None,
    least: float | None = None,
    below: float | None = None,
    most: float | None = None,
    default: Any = attrs.NOTHING,
    optional: bool = False,
    key: str = "",
    example: Any = None,
    otherwise: str = "",
) -> Any:
    """A finite number. `unit` is mm, mm/min, deg, rpm, s, m, W, N/mm, mm/s2, kPa, money or 1."""
    what = Spec(
        "number",
        help,
        unit,
        above,
        least,
        below,
        most,
        key=key,
        optional=optional,
        example=example,
        otherwise=otherwise,
    )
    return _field(what, None if optional and default is attrs.NOTHING else default, _numeric(what))


def whole(
    help: str,
    *,
    least: float | None = None,
    most: float | None = None,
    default: Any = attrs.NOTHING,
    optional: bool = False,
    key: str = "",
    example: Any = None,
    otherwise: str = "",
) -> Any:
    """A whole number."""
    what = Spec(
        "whole", help, "1", least=least, most=most, key=key, optional=optional, example=example, otherwise=otherwise
    )
    return _field(what, None if optional and default is attrs.NOTHING else default, _numeric(what))


def flag(help: str, *, default: Any = attrs.NOTHING, optional: bool = False, key: str = "", otherwise: str = "") -> Any:
    """True or false, and nothing that merely looks so."""

    def check(instance: Any, attribute: Any, value: Any) -> None:
        if not isinstance(value, bool):
            raise ValueError(f"{key or attribute.name}: found {value!r}, allowed: true or false")

    what = Spec("flag", help, key=key, optional=optional, otherwise=otherwise)
    return _field(what, None if optional and default is attrs.NOTHING else default, check)


def text(
    help: str,
    *,
    default: Any = attrs.NOTHING,
    optional: bool = False,
    key: str = "",
    example: Any = None,
    otherwise: str = "",
) -> Any:
    """A text."""

    def check(instance: Any, attribute: Any, value: Any) -> None:
        if not isinstance(value, str):
            raise ValueError(f"{key or attribute.name}: found {value!r}, allowed: a text")

    what = Spec("text", help, key=key, optional=optional, example=example, otherwise=otherwise)
    return _field(what, None if optional and default is attrs.NOTHING else default, check)


def choice(
    help: str,
    options: Sequence[str],
    *,
    default: Any = attrs.NOTHING,
    optional: bool = False,
    key: str = "",
    otherwise: str = "",
) -> Any:
    """One of a few words."""
    what = Spec("choice", help, options=tuple(options), optional=optional, key=key, otherwise=otherwise)

    def check(instance: Any, attribute: Any, value: Any) -> None:
        if value not in what.options:
            raise ValueError(f"{key or attribute.name}: found {value!r}, allowed: {what.allowed()}")

    return _field(what, None if optional and default is attrs.NOTHING else default, check)


def point(
    help: str,
    *,
    unit: str = "mm",
    default: Any = attrs.NOTHING,
    optional: bool = False,
    key: str = "",
    above: float | None = None,
    length: int = 2,
    otherwise: str = "",
) -> Any:
    """`length` numbers of one unit, kept as a tuple of floats."""
    what = Spec("point", help, unit, above=above, key=key, optional=optional, of=length, otherwise=otherwise)
    each = Spec("number", help, unit, above=above)

    def check(instance: Any, attribute: Any, value: Any) -> None:
        wrong = (
            f"found {value!r}, allowed: {length} numbers"
            if not isinstance(value, tuple) or len(value) != length
            else next((w for w in map(each.fault, value) if w), None)
        )
        if wrong:
            raise ValueError(f"{key or attribute.name}: {wrong}")

    return _field(what, None if optional and default is attrs.NOTHING else default, check)


def nested(
    help: str, of: type, *, default: Any = attrs.NOTHING, optional: bool = False, key: str = "", otherwise: str = ""
) -> Any:
    """A mapping that becomes an attrs class of its own."""

    def check(instance: Any, attribute: Any, value: Any) -> None:
        if not isinstance(value, of):
            raise ValueError(f"{key or attribute.name}: found {value!r}, allowed: {of.__name__}")

    what = Spec("nested", help, of=of, optional=optional, key=key, otherwise=otherwise)
    return _field(what, None if optional and default is attrs.NOTHING else default, check)


def listed(help: str, of: type, *, default: Any = (), key: str = "") -> Any:
    """A list of mappings, each an attrs class; kept as a tuple."""
    return _field(Spec("listed", help, of=of, key=key), default, None)


def strategy(kind: str, help: str) -> Any:
    """A strategy of one kind, by name or as a one-key mapping; None leaves the choice to material and operation."""
    return _field(Spec("strategy", help, of=kind, optional=True), None, None)


def custom(
    help: str,
    how: str,
    *,
    default: Any = attrs.NOTHING,
    optional: bool = False,
    key: str = "",
    example: Any = None,
    otherwise: str = "",
) -> Any:
    """A value with a reader of its own in the job-file loader, found by the word `how`."""
    what = Spec("custom", help, of=how, optional=optional, key=key, example=example, otherwise=otherwise)
    return _field(what, None if optional and default is attrs.NOTHING else default, None)
