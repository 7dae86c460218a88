"""What a careful buyer checks on a quote before comparing it: the head and what joins its items."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.days import calendar_days_after
from quotegen.basics.money import Money
from quotegen.basics.problem import nearest
from quotegen.intake.cells import plain
from quotegen.intake.checks import Finding, Known, Subject, amounts_in
from quotegen.intake.draft import item_called, item_of
from quotegen.intake.yaml_tree import Keys
from quotegen.model.fields import Per
from quotegen.model.quote import Item, Payment, Quote, Tool


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteCase(Subject):
    """A quote as written: its head without items, or None if unreadable, and its readable items.

    items are by their number as written, counted from 0.
    """

    supplier: str
    head: Quote | None
    items: Mapping[int, Item]
    known: Known

    def called(self, line: Keys) -> str:
        item = item_of(line)
        return self.record if item is None else item_called(self.tree, item, self.record)

    @property
    def currency(self) -> str | None:
        return self.head.currency if self.head is not None else None


def supplier_known(case: QuoteCase) -> Iterator[Finding]:
    known = case.known
    if case.supplier in known.broken_suppliers:
        yield case.finding("quote-supplier-broken", (), (), seen=case.supplier)
    elif case.supplier not in known.suppliers:
        hint = nearest(case.supplier, known.suppliers)
        yield case.finding("quote-supplier-unknown", (), (), seen=case.supplier, hint=hint)


def items_listed(case: QuoteCase) -> Iterator[Finding]:
    if case.tree.value.get("items") == []:
        yield case.finding("list-empty", ("items",), ())


def validity(case: QuoteCase) -> Iterator[Finding]:
    """The quote ends after it begins, and says so in one way."""
    head = case.head
    if head is None or head.valid_until is None:
        return
    keys, seen = ("valid until",), str(head.valid_until)
    if head.valid_until < head.date:
        yield case.finding("validity-before-date", keys, (), seen=seen, expected=str(head.date))
    if head.valid_for is not None:
        other = calendar_days_after(head.date, head.valid_for)
        if other != head.valid_until:
            yield case.finding("validity-two", keys, (), seen=seen, expected=str(other))


def payment_adds_up(case: QuoteCase) -> Iterator[Finding]:
    seen = not_the_whole(case.head.payment if case.head is not None else ())
    if seen:
        yield case.finding("payment-sum", ("payment",), (), seen=seen)


def not_the_whole(payment: Sequence[Payment]) -> str:
    """What the shares of a payment add up to; "" where that is the whole, or none is written."""
    total = sum((each.share for each in payment), Fraction(0))
    return f"{plain(total * 100)} %" if payment and total != 1 else ""


def charges_have_batch(case: QuoteCase) -> Iterator[Finding]:
    for index, charge in enumerate(case.head.charges if case.head is not None else ()):
        if charge.per is Per.BATCH and charge.batch is None:
            yield case.finding("batch-missing", ("charges", index), (), seen=charge.what)


def replaces_another(case: QuoteCase) -> Iterator[Finding]:
    if case.head is not None and case.head.replaces == case.head.quote:
        yield case.finding("replaces-itself", ("replaces",), (), seen=case.head.quote)


def amounts_in_one_currency(case: QuoteCase) -> Iterator[Finding]:
    """Amounts beside the prices that are in another currency; one notice for each currency."""
    told: set[str] = set()
    for keys, money in _amounts_beside_prices(case):
        if money.currency not in told | {case.currency}:
            told.add(money.currency)
            values = {"seen": case.seen(*keys) or str(money), "expected": case.currency or ""}
            yield case.finding("amount-currency", keys, None, **values)


def _amounts_beside_prices(case: QuoteCase) -> Iterator[tuple[Keys, Money]]:
    if case.head is not None:
        yield from amounts_in(case.head.charges, ("charges",))
        yield from amounts_in(case.head.minimum_value, ("minimum value",))
        for index, item in case.items.items():
            for keys, money in amounts_in(item, ("items", index)):
                if keys[2] not in ("prices", "terms"):
                    yield keys, money


def tools_agree(case: QuoteCase) -> Iterator[Finding]:
    """One key names one tool: the same data wherever a quote mentions it (R5)."""
    first: dict[str, tuple[Tool, Keys]] = {}
    for index, item in case.items.items():
        for number, tool in enumerate(item.tools):
            keys: Keys = ("items", index, "tools", number)
            before, where = first.setdefault(tool.tool, (tool, keys))
            if where[:2] == keys[:2] and where != keys:
                yield case.finding("tool-twice", keys, ("items", index), seen=tool.tool)
            elif before != tool:
                for item_keys in (where, keys):
                    yield case.finding("tool-differs", item_keys, item_keys[:2], seen=tool.tool)


QUOTE_CHECKS: tuple[Callable[[QuoteCase], Iterator[Finding]], ...] = (
    supplier_known,
    items_listed,
    validity,
    payment_adds_up,
    charges_have_batch,
    replaces_another,
    amounts_in_one_currency,
    tools_agree,
)
