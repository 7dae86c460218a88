"""The planner against a mixed-integer solver, against stockpyl, and how it grows.

Called by run.py. stockpyl is there after `make test`, by itself: see .ci/setup.
"""

from __future__ import annotations

import math
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from quotegen.plan.problem import Arriving, Problem, Run, Solution, Source
from quotegen.plan.recost import recost
from quotegen.plan.solve import solve
from tests.plan.instances import large_problem
from tests.plan.mixed_integer import by_highs

SECONDS = 60  # that the mixed-integer solver may take for one problem


def bench_plan() -> None:
    small = _against_highs(12, 4, 500, range(7))
    _against_highs(24, 4, 5000, range(3))
    large = [_timed(lambda seed=seed: solve(large_problem(seed, 60, 8, 5000))) for seed in range(5)]
    middle = statistics.median(large)
    print(f"  60 months, 8 quotes, 5,000 pieces: median {middle * 1e3:.0f} ms of 5")
    print(f"  ratio to the solver's 12, 4, 500: {middle / small:.1f} (wanted: at most 10)")
    for periods in (52, 104, 520):
        _against_stockpyl(periods)
    _growth("months", [(months, 4, 2000) for months in (12, 24, 48, 96)], 0)
    _growth("pieces", [(24, 4, pieces) for pieces in (1000, 2000, 4000, 8000, 16_000)], 2)
    _growth("quotes", [(24, quotes, 2000) for quotes in (1, 2, 4, 8)], 1)
    print(f"  most memory for 60 months, 8 quotes, 20,000 pieces: {_memory():.0f} MB\n")


def _timed(call: Callable[[], object]) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def _against_highs(months: int, quotes: int, pieces: int, seeds: Sequence[int]) -> float:
    """Its median seconds over all, those that it did not prove at their limit."""
    ours, theirs, ratios = [], [], []
    for seed in seeds:
        problem = large_problem(seed, months, quotes, pieces, late=seed % 2 == 1)
        solve(problem)
        start = time.perf_counter()
        found = solve(problem)
        ours.append(time.perf_counter() - start)
        start = time.perf_counter()
        orders = by_highs(problem, SECONDS)
        theirs.append(time.perf_counter() - start)
        if orders is not None:
            ratios.append(theirs[-1] / ours[-1])
            if not isinstance(found, Solution) or found.cost != recost(problem, orders):
                raise SystemExit(f"seed {seed}: {found} is not what the solver found")
    print(f"plan: {months} months, {quotes} quotes, {pieces:,} pieces, {len(seeds)} problems")
    print(f"  planner: median {statistics.median(ours) * 1e3:.1f} ms, worst {max(ours) * 1e3:.1f}")
    print(
        f"  HiGHS: median {statistics.median(theirs):.2f} s,"
        f" {len(ratios)} proven in {SECONDS} s, with the same cost"
    )
    if ratios:
        print(
            f"  ratio on these: median {statistics.median(ratios):.0f},"
            f" least {min(ratios):.0f} (wanted: at least 10)"
        )
    else:
        print(f"  ratio at least {min(theirs) / max(ours):.0f}")
    return statistics.median(theirs)


def _against_stockpyl(periods: int) -> None:
    """Its Wagner-Whitin, on demand of 0 to 19 a period, 50 an order and 1 for holding."""
    try:
        from stockpyl.wagner_whitin import wagner_whitin
    except ImportError:
        print(f"  stockpyl, {periods} periods: not installed, left out")
        return
    demand = [(7 * period * period + 3 * period) % 20 for period in range(periods)]
    ours, theirs, equal = [], [], True
    for _ in range(5):
        problem = _even_problem(demand)  # a new one each time, with nothing remembered
        start = time.perf_counter()
        found = solve(problem)
        ours.append(time.perf_counter() - start)
        start = time.perf_counter()
        cost = wagner_whitin(periods, 1, 50, demand)[1]
        theirs.append(time.perf_counter() - start)
        equal = equal and isinstance(found, Solution) and found.cost == cost
    print(
        f"  stockpyl, {periods} periods: {min(theirs) * 1e3:.1f} ms to {min(ours) * 1e3:.2f} ms,"
        f" best of 5, ratio {min(theirs) / min(ours):.1f} (wanted: at least 10),"
        f" {'equal' if equal else 'NOT EQUAL'}"
    )


def _even_problem(demand: Sequence[int]) -> Problem:
    periods = len(demand)
    run = Run(count=sum(demand), pieces=1, pieces_step=1, good=1, good_step=1, cost=50, cost_step=0)
    arriving = {
        period: Arriving(runs=(run,), waits=1, left=periods - period) for period in range(periods)
    }
    return Problem(demand=tuple(demand), sources=(Source(name="A", arriving=arriving),))


def _growth(what: str, sizes: Sequence[tuple[int, int, int]], place: int) -> None:
    """The exponent of a power law through the medians of seven problems of each size."""
    points = []
    for size in sizes:
        seconds = [
            _timed(lambda s=seed, z=size: solve(large_problem(s, *z, tools=1))) for seed in range(7)
        ]
        points.append((math.log(size[place]), math.log(statistics.median(seconds))))
    x, y = np.array(points).T
    slope, at_zero = np.polyfit(x, y, 1)
    fit = 1 - ((y - slope * x - at_zero) ** 2).sum() / ((y - y.mean()) ** 2).sum()
    print(f"  time grows with {what} to the power of {slope:.2f} (R2 {fit:.2f})")


def _memory() -> float:
    """Most memory of a process of its own, in MB."""
    script = (
        "import resource\n"
        "from quotegen.plan.solve import solve\n"
        "from tests.plan.instances import large_problem\n"
        "solve(large_problem(0, 60, 8, 20_000))\n"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)\n"
    )
    root = Path(__file__).resolve().parents[2]
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=root, capture_output=True, text=True, check=True
    )
    return int(done.stdout) / 1000
