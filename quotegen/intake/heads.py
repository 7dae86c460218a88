"""Finding the columns of a table by the words of its head, never by their position."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from quotegen.basics.problem import Problem
from quotegen.intake.cells import Cell, Grid, same_words, texts
from quotegen.intake.files import Refused
from quotegen.intake.yaml_tree import Tree
from quotegen.model.reading import Columns


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The head cell of each column that is read, by role, and the first row below the head."""

    cells: Mapping[str, Cell]
    columns: Mapping[str, int]
    width: int
    first_row: int


def wanted_words(columns: Columns) -> dict[str, str]:
    """The header words that a reading form looks for, by the key that names them."""
    words = {"from": columns.from_, "price": columns.price}
    optional = {"part": columns.part, "revision": columns.revision}
    return words | {role: text for role, text in optional.items() if text is not None}


def find_head(grid: Grid, columns: Columns, tree: Tree, record: str) -> Head:
    """The head of the table.

    tree is the reading form's. Raises Refused: header-missing, header-twice, cell-merged.
    """
    wanted = wanted_words(columns)
    number = _best_row(grid, wanted)
    row = grid.rows[number] if grid.rows else ()
    found = {role: _column(row, role, words, tree, record) for role, words in wanted.items()}
    cells = {role: row[column] for role, column in found.items()}
    for role, cell in cells.items():
        if cell.spans[1] > 1:
            values = {"field": f"columns, {role}", "seen": cell.text, "record": record}
            raise Refused(Problem.of("cell-merged", cell.place, **values))
    deepest = max(cell.spans[0] for cell in cells.values())
    return Head(cells=cells, columns=found, width=len(row), first_row=number + deepest)


def has_head(rows: list[list[str]], columns: Columns) -> bool:
    """Whether some row of bare texts holds all header words."""
    wanted = {same_words(words) for words in wanted_words(columns).values()}
    return any(wanted <= {same_words(text) for text in row} for row in rows)


def _best_row(grid: Grid, wanted: Mapping[str, str]) -> int:
    """The first row that holds the most header words; of equal ones the first with most texts."""
    words = {same_words(text) for text in wanted.values()}

    def worth(number: int) -> tuple[int, int]:
        shown = {text for text in texts(grid.rows[number]) if text}
        return len(words & shown), len(shown)

    return max(range(len(grid.rows)), key=worth, default=0)


def _column(row: tuple[Cell, ...], role: str, words: str, tree: Tree, record: str) -> int:
    field = f"columns, {role}"
    found = [
        column
        for column, cell in enumerate(row)
        if same_words(cell.text) == same_words(words) and not cell.covered
    ]
    if not found:
        seen_here = [cell.text for cell in row if cell.text and not cell.covered]
        values = {"seen": words, "expected": ", ".join(seen_here) or "none", "record": record}
        place = tree.places.of("columns", role)
        raise Refused(Problem.of("header-missing", place, field=field, **values))
    if len(found) > 1:
        values = {"seen": words, "record": record}
        raise Refused(Problem.of("header-twice", row[found[1]].place, field=field, **values))
    return found[0]
