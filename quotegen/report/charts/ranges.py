"""What each route may cost: a line from low to high for each, its mean marked, over one scale."""

from __future__ import annotations

from dataclasses import dataclass

from quotegen.report.charts.axes import Scale, linear_ticks
from quotegen.report.charts.letters import REGULAR, SEMIBOLD
from quotegen.report.charts.sheet import (
    ACCENT,
    GREY,
    HAIRLINE,
    INK,
    PAPER,
    PITCH,
    WIDTH,
    Sheet,
    block,
)
from quotegen.report.charts.svg import element

LEFT, RIGHT = 8.0, WIDTH - 8.0
TEXT_ROOM = 190.0
ROW = 2 * PITCH + 10
MOST_TICKS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeRow:
    """One route: from low to high with its mean, and the three as text."""

    name: str
    low: float
    mean: float
    high: float
    text: str
    is_taken: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeRows:
    """Rows over one scale. Raises ValueError without a row, or for a mean outside its range."""

    prefix: str
    title: str
    description: str
    unit: str
    rows: tuple[RangeRow, ...]

    def __post_init__(self) -> None:
        if not self.rows or any(not each.low <= each.mean <= each.high for each in self.rows):
            raise ValueError(f"{self.title!r} cannot be drawn")

    def svg(self) -> str:
        sheet = Sheet()
        scale = self._scale()
        foot = ROW * len(self.rows)
        for tick in linear_ticks(scale.low, scale.high, MOST_TICKS):
            x = scale.at(tick.value)
            sheet.line("grid", ((x, 0), (x, foot)), HAIRLINE, 0.5)
            text = block(tick.text, TEXT_ROOM, fill=GREY)
            left = min(max(x - text.width / 2, 0), WIDTH - text.width)
            sheet.write(text, left, foot + 3)
        for number, row in enumerate(self.rows):
            _draw_row(sheet, row, scale, number * ROW)
        sheet.write(block(self.unit, WIDTH, fill=GREY, most=1), WIDTH, foot + PITCH + 5, "end")
        return sheet.finished(self.prefix, self.title, self.description, foot + 2 * PITCH + 9)

    def _scale(self) -> Scale:
        low = min(each.low for each in self.rows)
        high = max(each.high for each in self.rows)
        if low == high:
            low, high = low - 1, high + 1
        return Scale(low=low, high=high, start=LEFT, end=RIGHT)


def _draw_row(sheet: Sheet, row: RangeRow, scale: Scale, top: float) -> None:
    """The name and the figures above the line."""
    ink, weight = (ACCENT, SEMIBOLD) if row.is_taken else (INK, REGULAR)
    name = block(row.name, WIDTH - TEXT_ROOM - 8, fill=ink, weight=weight, most=1)
    sheet.write(name, 0, top, backed=True)
    sheet.write(block(row.text, TEXT_ROOM, fill=ink, most=1), WIDTH, top, "end", backed=True)
    y = top + PITCH + 8
    low, mean, high = (scale.at(each) for each in (row.low, row.mean, row.high))
    sheet.line("lines", ((low, y), (high, y)), ink, 3.5 if row.is_taken else 1.5)
    for x in (low, high):
        sheet.line("lines", ((x, y - 4), (x, y + 4)), ink, 0.75)
    mark = element("circle", cx=mean, cy=y, r=4, fill=PAPER, stroke=ink, stroke_width=1.5)
    sheet.put("marks", mark)
