"""How far each figure may move: a row for each, the range where the answer holds drawn heavy."""

from __future__ import annotations

from dataclasses import dataclass

from quotegen.report.charts.axes import Scale
from quotegen.report.charts.letters import SEMIBOLD
from quotegen.report.charts.places import spread
from quotegen.report.charts.sheet import (
    ACCENT,
    GREY,
    INK,
    PAPER,
    PITCH,
    SMALL,
    WIDTH,
    Block,
    Sheet,
    block,
)
from quotegen.report.charts.svg import element

LEFT, RIGHT = 4.0, WIDTH - 4.0
LABEL_ROOM = 250.0
END_ROOM = 150.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a row, from one value to another; holds where the answer is the present one."""

    first: float
    last: float
    text: str
    holds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRow:
    """One figure: its name, its present value, and what is answered over its range.

    ends are the values at which one part gives way to the next, with their texts.
    """

    name: str
    present: float
    present_text: str
    parts: tuple[Part, ...]
    ends: tuple[tuple[float, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningRows:
    """Rows over the same paper, each with a scale of its own. Raises ValueError without a row."""

    prefix: str
    title: str
    description: str
    rows: tuple[FigureRow, ...]

    def __post_init__(self) -> None:
        if not self.rows or any(not row.parts for row in self.rows):
            raise ValueError(f"{self.title!r} has nothing to draw")

    def svg(self) -> str:
        sheet = Sheet()
        y = 0.0
        for row in self.rows:
            y = _draw_row(sheet, row, y) + 9
        return sheet.finished(self.prefix, self.title, self.description, y)


def _draw_row(sheet: Sheet, row: FigureRow, top: float) -> float:
    """Name and present value, the line, and under it the turning values and what follows."""
    name = block(row.name, WIDTH - END_ROOM, weight=SEMIBOLD, most=1)
    sheet.write(name, 0, top)
    now = block(f"now {row.present_text}", END_ROOM, fill=GREY, most=1)
    sheet.write(now, WIDTH, top, "end")
    y = top + PITCH + 9
    scale = _scale(row)
    for part in row.parts:
        ends = ((scale.held(part.first), y), (scale.held(part.last), y))
        sheet.line("lines", ends, ACCENT if part.holds else INK, 5.0 if part.holds else 1.0)
    for value, _ in row.ends:
        x = scale.held(value)
        sheet.line("lines", ((x, y - 5), (x, y + 5)), INK, 0.75)
    x = scale.held(row.present)
    mark = element("circle", cx=x, cy=y, r=4, fill=PAPER, stroke=INK, stroke_width=1.5)
    sheet.put("marks", mark)
    return _write_parts(sheet, row, scale, y + 7)


def _scale(row: FigureRow) -> Scale:
    """By proportion where every value allows it, so that a half is as far as a double."""
    low, high = row.parts[0].first, row.parts[-1].last
    if high <= low:
        high = low + 1
    proportional = low > 0 and high / low > 4
    return Scale(low=low, high=high, start=LEFT, end=RIGHT, logarithmic=proportional)


def _write_parts(sheet: Sheet, row: FigureRow, scale: Scale, top: float) -> float:
    """The values at the ends; below them what is answered in each part that has room."""
    values = [(scale.held(value), block(text, END_ROOM, size=SMALL)) for value, text in row.ends]
    wanted = [x - text.width / 2 for x, text in values]
    lefts = spread(wanted, [text.width for _, text in values], 0, WIDTH, 6)
    for left, (_, text) in zip(lefts, values, strict=True):
        sheet.write(text, left, top)
    y = top + (PITCH if values else 0)
    texts = []
    for part in row.parts:
        fill = ACCENT if part.holds else INK
        text = block(part.text, LABEL_ROOM, size=SMALL, fill=fill, most=1)
        texts.append(((scale.held(part.first) + scale.held(part.last)) / 2, text))
    if sum(text.width + 8 for _, text in texts) > WIDTH:
        return _write_in_lines(sheet, texts, y)
    wanted = [x - text.width / 2 for x, text in texts]
    for left, (_, text) in zip(
        spread(wanted, [text.width for _, text in texts], 0, WIDTH, 8), texts, strict=True
    ):
        sheet.write(text, left, y)
    return y + PITCH


def _write_in_lines(sheet: Sheet, texts: list[tuple[float, Block]], y: float) -> float:
    """One text under another where they do not fit side by side."""
    for x, text in texts:
        sheet.write(text, min(max(x - text.width / 2, 0), WIDTH - text.width), y)
        y += PITCH
    return y
