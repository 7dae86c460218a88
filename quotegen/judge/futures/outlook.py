"""What many futures say about each route: its cost, and the regret of having taken it (R21).

Regret is what a route costs above the best of those listed in the same future.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotegen.judge.futures.draws import GROUPS
from quotegen.judge.futures.follow import Followed
from quotegen.judge.futures.law import Floats
from quotegen.judge.futures.trigger import Trigger

SURE = 12  # times its likely error that a figure is rounded to, at least
# The share of itself that a figure is rounded to, at least, and for a regret that of the mean cost.
FINE = {"mean": 0.015, "tails": 0.05, "regret": 0.1, "worst": 0.3}
FINE_OF_MEAN = {"regret": 0.004, "worst": 0.035}


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """What the figures of a route are rounded to, so that other draws would hardly change them.

    The difference of two means is that of two regrets, and as sure.
    """

    mean: int
    tails: int
    regret: int
    worst: int


def coarsest(every: Iterable[Steps]) -> Steps:
    """The largest step of each kind, 1 where there is none."""
    some = [Steps(mean=1, tails=1, regret=1, worst=1), *every]
    return Steps(
        mean=max(each.mean for each in some),
        tails=max(each.tails for each in some),
        regret=max(each.regret for each in some),
        worst=max(each.worst for each in some),
    )


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
    steps: Steps


@dataclass(frozen=True, kw_only=True)
class Outlook:
    """All routes of a part that can be paid for, by name, over the same futures.

    level_mean is the mean of the yearly demand as a multiple of the likely one. trigger is None
    where no tool can be waited for; staged is the way that it leads to, listed with the routes but
    none of them, None where its rule is not to wait.
    """

    routes: Mapping[str, RouteOutlook]
    futures: int
    months: int
    level_mean: float
    trigger: Trigger | None = None
    staged: RouteOutlook | None = None

    @property
    def listed(self) -> tuple[RouteOutlook, ...]:
        """The routes, and the staged way where there is one."""
        return (*self.routes.values(), *([self.staged] if self.staged is not None else []))

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
                steps=_steps(costs[number], regret),
            )
        )
    return tuple(found)


def _cents(amount: float) -> Fraction:
    return Fraction(round(float(amount) * 100), 100)


def _steps(costs: Floats, regret: Floats) -> Steps:
    """From how large each figure is, and how much it differs between groups of futures."""
    mean = float(costs.mean())
    worst, least = FINE["worst"], mean * FINE_OF_MEAN["worst"]
    return Steps(
        mean=_step(costs, lambda rows: rows.mean(axis=1), FINE["mean"]),
        tails=_step(costs, lambda rows: np.quantile(rows, 0.9, axis=1), FINE["tails"]),
        regret=_step(
            regret, lambda rows: rows.mean(axis=1), FINE["regret"], mean * FINE_OF_MEAN["regret"]
        ),
        worst=_step(regret, lambda rows: np.quantile(rows, 0.99, axis=1), worst, least),
    )


def _step(row: Floats, figure: Callable[[Floats], Floats], fine: float, least: float = 0.0) -> int:
    """Of futures that do not go into groups only the size of the figure tells."""
    many = GROUPS if len(row) % GROUPS == 0 else 1
    groups = figure(row.reshape(many, -1))
    error = float(groups.std(ddof=1) / many**0.5) if many > 1 else 0.0
    return step_from(max(fine * float(groups.mean()), least, SURE * error))


def step_from(least: float) -> int:
    """The first of 1, 2, 5, 10, 20, 50 and so on that is not less."""
    step = 1
    while step < least:
        step = step * 5 // 2 if str(step)[0] == "2" else step * 2
    return step
