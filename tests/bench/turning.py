"""What the turning values of a part cost, in plain comparisons of that part for each figure.

A plain comparison makes the bills of all offers and compares them: a figure that changes asks for
no less. What comparing alone takes, the bills being there, is printed beside it.
"""

from __future__ import annotations

import datetime
import statistics
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quotegen.judge.studied import PartStudy
    from quotegen.model.entry import Folder

DEMO = Path(__file__).resolve().parents[2] / "quotes_demo"
DAY = datetime.date(2026, 11, 2)
WANTED = 30


def bench_turning() -> None:
    """Each part of the demo: all turning values, then the map, against the part's comparison."""
    from quotegen.study import study

    print("turning: all figures of a part, in plain comparisons for each figure examined")
    found = study(DEMO, DAY)
    ratios = (_of_part(part, found.folder) for part in found.parts.values())
    every = [each for each in ratios if each is not None]
    print(f"  median {statistics.median(every):.1f}, most {max(every):.1f} (wanted: {WANTED})\n")


def _of_part(part: PartStudy, folder: Folder, rounds: int = 5) -> float | None:
    """Comparisons for each figure; None where nothing is planned."""
    from quotegen.compare.comparison import compare
    from quotegen.costing.offer import offers_for
    from quotegen.judge.turning.over_two import over_two
    from quotegen.judge.turning.turning import turnings_of

    plain = part.comparison
    bench = part.turned.bench if part.turned is not None else None
    if bench is None:
        return None
    ours = plain.workshop, plain.part
    alone = min(
        _seconds(lambda: compare(*ours, plain.offers, plain.rates, DAY)) for _ in range(rounds)
    )

    def from_records() -> None:
        offers = offers_for(folder, part.part, plain.rates, DAY)
        compare(*ours, offers, plain.rates, DAY)

    once = min(_seconds(from_records) for _ in range(rounds))
    start = time.perf_counter()
    found = turnings_of(bench)
    seconds = time.perf_counter() - start
    mapped = _seconds(lambda: over_two(bench, found))
    each = seconds / len(found.figures) / once
    print(
        f"  {part.part}: {once * 1e3:.1f} ms, comparing alone {alone * 1e3:.1f};"
        f" {len(found.figures)} figures in {seconds:.2f} s, {each:.1f} a figure"
        f" ({each * once / alone:.1f} of comparing alone); map {mapped:.2f} s"
    )
    return each


def _seconds(call: Callable[[], object]) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start
