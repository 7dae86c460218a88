"""The comparison with one figure changed: forms are copied with another value, bills made anew.

Nothing is read again, and every place stays what it was. Curves, routes and costs of the plain
comparison are not renewed: plans do not ask for them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from fractions import Fraction
from typing import Any

from quotegen.basics.money import Money, Price
from quotegen.basics.quantity import Span, YearlyRate
from quotegen.compare.comparison import Comparison, needs_of
from quotegen.costing.build import bill_of
from quotegen.costing.case import Case
from quotegen.costing.leadtime import arrival_of
from quotegen.costing.offer import Offer, Standing
from quotegen.costing.rates import RateTable
from quotegen.model.fields import Absence
from quotegen.model.part import Demand
from quotegen.model.quote import Item, Quote, Rejects, Tool
from quotegen.model.workshop import Carriage

Change = Callable[[Comparison, Fraction], Comparison]


def again(offer: Offer, case: Case, *, days: bool = False) -> Offer:
    """The offer on changed records; days tells that its lead time is another.

    What keeps it from being signed today stays; a new gap that blocks does as well.
    """
    bill = bill_of(case)
    standing = offer.standing
    if offer.holds and bill.blocking:
        standing = Standing.NOT_ENOUGH_KNOWN
    arrival = arrival_of(case) if days else offer.arrival
    return replace(offer, case=case, bill=bill, standing=standing, arrival=arrival)


def with_offers(
    comparison: Comparison, names: Iterable[str], change: Callable[[Offer], Offer]
) -> Comparison:
    wanted = frozenset(names)
    offers = tuple(change(each) if each.name in wanted else each for each in comparison.offers)
    return replace(comparison, offers=offers)


def with_item(offer: Offer, *, days: bool = False, **fields: Any) -> Offer:
    items = list(offer.case.quote.items)
    number = offer.case.item_number
    items[number] = items[number].model_copy(update=fields)
    return with_quote(offer, days=days, items=tuple(items))


def with_quote(offer: Offer, *, days: bool = False, **fields: Any) -> Offer:
    entry = offer.case.quote_entry
    changed: Quote = entry.record.model_copy(update=fields)
    case = replace(offer.case, quote_entry=replace(entry, record=changed))
    return again(offer, case, days=days)


def with_workshop(comparison: Comparison, names: Iterable[str], **fields: Any) -> Comparison:
    """Another workshop for the whole comparison; the bills of the named offers change by it."""
    record = comparison.workshop.record.model_copy(update=fields)
    workshop = replace(comparison.workshop, record=record)
    wanted = frozenset(names)
    offers = []
    for each in comparison.offers:
        case = replace(each.case, workshop=workshop)
        offers.append(again(each, case) if each.name in wanted else replace(each, case=case))
    return replace(comparison, workshop=workshop, offers=tuple(offers))


def with_part(comparison: Comparison, *, bills: bool, **fields: Any) -> Comparison:
    record = comparison.part.record.model_copy(update=fields)
    part = replace(comparison.part, record=record)
    offers = []
    for each in comparison.offers:
        case = replace(each.case, part=part)
        offers.append(again(each, case) if bills else replace(each, case=case))
    needs = needs_of(comparison.workshop.record, record)
    return replace(comparison, part=part, needs=needs, offers=tuple(offers))


def scaled(amount: Money | None, factor: Fraction) -> Money | None:
    """A money by a factor; what is not there stays what it is."""
    return amount.times(factor) if amount is not None else None


def scaled_price(price: Price | Absence, factor: Fraction) -> Price | Absence:
    return replace(price, money=price.money.times(factor)) if isinstance(price, Price) else price


def price_to(name: str, present: Fraction) -> Change:
    """All prices of an offer's item in proportion; the value is that of one of them."""

    def change(comparison: Comparison, value: Fraction) -> Comparison:
        return with_offers(comparison, {name}, lambda offer: _priced(offer, value / present))

    return change


def _priced(offer: Offer, factor: Fraction) -> Offer:
    tiers = tuple(
        tier.model_copy(update={"price": scaled_price(tier.price, factor)})
        for tier in offer.case.item.prices
    )
    return with_item(offer, prices=tiers)


def tool_to(names: frozenset[str], key: str, **fields: Callable[[Tool, Fraction], Any]) -> Change:
    """Fields of one tool in every quote that names it, each by a function of the value."""

    def change(comparison: Comparison, value: Fraction) -> Comparison:
        def of_item(item: Item) -> tuple[Tool, ...]:
            return tuple(
                tool.model_copy(update={name: of(tool, value) for name, of in fields.items()})
                if tool.tool == key
                else tool
                for tool in item.tools
            )

        return with_offers(
            comparison, names, lambda offer: with_item(offer, tools=of_item(offer.case.item))
        )

    return change


def tool_price_to(names: frozenset[str], key: str, present: Fraction) -> Change:
    def price(tool: Tool, value: Fraction) -> Money | Absence:
        return tool.price.times(value / present) if isinstance(tool.price, Money) else tool.price

    return tool_to(names, key, price=price)


def tool_life_to(names: frozenset[str], key: str) -> Change:
    def life(_: Tool, value: Fraction) -> int:
        return int(value)

    return tool_to(names, key, life=life)


def minimum_to(name: str) -> Change:
    def change(comparison: Comparison, value: Fraction) -> Comparison:
        return with_offers(comparison, {name}, lambda offer: with_item(offer, minimum=int(value)))

    return change


def minimum_value_to(name: str, *, of_item: bool) -> Change:
    def with_value(offer: Offer, value: Fraction) -> Offer:
        quote = offer.case.quote
        form = quote.items[offer.case.item_number].minimum_value if of_item else None
        form = form or quote.minimum_value
        if form is None:
            return offer
        money = Money(value, form.value.currency)
        changed = form.model_copy(update={"value": money})
        if of_item:
            return with_item(offer, minimum_value=changed)
        return with_quote(offer, minimum_value=changed)

    def change(comparison: Comparison, value: Fraction) -> Comparison:
        return with_offers(comparison, {name}, lambda offer: with_value(offer, value))

    return change


def without_minimum_values(comparison: Comparison, names: frozenset[str]) -> Comparison:
    """The named offers without the minimum values of their orders (R3)."""

    def change(offer: Offer) -> Offer:
        return with_quote(with_item(offer, minimum_value=None), minimum_value=None)

    return with_offers(comparison, names, change)


def rejects_to(name: str) -> Change:
    def with_share(offer: Offer, value: Fraction) -> Offer:
        known: Rejects = offer.case.rejects
        return with_item(offer, rejects=known.model_copy(update={"share": value}))

    def change(comparison: Comparison, value: Fraction) -> Comparison:
        return with_offers(comparison, {name}, lambda offer: with_share(offer, value))

    return change


def lead_to(name: str, unit: str) -> Change:
    def change(comparison: Comparison, value: Fraction) -> Comparison:
        span = Span(int(value), unit)
        return with_offers(
            comparison, {name}, lambda offer: with_item(offer, days=True, lead_time=span)
        )

    return change


def freight_to(names: frozenset[str], number: int, present: Fraction) -> Change:
    """Carriage and on-carriage of one way in proportion."""

    def change(comparison: Comparison, value: Fraction) -> Comparison:
        factor = value / present
        rows = list(comparison.workshop.record.delivery)
        legs = {
            leg: _carried(getattr(rows[number], leg), factor) for leg in ("carriage", "on_carriage")
        }
        rows[number] = rows[number].model_copy(update=legs)
        return with_workshop(comparison, names, delivery=tuple(rows))

    return change


def _carried(leg: Carriage | None, factor: Fraction) -> Carriage | None:
    if leg is None:
        return None
    fields = {
        "per_order": scaled(leg.per_order, factor),
        "per_kilogram": scaled(leg.per_kilogram, factor),
    }
    return leg.model_copy(update=fields)


def duty_to(names: frozenset[str], number: int) -> Change:
    def change(comparison: Comparison, value: Fraction) -> Comparison:
        rows = list(comparison.workshop.record.duty)
        rows[number] = rows[number].model_copy(update={"rate": value})
        return with_workshop(comparison, names, duty=tuple(rows))

    return change


def completion_to(names: frozenset[str], number: int, present: Fraction) -> Change:
    """Price, minutes and charge for an order of one of our own operations in proportion."""

    def change(comparison: Comparison, value: Fraction) -> Comparison:
        factor = value / present
        rows = list(comparison.workshop.record.completion)
        ours = rows[number]
        fields = {
            "price": scaled_price(ours.price, factor) if ours.price is not None else None,
            "minutes": ours.minutes * factor if ours.minutes is not None else None,
            "per_order": scaled(ours.per_order, factor),
        }
        rows[number] = ours.model_copy(update=fields)
        return with_workshop(comparison, names, completion=tuple(rows))

    return change


def rate_to(names: frozenset[str], currency: str) -> Change:
    def change(comparison: Comparison, value: Fraction) -> Comparison:
        used = replace(comparison.rates.rates[currency], value=value)
        table = RateTable(
            base=comparison.rates.base, rates={**comparison.rates.rates, currency: used}
        )

        def at_rate(offer: Offer) -> Offer:
            rates = RateTable(
                base=offer.case.rates.base, rates={**offer.case.rates.rates, currency: used}
            )
            return again(offer, replace(offer.case, rates=rates))

        return with_offers(replace(comparison, rates=table), names, at_rate)

    return change


def money_to(comparison: Comparison, value: Fraction) -> Comparison:
    return with_workshop(comparison, (), cost_of_capital=YearlyRate(value))


def monthly(stands: Fraction) -> Fraction:
    """The chance in a month that a drawing changes which stands a year with a chance (R13)."""
    return Fraction(1 - float(stands) ** (1 / 12))


def yearly(change: Fraction) -> Fraction:
    """The chance that a drawing stands a year, from the chance in a month that it changes."""
    return Fraction((1 - float(change)) ** 12)


def design_to(comparison: Comparison, value: Fraction) -> Comparison:
    """value is the chance in a month that the drawing changes."""
    return with_part(comparison, bills=False, design_stands=YearlyRate(yearly(value)))


def demand_to(comparison: Comparison, value: Fraction) -> Comparison:
    """Another likely demand, with low, high and the months in proportion to it."""
    demand = demand_of(comparison.part.record.demand, int(value))
    return with_part(comparison, bills=True, demand=demand)


def demand_of(demand: Demand, likely: int) -> Demand:
    share = Fraction(likely, demand.likely)
    fields = {
        "low": min(likely, math.floor(demand.low * share)),
        "likely": likely,
        "high": max(likely, math.ceil(demand.high * share)),
        "by_month": _months(demand.by_month, share),
    }
    return demand.model_copy(update=fields)


def _months(written: tuple[int, ...], share: Fraction) -> tuple[int, ...]:
    """Each month in proportion, so that what is used by its end is never short of it."""
    found, before, after = [], 0, 0
    for each in written:
        after += each
        found.append(math.ceil(after * share) - math.ceil(before * share))
        before = after
    return tuple(found)
