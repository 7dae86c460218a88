"""Frames over calendar days, one above the other, with the first of a month as ticks."""

from __future__ import annotations

import calendar
import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quotegen.report.charts.axes import Scale, Tick, fitting, outward_ticks
from quotegen.report.charts.letters import width
from quotegen.report.charts.plots import COLUMN_GAP, COLUMN_LEAST, Frame
from quotegen.report.charts.sheet import GREY, HAIRLINE, INK, PITCH, SIZE, WIDTH, Block, Run, Sheet

BELOW = 7.0  # from the frame to its texts: clear of the lowest amount beside it
STEPS = (1, 2, 3, 6, 12, 24, 60)  # months from one text to the next


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One frame: the values that it must hold, where it begins and how high it is."""

    values: tuple[float, ...]
    top: float
    height: float


def frames(
    first: datetime.date, last: datetime.date, panels: Sequence[Panel], labels: Sequence[Block]
) -> tuple[Frame, ...]:
    """A frame for each panel over the same days, left of a column that holds every label.

    Raises ValueError where first is not before last.
    """
    upright = [outward_ticks(min(0.0, *each.values), max(each.values), 6) for each in panels]
    left = max(width(tick.text, SIZE) for ticks in upright for tick in ticks) + 8
    column = WIDTH - max(COLUMN_LEAST, *(each.width for each in labels))
    x = Scale(low=at(first), high=at(last), start=left, end=column - COLUMN_GAP)
    months = _fitting(first, last, x)
    return tuple(
        Frame(
            x=x,
            y=Scale(
                low=ticks[0].value,
                high=ticks[-1].value,
                start=panel.top + panel.height,
                end=panel.top,
            ),
            x_ticks=months,
            y_ticks=ticks,
            column=column,
        )
        for panel, ticks in zip(panels, upright, strict=True)
    )


def at(day: datetime.date) -> float:
    """A day as a number that a scale can place."""
    return float(day.toordinal())


def next_month(day: datetime.date) -> datetime.date:
    return (day.replace(day=1) + datetime.timedelta(days=32)).replace(day=1)


def _fitting(first: datetime.date, last: datetime.date, x: Scale) -> tuple[Tick, ...]:
    """The first of every month, or of every second, third and so on, until their texts fit."""
    starts = list(_starts(first, last))
    sets = (tuple(_ticks(starts, step)) for step in STEPS)
    return fitting(sets, x, lambda tick: width(tick.text, SIZE) + 8)


def _starts(first: datetime.date, last: datetime.date) -> Iterator[datetime.date]:
    month = first if first.day == 1 else next_month(first)
    while month <= last:
        yield month
        month = next_month(month)


def _ticks(starts: Sequence[datetime.date], step: int) -> Iterator[Tick]:
    """Texts of months name the year at the first of them and at each January."""
    shown = [each for each in starts if (12 * each.year + each.month - 1) % step == 0]
    for month in shown:
        name = calendar.month_abbr[month.month]
        with_year = f"{name} {month.year}" if month.month == 1 or month == shown[0] else name
        yield Tick(at(month), str(month.year) if step % 12 == 0 else with_year)


def draw_years(sheet: Sheet, frame: Frame) -> None:
    """A hairline where a year begins."""
    ends = (datetime.date.fromordinal(round(each)) for each in (frame.x.low, frame.x.high))
    for month in _starts(*ends):
        if month.month == 1:
            x = frame.x.at(at(month))
            sheet.line("grid", ((x, frame.box.top), (x, frame.box.bottom)), HAIRLINE, 0.5)


def draw_months(sheet: Sheet, frame: Frame) -> float:
    """The ticks under the frame with their texts; where they end comes back."""
    y = frame.box.bottom
    for tick in frame.x_ticks:
        x = frame.x.at(tick.value)
        text = Block((Run(tick.text, GREY),))
        left = min(max(x - text.width / 2, 0), WIDTH - text.width)
        sheet.line("lines", ((x, y), (x, y + 4)), INK, 0.75)
        sheet.write(text, left, y + BELOW)
    return y + BELOW + PITCH
