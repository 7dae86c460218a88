"""Which two routes a staged way joins, and what its pieces and its tool cost by month (R22)."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotegen.judge.futures.buying import Buying, Stall
from quotegen.judge.futures.draws import Draws
from quotegen.judge.futures.knowledge import Knowledge
from quotegen.judge.futures.law import Floats
from quotegen.judge.futures.trigger import BreakEvenRule, Trigger, cents, tried, weighed
from quotegen.judge.futures.waiting import Waiting, Wholes
from quotegen.plan.once import keys_of, once_costs
from quotegen.plan.plan import Plan
from quotegen.plan.problem import UNITS
from quotegen.plan.sources import Setting, Supply

MOST_STATES = 400  # numbers sold that the best policy is reckoned on


@dataclass(frozen=True, kw_only=True)
class _Side:
    """The main offer of one of the two routes, and the lot that its plan buys."""

    name: str
    stall: Stall
    lot: int

    @property
    def supply(self) -> Supply:
        return self.stall.supply

    def bought(self, month: int) -> Buying | None:
        return self.stall.in_month(month, 0)

    def each(self, demand: tuple[int, ...]) -> Floats:
        """What a piece used in each month costs in a lot, its waiting with it.

        Months in which nothing can arrive take the price of the next that can.
        """
        found = np.full(len(demand), np.nan)
        a_month = max(sum(demand) / len(demand), 1e-9)
        for month in range(len(demand)):
            buying = self.bought(month)
            if buying is not None:
                lot = min(self.lot, buying.most)
                waits = buying.good[lot] / 2 / a_month * buying.waits[lot]
                found[month] = buying.cost[lot] / buying.good[lot] + waits
        return _filled(found)


def _filled(found: Floats) -> Floats:
    for month in reversed(range(len(found) - 1)):
        if np.isnan(found[month]):
            found[month] = found[month + 1]
    return found


@dataclass(frozen=True, kw_only=True)
class Staged:
    """The staged way: trigger says when the tool is ordered, times in which futures.

    times has by future the time of the order, the number of months where there is none; arrives
    by time the month of the first pieces from tooled, the offer with the tool.
    """

    trigger: Trigger
    times: Wholes
    arrives: Wholes
    tooled: Stall


def staged_of(
    plans: Mapping[str, Plan],
    means: Mapping[str, float],
    stalls: Mapping[str, Stall],
    knowledge: Knowledge,
    draws: Draws,
) -> Staged | None:
    """Between the route without a tool and the one with one that cost least on average; None where
    there are not both. means has the routes' mean costs."""
    plain = _best(plans, means, stalls, with_tool=False)
    tooled = _best(plans, means, stalls, with_tool=True)
    if plain is None or tooled is None:
        return None
    setting = plain.supply.setting
    days = (setting.ordered, *setting.horizon.starts[1:-1])
    waiting = _waiting(plain, tooled, knowledge, draws, days)
    if waiting is None:
        return None
    tool = tooled.supply.tools_to_make[0].what
    names = {"plain": plain.name, "tooled": tooled.name, "tool": tool}
    rule = _break_even(plain, tooled, waiting, knowledge)
    trigger, times = weighed(tried(waiting, draws, days), names, rule)
    return Staged(trigger=trigger, times=times, arrives=waiting.arrives, tooled=tooled.stall)


def _best(
    plans: Mapping[str, Plan],
    means: Mapping[str, float],
    stalls: Mapping[str, Stall],
    *,
    with_tool: bool,
) -> _Side | None:
    """The route of least mean cost of the one kind; without a tool it needs none in any offer."""
    found = []
    for name, plan in plans.items():
        main = plan.main
        if main is None:
            continue
        made = {offer.name for offer in plan.offers if stalls[offer.name].supply.tools_to_make}
        own = stalls[main.name].supply
        if (main.name in made and bool(keys_of(own, (own,)))) if with_tool else not made:
            found.append((means[name], name, main.name))
    if not found:
        return None
    _, name, main_name = min(found)
    orders = [each.good for each in plans[name].orders if each.offer.name == main_name]
    lot = max(1, round(sum(orders) / len(orders)))
    return _Side(name=name, stall=stalls[main_name], lot=lot)


def _waiting(
    plain: _Side,
    tooled: _Side,
    knowledge: Knowledge,
    draws: Draws,
    days: tuple[datetime.date, ...],
) -> Waiting | None:
    """None where the tool is there too late whenever it is ordered."""
    demand, setting = knowledge.demand, tooled.supply.setting
    arrives = _arrivals(tooled.supply, days, setting)
    if int(arrives[0]) >= len(demand):
        return None
    levels, _ = knowledge.law.points
    most = int(draws.sold.max())
    return Waiting(
        plain=plain.each(demand),
        tooled=tooled.each(demand),
        tool=_tool(tooled.supply, len(demand)),
        arrives=arrives,
        wanted=np.array(demand, dtype=np.float64),
        levels=levels,
        posterior=lambda month, sold: knowledge.posterior(float(knowledge.likely[month]), sold),
        chances=lambda month: _poisson(levels * demand[month]),
        most_sold=most,
        step=max(1, most // MOST_STATES),
    )


def _arrivals(supply: Supply, days: tuple[datetime.date, ...], setting: Setting) -> Wholes:
    """The month of the first pieces for a tool ordered on each day; months where there is none."""
    last = {
        month: timing.tools.ordered
        for month, timing in sorted(supply.timings.items())
        if timing.tools is not None
    }
    none = setting.horizon.months
    return np.array([min((m for m, by in last.items() if by >= day), default=none) for day in days])


def _tool(supply: Supply, months: int) -> Floats:
    """What is paid once, with what a new drawing may make due again, by the first month."""
    costs = once_costs(supply, (supply,)).values()
    return np.array([*(sum(each[m] for each in costs) / UNITS for m in range(months)), 0.0])


def _poisson(means: Floats) -> Floats:
    """The chance of each count, a row for each mean, up to one that hardly ever is passed."""
    most = float(means.max())
    counts = np.arange(int(most + 6 * math.sqrt(most)) + 8)
    factorials = np.concatenate([[0.0], np.cumsum(np.log(np.maximum(counts[1:], 1)))])
    logs = np.outer(np.log(np.maximum(means, 1e-12)), counts) - means[:, None] - factorials
    found: Floats = np.exp(logs)
    found /= found.sum(axis=1, keepdims=True)
    return found


def _break_even(
    plain: _Side, tooled: _Side, waiting: Waiting, knowledge: Knowledge
) -> BreakEvenRule | None:
    """At the prices of the first month with the tool; None where it saves nothing on a piece."""
    arrives = int(waiting.arrives[0])
    saved = cents(waiting.plain[arrives] - waiting.tooled[arrives])
    buying = tooled.bought(arrives)
    if saved <= 0 or buying is None:
        return None
    least = int(buying.good[1])
    surplus = buying.cost[1] * (least - 1) / least if least else 0.0
    return BreakEvenRule(
        saved=saved,
        paid=cents(waiting.tool[arrives] + surplus),
        needed=_needed(waiting, knowledge),
        lot=plain.lot,
    )


def _needed(waiting: Waiting, knowledge: Knowledge) -> int:
    """The most pieces that the high demand takes from the order of the tool to its first ones."""
    spans = [
        float(knowledge.likely[int(arrives)] - knowledge.likely[month])
        for month, arrives in enumerate(waiting.arrives)
        if arrives < waiting.months
    ]
    return math.ceil(Fraction(max(spans)) * Fraction(knowledge.law.most))
