"""What many futures say about each route: its cost, and the regret of having taken it (R21).

Regret is what a route costs above the best of those listed in the same future.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotegen.judge.futures.draws import GROUPS
from quotegen.judge.futures.follow import Followed
from quotegen.judge.futures.law import Floats
from quotegen.judge.futures.trigger import Trigger

SURE = 6  # times its likely error that a figure is rounded to, at least
# The share of the largest figure of its kind that a figure is rounded to, at least.
FINE = {"mean": 0.005, "tails": 0.01, "regret": 0.01, "worst": 0.05}


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteOutlook:
    """One route over all futures; money is present cost.

    low and high are the costs below which one future in ten lies and nine do. cheapest is the
    share of futures in which no listed route costs less; routes that cost the same share it.
    worst is the regret that only one future in a hundred passes. late counts the pieces of a
    future that are not there in their month, runs_short the share of futures with any.
    """

    name: str
    mean: Fraction
    low: Fraction
    high: Fraction
    cheapest: Fraction
    regret: Fraction
    worst: Fraction
    late: Fraction
    runs_short: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """What each kind of figure is rounded to, so that other draws would hardly change it.

    The difference of two means is that of two regrets, and as sure.
    """

    mean: int
    tails: int
    regret: int
    worst: int


@dataclass(frozen=True, kw_only=True)
class Outlook:
    """All routes of a part that can be paid for, by name, over the same futures.

    level_mean is the mean of the yearly demand as a multiple of the likely one. trigger is None
    where no tool can be waited for.
    """

    routes: Mapping[str, RouteOutlook]
    futures: int
    months: int
    level_mean: float
    steps: Steps
    trigger: Trigger | None = None

    @property
    def least_expected(self) -> RouteOutlook:
        """The route whose mean cost is least, the first of equals."""
        return min(self.routes.values(), key=lambda each: each.mean)

    @property
    def least_regret(self) -> RouteOutlook:
        """The route with the least worst regret, of equals the one that costs least."""
        return min(self.routes.values(), key=lambda each: (each.worst, each.mean))


def routes_over(followed: Mapping[str, Followed]) -> tuple[RouteOutlook, ...]:
    """The figures of each route; the futures stand in the same order for all of them."""
    costs = np.array([each.cost for each in followed.values()])
    best = costs.min(axis=0)
    ties = costs == best
    cheapest = (ties / ties.sum(axis=0)).mean(axis=1)
    found = []
    for number, (name, each) in enumerate(followed.items()):
        regret = costs[number] - best
        low, high = np.quantile(costs[number], (0.1, 0.9))
        found.append(
            RouteOutlook(
                name=name,
                mean=_cents(costs[number].mean()),
                low=_cents(low),
                high=_cents(high),
                cheapest=Fraction(round(float(cheapest[number]) * 10**4), 10**4),
                regret=_cents(regret.mean()),
                worst=_cents(np.quantile(regret, 0.99)),
                late=_cents(each.late.mean()),
                runs_short=Fraction(round(float((each.late > 0).mean()) * 10**4), 10**4),
            )
        )
    return tuple(found)


def _cents(amount: float) -> Fraction:
    return Fraction(round(float(amount) * 100), 100)


def steps_of(followed: Sequence[Followed]) -> Steps:
    """From how large each figure is, and how much it differs between groups of futures."""
    costs = np.array([each.cost for each in followed])
    regret = costs - costs.min(axis=0)
    return Steps(
        mean=_step("mean", costs, lambda rows: rows.mean(axis=1)),
        tails=_step("tails", costs, lambda rows: np.quantile(rows, 0.9, axis=1)),
        regret=_step("regret", regret, lambda rows: rows.mean(axis=1)),
        worst=_step("worst", regret, lambda rows: np.quantile(rows, 0.99, axis=1)),
    )


def _step(name: str, rows: Floats, figure: Callable[[Floats], Floats]) -> int:
    """For the route for which the figure is largest, and that for which it is least sure."""
    groups = np.array([figure(each) for each in np.split(rows, GROUPS, axis=1)])
    error = float((groups.std(axis=0, ddof=1) / GROUPS**0.5).max())
    return step_from(max(FINE[name] * float(groups.mean(axis=0).max()), SURE * error))


def step_from(least: float) -> int:
    """The first of 1, 2, 5, 10, 20, 50 and so on that is not less."""
    step = 1
    while step < least:
        step = step * 5 // 2 if str(step)[0] == "2" else step * 2
    return step
