"""A timeline: what takes how long from the order to the shelf, a row for each thing."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from quotegen.report.axes import Scale
from quotegen.report.letters import REGULAR, SEMIBOLD
from quotegen.report.places import Box
from quotegen.report.sheet import (
    ACCENT,
    GREY,
    HAIRLINE,
    INK,
    PAPER,
    PITCH,
    WIDTH,
    Block,
    Sheet,
    block,
    titled,
)
from quotegen.report.svg import Element, element

ROW = 24.0
BAR = 13.0
NAMES_MOST = 130.0
END_MOST = 130.0
TICK_MOST = 90.0
GAP = 6.0
LINES_APART = 4.0
TONE = "#e3e1dc"


class SpanKind(StrEnum):
    """Open: others work. Filled: it waits or is made ready. Accent: the route we recommend."""

    OPEN = "open"
    FILLED = "filled"
    ACCENT = "accent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of days, counted from any one day, start <= end, with both days in words."""

    start: float
    end: float
    start_text: str
    end_text: str
    what: str
    kind: SpanKind = SpanKind.OPEN

    def __post_init__(self) -> None:
        if not -math.inf < self.start <= self.end < math.inf:
            raise ValueError(f"{self.what!r} cannot last from {self.start!r} to {self.end!r}")


@dataclass(frozen=True, slots=True, kw_only=True)
class SpanRow:
    """One row: its name, its spans in order, and what stands at the end of the last."""

    name: str
    spans: tuple[Span, ...]
    end_label: str = ""
    recommended: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A day that matters across all rows."""

    day: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """Rows of spans under a scale of days; ticks are (day, text), usually the first of a month.

    head names the table's columns: what, step, from, to. Raises ValueError without a span.
    """

    prefix: str
    title: str
    description: str
    rows: tuple[SpanRow, ...]
    ticks: tuple[tuple[float, str], ...]
    marks: tuple[Mark, ...] = ()
    head: tuple[str, str, str, str]

    def __post_init__(self) -> None:
        if not any(row.spans for row in self.rows):
            raise ValueError(f"{self.title!r} has no span to draw")

    def svg(self) -> str:
        """The timeline as inline SVG."""
        sheet = Sheet()
        scale = _scale(self)
        top = PITCH + 4
        y = top + 2
        for row in self.rows:
            y = _draw_row(sheet, row, scale, y)
        foot = y + 2
        _draw_ticks(sheet, self, scale, foot)
        return sheet.finished(
            self.prefix, self.title, self.description, _draw_marks(sheet, self, scale, foot)
        )

    def table(self) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
        """A row for each span, then one for each mark."""
        spans = [
            (row.name, span.what, span.start_text, span.end_text)
            for row in self.rows
            for span in row.spans
        ]
        return self.head, (*spans, *((mark.text, "", "", "") for mark in self.marks))


def _scale(chart: Timeline) -> Scale:
    """The widest scale that leaves room on the right for every label at its day."""
    days = [day for row in chart.rows for span in row.spans for day in (span.start, span.end)]
    days += [day for day, _ in chart.ticks] + [mark.day for mark in chart.marks]
    low, start = min(days), max(_name(row).width for row in chart.rows) + 14
    needs = [(day, 2.0) for day in days]
    needs += [(_reach(row, low), _end(row, END_MOST).width + GAP + 0.5) for row in chart.rows]
    needs += [(day, block(text, TICK_MOST, most=1).width) for day, text in chart.ticks]
    high = max(*days, low + 1)
    unit = min(
        (WIDTH - start - need) / (day - low) for day, need in [*needs, (high, 2.0)] if day > low
    )
    return Scale(low=low, high=high, start=start, end=start + (high - low) * unit)


def _reach(row: SpanRow, low: float) -> float:
    return max((span.end for span in row.spans), default=low)


def _name(row: SpanRow) -> Block:
    fill, weight = (ACCENT, SEMIBOLD) if row.recommended else (INK, REGULAR)
    return block(row.name, NAMES_MOST, fill=fill, weight=weight, most=2)


def _end(row: SpanRow, room: float) -> Block:
    return block(row.end_label, room, fill=INK, most=2)


def _draw_row(sheet: Sheet, row: SpanRow, scale: Scale, top: float) -> float:
    """The name, the spans, the label after the last; where the row ends comes back."""
    name = _name(row)
    reach = scale.at(_reach(row, scale.low))
    end = _end(row, WIDTH - reach - 6)
    height = max(ROW, name.height + 4, end.height + 4)
    sheet.write(name, 0, top + (height - name.height) / 2)
    sheet.write(end, reach + 6, top + (height - end.height) / 2, backed=True)
    for span in row.spans:
        left, right = scale.at(span.start), scale.at(span.end)
        y = top + (height - BAR) / 2
        explained = f"{row.name}: {span.what}, {span.start_text}, {span.end_text}"
        sheet.put("marks", titled(explained, _bar(span.kind, Box(left, y, right, y + BAR))))
    return top + height


def _bar(kind: SpanKind, box: Box) -> Element:
    fills = {SpanKind.OPEN: PAPER, SpanKind.FILLED: TONE, SpanKind.ACCENT: ACCENT}
    return element(
        "rect",
        x=box.left,
        y=box.top,
        width=box.right - box.left,
        height=box.bottom - box.top,
        fill=fills[kind],
        stroke=ACCENT if kind is SpanKind.ACCENT else INK,
        stroke_width=0.8,
    )


def _draw_ticks(sheet: Sheet, chart: Timeline, scale: Scale, foot: float) -> None:
    """A hairline at each tick, and its text where it does not run into the one before."""
    reach, last = -GAP, -GAP
    for day, text in sorted(chart.ticks):
        x = scale.at(day)
        if x - last >= LINES_APART:
            sheet.line("grid", ((x, PITCH + 3), (x, foot)), HAIRLINE, 0.5)
            last = x
        words = block(text, TICK_MOST, fill=GREY, most=1)
        if x >= reach + GAP and x + words.width <= WIDTH:
            reach = sheet.write(words, x, 0).right


def _draw_marks(sheet: Sheet, chart: Timeline, scale: Scale, foot: float) -> float:
    """A line over all rows for each mark, the latest one's text first, so that no line cuts it."""
    for mark in sorted(chart.marks, key=lambda each: -each.day):
        x = scale.at(mark.day)
        after = x < WIDTH / 2 or block(mark.text, WIDTH, most=1).width <= WIDTH - x - GAP
        words = block(mark.text, (WIDTH - x if after else x) - GAP)
        sheet.line("grid", ((x, PITCH + 3), (x, foot + words.height)), INK, 0.9)
        sheet.write(
            words, x + 4 if after else x - 4, foot, "start" if after else "end", backed=True
        )
        foot += words.height
    return foot + 2
