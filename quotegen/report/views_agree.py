"""What is to be agreed: what to order from whom for how much, and what stays open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.days import in_words
from quotegen.basics.printed import (
    adding_up,
    counted,
    day,
    listed,
    money,
    round_money,
)
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt, Leg, LineTotal
from quotegen.costing.bill import Kind, Scope
from quotegen.costing.offer import Offer
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.names import in_a_sentence
from quotegen.judge.reasons import doing
from quotegen.report.views_names import capital, currency_of

FOR_THE_TOOL = frozenset({Kind.TOOL, Kind.CUSTOMS})


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """A title with the money, and the points to sign one by one."""

    title: str
    points: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Order:
    """One thing to order now: what, for which amount, and from whom by when."""

    what: str
    amount: Fraction
    rest: str = ""


def agreement_of(comparison: Comparison, advice: Advice) -> Agreement:
    if not comparison.needs.likely:
        return Agreement(title="To agree: nothing has to be bought", points=())
    if advice.outcome is Outcome.CHOSEN and advice.cost is not None:
        return _chosen(comparison, advice.cost)
    if advice.outcome is Outcome.TIE:
        return _tie(comparison, advice)
    return _nothing_yet(comparison, advice)


def _chosen(comparison: Comparison, cost: CostAt) -> Agreement:
    currency = currency_of(comparison)
    orders = [order for leg in cost.legs for order in _orders(leg, cost)]
    amounts = adding_up([order.amount for order in orders], currency)
    now = sum((order.amount for order in orders), Fraction(0))
    items = [
        f"{order.what} for {amount} {currency}{order.rest}."
        for order, amount in zip(orders, amounts, strict=True)
    ]
    later = [size for leg in cost.legs for size in leg.orders.sizes[1:]]
    if later:
        rest = money(cost.total - now, currency)
        items.append(
            f"Not agreed today: {counted(len(later), 'later order')} of "
            f"{_sizes(later)} pieces, {rest} at the prices quoted now."
        )
    return Agreement(
        title=f"To agree: {money(now, currency)} in all",
        points=(*items, *_cancelling(cost), _look_again(comparison, cost)),
    )


def _sizes(sizes: list[int]) -> str:
    return listed([f"{size:,}" for size in sizes]) if len(sizes) <= 3 else f"{sizes[0]:,} or less"


def _orders(leg: Leg, cost: CostAt) -> Iterator[_Order]:
    """The tool by itself, then the first order of pieces with all that comes with it."""
    offer, first = leg.offer, leg.orders.sizes[0]
    lines = [each for each in cost.lines if each.offer == offer.name]
    tool = sum((each.total for each in lines if _is_for_tool(each)), Fraction(0))
    by = f", by {in_words(offer.last_day)}" if offer.last_day is not None else ""
    source = f" from {offer.supplier_name}, quote {offer.quote}{by}"
    if not tool or not offer.has_tool:
        amount = _first_order(lines, first, Fraction(0))
        yield _Order(what=f"Order {first:,}", amount=amount, rest=source)
        return
    names = listed([each.what for each in offer.case.item.tools])
    terms = f" ({_terms(offer)})" if _terms(offer) else ""
    yield _Order(what=f"Order the {names} with samples", amount=tool, rest=f"{source}{terms}")
    when = f"When the samples are approved, order the first {first:,}"
    yield _Order(what=when, amount=_first_order(lines, first, tool))


def _is_for_tool(each: LineTotal) -> bool:
    once = each.line.scope is Scope.ONCE and not each.line.schedule.slope_at(1)
    return once and each.line.kind in FOR_THE_TOOL


def _first_order(lines: list[LineTotal], pieces: int, tool: Fraction) -> Fraction:
    """What the first order comes to: its own lines, and what is paid once beside the tool.

    What grows with the pieces of all orders, such as a replacement, falls due later.
    """
    order = [each.line.schedule.at(pieces) for each in lines if each.line.scope is Scope.ORDER]
    once = [
        each.total
        for each in lines
        if each.line.scope is Scope.ONCE and not each.line.schedule.slope_at(1)
    ]
    return sum((*order, *once), Fraction(0)) - tool


def _terms(offer: Offer) -> str:
    """When the invoice is due, as the quote says it."""
    return listed(
        [
            f"{float(each.share * 100):.4g} % "
            + (
                f"{each.days} days after {each.when.value}"
                if each.days
                else f"on {each.when.value}"
            )
            for each in offer.case.quote.payment
        ]
    )


def _cancelling(cost: CostAt) -> Iterator[str]:
    said = [
        f"{offer.supplier_name}: {term.text}"
        for offer in cost.route.offers
        for term in (*offer.case.quote.terms, *offer.case.item.terms)
        if "cancel" in f"{term.term} {term.text}".lower()
    ]
    if said:
        yield f"Cancelling: {'; '.join(said)}."
    else:
        yield "What can still be cancelled after the order is not stated: ask before you sign."


def _look_again(comparison: Comparison, cost: CostAt) -> str:
    ends = [offer.last_day for offer in cost.route.offers if offer.last_day is not None]
    until = f"if it is not signed by {day(min(ends))}, " if ends else ""
    revision = comparison.part.record.revision
    return f"Look again {until}if the drawing goes past {revision}, or if the demand changes."


def _tie(comparison: Comparison, advice: Advice) -> Agreement:
    currency = currency_of(comparison)
    name = in_a_sentence(comparison.part.record.name)
    items = [f"Choose one for the {name}; the figures do not choose for you."]
    for cost in advice.ties:
        first = cost.route.first_parts
        when = f"first parts on {day(first)}" if first else "first parts on a day not known"
        items.append(
            f"{capital(doing(cost.route))}: {round_money(cost.total, currency)}, of it "
            f"{round_money(cost.committed, currency)} first; {when}."
        )
    best = advice.ties[0]
    return Agreement(
        title=f"To agree: one of {len(advice.ties)} routes",
        points=(*items, *_cancelling(best), _look_again(comparison, best)),
    )


def _nothing_yet(comparison: Comparison, advice: Advice) -> Agreement:
    asked = list(dict.fromkeys(each.to for each in advice.questions if each.blocks))
    items = []
    if asked:
        items.append(f"Send the questions to {listed(asked)}, and order nothing until they answer.")
    else:
        items.append("Order nothing. Ask for quotes that can be signed and are here in time.")
    if advice.cost is not None:
        items.append(_if_it_cannot_wait(comparison, advice.cost))
    needed = comparison.part.record.needed_by
    if needed is not None:
        items.append(f"The first parts are needed by {in_words(needed)}.")
    return Agreement(title="To agree: nothing to order yet", points=tuple(items))


def _if_it_cannot_wait(comparison: Comparison, cost: CostAt) -> str:
    ends = [offer.last_day for offer in cost.route.offers if offer.last_day is not None]
    until = f" until {in_words(min(ends))}" if ends else ""
    total = round_money(cost.total, currency_of(comparison))
    return f"If it cannot wait: {doing(cost.route)} can be signed{until}, {total} in all."
