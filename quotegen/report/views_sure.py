"""How sure the answer is: what happens at low and at high demand. No chance is invented."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.printed import round_difference, round_money
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import Route
from quotegen.judge.advice import Advice
from quotegen.judge.reasons import doing
from quotegen.report.views_names import currency_of
from quotegen.report.views_quantity import span_at
from quotegen.report.views_shape import Cell, Row, Table, figures, row, words


@dataclass(frozen=True, slots=True, kw_only=True)
class Sureness:
    """A sentence, and the totals at three demands where there is a route to speak of."""

    sentence: str
    table: Table | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _At:
    """One demand: what the route costs there, and the best of the others."""

    name: str
    good: int
    own: Fraction
    other: Fraction | None


def sureness_of(comparison: Comparison, advice: Advice) -> Sureness:
    route = advice.route
    if route is None:
        return Sureness(sentence=_not_at_all(comparison, advice), table=None)
    needs = comparison.needs
    demands = {"low": needs.low, "likely": needs.likely, "high": needs.high}
    found = [
        _at(comparison, route, name, good)
        for name, good in demands.items()
        if good and route.available(good)
    ]
    return Sureness(sentence=_sentence(comparison, route), table=_table(found, comparison))


def _not_at_all(comparison: Comparison, advice: Advice) -> str:
    if not comparison.needs.likely:
        return "Nothing has to be bought at the likely demand."
    if not comparison.offers:
        return "Nothing is known yet: no quote has come in."
    if any(each.blocks for each in advice.unsettled):
        return (
            "Not sure enough to order: the answers that are missing can turn what is known so "
            "far, and no chance is put on that."
        )
    return "There is nothing to be sure of: no offer can be signed today and is here in time."


def _at(comparison: Comparison, route: Route, name: str, good: int) -> _At:
    others = [
        each
        for each in comparison.routes
        if each.main.name != route.main.name and each.available(good)
    ]
    best = min(others, key=lambda each: int(each.curve.costs[good]), default=None)
    return _At(
        name=name,
        good=good,
        own=route.curve.cost(good),
        other=best.curve.cost(good) if best is not None else None,
    )


def _table(found: list[_At], comparison: Comparison) -> Table | None:
    if not found:
        return None
    return Table(
        caption="Totals at low, likely and high demand",
        columns=(
            *words("Demand"),
            *figures("Good parts", f"This route, {currency_of(comparison)}", "Best other"),
        ),
        rows=tuple(_row(each, comparison) for each in found),
    )


def _row(each: _At, comparison: Comparison) -> Row:
    currency = currency_of(comparison)
    own = round_money(each.own, currency).removesuffix(f" {currency}")
    if each.other is None:
        return row(each.name, f"{each.good:,}", own, "none")
    difference = round_difference(each.other, each.own)
    other = round_money(each.other, currency).removesuffix(f" {currency}")
    sign = "+" if difference >= 0 else "\N{MINUS SIGN}"
    return row(
        each.name,
        f"{each.good:,}",
        own,
        Cell(text=f"{other} ({sign}{abs(difference):,})"),
    )


def _sentence(comparison: Comparison, route: Route) -> str:
    """The most that the route can cost above the cheapest, anywhere in the expected demand."""
    needs, currency = comparison.needs, currency_of(comparison)
    if len({each.main.name for each in comparison.routes}) < 2:
        return "There is no other route to compare with, so the figures do not test this one."
    good, more = worst_of(comparison, route)
    unknown = "nobody has measured."
    if more <= 0:
        return (
            f"From {needs.low:,} to {needs.high:,} good parts this route is always the cheapest. "
            f"How likely each demand is, {unknown}"
        )
    best = span_at(comparison, good)
    against = f" than {doing(best.route)}" if best is not None else ""
    own = route.curve.cost(good)
    return (
        f"At worst, with {good:,} good parts, it costs {round_difference(own, own - more):,} "
        f"{currency} more{against}. How likely that is, {unknown}"
    )


def worst_of(comparison: Comparison, route: Route) -> tuple[int, Fraction]:
    """From low to high demand, where the route costs most above the cheapest, and how much.

    Quantities that the route cannot deliver are left aside; (0, 0) where there are no others.
    """
    low, high = max(1, comparison.needs.low), comparison.needs.high
    worst = (0, 0)
    for span in comparison.envelope.spans:
        first, last = max(span.first, low), min(span.last, high)
        if first <= last:
            own, best = (each.curve.costs[first : last + 1] for each in (route, span.route))
            above = (own - best) * route.curve.available[first : last + 1]
            index = int(above.argmax())
            worst = max(worst, (int(above[index]), first + index))
    return worst[1], Fraction(worst[0], route.curve.unit)
