"""Labels that stand at their lines and keep apart: at the side, inside the frame, as a callout."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from quotegen.report.charts.letters import REGULAR, SEMIBOLD
from quotegen.report.charts.places import Box, Point, Trace, below, simplified, spread
from quotegen.report.charts.plots import COLUMN_MOST, LABEL_GAP, Frame, Line, Turn
from quotegen.report.charts.sheet import (
    ACCENT,
    GREY,
    INK,
    PAPER,
    PITCH,
    Block,
    Sheet,
    block,
    joined,
)
from quotegen.report.charts.svg import Element, element, points

MARK = 5.0  # radius of the mark where the answer turns
CLEAR = 2.5  # between a label inside the frame and any line
CALLOUT_ROOMS = (150.0, 110.0)
SHAPES = ("disc", "square", "triangle", "diamond", "cross", "box", "delta", "lozenge")


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn: ink, weight in units, and the shape at its end."""

    stroke: str
    weight: float
    shape: str
    dash: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A line as drawn: the pieces under the frame's top, its label and its pen.

    end is where it ends in view, or where it leaves the frame; None where it is all above it.
    """

    line: Line
    pieces: tuple[tuple[Point, ...], ...]
    label: Block
    pen: Pen
    leaves: bool

    @property
    def end(self) -> Point | None:
        return self.pieces[-1][-1] if self.pieces else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """What a label inside the frame must keep clear of."""

    frame: Frame
    sheet: Sheet
    curves: tuple[Curve, ...]
    segments: tuple[tuple[Point, Point], ...] = ()
    marks: tuple[Box, ...] = ()

    def is_clear(self, box: Box) -> bool:
        """Whether the box lies in the frame and touches no text, line or mark."""
        near = box.grown(CLEAR)
        return (
            self.frame.box.grown(-1).holds(near)
            and self.sheet.is_free(box, 4)
            and not any(near.overlaps(mark) for mark in self.marks)
            and not any(near.meets(*segment) for segment in self.segments)
            and not any(Trace(piece).meets(near) for each in self.curves for piece in each.pieces)
        )

    def crossings(self, start: Point, end: Point) -> int:
        """How many lines lie between two points, at a guess good enough to prefer a place."""
        steps = [
            Box(x - 1, y - 1, x + 1, y + 1)
            for x, y in (_between(start, end, share / 12) for share in range(1, 13))
        ]
        return sum(
            any(Trace(piece).meets(step) for step in steps)
            for each in self.curves
            for piece in each.pieces
        )


def label(line: Line) -> Block:
    """The name of a line, the recommended one in bold, with its second line in grey below."""
    fill, weight = (ACCENT, SEMIBOLD) if line.recommended else (INK, REGULAR)
    name = block(line.name, COLUMN_MOST, fill=fill, weight=weight)
    second = block(line.second, COLUMN_MOST, fill=ACCENT if line.recommended else GREY)
    return joined(name, second) if second.runs else name


def curve(line: Line, text: Block, frame: Frame, pen: Pen) -> Curve:
    """The line in drawing units, without what lies above the frame or on a straight stretch."""
    placed = simplified([frame.place(point) for point in line.points])
    pieces = below(placed, frame.box.top - 0.01)
    return Curve(
        line=line, pieces=pieces, label=text, pen=pen, leaves=placed[-1][1] < frame.box.top - 0.01
    )


def find_callout(field: Field, turn: Turn) -> tuple[Block, Box] | None:
    """The best clear place for the callout, rather near, below and right; None if none is clear."""
    mark = field.frame.place((turn.quantity, turn.amount))
    texts = [callout(turn, room) for room in CALLOUT_ROOMS]
    places = [(_distance(mark, box), text, box) for text in texts for box in _around(mark, text)]
    best, least = None, math.inf
    for distance, text, box in sorted(places, key=lambda each: each[0]):
        if distance >= least:
            break
        if field.is_clear(box):
            target = box.nearest(mark)
            dearer = distance + 30 * field.crossings(_off(mark, target), target)
            if dearer < least:
                best, least = (text, box), dearer
    return best


def callout(turn: Turn, room: float) -> Block:
    return block(turn.text, room, fill=ACCENT, weight=SEMIBOLD, most=3)


def draw_callout(field: Field, turn: Turn, text: Block, box: Box) -> tuple[Point, Point]:
    """Draw mark, leader and text; the ends of the leader come back, to be kept clear of."""
    mark = field.frame.place((turn.quantity, turn.amount))
    target = box.grown(1.5).nearest(mark)
    length = math.dist(mark, target) or 1.0
    start = _between(mark, target, min(MARK / length, 1.0))
    field.sheet.line("lines", (start, target), ACCENT, 0.75)
    ring = element(
        "circle", cx=mark[0], cy=mark[1], r=MARK, fill=PAPER, stroke=ACCENT, stroke_width=1.75
    )
    field.sheet.put("marks", ring)
    if box.right < mark[0]:
        field.sheet.write(text, box.right, box.top, "end", backed=True)
    else:
        field.sheet.write(text, box.left, box.top, backed=True)
    return start, target


def draw_labels(field: Field) -> None:
    """Write every label: at the side where its line ends there, else inside, else at the side."""
    aside: list[tuple[float, Curve]] = []
    for each in field.curves:
        if _ends_at_side(field.frame, each):
            aside.append((each.pieces[-1][-1][1], each))
        elif not _write_inside(field, each):
            height = each.end[1] if each.end and not each.leaves else field.frame.box.top - 1
            aside.append((height, each))
    _write_column(field, aside)


def marker(shape: str, at: Point, stroke: str) -> Element:
    """The small mark that ends a line: full shapes in the line's ink, open ones on paper."""
    x, y = at
    if shape == "disc":
        return element("circle", cx=x, cy=y, r=2.75, fill=stroke)
    if shape == "cross":
        arms = f"M{x - 2.5:.2f} {y - 2.5:.2f}l5 5m0 -5l-5 5"
        return element("path", d=arms, fill="none", stroke=stroke, stroke_width=1)
    corners = {
        "square": ((-2.4, -2.4), (2.4, -2.4), (2.4, 2.4), (-2.4, 2.4)),
        "box": ((-2.2, -2.2), (2.2, -2.2), (2.2, 2.2), (-2.2, 2.2)),
        "triangle": ((0, -3), (2.9, 2.2), (-2.9, 2.2)),
        "delta": ((0, 3), (2.9, -2.2), (-2.9, -2.2)),
        "diamond": ((0, -3.4), (3.4, 0), (0, 3.4), (-3.4, 0)),
        "lozenge": ((0, -3.2), (3.2, 0), (0, 3.2), (-3.2, 0)),
    }[shape]
    return element(
        "polygon",
        points=points((x + dx, y + dy) for dx, dy in corners),
        fill=PAPER if shape in ("box", "delta", "lozenge") else stroke,
        stroke=stroke,
        stroke_width=0.8,
    )


def _ends_at_side(frame: Frame, each: Curve) -> bool:
    return each.end is not None and not each.leaves and each.end[0] > frame.box.right - 1


def _write_inside(field: Field, each: Curve) -> bool:
    """Write the label next to its line if a clear place is found there."""
    for box, anchor in _beside(each):
        if field.is_clear(box):
            x = box.right if anchor == "end" else box.left
            field.sheet.write(each.label, x, box.top, anchor, backed=True)
            return True
    return False


def _beside(each: Curve) -> Iterator[tuple[Box, str]]:
    """Places left and right of the last piece in view, from its end downwards."""
    if not each.pieces:
        return
    piece = each.pieces[-1]
    low = max(y for _, y in piece)
    height = each.label.height
    start = piece[-1][1] - (0 if each.leaves else height)
    for step in range(int(max(low - start, height) / 6) + 1):
        top = start + 3 + 6 * step
        passes = _crossing(piece, top - CLEAR - 0.5), _crossing(piece, top + height + CLEAR + 0.5)
        yield each.label.box(min(passes) - CLEAR - 2, top, "end"), "end"
        yield each.label.box(max(passes) + CLEAR + 2, top), "start"


def _crossing(piece: Sequence[Point], height: float) -> float:
    """Where the piece last passes a height; its end where it never does."""
    for (x1, y1), (x2, y2) in reversed(list(pairwise(piece))):
        if y1 != y2 and min(y1, y2) <= height <= max(y1, y2):
            return x1 + (x2 - x1) * (height - y1) / (y2 - y1)
    return piece[-1][0]


def _write_column(field: Field, aside: Sequence[tuple[float, Curve]]) -> None:
    rows = sorted(aside, key=lambda each: each[0])
    frame = field.frame
    tops = spread(
        [y - PITCH / 2 for y, _ in rows],
        [each.label.height for _, each in rows],
        frame.box.top - PITCH / 2,
        frame.box.bottom,
        LABEL_GAP,
    )
    for top, (_, each) in zip(tops, rows, strict=True):
        field.sheet.write(each.label, frame.column, top)
        _lead(field, each, top + PITCH / 2)


def _lead(field: Field, each: Curve, height: float) -> None:
    """Join a line's end to its label at the side, or repeat its mark where it ends elsewhere."""
    x = field.frame.column
    if each.end is None or not _ends_at_side(field.frame, each):
        for at in ((x - 7, height), *([each.end] if each.end else [])):
            field.sheet.put("marks", marker(each.pen.shape, at, each.pen.stroke))
    elif abs(each.end[1] - height) > 1.5:
        start = (each.end[0] + 4, each.end[1])
        field.sheet.line("lines", (start, (x - 2, height)), GREY, 0.5)


def _around(mark: Point, text: Block) -> Iterator[Box]:
    """Boxes around a mark, from near to far."""
    across, down = text.width / 2, text.height / 2
    for step in range(9):
        for turn in range(16):
            angle = math.tau * (turn + 1) / 16
            x = mark[0] + math.cos(angle) * (across + MARK + 8 + 14 * step)
            y = mark[1] + math.sin(angle) * (down + MARK + 8 + 14 * step)
            yield Box(x - across, y - down, x + across, y + down)


def _distance(mark: Point, box: Box) -> float:
    """How far a callout is from its mark; left of it and above it count as further."""
    left_or_above = (box.right < mark[0]) + (box.bottom < mark[1])
    return math.dist(mark, box.nearest(mark)) + 6 * left_or_above


def _off(mark: Point, target: Point) -> Point:
    """The point just outside the mark, where its own line is left behind."""
    return _between(mark, target, min(2 * MARK / (math.dist(mark, target) or 1), 1.0))


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
