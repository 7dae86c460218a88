"""The way from the order to the shelf, drawn on a scale of days (R17)."""

from __future__ import annotations

import calendar
import datetime
from collections.abc import Iterator

from quotegen.basics.days import in_words
from quotegen.basics.printed import counted, day, listed
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt
from quotegen.costing.leadtime import Arrival, Stage
from quotegen.costing.offer import Offer
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.reasons import DOING, made_by, verb_of
from quotegen.report.charts.chart import Mark, Span, SpanRow, Timeline
from quotegen.report.views.names import capital, is_taken, settled_routes, tools_of
from quotegen.report.views.orders import first_orders, planned_order
from quotegen.report.views.shape import Chart, drawn

HEAD = ("What", "Step", "From", "To")
MOST_ROWS = 8
TOOL, SAMPLES, RUN, WAY, HERE, APPROVAL = GROUPS = (
    "tool",
    "samples",
    "run",
    "on the way",
    "finished and inspected",
    "our approval",
)
ON_THE_WAY = frozenset({"carriage", "clearance"})


def timeline(
    comparison: Comparison, advice: Advice, *, others: bool, most: int = MOST_ROWS
) -> Chart | None:
    """The recommended route step by step; others adds a row for every other offer."""
    start = planned_order(comparison)
    if start is None:
        return None
    rows = tuple(_rows(comparison, advice, start, others=others))[:most]
    if not rows:
        return None
    title = finding(comparison, advice)
    chart = Timeline(
        prefix="timeline" if others else "order",
        title=title,
        description="Bars from the order to the shelf, a row for each step, on a scale of months. "
        "The table holds the same days.",
        groups=GROUPS,
        rows=rows,
        ticks=tuple(_months(start, max(span.end for each in rows for span in each.spans))),
        marks=tuple(_marks(comparison, start)),
        head=HEAD,
    )
    note = f"All days count from an order on {in_words(start)}; a later order moves them."
    return drawn(title, chart.svg(), chart.table(), words_from=range(4), note=note)


def finding(comparison: Comparison, advice: Advice) -> str:
    """When the first parts come, against the day on which they are needed."""
    if advice.outcome is Outcome.TIE:
        return _apart(advice)
    if advice.route is None or advice.cost is None:
        return "When parts would come, if they were ordered on the first day of the plan"
    if advice.route.bridge:
        return _bridge_finding(comparison, advice, advice.cost)
    return _when(advice.route.first_parts, comparison.part.record.needed_by)


def _when(first: datetime.date | None, needed: datetime.date | None) -> str:
    if first is None:
        return "Nobody has said when the first parts come"
    if needed is None:
        return f"First parts are on the shelf on {in_words(first)}"
    days = (needed - first).days
    if days == 0:
        return "First parts are on the shelf on the very day they are needed"
    if days < 0:
        return f"First parts are on the shelf on {in_words(first)}; what is on hand lasts till then"
    return f"First parts are on the shelf {_spell(days)} before they are needed"


def _apart(advice: Advice) -> str:
    """How far apart the first parts of tied routes come."""
    days = [route.first_parts for route in settled_routes(advice)]
    known = [each for each in days if each is not None]
    if len(known) < len(days):
        return "Not everybody has said when the first parts come"
    apart = (max(known) - min(known)).days
    return f"First parts come {_spell(apart)} apart" if apart else "First parts come on one day"


def _spell(days: int) -> str:
    """A stretch of days as people say it: weeks from three on."""
    return f"{days // 7} weeks" if days >= 21 else counted(days, "day")


def _bridge_finding(comparison: Comparison, advice: Advice, cost: CostAt) -> str:
    """Until when the first pieces last, at the high demand or only at the likely one (R19)."""
    demand, on_hand = comparison.needs.demand, comparison.part.record.on_hand
    stock = f" with the {on_hand} on hand" if on_hand else ""
    first = f"{made_by(cost.route.offers[0], cost.route.bridge)}{stock}"
    waiting = _used_while_waiting(advice, cost)
    if waiting * demand.high <= (cost.route.bridge + on_hand) * demand.likely:
        return f"{first} cover the wait even at {demand.high:,} a year"
    if waiting <= cost.route.bridge + on_hand:
        return f"{first} cover the wait at {demand.likely:,} a year"
    return f"{first} are used up before the main route delivers"


def _used_while_waiting(advice: Advice, cost: CostAt) -> int:
    """The likely demand until the main offer takes over, by the plan.

    Without one a bridge is as long as the high demand asks, so that there is nothing to check.
    """
    plan = advice.plans.get(cost.route.name)
    if plan is None:
        return 0
    takes_over = min(order.month for order in plan.orders if order.offer is cost.route.main)
    return sum(plan.setting.horizon.demand[:takes_over])


def _rows(
    comparison: Comparison, advice: Advice, start: datetime.date, *, others: bool
) -> Iterator[SpanRow]:
    shown: set[str] = set()
    if advice.outcome is Outcome.CHOSEN and advice.cost is not None:
        for offer, pieces in first_orders(advice, advice.cost):
            is_main = offer is advice.cost.route.main
            yield from _of_leg(offer, pieces, start, is_main=is_main)
            shown.add(offer.name)
    for offer in _tied(advice):
        yield _of_offer(offer, start)
        shown.add(offer.name)
    if others or not shown:
        for offer in comparison.offers:
            if offer.name not in shown and offer.arrival.stages:
                yield _of_offer(offer, start)


def _tied(advice: Advice) -> list[Offer]:
    """The offers of the tied routes, none of them before the other."""
    routes = [route for route in settled_routes(advice) if not is_taken(route, advice)]
    found = {each.name: each for route in routes for each in route.offers if each.arrival.stages}
    return list(found.values())


def _of_leg(offer: Offer, pieces: int, start: datetime.date, *, is_main: bool) -> Iterator[SpanRow]:
    """The tool in a row of its own, then the first order of pieces."""
    arrival = offer.arrival
    tool = [stage for stage in arrival.stages if stage.is_tool]
    run = [stage for stage in arrival.stages if not stage.is_tool]
    if tool:
        yield SpanRow(
            name=f"{capital(listed(tools_of([offer])))} and samples",
            spans=tuple(_span(stage, start) for stage in tool),
            end_label="approved by us",
            end_day=in_words(tool[-1].ends),
        )
    if run:
        yield SpanRow(
            name=f"{capital(DOING[verb_of(offer)])} the first {pieces:,}",
            spans=tuple(_span(stage, start) for stage in run),
            end_label=_end(arrival),
            end_day=_end_day(arrival),
            recommended=is_main,
        )


def _of_offer(offer: Offer, start: datetime.date) -> SpanRow:
    return SpanRow(
        name=f"{capital(DOING[verb_of(offer)])}, {offer.supplier_name}",
        spans=tuple(_span(each, start) for each in offer.arrival.stages),
        end_label=_end(offer.arrival),
        end_day=_end_day(offer.arrival),
    )


def _end(arrival: Arrival) -> str:
    if arrival.first_parts is not None:
        return "on the shelf"
    unknown = ["lead time" if each == "run" else each for each in arrival.unknown]
    return f"end not known: {listed(unknown)} not stated"


def _end_day(arrival: Arrival) -> str:
    return in_words(arrival.first_parts) if arrival.first_parts is not None else ""


def _span(stage: Stage, start: datetime.date) -> Span:
    return Span(
        start=float((stage.begins - start).days),
        end=float((stage.ends - start).days),
        start_text=day(stage.begins),
        end_text=day(stage.ends),
        what=f"{stage.what}, {stage.span}",
        group=_group(stage),
    )


def _group(stage: Stage) -> str:
    if stage.is_tool and stage.what == "our approval":
        return APPROVAL
    if stage.is_tool:
        return SAMPLES if stage.what.startswith("samples") else TOOL
    if stage.what == "run":
        return RUN
    return WAY if stage.what in ON_THE_WAY else HERE


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
        text = f"first parts needed by {in_words(needed)}"
        yield Mark(day=float((needed - start).days), text=text)
