"""The brief: two sheets for the partner. What does not fit is shortened by the rule of fitting.py.

Sizes are in points and match templates/brief.css: change both together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from quotegen.basics.days import in_words
from quotegen.basics.printed import counted, day
from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import Advice
from quotegen.judge.reasons import headline, lead
from quotegen.judge.turning.over_two import Turned
from quotegen.model.fields import Load
from quotegen.report.charts.letters import SEMIBOLD, wrapped
from quotegen.report.charts.sheet import WIDTH
from quotegen.report.fitting import SENTENCE_END, Space, fitted, is_cut, lines_of
from quotegen.report.views.figures import figures_of
from quotegen.report.views.orders import decide_by
from quotegen.report.views.quantity import total_chart
from quotegen.report.views.routes import Routes, routes_of
from quotegen.report.views.shape import Chart, Figure, Row, Table
from quotegen.report.views.sheet_two import SecondSheet, second_sheet

WIDE = 470.0
HEADLINE = Space(width=WIDE, size=21, lines=2, weight=SEMIBOLD)
FINDING = Space(width=WIDE, size=12, lines=2, weight=SEMIBOLD)
LEAD = Space(width=460.0, size=11.5, lines=5)
LABEL = Space(width=142.0, size=9, lines=2)
VALUE = Space(width=142.0, size=18, lines=1, weight=SEMIBOLD)
NOTE = Space(width=142.0, size=9, lines=4)
ROUTE = Space(width=196.0, size=9.5, lines=1, weight=SEMIBOLD)
SUPPLIER = Space(width=196.0, size=9.5, lines=1)
TITLE = Space(width=176.0, size=9.5, lines=1, weight=SEMIBOLD)
FIELD = Space(width=64.0, size=8.5, lines=1)
WIDE_FIELD = Space(width=102.0, size=8.5, lines=1)
SHORT_FIELD = Space(width=52.0, size=8.5, lines=1)
SHEET, ROUTES_HEAD, ROUTE_HEIGHT, MORE = 699.0, 44.0, 31.5, 14.0
MOST_ROUTES, MOST_NAMED = 6, 3
BEFORE = "what must be agreed first stands on sheet 2."
OF_LOAD = {
    Load.NONE: "",
    Load.BEARS_LOAD: f"The part bears load: {BEFORE}",
    Load.PERSON_RELIES: f"A person relies on the part: {BEFORE}",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """The fields of the title block, after ISO 7200."""

    title: str
    part: str
    revision: str
    record: str
    issued: str
    prepared: str
    owner: str
    rests_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """Two sheets, ready to print; shortened is True where any text was cut to fit."""

    block: Block
    decide_by: str
    headline: tuple[str, ...]
    lead: str
    figures: tuple[Figure, ...]
    chart: Chart | None
    no_chart: str
    routes: Table | None
    more_routes: str
    of_load: str
    second: SecondSheet
    shortened: bool


def brief_of(
    comparison: Comparison,
    advice: Advice,
    *,
    record: str,
    version: str,
    turned: Turned | None = None,
) -> Brief:
    title = _headline_lines(headline(comparison, advice))
    opening = fitted(lead(comparison, advice), LEAD)
    three = tuple(_fitted_figure(each) for each in figures_of(comparison, advice))
    chart = _chart(comparison, advice)
    routes = routes_of(comparison, advice)
    room = _rows_that_fit(title, opening, three, chart)
    shown = _shown(routes, max(room, min(routes.named, MOST_NAMED)))
    second = second_sheet(comparison, advice, turned)
    every = len(routes.table.rows) if routes.table is not None else 0
    return Brief(
        block=_block(comparison, record, version),
        decide_by=_decide_by(comparison, advice),
        headline=title,
        lead=opening,
        figures=three,
        chart=chart,
        no_chart="No price has been quoted yet, so there is nothing to draw.",
        routes=shown,
        more_routes=_more(every - (len(shown.rows) if shown is not None else 0)),
        of_load=OF_LOAD[comparison.part.record.load],
        second=second,
        shortened=any(map(is_cut, (*title, opening, *_texts(three, chart, shown), *second.texts))),
    )


def _texts(three: Sequence[Figure], chart: Chart | None, routes: Table | None) -> Iterator[str]:
    yield chart.title if chart is not None else ""
    for each in three:
        yield from (each.label, each.value, each.note)
    for row in routes.rows if routes is not None else ():
        yield from (row.cells[0].text, row.cells[0].small)


def _shown(routes: Routes, most: int) -> Table | None:
    """The first routes, with names that fit."""
    if routes.table is None:
        return None
    return replace(routes.table, rows=tuple(_named(each) for each in routes.table.rows[:most]))


def _named(each: Row) -> Row:
    first, *rest = each.cells
    cell = replace(first, text=fitted(first.text, ROUTE), small=fitted(first.small, SUPPLIER))
    return replace(each, cells=(cell, *rest))


def _headline_lines(text: str) -> tuple[str, ...]:
    """Broken after a sentence where each fits a line by itself, else into lines of like length."""
    sentences = SENTENCE_END.split(text)
    fit = all(lines_of(each, HEADLINE) == 1 for each in sentences)
    if lines_of(text, HEADLINE) > 1 and fit and len(sentences) <= HEADLINE.lines:
        return tuple(sentences)
    return wrapped(text, WIDE, HEADLINE.size, SEMIBOLD, HEADLINE.lines)


def _rows_that_fit(
    title: Sequence[str], opening: str, three: Sequence[Figure], chart: Chart | None
) -> int:
    """How many routes the first sheet holds below what stands there already."""
    used = 16.0 + 12 + 25 * len(title) + 17 + 16 * lines_of(opening, LEAD)
    used += 36 + 12 * max(lines_of(each.label, LABEL) for each in three)
    used += 11.5 * max(lines_of(each.note, NOTE) for each in three)
    if chart is not None:
        used += 16 * lines_of(chart.title, FINDING) + chart.height * WIDE / WIDTH
    used += 16 if chart is not None else 29
    return min(MOST_ROUTES, int((SHEET - used - ROUTES_HEAD - MORE) // ROUTE_HEIGHT))


def _more(number: int) -> str:
    return f"{counted(number, 'more route')} in the report." if number > 0 else ""


def _block(comparison: Comparison, record: str, version: str) -> Block:
    part = comparison.part
    entries = [offer.case.quote_entry for offer in comparison.offers]
    quotes = {(each.supplier, each.name) for each in entries}
    return Block(
        title=fitted(part.record.name, TITLE),
        part=fitted(part.name.upper(), FIELD),
        revision=fitted(part.record.revision, SHORT_FIELD),
        record=fitted(record, WIDE_FIELD),
        issued=day(comparison.today),
        prepared=f"quotegen {version}",
        owner=fitted(comparison.workshop.record.name, TITLE),
        rests_on=f"{counted(len(quotes), 'quote')}, embedded here" if quotes else "no quote",
    )


def _decide_by(comparison: Comparison, advice: Advice) -> str:
    last = decide_by(comparison, advice)
    return f"For the partner's decision by {in_words(last)}" if last else "For the partner"


def _chart(comparison: Comparison, advice: Advice) -> Chart | None:
    drawable = bool(comparison.singles) and comparison.needs.high > 0
    if not drawable:
        return None
    chart = total_chart(comparison, advice, brief=True)
    return replace(chart, title=fitted(chart.title, FINDING))


def _fitted_figure(figure: Figure) -> Figure:
    return Figure(
        label=fitted(figure.label, LABEL),
        value=fitted(figure.value, VALUE),
        note=fitted(figure.note, NOTE),
    )
