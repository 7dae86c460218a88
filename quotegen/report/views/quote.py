"""The pages of suppliers and of their quotes: what was read, and what it comes to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from quotegen.basics.printed import day, money
from quotegen.basics.problem import Problem
from quotegen.costing.offer import Offer
from quotegen.judge.studied import PartStudy, Study
from quotegen.model.entry import Entry, QuoteEntry
from quotegen.model.supplier import Supplier
from quotegen.report.views.bill import Bill, bill_of_offer
from quotegen.report.views.names import (
    Pages,
    part_page,
    recommended,
    settled_routes,
    supplier_page,
)
from quotegen.report.views.part import QuestionsTo, asked_of
from quotegen.report.views.shape import NONE, Cell, Fact, Row, Table, figures, row, words
from quotegen.report.views.written import as_written


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemView:
    """One item of a quote: whether it can be signed, and its bill at the need of its part."""

    title: str
    part: str
    part_href: str
    standing: str
    why: str
    bill: Bill | None
    gaps: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteView:
    """One quote with its items, every value as read, and the files that it came in."""

    page: str
    quote: str
    supplier: str
    supplier_href: str
    facts: tuple[Fact, ...]
    items: tuple[ItemView, ...]
    written: Table
    note: str
    files: tuple[str, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplierView:
    """One supplier: the quotes, what they won, and what to ask."""

    page: str
    name: str
    facts: tuple[Fact, ...]
    written: Table
    quotes: Table | None
    questions: tuple[QuestionsTo, ...]
    note: str


def quote_views(study: Study, pages: Pages) -> Mapping[str, QuoteView]:
    """Every quote of the folder by its page."""
    offers = [offer for each in study.parts.values() for offer in each.comparison.offers]
    found = [_quote(entry, study, offers, pages) for entry in study.folder.quotes]
    return {view.page: view for view in sorted(found, key=lambda each: each.page)}


def _quote(entry: QuoteEntry, study: Study, offers: Iterable[Offer], pages: Pages) -> QuoteView:
    quote = entry.record
    own = [offer for offer in offers if _is_of(offer, entry)]
    supplier = study.folder.suppliers.get(entry.supplier)
    return QuoteView(
        page=pages.quote(entry),
        quote=quote.quote,
        supplier=supplier.record.name if supplier is not None else entry.supplier,
        supplier_href=supplier_page(entry.supplier) if supplier is not None else "",
        facts=tuple(_quote_facts(entry)),
        items=tuple(_item(offer, study.parts, pages) for offer in own),
        written=as_written(quote, entry.places, "Every value as it was read"),
        note=quote.note or "",
        files=entry.files,
        problems=tuple(each for each in study.problems if each.place.path in entry.files),
    )


def _is_of(offer: Offer, entry: QuoteEntry) -> bool:
    own = offer.case.quote_entry
    return (own.supplier, own.name) == (entry.supplier, entry.name)


def _quote_facts(entry: QuoteEntry) -> Iterable[Fact]:
    quote, last = entry.record, entry.record.last_day()
    yield Fact(label="Date", text=day(quote.date))
    yield Fact(label="Can be signed until", text=day(last) if last is not None else "not stated")
    yield Fact(label="Currency", text=quote.currency)
    if quote.pay_in is not None and quote.pay_in != quote.currency:
        yield Fact(label="Paid in", text=quote.pay_in)
    term = quote.delivery
    rule = f"{term.rule.value} {term.place}" if term is not None else "not stated"
    yield Fact(label="Delivery, Incoterms 2020", text=rule)
    if quote.replaces is not None:
        yield Fact(label="Replaces", text=quote.replaces)


def _item(offer: Offer, studies: Mapping[str, PartStudy], pages: Pages) -> ItemView:
    part = offer.case.part
    comparison = studies[part.name].comparison
    cost = comparison.costs.get(offer.name)
    return ItemView(
        title=f"{part.record.name}, {part.name.upper()}",
        part=part.name,
        part_href=part_page(part.name),
        standing=offer.standing.value,
        why=offer.why,
        bill=bill_of_offer(comparison, cost, offer.case.item_number, pages) if cost else None,
        gaps=tuple(gap.what for gap in offer.bill.gaps),
    )


def supplier_views(study: Study, pages: Pages) -> Mapping[str, SupplierView]:
    """Every supplier of the folder by short name."""
    return {
        name: _supplier(entry, study, pages)
        for name, entry in sorted(study.folder.suppliers.items())
    }


def _supplier(entry: Entry[Supplier], study: Study, pages: Pages) -> SupplierView:
    supplier = entry.record
    quotes = [each for each in study.folder.quotes if each.supplier == entry.name]
    return SupplierView(
        page=supplier_page(entry.name),
        name=supplier.name,
        facts=(
            Fact(label="Processes", text=", ".join(each.value for each in supplier.processes)),
            Fact(label="Place", text=", ".join(filter(None, (supplier.place, supplier.country)))),
        ),
        written=as_written(supplier, entry.places, "Every value as it was read"),
        quotes=_quotes_table(quotes, study, pages),
        questions=_questions(entry.name, study, pages),
        note=supplier.note or "",
    )


def _quotes_table(quotes: list[QuoteEntry], study: Study, pages: Pages) -> Table | None:
    rows = [each for entry in quotes for each in _quote_rows(entry, study, pages)]
    if not rows:
        return None
    return Table(
        caption="Quotes, an item in each row",
        columns=(
            *words("Quote", "Part", "Standing"),
            *figures("Total at our need"),
            *words("In the route"),
        ),
        rows=tuple(rows),
    )


def _quote_rows(entry: QuoteEntry, study: Study, pages: Pages) -> Iterable[Row]:
    for each in study.parts.values():
        for offer in each.comparison.offers:
            if _is_of(offer, entry):
                yield _quote_row(offer, each, pages)


def _quote_row(offer: Offer, study: PartStudy, pages: Pages) -> Row:
    currency = study.comparison.workshop.record.currency
    cost, route = study.comparison.costs.get(offer.name), recommended(study.advice)
    taken = route is not None and any(each.name == offer.name for each in route.offers)
    tied = {each.name for route in settled_routes(study.advice) for each in route.offers}
    part = study.comparison.part
    return row(
        Cell(text=offer.quote, href=pages.offer(offer)),
        Cell(text=part.record.name, small=part.name.upper(), href=part_page(part.name)),
        Cell(text=offer.standing.value, small=offer.why),
        money(cost.total, currency) if cost is not None else NONE,
        "yes" if taken else "tied" if offer.name in tied else "no",
        marked=taken,
    )


def _questions(supplier: str, study: Study, pages: Pages) -> tuple[QuestionsTo, ...]:
    """What to ask one supplier, part by part."""
    found = []
    for each in study.parts.values():
        offers = {offer.name: offer for offer in each.comparison.offers}
        asked = tuple(
            asked_of(question, offers[question.offer], pages)
            for question in each.advice.questions
            if offers[question.offer].supplier == supplier and question.to != "ourselves"
        )
        if asked:
            found.append(QuestionsTo(to=each.comparison.part.record.name, questions=asked))
    return tuple(found)
