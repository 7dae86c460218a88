"""Orders and stock in one drawing: what lies on the shelf, and below it who brings it when."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from quotegen.report.charts.curves import draw_lines
from quotegen.report.charts.labels import SHAPES, label, marker
from quotegen.report.charts.months import Panel, at, draw_months, draw_years, frames
from quotegen.report.charts.plots import COLUMN_MOST, Frame, Line
from quotegen.report.charts.sheet import (
    GREY,
    INK,
    PITCH,
    SMALL,
    WIDTH,
    Block,
    Sheet,
    block,
    joined,
    titled,
)

HEIGHT = 150.0
LANE = 26.0  # from one supplier to the next
APART = 8.0  # from one mark to the next on the line of the stock, on average
ASIDE = SHAPES[1:]  # the disc ends the line of the stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """One order on its lane: both days, what is ordered in few letters, and in words.

    tools is the day on which its tools are ordered first, with their name.
    """

    ordered: datetime.date
    arrives: datetime.date
    text: str
    what: str
    tools: datetime.date | None = None
    tools_text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """All orders with one supplier, and his name."""

    name: str
    second: str
    orders: tuple[Ordered, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockOverTime:
    """Stock as a line over days, and a lane for each supplier below it.

    points are (day, good parts) in rising order of days, two of one day where an order arrives;
    less than nothing means that parts are late. Raises ValueError without a point.
    """

    prefix: str
    title: str
    description: str
    unit: str
    name: str
    second: str
    points: tuple[tuple[datetime.date, float], ...]
    lanes: tuple[Lane, ...]

    def svg(self) -> str:
        """The drawing as inline SVG."""
        sheet = Sheet()
        line = Line(
            name=self.name,
            second=self.second,
            points=tuple((at(day), value) for day, value in self.points),
            recommended=True,
        )
        unit = block(self.unit, WIDTH, fill=GREY)
        sheet.write(unit, 0, 0)
        frame = self._frame(line, unit.height + 10)
        draw_years(sheet, frame)
        draw_lines(sheet, frame, (line,))
        foot = draw_months(sheet, frame) + 8
        for number, lane in enumerate(self.lanes):
            foot = _draw_lane(sheet, frame, lane, ASIDE[number % len(ASIDE)], foot)
        self._mark_arrivals(sheet, frame)
        return sheet.finished(self.prefix, self.title, self.description, foot + 2)

    def _frame(self, line: Line, top: float) -> Frame:
        orders = [order for lane in self.lanes for order in lane.orders]
        days = [day for day, _ in self.points]
        days += [day for each in orders for day in (each.tools or each.ordered, each.arrives)]
        values = tuple(value for _, value in self.points)
        labels = [label(line), *(_name(lane) for lane in self.lanes)]
        panel = Panel(values=values, top=top, height=HEIGHT)
        (frame,) = frames(min(days), max(days), [panel], labels)
        return frame

    def _mark_arrivals(self, sheet: Sheet, frame: Frame) -> None:
        """The supplier's mark on the line of the stock, at the head of the step that he brings.

        None where there are so many that they would hide the line.
        """
        if sum(len(lane.orders) for lane in self.lanes) > (frame.x.end - frame.x.start) / APART:
            return
        tops: dict[datetime.date, float] = {}
        for day, value in self.points:
            tops[day] = max(value, tops.get(day, value))
        for number, lane in enumerate(self.lanes):
            for order in lane.orders:
                for day in sorted(each for each in tops if each >= order.arrives)[:1]:
                    place = frame.place((at(day), tops[day]))
                    sheet.put("marks", marker(ASIDE[number % len(ASIDE)], place, INK))


def _name(lane: Lane) -> Block:
    name = block(lane.name, COLUMN_MOST, most=1)
    second = block(lane.second, COLUMN_MOST, fill=GREY, most=1)
    return joined(name, second) if second.runs else name


def _draw_lane(sheet: Sheet, frame: Frame, lane: Lane, shape: str, top: float) -> float:
    """A line from each order to its arrival, the pieces under its end; the lane's foot."""
    name = _name(lane)
    y = top + PITCH / 2
    sheet.write(name, frame.column, top)
    sheet.put("marks", marker(shape, (frame.column - 7, y), INK))
    for order in lane.orders:
        start, end = frame.x.at(at(order.ordered)), frame.x.at(at(order.arrives))
        sheet.line("lines", ((start, y), (end, y)), INK, 0.75)
        sheet.line("lines", ((start, y - 3), (start, y + 3)), INK, 0.75)
        sheet.put("marks", titled(order.what, marker(shape, (end, y), INK)))
        if order.tools is not None:
            first = frame.x.at(at(order.tools))
            sheet.line("lines", ((first, y), (start, y)), GREY, 0.5)
            sheet.line("lines", ((first, y - 5), (first, y + 5)), INK, 1.5)
            _write_if_free(sheet, order.tools_text, first, y + 6, "start")
    for order in lane.orders:
        _write_if_free(sheet, order.text, frame.x.at(at(order.arrives)), y + 4)
    return top + max(LANE, name.height + 4)


def _write_if_free(sheet: Sheet, text: str, x: float, top: float, anchor: str = "middle") -> None:
    """Where texts would touch, the later one is left out; the table has them all."""
    words = block(text, COLUMN_MOST, size=SMALL, most=1)
    box = words.box(min(max(x, words.width / 2), WIDTH - words.width / 2), top, anchor)
    if sheet.is_free(box, 4):
        sheet.write(words, box.left, top)
