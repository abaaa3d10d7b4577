"""Materials, cutters and machines by name, from the tables that plugins offer; every value with its source."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import Factory, frozen

from kerfwright.cutter import Cutter
from kerfwright.errors import Fault, InputError
from kerfwright.machine import Machine
from kerfwright.material import Material
from kerfwright.registry import Registry

__all__ = ["Tables", "load_tables"]


@frozen
class Tables:
    """What the tables hold, by name. `sources`: path in the table (`machines.light-router.spindle.most`) -> source."""

    materials: Mapping[str, Material] = Factory(dict)
    cutters: Mapping[str, Cutter] = Factory(dict)
    machines: Mapping[str, Machine] = Factory(dict)
    sources: Mapping[str, str] = Factory(dict)


def load_tables(registry: Registry | None = None) -> Tables:
    """All tables of a registry. Raises InputError with every fault of every file; a name offered twice is one."""
    from kerfwright.jobfile.tabled import read_table  # the job file's reader needs Tables

    registry = registry or Registry.load()
    shelves: dict[str, dict[str, object]] = {"materials": {}, "cutters": {}, "machines": {}}
    sources: dict[str, str] = {}
    owners: dict[tuple[str, str], str] = {}
    faults: list[Fault] = []
    for file in registry.tables:
        try:
            read, said = read_table(file, registry.parsed)
        except InputError as e:
            faults += e.faults
            continue
        sources |= said
        for shelf, things in read.items():
            for name, thing in things.items():
                owner = owners.setdefault((shelf, name), str(file))
                if owner != str(file):
                    faults.append(
                        Fault(f"{shelf}.{name}", f"found a name that {owner} offers too, allowed: once", str(file))
                    )
                shelves[shelf].setdefault(name, thing)
    if faults:
        raise InputError(faults)
    return Tables(**shelves, sources=sources)  # type: ignore[arg-type]
