"""What the turning values of a part cost, in plain comparisons of that part for each figure.

A plain comparison says which route is cheapest, as the advice does: it makes the bills of all
offers, compares them and plans every route (R12, R16). A figure that changes asks for no less. The
ratio to bills and comparing alone, without a plan, is printed beside it.
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
    from quotegen.plan.building import setting_of, supplies_of
    from quotegen.plan.finding import plan_for

    plain = part.comparison
    bench = part.turned.bench if part.turned is not None else None
    if bench is None:
        return None
    ours = plain.workshop, plain.part

    def bills() -> None:
        offers = offers_for(folder, part.part, plain.rates, DAY)
        compare(*ours, offers, plain.rates, DAY)

    def ranked() -> None:
        bills()
        setting = setting_of(plain, plain.needs.months)
        if setting is not None:
            for way in bench.ways:
                offers = [each for each in plain.offers if each.name in way.offers]
                plan_for(plain, supplies_of(offers, setting), setting)

    alone = min(_seconds(bills) for _ in range(rounds))
    once = min(_seconds(ranked) for _ in range(rounds))
    start = time.perf_counter()
    found = turnings_of(bench)
    seconds = time.perf_counter() - start
    mapped = _seconds(lambda: over_two(bench, found))
    each = seconds / len(found.figures) / once
    print(
        f"  {part.part}: {once * 1e3:.1f} ms, without plans {alone * 1e3:.1f};"
        f" {len(found.figures)} figures in {seconds:.2f} s, {each:.1f} a figure"
        f" ({each * once / alone:.1f} without plans); map {mapped:.2f} s"
    )
    return each


def _seconds(call: Callable[[], object]) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start
