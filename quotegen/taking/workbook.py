"""An XLSX workbook as seen: every sheet, what is hidden, commented, merged or not computed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quotegen.basics.place import Place
from quotegen.intake.cells import letters_of
from quotegen.intake.files import RawFile, Refused, printable
from quotegen.intake.xlsx_guard import not_a_workbook, refuse_bombs
from quotegen.intake.xlsx_table import ShownSheet, opened
from quotegen.taking.seen import Remark, Seen, Sheet


def see_workbook(raw: RawFile, record: str) -> Seen:
    """Raises Refused: file-kind, file-swells, table-too-large."""
    refuse_bombs(raw, record)
    values = opened(raw, record, data_only=True)
    formulas = opened(raw, record, data_only=False)
    sheets, remarks = [], []
    for sheet in values.worksheets:
        grid = _grid(raw, sheet, formulas[sheet.title], record)
        hidden = sheet.sheet_state != "visible"
        sheets.append(Sheet(title=sheet.title, grid=grid, hidden=hidden))
        remarks += list(_remarks(raw, sheet, formulas[sheet.title], hidden=hidden))
    return Seen(kind="workbook", place=raw.place, sheets=tuple(sheets), remarks=tuple(remarks))


def _grid(raw: RawFile, values: Any, formulas: Any, record: str) -> Any:
    try:
        return ShownSheet(raw=raw, values=values, formulas=formulas, record=record).grid()
    except Refused:
        raise
    except Exception as error:  # a damaged workbook makes openpyxl raise anything
        found = f"one whose cells cannot be read ({type(error).__name__})"
        raise not_a_workbook(raw, found, record) from error


def _remarks(raw: RawFile, sheet: Any, formulas: Any, *, hidden: bool) -> Iterator[Remark]:
    title = printable(sheet.title)
    if hidden:
        place = Place(raw.path, cell=f"{title}!A1")
        yield Remark(text=f"The sheet {title} is hidden.", place=place)
    for row in formulas.iter_rows():
        for cell in row:
            comment = getattr(cell, "comment", None)
            if comment is not None and (comment.text or "").strip():
                address = f"{letters_of(cell.column - 1)}{cell.row}"
                place = Place(raw.path, cell=f"{title}!{address}")
                text = " ".join(str(comment.text).split())
                yield Remark(text=f"Comment: {text}", place=place, is_matter=True)
