"""A timeline: what takes how long from the order to the shelf, a row for each thing."""

from __future__ import annotations

import math
from dataclasses import dataclass

from quotegen.report.charts.axes import Scale
from quotegen.report.charts.fills import FILLS, draw_key, filled
from quotegen.report.charts.letters import REGULAR, SEMIBOLD
from quotegen.report.charts.places import Box
from quotegen.report.charts.sheet import (
    ACCENT,
    GREY,
    HAIRLINE,
    INK,
    PITCH,
    WIDTH,
    Block,
    Sheet,
    block,
    joined,
    titled,
)

ROW = 24.0
BAR = 13.0
NAMES_MOST = 140.0
END_MOST = 84.0
TICK_MOST = 90.0
GAP = 6.0
LINES_APART = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of days, counted from any one day, start <= end, with both days in words.

    group is one of the timeline's groups and decides the fill.
    """

    start: float
    end: float
    start_text: str
    end_text: str
    what: str
    group: str

    def __post_init__(self) -> None:
        if not -math.inf < self.start <= self.end < math.inf:
            raise ValueError(f"{self.what!r} cannot last from {self.start!r} to {self.end!r}")


@dataclass(frozen=True, slots=True, kw_only=True)
class SpanRow:
    """One row: its name, its spans in order, and beside all bars what its end is, and when."""

    name: str
    spans: tuple[Span, ...]
    end_label: str = ""
    end_day: str = ""
    recommended: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A day that matters across all rows."""

    day: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """Rows of spans under a scale of days; ticks are (day, text), usually the first of a month.

    groups name the fills in the key, in its order; head names the table's columns: what, step,
    from, to. Raises ValueError without a span, or with a span of no known group.
    """

    prefix: str
    title: str
    description: str
    groups: tuple[str, ...]
    rows: tuple[SpanRow, ...]
    ticks: tuple[tuple[float, str], ...]
    marks: tuple[Mark, ...] = ()
    head: tuple[str, str, str, str]

    def __post_init__(self) -> None:
        spans = [span for row in self.rows for span in row.spans]
        if not spans:
            raise ValueError(f"{self.title!r} has no span to draw")
        if len(self.groups) > len(FILLS) or {each.group for each in spans} - {*self.groups}:
            raise ValueError(f"{self.title!r} has a span that no fill is for")

    def svg(self) -> str:
        """The timeline as inline SVG."""
        sheet = Sheet()
        scale = _scale(self)
        top = _draw_key(sheet, self)
        y = top + PITCH + 4
        for row in self.rows:
            y = _draw_row(sheet, self, row, scale, y)
        foot = y + 2
        _draw_ticks(sheet, self, scale, top, foot)
        foot = _draw_marks(sheet, self, scale, top, foot)
        return sheet.finished(self.prefix, self.title, self.description, foot)

    def table(self) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
        """A row for each span, then one for each mark."""
        spans = [
            (row.name, span.what, span.start_text, span.end_text)
            for row in self.rows
            for span in row.spans
        ]
        return self.head, (*spans, *((mark.text, "", "", "") for mark in self.marks))


def _draw_key(sheet: Sheet, chart: Timeline) -> float:
    """Only fills that are there, each by its own number; the key's foot comes back."""
    used = {span.group for row in chart.rows for span in row.spans}
    return draw_key(sheet, [each if each in used else "" for each in chart.groups], 0) + 4


def _scale(chart: Timeline) -> Scale:
    """Between the names and the column of the ends, wide enough for every tick's text."""
    days = [day for row in chart.rows for span in row.spans for day in (span.start, span.end)]
    days += [day for day, _ in chart.ticks] + [mark.day for mark in chart.marks]
    low, start = min(days), max(_name(row).width for row in chart.rows) + 14
    ends = max(_end(row).width for row in chart.rows)
    return Scale(
        low=low,
        high=max(*days, low + 1),
        start=start,
        end=WIDTH - (ends + 2 * GAP if ends else GAP),
    )


def _name(row: SpanRow) -> Block:
    fill, weight = (ACCENT, SEMIBOLD) if row.recommended else (INK, REGULAR)
    return block(row.name, NAMES_MOST, fill=fill, weight=weight, most=2)


def _end(row: SpanRow) -> Block:
    weight = SEMIBOLD if row.recommended else REGULAR
    label = block(row.end_label, END_MOST, weight=weight, most=3)
    return joined(label, block(row.end_day, END_MOST, weight=weight, most=1))


def _draw_row(sheet: Sheet, chart: Timeline, row: SpanRow, scale: Scale, top: float) -> float:
    """The name, the spans, and when it ends; where the row ends comes back."""
    name, end = _name(row), _end(row)
    height = max(ROW, name.height + 2, end.height + 2)
    sheet.write(name, 0, top + (height - name.height) / 2)
    sheet.write(end, scale.end + 2 * GAP, top + (height - end.height) / 2)
    y = top + (height - BAR) / 2
    for span in row.spans:
        box = Box(scale.at(span.start), y, scale.at(span.end), y + BAR)
        explained = f"{row.name}: {span.what}, {span.start_text}, {span.end_text}"
        shapes = filled(chart.groups.index(span.group), box)
        sheet.put("marks", titled(explained, *shapes))
    if row.recommended and row.spans:
        ends = [scale.at(day) for span in row.spans for day in (span.start, span.end)]
        foot = y + BAR + 1.75
        sheet.line("marks", ((min(ends), foot), (max(ends), foot)), ACCENT, 2.5)
    return top + height


def _draw_ticks(sheet: Sheet, chart: Timeline, scale: Scale, top: float, foot: float) -> None:
    """A hairline at each tick, and its text where it does not run into the one before."""
    reach, last = -GAP, -GAP
    for day, text in sorted(chart.ticks):
        x = scale.at(day)
        if x - last >= LINES_APART:
            sheet.line("grid", ((x, top + PITCH + 3), (x, foot)), HAIRLINE, 0.5)
            last = x
        words = block(text, TICK_MOST, fill=GREY, most=1)
        if x >= reach + GAP and x + words.width <= WIDTH:
            reach = sheet.write(words, x, top).right


def _draw_marks(sheet: Sheet, chart: Timeline, scale: Scale, top: float, foot: float) -> float:
    """A line over all rows for each mark, the latest one's text first, so that no line cuts it."""
    rows = foot
    for mark in sorted(chart.marks, key=lambda each: -each.day):
        x = scale.at(mark.day)
        after = x < WIDTH / 2 or block(mark.text, WIDTH, most=1).width <= WIDTH - x - GAP
        words = block(mark.text, (WIDTH - x if after else x) - GAP)
        sheet.line("lines", ((x, top + PITCH + 3), (x, rows)), INK, 0.9)
        sheet.line("grid", ((x, rows), (x, foot + words.height)), INK, 0.9)
        sheet.write(
            words, x + 4 if after else x - 4, foot, "start" if after else "end", backed=True
        )
        foot += words.height
    return foot + 2
