"""The three figures a partner should remember, the same on the brief and on the part's page."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from quotegen.basics.days import in_words
from quotegen.basics.printed import (
    counted,
    listed,
    per_cent,
    printed,
    round_difference,
    round_money,
    shared_out,
)
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.names import in_a_sentence
from quotegen.judge.reasons import doing, saved_by, suppliers_of
from quotegen.report.views.names import currency_of
from quotegen.report.views.orders import (
    FirstYear,
    Order,
    agreed_now,
    first_year,
    orders_now,
    owed_at_end,
)
from quotegen.report.views.shape import Figure


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
    return (
        _now(comparison, advice, cost),
        _year(comparison, advice, cost),
        _total(comparison, advice, cost),
    )


def _now(comparison: Comparison, advice: Advice, cost: CostAt) -> Figure:
    """What is agreed by the first orders, and what it is made of."""
    currency, orders = currency_of(comparison), orders_now(advice, cost)
    parts = shared_out([order.amount for order in orders], 0)
    made_of = [f"{_brief(order)}: {int(part):,}" for order, part in zip(orders, parts, strict=True)]
    note = "; ".join(made_of) if len(orders) > 1 else f"the first order, {_brief(orders[0])}"
    balance = owed_at_end(advice, cost)
    if balance:
        note += f"; {round_money(balance, currency)} more are owed when orders stop"
    return Figure(
        label="To agree now", value=round_money(agreed_now(advice, cost), currency), note=note
    )


def _brief(order: Order) -> str:
    return in_a_sentence(order.what.partition(",")[0])


def _year(comparison: Comparison, advice: Advice, cost: CostAt) -> Figure:
    """The money of a year; where the plan is no longer than that, what one part costs."""
    currency, year = currency_of(comparison), first_year(advice, cost)
    if year is None:
        return _each(comparison, advice, cost)
    return Figure(
        label=f"First 12 months of use, {counted(year.good, 'good part')}",
        value=round_money(year.amount, currency),
        note=_against_now(year, currency),
    )


def _against_now(year: FirstYear, currency: str) -> str:
    """What a year takes beyond the first orders, or what of them is paid after it."""
    more = round_difference(year.amount, year.agreed)
    if not more:
        return "covered by what is agreed now"
    if more < 0:
        return f"{-more:,} {currency} of what is agreed now are paid later"
    return f"{more:,} {currency} beyond what is agreed now"


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


def _total(comparison: Comparison, advice: Advice, cost: CostAt) -> Figure:
    """All that is paid in the plan, and what that is worth today with all that it may lose."""
    needs, currency = comparison.needs, currency_of(comparison)
    paid = advice.paid(cost)
    told = [f"{printed(paid / cost.good, currency)} each"]
    if advice.plan is not None:
        present = round_money(advice.present(cost), currency)
        told.append(f"{present} in today's money, with storage and what may be lost")
    return Figure(
        label=f"Paid in {needs.months} months, {counted(needs.likely, 'good part')}",
        value=round_money(paid, currency),
        note="; ".join(told),
    )


def _tie(comparison: Comparison, advice: Advice) -> tuple[Figure, ...]:
    """How near they are, what the first order of each comes to, and which comes when (R16)."""
    currency, ties = currency_of(comparison), advice.ties
    totals = [advice.expected(each) for each in ties]
    low, high = min(totals), max(totals)
    share = per_cent(Fraction(round((high - low) / low * 1000), 1000)) if low else "0 %"
    margin = per_cent(comparison.workshop.record.close_call)
    paid = [agreed_now(advice, each) for each in ties]
    told = [
        f"{round_money(amount, currency)} at {suppliers_of(each.route)}"
        for amount, each in zip(paid, ties, strict=True)
    ]
    return (
        Figure(
            label=f"Between them, over {comparison.needs.months} months",
            value=f"{round_difference(high, low):,} {currency}",
            note=f"{share}, where {margin} is too close to call",
        ),
        Figure(
            label="Between their first orders",
            value=f"{round_difference(max(paid), min(paid)):,} {currency}",
            note="; ".join(told),
        ),
        _days_apart(ties),
    )


def _days_apart(ties: Sequence[CostAt]) -> Figure:
    """The stretch between the first parts of the tied routes."""
    days = [each.route.first_parts for each in ties]
    known = [each for each in days if each is not None]
    told = [
        f"{in_words(date) if date is not None else 'a day not known'}, {suppliers_of(each.route)}"
        for date, each in zip(days, ties, strict=True)
    ]
    apart = (max(known) - min(known)).days if len(known) == len(days) else None
    return Figure(
        label="Between their first parts",
        value=counted(apart, "day") if apart is not None else "not known",
        note="; ".join(told),
    )


def _unknown(comparison: Comparison, advice: Advice) -> tuple[Figure, ...]:
    """What is waited for, and what could be signed in the meantime."""
    currency, cost = currency_of(comparison), advice.cost
    waiting = [each for each in advice.questions if each.blocks]
    asked = listed(list(dict.fromkeys(each.to for each in waiting)))
    blocked = next((each for each in advice.unsettled if each.blocks), None)
    saving = saved_by(blocked, currency) if blocked is not None else ""
    found = [
        Figure(label="Answers still missing", value=str(len(waiting)), note=f"from {asked}"),
        Figure(
            label="The least that can be signed today",
            value=round_money(advice.present(cost), currency) if cost is not None else "none",
            note=doing(cost.route) if cost is not None else "no offer can be signed",
        ),
    ]
    if blocked is not None and saving:
        note = f"{blocked.offer.supplier_name}, quote {blocked.offer.quote}"
        found.append(Figure(label="Could be less by, as far as known", value=saving, note=note))
    return tuple(found)


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
