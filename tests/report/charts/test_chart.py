"""The charts: texts keep apart and inside the sheet, and drawing and table show the same."""

from __future__ import annotations

import datetime
import logging
import math
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import combinations, pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from quotegen.report.charts.chart import (
    Bar,
    Cheapest,
    Demand,
    EachCost,
    Line,
    Mark,
    Payback,
    Piece,
    Span,
    SpanRow,
    StackedLines,
    Timeline,
    TotalCost,
    Turn,
)
from quotegen.report.charts.letters import (
    ABOVE,
    BELOW,
    REGULAR,
    SEMIBOLD,
    face,
    font_folder,
    shown,
    width,
)
from quotegen.report.charts.months import next_month
from quotegen.report.charts.outgoing import MoneyByMonth, OutgoingMonth, SoFar
from quotegen.report.charts.places import Box
from quotegen.report.charts.stacked import FILLS
from quotegen.report.charts.stock import Lane, Ordered, StockOverTime

Chart = TotalCost | EachCost | StackedLines | Payback | Timeline | StockOverTime | MoneyByMonth
SVG = "{http://www.w3.org/2000/svg}"
LIKELY = 330


def pawl(quantity: int) -> float:
    """52 prints at 31.40, then a die for 2,200 and castings at 13.90, 14 to a tree, 56 at least."""
    if quantity <= 52:
        return 31.4 * quantity
    return 31.4 * 52 + 2200 + 13.9 * max(56, 14 * math.ceil((quantity - 52) / 14))


def line(name: str, cost: Callable[[int], float], second: str, recommended: bool = False) -> Line:
    values = tuple((n, cost(n)) for n in range(481))
    return Line(name=name, second=second, points=values, recommended=recommended)


POURED = line("print 52, then pour", pawl, "die 2,200, then 13.90 each, 14 to a tree", True)
PRINTED = line("print all", lambda n: 31.4 * n, "31.40 each")
MILLED = line("mill all", lambda n: 46.44 * n, "46.44 each")
DEMAND = Demand(
    low=90,
    likely=LIKELY,
    high=480,
    low_text="90 at least",
    likely_text="330 likely",
    high_text="480 at most",
    name="demand",
)
TURN = Turn(quantity=185, amount=pawl(185), text="from the 185th pawl on, this route stays cheaper")
CHEAPEST = (
    Cheapest(start=1, end=184, route="print all", text="print all up to 184"),
    Cheapest(start=185, end=None, route="print 52, then pour", text="then pour, from 185"),
)
TOTAL = TotalCost(
    prefix="total",
    title="Pouring wins unless we sell fewer than 185 in three years",
    description="Total cost of three routes for up to 480 good pawls",
    x_unit="good pawls, in 36 months",
    y_unit="EUR in total, finished and on our shelf",
    lines=(POURED, PRINTED, MILLED),
    absent="no price",
    demand=DEMAND,
    turn=TURN,
    cheapest=CHEAPEST,
    cheapest_name="cheapest",
)
EACH = EachCost(
    prefix="each",
    title="At 330 a pawl costs 23.41",
    description="Cost of one good pawl for up to 480",
    x_unit="good pawls, in 36 months",
    y_unit="EUR for each good pawl",
    lines=tuple(
        replace(each, points=tuple((n, cost / n) for n, cost in each.points if n))
        for each in TOTAL.lines
    ),
    absent="no price",
    demand=DEMAND,
    turn=replace(TURN, amount=pawl(185) / 185),
    cheapest=CHEAPEST,
    cheapest_name="cheapest",
)
GROUPS = ("goods", "charges", "tool", "completion", "delivery", "customs", "other")


def bar(name: str, *amounts: float, recommended: bool = False) -> Bar:
    pieces = tuple(
        Piece(group=group, amount=amount, text=f"{amount:,.0f}")
        for group, amount in zip(GROUPS, amounts, strict=False)
        if amount
    )
    total = f"{sum(amounts):,.0f} EUR"
    return Bar(name=name, pieces=pieces, total_text=total, recommended=recommended)


STACKED = StackedLines(
    prefix="stack",
    title="The die is a third of the money",
    description="What 330 good pawls are made of, by offer",
    unit="EUR for 330 good pawls",
    groups=GROUPS,
    bars=(
        bar("print 52, then pour", 4120, 120, 2200, 480, 310, 420, 75, recommended=True),
        bar("print all", 8900, 240, 0, 960, 262),
        bar("mill all", 14100, 640, 180, 0, 404, -40),
    ),
    group_head="Cost lines",
    total_head="Total",
    absent="none",
)
PAYBACK = Payback(
    prefix="payback",
    title="The die has paid back at 185 pawls",
    description="What pouring has saved against printing, by quantity",
    x_unit="good pawls",
    y_unit="EUR saved against printing all",
    name="saved by pouring",
    second="2,637 at 330",
    points=tuple((n, 31.4 * n - pawl(n)) for n in range(481)),
    absent="no price",
    demand=DEMAND,
    turn=replace(TURN, amount=31.4 * 185 - pawl(185)),
    times=((110, "1 year"), (220, "2 years"), (330, "3 years")),
    times_unit="at 110 a year",
)


STEPS = ("tool", "samples", "run")


def span(start: float, end: float, what: str, group: str = "run") -> Span:
    words = f"day {start:g}", f"day {end:g}"
    return Span(
        start=start, end=end, start_text=words[0], end_text=words[1], what=what, group=group
    )


TIMELINE = Timeline(
    prefix="time",
    title="52 prints last until the castings come",
    description="From order to shelf, in days from 2027-01-01",
    groups=STEPS,
    rows=(
        SpanRow(name="52 prints", spans=(span(12, 39, "printed"),), end_label="on the shelf 9 Feb"),
        SpanRow(
            name="Die and samples",
            spans=(span(12, 75, "die made", "tool"), span(75, 96, "samples", "samples")),
            end_label="we approve by 6 Apr",
        ),
        SpanRow(
            name="First 112 poured",
            spans=(span(96, 154, "poured"),),
            end_label="on the shelf 4 Jun",
            recommended=True,
        ),
    ),
    ticks=((0, "Jan 2027"), (31, "Feb"), (59, "Mar"), (90, "Apr"), (120, "May"), (151, "Jun")),
    marks=(Mark(day=155, text="prints used up 5 June at 160 a year"),),
    head=("What", "Step", "From", "To"),
)
FIRST = datetime.date(2027, 3, 1)


def day(number: int) -> datetime.date:
    return FIRST + datetime.timedelta(days=number)


def months_from(first: datetime.date, count: int) -> list[datetime.date]:
    found = [first]
    while len(found) < count:
        found.append(next_month(found[-1]))
    return found


def ordered(at: int, arrives: int, pieces: int, tools: int | None = None) -> Ordered:
    return Ordered(
        ordered=day(at),
        arrives=day(arrives),
        text=f"{pieces:,}",
        what=f"{pieces} pieces",
        tools=None if tools is None else day(tools),
        tools_text="wax die",
    )


STOCK = StockOverTime(
    prefix="stock",
    title="At most 122 good parts lie on the shelf",
    description="Stock over a year",
    unit="good parts on the shelf",
    name="stock",
    second="12 left at the end",
    points=((day(0), 0), (day(0), 32), (day(92), 2), (day(92), 122), (day(366), 12)),
    lanes=(
        Lane(name="printing", second="Brim Bureau", orders=(ordered(-25, 0, 32),)),
        Lane(name="pouring", second="Foss Castings", orders=(ordered(20, 91, 120, tools=-40),)),
    ),
)
MONEY = MoneyByMonth(
    prefix="money",
    title="Half of 4,000 EUR is paid by April 2027",
    description="Money by month",
    unit="EUR in a month",
    so_far_unit="EUR paid so far",
    groups=("pieces", "tools", "tax"),
    months=(
        OutgoingMonth(
            starts=FIRST,
            text="March 2027",
            pieces=(
                Piece(group="pieces", amount=1000, text="1,000"),
                Piece(group="tools", amount=2000, text="2,000"),
                Piece(group="tax", amount=210, text="210"),
            ),
        ),
        OutgoingMonth(
            starts=next_month(FIRST),
            text="April 2027",
            pieces=(
                Piece(group="tax", amount=-210, text="-210"),
                Piece(group="pieces", amount=1000, text="1,000"),
            ),
        ),
    ),
    lines=(
        SoFar(
            name="this plan",
            second="4,000 EUR",
            points=((day(0), 0), (day(9), 3210), (day(366), 4000)),
            recommended=True,
        ),
        SoFar(name="print all", points=((day(0), 0), (day(366), 5200))),
    ),
)
CHARTS: tuple[Chart, ...] = (TOTAL, EACH, STACKED, PAYBACK, TIMELINE, STOCK, MONEY)
every_chart = pytest.mark.parametrize("chart", CHARTS, ids=lambda chart: type(chart).__name__)


def read(chart: Chart) -> Any:
    """The drawing as an XML tree, which fails if it is not well formed."""
    return etree.fromstring(chart.svg())


def number_in(shape: Any, name: str) -> float:
    return float(shape.get(name, "0"))


def text_box(text: Any) -> Box:
    """Where a text stands, by its anchor and the widths of the font."""
    size = float(text.get("font-size", "10"))
    wide = width(text.text, size, int(text.get("font-weight", "400")))
    shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")]
    left, baseline = number_in(text, "x") - shift * wide, number_in(text, "y")
    return Box(left, baseline - ABOVE * size, left + wide, baseline + BELOW * size)


def text_boxes(drawing: Any) -> list[tuple[str, Box]]:
    return [(text.text, text_box(text)) for text in drawing.iter(f"{SVG}text")]


def corners(shape: Any) -> list[tuple[float, float]]:
    pairs = [pair.split(",") for pair in shape.get("points", "").split()]
    return [(float(x), float(y)) for x, y in pairs]


def shape_boxes(drawing: Any) -> Iterator[Box]:
    """The extents of every line, rectangle, circle and broken line, without its stroke."""
    for shape in drawing.iter(f"{SVG}line"):
        xs = sorted(number_in(shape, name) for name in ("x1", "x2"))
        ys = sorted(number_in(shape, name) for name in ("y1", "y2"))
        yield Box(xs[0], ys[0], xs[1], ys[1])
    for shape in drawing.iter(f"{SVG}rect"):
        x, y = number_in(shape, "x"), number_in(shape, "y")
        yield Box(x, y, x + number_in(shape, "width"), y + number_in(shape, "height"))
    for shape in drawing.iter(f"{SVG}circle"):
        x, y = number_in(shape, "cx"), number_in(shape, "cy")
        yield Box(x, y, x, y).grown(number_in(shape, "r"))
    for shape in drawing.iter(f"{SVG}polyline", f"{SVG}polygon"):
        xs, ys = zip(*corners(shape), strict=True)
        yield Box(min(xs), min(ys), max(xs), max(ys))


def clashes(drawing: Any) -> list[str]:
    """What a reader would trip over: texts that overlap, leave the sheet, or are crossed."""
    _, _, wide, high = (float(each) for each in drawing.get("viewBox").split())
    sheet, texts = Box(0, 0, wide, high).grown(0.02), text_boxes(drawing)
    found = [f"{text!r} leaves the sheet" for text, box in texts if not sheet.holds(box)]
    found += [
        f"{one!r} overlaps {other!r}"
        for (one, box), (other, second) in combinations(texts, 2)
        if box.grown(-0.02).overlaps(second)
    ]
    found += [f"{box} leaves the sheet" for box in shape_boxes(drawing) if not sheet.holds(box)]
    return found + list(crossed(drawing, texts))


def crossed(drawing: Any, texts: list[tuple[str, Box]]) -> Iterator[str]:
    """Texts that a line runs through, or a grid line with no paper between."""
    lines = [pair for shape in drawing.iter(f"{SVG}polyline") for pair in pairwise(corners(shape))]
    grid, papers = straight_lines(drawing, ["grid"]), paper_boxes(drawing)
    lines += straight_lines(drawing, ["lines", "marks"])
    for text, box in texts:
        if any(box.grown(-0.75).meets(*pair) for pair in lines):
            yield f"a line runs through {text!r}"
        struck = any(box.grown(-0.5).meets(*pair) for pair in grid)
        if struck and not any(paper.grown(0.02).holds(box) for paper in papers):
            yield f"a grid line runs through {text!r}"


def straight_lines(
    drawing: Any, layers: list[str]
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """The lines of some layers; those of the grid may be hidden by paper."""
    return [
        (
            (number_in(shape, "x1"), number_in(shape, "y1")),
            (number_in(shape, "x2"), number_in(shape, "y2")),
        )
        for layer in drawing.iterchildren(f"{SVG}g")
        if layer.get("class", "").removeprefix("chart-") in layers
        for shape in layer.iter(f"{SVG}line")
    ]


def paper_boxes(drawing: Any) -> list[Box]:
    return [
        Box(x, y, x + number_in(shape, "width"), y + number_in(shape, "height"))
        for shape in drawing.iter(f"{SVG}rect")
        if shape.get("fill") == "#ffffff" and shape.get("stroke") is None
        for x, y in [(number_in(shape, "x"), number_in(shape, "y"))]
    ]


LETTERS = st.characters(
    max_codepoint=255, categories=("L", "N", "P", "S", "Zs"), include_characters="≥→Łő铸\u0301"
)
LABELS = st.one_of(
    st.text(LETTERS, max_size=40), st.sampled_from(["", "W" * 40, "print all", "a b " * 10])
)
AMOUNTS = st.one_of(
    st.sampled_from([0.0, 5e-324, 0.02, 31.4, 1e7]), st.floats(0, 1e7), st.floats(0, 500)
)
QUANTITIES = st.one_of(st.integers(1, 500), st.integers(1, 100_000))


@st.composite
def routes(draw: st.DrawFn, least: float, high: int) -> tuple[Line, ...]:
    """One to eight routes of up to thirty points, two of them alike now and then."""
    found = []
    for _ in range(draw(st.integers(1, 8))):
        xs = draw(st.lists(st.integers(1, high), min_size=1, max_size=30))
        ends = [high] if draw(st.booleans()) else []
        ys = draw(st.lists(AMOUNTS, min_size=1, max_size=6))
        values = [(x, max(ys[i % len(ys)], least)) for i, x in enumerate(sorted(xs + ends))]
        name, second, chosen = draw(st.tuples(LABELS, LABELS, st.booleans()))
        found.append(Line(name=name, second=second, points=tuple(values), recommended=chosen))
    return (*found, found[0])[: draw(st.integers(1, 8))]


@st.composite
def demands(draw: st.DrawFn, high: int) -> Demand | None:
    low, likely, most = sorted(draw(st.tuples(*[st.integers(0, high)] * 3)))
    if draw(st.booleans()):
        low = likely = most
    texts = draw(st.tuples(LABELS, LABELS, LABELS, LABELS))
    return draw(
        st.sampled_from(
            [
                None,
                Demand(
                    low=low,
                    likely=likely,
                    high=most,
                    low_text=texts[0],
                    likely_text=texts[1],
                    high_text=texts[2],
                    name=texts[3],
                ),
            ]
        )
    )


@st.composite
def stretches(draw: st.DrawFn, lines: tuple[Line, ...], high: int) -> tuple[Cheapest, ...]:
    starts = sorted(draw(st.sets(st.integers(1, high), max_size=12)))
    ends = [*(start - 1 for start in starts[1:]), None]
    return tuple(
        Cheapest(start=start, end=end, route=each.name, text=draw(LABELS))
        for start, end in zip(starts, ends, strict=False)
        for each in [draw(st.sampled_from(lines))]
    )


@st.composite
def charts_over_quantity(draw: st.DrawFn, kind: type[TotalCost | EachCost]) -> Chart:
    high = draw(QUANTITIES)
    lines = draw(routes(0.02 if kind is EachCost else 0, high))
    where = draw(st.sampled_from(lines)).points
    quantity, amount = draw(st.sampled_from(where))
    return kind(
        prefix="p",
        title="a finding",
        description="in words",
        x_unit=draw(LABELS),
        y_unit=draw(LABELS),
        lines=lines,
        absent="no price",
        demand=draw(demands(high)),
        turn=draw(
            st.none()
            | st.builds(Turn, quantity=st.just(quantity), amount=st.just(amount), text=LABELS)
        ),
        cheapest=draw(stretches(lines, high)),
        cheapest_name=draw(LABELS),
    )


@st.composite
def paybacks(draw: st.DrawFn) -> Payback:
    high = draw(QUANTITIES)
    tool, saved = draw(AMOUNTS), draw(st.floats(-50, 500))
    points = tuple((n, saved * n - tool) for n in sorted({0, high // 3, high}))
    times = draw(st.lists(st.tuples(st.integers(0, 2 * high), LABELS), max_size=8))
    turn = Turn(quantity=high // 3, amount=points[-2][1], text=draw(LABELS))
    return replace(
        PAYBACK,
        points=points,
        name=draw(LABELS),
        second=draw(LABELS),
        demand=draw(demands(high)),
        turn=draw(st.sampled_from([None, turn])),
        times=tuple(times),
        times_unit=draw(LABELS),
    )


@st.composite
def stacks(draw: st.DrawFn) -> StackedLines:
    groups = tuple(draw(st.lists(LABELS, min_size=1, max_size=len(FILLS), unique=True)))
    amounts = st.one_of(AMOUNTS, st.floats(-5000, 0))
    pieces = st.builds(Piece, group=st.sampled_from(groups), amount=amounts, text=LABELS)
    bars = st.builds(
        Bar,
        name=LABELS,
        second=LABELS,
        pieces=st.lists(pieces, max_size=10).map(tuple),
        total_text=LABELS,
        recommended=st.booleans(),
    )
    return replace(
        STACKED,
        unit=draw(LABELS),
        groups=groups,
        bars=tuple(draw(st.lists(bars, min_size=1, max_size=6))),
    )


@st.composite
def timelines(draw: st.DrawFn) -> Timeline:
    days = st.one_of(st.integers(-400, 400), st.integers(0, 5000))
    spans = st.tuples(days, days, LABELS, st.sampled_from(STEPS)).map(
        lambda each: span(min(each[:2]), max(each[:2]), each[2], each[3])
    )
    rows = st.builds(
        SpanRow,
        name=LABELS,
        spans=st.lists(spans, min_size=1, max_size=4).map(tuple),
        end_label=LABELS,
        recommended=st.booleans(),
    )
    return replace(
        TIMELINE,
        rows=tuple(draw(st.lists(rows, min_size=1, max_size=6))),
        ticks=tuple(draw(st.lists(st.tuples(days, LABELS), max_size=12))),
        marks=tuple(draw(st.lists(st.builds(Mark, day=days, text=LABELS), max_size=4))),
    )


@st.composite
def stocks(draw: st.DrawFn) -> StockOverTime:
    """Plans of 1 to 120 months, with an order in every month at the most."""
    months = months_from(day(draw(st.integers(0, 400))), draw(st.integers(2, 121)))
    counts = st.integers(-200, 100_000) if draw(st.booleans()) else st.integers(0, 60)
    points = [(month, float(draw(counts))) for month in months for _ in range(2)]
    spans = st.tuples(st.integers(-300, 3600), st.integers(0, 250), st.integers(1, 10**5))
    orders = spans.map(lambda each: ordered(each[0], each[0] + each[1], each[2], each[0] - each[1]))
    lanes = st.builds(
        Lane, name=LABELS, second=LABELS, orders=st.lists(orders, max_size=60).map(tuple)
    )
    return replace(
        STOCK,
        unit=draw(LABELS),
        name=draw(LABELS),
        second=draw(LABELS),
        points=tuple(points),
        lanes=tuple(draw(st.lists(lanes, max_size=4))),
    )


@st.composite
def outgoings(draw: st.DrawFn) -> MoneyByMonth:
    """Plans of 1 to 120 months with one or two lines; some money comes back."""
    months = months_from(day(draw(st.integers(0, 400))).replace(day=1), draw(st.integers(1, 120)))
    amounts = st.one_of(AMOUNTS, st.floats(-5000, 0))
    pieces = st.builds(Piece, group=st.sampled_from(MONEY.groups), amount=amounts, text=LABELS)
    bars = [
        OutgoingMonth(
            starts=month, text="a month", pieces=tuple(draw(st.lists(pieces, max_size=4)))
        )
        for month in months
    ]
    lines = []
    for recommended in (True, False)[: draw(st.integers(1, 2))]:
        paid = sorted(draw(st.lists(st.integers(0, 3000), min_size=2, max_size=30, unique=True)))
        points = tuple((day(at), draw(AMOUNTS)) for at in paid)
        lines.append(
            SoFar(name=draw(LABELS), second=draw(LABELS), points=points, recommended=recommended)
        )
    return replace(
        MONEY,
        unit=draw(LABELS),
        so_far_unit=draw(LABELS),
        months=tuple(bars),
        lines=tuple(lines),
    )


ANY_CHART = st.one_of(
    charts_over_quantity(TotalCost),
    charts_over_quantity(EachCost),
    paybacks(),
    stacks(),
    timelines(),
    stocks(),
    outgoings(),
)


@every_chart
def test_no_text_of_the_pawl_overlaps_leaves_the_sheet_or_is_struck_through(chart: Chart) -> None:
    """No source: the figures of the sketch, drawn in every way."""
    assert clashes(read(chart)) == []


@given(charts_over_quantity(TotalCost))
def test_no_text_of_any_total_cost_collides(chart: Chart) -> None:
    """No source: one to eight routes, 40 letters, amounts from 0 to ten million."""
    assert clashes(read(chart)) == []


@given(charts_over_quantity(EachCost))
def test_no_text_of_any_cost_of_each_collides(chart: Chart) -> None:
    """No source: as above on logarithmic scales, from 0.02."""
    assert clashes(read(chart)) == []


@given(paybacks())
def test_no_text_of_any_payback_collides(chart: Chart) -> None:
    """No source: tools that pay back at once, later, or never."""
    assert clashes(read(chart)) == []


@given(stacks())
def test_no_text_of_any_stacked_bar_collides(chart: Chart) -> None:
    """No source: up to ten pieces in a bar, credits among them."""
    assert clashes(read(chart)) == []


@given(timelines())
def test_no_text_of_any_timeline_collides(chart: Chart) -> None:
    """No source: spans of no day or of years, in any order."""
    assert clashes(read(chart)) == []


@given(stocks())
def test_no_text_of_any_stock_collides(chart: StockOverTime) -> None:
    """No source: up to 120 months and 60 orders of each of four suppliers."""
    assert clashes(read(chart)) == []


@given(outgoings())
def test_no_text_of_any_money_by_month_collides(chart: MoneyByMonth) -> None:
    """No source: up to 120 months, lines that cross or lie on each other."""
    assert clashes(read(chart)) == []


@given(ANY_CHART)
def test_every_letter_drawn_is_in_the_font(chart: Chart) -> None:
    """PDF/UA-1 (ISO 14289-1, 7.21.8) allows no reference to a missing glyph."""
    for text in read(chart).iter(f"{SVG}text"):
        weight = int(text.get("font-weight", "400"))
        names = {REGULAR: "Regular", SEMIBOLD: "Semibold"}
        known = face(font_folder() / f"SourceSans3-{names[weight]}.ttf").advances
        assert set(text.text) <= set(known)


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [
        each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in shares
    ]
    return sum(part * by for part, by in zip(linear, (0.2126, 0.7152, 0.0722), strict=True))


def contrast(one: str, other: str = "#ffffff") -> float:
    dark, light = sorted([luminance(one), luminance(other)])
    return (light + 0.05) / (dark + 0.05)


@given(ANY_CHART)
def test_texts_and_marks_stand_out_from_the_paper(chart: Chart) -> None:
    """WCAG 2.2: 4.5 to 1 for text (1.4.3), 3 to 1 for graphical objects (1.4.11)."""
    drawing = read(chart)
    assert all(contrast(text.get("fill")) >= 4.5 for text in drawing.iter(f"{SVG}text"))
    marks = [*drawing.iter(f"{SVG}polyline"), *drawing.iter(f"{SVG}polygon")]
    assert all(contrast(shape.get("stroke")) >= 3 for shape in marks)
    for shape in drawing.iter(f"{SVG}rect"):
        is_paper = shape.get("fill") == "#ffffff" and shape.get("stroke") is None
        assert is_paper or contrast(shape.get("stroke")) >= 3


def test_neighbours_in_a_stack_differ_in_tone_or_in_hatch_on_a_grey_print() -> None:
    """No source: a copy in grey keeps luminance and direction, nothing else."""
    for one, other in pairwise(FILLS):
        assert one.hatch != other.hatch or contrast(one.tone, other.tone) >= 1.5
    assert len({(fill.tone, fill.hatch) for fill in FILLS}) == len(FILLS)


@every_chart
def test_a_drawing_says_what_it_shows_to_a_reader_who_does_not_see_it(chart: Chart) -> None:
    """SVG 2, 5.8 and WAI-ARIA 1.2; WeasyPrint takes the direct title child for /Alt."""
    drawing = read(chart)
    names = {child.get("id"): child.text for child in list(drawing)[:2]}
    assert [child.tag for child in list(drawing)[:2]] == [f"{SVG}title", f"{SVG}desc"]
    assert [names[each] for each in drawing.get("aria-labelledby").split()] == [
        chart.title,
        chart.description,
    ]
    assert drawing.get("role") == "img"
    assert drawing.get("font-family").startswith("'Source Sans 3'")


@every_chart
def test_two_charts_on_one_page_share_no_id(chart: Chart) -> None:
    """No source: an id stands once in a page (HTML, 3.2.6)."""
    found = [
        shape.get("id")
        for each in (chart, replace(chart, prefix="other"))
        for shape in read(each).iter()
        if shape.get("id")
    ]
    assert len(found) == len(set(found)) >= 4


@pytest.mark.parametrize("prefix", ["", "1a", "a b", 'a"b', "a.b"])
def test_a_prefix_that_cannot_begin_an_id_is_refused(prefix: str) -> None:
    with pytest.raises(ValueError, match="cannot begin an id"):
        replace(TOTAL, prefix=prefix).svg()


@every_chart
def test_a_hostile_name_stays_text(chart: Chart) -> None:
    """No source: what a supplier writes is never markup."""
    hostile = "</text><script>1</script>"
    drawing = etree.fromstring(renamed(chart, hostile).svg())
    assert not list(drawing.iter(f"{SVG}script", "script"))
    said = "".join(drawing.itertext()).replace(" ", "")
    assert hostile in said


def renamed(chart: Chart, name: str) -> Chart:
    """The chart with its first row, bar or line called otherwise."""
    if isinstance(chart, Timeline):
        return replace(chart, rows=(replace(chart.rows[0], name=name), *chart.rows[1:]))
    if isinstance(chart, StackedLines):
        return replace(chart, bars=(replace(chart.bars[0], name=name), *chart.bars[1:]))
    if isinstance(chart, Payback):
        return replace(chart, name=name)
    if isinstance(chart, StockOverTime):
        return replace(chart, lanes=(replace(chart.lanes[0], name=name), *chart.lanes[1:]))
    if isinstance(chart, MoneyByMonth):
        return replace(chart, lines=(replace(chart.lines[0], name=name), *chart.lines[1:]))
    return replace(chart, lines=(replace(chart.lines[0], name=name), *chart.lines[1:]))


def test_the_same_chart_gives_the_same_bytes_in_another_process() -> None:
    """No source: hashing differs from process to process."""
    program = (
        "from quotegen.report.charts.chart import Line, TotalCost\n"
        "lines = tuple(Line(name=n, points=((0, 0), (9, i))) for i, n in enumerate('abc'))\n"
        "print(TotalCost(prefix='p', title='t', description='d', x_unit='x', y_unit='y',"
        " lines=lines, absent='-').svg())"
    )
    outputs = {
        subprocess.run(
            [sys.executable, "-c", program],
            env={"PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(outputs) == 1
    assert b"<svg" in outputs.pop()


def test_weasyprint_draws_every_chart_without_a_warning(caplog: pytest.LogCaptureFixture) -> None:
    """No source: WeasyPrint logs what it leaves out."""
    from weasyprint import HTML

    page = "".join(chart.svg() for chart in CHARTS)
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        HTML(string=f"<html lang=en><title>t</title>{page}</html>").write_pdf()
    assert [record.getMessage() for record in caplog.records] == []


@pytest.mark.parametrize(
    ("chart", "quantity", "cells"),
    [
        (TOTAL, "330", ("7,725", "10,362", "15,325", "print 52, then pour")),
        (TOTAL, "185", ("5,779", "5,809", "8,591", "print 52, then pour")),
        (EACH, "330", ("23.41", "31.40", "46.44", "print 52, then pour")),
        (PAYBACK, "330", ("2,637", "3 years")),
        (PAYBACK, "90", ("\N{MINUS SIGN}1,785", "")),
    ],
)
def test_the_table_gives_the_amounts_of_the_pawl(
    chart: TotalCost | EachCost | Payback, quantity: str, cells: tuple[str, ...]
) -> None:
    """By hand: 52 x 31.40 + 2,200 + 280 x 13.90 = 7,724.80 for 330, and so on."""
    head, rows = chart.table()
    assert [row[1:] for row in rows if row[0] == quantity] == [cells]
    assert all(len(row) == len(head) for row in rows)


def test_the_table_names_the_cheapest_route_of_each_stretch_to_its_last_part() -> None:
    """By hand: 184 x 31.40 = 5,777.60 is under 5,779.40, and 185 x 31.40 = 5,809 is over it."""
    _, rows = replace(TOTAL, demand=replace(DEMAND, low=184), turn=None).table()
    cheapest = {row[0]: row[-1] for row in rows}
    assert (cheapest["1"], cheapest["184"]) == ("print all", "print all")
    assert (cheapest["185"], cheapest["480"]) == ("print 52, then pour", "print 52, then pour")


def test_the_line_of_the_recommended_route_shows_what_the_table_says() -> None:
    """The scales are read back from the ticks that are drawn."""
    drawing = read(TOTAL)
    at_x, at_y = axis_of(drawing, "x1", 100, 400), axis_of(drawing, "y1", 5000, 15000)
    heavy = next(s for s in drawing.iter(f"{SVG}polyline") if s.get("stroke-width") == "2.8")
    for quantity, amount, *_ in TOTAL.table()[1]:
        x = at_x(float(quantity.replace(",", "")))
        drawn = [
            y1 + (y2 - y1) * (x - x1) / (x2 - x1)
            for (x1, y1), (x2, y2) in pairwise(corners(heavy))
            if x1 < x2 and x1 - 0.01 <= x <= x2 + 0.01
        ]
        meant = at_y(float(amount.replace(",", "")))
        assert min(abs(each - meant) for each in drawn) < 0.2


def axis_of(drawing: Any, name: str, low: int, high: int) -> Callable[[float], float]:
    """The scale through two ticks: a text, and the tick or grid line that is nearest to it."""
    ends = [tick_place(drawing, f"{value:,}", name) for value in (low, high)]
    return lambda value: ends[0] + (ends[1] - ends[0]) * (value - low) / (high - low)


def tick_place(drawing: Any, text: str, name: str) -> float:
    box = next(box for said, box in text_boxes(drawing) if said == text)
    middle = (box.left + box.right) / 2 if name == "x1" else (box.top + box.bottom) / 2
    across = name.replace("1", "2")
    places = [
        number_in(shape, name)
        for shape in drawing.iter(f"{SVG}line")
        if shape.get(name) == shape.get(across)
    ]
    return min(places, key=lambda place: abs(place - middle))


@given(charts_over_quantity(TotalCost))
def test_every_table_has_a_cell_for_every_column(chart: TotalCost) -> None:
    """PDF/UA-1 (ISO 14289-1, 7.5): each row of a table has the same number of columns."""
    head, rows = chart.table()
    assert rows
    assert all(len(row) == len(head) for row in rows)


def test_a_quantity_that_an_offer_does_not_reach_has_no_price() -> None:
    """No source: below the first tier and above the capacity there is no price (R1, R2)."""
    short = Line(name="sixty a year", points=((20, 100.0), (60, 300.0)))
    _, rows = replace(TOTAL, lines=(PRINTED, short), cheapest=()).table()
    cells = {row[0]: row[2] for row in rows}
    assert (cells["0"], cells["60"], cells["90"]) == ("no price", "300", "no price")


def test_of_two_amounts_at_one_quantity_the_later_holds() -> None:
    """No source: a step is drawn upright, and its foot belongs to the stretch before."""
    step = Line(name="step", points=((0, 0.0), (10, 100.0), (10, 150.0), (20, 200.0)))
    assert [step.at(each) for each in (5, 10, 15, 20, 21)] == [50, 150, 175, 200, None]


def test_the_bars_and_their_table_come_from_the_same_pieces() -> None:
    """No source: a group an offer has not is named as absent, and is no 0."""
    head, rows = STACKED.table()
    assert head == ("Cost lines", "print 52, then pour", "print all", "mill all")
    assert rows[2] == ("tool", "2,200", "none", "180")
    assert rows[-1] == ("Total", "7,725 EUR", "10,362 EUR", "15,284 EUR")
    drawn = {text for text, _ in text_boxes(read(STACKED))}
    assert {cell for _, *cells in rows for cell in cells} - {"none"} <= drawn


def test_a_bar_is_as_long_as_its_amounts() -> None:
    """No source: one scale for all bars; a credit runs to the left of the start."""
    lengths = {
        title.text: number_in(title.getnext(), "width")
        for title in read(STACKED).iter(f"{SVG}title")
        if title.getparent().tag == f"{SVG}g"
    }
    unit = lengths["print all: goods 8,900"] / 8900
    assert lengths["mill all: goods 14,100"] == pytest.approx(14100 * unit, abs=0.02)
    assert lengths["mill all: customs -40"] == pytest.approx(40 * unit, abs=0.02)


def test_the_timeline_and_its_table_name_the_same_days() -> None:
    """No source: three rows with four spans, and one mark."""
    head, rows = TIMELINE.table()
    assert head == ("What", "Step", "From", "To")
    assert rows[1] == ("Die and samples", "die made", "day 12", "day 75")
    assert rows[-1] == ("prints used up 5 June at 160 a year", "", "", "")
    assert len(rows) == 5


def test_a_line_that_leaves_the_frame_is_named_inside_it() -> None:
    """No source: 46.44 each is more than twice the recommended route at 480."""
    boxes = dict(text_boxes(read(TOTAL)))
    assert boxes["mill all"].right < boxes["print all"].left
    assert boxes["print all"].left == boxes["print 52, then pour"].left


def test_a_text_inside_the_frame_leaves_the_line_of_the_likely_demand_whole() -> None:
    """No source: paper behind a text would hide the one line that says what we expect."""
    drawing = read(TOTAL)
    upright = [ends for ends in straight_lines(drawing, ["grid"]) if ends[0][0] == ends[1][0]]
    assert len(upright) == 1
    inside = [box for text, box in text_boxes(drawing) if text.startswith(("mill", "from", "this"))]
    assert len(inside) == 3
    assert not any(box.meets(*upright[0]) for box in inside)


def test_a_callout_keeps_clear_of_the_line_of_zero() -> None:
    """No source: found at random; three lines of text below a mark near zero."""
    turn = Turn(quantity=1, amount=2.98, text="UWWWWWWWWWWWWWUWWWWWWWWWWWW")
    points = ((0, -0.02), (1, 2.98), (3, 8.98))
    chart = replace(PAYBACK, points=points, turn=turn, demand=None, times=())
    assert clashes(read(chart)) == []


def test_a_line_that_is_all_above_the_frame_is_still_named() -> None:
    """No source: a route that costs far more is an answer too."""
    far = Line(name="far above", points=((1, 5e6), (480, 9e6)))
    assert "far above" in dict(text_boxes(read(replace(TOTAL, lines=(POURED, far)))))


@given(charts_over_quantity(TotalCost))
def test_every_route_is_named_beside_its_line(chart: TotalCost) -> None:
    """No source: no key to look up, and no route without a name."""
    said = " ".join(text.text for text in read(chart).iter(f"{SVG}text")).replace(" ", "")
    for each in chart.lines:
        assert shown(each.name).replace(" ", "")[:8] in said


def stretch_weights(drawing: Any) -> set[str]:
    return {shape.get("stroke-width") for shape in drawing.iter(f"{SVG}line")}


def test_the_strip_is_heavy_where_the_recommended_route_is_cheapest() -> None:
    """No source: weight is what a grey print keeps of the accent."""
    assert "4" in stretch_weights(read(TOTAL))
    assert "4" not in stretch_weights(read(replace(TOTAL, cheapest=CHEAPEST[:1])))


def test_a_stair_is_drawn_solid_and_a_straight_fifth_route_may_be_dashed() -> None:
    """Measured: dashes turn to noise on finely stepped lines."""
    straight = [replace(PRINTED, name=f"route {n}") for n in range(5)]
    stairs = [replace(POURED, name=f"stair {n}", recommended=False) for n in range(5)]

    def dashed(lines: list[Line]) -> int:
        drawing = read(replace(TOTAL, lines=tuple(lines), cheapest=()))
        return sum(1 for s in drawing.iter(f"{SVG}polyline") if s.get("stroke-dasharray"))

    assert dashed(straight) == 1
    assert dashed(stairs) == 0


@pytest.mark.parametrize(
    "points", [(), ((0, math.nan),), ((0, math.inf),), ((2, 1.0), (1, 2.0))], ids=repr
)
def test_a_line_that_cannot_be_drawn_is_refused(points: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(ValueError, match="'pour'"):
        Line(name="pour", points=points)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: replace(TOTAL, lines=()).svg(), "no line to draw"),
        (lambda: replace(EACH, lines=(POURED,)).svg(), "no 0 and nothing below"),
        (lambda: replace(DEMAND, low=400), "does not rise"),
        (lambda: replace(STACKED, groups=("goods",)), "cannot be drawn"),
        (lambda: replace(STACKED, bars=()), "cannot be drawn"),
        (lambda: replace(STACKED, bars=(bar("print all", math.nan),)), "cannot be drawn"),
        (lambda: span(5, 4, "printed"), "cannot last"),
        (lambda: replace(TIMELINE, rows=()), "no span to draw"),
        (lambda: replace(STOCK, points=()).svg(), "needs points"),
        (lambda: replace(MONEY, months=()), "nothing to draw"),
        (lambda: replace(MONEY, lines=()), "nothing to draw"),
        (lambda: replace(MONEY, groups=("pieces", "tools")), "no fill is for"),
    ],
)
def test_a_description_that_cannot_be_drawn_is_refused(make: Callable[[], Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        make()


def _lines(drawing: Any) -> list[tuple[float, str]]:
    """Weight and ink of each line over quantity, in the order in which they are painted."""
    return [
        (number_in(each, "stroke-width"), each.get("stroke"))
        for each in drawing.iter(f"{SVG}polyline")
    ]


def test_no_rival_is_heavier_or_darker_than_the_recommended_line() -> None:
    """So that a grey print still shows which one it is."""
    *rivals, (weight, ink) = _lines(read(TOTAL))
    assert weight == max(weight, *(each for each, _ in rivals))
    assert contrast(ink) > max(contrast(each) for _, each in rivals)


def test_where_nothing_is_recommended_lines_that_coincide_are_told_apart() -> None:
    """The broad one lies below, the thin one is darker, and no mark hides another."""
    points = ((0.0, 0.0), (50.0, 500.0), (100.0, 900.0))
    tied = replace(
        TOTAL,
        lines=tuple(Line(name=name, points=points) for name in ("mill at Ash", "mill at Elm")),
        turn=None,
        cheapest=(),
        cheapest_name="",
    )
    drawing = read(tied)
    (broad, pale), (thin, dark) = _lines(drawing)
    assert broad > 2 * thin
    assert contrast(dark) > 2 * contrast(pale)
    first, second = (_extent(each) for each in drawing.iter(f"{SVG}polygon"))
    assert not first.overlaps(second)


def _extent(mark: Any) -> Box:
    numbers = [float(each) for each in mark.get("points").replace(",", " ").split()]
    return Box(min(numbers[::2]), min(numbers[1::2]), max(numbers[::2]), max(numbers[1::2]))


def test_a_timeline_names_the_fills_that_it_uses_and_no_other() -> None:
    key = [text for text, box in text_boxes(read(TIMELINE)) if box.top < 12]
    assert key == ["tool", "samples", "run"]
    only = replace(TIMELINE, rows=TIMELINE.rows[:1])
    assert [text for text, box in text_boxes(read(only)) if box.top < 12] == ["run"]


def test_a_span_that_no_fill_is_for_is_refused() -> None:
    with pytest.raises(ValueError, match="no fill is for"):
        replace(TIMELINE, groups=("tool", "samples"))


def test_no_line_of_a_day_is_broken_by_when_a_row_ends() -> None:
    """What stands at the end of a row stands right of every bar and mark."""
    drawing = read(TIMELINE)
    ends = [box for text, box in text_boxes(drawing) if "on the shelf" in text]
    reach = max(number_in(each, "x1") for each in drawing.iter(f"{SVG}line"))
    assert len(ends) == 2
    assert all(box.left > reach for box in ends)


def test_the_stock_rises_by_what_arrives_and_each_arrival_bears_the_mark_of_its_supplier() -> None:
    """No source: 120 castings come to 2 left; the scales are read back from the ticks."""
    drawing = read(STOCK)
    at_y = axis_of(drawing, "y1", 50, 100)
    (line,) = drawing.iter(f"{SVG}polyline")
    ups = [(y1, y2) for (x1, y1), (x2, y2) in pairwise(corners(line)) if x1 == x2 and y1 > y2]
    assert list(ups[-1]) == pytest.approx([at_y(2), at_y(122)], abs=0.2)
    marks = [_extent(each) for each in drawing.iter(f"{SVG}polygon")]
    triangles = [each for each in marks if each.right - each.left > 5]
    assert len(triangles) == 3  # on the stock, at the arrival below, and beside the name
    assert min(each.top for each in triangles) == pytest.approx(at_y(122) - 3, abs=0.2)


def test_an_order_is_drawn_from_its_day_to_its_arrival_and_its_tools_before_it() -> None:
    drawing = read(STOCK)
    names = [text for text, _ in text_boxes(drawing)]
    assert {"32", "120", "wax die"} <= set(names)
    at_x = axis_of_days(drawing)
    level = [ends for ends in straight_lines(drawing, ["lines"]) if ends[0][1] == ends[1][1]]
    spans = {(round(x1), round(x2)) for (x1, _), (x2, _) in level}
    for start, end in ((-25, 0), (20, 91), (-40, 20)):
        assert (round(at_x(day(start))), round(at_x(day(end)))) in spans


def axis_of_days(drawing: Any) -> Callable[[datetime.date], float]:
    """Through the ticks of July 2027 and January 2028, found by their texts."""
    first, last = datetime.date(2027, 7, 1), datetime.date(2028, 1, 1)
    texts = dict(text_boxes(drawing))
    ends = [(texts[name].left + texts[name].right) / 2 for name in ("Jul", "Jan 2028")]
    unit = (ends[1] - ends[0]) / (last - first).days
    return lambda at: ends[0] + unit * (at - first).days


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (12, "Mar 2027 Apr May Jun Jul Aug Sep Oct Nov Dec Jan 2028 Feb Mar"),
        (36, "Apr 2027 Jul Oct Jan 2028 Apr Jul Oct Jan 2029 Apr Jul Oct Jan 2030"),
        (120, "2028 2029 2030 2031 2032 2033 2034 2035 2036 2037"),
    ],
)
def test_a_long_plan_has_fewer_texts_under_its_months(count: int, said: str) -> None:
    points = tuple((month, 10.0) for month in months_from(FIRST, count + 1))
    drawing = read(replace(STOCK, points=points, lanes=()))
    foot = max(box.bottom for text, box in text_boxes(drawing))
    assert " ".join(text for text, box in text_boxes(drawing) if box.bottom == foot) == said


def test_a_bar_of_a_month_stands_on_zero_and_what_comes_back_hangs_below_it() -> None:
    """No source: 1,000 for pieces, and 210 that come back, on one scale."""
    drawing = read(MONEY)
    bars = {
        title.text: title.getnext()
        for title in drawing.iter(f"{SVG}title")
        if title.getparent().tag == f"{SVG}g" and ": " in title.text
    }
    up, back = bars["April 2027: pieces 1,000"], bars["April 2027: tax -210"]
    assert number_in(up, "height") / 1000 == pytest.approx(
        number_in(back, "height") / 210, abs=1e-3
    )
    assert number_in(up, "y") + number_in(up, "height") == pytest.approx(number_in(back, "y"))
    on_top = bars["March 2027: tools 2,000"], bars["March 2027: pieces 1,000"]
    assert number_in(on_top[0], "y") + number_in(on_top[0], "height") == pytest.approx(
        number_in(on_top[1], "y"), abs=0.02
    )
    assert number_in(up, "x") > number_in(on_top[0], "x") + number_in(on_top[0], "width")


def test_a_money_chart_names_the_fills_that_it_uses_and_both_lines() -> None:
    said = {text for text, _ in text_boxes(read(MONEY))}
    assert {"pieces", "tools", "tax", "this plan", "4,000 EUR", "print all"} <= said
    bare = replace(MONEY, months=MONEY.months[1:])
    assert "tools" not in {text for text, _ in text_boxes(read(bare))}
