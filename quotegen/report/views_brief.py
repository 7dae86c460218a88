"""The brief: two sheets for the partner. What does not fit is shortened by the rule of fitting.py.

Sizes are in points and match templates/brief.css: change both together.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace

from quotegen.basics.days import in_words
from quotegen.basics.printed import counted, day, listed, printed, round_difference, round_money
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt, Route
from quotegen.judge.advice import Advice
from quotegen.judge.reasons import headline, lead, route_words, suppliers_of
from quotegen.report.fitting import SENTENCE_END, Space, fitted, is_cut, lines_of
from quotegen.report.letters import SEMIBOLD, wrapped
from quotegen.report.sheet import WIDTH
from quotegen.report.views_agree import Agreement, agreement_of
from quotegen.report.views_change import changes
from quotegen.report.views_figures import figures_of
from quotegen.report.views_names import capital, currency_of
from quotegen.report.views_quantity import total_chart
from quotegen.report.views_shape import (
    Cell,
    Chart,
    Fact,
    Figure,
    Row,
    Table,
    figures,
    row,
    short,
    words,
)
from quotegen.report.views_sure import Sureness, sureness_of
from quotegen.report.views_time import timeline

WIDE, HALF = 470.0, 222.0
HEADLINE = Space(width=WIDE, size=21, lines=2, weight=SEMIBOLD)
FINDING = Space(width=WIDE, size=12, lines=1, weight=SEMIBOLD)
LEAD = Space(width=460.0, size=11.5, lines=5)
LABEL = Space(width=142.0, size=9, lines=2)
VALUE = Space(width=142.0, size=18, lines=1, weight=SEMIBOLD)
NOTE = Space(width=142.0, size=9, lines=3)
ROUTE = Space(width=196.0, size=9.5, lines=1, weight=SEMIBOLD)
SUPPLIER = Space(width=196.0, size=9.5, lines=1)
QUESTION = Space(width=HALF - 16, size=9.5, lines=2)
CHANGE = Space(width=HALF, size=9.5, lines=1)
CAUTIONS = Space(width=HALF, size=9.5, lines=9)
SENTENCE = Space(width=HALF, size=9.5, lines=3)
AGREE = Space(width=WIDE - 14, size=9.5, lines=2)
TITLE = Space(width=176.0, size=9.5, lines=1, weight=SEMIBOLD)
FIELD = Space(width=64.0, size=8.5, lines=1)
WIDE_FIELD = Space(width=102.0, size=8.5, lines=1)
SHORT_FIELD = Space(width=52.0, size=8.5, lines=1)
SHEET, ROUTES_HEAD, ROUTE_HEIGHT, MORE = 684.0, 44.0, 31.5, 14.0
LEAST_ROUTES, MOST_ROUTES, MOST_QUESTIONS, MOST_CHANGES, MOST_BARS = 2, 6, 3, 4, 3
AGREED_LINES, MOST_CAUTION_LINES, MANY = 9, 18, 3


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
    timeline: Chart | None
    sure: Sureness
    changes: tuple[Fact, ...]
    questions: tuple[str, ...]
    more_questions: str
    cautions: str
    agree: Agreement
    shortened: bool


def brief_of(comparison: Comparison, advice: Advice, *, record: str, version: str) -> Brief:
    title = _headline_lines(headline(comparison, advice))
    opening = fitted(lead(comparison, advice), LEAD)
    three = tuple(_fitted_figure(each) for each in figures_of(comparison, advice))
    chart = _chart(comparison, advice)
    routes = _routes(comparison, advice)
    shown = _rows_that_fit(title, opening, three, chart)
    asked = _asked(advice)
    second = _second_sheet(comparison, advice)
    questions = tuple(fitted(each, QUESTION) for each in asked[:MOST_QUESTIONS])
    cautions = fitted(" ".join(advice.cautions), second.room_for_cautions())
    return Brief(
        block=_block(comparison, record, version),
        decide_by=_decide_by(advice),
        headline=title,
        lead=opening,
        figures=three,
        chart=chart,
        no_chart="No price has been quoted yet, so there is nothing to draw.",
        routes=_routes_table(comparison, advice, routes[:shown]),
        more_routes=_more(len(routes) - shown, "route"),
        timeline=second.timeline,
        sure=second.sure,
        changes=second.changes,
        questions=questions,
        more_questions=_more(len(asked) - MOST_QUESTIONS, "question"),
        cautions=cautions,
        agree=second.agree,
        shortened=any(map(is_cut, (*title, opening, *questions, cautions, *second.agree.points))),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _SecondSheet:
    """What stands on the second sheet before the cautions get the room that is left."""

    timeline: Chart | None
    sure: Sureness
    changes: tuple[Fact, ...]
    agree: Agreement

    def room_for_cautions(self) -> Space:
        drawing = self.timeline.height * WIDE / WIDTH + 36 if self.timeline is not None else 0
        rows = len(self.sure.table.rows) + 1 if self.sure.table is not None else 0
        left = 13 * lines_of(self.sure.sentence, SENTENCE) + 17 * rows
        agreed = sum(13 * lines_of(each, AGREE) + 2.5 for each in self.agree.points)
        used = 16 + drawing + 33 + max(left, 29 * len(self.changes)) + 33 + 33 + agreed + 60
        lines = int((SHEET - used) // 13)
        return replace(CAUTIONS, lines=max(CAUTIONS.lines, min(MOST_CAUTION_LINES, lines)))


def _second_sheet(comparison: Comparison, advice: Advice) -> _SecondSheet:
    return _SecondSheet(
        timeline=_timeline(comparison, advice),
        sure=_fitted_sureness(sureness_of(comparison, advice)),
        changes=tuple(_fitted_fact(each) for each in changes(comparison, advice)[:MOST_CHANGES]),
        agree=_fitted_agreement(agreement_of(comparison, advice)),
    )


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
    """How many routes the first sheet holds below what stands there already: two at least."""
    used = 16.0 + 12 + 25 * len(title) + 17 + 16 * lines_of(opening, LEAD)
    used += 36 + 12 * max(lines_of(each.label, LABEL) for each in three)
    used += 11.5 * max(lines_of(each.note, NOTE) for each in three)
    used += 32 + (chart.height * WIDE / WIDTH if chart is not None else 13)
    left = SHEET - used - ROUTES_HEAD - MORE
    return max(LEAST_ROUTES, min(MOST_ROUTES, int(left // ROUTE_HEIGHT)))


def _timeline(comparison: Comparison, advice: Advice) -> Chart | None:
    if not comparison.offers:
        return None
    drawn = timeline(comparison, advice, others=False, most=MOST_BARS)
    return replace(drawn, title=fitted(drawn.title, FINDING)) if drawn is not None else None


def _more(number: int, what: str) -> str:
    return f"{counted(number, f'more {what}')} in the report." if number > 0 else ""


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


def _decide_by(advice: Advice) -> str:
    last = last_day_of(advice.route)
    return f"For the partner's decision by {in_words(last)}" if last else "For the partner"


def last_day_of(route: Route | None) -> datetime.date | None:
    """The day on which the first of the route's quotes can be signed for the last time."""
    days = [offer.last_day for offer in route.offers if offer.last_day] if route else []
    return min(days, default=None)


def _chart(comparison: Comparison, advice: Advice) -> Chart | None:
    drawable = bool(comparison.singles) and comparison.needs.high > 0
    if not drawable:
        return None
    chart = total_chart(comparison, advice, brief=True)
    return replace(chart, title=fitted(chart.title, FINDING))


def _fitted_sureness(sure: Sureness) -> Sureness:
    return Sureness(sentence=fitted(sure.sentence, SENTENCE), table=sure.table)


def _fitted_figure(figure: Figure) -> Figure:
    return Figure(
        label=fitted(figure.label, LABEL),
        value=fitted(figure.value, VALUE),
        note=fitted(figure.note, NOTE),
    )


def _fitted_fact(fact: Fact) -> Fact:
    return Fact(label=fitted(fact.label, CHANGE), text=fitted(fact.text, CHANGE))


def _fitted_agreement(agree: Agreement) -> Agreement:
    """As many points as fit; the last two say what can be cancelled and when to look again."""
    items = [fitted(each, AGREE) for each in agree.points]
    first, last = items[:-2], items[-2:]
    while first and sum(lines_of(each, AGREE) for each in (*first, *last)) > AGREED_LINES:
        first = first[:-1]
    return Agreement(title=fitted(agree.title, FINDING), points=(*first, *last))


def _routes(comparison: Comparison, advice: Advice) -> list[CostAt]:
    """The recommended route, the rest of the ranking, then what is late or cannot be signed."""
    found = (
        {} if advice.route is None or advice.cost is None else {advice.cost.route.name: advice.cost}
    )
    for cost in advice.ranking:
        found.setdefault(cost.route.name, cost)
    others = [comparison.costs[name] for name in comparison.singles if name in comparison.costs]
    for cost in sorted(others, key=lambda each: (not _holds(each.route), each.total)):
        found.setdefault(cost.route.name, cost)
    return list(found.values())


def _holds(route: Route) -> bool:
    return all(offer.holds for offer in route.offers)


def _routes_table(comparison: Comparison, advice: Advice, routes: Sequence[CostAt]) -> Table | None:
    if not routes:
        return None
    needs, currency = comparison.needs, currency_of(comparison)
    return Table(
        caption="Routes",
        columns=(
            *words(f"Route, amounts in {currency}"),
            *figures("Paid first", f"{needs.likely:,} good parts", "Each, all\N{NO-BREAK SPACE}in"),
            *figures("Against the best"),
            *short("First parts"),
        ),
        rows=tuple(_route_row(comparison, advice, each) for each in routes),
    )


def _route_row(comparison: Comparison, advice: Advice, cost: CostAt) -> Row:
    route, currency = cost.route, currency_of(comparison)
    name = Cell(
        text=fitted(capital(route_words(route)), ROUTE), small=fitted(suppliers_of(route), SUPPLIER)
    )
    first = route.first_parts
    return row(
        name,
        round_money(cost.committed, currency).removesuffix(f" {currency}"),
        round_money(cost.total, currency).removesuffix(f" {currency}"),
        printed(cost.each, currency),
        _against(advice, cost),
        day(first) if first is not None else "not known",
        marked=advice.route is not None and advice.route.name == route.name,
    )


def _against(advice: Advice, cost: CostAt) -> str:
    """What it costs more than the cheapest, as printed; a word where it is no choice at all."""
    if not _holds(cost.route):
        return "cannot be signed"
    if all(each is not cost for each in advice.ranking):
        return "comes too late"
    best = advice.ranking[0]
    if best is cost:
        return "\N{EN DASH}"
    return f"+{round_difference(cost.total, best.total):,}"


def _asked(advice: Advice) -> list[str]:
    """What blocks first, then what is about the recommended route; each with whom to ask.

    The same question to several suppliers stands once.
    """
    own = {offer.name for offer in advice.route.offers} if advice.route is not None else set()
    order = sorted(advice.questions, key=lambda each: (not each.blocks, each.offer not in own))
    found: dict[str, dict[str, None]] = {}
    for each in order:
        found.setdefault(each.text, {})[each.to] = None
    return [f"{_whom(list(who))}: {_lower(text)}" for text, who in found.items()]


def _whom(who: list[str]) -> str:
    return listed(who) if len(who) < MANY else f"all {len(who)} suppliers"


def _lower(text: str) -> str:
    """A question after a colon; a word in capitals stays."""
    return text[:1].lower() + text[1:] if text[1:2].islower() or text[1:2] == " " else text
