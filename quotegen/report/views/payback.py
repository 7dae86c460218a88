"""When a tool has earned itself back: three forms of break-even, and what it saves by quantity."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.printed import counted
from quotegen.compare.break_even import BreakEven
from quotegen.compare.comparison import Comparison, Needs
from quotegen.judge.advice import Advice
from quotegen.judge.reasons import doing
from quotegen.report.charts.chart import Payback, Turn
from quotegen.report.charts.places import Point
from quotegen.report.views.names import capital, currency_of, doing_words
from quotegen.report.views.quantity import demand_of, limit_of, turn_of
from quotegen.report.views.shape import NONE, Chart, Figure, drawn

MOST_CROSSINGS = 12
MOST_YEARS = 100
READABLE_DENOMINATOR = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEvenView:
    """When a tool has earned itself back, in three forms, each under its own name (R14)."""

    title: str
    forms: tuple[Figure, ...]
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PaybackView:
    """Empty and None where no route has a tool to pay for first."""

    chart: Chart | None
    break_evens: tuple[BreakEvenView, ...]


def payback_view(comparison: Comparison, advice: Advice) -> PaybackView:
    return PaybackView(
        chart=_payback_chart(comparison, advice),
        break_evens=tuple(
            _break_even_view(each, comparison) for each in _break_evens(comparison, advice)
        ),
    )


def _break_evens(comparison: Comparison, advice: Advice) -> tuple[BreakEven, ...]:
    """The recommended route's first, then one for every other offer with a tool."""
    own = advice.break_even
    found = {} if own is None else {own.tooled.main.name: own}
    for each in comparison.break_evens:
        found.setdefault(each.tooled.main.name, each)
    return tuple(found.values())


def _break_even_view(found: BreakEven, comparison: Comparison) -> BreakEvenView:
    return BreakEvenView(
        title=f"{capital(doing(found.tooled))}, against {doing(found.untooled)}",
        forms=(
            _parity(found, comparison),
            _first_cheaper(found, comparison),
            _crossings(found),
        ),
        sentence=_break_even_sentence(found),
    )


def _parity(found: BreakEven, comparison: Comparison) -> Figure:
    label = "Parity"
    if found.parity is None:
        note = "none: no one pair of prices holds there, or the tool saves nothing on a piece"
        return Figure(label=label, value=NONE, note=note)
    after = months_text(found.parity, comparison)
    note = f"{after}; what the tool costs, divided by what it saves on each piece"
    return Figure(label=label, value=parity_text(found.parity), note=note)


def parity_text(parity: Fraction) -> str:
    """As a fraction where people can read it, else to two decimals."""
    if parity.denominator == 1:
        return f"{int(parity):,}"
    about = f"{float(parity):,.2f}"
    if parity.denominator > READABLE_DENOMINATOR:
        return f"about {about}"
    return f"{parity.numerator:,}/{parity.denominator}, about {about}"


def months_text(good: Fraction | int, comparison: Comparison) -> str:
    """How long the likely demand takes to need so many."""
    months = comparison.needs.months_until(good)
    return f"about {counted(months, 'month')}"


def _first_cheaper(found: BreakEven, comparison: Comparison) -> Figure:
    label = "Cheaper, and stays cheaper, from"
    if found.first_cheaper is None:
        note = f"not within {found.up_to:,} good parts, with whole orders and minimums counted"
        return Figure(label=label, value="never", note=note)
    after = months_text(found.first_cheaper, comparison)
    lives = ", tool lives and the bridge" if found.tooled.bridge else " and tool lives"
    note = f"{after}; up to {found.up_to:,} looked at, with whole orders, minimums, breaks{lives}"
    return Figure(label=label, value=f"{found.first_cheaper:,}", note=note)


def _crossings(found: BreakEven) -> Figure:
    label = "Crossings before that"
    if not found.crossings:
        return Figure(label=label, value="none", note="the cheaper side does not change before")
    shown = [f"{each.at:,}" for each in found.crossings[:MOST_CROSSINGS]]
    more = len(found.crossings) - len(shown)
    note = "at each of these the cheaper side changes for a while"
    if more > 0:
        note += f"; {counted(more, 'more crossing')} left out here"
    return Figure(label=label, value=", ".join(shown), note=note)


def _payback_chart(comparison: Comparison, advice: Advice) -> Chart | None:
    """What the tool has saved by quantity, against the best route without it."""
    found = advice.break_even
    if found is None or not comparison.needs.high:
        return None
    last = limit_of(comparison, advice)
    points = _saved(found, last)
    if len(points) < 2:
        return None
    currency, turn = currency_of(comparison), turn_of(advice)
    title = _payback_title(found, comparison)
    chart = Payback(
        prefix="payback",
        title=title,
        description=f"What {doing_words(found.tooled)} saves in {currency} against "
        f"{doing_words(found.untooled)}, by number of good parts: below zero the tool has still "
        "to be earned back. The table holds the same numbers.",
        x_unit=f"good parts, in {comparison.needs.months} months",
        y_unit=f"{currency} saved against {doing(found.untooled)}",
        name=capital(doing_words(found.tooled)),
        second="",
        points=points,
        absent=NONE,
        demand=demand_of(comparison),
        turn=None
        if turn is None or turn > last
        else Turn(quantity=turn, amount=_saved_at(found, turn), text=f"paid back at {turn:,}"),
        times=tuple(_years(comparison.needs, last)),
        times_unit="at the likely demand",
    )
    head, rows = chart.table()
    return drawn(
        title, chart.svg(), (head, rows), words_from=[len(head) - 1] if chart.times else []
    )


def _saved(found: BreakEven, last: int) -> tuple[Point, ...]:
    tooled, plain = found.tooled.curve, found.untooled.curve
    good = [each for each in range(1, last + 1) if tooled.available[each] and plain.available[each]]
    saved = [int(plain.costs[each]) - int(tooled.costs[each]) for each in good]
    kept = [
        index
        for index in range(len(good))
        if index in (0, len(good) - 1) or saved[index] * 2 != saved[index - 1] + saved[index + 1]
    ]
    return tuple((float(good[index]), saved[index] / tooled.unit) for index in kept)


def _saved_at(found: BreakEven, good: int) -> float:
    return float(found.untooled.curve.cost(good) - found.tooled.curve.cost(good))


def _years(needs: Needs, last: int) -> Iterable[tuple[float, str]]:
    """The quantity that each year of the likely demand comes to, what is on hand taken off."""
    for year in range(1, MOST_YEARS):
        bought = needs.demand.likely_over(12 * year) - needs.on_hand
        if bought > last:
            return
        if bought > 0:
            yield float(bought), counted(year, "year")


def _payback_title(found: BreakEven, comparison: Comparison) -> str:
    if found.first_cheaper is None:
        return f"The tool does not pay back within {found.up_to:,} good parts"
    months = months_text(found.first_cheaper, comparison)
    return f"The tool has paid for itself at {found.first_cheaper:,} good parts, after {months}"


def _break_even_sentence(found: BreakEven) -> str:
    """Which of the figures to plan by, and why they differ."""
    if found.first_cheaper is None:
        return "At no quantity looked at does the tool stay paid back; parity alone would mislead."
    if found.parity is None:
        return f"Plan by {found.first_cheaper:,}. There is no parity to set beside it."
    bridge = " nor the pieces that bridge the gap" if found.tooled.bridge else ""
    knows = "counts neither whole orders" if bridge else "counts no whole orders"
    return (
        f"Plan by {found.first_cheaper:,}, not by the parity of {parity_text(found.parity)}: "
        f"the parity {knows}{bridge}."
    )
