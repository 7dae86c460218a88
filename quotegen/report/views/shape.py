"""The shapes that pages are filled with: finished texts in tables, facts, figures and charts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from quotegen.report.charts.chart import Table as ChartTable

NONE = "\N{EN DASH}"  # where there is no figure
VIEW_BOX = re.compile(r'viewBox="0 0 \d+ (\d+)"')


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One text of a table; small stands below it in grey, href leads to a page of the site.

    href is counted from the top of the site; on paper it is not shown.
    """

    text: str
    small: str = ""
    href: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """The head of a column; a term leads to the glossary.

    Figures are set to the right; what is short, such as a day, is never broken.
    """

    head: str
    is_figure: bool = False
    is_short: bool = False
    term: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """As many cells as the table has columns; marked is the route that is recommended."""

    cells: tuple[Cell, ...]
    marked: bool = False
    anchor: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A caption, heads, rows, and a row of totals where the figures add up to one.

    Raises ValueError where a row is not as wide as the heads: a PDF for all readers forbids it.
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    foot: Row | None = None

    def __post_init__(self) -> None:
        wide = len(self.columns)
        every = (*self.rows, *((self.foot,) if self.foot else ()))
        if any(len(row.cells) != wide for row in every):
            raise ValueError(f"{self.caption!r}: every row needs {wide} cells")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A label and what belongs to it."""

    label: str
    text: str
    href: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A figure that a partner should remember, with what it is and what it is made of."""

    label: str
    value: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A drawing with the finding as its title, and the same numbers as a table.

    height is in units of the drawing, of which its width has sheet.WIDTH; note is what the
    finding holds for; on_paper is a shorter table for paper, None where it has the whole one.
    """

    title: str
    svg: Markup
    table: Table
    height: float
    note: str = ""
    on_paper: Table | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sourced:
    """A sentence with the rule that asks for it and the place that it comes from."""

    text: str
    rule: str
    place: str


def row(*texts: str | Cell, marked: bool = False, anchor: str = "") -> Row:
    """A row from texts, or from cells where one needs more than a text."""
    cells = tuple(Cell(text=each) if isinstance(each, str) else each for each in texts)
    return Row(cells=cells, marked=marked, anchor=anchor)


def words(*heads: str) -> tuple[Column, ...]:
    return tuple(Column(head=head) for head in heads)


def figures(*heads: str) -> tuple[Column, ...]:
    return tuple(Column(head=head, is_figure=True) for head in heads)


def short(*heads: str) -> tuple[Column, ...]:
    return tuple(Column(head=head, is_short=True) for head in heads)


def drawn(
    title: str, svg: str, table: ChartTable, words_from: Iterable[int] = (), note: str = ""
) -> Chart:
    """A chart of charts.py as a page shows it; words_from names its columns that hold words."""
    head, rows = table
    texts = {0, *words_from} if not _is_figure(rows, 0) else set(words_from)
    columns = tuple(
        Column(head=each, is_figure=index not in texts) for index, each in enumerate(head)
    )
    return Chart(
        title=title,
        svg=Markup(svg),  # noqa: S704  # our own writer escapes every text
        height=_height(svg),
        table=Table(caption=title, columns=columns, rows=tuple(row(*each) for each in rows)),
        note=note,
    )


def _height(svg: str) -> float:
    """From the viewBox, which is the first attribute with four numbers."""
    box = VIEW_BOX.search(svg)
    if box is None:
        raise ValueError("the drawing has no viewBox")
    return float(box[1])


def _is_figure(rows: Sequence[Sequence[str]], column: int) -> bool:
    return all(each[column].replace(",", "").replace(".", "").isdigit() for each in rows)
