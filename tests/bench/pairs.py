"""The long run: every pair of strategies that can meet x nine specimens. Prints a table; exit 1 where anything is unexpected.

python tests/bench/pairs.py [--workers N] [--only WORD]      WORD: part of an operation's or a strategy's name
"""

from __future__ import annotations

import argparse
import importlib.util
import sys
import time
from collections import Counter, defaultdict
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from pathlib import Path
from typing import Any

from kerfwright.registry import Registry
from kerfwright.testing.meetings import meetings

LEAST = 6


@cache
def suite() -> Any:
    """The module of the suite's pair tests: what is expected stands there, once."""
    path = Path(__file__).parents[1] / "plugins" / "test_pairs.py"
    spec = importlib.util.spec_from_file_location("pairs_of_the_suite", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@cache
def listed() -> list[Any]:
    """All meetings, in one order in every process."""
    return list(meetings(Registry.load()))


def row(number: int) -> list[tuple[str, str, str]]:
    """For each specimen its name, the verdict, and the reason; `!` before what is not as expected."""
    meeting, out = listed()[number], []
    for name, specimen in suite().SPECIMENS.items():
        outcome = meeting.tried(specimen, suite().made, suite().REGISTRY)
        sign = "" if suite().judged(meeting, name, outcome) == "" else "!"
        out.append((name, sign + outcome.verdict, outcome.reason))
    return out


def main() -> int:
    """Print a row for each pair, then the reasons, then what each strategy came to."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--workers", type=int, default=2)
    ask.add_argument("--only", default="")
    said = ask.parse_args()
    start, names = time.monotonic(), list(suite().SPECIMENS)
    chosen = [k for k, m in enumerate(listed()) if said.only in str(m)]
    reasons: dict[str, Counter[str]] = defaultdict(Counter)
    clean: dict[str, set[str]] = {f"{k} {n}": set() for k, n in suite().REGISTRY.strategies}
    count: Counter[str] = Counter()
    print(f"{'':<62} " + " ".join(f"{n:<8}" for n in names))
    with ProcessPoolExecutor(said.workers) as pool:
        for k, cells in zip(chosen, pool.map(row, chosen), strict=True):
            meeting = listed()[k]
            print(f"{meeting!s:<62} " + " ".join(f"{v:<8}" for _, v, _ in cells), flush=True)
            for name, verdict, reason in cells:
                count[verdict] += 1
                if verdict == "clean":
                    for one in (meeting.first, meeting.second):
                        clean[f"{one.kind} {one.name}"].add(name)
                else:
                    reasons[f"{verdict} {meeting.operation} {name}: {reason[:160]}"][str(meeting)] += 1
    print("\nreasons")
    for reason, who in sorted(reasons.items()):
        print(f"  {sum(who.values()):>4} x {reason}" + (f"   [{', '.join(who)}]" if reason.startswith("!") else ""))
    few = []
    if not said.only:
        print("\nclean on how many specimens")
        for name, some in sorted(clean.items()):
            print(f"  {name:<28} {len(some)}")
        few = [name for name, some in clean.items() if len(some) < LEAST]
    total = ", ".join(f"{n} {v}" for v, n in sorted(count.items()))
    print(f"\n{len(chosen)} meetings, {sum(count.values())} jobs: {total}; {time.monotonic() - start:.0f} s")
    if few:
        print(f"clean on fewer than {LEAST}: {', '.join(few)}")
    return 1 if few or any(v.startswith("!") for v in count) else 0


if __name__ == "__main__":
    sys.exit(main())
