"""A sheet of an XLSX workbook as a table: stored values, and what a person would not see.

The workbook is opened twice, for values and for formulas: only so can a formula without a
stored value be told from an empty cell.
"""

from __future__ import annotations

import datetime
import functools
import io
import math
import re
import warnings
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from quotegen.basics.money import minor_digits
from quotegen.basics.place import Place
from quotegen.basics.problem import Problem, nearest
from quotegen.intake.cells import (
    MOST_CELLS,
    MOST_COLUMNS,
    MOST_ROWS,
    SIGNS,
    Cell,
    Grid,
    letters_of,
    plain,
    too_large,
)
from quotegen.intake.draft import Filled, quote_called
from quotegen.intake.files import RawFile, Refused, printable
from quotegen.intake.tables import fill
from quotegen.intake.xlsx_guard import not_a_workbook, refuse_bombs
from quotegen.intake.yaml_tree import Tree
from quotegen.model.reading import Reading

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

Spot = tuple[int, int]


def read_xlsx(raw: RawFile, tree: Tree, form: Reading, name: str) -> Filled:
    """A quote from one sheet of a workbook; places are cells such as `Offer!B7`.

    Raises Refused: file-kind, file-swells, table-too-large, sheet-unknown, and those of fill.
    """
    record = quote_called(tree.within("quote"), name)
    refuse_bombs(raw, record)
    values = opened(raw, record, data_only=True)
    formulas = opened(raw, record, data_only=False)
    title = _sheet(values, tree, form, record)
    sheet = ShownSheet(raw=raw, values=values[title], formulas=formulas[title], record=record)
    return fill(tree, form, sheet.grid(), name)


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedSheets:
    """Every sheet of a workbook as a table by its title, and what each defined name leads to.

    remarks are the comments on cells, with their places; shown are the sheets that a person sees.
    """

    grids: Mapping[str, Grid]
    names: Mapping[str, str]
    remarks: tuple[tuple[Place, str], ...]
    shown: frozenset[str]


def read_sheets(raw: RawFile, record: str) -> NamedSheets:
    """All of a small workbook. Raises Refused: file-kind, file-swells, table-too-large."""
    refuse_bombs(raw, record)
    values = opened(raw, record, data_only=True)
    formulas = opened(raw, record, data_only=False)
    titles = [each.title for each in values.worksheets]
    sheets = {
        title: ShownSheet(raw=raw, values=values[title], formulas=formulas[title], record=record)
        for title in titles
    }
    names = {name: str(each.attr_text or "") for name, each in values.defined_names.items()}
    return NamedSheets(
        grids={title: sheet.grid() for title, sheet in sheets.items()},
        names=names,
        remarks=tuple(each for sheet in sheets.values() for each in sheet.remarks()),
        shown=frozenset(each.title for each in values.worksheets if each.sheet_state == "visible"),
    )


def opened(raw: RawFile, record: str, *, data_only: bool) -> Workbook:
    """The workbook, with stored values or with formulas; raises Refused: file-kind."""
    from openpyxl import load_workbook

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about styles and extensions that are not read
            return load_workbook(io.BytesIO(raw.data), data_only=data_only, keep_links=False)
    except Exception as error:  # a damaged workbook makes openpyxl raise anything
        found = f"one that cannot be opened ({type(error).__name__})"
        raise not_a_workbook(raw, found, record) from error


def _sheet(workbook: Workbook, tree: Tree, form: Reading, record: str) -> str:
    """The title of the sheet that is named, or of the only one that a person sees."""
    states = {sheet.title: sheet.sheet_state for sheet in workbook.worksheets}
    visible = [title for title, state in states.items() if state == "visible"]
    if form.sheet in states:
        return form.sheet
    place = tree.places.of("sheet")
    if form.sheet is not None:
        values = {"seen": form.sheet, "hint": nearest(form.sheet, states), "record": record}
        raise Refused(Problem.of("sheet-unknown", place, **values))
    if len(visible) != 1:
        expected = ", ".join(visible) or "none"
        raise Refused(Problem.of("sheet-open", place, expected=expected, record=record))
    return visible[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownSheet:
    """One sheet, opened for its values and for its formulas."""

    raw: RawFile
    values: Worksheet
    formulas: Worksheet
    record: str

    def grid(self) -> Grid:
        """Its cells; raises Refused: table-too-large."""
        rows, columns = self.values.max_row, self.values.max_column
        if rows > MOST_ROWS or columns > MOST_COLUMNS or rows * columns > MOST_CELLS:
            raise Refused(too_large(self.raw.place, rows, columns, self.record))
        spans, anchors = _merged(self.values)
        hidden, dimensions = set(_hidden_columns(self.values)), self.values.row_dimensions
        hidden_rows = {row for row, dimension in dimensions.items() if dimension.hidden}
        cells = tuple(
            tuple(
                self._cell((row, column), spans, anchors, row in hidden_rows or column in hidden)
                for column in range(1, columns + 1)
            )
            for row in range(1, rows + 1)
        )
        return Grid(place=self.raw.place, rows=cells, is_typed=True)

    def _cell(
        self,
        spot: Spot,
        spans: Mapping[Spot, Spot],
        anchors: Mapping[Spot, Spot],
        hidden: bool,
    ) -> Cell:
        row, column = anchors.get(spot, spot)
        stored = self.values.cell(row, column)
        text, number, unit = _shown(stored.value, _format_of(stored))
        formula = self.formulas.cell(row, column)
        trouble = "cell-error" if stored.data_type == "e" else ""
        if formula.data_type == "f" and stored.value is None:
            text, trouble = str(getattr(formula.value, "text", formula.value)), "formula-empty"
        return Cell(
            text=text,
            place=self._place(spot),
            number=number,
            unit=unit,
            hidden=hidden,
            spans=spans.get(spot, (1, 1)),
            covered=spot in anchors,
            trouble=trouble,
        )

    def remarks(self) -> Iterator[tuple[Place, str]]:
        """The comments of people on cells, with the cell that each stands at."""
        for row, cells in enumerate(self.values.iter_rows(), 1):
            for column, cell in enumerate(cells, 1):
                if cell.comment is not None:
                    yield self._place((row, column)), str(cell.comment.text or "").strip()

    def _place(self, spot: Spot) -> Place:
        address = f"{letters_of(spot[1] - 1)}{spot[0]}"
        return Place(self.raw.place.path, cell=f"{printable(self.values.title)}!{address}")


def _format_of(cell: Any) -> str:
    """How a cell shows its number; "" where it names a format that the workbook lacks."""
    try:
        return str(cell.number_format)
    except IndexError:
        return ""


def _merged(sheet: Worksheet) -> tuple[dict[Spot, Spot], dict[Spot, Spot]]:
    """How many rows and columns each merged cell spans, and which cell covers each other one."""
    spans: dict[Spot, Spot] = {}
    anchors: dict[Spot, Spot] = {}
    for merged in sheet.merged_cells.ranges:
        left, top, right, bottom = merged.bounds
        spans[top, left] = (bottom - top + 1, right - left + 1)
        for row in range(top, bottom + 1):
            anchors |= {(row, column): (top, left) for column in range(left, right + 1)}
    return spans, {spot: anchor for spot, anchor in anchors.items() if spot != anchor}


def _hidden_columns(sheet: Worksheet) -> Iterator[int]:
    for dimension in sheet.column_dimensions.values():
        first, last = dimension.min or 0, dimension.max or 0
        if dimension.hidden:
            yield from range(first, min(last, MOST_COLUMNS) + 1)


def _shown(value: Any, number_format: str) -> tuple[str, Fraction | None, str]:
    """A stored value as text, its number where it is one, and what the format shows beside it."""
    if value is None or isinstance(value, str):
        return (value or "").strip(), None, ""
    if isinstance(value, bool):
        return str(value).upper(), None, ""
    if isinstance(value, (int, float)) and math.isfinite(value):
        return _shown_number(value, number_format)
    if isinstance(value, datetime.datetime) and value.time() == datetime.time():
        return value.date().isoformat(), None, ""
    return str(value), None, ""


def _shown_number(value: float, number_format: str) -> tuple[str, Fraction, str]:
    """Fifteen digits, as workbooks show them: 0.1 + 0.2 is 0.3."""
    number = Fraction(format(value, ".15g"))
    unit = _unit_of(number_format)
    if unit == "%":
        number *= 100
    return f"{plain(number)} {unit}".strip(), number, unit


@functools.lru_cache(maxsize=1024)  # a workbook has few formats and many numbers
def _unit_of(number_format: str) -> str:
    """The currency or % that a number format writes beside the number; "" for none."""
    bare = re.sub(r'"[^"]*"|\[[^\]]*\]|\\.', "", number_format)
    if "%" in bare:
        return "%"
    quoted = re.findall(r'"([^"]*)"|\[\$([^\]-]*)|((?:\\.)+)', number_format)
    beside = " ".join([bare, *("".join(each).replace("\\", "") for each in quoted)])
    codes = (code for code in re.findall(r"\b[A-Z]{3}\b", beside) if minor_digits(code) is not None)
    signs = (sign for sign in SIGNS if sign in beside)
    return next(codes, "") or next(signs, "")
