"""Draws a plot: the grid, the lines with their labels, and the rows under the axis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from quotegen.report.charts.labels import (
    MARK,
    SHAPES,
    Curve,
    Field,
    Pen,
    callout,
    curve,
    draw_callout,
    draw_labels,
    find_callout,
    label,
    marker,
)
from quotegen.report.charts.places import Box, Point, height_at
from quotegen.report.charts.plots import Frame, Line, Plot, Turn, framed
from quotegen.report.charts.rows import draw_rows
from quotegen.report.charts.sheet import (
    ACCENT,
    GREY,
    HAIRLINE,
    INK,
    PITCH,
    WIDTH,
    Block,
    Run,
    Sheet,
    block,
    polyline,
    titled,
)

# Rivals: none as heavy or as dark as the recommended line is.
PENS = ((1.6, "#6f7a83"), (0.8, "#4b5761"), (1.1, "#808a92"), (1.9, "#8c959c"))
# Without a recommended line none stands out: a broad pale one shows under a thin one.
EVEN_PENS = ((3.2, "#8c959c"), (1.1, INK), (1.9, GREY), (0.7, "#4b5761"))
MARKER, MOST_STEPS = 3.5, 12
SMOOTH = 12  # corners up to which a long dash does not turn to noise


def draw_plot(plot: Plot) -> str:
    """The plot as inline SVG."""
    sheet = Sheet()
    unit = block(plot.y_unit, WIDTH, fill=GREY)
    sheet.write(unit, 0, 0)
    field = _field(plot, sheet, unit.height + 10)
    if plot.turn:
        field = _with_callout(plot, plot.turn, field, unit.height)
    draw_grid(sheet, field.frame)
    _draw_curves(field)
    draw_labels(field)
    foot = draw_rows(sheet, plot, field.frame)
    return sheet.finished(plot.prefix, plot.title, plot.description, foot)


def draw_lines(sheet: Sheet, frame: Frame, lines: tuple[Line, ...]) -> None:
    """Lines with their grid and labels in a frame that another kind of drawing has laid out."""
    curves = _curves(frame, lines, tuple(label(line) for line in lines))
    field = Field(frame=frame, sheet=sheet, curves=curves, segments=(_zero(frame),))
    draw_grid(sheet, frame)
    _draw_curves(field)
    draw_labels(field)


def _curves(frame: Frame, lines: tuple[Line, ...], texts: tuple[Block, ...]) -> tuple[Curve, ...]:
    return tuple(
        _penned(curve(line, text, frame, pen))
        for line, text, pen in zip(lines, texts, _pens(lines), strict=True)
    )


def _zero(frame: Frame) -> tuple[Point, Point]:
    """The line of no money, or the frame's foot where that is above it."""
    y = frame.y.at(0) if frame.y.low < 0 else frame.box.bottom
    return (frame.box.left, y), (frame.box.right, y)


def _field(plot: Plot, sheet: Sheet, top: float) -> Field:
    texts = tuple(label(line) for line in plot.lines)
    frame = framed(plot, texts, top)
    curves = _curves(frame, plot.lines, texts)
    segments = [_zero(frame)]
    if plot.demand:
        x = frame.x.held(plot.demand.likely)
        segments.append(((x, frame.box.top), (x, frame.box.bottom)))
    ends = tuple(Box(*each.end, *each.end).grown(4) for each in curves if each.end)
    if plot.turn:
        mark = frame.place((plot.turn.quantity, plot.turn.amount))
        ends += (Box(*mark, *mark).grown(MARK),)
    return Field(frame=frame, sheet=sheet, curves=curves, segments=tuple(segments), marks=ends)


def _pens(lines: tuple[Line, ...]) -> list[Pen]:
    """The recommended line heavy and in the accent; the others by weight, tone and end."""
    pens, others = [], 0
    inks = PENS if any(line.recommended for line in lines) else EVEN_PENS
    for line in lines:
        if line.recommended:
            pens.append(Pen(ACCENT, 2.8, SHAPES[0]))
            continue
        weight, stroke = inks[others % len(inks)]
        dash = "10 3" if others >= len(inks) else None
        pens.append(Pen(stroke, weight, SHAPES[1 + others % (len(SHAPES) - 1)], dash))
        others += 1
    return pens


def _penned(each: Curve) -> Curve:
    corners = sum(len(piece) for piece in each.pieces)
    return each if corners <= SMOOTH else replace(each, pen=replace(each.pen, dash=None))


def _with_callout(plot: Plot, turn: Turn, field: Field, head: float) -> Field:
    """Draw the callout where it is clear, else above the frame, which then moves down."""
    found = find_callout(field, turn)
    if found is None:
        text = callout(turn, WIDTH / 2)
        field = _field(plot, field.sheet, head + text.height + 16)
        x = field.frame.x.held(turn.quantity)
        left = min(max(x - text.width / 2, 0), WIDTH - text.width)
        found = text, text.box(left, head + 4)
    leader = draw_callout(field, turn, *found)
    return replace(field, segments=(*field.segments, leader))


def draw_grid(sheet: Sheet, frame: Frame) -> None:
    """A hairline and a text for each tick of the upright scale, the foot and the zero in ink."""
    for tick in frame.y_ticks:
        y = frame.y.at(tick.value)
        sheet.line("grid", ((frame.box.left, y), (frame.box.right, y)), HAIRLINE, 0.5)
        text = Block((Run(tick.text, GREY),))
        sheet.write(text, frame.box.left - 8, y - PITCH / 2, "end")
    sides = (frame.box.left, frame.box.bottom), (frame.box.right, frame.box.bottom)
    sheet.line("lines", sides, INK, 0.75)
    if frame.y.low < 0:
        zero = frame.y.at(0)
        sheet.line("lines", ((frame.box.left, zero), (frame.box.right, zero)), INK, 0.75)


def _draw_curves(field: Field) -> None:
    """Heavy lines first, so that a thin one over them still shows; the recommended one last.

    Where two end alike, the later one's mark stands a little before its end.
    """
    taken: list[Box] = []
    order = sorted(field.curves, key=lambda each: (each.line.recommended, -each.pen.weight))
    for each in order:
        pen = each.pen
        shapes = [
            polyline(piece, pen.stroke, pen.weight, dash=pen.dash)
            for piece in each.pieces
            if len(piece) > 1
        ]
        field.sheet.put("lines", titled(each.label.full, *shapes))
        if each.end and not each.leaves:
            at = _free_end(each.pieces[-1], taken)
            taken.append(Box(*at, *at).grown(MARKER))
            field.sheet.put("marks", marker(pen.shape, at, pen.stroke))


def _free_end(piece: Sequence[Point], taken: Sequence[Box]) -> Point:
    """The point of a line nearest to its end whose mark hides no other."""
    end = piece[-1]
    for step in range(MOST_STEPS):
        x = end[0] - step * MARKER
        if x < piece[0][0]:  # before the line begins there is no height of it
            break
        at = (x, height_at(piece, x)) if step else end
        if not any(Box(*at, *at).grown(MARKER).overlaps(each) for each in taken):
            return at
    return end
