"""The tree of everything raised on purpose."""

from __future__ import annotations

from collections.abc import Iterable

from attrs import frozen

__all__ = [
    "BrokenPromise",
    "CannotRead",
    "CannotSay",
    "Contradiction",
    "Fault",
    "InputError",
    "KerfwrightError",
    "NoRoom",
    "PluginError",
]


class KerfwrightError(Exception):
    """Root of everything raised on purpose."""


@frozen
class Fault:
    """One thing wrong with the input: where, and what was found and is allowed.

    `path` is the key's place in the job (`operations[1].profile.feed`); line and column count from 1, 0 is unknown.

    >>> str(Fault("sheet.thickness", "found -1, allowed above 0 mm", file="job.yaml", line=3, column=14))
    'job.yaml:3:14: sheet.thickness: found -1, allowed above 0 mm'
    """

    path: str
    message: str
    file: str = ""
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        place = ":".join(str(v) for v in (self.file, self.line, self.column) if v)
        return ": ".join(v for v in (place, self.path, self.message) if v)


class InputError(KerfwrightError):
    """The job, a drawing or a measured file is wrong; all faults found are told at once."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)))

    def __reduce__(self) -> tuple[type[InputError], tuple[tuple[Fault, ...]]]:
        return InputError, (self.faults,)


class NoRoom(KerfwrightError):
    """A strategy cannot do its work at this place: the planner offers another, then tells the user."""


class BrokenPromise(KerfwrightError):
    """A plugin's answer violates its protocol: names the plugin and the rule it broke."""


class PluginError(KerfwrightError):
    """A plugin cannot be loaded, or offers what it may not."""


class Contradiction(KerfwrightError, ValueError):
    """What a dialect was given cannot hold together: `told` has each key with what was found and is allowed."""

    def __init__(self, told: Iterable[tuple[str, str]]) -> None:
        self.told: tuple[tuple[str, str], ...] = tuple(told)
        super().__init__("; ".join(f"{key}: {text}" for key, text in self.told))

    def __reduce__(self) -> tuple[type[Contradiction], tuple[tuple[tuple[str, str], ...]]]:
        return Contradiction, (self.told,)


class CannotSay(KerfwrightError):
    """A dialect has no way to say a step: nothing is written."""


class CannotRead(KerfwrightError):
    """The text has no one meaning: names line (from 1), word and the rule of the document; nothing is guessed.

    >>> str(CannotRead(12, "I5", "an arc's center lies equally far from both ends"))
    "line 12: I5: an arc's center lies equally far from both ends"
    """

    def __init__(self, line: int, word: str, rule: str) -> None:
        self.line, self.word, self.rule = line, word, rule
        super().__init__(": ".join(v for v in (f"line {line}" if line else "", word, rule) if v))

    def __reduce__(self) -> tuple[type[CannotRead], tuple[int, str, str]]:
        return CannotRead, (self.line, self.word, self.rule)
