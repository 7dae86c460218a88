"""What the turning values of a part cost, in plain comparisons of that part for each figure."""

from __future__ import annotations

import datetime
import statistics
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quotegen.judge.studied import PartStudy

DEMO = Path(__file__).resolve().parents[2] / "quotes_demo"
DAY = datetime.date(2026, 11, 2)
WANTED = 30


def bench_turning() -> None:
    """Each part of the demo: all turning values, then the map, against compare() of the part."""
    from quotegen.study import study

    print("turning: all figures of a part, in plain comparisons for each figure examined")
    parts = study(DEMO, DAY).parts.values()
    every = [each for part in parts if (each := _of_part(part)) is not None]
    print(f"  median {statistics.median(every):.1f}, most {max(every):.1f} (wanted: {WANTED})\n")


def _of_part(part: PartStudy, rounds: int = 5) -> float | None:
    """Comparisons for each figure; None where nothing is planned."""
    from quotegen.compare.comparison import compare
    from quotegen.judge.turning.over_two import over_two
    from quotegen.judge.turning.turning import turnings_of

    plain = part.comparison
    bench = part.turned.bench if part.turned is not None else None
    if bench is None:
        return None
    records = plain.workshop, plain.part, plain.offers, plain.rates, plain.today
    once = min(_seconds(lambda: compare(*records)) for _ in range(rounds))
    start = time.perf_counter()
    found = turnings_of(bench)
    seconds = time.perf_counter() - start
    mapped = _seconds(lambda: over_two(bench, found))
    each = seconds / len(found.figures) / once
    print(
        f"  {part.part}: compare {once * 1e3:.2f} ms, {len(found.figures)} figures in "
        f"{seconds:.2f} s, {each:.1f} comparisons a figure; map {mapped:.2f} s"
    )
    return each


def _seconds(call: Callable[[], object]) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start
