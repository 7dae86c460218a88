"""What is to be agreed: what to order from whom for how much and by when, and what stays open."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.days import in_words
from quotegen.basics.money import minor_digits
from quotegen.basics.printed import (
    counted,
    listed,
    money,
    per_cent,
    printed,
    round_money,
    shared_out,
)
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt, Route
from quotegen.costing.offer import Offer
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.names import short_name
from quotegen.judge.questions import told_of_cancelling
from quotegen.judge.reasons import doing, made_by
from quotegen.plan.plan import Plan
from quotegen.report.views.names import currency_of, settled_routes, tools_of
from quotegen.report.views.orders import (
    Order,
    agreed_now,
    last_day_of,
    later_orders,
    orders_now,
    owed_at_end,
    planned_order,
)
from quotegen.report.views.shape import Row, Table, figures, row, words


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """A title with the money, what to order now, and the points to sign one by one.

    choices are the routes of a tie, to be ticked. Where nothing is to sign, it is only seen.
    """

    title: str
    orders: Table | None
    points: tuple[str, ...]
    choices: tuple[str, ...] = ()
    to_sign: bool = True


def agreement_of(comparison: Comparison, advice: Advice) -> Agreement:
    if not comparison.needs.likely:
        title = "To agree: nothing has to be bought"
        return Agreement(title=title, orders=None, points=(), to_sign=False)
    if advice.outcome is Outcome.CHOSEN and advice.cost is not None:
        return _chosen(comparison, advice, advice.cost)
    if advice.outcome is Outcome.TIE:
        return _tie(comparison, advice)
    return _nothing_yet(comparison, advice)


def _chosen(comparison: Comparison, advice: Advice, cost: CostAt) -> Agreement:
    currency, orders = currency_of(comparison), orders_now(advice, cost)
    now = sum((order.amount for order in orders), Fraction(0))
    return Agreement(
        title=f"To agree: {money(now, currency)} in all",
        orders=_orders_table(orders, currency),
        points=(
            *_by_when(comparison, advice),
            *_later(advice, cost, currency),
            *_cancelling(cost.route.offers),
        ),
    )


def _orders_table(orders: Sequence[Order], currency: str) -> Table:
    """Each order now; rows and columns add up as printed."""
    amounts = shared_out(
        [each for order in orders for each in (order.paid, order.beside)],
        minor_digits(currency) or 0,
    )
    paid, beside = amounts[::2], amounts[1::2]
    rows = zip(orders, paid, beside, strict=True)
    total = _amounts(sum(paid, Fraction(0)), sum(beside, Fraction(0)), currency)
    return Table(
        caption="What is ordered now",
        columns=(
            *words(f"Order now, amounts in {currency}", "From"),
            *figures("To the supplier", "Own work, freight, duty", "In all"),
        ),
        rows=tuple(_order_row(*each, currency) for each in rows),
        foot=row("Total", "", *total),
    )


def _order_row(order: Order, paid: Fraction, beside: Fraction, currency: str) -> Row:
    from_ = f"{order.offer.supplier_name}, {order.offer.quote}"
    return row(order.what, from_, *_amounts(paid, beside, currency))


def _amounts(paid: Fraction, beside: Fraction, currency: str) -> list[str]:
    return [printed(each, currency) for each in (paid, beside, paid + beside)]


def _by_when(comparison: Comparison, advice: Advice) -> Iterator[str]:
    """The day from which all dates count, and how long each price holds; then how it is paid."""
    routes, planned = settled_routes(advice), planned_order(comparison)
    last = last_day_of(routes)
    if planned is not None:
        until = "Until when it can be signed is not stated."
        if last is not None and last >= planned:
            until = f"The price can be signed until {in_words(last)}."
        elif last is not None:
            ends = {x.supplier_name for r in routes for x in r.offers if x.last_day == last}
            until = f"Sign with {listed(sorted(ends))} by {in_words(last)}: the price ends then."
        yield f"All dates here count from an order on {in_words(planned)}. {until}"
        yield from _at_the_latest(advice, planned)
    offers = {offer.supplier_name: offer for route in routes for offer in route.offers}
    terms = [f"{name} {_terms(offer)}" for name, offer in offers.items() if _terms(offer)]
    if terms:
        yield f"Paid: {'; '.join(terms)}."


def _at_the_latest(advice: Advice, planned: datetime.date) -> Iterator[str]:
    """The last days that the plan allows, where they are later than the first day of all dates."""
    plan = advice.plan
    if advice.outcome is not Outcome.CHOSEN or plan is None or not plan.orders:
        return
    latest = _latest_days(plan)
    days = [date for _, _, date in latest]
    if days[0] <= planned:
        return
    if len(days) == 1:
        told = f"The plan has time until {in_words(days[0])}: its first order goes out by then."
    else:
        things = listed([f"{what} by {in_words(date)}" for _, what, date in latest])
        told = f"The plan has time: {things}."
    unheld = [offer.supplier_name for offer, _, date in latest if not _is_held(offer, date)]
    names = listed(list(dict.fromkeys(unheld)))
    yield f"{told} Agree with {names} that the price holds so long." if unheld else told


def _latest_days(plan: Plan) -> list[tuple[Offer, str, datetime.date]]:
    """The first order of each offer and its tools before it, each with its last day, in order."""
    found = []
    for offer in plan.offers:
        first = next(order for order in plan.orders if order.offer is offer)
        if first.tools_ordered is not None:
            found.append((offer, f"the {listed(tools_of([offer]))}", first.tools_ordered))
        found.append((offer, made_by(offer, first.pieces), first.ordered))
    return sorted(found, key=lambda each: each[2])


def _is_held(offer: Offer, date: datetime.date) -> bool:
    """Whether the quote says what the price is on a day: the quoted one, or one that has risen."""
    hold, last = offer.case.item.price_hold, offer.last_day
    if last is None or date <= last:
        return True
    return hold is not None and (hold.until is None or date <= hold.until or hold.then is not None)


def _terms(offer: Offer) -> str:
    """When the invoice is due, as the quote says it."""
    return ", ".join(
        [
            ("" if each.share == 1 else f"{per_cent(each.share)} ")
            + (
                f"{counted(each.days, 'day')} after {each.when.value}"
                if each.days
                else f"on {each.when.value}"
            )
            for each in offer.case.quote.payment
        ]
    )


def _later(advice: Advice, cost: CostAt, currency: str) -> Iterator[str]:
    """What the plan counts beyond the first orders, and what may become of its price (R15)."""
    found, rest = later_orders(advice, cost), advice.paid(cost) - agreed_now(advice, cost)
    sizes = [size for _, sizes in found for size in sizes]
    if sizes:
        owed = owed_at_end(advice, cost)
        at_end = f", {money(owed, currency)} of it when orders stop" if owed else ""
        promised = " ".join(_promised(offer) for offer, _ in found)
        yield (
            f"Not agreed today: {counted(len(sizes), 'later order')} of {_sizes(sizes)} pieces, "
            f"{money(rest, currency)} as the plan has it{at_end}. {promised}"
        )
    elif rest > 0:
        yield f"Not due today: {money(rest, currency)} by the year or when orders stop."


def _sizes(sizes: list[int]) -> str:
    return listed([f"{size:,}" for size in sizes]) if len(sizes) <= 3 else f"at most {max(sizes):,}"


def _promised(offer: Offer) -> str:
    hold, name = offer.case.item.price_hold, offer.supplier_name
    if hold is None:
        return f"{name} promises nothing about later prices."
    rise = f"may raise it by {per_cent(hold.then.share)} a year" if hold.then else ""
    if hold.until is None:
        return f"{name} {rise}." if rise else f"{name} holds its price."
    held = f"{name} holds its price until {in_words(hold.until)}"
    return f"{held} and {rise} after that." if rise else f"{held}."


def _cancelling(offers: Sequence[Offer]) -> Iterator[str]:
    """What each quote says of cancelling; where one says nothing, that it must be asked."""
    told = {offer.supplier_name: told_of_cancelling(offer) for offer in offers}
    said = [f"{name}: {' '.join(texts)}" for name, texts in told.items() if texts]
    silent = [name for name, texts in told.items() if not texts]
    if said:
        yield f"Cancelling. {' '.join(each.rstrip('.') + '.' for each in said)}"
    if silent:
        whom = listed(silent)
        yield f"What can still be cancelled is not stated: ask {whom} before you sign."


def _tie(comparison: Comparison, advice: Advice) -> Agreement:
    currency = currency_of(comparison)
    name = short_name(comparison.part.record.name)
    offers = {offer.name: offer for each in advice.ties for offer in each.route.offers}
    return Agreement(
        title=f"To agree: one of {len(advice.ties)} routes",
        orders=_choices_table(advice, currency),
        points=(
            f"Choose one for the {name}: cost alone does not decide.",
            *_by_when(comparison, advice),
            *_cancelling(tuple(offers.values())),
        ),
        choices=tuple(doing(each.route) for each in advice.ties),
    )


def _choices_table(advice: Advice, currency: str) -> Table:
    """What is ordered now by each route of a tie: one of them, so that nothing is added up."""
    return Table(
        caption="What is ordered now by each route",
        columns=(
            *words(f"Order now by one route, in {currency}", "From"),
            *figures("To the supplier", "Own work, freight, duty", "In all"),
        ),
        rows=tuple(_choice_row(advice, cost, currency) for cost in advice.ties),
    )


def _choice_row(advice: Advice, cost: CostAt, currency: str) -> Row:
    orders = orders_now(advice, cost)
    paid = sum((order.paid for order in orders), Fraction(0))
    beside = sum((order.beside for order in orders), Fraction(0))
    paid, beside = shared_out([paid, beside], minor_digits(currency) or 0)
    what = "; ".join(order.what for order in orders)
    return row(what, _whose(cost.route), *_amounts(paid, beside, currency))


def _whose(route: Route) -> str:
    return " and ".join(f"{offer.supplier_name}, {offer.quote}" for offer in route.offers)


def _nothing_yet(comparison: Comparison, advice: Advice) -> Agreement:
    asked = list(dict.fromkeys(each.to for each in advice.questions if each.blocks))
    items = []
    if asked:
        items.append(f"Send the questions to {listed(asked)}, and order nothing until they answer.")
    else:
        items.append("Order nothing. Ask for quotes that can be signed and are here in time.")
    if advice.cost is not None:
        items.append(_if_it_cannot_wait(comparison, advice, advice.cost))
    needed = comparison.part.record.needed_by
    if needed is not None:
        items.append(f"The first parts are needed by {in_words(needed)}.")
    title = "To agree: nothing to order yet"
    return Agreement(title=title, orders=None, points=tuple(items), to_sign=False)


def _if_it_cannot_wait(comparison: Comparison, advice: Advice, cost: CostAt) -> str:
    last, currency = last_day_of([cost.route]), currency_of(comparison)
    until = f" until {in_words(last)}" if last is not None else ""
    return (
        f"If it cannot wait: {doing(cost.route)} can be signed{until}, "
        f"{round_money(agreed_now(advice, cost), currency)} now and "
        f"{round_money(advice.paid(cost), currency)} in all, paid "
        f"over {comparison.needs.months} months."
    )
