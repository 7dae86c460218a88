"""The rows under the axis: quantities, a second scale, the demand, the cheapest route."""

from __future__ import annotations

from quotegen.report.charts.axes import Tick, thinned
from quotegen.report.charts.letters import SEMIBOLD, width
from quotegen.report.charts.places import Box, Point, spread
from quotegen.report.charts.plots import NAMES_ROOM, Cheapest, Demand, Frame, Plot
from quotegen.report.charts.sheet import (
    ACCENT,
    GREY,
    INK,
    PITCH,
    SIZE,
    WIDTH,
    Block,
    Run,
    Sheet,
    block,
)
from quotegen.report.charts.svg import element

THIRD = 170.0  # three texts of this width fit side by side
TIME_MOST = 90.0  # on the second scale, so that room for its unit is left beside the last


def draw_rows(sheet: Sheet, plot: Plot, frame: Frame) -> float:
    """Draw all rows from the frame's foot down; where the drawing ends comes back."""
    likely = frame.x.held(plot.demand.likely) if plot.demand else None
    foot = _draw_scale(sheet, frame, frame.x_ticks, plot.x_unit, frame.box.bottom, likely)
    if plot.second_ticks:
        seconds = _seconds(plot, frame)
        sheet.line("lines", ((frame.box.left, foot + 2), (frame.box.right, foot + 2)), GREY, 0.5)
        foot = _draw_scale(sheet, frame, seconds, plot.second_unit, foot + 2, likely)
    if plot.demand:
        foot = _draw_demand(sheet, frame, plot.demand, foot + 7)
    if plot.cheapest:
        foot = _draw_cheapest(sheet, plot, frame, foot + 8)
    return foot + 2


def _seconds(plot: Plot, frame: Frame) -> tuple[Tick, ...]:
    ticks = [
        Tick(value, run.text)
        for value, text in plot.second_ticks
        if frame.x.low <= value <= frame.x.high
        for run in block(text, TIME_MOST, most=1).runs
    ]
    return thinned(ticks, frame.x, lambda tick: width(tick.text, SIZE) + 8)


def _draw_scale(
    sheet: Sheet, frame: Frame, ticks: tuple[Tick, ...], unit: str, y: float, likely: float | None
) -> float:
    """Ticks hanging from y with their texts, and the unit to the right of the last."""
    reach = frame.box.right
    for tick in ticks:
        x = frame.x.at(tick.value)
        text = Block((Run(tick.text, GREY),))
        left = min(max(x - text.width / 2, 0), WIDTH - text.width)
        sheet.line("lines", ((x, y), (x, y + 4)), INK, 0.75)
        box = text.box(left, y + 5)
        crossed = likely is not None and box.grown(2).left < likely < box.grown(2).right
        reach = max(reach, sheet.write(text, left, y + 5, backed=crossed).right)
    left = max(reach + 10, frame.column)
    name = block(unit, WIDTH - left, fill=GREY, most=4)
    sheet.write(name, left, y + 5)
    return y + 5 + max(PITCH, name.height)


def _draw_demand(sheet: Sheet, frame: Frame, demand: Demand, y: float) -> float:
    """The range as a dimension line, its ends ticked, the likely quantity as a dot."""
    low, likely, high = (frame.x.held(each) for each in (demand.low, demand.likely, demand.high))
    _name(sheet, frame, demand.name, y)
    sheet.line("lines", ((low, y), (high, y)), INK, 1.25)
    for x in (low, high):
        sheet.line("lines", ((x, y - 3.5), (x, y + 3.5)), INK, 0.75)
    sheet.line("grid", ((likely, frame.box.top), (likely, y)), INK, 0.75)
    sheet.put("marks", element("circle", cx=likely, cy=y, r=3.25, fill=INK))
    texts = [
        (low, block(demand.low_text, THIRD)),
        (likely, block(demand.likely_text, THIRD, weight=SEMIBOLD)),
        (high, block(demand.high_text, THIRD)),
    ]
    return _write_under(sheet, texts, y)


def _draw_cheapest(sheet: Sheet, plot: Plot, frame: Frame, y: float) -> float:
    """A strip from quantity to quantity: heavy and in the accent where we recommend the route."""
    _name(sheet, frame, plot.cheapest_name, y)
    favoured = {line.name for line in plot.lines if line.recommended}
    texts = []
    for each in plot.cheapest:
        start, end = _reach(frame, each)
        fill, weight = (ACCENT, 4.0) if each.route in favoured else (INK, 1.25)
        sheet.line("lines", ((start, y), (end, y)), fill, weight)
        for x in (start, end):
            sheet.line("lines", ((x, y - 3.5), (x, y + 3.5)), INK, 0.75)
        text = block(each.text, THIRD, fill=fill)
        left = min(max((start + end - text.width) / 2, 0), WIDTH - text.width)
        texts.append((each.route not in favoured, start - end, text, text.box(left, y + 6)))
    return _write_apart(sheet, texts, y + 6 + PITCH)


def _write_apart(sheet: Sheet, texts: list[tuple[bool, float, Block, Box]], foot: float) -> float:
    """Write under the strip what does not touch: the recommended first, then the longest.

    The table names every stretch.
    """
    for _, _, text, box in sorted(texts, key=lambda each: each[:2]):
        if sheet.is_free(box, 5):
            foot = max(foot, sheet.write(text, box.left, box.top).bottom)
    return foot


def _reach(frame: Frame, each: Cheapest) -> Point:
    end = frame.x.high if each.end is None else each.end
    return frame.x.held(each.start), max(frame.x.held(each.start), frame.x.held(end))


def _write_under(sheet: Sheet, texts: list[tuple[float, Block]], y: float) -> float:
    """Texts centred under places on a row, moved aside where they would touch."""
    texts = [(x, text) for x, text in texts if text.runs]
    lefts = spread(
        [x - text.width / 2 for x, text in texts],
        [text.width for _, text in texts],
        0,
        WIDTH,
        8,
    )
    for left, (x, text) in zip(lefts, texts, strict=True):
        box = sheet.write(text, left, y + 6)
        _lead_down(sheet, x, y, box)
    return y + 6 + max((text.height for _, text in texts), default=PITCH)


def _lead_down(sheet: Sheet, x: float, y: float, box: Box) -> None:
    """Join a place to a label that was moved aside, unless another text stands between."""
    start, end = (x, y + 3.5), (box.grown(-2).nearest((x, y))[0], y + 6)
    is_clear = not any(each.grown(-0.5).meets(start, end) for each in sheet.taken)
    if is_clear and not box.left <= x <= box.right:
        sheet.line("lines", (start, end), GREY, 0.5)


def _name(sheet: Sheet, frame: Frame, name: str, y: float) -> None:
    text = block(name, NAMES_ROOM, fill=GREY, most=1)
    sheet.write(text, frame.box.left - 8, y - PITCH / 2, "end")
