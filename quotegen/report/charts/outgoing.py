"""Money over time: what goes out in each month, and above it what has gone out so far."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from quotegen.report.charts.curves import draw_grid, draw_lines
from quotegen.report.charts.fills import FILLS, draw_key, filled
from quotegen.report.charts.labels import label
from quotegen.report.charts.months import Panel, at, draw_months, draw_years, frames, next_month
from quotegen.report.charts.places import Box
from quotegen.report.charts.plots import Frame, Line
from quotegen.report.charts.sheet import GREY, WIDTH, Block, Sheet, block, titled
from quotegen.report.charts.stacked import Piece

HEIGHT = 115.0  # of each of the two frames
SIDE = 0.12  # of a month's width, left free on either side of its bar
LEAST_BAR = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class SoFar:
    """What has been paid so far by one plan: (day, amount) in rising order of days."""

    name: str
    second: str = ""
    points: tuple[tuple[datetime.date, float], ...]
    recommended: bool = False

    @property
    def line(self) -> Line:
        return Line(
            name=self.name,
            second=self.second,
            points=tuple((at(day), amount) for day, amount in self.points),
            recommended=self.recommended,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class OutgoingMonth:
    """What goes out in the month that begins on a day; an amount below zero comes back."""

    starts: datetime.date
    text: str
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyByMonth:
    """Bars by month in the fills of their groups, and above them a line for each plan.

    Raises ValueError without a month, a line, or with a piece of no known group.
    """

    prefix: str
    title: str
    description: str
    unit: str
    so_far_unit: str
    groups: tuple[str, ...]
    months: tuple[OutgoingMonth, ...]
    lines: tuple[SoFar, ...]

    def __post_init__(self) -> None:
        named = {piece.group for month in self.months for piece in month.pieces}
        if not self.months or not self.lines or len(self.groups) > len(FILLS):
            raise ValueError(f"{self.title!r} has nothing to draw")
        if named - {*self.groups}:
            raise ValueError(f"{self.title!r} has a piece that no fill is for")

    def svg(self) -> str:
        """The drawing as inline SVG."""
        sheet = Sheet()
        upper, lower = block(self.so_far_unit, WIDTH, fill=GREY), block(self.unit, WIDTH, fill=GREY)
        sheet.write(upper, 0, 0)
        second = upper.height + 10 + HEIGHT + 14
        sheet.write(lower, 0, second)
        used = {piece.group for month in self.months for piece in month.pieces}
        key = [each if each in used else "" for each in self.groups]
        foot = draw_key(sheet, key, second + lower.height + 4)
        above, below = self._frames((upper.height + 10, foot + 10))
        for frame in (above, below):
            draw_years(sheet, frame)
        draw_lines(sheet, above, tuple(each.line for each in self.lines))
        draw_grid(sheet, below)
        for month in self.months:
            self._draw_month(sheet, below, month)
        return sheet.finished(self.prefix, self.title, self.description, draw_months(sheet, below))

    def _frames(self, tops: tuple[float, float]) -> tuple[Frame, ...]:
        lines = [each.line for each in self.lines]
        sums = [_sum(month, sign) for month in self.months for sign in (1, -1)]
        values = (tuple(y for line in lines for _, y in line.points), tuple(sums))
        days = [day for each in self.lines for day, _ in each.points]
        days += [self.months[0].starts, next_month(self.months[-1].starts)]
        panels = [
            Panel(values=each, top=top, height=HEIGHT)
            for each, top in zip(values, tops, strict=True)
        ]
        labels: list[Block] = [label(line) for line in lines]
        return frames(min(days), max(days), panels, labels)

    def _draw_month(self, sheet: Sheet, frame: Frame, month: OutgoingMonth) -> None:
        left, right = (frame.x.at(at(day)) for day in (month.starts, next_month(month.starts)))
        side = min(SIDE * (right - left), max(0.0, (right - left - LEAST_BAR) / 2))
        ends = {True: 0.0, False: 0.0}  # of what goes out, and of what comes back
        for piece in sorted(month.pieces, key=lambda each: self.groups.index(each.group)):
            start = ends[piece.amount > 0]
            ends[piece.amount > 0] = end = start + piece.amount
            heights = sorted((frame.y.at(start), frame.y.at(end)))
            box = Box(left + side, heights[0], right - side, heights[1])
            shapes = filled(self.groups.index(piece.group), box)
            sheet.put("marks", titled(f"{month.text}: {piece.group} {piece.text}", *shapes))


def _sum(month: OutgoingMonth, sign: int) -> float:
    return sum(piece.amount for piece in month.pieces if piece.amount * sign > 0)
