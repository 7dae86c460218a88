"""The sheet a chart is drawn on: its inks, its layers, and the texts that stand on it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from quotegen.report.charts.letters import ABOVE, BELOW, REGULAR, width, wrapped
from quotegen.report.charts.places import Box, Point
from quotegen.report.charts.svg import Element, element, points, written

WIDTH = 540.0  # the width of an A4 sheet's text in points, so that 10 units print as 10 points
SIZE = 10.0
SMALL = 8.5
PITCH = 12.0
# Dark enough that what is recommended stays strongest in a grey copy, by weight and by tone.
INK, ACCENT, GREY, HAIRLINE, PAPER = "#1a2530", "#8a2a10", "#5b6670", "#b9c1c7", "#ffffff"
FONT = "'Source Sans 3', sans-serif"
# Painted in this order: paper behind a text hides the grid and never a line.
LAYERS = ("grid", "paper", "lines", "marks", "words")
PREFIX = re.compile(r"[A-Za-z][A-Za-z0-9-]*")


@dataclass(frozen=True, slots=True)
class Run:
    """One line of text in one ink."""

    text: str
    fill: str = INK
    weight: int = REGULAR
    size: float = SIZE

    @property
    def width(self) -> float:
        return width(self.text, self.size, self.weight)


@dataclass(frozen=True, slots=True)
class Block:
    """Lines of text that stand together, and what they say in full where they are cut."""

    runs: tuple[Run, ...]
    full: str = ""

    @property
    def width(self) -> float:
        return max((run.width for run in self.runs), default=0.0)

    @property
    def height(self) -> float:
        return PITCH * len(self.runs)

    def box(self, x: float, top: float, anchor: str = "start") -> Box:
        """Where the block stands when its top is here and x is its start, middle or end."""
        left = x - self.width * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
        return Box(left, top, left + self.width, top + self.height)


def block(
    text: str,
    room: float,
    *,
    fill: str = INK,
    weight: int = REGULAR,
    size: float = SIZE,
    most: int = 2,
) -> Block:
    """The text wrapped to the room, in at most so many lines."""
    lines = wrapped(text, room, size, weight, most)
    return Block(tuple(Run(line, fill, weight, size) for line in lines), text)


def joined(upper: Block, lower: Block) -> Block:
    """Two blocks as one, the second under the first."""
    return Block(upper.runs + lower.runs, f"{upper.full}: {lower.full}")


class Sheet:
    """Elements by layer, and the boxes where text stands already."""

    def __init__(self) -> None:
        self._layers: dict[str, list[Element]] = {layer: [] for layer in LAYERS}
        self.taken: list[Box] = []

    def put(self, layer: str, *elements: Element) -> None:
        self._layers[layer].extend(elements)

    def line(self, layer: str, ends: tuple[Point, Point], stroke: str, weight: float) -> None:
        (x1, y1), (x2, y2) = ends
        shape = element("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=stroke, stroke_width=weight)
        self.put(layer, shape)

    def write(
        self, text: Block, x: float, top: float, anchor: str = "start", *, backed: bool = False
    ) -> Box:
        """Write a block and keep its place; backed puts paper between it and the grid."""
        box = text.box(x, top, anchor)
        if text.runs:
            self.taken.append(box)
            self.put("words", *_texts(text, x, top, anchor))
        if backed and text.runs:
            self.put("paper", paper(box.grown(2)))
        return box

    def is_free(self, box: Box, gap: float) -> bool:
        """Whether no text stands nearer to the box than the gap."""
        wide = box.grown(gap)
        return not any(wide.overlaps(each) for each in self.taken)

    def finished(self, prefix: str, title: str, description: str, height: float) -> str:
        """The drawing as inline SVG.

        Raises ValueError for a prefix that cannot begin an id.
        """
        if not PREFIX.fullmatch(prefix):
            raise ValueError(f"{prefix!r} cannot begin an id: letters, digits and - only")
        names = f"{prefix}-title", f"{prefix}-desc"
        return written(
            element(
                "svg",
                element("title", title, id=names[0]),
                element("desc", description, id=names[1]),
                *(
                    element("g", *shapes, class_=f"chart-{layer}")
                    for layer, shapes in self._layers.items()
                    if shapes
                ),
                xmlns="http://www.w3.org/2000/svg",
                class_="chart",
                viewBox=f"0 0 {WIDTH:g} {math.ceil(height)}",
                role="img",
                aria_labelledby=" ".join(names),
                font_family=FONT,
                font_size=SIZE,
            )
        )


def paper(box: Box) -> Element:
    """Paper over the grid, as far as the sheet goes."""
    left, right = max(box.left, 0), min(box.right, WIDTH)
    return element(
        "rect",
        x=left,
        y=box.top,
        width=right - left,
        height=box.bottom - box.top,
        fill=PAPER,
    )


def polyline(
    corners: Sequence[Point], stroke: str, weight: float, *, dash: str | None = None
) -> Element:
    return element(
        "polyline",
        points=points(corners),
        fill="none",
        stroke=stroke,
        stroke_width=weight,
        stroke_dasharray=dash,
        stroke_linejoin="round",
    )


def titled(title: str, *shapes: Element) -> Element:
    """A group that a browser explains when the pointer rests on it."""
    return element("g", element("title", title), *shapes)


def _texts(text: Block, x: float, top: float, anchor: str) -> Iterable[Element]:
    shapes = [
        element(
            "text",
            run.text,
            x=x,
            y=top + PITCH * index + (PITCH - (ABOVE + BELOW) * run.size) / 2 + ABOVE * run.size,
            fill=run.fill,
            text_anchor=None if anchor == "start" else anchor,
            font_weight=None if run.weight == REGULAR else str(run.weight),
            font_size=None if run.size == SIZE else run.size,
        )
        for index, run in enumerate(text.runs)
    ]
    is_cut = any(run.text.endswith("…") for run in text.runs)
    return [titled(text.full, *shapes)] if is_cut and text.full else shapes
