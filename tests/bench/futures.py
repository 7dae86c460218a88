"""Following a route through many futures, against numpy that streams the same arrays once.

Called by run.py.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Sequence

import numpy as np

from quotegen.judge.futures.draws import Draws, draw
from quotegen.judge.futures.follow import follow
from quotegen.judge.futures.knowledge import Knowledge
from quotegen.judge.futures.law import pert
from tests.judge.futures.cases import FOUNDRY, MILL, SHEETS, Answering, answering, found

FUTURES, ROUTES, MONTHS = 100_000, 8, 36


def bench_futures(rounds: int = 7) -> None:
    """100,000 futures, 8 routes, 36 months; drawing reported apart."""
    result = found(
        MILL, FOUNDRY, SHEETS, needed_by="2026-12-07", workshop={"planning_months": str(MONTHS)}
    )
    names = [route.name for route in result.comparison.routes][:3]
    routes = [
        answering(result, names[number % len(names)], scatters=True, most_sold=2000)
        for number in range(ROUTES)
    ]
    demand = routes[0].plan.setting.horizon.demand
    start = time.perf_counter()
    draws = draw(pert(0.5, 1.0, 2.0), demand, 0.0134, FUTURES)
    drawing = time.perf_counter() - start
    shift = Knowledge(law=routes[0].knowledge.law, demand=demand, most_sold=2000).shift
    _ = [route.answer.rule for route in routes]
    rounds_of = [_one_round(routes, draws, shift) for _ in range(rounds)]
    first = [ours for ours, _ in rounds_of]
    second = [theirs for _, theirs in rounds_of]
    ratio = statistics.median(first) / statistics.median(second)
    print(f"futures: {FUTURES:,} futures, {ROUTES} routes, {MONTHS} months")
    print(f"  drawing once for all routes: {drawing * 1e3:.0f} ms")
    print(f"  following: median {statistics.median(first) * 1e3:.0f} ms of {rounds}")
    print(f"  streaming the same arrays: median {statistics.median(second) * 1e3:.0f} ms")
    print(f"  ratio of medians {ratio:.1f} (wanted: at most 20)\n")


def _one_round(routes: Sequence[Answering], draws: Draws, shift: int) -> tuple[float, float]:
    """Seconds of following all routes, and of streaming the draws and the costs once for each.

    Both in turn for every route, so that neither finds its arrays in the cache from the last time.
    """
    copy, costs = np.empty_like(draws.sold), np.empty(draws.count)
    ours = theirs = 0.0
    for route in routes:
        start = time.perf_counter()
        follow(route.answer, draws, shift)
        middle = time.perf_counter()
        np.copyto(copy, draws.sold)
        costs.fill(0.0)
        ours, theirs = ours + middle - start, theirs + time.perf_counter() - middle
    return ours, theirs
