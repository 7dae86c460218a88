"""What a careful buyer checks on one item of a quote; an error leaves out that item alone."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from quotegen.basics.money import Price
from quotegen.basics.place import Key
from quotegen.basics.problem import nearest
from quotegen.intake.checks import Finding, unknown_operations
from quotegen.intake.files import is_name
from quotegen.intake.quote_checks import QuoteCase, not_the_whole
from quotegen.model.fields import Per
from quotegen.model.quote import Item, Tier

MOST_ROUNDS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemCase:
    """One item and the quote that it stands in; index counts from 0 as written."""

    quote: QuoteCase
    index: int
    item: Item

    def wrong(self, code: str, *keys: Key, **values: str) -> Finding:
        """A finding that leaves this item out."""
        line = ("items", self.index)
        return self.quote.finding(code, line + keys, line, **values)

    def seen(self, *keys: Key) -> str:
        return self.quote.seen("items", self.index, *keys)

    @property
    def priced(self) -> list[tuple[int, Tier, Price]]:
        """The tiers that have a price, with their number."""
        return [
            (number, tier, tier.price)
            for number, tier in enumerate(self.item.prices)
            if isinstance(tier.price, Price)
        ]


def part_known(case: ItemCase) -> Iterator[Finding]:
    part, known = case.item.part, case.quote.known
    if part in known.parts:
        return
    if part in known.broken_parts:
        yield case.wrong("item-part-broken", "part", seen=part)
    elif not is_name(part):
        yield case.wrong("bad-name", "part", seen=part)
    else:
        hint = nearest(part, known.parts)
        yield case.wrong("item-part-unknown", "part", seen=part, hint=hint)


def prices_listed(case: ItemCase) -> Iterator[Finding]:
    if not case.item.prices:
        yield case.wrong("list-empty", "prices")


def tiers_rise(case: ItemCase) -> Iterator[Finding]:
    """Each break begins above the one before it; else two prices hold for one quantity (R1)."""
    starts = [tier.from_ for tier in case.item.prices]
    for number in range(1, len(starts)):
        if starts[number] <= starts[number - 1]:
            keys = ("prices", number, "from")
            before = str(starts[number - 1])
            yield case.wrong("tiers-not-rising", *keys, seen=case.seen(*keys), before=before)


def prices_fall(case: ItemCase) -> Iterator[Finding]:
    """No price is dearer than that of a smaller quantity."""
    for (_, smaller, before), (number, tier, price) in itertools.pairwise(case.priced):
        comparable = _basis(before) == _basis(price) and smaller.from_ < tier.from_
        if comparable and price.each.amount > before.each.amount:
            keys = ("prices", number, "price")
            values = {"start": str(tier.from_), "earlier": str(smaller.from_)}
            seen, dearer_than = case.seen(*keys), str(before)
            yield case.wrong("price-dearer", *keys, seen=seen, before=dearer_than, **values)


def _basis(price: Price) -> tuple[str, str]:
    return price.unit, price.money.currency


def prices_on_one_basis(case: ItemCase) -> Iterator[Finding]:
    """All prices are for pieces, or all are for a mass."""
    priced = case.priced
    for number, _, price in priced[1:]:
        if price.unit != priced[0][2].unit:
            keys = ("prices", number, "price")
            yield case.wrong("prices-mixed", *keys, seen=case.seen(*keys), before=str(priced[0][2]))


def prices_in_the_quotes_currency(case: ItemCase) -> Iterator[Finding]:
    currency = case.quote.currency
    for number, _, price in case.priced:
        if currency is not None and price.money.currency != currency:
            keys = ("prices", number, "price")
            seen, found = case.seen(*keys), price.money.currency
            yield case.wrong("price-currency", *keys, seen=seen, found=found, expected=currency)


def operations_known(case: ItemCase) -> Iterator[Finding]:
    line = ("items", case.index)
    lists = {"includes": case.item.includes, "excludes": case.item.excludes}
    for key, words in lists.items():
        known = case.quote.known.operations
        yield from unknown_operations(case.quote, (*line, key), words, known, line)


def operations_apart(case: ItemCase) -> Iterator[Finding]:
    """No operation is both included and excluded."""
    for number, operation in enumerate(case.item.excludes):
        if operation in case.item.includes:
            yield case.wrong("operation-both", "excludes", number, seen=operation)


def surcharges_have_one_measure(case: ItemCase) -> Iterator[Finding]:
    """A percentage or a price, and never both (R11)."""
    for number, surcharge in enumerate(case.item.surcharges):
        if (surcharge.rate is None) == (surcharge.price is None):
            yield case.wrong("surcharge-measure", "surcharges", number, seen=surcharge.what)


def surcharges_name_their_base(case: ItemCase) -> Iterator[Finding]:
    """A base is goods, charges, or a surcharge that stands above and counts (R11)."""
    known = ["goods", "charges"]
    for number, surcharge in enumerate(case.item.surcharges):
        keys = ("surcharges", number)
        if surcharge.what in known:
            yield case.wrong("surcharge-name", *keys, "what", seen=surcharge.what)
        yield from _bases(case, number, surcharge.of, known)
        if surcharge.counted:
            known.append(surcharge.what)


def _bases(
    case: ItemCase, number: int, bases: Sequence[str], known: Sequence[str]
) -> Iterator[Finding]:
    for place, base in enumerate(bases):
        keys = ("surcharges", number, "of", place)
        if base not in known:
            yield case.wrong("surcharge-base", *keys, seen=base, expected=", ".join(known))
        elif base in bases[:place]:
            yield case.wrong("surcharge-base-twice", *keys, seen=base)


def charges_have_batch(case: ItemCase) -> Iterator[Finding]:
    """What is paid per batch needs the batch's size: its own, or the item's multiple (R4)."""
    for number, charge in enumerate(case.item.charges):
        if charge.per is Per.BATCH and charge.batch is None and case.item.multiple == 1:
            yield case.wrong("batch-missing", "charges", number, seen=charge.what)


def every_tier_can_be_reached(case: ItemCase) -> Iterator[Finding]:
    """The minimum does not lie in a later tier than the first."""
    tiers = case.item.prices
    if len(tiers) > 1 and tiers[0].from_ < tiers[1].from_ <= case.item.minimum:
        keys = ("items", case.index, "prices", 0)
        values = {"seen": str(tiers[0].from_), "expected": str(case.item.minimum)}
        yield case.quote.finding("tier-unreachable", keys, None, **values)


def something_can_be_ordered(case: ItemCase) -> Iterator[Finding]:
    """The least that is taken does not lie above the most that is made (R2)."""
    item, most = case.item, case.item.capacity_a_month
    starts = [tier.from_ for tier in item.prices[:1]]
    least = -(-max([item.minimum, *starts]) // item.multiple) * item.multiple
    if most is not None and least > most:
        keys = ("items", case.index, "capacity a month")
        values = {"seen": case.seen("capacity a month"), "expected": str(least)}
        yield case.quote.finding("order-impossible", keys, None, **values)


def something_is_good(case: ItemCase) -> Iterator[Finding]:
    """Not every piece is a reject (R9)."""
    if case.item.rejects is not None and case.item.rejects.share == 1:
        keys = ("items", case.index, "rejects", "share")
        seen = case.seen("rejects", "share")
        yield case.quote.finding("rejects-all", keys, None, seen=seen)


def samples_end(case: ItemCase) -> Iterator[Finding]:
    """Beyond some rounds of samples no tool is made well, and no day can be reckoned (R17)."""
    for number, tool in enumerate(case.item.tools):
        if tool.sample_rounds > MOST_ROUNDS:
            keys = ("tools", number, "sample rounds")
            expected = f"at most {MOST_ROUNDS}"
            yield case.wrong("wrong-value", *keys, seen=case.seen(*keys), expected=expected)


def tool_payments_add_up(case: ItemCase) -> Iterator[Finding]:
    for number, tool in enumerate(case.item.tools):
        seen = not_the_whole(tool.payment)
        if seen:
            yield case.wrong("payment-sum", "tools", number, "payment", seen=seen)


ITEM_CHECKS: tuple[Callable[[ItemCase], Iterator[Finding]], ...] = (
    part_known,
    prices_listed,
    tiers_rise,
    prices_fall,
    prices_on_one_basis,
    prices_in_the_quotes_currency,
    operations_known,
    operations_apart,
    surcharges_have_one_measure,
    surcharges_name_their_base,
    charges_have_batch,
    every_tier_can_be_reached,
    something_can_be_ordered,
    something_is_good,
    samples_end,
    tool_payments_add_up,
)
