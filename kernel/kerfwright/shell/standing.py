"""What a batch has done so far: a file in its output folder, by which it is taken up again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kerfwright import __version__
from kerfwright.errors import Fault, InputError
from kerfwright.saving import write_whole
from kerfwright.shell.one_job import Told

__all__ = ["FILE", "Standing"]

FILE = "batch.json"


class Standing:
    """Jobs that were done, by source. One stands while its file, all files it names, version, options, result and programs are
    the same.
    """

    def __init__(self, out: Path, options: Mapping[str, Any]) -> None:
        """Reads the file in `out`, where there is one. Raises InputError where it cannot be read."""
        self.file, self.out = out / FILE, out
        self.options = {"version": __version__, **options}
        self.done: dict[str, dict[str, Any]] = {}
        try:
            found = json.loads(self.file.read_text(encoding="utf-8"))
            self.done = {source: _entry(one) for source, one in found["jobs"].items()}
        except FileNotFoundError:
            return
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            text = "found no standing of a batch, allowed: the file that an earlier batch wrote, or none"
            raise InputError([Fault("", text, str(self.file))]) from None

    def stands(self, source: str, text: str) -> int | None:
        """The exit code of a job that need not be made again; None where it must be."""
        one = self.done.get(source)
        if one is None or one["options"] != self.options or one["job"] != _digest(text.encode()):
            return None
        folder, made = Path(source).parent, self.out / one["name"]
        there = {name: _digest_of(folder / name) for name in one["files"]}
        if (
            one["result"] is None
            or there != one["files"]
            or _digest_of(made / "result.json") != one["result"]
            or not _whole(made)
        ):
            return None
        code: int = one["code"]
        return code

    def note(self, source: str, text: str, told: Told) -> None:
        """Keep what became of a job. One that was refused or hit a fault is made again."""
        self.done.pop(source, None)
        if told.code in (0, 1):
            self.done[source] = {
                "name": told.name,
                "code": told.code,
                "job": _digest(text.encode()),
                "files": dict(sorted(told.files.items())),
                "result": _digest_of(self.out / told.name / "result.json"),
                "options": self.options,
            }
        self.out.mkdir(parents=True, exist_ok=True)
        jobs = dict(sorted(self.done.items()))
        write_whole(self.file, json.dumps({"jobs": jobs}, indent=1, ensure_ascii=False) + "\n")


_KINDS = {"name": str, "code": int, "job": str, "files": dict, "result": str | None, "options": dict}


def _entry(one: Any) -> dict[str, Any]:
    """One job of the file. Raises ValueError where it is not as `note` keeps it."""
    if not isinstance(one, dict) or any(not isinstance(one.get(key), kind) for key, kind in _KINDS.items()):
        raise ValueError("no entry of a batch")
    return one


def _whole(folder: Path) -> bool:
    """All programs that a result released lie beside it, to the byte."""
    programs = json.loads((folder / "result.json").read_text(encoding="utf-8"))["programs"]
    return all(_digest_of(folder / p["file"]) == p["sha256"] for p in programs if p["released"])


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _digest_of(file: Path) -> str | None:
    try:
        return _digest(file.read_bytes())
    except OSError:
        return None
