"""How sure the answer is: over all futures, else at low and at high demand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotegen.basics.printed import round_difference, round_money
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt, Route
from quotegen.costing.schedule import Numbers
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.reasons import doing, suppliers_of
from quotegen.report.views.futures import in_short, short_table
from quotegen.report.views.names import currency_of
from quotegen.report.views.orders import agreed_now
from quotegen.report.views.shape import Row, Table, figures, row, words

MOST_TIED = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Sureness:
    """A sentence, and the totals at three demands where there is a route to speak of."""

    sentence: str
    table: Table | None


def sureness_of(comparison: Comparison, advice: Advice) -> Sureness:
    """Over all futures where there is doubt about the demand (R21); else at the stated one."""
    if advice.outlook is not None and advice.route is not None:
        told = in_short(comparison, advice, advice.outlook)
        return Sureness(sentence=told, table=short_table(comparison, advice, advice.outlook))
    if advice.outcome is Outcome.TIE:
        sentence, table = _sentence_of_tie(comparison, advice), _tied(comparison, advice)
        return Sureness(sentence=sentence, table=table)
    if advice.route is None or advice.cost is None:
        return Sureness(sentence=_not_at_all(comparison, advice), table=None)
    return Sureness(
        sentence=_sentence(comparison, advice, advice.cost),
        table=_table(comparison, advice, advice.cost),
    )


def _not_at_all(comparison: Comparison, advice: Advice) -> str:
    if not comparison.needs.likely:
        return "Nothing has to be bought at the likely demand."
    if not comparison.offers:
        return "Nothing is known yet: no quote has come in."
    if any(each.blocks for each in advice.unsettled):
        return (
            "Not sure enough to order: the answers that are missing can turn what is known so "
            "far. We cannot say how likely that is."
        )
    return "There is nothing to be sure of: no offer can be signed today and is here in time."


def spent(route: Route, good: int, agreed: Fraction) -> Fraction:
    """What so many good parts cost by a route once its first orders are placed."""
    return max(route.curve.cost(good), agreed)


def _demands(comparison: Comparison, routes: Sequence[Route]) -> list[tuple[str, int]]:
    needs = comparison.needs
    named = (("low", needs.low), ("likely", needs.likely), ("high", needs.high))
    return [
        (name, good)
        for name, good in named
        if good and all(route.available(good) for route in routes)
    ]


def _best_other(comparison: Comparison, route: Route, good: int) -> Fraction | None:
    """The least that any route of another family costs."""
    others = [
        each.curve.cost(good)
        for each in comparison.routes
        if each.main.name != route.main.name and each.available(good)
    ]
    return min(others, default=None)


def _table(comparison: Comparison, advice: Advice, cost: CostAt) -> Table | None:
    found, agreed = _demands(comparison, [cost.route]), agreed_now(advice, cost)
    if not found:
        return None
    currency = currency_of(comparison)
    return Table(
        caption=f"Totals in {currency} at each demand in whole lots, without time",
        columns=(*words("Demand"), *figures("Good parts", "This route", "Best other")),
        rows=tuple(
            _row(
                name,
                good,
                spent(cost.route, good, agreed),
                _best_other(comparison, cost.route, good),
                currency,
            )
            for name, good in found
        ),
    )


def _row(name: str, good: int, own: Fraction, other: Fraction | None, currency: str) -> Row:
    if other is None:
        return row(name, f"{good:,}", _bare(own, currency), "none")
    difference = round_difference(other, own)
    sign = "+" if difference >= 0 else "\N{MINUS SIGN}"
    against = f"{_bare(other, currency)} ({sign}{abs(difference):,})"
    return row(name, f"{good:,}", _bare(own, currency), against)


def _bare(amount: Fraction, currency: str) -> str:
    return round_money(amount, currency).removesuffix(f" {currency}")


def _sentence(comparison: Comparison, advice: Advice, cost: CostAt) -> str:
    """The most that the route can cost above another family's, anywhere in the expected demand."""
    needs, currency = comparison.needs, currency_of(comparison)
    if len({each.main.name for each in comparison.routes}) < 2:
        return "There is no other route to compare with, so the figures do not test this one."
    agreed = agreed_now(advice, cost)
    good, more, other = worst_of(comparison, cost.route, agreed)
    if more <= 0:
        return (
            f"In whole lots, without time, from {needs.low:,} to {needs.high:,} good parts this "
            "route is always the cheapest. "
            "We cannot say how likely each demand is."
        )
    own = spent(cost.route, good, agreed)
    against = f" than {doing(other)}" if other is not None else ""
    why = ", since what is agreed now is paid all the same" if own == agreed else ""
    return (
        f"In whole lots, without time: at worst, with {good:,} good parts, it costs "
        f"{round_difference(own, own - more):,} {currency} more{against}{why}. We cannot say "
        "how likely that is."
    )


def worst_of(
    comparison: Comparison, route: Route, agreed: Fraction
) -> tuple[int, Fraction, Route | None]:
    """From low to high demand, where the route costs most above one of another family, how much
    and which.

    agreed is what is spent whatever is needed. Quantities that either route cannot deliver are
    left aside; (0, 0, None) where it is never dearer.
    """
    low, high = max(1, comparison.needs.low), comparison.needs.high
    own = _placed(route, agreed, low, high)
    worst: tuple[int, int, Route | None] = (0, 0, None)
    for other in comparison.routes:
        if other.main.name == route.main.name:
            continue
        both = (route.curve.available & other.curve.available)[low : high + 1]
        above = (own - other.curve.costs[low : high + 1]) * both
        index = int(above.argmax())
        if int(above[index]) > worst[0]:
            worst = int(above[index]), low + index, other
    return worst[1], Fraction(worst[0], route.curve.unit), worst[2]


def _placed(route: Route, agreed: Fraction, first: int, last: int) -> Numbers:
    """What a route costs from first to last good parts once its first orders are placed."""
    found: Numbers = np.maximum(
        route.curve.costs[first : last + 1], math.ceil(agreed * route.curve.unit)
    )
    return found


def _tied(comparison: Comparison, advice: Advice) -> Table | None:
    """The totals of the tied routes side by side, once the first orders are placed."""
    shown = advice.ties[:MOST_TIED]
    found, currency = _demands(comparison, [each.route for each in shown]), currency_of(comparison)
    if not found:
        return None
    agreed = {each.route.name: agreed_now(advice, each) for each in shown}
    return Table(
        caption=f"Totals in {currency} at each demand in whole lots, without time",
        columns=(
            *words("Demand"),
            *figures("Good parts", *(suppliers_of(each.route) for each in shown)),
        ),
        rows=tuple(
            row(
                name,
                f"{good:,}",
                *(
                    _bare(spent(each.route, good, agreed[each.route.name]), currency)
                    for each in shown
                ),
            )
            for name, good in found
        ),
    )


def _sentence_of_tie(comparison: Comparison, advice: Advice) -> str:
    """How far apart the tied routes can end anywhere in the expected demand."""
    needs, currency = comparison.needs, currency_of(comparison)
    ties, low = advice.ties, max(1, needs.low)
    placed = [_placed(each.route, agreed_now(advice, each), low, needs.high) for each in ties]
    apart = np.maximum.reduce(placed) - np.minimum.reduce(placed)
    for each in ties:
        apart = apart * each.route.curve.available[low : needs.high + 1]
    widest = round_money(Fraction(int(apart.max()), ties[0].route.curve.unit), currency)
    return (
        f"In whole lots, without time, from {low:,} to {needs.high:,} good parts they end at most "
        f"{widest} apart. We cannot "
        "say how likely each demand is."
    )
