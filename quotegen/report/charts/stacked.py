"""Stacked bars: what the money of each offer is made of, in fills that a grey print tells apart."""

from __future__ import annotations

from dataclasses import dataclass

from quotegen.report.charts.fills import FILLS, draw_key, filled
from quotegen.report.charts.letters import REGULAR, SEMIBOLD
from quotegen.report.charts.places import Box, spread
from quotegen.report.charts.plots import LEAST_MONEY, MOST_MONEY
from quotegen.report.charts.sheet import (
    ACCENT,
    GREY,
    INK,
    PITCH,
    SMALL,
    WIDTH,
    Block,
    Sheet,
    block,
    titled,
)

EDGE = 0.5  # so that the outline of a bar is not cut by the sheet's edge
BAR = 13.0  # height of a bar
AMOUNT_ROOM = 120.0
TOTAL_ROOM = 150.0
NAME_ROOM = 240.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One group of cost lines of an offer: its amount, and the same amount as it is printed."""

    group: str
    amount: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One offer: its name, a second text (what is not quoted, say), its pieces and its total."""

    name: str
    second: str = ""
    pieces: tuple[Piece, ...]
    total_text: str
    recommended: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StackedLines:
    """A bar for each offer, its pieces in the order of groups; every piece's group is among them.

    An amount below zero (a credit) is drawn to the left of the bar's start. Raises ValueError
    for a piece of no known group, or an amount that no axis can show.
    """

    prefix: str
    title: str
    description: str
    unit: str
    groups: tuple[str, ...]
    bars: tuple[Bar, ...]
    group_head: str
    total_head: str
    absent: str

    def __post_init__(self) -> None:
        for piece in (piece for bar in self.bars for piece in bar.pieces):
            if piece.group not in self.groups or not abs(piece.amount) <= MOST_MONEY:
                raise ValueError(f"{piece.group!r}: {piece.amount!r} cannot be drawn")
        if len(self.groups) > len(FILLS) or not self.bars:
            raise ValueError(f"{len(self.bars)} bars of {len(self.groups)} groups cannot be drawn")

    def svg(self) -> str:
        """The bars as inline SVG."""
        sheet = Sheet()
        unit = block(self.unit, WIDTH, fill=GREY)
        sheet.write(unit, 0, 0)
        y = draw_key(sheet, self.groups, unit.height + 6)
        room = _Room.of(self)
        for bar in self.bars:
            y = _draw_bar(sheet, self, bar, room, y + 10)
        return sheet.finished(self.prefix, self.title, self.description, y)

    def table(self) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
        """A row for each group and one for the totals, a column for each offer."""
        rows = [
            (group, *(_amount_text(bar, group, self.absent) for bar in self.bars))
            for group in self.groups
        ]
        totals = (self.total_head, *(bar.total_text for bar in self.bars))
        return (self.group_head, *(bar.name for bar in self.bars)), (*rows, totals)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """Where amount 0 stands, and how many units one of currency takes."""

    zero: float
    unit: float

    @classmethod
    def of(cls, chart: StackedLines) -> _Room:
        most = max(_sum(bar, 1) for bar in chart.bars)
        least = min(_sum(bar, -1) for bar in chart.bars)
        totals = max(_total(bar).width for bar in chart.bars)
        unit = (WIDTH - totals - EDGE - 10) / max(most - least, LEAST_MONEY)
        return cls(zero=EDGE - least * unit, unit=unit)


def _sum(bar: Bar, sign: int) -> float:
    return sum(piece.amount for piece in bar.pieces if piece.amount * sign > 0)


def _total(bar: Bar) -> Block:
    fill, weight = _ink(bar)
    return block(bar.total_text, TOTAL_ROOM, fill=fill, weight=weight, most=1)


def _ink(bar: Bar) -> tuple[str, int]:
    """Of its name and total: heavy only where it is recommended."""
    return (ACCENT, SEMIBOLD) if bar.recommended else (INK, REGULAR)


def _amount_text(bar: Bar, group: str, absent: str) -> str:
    return " + ".join(piece.text for piece in bar.pieces if piece.group == group) or absent


def _draw_bar(sheet: Sheet, chart: StackedLines, bar: Bar, room: _Room, top: float) -> float:
    """The names, the bar with its total, and the amounts below; where it ends comes back."""
    fill, weight = _ink(bar)
    name = block(bar.name, NAME_ROOM, fill=fill, weight=weight, most=1)
    second = block(bar.second, WIDTH - name.width - 10, fill=GREY, most=1)
    sheet.write(name, 0, top)
    sheet.write(second, name.width + 8, top)
    y = top + PITCH + 3
    boxes = _boxes(chart, bar, room, y)
    for piece, box in boxes:
        shapes = filled(chart.groups.index(piece.group), box)
        sheet.put("marks", titled(f"{bar.name}: {piece.group} {piece.text}", *shapes))
    end = max((box.right for _, box in boxes), default=room.zero)
    sheet.write(_total(bar), end + 7, y + (BAR - PITCH) / 2)
    if bar.recommended and boxes:
        foot = y + BAR + 1.75
        sheet.line("marks", ((boxes[0][1].left, foot), (boxes[-1][1].right, foot)), ACCENT, 2)
    return _draw_amounts(sheet, boxes, y + BAR + 3)


def _boxes(chart: StackedLines, bar: Bar, room: _Room, y: float) -> list[tuple[Piece, Box]]:
    """Where each piece stands: the credits from zero leftwards, the rest from zero rightwards."""
    placed = []
    left = right = room.zero
    for piece in sorted(bar.pieces, key=lambda each: chart.groups.index(each.group)):
        length = abs(piece.amount) * room.unit
        if piece.amount > 0:
            placed.append((piece, Box(right, y, right + length, y + BAR)))
            right += length
        elif piece.amount < 0:
            placed.append((piece, Box(left - length, y, left, y + BAR)))
            left -= length
    return sorted(placed, key=lambda each: each[1].left)


def _draw_amounts(sheet: Sheet, boxes: list[tuple[Piece, Box]], y: float) -> float:
    """Each amount under its piece, moved aside where two would touch.

    Long amounts need a second row, in the same order; only the first row is led to its pieces.
    """
    texts = [(box, block(piece.text, AMOUNT_ROOM, size=SMALL, most=1)) for piece, box in boxes]
    for index, row in enumerate(_in_rows([each for each in texts if each[1].runs])):
        middles = [(box.left + box.right) / 2 for box, _ in row]
        wanted = [x - text.width / 2 for x, (_, text) in zip(middles, row, strict=True)]
        lefts = spread(wanted, [text.width for _, text in row], 0, WIDTH, 7)
        for left, middle, (_, text) in zip(lefts, middles, row, strict=True):
            written = sheet.write(text, left, y + 2)
            if index == 0 and not written.left <= middle <= written.right:
                end = written.grown(-2).nearest((middle, y))[0]
                sheet.line("lines", ((middle, y - 3), (end, y + 2)), GREY, 0.5)
        y += PITCH
    return y + 2


def _in_rows(texts: list[tuple[Box, Block]]) -> list[list[tuple[Box, Block]]]:
    """As few rows as hold the texts side by side."""
    rows: list[list[tuple[Box, Block]]] = [[]]
    used = 0.0
    for each in texts:
        wide = each[1].width + 7
        if rows[-1] and used + wide > WIDTH:
            rows.append([])
            used = 0.0
        rows[-1].append(each)
        used += wide
    return rows
