"""The way from the order to the shelf, drawn on a scale of days (R17)."""

from __future__ import annotations

import calendar
import datetime
from collections.abc import Iterator

from quotegen.basics.days import in_words
from quotegen.basics.printed import day, listed
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt
from quotegen.costing.leadtime import Arrival, Stage
from quotegen.costing.offer import Offer
from quotegen.judge.advice import Advice
from quotegen.judge.reasons import DOING, verb_of
from quotegen.report.charts import Mark, Span, SpanKind, SpanRow, Timeline
from quotegen.report.views_names import capital
from quotegen.report.views_shape import Chart, drawn

HEAD = ("What", "Step", "From", "To")
MOST_ROWS = 8


def timeline(
    comparison: Comparison, advice: Advice, *, others: bool, most: int = MOST_ROWS
) -> Chart | None:
    """The recommended route step by step; others adds a row for every other offer."""
    rows = tuple(_rows(comparison, advice, others=others))[:most]
    if not rows:
        return None
    start = _start(comparison)
    title = finding(comparison, advice)
    chart = Timeline(
        prefix="timeline" if others else "order",
        title=title,
        description="Bars from the order to the shelf, a row for each step, on a scale of months. "
        "The table holds the same days.",
        rows=rows,
        ticks=tuple(_months(start, max(span.end for each in rows for span in each.spans))),
        marks=tuple(_marks(comparison, start)),
        head=HEAD,
    )
    return drawn(title, chart.svg(), chart.table(), words_from=range(4))


def _start(comparison: Comparison) -> datetime.date:
    return min(offer.arrival.ordered for offer in comparison.offers)


def finding(comparison: Comparison, advice: Advice) -> str:
    """When the first parts come, against the day on which they are needed."""
    needed = comparison.part.record.needed_by
    if advice.route is None or advice.cost is None:
        return "When parts would come, if they were ordered on the first day of the plan"
    first = advice.route.first_parts
    if first is None:
        return "Nobody has said when the first parts come"
    if advice.route.bridge:
        return _bridge_finding(comparison, advice.cost)
    if needed is None:
        return f"First parts are on the shelf on {in_words(first)}"
    days = (needed - first).days
    if days == 0:
        return "First parts are on the shelf on the very day they are needed"
    return f"First parts are on the shelf {_spell(days)} before they are needed"


def _spell(days: int) -> str:
    """A stretch of days as people say it: weeks from three on."""
    if days >= 21:
        return f"{days // 7} weeks"
    return f"{days} day{'' if days == 1 else 's'}"


def _bridge_finding(comparison: Comparison, cost: CostAt) -> str:
    high = comparison.needs.high_a_year
    on_hand = comparison.part.record.on_hand
    stock = f", with the {on_hand} on hand," if on_hand else ""
    first = DOING[verb_of(cost.route.offers[0])]
    return f"{capital(first)} {cost.route.bridge:,} covers the wait{stock} even at {high:,} a year"


def _rows(comparison: Comparison, advice: Advice, *, others: bool) -> Iterator[SpanRow]:
    start = _start(comparison)
    shown: set[str] = set()
    if advice.route is not None and advice.cost is not None:
        for leg in advice.cost.legs:
            is_main = leg.offer is advice.route.main
            yield from _of_leg(leg.offer, leg.orders.sizes[0], start, is_main=is_main)
            shown.add(leg.offer.name)
    if others or not shown:
        for offer in comparison.offers:
            if offer.name not in shown and offer.arrival.stages:
                yield _of_offer(offer, start)


def _of_leg(offer: Offer, pieces: int, start: datetime.date, *, is_main: bool) -> Iterator[SpanRow]:
    """The tool in a row of its own, then the first order of pieces."""
    arrival = offer.arrival
    tool = [stage for stage in arrival.stages if stage.is_tool]
    run = [stage for stage in arrival.stages if not stage.is_tool]
    if tool:
        names = listed([each.what for each in offer.case.item.tools])
        approved = f"approved by {_short(tool[-1].ends)}"
        yield SpanRow(
            name=f"{capital(names)} and samples",
            spans=tuple(_span(stage, start, _tool_kind(stage)) for stage in tool),
            end_label=approved,
        )
    if run:
        kind = SpanKind.ACCENT if is_main else SpanKind.OPEN
        yield SpanRow(
            name=f"{capital(DOING[verb_of(offer)])} the first {pieces:,}",
            spans=tuple(_span(stage, start, _run_kind(stage, kind)) for stage in run),
            end_label=_on_the_shelf(arrival),
            recommended=is_main,
        )


def _tool_kind(stage: Stage) -> SpanKind:
    return SpanKind.OPEN if stage.what == "our approval" else SpanKind.FILLED


def _run_kind(stage: Stage, kind: SpanKind) -> SpanKind:
    """The supplier's own run in the ink of the route; what follows is open."""
    return kind if stage.what == "run" else SpanKind.OPEN


def _of_offer(offer: Offer, start: datetime.date) -> SpanRow:
    return SpanRow(
        name=f"{capital(DOING[verb_of(offer)])}, {offer.supplier_name}",
        spans=tuple(_span(each, start, _plain_kind(each)) for each in offer.arrival.stages),
        end_label=_on_the_shelf(offer.arrival),
    )


def _plain_kind(stage: Stage) -> SpanKind:
    return SpanKind.FILLED if stage.is_tool else SpanKind.OPEN


def _on_the_shelf(arrival: Arrival) -> str:
    if arrival.first_parts is None:
        unknown = ["lead time" if each == "run" else each for each in arrival.unknown]
        return f"end not known: {listed(unknown)} not stated"
    return f"on the shelf {_short(arrival.first_parts)}"


def _span(stage: Stage, start: datetime.date, kind: SpanKind) -> Span:
    return Span(
        start=float((stage.begins - start).days),
        end=float((stage.ends - start).days),
        start_text=day(stage.begins),
        end_text=day(stage.ends),
        what=f"{stage.what}, {stage.span}",
        kind=kind,
    )


def _short(date: datetime.date) -> str:
    return f"{date.day} {calendar.month_abbr[date.month]} {date.year}"


def _months(start: datetime.date, reach: float) -> Iterator[tuple[float, str]]:
    """The first of each month up to the one after the last day, and the year where it begins."""
    end = start + datetime.timedelta(days=int(reach))
    year, month = start.year, start.month
    last_year = 0
    while (year, month) <= (end.year, end.month):
        first = datetime.date(year, month, 1)
        if first >= start - datetime.timedelta(days=6):
            name = calendar.month_abbr[month]
            text = name if year == last_year else f"{name} {year}"
            last_year = year
            yield float((first - start).days), text
        year, month = year + month // 12, month % 12 + 1


def _marks(comparison: Comparison, start: datetime.date) -> Iterator[Mark]:
    needed = comparison.part.record.needed_by
    if needed is not None and needed >= start:
        text = f"first parts needed by {_short(needed)}"
        yield Mark(day=float((needed - start).days), text=text)
