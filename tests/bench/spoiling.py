"""The long run: every row of the catalogue on every job and installed dialect. Exit 1 where anything is not as the table says.

python tests/bench/spoiling.py [--workers N] [--only WORD] [--dialect NAME]     WORD: part of a row's name
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "spoiling"))

from spoiling_catalogue import CATALOGUE, HARMLESS
from spoiling_jobs import JOBS, made
from spoiling_run import cases, judged

from kerfwright.registry import Registry


def sheet(key: tuple[str, str, str]) -> tuple[str, list[str], list[str]]:
    """Of one job in one dialect: what is wrong, and the rows that were tried; `not carried` where the dialect cannot."""
    job, dialect, only = key
    registry = Registry.load()
    result = made(job, dialect, registry)
    if result is None:
        return "not carried", [], []
    if not result.ok:
        return "clean programs refused", [f"{job}, {dialect}: the clean programs are refused"], []
    wrong, tried = [], []
    for case in cases(result, job, dialect, [row for row in CATALOGUE if only in row.name]):
        tried.append(case.row.name)
        wrong += judged(case, result, registry)
    return f"{len(tried)} tried, {len(wrong)} wrong", wrong, tried


def main() -> int:
    """A line for each job and dialect, then what is wrong."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--workers", type=int, default=2)
    ask.add_argument("--only", default="")
    ask.add_argument("--dialect", default="")
    said = ask.parse_args()
    start, wrong, tried = time.monotonic(), [], Counter[str]()
    registry = Registry.load()
    read = sorted(name for name, one in registry.dialects.items() if one().traits.language in registry.readers)
    dialects = [said.dialect] if said.dialect else read
    keys = [(job, dialect, said.only) for dialect in dialects for job in JOBS]
    with ProcessPoolExecutor(said.workers) as pool:
        for (job, dialect, _), (text, bad, rows) in zip(keys, pool.map(sheet, keys), strict=True):
            print(f"{job:<8} {dialect:<16} {text}", flush=True)
            wrong += bad
            tried.update(rows)
    harmless = sum(tried[row.name] for row in HARMLESS)
    print(f"\n{len(CATALOGUE)} rows ({len(HARMLESS)} harmless); {sum(tried.values())} spoiled sheets, {harmless} of them harmless; "
          f"{len(wrong)} not as the table says; {time.monotonic() - start:.0f} s")  # fmt: skip
    print("\n".join(wrong))
    never = [row.name for row in CATALOGUE if said.only in row.name and not tried[row.name]]
    if never:
        print(f"never tried: {', '.join(never)}")
    return 1 if wrong or never else 0


if __name__ == "__main__":
    sys.exit(main())
