"""The routes side by side: those that the lead names first, then every other one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.printed import day, printed, round_difference, round_money
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt, Route
from quotegen.costing.offer import Offer, Standing
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.reasons import rivals, route_words, suppliers_of, verb_of
from quotegen.report.views.names import capital, currency_of, is_taken
from quotegen.report.views.shape import (
    NONE,
    Cell,
    Column,
    Row,
    Table,
    figures,
    row,
    short,
    words,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Routes:
    """Every route in a table; the first `named` rows are those that the lead speaks of."""

    table: Table | None
    named: int


def routes_of(comparison: Comparison, advice: Advice) -> Routes:
    named = list(dict.fromkeys(_names_in_lead(comparison, advice)))
    costs = {cost.route.name: cost for cost in _costs(comparison, advice)}
    unpriced = {
        offer.name: offer
        for offer in comparison.offers
        if offer.name not in costs and offer.standing is not Standing.REPLACED
    }
    order = list(
        dict.fromkeys([*(x for x in named if x in {*costs, *unpriced}), *costs, *unpriced])
    )
    rows = tuple(
        _cost_row(comparison, advice, costs[name])
        if name in costs
        else _offer_row(comparison, unpriced[name])
        for name in order
    )
    named_rows = sum(1 for each in order if each in named)
    table = _table(comparison, advice, rows) if rows else None
    return Routes(table=table, named=named_rows)


def _names_in_lead(comparison: Comparison, advice: Advice) -> Iterator[str]:
    """As reasons.lead tells them: route and rivals, the tie, or what is missing."""
    if advice.outcome is Outcome.CHOSEN and advice.cost is not None:
        yield advice.cost.route.name
        yield from (each.route.name for each in rivals(advice, advice.cost))
    elif advice.outcome is Outcome.TIE:
        yield from (each.route.name for each in advice.ties)
    elif advice.outcome is Outcome.UNKNOWN:
        yield from (each.route.name for each in advice.ranking[:1])
        yield from [each.offer.name for each in advice.unsettled if each.blocks][:2]
    else:
        yield from (offer.name for offer in comparison.offers[:2])


def _costs(comparison: Comparison, advice: Advice) -> Iterator[CostAt]:
    """The ranking, then what comes too late, then what cannot be signed, each by cost."""
    yield from advice.ranking
    known = {cost.route.name for cost in advice.ranking}
    others = [
        cost
        for name, route in comparison.singles.items()
        if (cost := comparison.costs.get(name)) is not None
        and name not in known
        and route.main.standing is not Standing.REPLACED
    ]
    yield from sorted(others, key=lambda each: (not _holds(each.route), advice.present(each)))


def _holds(route: Route) -> bool:
    return all(offer.holds for offer in route.offers)


def _table(comparison: Comparison, advice: Advice, rows: tuple[Row, ...]) -> Table:
    needs, currency = comparison.needs, currency_of(comparison)
    money = ", in today's money" if advice.plans else ""
    return Table(
        caption=f"The routes{money}: the best of each kind, then what comes too late, has no plan "
        "or cannot be signed",
        columns=(
            *words(f"Route, amounts in {currency}"),
            Column(head="Committed first", is_figure=True, term="committed"),
            *figures(f"{needs.likely:,} good parts", "Each, all\N{NO-BREAK SPACE}in"),
            *figures("Against the best"),
            *short("First parts"),
        ),
        rows=rows,
    )


def _cost_row(comparison: Comparison, advice: Advice, cost: CostAt) -> Row:
    route, currency = cost.route, currency_of(comparison)
    first = route.first_parts
    return row(
        Cell(text=capital(route_words(route)), small=suppliers_of(route)),
        round_money(cost.committed, currency).removesuffix(f" {currency}"),
        *_present(advice, cost, currency),
        _against(comparison, advice, cost),
        day(first) if first is not None else "not known",
        marked=is_taken(route, advice),
    )


def _present(advice: Advice, cost: CostAt, currency: str) -> tuple[str, str]:
    """The cost of all and of each, as ranked; nothing beside it where only others are planned."""
    if advice.plans and cost.route.name not in advice.plans:
        return NONE, NONE
    present = advice.present(cost)
    whole = round_money(present, currency).removesuffix(f" {currency}")
    return whole, printed(present / cost.good if cost.good else Fraction(0), currency)


def _against(comparison: Comparison, advice: Advice, cost: CostAt) -> str:
    """What it costs more than the cheapest, as printed; a word where it is no choice at all."""
    if not _holds(cost.route):
        return "cannot be signed"
    if any(cost.route.name == each.name for each in comparison.late):
        return "comes too late"
    if cost.route.name not in advice.plans and all(each is not cost for each in advice.ranking):
        return "no plan"
    best = advice.ranking[0]
    if best is cost:
        return NONE
    more = round_difference(advice.present(cost), advice.present(best))
    sign = "+" if more >= 0 else "\N{MINUS SIGN}"
    return f"{sign}{abs(more):,}"


def _offer_row(comparison: Comparison, offer: Offer) -> Row:
    """An offer without a total: its price is missing, or it cannot make so many."""
    why = "too few can be made" if offer.name in comparison.singles else "no price yet"
    first = offer.arrival.first_parts
    return row(
        Cell(text=capital(verb_of(offer)), small=offer.supplier_name),
        *[NONE] * 3,
        why,
        day(first) if first is not None else "not known",
    )
