"""The best time to order a tool: against every policy there is, on tiny cases (R22)."""

from __future__ import annotations

import datetime
import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats

from quotegen.judge.futures.draws import Draws
from quotegen.judge.futures.trigger import best_rule, tried, weighed
from quotegen.judge.futures.waiting import Waiting, best_policy

Floats = NDArray[np.float64]
MONTHS = 3
PATHS = list(itertools.product(range(3), repeat=MONTHS))
NODES = [path for length in range(MONTHS) for path in itertools.product(range(3), repeat=length)]


def a_waiting(
    plain: list[float],
    tooled: list[float],
    tool: list[float],
    arrives: list[int],
    levels: tuple[float, float],
    share: float,
) -> Waiting:
    """Each month wants 0, 1 or 2, two trials of a chance that is half the level."""
    law, prior = np.array(levels), np.array([share, 1 - share])
    chances = np.array([stats.binom(2, level / 2).pmf(range(3)) for level in levels])

    def posterior(month: int, sold: Floats) -> Floats:
        rows = [prior * stats.binom(2 * month, law / 2).pmf(each) for each in sold]
        found = np.array(rows)
        total = found.sum(axis=1, keepdims=True)
        return np.where(total > 0, found / np.where(total > 0, total, 1), prior)

    return Waiting(
        plain=np.array(plain),
        tooled=np.array(tooled),
        tool=np.array([*tool, 0.0]),
        arrives=np.array(arrives),
        wanted=np.ones(MONTHS),
        levels=law,
        posterior=posterior,
        chances=lambda _: chances,
        most_sold=2 * MONTHS,
    )


def _cost(waiting: Waiting, path: tuple[int, ...], time: int) -> float:
    """What one future costs where the tool is ordered at one time, MONTHS for never."""
    arrives = int(waiting.arrives[time]) if time < MONTHS else MONTHS
    each = [waiting.plain[m] if m < arrives else waiting.tooled[m] for m in range(MONTHS)]
    tool = waiting.tool[arrives] if arrives < MONTHS else 0.0
    return float(sum(n * e for n, e in zip(path, each, strict=True)) + tool)


def by_every_policy(waiting: Waiting, share: float) -> float:
    """The least mean cost of all 8,192 ways to answer to each history of sales, enumerated."""
    policies = np.array(list(itertools.product((False, True), repeat=len(NODES))))
    weights = (share, 1 - share)
    total = np.zeros(len(policies))
    for path in PATHS:
        chance = sum(
            weight * np.prod(stats.binom(2, level / 2).pmf(path))
            for weight, level in zip(weights, waiting.levels, strict=True)
        )
        orders = policies[:, [NODES.index(path[:month]) for month in range(MONTHS)]]
        times = np.where(orders.any(axis=1), orders.argmax(axis=1), MONTHS)
        costs = np.array([_cost(waiting, path, time) for time in range(MONTHS + 1)])
        total += chance * costs[times]
    return float(total.min())


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.floats(1, 20), min_size=3, max_size=3),
    st.floats(0, 1),
    st.floats(0, 20),
    st.tuples(st.floats(0.05, 1.95), st.floats(0.05, 1.95)),
    st.floats(0.1, 0.9),
    st.sampled_from([[0, 1, 2], [1, 2, 3], [2, 3, 3], [1, 1, 2]]),
)
def test_no_policy_of_all_costs_less(
    plain: list[float],
    kept: float,
    tool: float,
    levels: tuple[float, float],
    share: float,
    arrives: list[int],
) -> None:
    tooled = [each * kept for each in plain]
    waiting = a_waiting(plain, tooled, [tool, 0.9 * tool, 0.8 * tool], arrives, levels, share)
    assert best_policy(waiting).value == pytest.approx(by_every_policy(waiting, share))


def test_sales_decide_where_they_tell_something() -> None:
    """A tool for 12 saves 9 on a piece: with sales it is worth it, without any it is not."""
    waiting = a_waiting([10] * 3, [1] * 3, [12] * 3, [0, 1, 2], (0.02, 1.9), 0.7)
    policy = best_policy(waiting)
    assert policy.least[1] == 1
    assert not policy.orders[0][0]
    blind = min(
        sum(
            weight * np.prod(stats.binom(2, level / 2).pmf(path)) * _cost(waiting, path, time)
            for path in PATHS
            for weight, level in ((0.7, 0.02), (0.3, 1.9))
        )
        for time in range(MONTHS + 1)
    )
    assert policy.value < blind - 0.5


def test_a_wider_step_comes_near() -> None:
    def of(step: int) -> float:
        levels = np.array([0.5, 1.5])

        def posterior(month: int, sold: Floats) -> Floats:
            weights = stats.poisson(np.outer(np.ones(len(sold)), 40 * month * levels + 1e-9))
            found = weights.pmf(sold[:, None]) + 1e-300
            return found / found.sum(axis=1, keepdims=True)

        chances = stats.poisson(40 * levels[:, None]).pmf(np.arange(120))
        waiting = Waiting(
            plain=np.full(6, 10.0),
            tooled=np.full(6, 4.0),
            tool=np.array([*[900.0] * 6, 0.0]),
            arrives=np.array([1, 2, 3, 4, 5, 6]),
            wanted=np.full(6, 40.0),
            levels=levels,
            posterior=posterior,
            chances=lambda _: chances,
            most_sold=500,
            step=step,
        )
        return best_policy(waiting).value

    assert of(5) == pytest.approx(of(1), rel=2e-4)


def _draws(*futures: tuple[int, ...]) -> Draws:
    wanted = np.array(futures).T
    sold = np.concatenate([np.zeros((1, len(futures)), dtype=int), np.cumsum(wanted, axis=0)])
    none = np.empty(0, dtype=np.intp)
    return Draws(
        level=np.ones(len(futures)),
        sold=sold.astype(np.int32),
        struck=(none,) * len(wanted),
        scatters=True,
    )


def test_the_count_is_the_best_of_all_counts_and_days() -> None:
    """Every count with every last month, and every day, by plain enumeration."""
    waiting = a_waiting([10] * 3, [1] * 3, [12] * 3, [0, 1, 2], (0.02, 1.9), 0.7)
    futures = _draws(*PATHS)
    days = tuple(datetime.date(2027, month, 1) for month in (1, 2, 3))
    found = best_rule(tried(waiting, futures, days))

    def time_of(path: tuple[int, ...], count: int, first: int, last: int) -> int:
        times = range(first, last + 1)
        return next((t for t in times if sum(path[:t]) >= count), MONTHS)

    rules = [(count, 0, last) for count in range(1, 7) for last in range(MONTHS)]
    rules += [(0, time, time) for time in range(MONTHS)]
    means = [
        sum(_cost(waiting, path, time_of(path, *rule)) for path in PATHS) / len(PATHS)
        for rule in rules
    ]
    assert found is not None
    assert found.mean == pytest.approx(min(means))


def test_what_waiting_costs_and_saves_adds_up() -> None:
    waiting = a_waiting([10] * 3, [1] * 3, [12] * 3, [0, 1, 2], (0.02, 1.9), 0.7)
    days = tuple(datetime.date(2027, month, 1) for month in (1, 2, 3))
    few = tried(waiting, _draws((0, 0, 0), (0, 0, 0), (0, 1, 0), (2, 2, 2)), days)
    found, _ = weighed(few, {"plain": "oak", "tooled": "ash", "tool": "die"}, None)
    assert found.rule is not None
    assert found.rule.count == 1
    assert found.now == (12 + 12 + 13 + 18) / 4
    assert found.rule.mean == (0 + 0 + 10 + 12 + 20 + 4) / 4
    assert found.now - found.rule.mean == found.kept - found.dearer == found.waiting_saves
    assert (found.rule.ordered, found.kept) == (0.25, 9)
