"""Cost by quantity: the cheapest route for every number of good parts, break-even and payback."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from jinja2.utils import htmlsafe_json_dumps
from markupsafe import Markup

from quotegen.basics.money import minor_digits
from quotegen.basics.printed import counted, per_cent, printed, round_money
from quotegen.basics.visible import on_a_page
from quotegen.compare.comparison import Comparison
from quotegen.compare.envelope import Span
from quotegen.compare.route import Route
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.reasons import doing, route_words, saved_by
from quotegen.report.charts.chart import Cheapest, Demand, EachCost, Line, TotalCost, Turn
from quotegen.report.charts.places import Point
from quotegen.report.charts.plots import HEIGHT
from quotegen.report.views.names import (
    capital,
    currency_of,
    doing_words,
    is_taken,
    labels_of,
    quotes_of,
    told_of,
)
from quotegen.report.views.shape import (
    NONE,
    Chart,
    Table,
    drawn,
    figures,
    row,
    words,
)

MOST_LINES = 6
BRIEF_LINES = 4
BRIEF_HEIGHT = 200.0
MOST_SPANS = 24
# A turn that lies further out than this many times the high demand is told, not drawn.
TURN_IN_VIEW = 2
EXPLORED_CORNERS = 1500


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityView:
    """Everything that depends on how many are needed; None and empty where there is no curve."""

    total: Chart | None
    each: Chart | None
    spans: Table | None
    spans_note: str
    explorer: Markup


def quantity_view(comparison: Comparison, advice: Advice) -> QuantityView:
    routes = shown_routes(comparison, advice)
    drawable = bool(routes) and comparison.needs.high > 0
    return QuantityView(
        total=total_chart(comparison, advice) if drawable else None,
        each=_each_chart(comparison, advice, routes) if drawable else None,
        spans=_spans_table(comparison),
        spans_note=_spans_note(comparison),
        explorer=_explorer(comparison, routes) if drawable else Markup(),
    )


def shown_routes(comparison: Comparison, advice: Advice) -> tuple[Route, ...]:
    """The best of every family, what is cheapest somewhere in view, then what cannot be signed."""
    found = {cost.route.name: cost.route for cost in advice.ranking}
    last = limit_of(comparison, advice)
    for span in comparison.envelope.spans:
        if span.first <= last:
            found.setdefault(span.route.name, span.route)
    for each in advice.unsettled:
        if each.cost is not None:
            found.setdefault(each.cost.route.name, each.cost.route)
    if not found:
        found = dict(comparison.singles)
    return tuple(found.values())[:MOST_LINES]


def limit_of(comparison: Comparison, advice: Advice) -> int:
    """How far the charts go: past the high demand, and past the turn where that is near."""
    high = max(comparison.needs.high, 10)
    turn = turn_of(advice)
    wanted = max(high, math.ceil(turn * 1.15)) if turn and turn <= TURN_IN_VIEW * high else high
    reach = min((route.curve.reach for route in comparison.singles.values()), default=wanted)
    return min(reach, wanted)


def turn_of(advice: Advice) -> int | None:
    return advice.break_even.first_cheaper if advice.break_even is not None else None


def corners(route: Route, last: int, first: int = 0) -> tuple[Point, ...]:
    """The route's cost from first to last good parts; a straight line joins any two neighbours.

    Every quantity off the straight line of its neighbours is kept, so nothing is lost.
    """
    costs = route.curve.costs[: last + 1]
    can = np.flatnonzero(route.curve.available[: last + 1])
    end = int(can[-1]) if len(can) else 0
    amounts = [int(each) for each in costs[first : end + 1]]
    unit = route.curve.unit
    kept = [
        index
        for index in range(len(amounts))
        if index in (0, len(amounts) - 1)
        or amounts[index] * 2 != amounts[index - 1] + amounts[index + 1]
    ]
    return tuple((float(first + index), amounts[index] / unit) for index in kept)


def total_chart(comparison: Comparison, advice: Advice, *, brief: bool = False) -> Chart:
    """Total cost by quantity; the brief's has fewer lines and no strip of what is cheapest."""
    routes, last = shown_routes(comparison, advice), limit_of(comparison, advice)
    routes = routes[:BRIEF_LINES] if brief else routes
    labels, currency = labels_of(routes), currency_of(comparison)
    months = comparison.needs.months
    title = range_finding(comparison, advice)
    chart = TotalCost(
        prefix="brief-total" if brief else "total",
        title=title,
        description=f"Total cost in {currency} against the number of good parts, a line for each "
        "route, with the demand that we expect below. The table holds the same numbers.",
        x_unit=f"good parts, in {months} months",
        y_unit=f"{currency} in total, finished and on our shelf",
        lines=tuple(
            Line(
                name=labels[route.name],
                second=_second_line(route, comparison),
                points=corners(route, last),
                recommended=is_taken(route, advice),
            )
            for route in routes
        ),
        absent=NONE,
        demand=demand_of(comparison),
        turn=_turn(advice, last),
        cheapest=() if brief else _cheapest_strip(comparison, labels, last),
        cheapest_name="" if brief else "cheapest",
        height=BRIEF_HEIGHT if brief else HEIGHT,
    )
    head, rows = chart.table()
    last_column = [len(head) - 1] if chart.cheapest else []
    return drawn(title, chart.svg(), (head, rows), words_from=last_column)


def _second_line(route: Route, comparison: Comparison) -> str:
    """What is paid once, and what each more costs in a full lot: never "each, all in"."""
    currency = currency_of(comparison)
    cost = comparison.costs.get(route.name)
    if cost is None:
        return ""
    later = f"{printed(cost.later_each, currency)} for each more"
    if not all(offer.holds for offer in route.offers):
        return f"{later}, cannot be signed"
    if cost.one_off:
        return f"{round_money(cost.one_off, currency)} once, then {later}"
    return later


def demand_of(comparison: Comparison) -> Demand:
    needs = comparison.needs
    return Demand(
        low=needs.low,
        likely=needs.likely,
        high=needs.high,
        low_text=f"{needs.low:,} at least",
        likely_text=f"{needs.likely:,} likely",
        high_text=f"{needs.high:,} at most",
        name="we expect",
    )


def _turn(advice: Advice, last: int) -> Turn | None:
    turn = turn_of(advice)
    if turn is None or turn > last or advice.cost is None or turn < 2:
        return None
    amount = float(advice.cost.route.curve.cost(turn))
    against = doing_words(advice.break_even.untooled) if advice.break_even else "without it"
    text = f"from {turn:,} on, cheaper than {against}"
    return Turn(quantity=turn, amount=amount, text=text)


def _cheapest_strip(
    comparison: Comparison, labels: Mapping[str, str], last: int
) -> tuple[Cheapest, ...]:
    found = []
    for span in comparison.envelope.spans:
        label = labels.get(span.route.name)
        if span.first <= last and label is not None:
            end = None if span.last >= last else span.last
            text = route_words(span.route)
            found.append(Cheapest(start=span.first, end=end, route=label, text=text))
    return tuple(found)


def span_at(comparison: Comparison, quantity: int) -> Span | None:
    """The stretch of quantities that holds this one, with the route that is cheapest there."""
    found = (span for span in comparison.envelope.spans if span.first <= quantity <= span.last)
    return next(found, None)


def range_finding(comparison: Comparison, advice: Advice) -> str:
    """What the total-cost chart shows, as a sentence."""
    if advice.outcome is Outcome.UNKNOWN:
        return _finding_unknown(comparison, advice)
    if advice.route is None:
        return "What has been quoted so far; none of it can be signed and is here in time"
    if advice.outcome is Outcome.TIE:
        number = {2: "Two", 3: "Three", 4: "Four"}.get(len(advice.ties), str(len(advice.ties)))
        margin = per_cent(comparison.workshop.record.close_call)
        at = counted(comparison.needs.likely, "good part")
        return f"{number} routes end within {margin} of the cheapest at {at}"
    return _finding_chosen(comparison, advice.route)


def _finding_unknown(comparison: Comparison, advice: Advice) -> str:
    best = next((each for each in advice.unsettled if each.saving is not None), None)
    if best is None:
        return "What is known so far: nothing here can be signed yet"
    saving = saved_by(best, currency_of(comparison))
    return f"{best.offer.supplier_name} would save {saving}, but cannot be signed yet"


def _finding_chosen(comparison: Comparison, route: Route) -> str:
    """Where in the expected demand the route is cheapest, in the shortest true words."""
    needs, name = comparison.needs, capital(told_of(route, comparison.routes))
    if len(comparison.routes) == 1:
        return f"{name} is the only route that can be signed and is here in time"
    stretches = stretches_of(comparison, route)
    if len(stretches) != 1:
        where = _where(stretches, comparison)
        beside = f"{name} beside the other routes in whole lots, without time"
        return f"{name} is cheapest {where}" if where else beside
    first, last = stretches[0]
    if (first, last) == (needs.low, needs.high):
        return f"{name} is cheapest over the whole demand we expect"
    if last == needs.high:
        return f"{name} is cheapest unless we need fewer than {first:,} good parts"
    if first == needs.low:
        return f"{name} is cheapest unless we need more than {last:,} good parts"
    return f"{name} is cheapest from {first:,} to {last:,} good parts"


def _where(stretches: Sequence[tuple[int, int]], comparison: Comparison) -> str:
    """Several stretches in words: from one on, up to one, or how many of the quantities.

    Nothing where they are the fewer: the plan chose the route, and time is not in the picture.
    """
    needs = comparison.needs
    for first, last in stretches:
        if first <= needs.likely <= last == needs.high:
            return f"from {first:,} good parts on"
        if needs.low == first <= needs.likely <= last:
            return f"up to {last:,} good parts"
    wins, every = sum(last - first + 1 for first, last in stretches), needs.high - needs.low + 1
    return f"at {wins:,} of the {every:,} quantities we may need" if 2 * wins >= every else ""


def stretches_of(comparison: Comparison, route: Route) -> tuple[tuple[int, int], ...]:
    """Where the route is cheapest between the low and the high demand, both ends counted."""
    needs = comparison.needs
    return tuple(
        (max(span.first, needs.low), min(span.last, needs.high))
        for span in comparison.envelope.spans
        if span.route.name == route.name and span.first <= needs.high and span.last >= needs.low
    )


def _each_chart(comparison: Comparison, advice: Advice, routes: Sequence[Route]) -> Chart:
    last, currency = limit_of(comparison, advice), currency_of(comparison)
    labels = labels_of(routes)
    quantities = _sampled(last, comparison, turn_of(advice))
    title = _each_title(comparison, advice)
    lines = [
        Line(
            name=labels[route.name],
            points=_each_points(route, quantities),
            recommended=is_taken(route, advice),
        )
        for route in routes
    ]
    chart = EachCost(
        prefix="each",
        title=title,
        description=f"Cost of one good part in {currency}, all in, against the number of good "
        "parts, a line for each route, both scales logarithmic. The table holds the same numbers.",
        x_unit=f"good parts, in {comparison.needs.months} months",
        y_unit=f"{currency} for each good part, all in, logarithmic scales",
        lines=tuple(line for line in lines if line.points),
        absent=NONE,
        digits=minor_digits(currency) or 0,
        demand=demand_of(comparison) if comparison.needs.low else None,
    )
    return drawn(title, chart.svg(), chart.table())


def _each_title(comparison: Comparison, advice: Advice) -> str:
    cost = advice.cost or next(iter(comparison.costs.values()), None)
    if cost is None or not cost.good or advice.ties:
        return "What one good part costs by quantity"
    needs, currency = comparison.needs, currency_of(comparison)
    name = capital(told_of(cost.route, tuple(comparison.singles.values())))
    ends = [
        f"{printed(cost.route.curve.cost(good) / good, currency)} at {good:,}"
        for good in (needs.low, needs.high)
        if good and cost.route.available(good)
    ]
    if len(ends) < 2 or needs.low == needs.high:
        return f"{name} costs {printed(cost.each, currency)} {currency} each at {cost.good:,}"
    return f"{name} costs {ends[0]} and {ends[1]} good parts, in {currency} each"


def _sampled(last: int, comparison: Comparison, turn: int | None) -> list[int]:
    """For a logarithmic scale: every quantity to 1,000, then to three digits, and marked ones."""
    found = set(range(1, min(last, 1000) + 1)) | {last}
    size = 10
    while size * 100 <= last:
        found |= set(range(size * 100, min(last, size * 1000) + 1, size))
        size *= 10
    needs = comparison.needs
    found |= {each for each in (needs.low, needs.likely, needs.high, turn or 0) if each}
    return sorted(each for each in found if each <= last)


def _each_points(route: Route, quantities: Iterable[int]) -> tuple[Point, ...]:
    return tuple(
        (float(good), float(route.curve.cost(good) / good))
        for good in quantities
        if route.available(good) and route.curve.costs[good] > 0
    )


def _spans_table(comparison: Comparison) -> Table | None:
    spans = comparison.envelope.spans[:MOST_SPANS]
    if not spans:
        return None
    currency = currency_of(comparison)
    return Table(
        caption="Cheapest route by number of good parts",
        columns=(
            *figures("From", "To"),
            *words("Route", "Quotes"),
            *figures(f"{currency} in all, first", f"{currency} in all, last"),
        ),
        rows=tuple(
            row(
                f"{span.first:,}",
                _to(span, comparison),
                capital(doing_words(span.route)),
                quotes_of(span.route),
                printed(span.route.curve.cost(span.first), currency),
                printed(span.route.curve.cost(span.last), currency),
            )
            for span in spans
        ),
    )


def _to(span: Span, comparison: Comparison) -> str:
    envelope = comparison.envelope
    stays = span.last == envelope.reach and span.route is envelope.beyond
    return f"{span.last:,} and beyond" if stays else f"{span.last:,}"


def _spans_note(comparison: Comparison) -> str:
    envelope = comparison.envelope
    if not envelope.spans:
        return "No route can be signed today and is here in time, so nothing is cheapest yet."
    more = len(envelope.spans) - MOST_SPANS
    text = (
        ""
        if more <= 0
        else (
            f"{counted(more, 'more change')} up to {envelope.reach:,} good parts: "
            f"quotegen compare {comparison.part.name} --json lists them all. "
        )
    )
    if envelope.beyond is None:
        return f"{text}Every route ends at what its supplier can make."
    same = envelope.spans[-1].route is envelope.beyond
    who = (
        "the same route stays cheapest"
        if same
        else (f"{doing(envelope.beyond)} ends up cheapest, since one more part costs least there")
    )
    return f"{text}Looked at up to {envelope.reach:,} good parts; beyond that {who}."


def _explorer(comparison: Comparison, routes: Sequence[Route]) -> Markup:
    """The curves as JSON for the slider; empty where they have too many corners for a page."""
    labels = labels_of(routes)
    last = min(route.curve.reach for route in routes)
    while last > 1:
        curves = {route.name: corners(route, last, first=1) for route in routes}
        if max(len(each) for each in curves.values()) <= EXPLORED_CORNERS:
            break
        last //= 2
    data = {
        "currency": currency_of(comparison),
        "last": last,
        "likely": min(comparison.needs.likely, last),
        "routes": [
            {
                "name": on_a_page(capital(labels[route.name])),
                "holds": all(offer.holds for offer in route.offers),
                "points": [[int(good), round(amount, 4)] for good, amount in points],
            }
            for route in routes
            if (points := corners(route, last, first=1))
        ],
    }
    return htmlsafe_json_dumps(data, dumps=_dumped)


def _dumped(data: object, **_options: object) -> str:
    return json.dumps(data, separators=(",", ":"), sort_keys=True, ensure_ascii=True)
