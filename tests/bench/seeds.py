"""How many of the figures that the demo prints of all futures move when they are drawn again.

Called by run.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

from quotegen.judge.futures.draws import SEED
from quotegen.judge.futures.making import planned_outlook
from quotegen.judge.futures.outlook import Outlook
from quotegen.report.views.futures import (
    cheapest_of_hundred,
    in_steps,
    of_hundred,
    pieces_late,
)
from quotegen.study import study

DEMO = Path(__file__).parents[2] / "quotes_demo"
SEEDS = 8
NAMES = (
    "mean",
    "one in ten below",
    "nine in ten below",
    "regret",
    "worst",
    "cheapest of 100",
    "late",
    "late of 100",
)


def bench_seeds() -> None:
    """The share of printed figures, by kind, that differ between two seeds."""
    moved, seen = dict.fromkeys(NAMES, 0), 0
    for part in study(DEMO, None).parts.values():
        drawn = [
            planned_outlook(part.comparison, part.planning, seed=SEED + 7919 * number)
            for number in range(SEEDS)
        ]
        tables = [list(_printed(each)) for each in drawn if each is not None]
        for one, other in combinations(tables, 2):
            seen += len(one)
            for first, second in zip(one, other, strict=True):
                for name, a, b in zip(NAMES, first, second, strict=True):
                    moved[name] += a != b
    print(f"seeds: {SEEDS} of them, {seen:,} rows held against each other")
    for name, count in moved.items():
        print(f"  {name}: {100 * count / max(1, seen):.1f} of 100 differ")
    print()


def _printed(outlook: Outlook) -> Iterator[tuple[str, ...]]:
    cheapest = cheapest_of_hundred(outlook)
    for each in outlook.listed:
        steps = each.steps
        yield (
            in_steps(each.mean, steps.mean),
            in_steps(each.low, steps.tails),
            in_steps(each.high, steps.tails),
            in_steps(each.regret, steps.regret),
            in_steps(each.worst, steps.worst),
            cheapest[each.name],
            pieces_late(each.late),
            of_hundred(each.runs_short),
        )
