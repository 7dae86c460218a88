"""The three figures a partner should remember, the same on the brief and on the part's page."""

from __future__ import annotations

from fractions import Fraction

from quotegen.basics.days import in_words
from quotegen.basics.printed import (
    adding_up,
    counted,
    day,
    listed,
    per_cent,
    printed,
    round_difference,
    round_money,
)
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt
from quotegen.costing.bill import Kind, Scope
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.reasons import DOING, doing, verb_of
from quotegen.report.views_names import currency_of
from quotegen.report.views_shape import Figure


def figures_of(comparison: Comparison, advice: Advice) -> tuple[Figure, ...]:
    if not comparison.needs.likely:
        return _nothing_to_buy(comparison)
    if advice.outcome is Outcome.UNKNOWN:
        return _unknown(comparison, advice)
    if advice.cost is None or advice.route is None:
        return _no_route(comparison)
    if advice.outcome is Outcome.TIE:
        return _tie(comparison, advice)
    cost = advice.cost
    return _first(comparison, cost), _each(comparison, advice, cost), _total(comparison, cost)


def _first(comparison: Comparison, cost: CostAt) -> Figure:
    currency = currency_of(comparison)
    if not cost.committed:
        note = "no tool to pay for: every order is paid as it comes"
        return Figure(label="To pay first", value=round_money(Fraction(0), currency), note=note)
    paid = _paid_first(cost)
    amounts = adding_up([amount for _, amount in paid], currency)
    note = "; ".join(f"{what}: {text}" for (what, _), text in zip(paid, amounts, strict=True))
    arrival = cost.route.main.arrival.first_parts
    before = f", before {in_words(arrival)}" if arrival is not None else ""
    return Figure(
        label=f"To pay first{before}", value=round_money(cost.committed, currency), note=note
    )


def _paid_first(cost: CostAt) -> list[tuple[str, Fraction]]:
    """What is committed before the main route delivers, in the order in which it is spent."""
    first = cost.route.offers[0]
    bridged = len(cost.legs) > 1
    bridge = [x.total for x in cost.lines if bridged and x.offer == first.name]
    once = [
        x
        for x in cost.lines
        if x.line.scope is Scope.ONCE and not (bridged and x.offer == first.name)
    ]
    tool = [x.total for x in once if x.line.kind in (Kind.TOOL, Kind.CUSTOMS)]
    other = [x.total for x in once if x.line.kind not in (Kind.TOOL, Kind.CUSTOMS)]
    name = f"{DOING[verb_of(first)]} {cost.route.bridge:,}"
    sums = [(name, bridge), (_tool_name(cost), tool), ("other charges paid once", other)]
    return [(what, sum(amounts, Fraction(0))) for what, amounts in sums if any(amounts)]


def _tool_name(cost: CostAt) -> str:
    tools = [tool.what for offer in cost.route.offers for tool in offer.case.item.tools]
    if not tools:
        return "balance of the tool inside the price, if orders stop"
    return f"{listed(list(dict.fromkeys(tools)))} with samples"


def _each(comparison: Comparison, advice: Advice, cost: CostAt) -> Figure:
    currency = currency_of(comparison)
    notes = []
    if advice.runner_up is not None:
        other = printed(advice.runner_up.each, currency)
        notes.append(f"{other} by {doing(advice.runner_up.route)}")
    if cost.route.has_tool:
        later = printed(cost.later_each, currency)
        notes.append(f"with the tool paid, a later one is {later}")
    return Figure(
        label=f"Each, all in, over {counted(cost.good, 'good part')}",
        value=f"{printed(cost.each, currency)} {currency}",
        note="; ".join(notes) or "the only route there is today",
    )


def _total(comparison: Comparison, cost: CostAt) -> Figure:
    needs, currency = comparison.needs, currency_of(comparison)
    ends = [
        f"{round_money(cost.route.curve.cost(good), currency)} if we need {good:,}"
        for good in dict.fromkeys((needs.low, needs.high))
        if good != needs.likely and cost.route.available(good)
    ]
    return Figure(
        label=f"{needs.months} months, {counted(needs.likely, 'good part')}",
        value=round_money(cost.total, currency),
        note="; ".join(ends) or "the demand has no range",
    )


def _tie(comparison: Comparison, advice: Advice) -> tuple[Figure, ...]:
    """How near they are, and the two things that may settle it (R16)."""
    currency, ties = currency_of(comparison), advice.ties
    totals = [each.total for each in ties]
    low, high = min(totals), max(totals)
    share = per_cent(Fraction(round((high - low) / low * 1000), 1000)) if low else "0 %"
    margin = per_cent(comparison.workshop.record.close_call)
    first_paid, *others_paid = [round_money(each.committed, currency) for each in ties]
    first_day, *other_days = [_day(each) for each in ties]
    return (
        Figure(
            label=f"Between them, over {comparison.needs.months} months",
            value=f"{round_difference(high, low):,} {currency}",
            note=f"{share}, where {margin} is too close to call",
        ),
        Figure(
            label=f"To pay first, {ties[0].route.main.supplier_name}",
            value=first_paid,
            note=f"{listed(others_paid)} for the {'other' if len(ties) == 2 else 'others'}",
        ),
        Figure(
            label=f"First parts, {ties[0].route.main.supplier_name}",
            value=first_day,
            note=f"{listed(other_days)} for the {'other' if len(ties) == 2 else 'others'}",
        ),
    )


def _day(cost: CostAt) -> str:
    first = cost.route.first_parts
    return day(first) if first is not None else "not known"


def _unknown(comparison: Comparison, advice: Advice) -> tuple[Figure, ...]:
    currency = currency_of(comparison)
    blocking = [each for each in advice.questions if each.blocks]
    asked = listed(list(dict.fromkeys(each.to for each in blocking)))
    blocked = next((each for each in advice.unsettled if each.blocks), None)
    saving = blocked.saving if blocked is not None else None
    cost = advice.cost
    return (
        Figure(label="Answers still missing", value=str(len(blocking)), note=f"from {asked}"),
        Figure(
            label="The least that can be signed today",
            value=round_money(cost.total, currency) if cost is not None else "none",
            note=doing(cost.route) if cost is not None else "no offer can be signed",
        ),
        Figure(
            label="Could be less by, as far as known",
            value=round_money(saving, currency) if saving is not None else "not known",
            note=f"{blocked.offer.supplier_name}, quote {blocked.offer.quote}" if blocked else "",
        ),
    )


def _no_route(comparison: Comparison) -> tuple[Figure, ...]:
    offers = comparison.offers
    holding = [offer for offer in offers if offer.holds]
    late = [route.main for route in comparison.late]
    needed = comparison.part.record.needed_by
    return (
        Figure(
            label="Offers for this part",
            value=str(len(offers)),
            note=listed([offer.supplier_name for offer in offers]) or "no quote has come in",
        ),
        Figure(
            label="Of these can be signed today",
            value=str(len(holding)),
            note=listed([offer.supplier_name for offer in holding]) or "none holds",
        ),
        Figure(
            label="Of these are here in time",
            value=str(len(holding) - len(late)),
            note=f"needed by {in_words(needed)}" if needed is not None else "no day is set",
        ),
    )


def _nothing_to_buy(comparison: Comparison) -> tuple[Figure, ...]:
    part, needs = comparison.part.record, comparison.needs
    return (
        Figure(label="On hand", value=f"{part.on_hand:,}", note="pieces on the shelf"),
        Figure(
            label=f"Likely demand in {needs.months} months",
            value=f"{part.demand.likely * needs.months // 12:,}",
            note=f"{part.demand.likely:,} a year",
        ),
        Figure(
            label="To buy",
            value="0",
            note=f"{needs.high:,} if demand is high" if needs.high else "even if demand is high",
        ),
    )
