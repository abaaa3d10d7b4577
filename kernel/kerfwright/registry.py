"""Everything installed: operations and what they take, strategies, drawings, dialects, readers, checks, reports, tables.

A registry is an object; there is no global one. Built-in parts come through the same entry points as a stranger's.
A plugin that cannot be loaded, misspells a hook or offers a name twice is told in `problems`, and stops nobody else.
"""

from __future__ import annotations

import importlib
import importlib.util
import sys
from collections.abc import Iterable, Sequence
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path
from typing import Any, cast

import pluggy
from attrs import Factory, define

from kerfwright import hookspecs
from kerfwright.dialect import Dialect
from kerfwright.drawings import DrawingReader
from kerfwright.errors import PluginError
from kerfwright.finding import Check
from kerfwright.operation import Operation
from kerfwright.reader import Reader
from kerfwright.report import Report
from kerfwright.strategy import KINDS, Strategy
from kerfwright.taking import Taking

__all__ = ["Registry"]

GROUP = "kerfwright"


@define(eq=False)
class Registry:
    """What is installed, by name. `strategies` by (kind, name), `drawings` by suffix, `readers` by language."""

    operations: dict[str, type[Operation]] = Factory(dict)
    takings: dict[str, type[Taking]] = Factory(dict)
    strategies: dict[tuple[str, str], type[Strategy]] = Factory(dict)
    drawings: dict[str, type[DrawingReader]] = Factory(dict)
    dialects: dict[str, type[Dialect]] = Factory(dict)
    readers: dict[str, type[Reader]] = Factory(dict)
    checks: dict[str, type[Check]] = Factory(dict)
    reports: dict[str, type[Report]] = Factory(dict)
    tables: list[Path] = Factory(list)
    problems: list[str] = Factory(list)
    origins: dict[object, str] = Factory(dict)
    """Plugin that each thing came from."""
    parsed: dict[tuple[str, bytes], Any] = Factory(dict)
    """Files of `tables` that were read already, by name and content, and what is in them: `load_tables` keeps it here."""

    @classmethod
    def load(cls, plugins: Sequence[str] = (), *, installed: bool = True) -> Registry:
        """A fresh registry of what is installed, and of `plugins` (files or modules) besides.

        Raises PluginError where one of `plugins`, which the user named, cannot be loaded; an installed one that cannot is
        told in `problems`.
        """
        registry = cls()
        manager = pluggy.PluginManager(GROUP)
        manager.add_hookspecs(hookspecs)
        found: list[tuple[str, object]] = []
        if installed:
            for owner, point in sorted(_points(), key=lambda p: (p[0] != GROUP, p[1].name)):
                name = f"{owner}: {point.name}"
                try:
                    found.append((name, point.load()))
                except (Exception, SystemExit) as e:  # a stranger's module may raise anything; the others go on
                    registry.problems.append(f"plugin {name} ({point.value}) cannot be loaded: {type(e).__name__}: {e}")
        found += [(name, _named(name)) for name in plugins]
        for name, module in found:
            registry._add(manager, name, module)
        return registry

    def _add(self, manager: pluggy.PluginManager, name: str, module: object) -> None:
        """Ask one plugin alone, so that what it offers is known to be its own."""
        try:
            if manager.register(module, name) is None:
                return
            manager.check_pending()
        except (ValueError, pluggy.PluginValidationError) as e:
            self.problems.append(f"plugin {name}: {e}")
            if manager.is_registered(module):
                manager.unregister(module)
            return
        callers = manager.get_hookcallers(module) or []
        if not callers:
            self.problems.append(f"plugin {name}: offers nothing: no function in it is marked with `hookimpl`")
        for caller in callers:
            for impl in caller.get_hookimpls():
                if impl.plugin is not module:
                    continue
                try:
                    offered: list[Any] = list(cast(Any, impl.function()))
                except (Exception, SystemExit) as e:  # as above
                    self.problems.append(f"plugin {name}: {caller.name} failed: {type(e).__name__}: {e}")
                    continue
                self._take(name, caller.name.removeprefix("kerfwright_"), offered)

    def _take(self, plugin: str, what: str, offered: Iterable[Any]) -> None:
        for thing in offered:
            if what == "tables":
                self.tables.append(Path(thing))
                continue
            wrong = _unfit(what, thing)
            if wrong:
                self.problems.append(f"plugin {plugin}: {what} {thing!r} is passed over: {wrong}")
                continue
            shelf: dict[Any, Any] = getattr(self, what)
            for key in _keys(what, thing):
                if key in shelf:
                    owner = self.origins.get(shelf[key], "?")
                    self.problems.append(
                        f"plugin {plugin}: {what} {key!r} is offered by {owner} already, and is passed over"
                    )
                else:
                    shelf[key] = thing
                    self.origins[thing] = plugin


_BASES: dict[str, type[Any]] = {
    "operations": Operation, "takings": Taking, "strategies": Strategy, "drawings": DrawingReader, "dialects": Dialect,
    "readers": Reader, "checks": Check, "reports": Report,
}  # fmt: skip


def _unfit(what: str, thing: Any) -> str:
    base = _BASES[what]
    if not (isinstance(thing, type) and issubclass(thing, base)):
        return f"it is no subclass of {base.__name__}"
    kind: object = getattr(thing, "kind", "")
    if what == "strategies" and kind not in KINDS:
        return f"its kind {kind!r} is none of {', '.join(KINDS)}"
    return "" if _keys(what, thing) else "it has no name"


def _keys(what: str, thing: Any) -> list[Any]:
    if what == "strategies":
        return [(thing.kind, thing.name)] if thing.name else []
    if what == "drawings":
        return list(thing.suffixes)
    name = getattr(thing, {"operations": "kind", "takings": "kind", "readers": "language"}.get(what, "name"))
    return [name] if name else []


def _points() -> list[tuple[str, EntryPoint]]:
    """Every entry point, and the package that it comes from: whose name is read once, as that takes all its metadata."""
    names: dict[int, str] = {}
    points = list(entry_points(group=GROUP))
    for point in points:
        if point.dist and id(point.dist) not in names:
            names[id(point.dist)] = point.dist.name
    return [(names.get(id(p.dist), "?"), p) for p in points]


def _named(name: str) -> object:
    """A plugin by file or module name."""
    try:
        if name.endswith(".py"):
            path = Path(name)
            spec = importlib.util.spec_from_file_location(f"kerfwright_plugin_{path.stem}", path)
            if spec is None or spec.loader is None or not path.is_file():
                raise PluginError(f"plugin {name}: no such file")
            module = importlib.util.module_from_spec(spec)
            sys.modules[spec.name] = module  # attrs and pickling look a class's module up
            spec.loader.exec_module(module)
            return module
        return importlib.import_module(name)
    except PluginError:
        raise
    except (Exception, SystemExit) as e:
        raise PluginError(f"plugin {name} cannot be loaded: {type(e).__name__}: {e}") from e
