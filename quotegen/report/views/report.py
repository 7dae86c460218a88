"""The whole report as finished values: everything that the pages print, and nothing to reckon."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from quotegen.basics.days import in_words
from quotegen.basics.printed import adding_up, counted, day, listed, money, printed
from quotegen.basics.problem import Problem, Severity
from quotegen.basics.sentences import Wording
from quotegen.basics.wording import WORDINGS
from quotegen.compare.route import Route, exposure_of
from quotegen.judge.advice import Outcome
from quotegen.judge.reasons import route_words, suppliers_of
from quotegen.judge.studied import PartStudy, Study
from quotegen.model.entry import Entry
from quotegen.model.workshop import Workshop
from quotegen.report.markdown_text import Text, text_of
from quotegen.report.views.bill import exposure_table
from quotegen.report.views.decisions import (
    PartDecisions,
    decisions_by_part,
    due_table,
    records_of,
)
from quotegen.report.views.names import (
    NOTHING_TO_BUY,
    capital,
    outcome_of,
    pages_of,
    part_page,
    settled_routes,
    supplier_page,
)
from quotegen.report.views.part import PartView, part_view
from quotegen.report.views.quote import QuoteView, SupplierView, quote_views, supplier_views
from quotegen.report.views.shape import NONE, Cell, Column, Row, Table, figures, row, short, words
from quotegen.report.views.written import as_written
from quotegen.templates_folder import templates_folder

PLACEHOLDER = {
    "{": "\N{SINGLE LEFT-POINTING ANGLE QUOTATION MARK}",
    "}": "\N{SINGLE RIGHT-POINTING ANGLE QUOTATION MARK}",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexView:
    """All parts at a glance, the money by currency, what is due, what to know."""

    summary: str
    parts: Table | None
    exposure: Table | None
    due: Table | None
    suppliers: Table | None
    workshop: Table | None
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemsView:
    """The problems of this folder, and the words of every problem there is."""

    errors: tuple[Problem, ...]
    notices: tuple[Problem, ...]
    codes: Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Everything that the pages print; parts by part, suppliers by short name, quotes by page."""

    workshop: str
    today: str
    version: str
    index: IndexView
    parts: Mapping[str, PartView]
    suppliers: Mapping[str, SupplierView]
    quotes: Mapping[str, QuoteView]
    decisions: tuple[PartDecisions, ...]
    problems: ProblemsView
    method: Text
    glossary: Text


def report_of(study: Study, version: str) -> Report:
    """The report of a study; the same study gives the same values."""
    pages = pages_of(study.folder.quotes)
    decisions = study.folder.decisions
    workshop = study.folder.workshop
    return Report(
        workshop=workshop.record.name if workshop is not None else "A workshop",
        today=day(study.today),
        version=version,
        index=_index(study),
        parts={
            name: part_view(
                each, pages, study.problems, records_of(name, decisions, study.standing), version
            )
            for name, each in sorted(study.parts.items())
        },
        suppliers=supplier_views(study, pages),
        quotes=quote_views(study, pages),
        decisions=decisions_by_part(study),
        problems=_problems(study.problems),
        method=_our_text("method.md"),
        glossary=_our_text("glossary.md"),
    )


@cache
def _our_text(name: str) -> Text:
    return text_of((templates_folder() / name).read_text(encoding="utf-8"))


def _index(study: Study) -> IndexView:
    workshop = study.folder.workshop
    return IndexView(
        summary=_summary(study),
        parts=_parts_table(study),
        exposure=_exposure(study),
        due=due_table(study.parts),
        suppliers=_suppliers_table(study),
        workshop=_workshop_table(workshop) if workshop is not None else None,
        note=(workshop.record.note or "") if workshop is not None else "",
    )


def _summary(study: Study) -> str:
    """One sentence about all parts: how many are settled, and what that comes to."""
    found = [outcome_of(each.comparison, each.advice) for each in study.parts.values()]
    quotes = counted(len(study.folder.quotes), "quote")
    told = [
        f"{found.count(outcome)} {words_for}"
        for outcome, words_for in _OUTCOMES.items()
        if outcome in found
    ]
    settled = f": {listed(told)}" if told else ""
    return f"{counted(len(found), 'part')}, {quotes}{settled}. Compared on {in_words(study.today)}."


_OUTCOMES = {
    Outcome.CHOSEN.value: "with a route",
    Outcome.TIE.value: "too close to call",
    Outcome.UNKNOWN.value: "where we have to ask first",
    Outcome.NO_ROUTE.value: "without a route",
    NOTHING_TO_BUY: "with nothing to buy",
}


def _settled(study: Study) -> list[PartStudy]:
    return [
        each
        for _, each in sorted(study.parts.items())
        if each.advice.route is not None and each.advice.cost is not None
    ]


def _parts_table(study: Study) -> Table | None:
    if not study.parts or study.folder.workshop is None:
        return None
    currency = study.folder.workshop.record.currency
    settled = _settled(study)
    totals = [each.advice.paid(each.advice.cost) for each in settled if each.advice.cost]
    shown = dict(zip((each.part for each in settled), adding_up(totals, currency), strict=True))
    total = printed(sum(totals, Fraction(0)), currency)
    blank = [""] * 4
    return Table(
        caption=f"All parts; amounts in {currency}",
        columns=_PARTS_COLUMNS,
        rows=tuple(
            _part_row(each, shown.get(name, NONE), currency, study)
            for name, each in sorted(study.parts.items())
        ),
        foot=row("Total of the settled parts; of a tie, the first", "", "", total, *blank, ""),
    )


_PARTS_COLUMNS = (
    *words("Part", "Outcome", "Route"),
    *figures("Paid in all"),
    Column(head="Each, all in", is_figure=True, term="each-all-in"),
    Column(head="Pays back at", is_figure=True),
    *short("First parts"),
    *figures("To ask"),
    *short("On record"),
)


def _part_row(study: PartStudy, total: str, currency: str, whole: Study) -> Row:
    comparison, advice = study.comparison, study.advice
    part, cost = comparison.part, advice.cost
    name = Cell(
        text=part.record.name,
        small=f"{study.part.upper()}, revision {part.record.revision}",
        href=part_page(study.part),
    )
    routes, route = settled_routes(advice), advice.route
    records = records_of(study.part, whole.folder.decisions, whole.standing)
    blocking = sum(1 for each in advice.questions if each.blocks)
    asked = Cell(text=str(len(advice.questions)), small=f"{blocking} blocking" if blocking else "")
    return row(
        name,
        outcome_of(comparison, advice),
        _route_cell(routes) if routes else NONE,
        total,
        printed(advice.paid(cost) / cost.good, currency) if route and cost else NONE,
        _pays_back(study),
        day(route.first_parts) if route is not None and route.first_parts else NONE,
        asked,
        Cell(text=records.last or "nothing", small=records.holds),
    )


def _route_cell(routes: Sequence[Route]) -> Cell:
    """The route to take; in a tie every one of them, since none is chosen."""
    what = dict.fromkeys(capital(route_words(each)) for each in routes)
    who = dict.fromkeys(suppliers_of(each) for each in routes)
    return Cell(text=" or ".join(what), small=" or ".join(who))


def _pays_back(study: PartStudy) -> Cell:
    found = study.advice.break_even
    if study.advice.route is None:
        return Cell(text=NONE)
    if found is None:
        why = "nothing to compare" if study.advice.route.has_tool else "no tool to pay"
        return Cell(text=NONE, small=why)
    if found.first_cheaper is None:
        return Cell(text="never", small=f"within {found.up_to:,}")
    months = study.comparison.needs.months_until(found.first_cheaper)
    return Cell(text=f"{found.first_cheaper:,}", small=f"about {counted(months, 'month')}")


def _exposure(study: Study) -> Table | None:
    """The money of all settled routes by currency."""
    if study.folder.workshop is None:
        return None
    own = study.folder.workshop.record.currency
    found: dict[str, Fraction] = {}
    for each in _settled(study):
        if each.advice.cost is not None:
            for currency, amount in exposure_of(each.advice.cost).items():
                found[currency] = found.get(currency, Fraction(0)) + amount
    if not found:
        return None
    total = money(sum(found.values(), Fraction(0)), own)
    caption = f"The {total} of all settled routes in the plain comparison, by currency"
    return exposure_table(found, own, caption)


def _suppliers_table(study: Study) -> Table | None:
    rows = tuple(_supplier_rows(study))
    if not rows:
        return None
    return Table(
        caption="Who quotes, and who is in a route",
        columns=(*words("Supplier", "Processes", "Country"), *figures("Quotes", "In a route")),
        rows=rows,
    )


def _supplier_rows(study: Study) -> Iterator[Row]:
    routes = [route for each in _settled(study) for route in settled_routes(each.advice)]
    for name, entry in sorted(study.folder.suppliers.items()):
        quotes = sum(1 for each in study.folder.quotes if each.supplier == name)
        taken = sum(1 for route in routes if any(each.supplier == name for each in route.offers))
        yield row(
            Cell(text=entry.record.name, href=supplier_page(name)),
            ", ".join(each.value for each in entry.record.processes),
            entry.record.country,
            str(quotes),
            str(taken),
        )


def _workshop_table(workshop: Entry[Workshop]) -> Table:
    return as_written(
        workshop.record, workshop.places, "Assumptions of workshop.yaml, as they were read"
    )


def _problems(problems: tuple[Problem, ...]) -> ProblemsView:
    return ProblemsView(
        errors=tuple(each for each in problems if each.severity is Severity.ERROR),
        notices=tuple(each for each in problems if each.severity is Severity.NOTICE),
        codes=Table(
            caption="Every problem that can be reported",
            columns=words("Code", "Weight", "What it says", "What happens", "What to do"),
            rows=tuple(_code_row(code, WORDINGS[code]) for code in sorted(WORDINGS)),
        ),
    )


def _code_row(code: str, wording: Wording) -> Row:
    """The words with their blanks, which are filled in from the file."""
    texts = (wording.message, wording.happens, wording.remedy)
    blanks = str.maketrans(PLACEHOLDER)
    return row(code, wording.severity, *(each.translate(blanks) for each in texts), anchor=code)
