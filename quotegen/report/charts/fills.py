"""Fills that a grey print tells apart, and the key that names them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from quotegen.report.charts.places import Box, Point
from quotegen.report.charts.sheet import INK, PAPER, PITCH, WIDTH, Sheet, block
from quotegen.report.charts.svg import Element, element, number

SWATCH = 13.0  # width of a swatch in the key
HATCH = 4.0  # between two lines of a hatch


@dataclass(frozen=True, slots=True)
class Fill:
    """A tone, and the directions of the ink lines on it: those of the hatches of a drawing."""

    tone: str
    hatch: str = ""


# Neighbours differ in tone or in direction, so that they stay apart in a grey copy.
FILLS = (
    Fill("#c3cacf"),
    Fill(PAPER, "/"),
    Fill("#54616b"),
    Fill(PAPER, "-"),
    Fill("#e6e9eb", "|"),
    Fill(PAPER),
    Fill("#9aa5ad", "\\"),
    Fill(PAPER, "/\\"),
)


def draw_key(sheet: Sheet, groups: Sequence[str], top: float) -> float:
    """A swatch and a name for each group, in the order of the fills; its foot comes back.

    A group without a name is left out, and the others keep their fills.
    """
    x = 0.0
    for index, group in enumerate(groups):
        if not group:
            continue
        name = block(group, WIDTH / 2, most=1)
        wide = SWATCH + 5 + name.width + 14
        if x and x + wide - 14 > WIDTH:
            x, top = 0.0, top + PITCH + 3
        swatch = Box(x + 0.5, top + 2, x + 0.5 + SWATCH, top + 10)
        sheet.put("marks", *filled(index, swatch))
        sheet.write(name, x + SWATCH + 5, top)
        x += wide
    return top + PITCH


def filled(index: int, box: Box) -> tuple[Element, ...]:
    """A box in the fill of its group. Lines, not patterns: those show seams in print."""
    fill = FILLS[index]
    shape = element(
        "rect",
        x=box.left,
        y=box.top,
        width=box.right - box.left,
        height=box.bottom - box.top,
        fill=fill.tone,
        stroke=INK,
        stroke_width=0.6,
    )
    strokes = "".join(_hatch(direction, box) for direction in fill.hatch)
    if not strokes:
        return (shape,)
    return shape, element("path", d=strokes, stroke=INK, stroke_width=0.5, fill="none")


def _hatch(direction: str, box: Box) -> str:
    """The path of parallel lines across a box: upright, level, rising or falling."""
    high = box.bottom - box.top
    if direction == "|":
        ends = [((x, box.top), (x, box.bottom)) for x in _every(box.left, box.right)]
    elif direction == "-":
        ends = [((box.left, y), (box.right, y)) for y in _every(box.top, box.bottom)]
    else:
        ends = [_slanted(x, high, box, direction) for x in _every(box.left - high, box.right)]
    return "".join(
        f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}" for (x1, y1), (x2, y2) in ends
    )


def _every(start: float, end: float) -> list[float]:
    return [start + HATCH * step for step in range(1, math.ceil((end - start) / HATCH))]


def _slanted(x: float, high: float, box: Box, direction: str) -> tuple[Point, Point]:
    """The part within the box of a line at 45 degrees that crosses its foot or head at x."""
    left, right = max(x, box.left), min(x + high, box.right)
    if direction == "/":
        return (left, box.bottom - (left - x)), (right, box.bottom - (right - x))
    return (left, box.top + (left - x)), (right, box.top + (right - x))
