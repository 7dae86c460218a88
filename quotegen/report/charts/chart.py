"""The charts of a report: each a frozen description that gives its drawing and its table.

A chart computes no money: it is given values and texts, and draws them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from quotegen.report.charts.axes import linear_ticks, log_ticks, number_text, shortest_text
from quotegen.report.charts.curves import draw_plot
from quotegen.report.charts.places import Point
from quotegen.report.charts.plots import HEIGHT, Cheapest, Demand, Line, Plot, Turn
from quotegen.report.charts.stacked import Bar, Piece, StackedLines
from quotegen.report.charts.timeline import Mark, Span, SpanRow, Timeline

__all__ = (
    "Bar",
    "Cheapest",
    "Demand",
    "EachCost",
    "Line",
    "Mark",
    "Payback",
    "Piece",
    "Span",
    "SpanRow",
    "StackedLines",
    "Table",
    "Timeline",
    "TotalCost",
    "Turn",
)
Table = tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class OverQuantity:
    """Amounts by number of good parts, a line for each route, the recommended one in accent.

    digits are the decimals of an amount in the table; absent is written where a line has none.
    prefix begins every id of the drawing, so that two charts can stand on one page; height is
    that of the frame, in units of the drawing.
    """

    logarithmic: ClassVar[bool]
    prefix: str
    title: str
    description: str
    x_unit: str
    y_unit: str
    lines: tuple[Line, ...]
    absent: str
    digits: int
    demand: Demand | None = None
    turn: Turn | None = None
    cheapest: tuple[Cheapest, ...] = ()
    cheapest_name: str = ""
    height: float = HEIGHT

    def svg(self) -> str:
        """Inline SVG; ValueError where a logarithmic chart has a value that is not above 0."""
        return draw_plot(
            Plot(
                prefix=self.prefix,
                title=self.title,
                description=self.description,
                x_unit=self.x_unit,
                y_unit=self.y_unit,
                lines=self.lines,
                logarithmic=self.logarithmic,
                demand=self.demand,
                turn=self.turn,
                cheapest=self.cheapest,
                cheapest_name=self.cheapest_name,
                height=self.height,
            )
        )

    def table(self) -> Table:
        """The amounts at round quantities, at the demand, and from where a route is cheapest."""
        starts = {each.start for each in self.cheapest}
        quantities = sorted({*_quantities(self, logarithmic=self.logarithmic), *starts})
        head, rows = _table(self, quantities)
        if not self.cheapest:
            return head, rows
        names = [_cheapest_at(self.cheapest, each, self.absent) for each in quantities]
        return (*head, self.cheapest_name), _widened(rows, names)


@dataclass(frozen=True, slots=True, kw_only=True)
class TotalCost(OverQuantity):
    """Total cost; a line that rises far above the recommended one leaves the frame at the top."""

    logarithmic: ClassVar[bool] = False
    digits: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class EachCost(OverQuantity):
    """Cost of one good part, on logarithmic scales both ways."""

    logarithmic: ClassVar[bool] = True
    digits: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Payback:
    """What the tool has saved by quantity: the cost without it less the cost with it.

    points begin at what the tool costs, below zero, and cross zero where it has paid back.
    times are quantities with the time by which they are needed ("1 year"), on a second scale.
    """

    prefix: str
    title: str
    description: str
    x_unit: str
    y_unit: str
    name: str
    second: str
    points: tuple[Point, ...]
    absent: str
    digits: int = 0
    demand: Demand | None = None
    turn: Turn | None = None
    times: tuple[tuple[float, str], ...] = ()
    times_unit: str = ""

    @property
    def lines(self) -> tuple[Line, ...]:
        line = Line(name=self.name, second=self.second, points=self.points, recommended=True)
        return (line,)

    def svg(self) -> str:
        return draw_plot(
            Plot(
                prefix=self.prefix,
                title=self.title,
                description=self.description,
                x_unit=self.x_unit,
                y_unit=self.y_unit,
                lines=self.lines,
                demand=self.demand,
                turn=self.turn,
                second_ticks=self.times,
                second_unit=self.times_unit,
            )
        )

    def table(self) -> Table:
        """The saving at round quantities, at the times, at the demand and at the turn."""
        times = dict(self.times)
        quantities = sorted({*_quantities(self, logarithmic=False), *times})
        head, rows = _table(self, quantities)
        if not times:
            return head, rows
        names = [times.get(each, "") for each in quantities]
        return (*head, self.times_unit), _widened(rows, names)


def _quantities(chart: OverQuantity | Payback, *, logarithmic: bool) -> list[float]:
    """Round quantities, where each line begins and ends, and what the chart marks, in order."""
    found = {point[0] for line in chart.lines for point in (line.points[0], line.points[-1])}
    low, high = min(found), max(found)
    if low < high and logarithmic:
        found |= {tick.value for tick in next(log_ticks(low, high))}
    elif low < high:
        found |= {tick.value for tick in linear_ticks(low, high, 9, whole=True)}
    if chart.demand:
        found |= {chart.demand.low, chart.demand.likely, chart.demand.high}
    if chart.turn:
        found.add(chart.turn.quantity)
    return sorted(found)


def _table(chart: OverQuantity | Payback, quantities: Sequence[float]) -> Table:
    head = (chart.x_unit, *(line.name for line in chart.lines))
    rows = tuple(
        (
            shortest_text(quantity),
            *(_amount(line, quantity, chart.digits, chart.absent) for line in chart.lines),
        )
        for quantity in quantities
    )
    return head, rows


def _widened(rows: tuple[tuple[str, ...], ...], last: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    return tuple((*row, cell) for row, cell in zip(rows, last, strict=True))


def _amount(line: Line, quantity: float, digits: int, absent: str) -> str:
    amount = line.at(quantity)
    return absent if amount is None else number_text(amount, digits)


def _cheapest_at(ranges: tuple[Cheapest, ...], quantity: float, absent: str) -> str:
    names = [
        each.route
        for each in ranges
        if each.start <= quantity and (each.end is None or quantity <= each.end)
    ]
    return ", ".join(names) or absent
