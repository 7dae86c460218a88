"""What a chart over quantity shows, and the frame that its values are drawn in."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from quotegen.report.charts.axes import (
    Scale,
    Tick,
    fitting,
    linear_ticks,
    log_outward,
    log_ticks,
    outward_ticks,
)
from quotegen.report.charts.letters import width
from quotegen.report.charts.places import Box, Point
from quotegen.report.charts.sheet import PITCH, SIZE, WIDTH, Block, block

HEIGHT = 230.0  # of the frame, unless the labels at its side need more
NAMES_ROOM = 84.0  # for names left of the frame
COLUMN_LEAST, COLUMN_MOST = 84.0, 150.0  # for labels right of the frame
COLUMN_GAP = 14.0
LABEL_GAP = 4.0
# A line that rises above this many times the recommended one leaves the frame at the top.
IN_VIEW = 2.0
# What an axis can write: more, or less, is no quantity or amount of a workshop.
MOST_PARTS, MOST_MONEY, LEAST_MONEY = 1e9, 1e15, 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One route: its name, a second line in grey, and its values over quantity.

    points are (good parts, amount) in rising order of parts, at least one; ValueError otherwise,
    and for more parts or money than an axis can write.
    """

    name: str
    second: str = ""
    points: tuple[Point, ...]
    recommended: bool = False

    def __post_init__(self) -> None:
        if not self.points or not all(
            abs(x) <= MOST_PARTS and abs(y) <= MOST_MONEY for x, y in self.points
        ):
            raise ValueError(f"the line of {self.name!r} needs points that an axis can show")
        if any(a[0] > b[0] for a, b in zip(self.points, self.points[1:], strict=False)):
            raise ValueError(f"the quantities of {self.name!r} do not rise")

    def at(self, quantity: float) -> float | None:
        """The amount that the line shows there, None outside it; of two values, the later."""
        if not self.points[0][0] <= quantity <= self.points[-1][0]:
            return None
        index = bisect_right(self.points, quantity, key=lambda point: point[0]) - 1
        x, y = self.points[index]
        if x == quantity:
            return y
        next_x, next_y = self.points[index + 1]
        return y + (next_y - y) * (quantity - x) / (next_x - x)


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """The quantities we expect to need, low <= likely <= high, each with its text."""

    low: float
    likely: float
    high: float
    low_text: str
    likely_text: str
    high_text: str
    name: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.likely <= self.high <= MOST_PARTS:
            raise ValueError(f"demand {self.low!r}, {self.likely!r}, {self.high!r} does not rise")


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """The quantity where the answer turns, the amount there, and what to say about it."""

    quantity: float
    amount: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cheapest:
    """The route that is cheapest from one quantity to another, both counted; None is open.

    route is the name of one of the lines; text is what stands under the strip.
    """

    start: float
    end: float | None
    route: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """Everything that one drawing of lines over quantity shows."""

    prefix: str
    title: str
    description: str
    x_unit: str
    y_unit: str
    lines: tuple[Line, ...]
    logarithmic: bool = False
    demand: Demand | None = None
    turn: Turn | None = None
    cheapest: tuple[Cheapest, ...] = ()
    cheapest_name: str = ""
    second_ticks: tuple[tuple[float, str], ...] = ()
    second_unit: str = ""
    height: float = HEIGHT

    def __post_init__(self) -> None:
        if not self.lines:
            raise ValueError(f"{self.title!r} has no line to draw")
        values = [value for line in self.lines for point in line.points for value in point]
        if self.logarithmic and min(values) < LEAST_MONEY:
            raise ValueError(f"{self.title!r}: a logarithmic chart shows no 0 and nothing below it")


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The rectangle the lines are drawn in, with its scales, ticks and the label column."""

    x: Scale
    y: Scale
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    column: float

    @property
    def box(self) -> Box:
        return Box(self.x.start, self.y.end, self.x.end, self.y.start)

    def place(self, point: Point) -> Point:
        return self.x.held(point[0]), self.y.at(point[1])


def framed(plot: Plot, labels: tuple[Block, ...], top: float) -> Frame:
    """The frame of a plot whose upper edge is at top and whose side holds every label."""
    height = max(plot.height, sum(each.height + LABEL_GAP for each in labels) - LABEL_GAP)
    y, ticks = _amounts(plot, top + height, top)
    names = [plot.demand.name if plot.demand else "", plot.cheapest_name]
    left = max(
        *(width(tick.text, SIZE) for tick in ticks),
        *(block(name, NAMES_ROOM, most=1).width for name in names),
    )
    column = WIDTH - max(COLUMN_LEAST, *(each.width for each in labels))
    start, end = _quantities(plot)
    x = Scale(
        low=start, high=end, start=left + 8, end=column - COLUMN_GAP, logarithmic=plot.logarithmic
    )
    return Frame(x=x, y=y, x_ticks=_quantity_ticks(x), y_ticks=ticks, column=column)


def _quantities(plot: Plot) -> tuple[float, float]:
    values = [point[0] for line in plot.lines for point in (line.points[0], line.points[-1])]
    if plot.turn:
        values.append(plot.turn.quantity)
    if plot.demand:
        values.append(plot.demand.high)
    if not plot.logarithmic:
        return min(0.0, *values), max(values) if max(values) > 0 else 1.0
    low, high = min(each for each in values if each > 0), max(values)
    return (low, high) if low < high else log_outward(low, high)


def _amounts(plot: Plot, foot: float, top: float) -> tuple[Scale, tuple[Tick, ...]]:
    """The upright scale: between round amounts, with 0 among them unless logarithmic."""
    values = [point[1] for line in plot.lines for point in line.points]
    turns = [plot.turn.amount] if plot.turn else []
    if not plot.logarithmic:
        ticks = outward_ticks(min(0.0, *values, *turns), max(_in_view(plot), *turns, 0.0), 6)
        return Scale(low=ticks[0].value, high=ticks[-1].value, start=foot, end=top), ticks
    low, high = log_outward(min(values + turns), max(values + turns))
    scale = Scale(low=low, high=high, start=foot, end=top, logarithmic=True)
    return scale, fitting(log_ticks(low, high), scale, lambda _: PITCH + 4)


def _in_view(plot: Plot) -> float:
    """The highest amount of the lines that stay near the recommended one, or near the lowest."""
    tops = [max(point[1] for point in line.points) for line in plot.lines]
    recommended = [top for top, line in zip(tops, plot.lines, strict=True) if line.recommended]
    limit = IN_VIEW * max(recommended or [min(tops)])
    return max([top for top in tops if top <= limit] or [min(tops)])


def _quantity_ticks(scale: Scale) -> tuple[Tick, ...]:
    candidates = (
        log_ticks(scale.low, scale.high)
        if scale.logarithmic
        else (linear_ticks(scale.low, scale.high, most, whole=True) for most in range(9, 1, -1))
    )
    return fitting(candidates, scale, lambda tick: width(tick.text, SIZE) + 10)
