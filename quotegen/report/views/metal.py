"""Metal by route, beside its cost: in the part, bought for it, and melted again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.printed import listed, round_money
from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import Advice
from quotegen.judge.metal import QUOTED, Metal, RouteMetal, metal_of_route
from quotegen.judge.reasons import MADE, doing, verb_of
from quotegen.report.views.names import capital, currency_of, recommended
from quotegen.report.views.shape import NONE, Cell, Row, Table, figures, row, words


@dataclass(frozen=True, slots=True, kw_only=True)
class MetalView:
    """A sentence, the table by route, and what the figures rest on."""

    told: str
    table: Table
    sources: str


def metal_view(comparison: Comparison, advice: Advice) -> MetalView | None:
    """The routes in their ranking; None where there is none."""
    routes = [metal_of_route(cost) for cost in advice.ranking if cost.bought]
    if not routes:
        return None
    currency = currency_of(comparison)
    best = recommended(advice)
    return MetalView(
        told=_told(routes),
        table=Table(
            caption=f"Metal for one good part, rejects counted; cost in {currency}",
            columns=(
                *words("Route"),
                *figures("In the part", "Bought for it", "Goes back", "All bought", "Paid in all"),
                *words("From"),
            ),
            rows=tuple(
                _row(each, advice, currency, is_best=best is not None and each.cost.route is best)
                for each in routes
            ),
        ),
        sources=_sources(routes),
    )


def _told(routes: Sequence[RouteMetal]) -> str:
    known = [each for each in routes if each.bought is not None]
    if not known:
        return "No quote says how much metal is bought for a part, so it is worth asking."
    least = min(known, key=lambda each: (each.bought or 0) / each.good)
    most = max(known, key=lambda each: (each.bought or 0) / each.good)
    name = capital(doing(least.cost.route))
    if most is least:
        others = " Of the other routes it is not known." if len(routes) > 1 else ""
        return f"{name} buys {_each(least)} of metal for a good part.{others}"
    of_those = ", of the routes where it is known" if len(known) < len(routes) else ""
    return (
        f"{name} buys least metal{of_those}: {_each(least)} a good part; "
        f"{doing(most.cost.route)} buys most, {_each(most)}."
    )


def _each(metal: RouteMetal) -> str:
    return _mass((metal.bought or Fraction(0)) / metal.good)


def _row(metal: RouteMetal, advice: Advice, currency: str, *, is_best: bool) -> Row:
    bought, back = metal.bought, metal.goes_back
    return row(
        capital(doing(metal.cost.route)),
        _mass(metal.in_parts / metal.good),
        _bought(metal),
        _mass(back / metal.good) if back is not None else NONE,
        _mass(bought) if bought is not None else NONE,
        round_money(advice.paid(metal.cost), currency).removesuffix(f" {currency}"),
        listed(tuple(dict.fromkeys(each.how for each in metal.legs))),
        marked=is_best,
    )


def _bought(metal: RouteMetal) -> Cell:
    """For one good part; where a leg is not known, of the main one alone."""
    if metal.bought is not None:
        return Cell(text=_mass(metal.bought / metal.good), small=_range(metal.legs))
    main = metal.legs[-1].bought
    if main is None:
        return Cell(text=NONE)
    made = MADE[verb_of(metal.cost.route.main)][1]
    return Cell(text=_mass(main), small=f"{made} alone")


def _range(legs: Sequence[Metal]) -> str:
    if len(legs) != 1 or legs[0].least is None or legs[0].most is None:
        return ""
    least, most = legs[0].least, legs[0].most
    return f"{_mass(least)} to {_mass(most)}" if least != most else ""


def _mass(grams: Fraction) -> str:
    if grams >= 10_000:
        return f"{float(grams / 1000):,.0f} kg"
    return f"{float(grams / 1000):,.2f} kg" if grams >= 1000 else f"{float(grams):,.0f} g"


def _sources(routes: Sequence[RouteMetal]) -> str:
    return "".join(f"{text} " for text in _each_source(routes)).strip()


def _each_source(routes: Sequence[RouteMetal]) -> Iterator[str]:
    legs = dict.fromkeys(leg for each in routes for leg in each.legs)
    found = dict.fromkeys((leg.how, leg.source) for leg in legs if leg.source is not None)
    for how, source in found:
        if source is not QUOTED:
            yield f"{capital(how)}: {source.text} ({source.confidence.value} confidence)."
