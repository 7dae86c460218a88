"""Which route is cheapest over two figures: a bar for each value of one, filled over the other."""

from __future__ import annotations

from dataclasses import dataclass, replace

from quotegen.report.charts.axes import Scale, linear_ticks
from quotegen.report.charts.fills import FILLS, draw_key, filled
from quotegen.report.charts.letters import SEMIBOLD, width
from quotegen.report.charts.places import Box
from quotegen.report.charts.sheet import (
    ACCENT,
    GREY,
    HAIRLINE,
    INK,
    PITCH,
    SIZE,
    WIDTH,
    Sheet,
    block,
    paper,
    titled,
)

HEIGHT = 190.0
GAP = 0.12  # of a bar's width, free on either side


@dataclass(frozen=True, slots=True, kw_only=True)
class Won:
    """From one value to another this group is cheapest; its first letter is written on it."""

    first: float
    last: float
    group: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One value of the figure along the foot, and who is cheapest over the other."""

    text: str
    won: tuple[Won, ...]
    is_present: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Winners:
    """Bars side by side; present is the present value upwards.

    Raises ValueError without a bar, or with more groups than there are fills.
    """

    prefix: str
    title: str
    description: str
    unit: str
    foot: str
    groups: tuple[str, ...]
    bars: tuple[Bar, ...]
    high: float
    present: float
    present_text: str

    def __post_init__(self) -> None:
        if not self.bars or len(self.groups) > len(FILLS):
            raise ValueError(f"{self.title!r} cannot be drawn")

    def svg(self) -> str:
        sheet = Sheet()
        sheet.write(block(self.unit, WIDTH / 2, fill=GREY), 0, 0)
        now = block(f"line across: {self.present_text}", WIDTH / 2, fill=ACCENT, most=1)
        sheet.write(now, WIDTH, 0, "end")
        top = draw_key(sheet, self.groups, PITCH + 5) + 8
        ticks = linear_ticks(0.0, self.high, 6)
        left = max(width(tick.text, SIZE) for tick in ticks) + 8
        y = Scale(low=0.0, high=self.high, start=top + HEIGHT, end=top)
        for tick in ticks:
            at = y.at(tick.value)
            sheet.write(block(tick.text, left, fill=GREY), left - 8, at - PITCH / 2, "end")
            sheet.line("grid", ((left, at), (WIDTH, at)), HAIRLINE, 0.5)
        each = (WIDTH - left) / len(self.bars)
        for number, bar in enumerate(self.bars):
            self._draw_bar(sheet, bar, left + number * each, each, y)
        self._draw_present(sheet, y, left)
        foot = block(self.foot, WIDTH, fill=GREY)
        sheet.write(foot, WIDTH, y.start + 6 + PITCH, "end")
        return sheet.finished(self.prefix, self.title, self.description, y.start + 12 + 2 * PITCH)

    def _draw_bar(self, sheet: Sheet, bar: Bar, left: float, wide: float, y: Scale) -> None:
        for won in bar.won:
            box = Box(left + GAP * wide, y.at(won.last), left + (1 - GAP) * wide, y.at(won.first))
            shapes = filled(self.groups.index(won.group), box)
            sheet.put("marks", titled(f"{bar.text}: {won.group}", *shapes))
            self._write_letter(sheet, won.group[:1], self._free(box, y.held(self.present)))
        weight = SEMIBOLD if bar.is_present else 400
        name = block(bar.text, wide, weight=weight, most=1)
        sheet.write(name, left + wide / 2, y.start + 5, "middle")

    def _free(self, box: Box, line: float) -> Box:
        """The larger part of a box above or below the line of the present value."""
        if not box.top < line < box.bottom:
            return box
        above, below = replace(box, bottom=line), replace(box, top=line)
        return max(above, below, key=lambda each: each.bottom - each.top)

    def _write_letter(self, sheet: Sheet, letter: str, box: Box) -> None:
        if box.bottom - box.top > PITCH + 4:
            text = block(letter, box.right - box.left, weight=SEMIBOLD)
            middle, top = (box.left + box.right) / 2, (box.top + box.bottom - PITCH) / 2
            sheet.put("marks", paper(text.box(middle, top, "middle").grown(2)))
            sheet.write(text, middle, top, "middle")

    def _draw_present(self, sheet: Sheet, y: Scale, left: float) -> None:
        at = y.held(self.present)
        sheet.line("marks", ((left, at), (WIDTH, at)), ACCENT, 1.5)
        sheet.line("marks", ((left, y.start), (WIDTH, y.start)), INK, 0.75)
