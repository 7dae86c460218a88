"""Values of a quote form that stand in one cell of a table: `{cell: B14, unit: GBP}`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quotegen.basics.money import minor_digits
from quotegen.basics.number import Unreadable
from quotegen.basics.place import Place
from quotegen.intake.cells import Cell, Grid, currency_of, number_of, plain
from quotegen.intake.draft import UNREAD, Draft
from quotegen.intake.forms import read_form
from quotegen.intake.yaml_tree import Keys
from quotegen.model.reading import CellReference


def fill_single_cells(draft: Draft, grid: Grid) -> None:
    """Puts the text of the named cell where the form names a cell instead of a value."""
    for keys in list(references(draft.values, ())):
        holder = draft.reading.within("quote", *keys)
        reference, problems = read_form(CellReference, holder, draft.called(keys), keys)
        for problem in problems:
            draft.wrong(problem.code, problem.place, keys, **dict(problem.values))
        value, cell = _value(draft, grid, reference, keys) if reference else (UNREAD, None)
        nowhere = Cell(text="", place=holder.places.of())
        draft.put(keys, value, cell or nowhere)


def references(value: Any, keys: Keys) -> Iterator[Keys]:
    """The way to each value that names a cell."""
    if isinstance(value, dict) and "cell" in value:
        yield keys
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from references(inner, (*keys, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from references(inner, (*keys, index))


def _value(
    draft: Draft, grid: Grid, reference: CellReference, keys: Keys
) -> tuple[object, Cell | None]:
    cell: Cell | None = None
    try:
        cell = grid.at(reference.cell)
        return _text_of(cell, reference, draft), cell
    except Unreadable as problem:
        place: Place = draft.places["quote", *keys] if cell is None else cell.place
        seen = {} if cell is None else {"seen": cell.text}
        draft.wrong(problem.code, place, keys, **problem.values | seen)
        return UNREAD, cell


def _text_of(cell: Cell | None, reference: CellReference, draft: Draft) -> str:
    """The text of a cell as a form would have it; a bare number gets its unit."""
    if cell is None:
        raise Unreadable("cell-outside", reference.cell, "a cell of the table")
    if cell.trouble:
        raise Unreadable(cell.trouble, cell.text, "a value")
    if cell.is_blank:
        raise Unreadable("cell-empty", "", "a value")
    if reference.unit is not None:
        return _with_unit(cell, reference.unit, draft.decimal_sign)
    return _as_it_is(cell, draft)


def _with_unit(cell: Cell, unit: str, decimal_sign: str | None) -> str:
    number, mark = number_of(cell, decimal_sign)
    stated = unit.partition(" ")[0]
    if mark and currency_of(mark, stated, cell.text) != stated:
        raise Unreadable("cell-unit", cell.text, unit)
    return f"{plain(number)} {unit}"


def _as_it_is(cell: Cell, draft: Draft) -> str:
    """A number with what stands beside it in the cell, or the text where it is none.

    Digits alone stay what they are, since 0815 may be a number of a quote; a bare number
    that another decimal sign would change, such as 1.000, needs a unit to be told from it.
    """
    try:
        number, mark = number_of(cell, draft.decimal_sign)
    except Unreadable as problem:
        if problem.code == "two-readings":
            raise
        return cell.text
    if mark.isalpha() and mark.isupper() and minor_digits(mark) is None:
        return cell.text  # such as ISO 9001
    if mark:
        return f"{plain(number)} {currency_of(mark, draft.currency, cell.text)}"
    if cell.number is None and not cell.text.isdigit():
        raise Unreadable("unit-missing", cell.text, "`unit:` beside `cell:`, such as pieces")
    return plain(number) if cell.number is not None else cell.text
