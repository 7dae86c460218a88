"""An offer: a quote's item on one footing, and whether it can be signed today (R15)."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from quotegen.basics.days import in_words
from quotegen.basics.money import Money
from quotegen.basics.place import Place
from quotegen.costing.bill import Bill
from quotegen.costing.build import bill_of
from quotegen.costing.case import Case
from quotegen.costing.fitting import fit_of_offer
from quotegen.costing.leadtime import Arrival, arrival_of
from quotegen.costing.limits import UNPRICED
from quotegen.costing.rates import RateTable
from quotegen.fit.judging import Judged
from quotegen.model.entry import Folder, QuoteEntry
from quotegen.model.fields import Absence, Form, Process
from quotegen.model.quote import Quote


class Standing(StrEnum):
    """Whether an offer can be signed today."""

    HOLDS = "holds"
    EXPIRED = "expired"
    REPLACED = "replaced by a later quote"
    WRONG_REVISION = "wrong revision"
    NOT_ENOUGH_KNOWN = "not enough known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One item of one quote as a bill, with its standing and its dates.

    name is `supplier/quote`, with the item's number where the quote has several items for
    the part. why says in a sentence why it does not hold; it is empty where it does.
    """

    name: str
    supplier: str
    supplier_name: str
    quote: str
    process: Process
    currency: str
    bill: Bill
    standing: Standing
    why: str
    place: Place
    arrival: Arrival
    last_day: datetime.date | None
    case: Case
    fit: tuple[Judged, ...] = ()

    @property
    def holds(self) -> bool:
        return self.standing is Standing.HOLDS

    @property
    def priced(self) -> bool:
        """Whether there is a price at all to compare by."""
        return not any(gap.code in UNPRICED for gap in self.bill.gaps)

    @property
    def has_tool(self) -> bool:
        """Whether a tool must be paid for before the first piece."""
        return any(
            tool.tool not in self.case.workshop.record.tools_owned
            and not isinstance(tool.price, Absence)
            and tool.price.amount > 0
            for tool in self.case.item.tools
        )


def offers_for(
    folder: Folder, part: str, rates: RateTable, today: datetime.date
) -> tuple[Offer, ...]:
    """Every item for a part in quotes whose supplier and currencies are known, by name.

    A quote dated after today is not there yet, and replaces none.
    """
    known = tuple(entry for entry in folder.quotes if entry.record.date <= today)
    replaced = _replaced(known)
    found = []
    for entry in known:
        items = [index for index, item in enumerate(entry.record.items) if item.part == part]
        for index in items:
            case = _case(folder, entry, index, rates, today)
            if case is not None and rates_known(case):
                name = f"{entry.supplier}/{entry.record.quote}"
                name += f" item {index + 1}" if len(items) > 1 else ""
                found.append(_offer(case, name, replaced))
    return tuple(sorted(found, key=lambda offer: offer.name))


def cases_of(folder: Folder, rates: RateTable, today: datetime.date) -> tuple[Case, ...]:
    """Every item of every quote that is there and not replaced, for whatever part it is."""
    known = tuple(entry for entry in folder.quotes if entry.record.date <= today)
    replaced = _replaced(known)
    found = [
        _case(folder, entry, index, rates, today)
        for entry in known
        if (entry.supplier, entry.record.quote) not in replaced
        for index in range(len(entry.record.items))
    ]
    return tuple(case for case in found if case is not None and rates_known(case))


def _replaced(quotes: tuple[QuoteEntry, ...]) -> Mapping[tuple[str, str], str]:
    return {
        (entry.supplier, entry.record.replaces): entry.record.quote
        for entry in quotes
        if entry.record.replaces is not None
    }


def _case(
    folder: Folder, entry: QuoteEntry, index: int, rates: RateTable, today: datetime.date
) -> Case | None:
    item = entry.record.items[index]
    if folder.workshop is None or entry.supplier not in folder.suppliers:
        return None
    return Case(
        workshop=folder.workshop,
        part=folder.parts[item.part],
        supplier=folder.suppliers[entry.supplier],
        quote_entry=entry,
        item_number=index,
        rates=rates,
        today=today,
        orders=folder.orders.get(item.part),
    )


def currencies_of(value: object) -> frozenset[str]:
    """Every currency that an amount somewhere inside a record is written in."""
    if isinstance(value, Money):
        return frozenset({value.currency})
    if isinstance(value, tuple):
        return frozenset[str]().union(*(currencies_of(each) for each in value))
    if isinstance(value, Form):
        fields = type(value).model_fields
        return frozenset[str]().union(*(currencies_of(getattr(value, name)) for name in fields))
    money = getattr(value, "money", None)
    return frozenset({money.currency}) if isinstance(money, Money) else frozenset()


def quote_wide(quote: Quote) -> tuple[object, ...]:
    """What a quote says of money outside its items."""
    return (quote.charges, quote.terms, (quote.minimum_value,))


def rates_known(case: Case) -> bool:
    """Whether every currency of the item, the part and our own assumptions has a rate (R10)."""
    quote = case.quote
    ours = (case.workshop.record, case.part.record)
    written = currencies_of((case.item, quote_wide(quote), *ours))
    paid = {quote.currency, quote.pay_in or quote.currency}
    return all(case.rates.knows(currency) for currency in written | paid)


def _offer(case: Case, name: str, replaced: Mapping[tuple[str, str], str]) -> Offer:
    bill = bill_of(case)
    standing, why, place = _standing(case, bill, replaced)
    return Offer(
        name=name,
        supplier=case.quote_entry.supplier,
        supplier_name=case.supplier.record.name,
        quote=case.quote.quote,
        process=case.process,
        currency=case.quote.currency,
        bill=bill,
        standing=standing,
        why=why,
        place=place,
        arrival=arrival_of(case),
        last_day=case.quote.last_day(),
        case=case,
        fit=fit_of_offer(case),
    )


def _standing(
    case: Case, bill: Bill, replaced: Mapping[tuple[str, str], str]
) -> tuple[Standing, str, Place]:
    """Right revision, not expired, not replaced, nothing missing that could turn it (R15)."""
    quote, item, part = case.quote, case.item, case.part.record
    later = replaced.get((case.quote_entry.supplier, quote.quote))
    if later is not None:
        why = f"Quote {quote.quote} is replaced by {later}."
        return Standing.REPLACED, why, case.at_quote("quote")
    last = quote.last_day()
    if last is not None and last < case.today:
        why = f"Quote {quote.quote} could be signed until {in_words(last)} only."
        return Standing.EXPIRED, why, case.at_quote("valid until")
    if isinstance(item.revision, str) and item.revision != part.revision:
        why = f"Quoted for revision {item.revision}; the drawing is at {part.revision}."
        return Standing.WRONG_REVISION, why, case.at_item("revision")
    if bill.blocking:
        why = "; ".join(gap.what for gap in bill.blocking).capitalize() + "."
        return Standing.NOT_ENOUGH_KNOWN, why, bill.blocking[0].place
    return Standing.HOLDS, "", case.at_item()
