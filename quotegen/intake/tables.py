"""Filling a quote form from a table: single values from its cells, prices from its rows."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from quotegen.basics.number import Unreadable
from quotegen.basics.problem import Problem, nearest
from quotegen.intake.cells import Cell, Grid, currency_of, number_of, plain, same_words, texts
from quotegen.intake.draft import UNREAD, Draft, Filled
from quotegen.intake.files import Refused
from quotegen.intake.heads import Head, find_head
from quotegen.intake.single_cells import fill_single_cells
from quotegen.intake.yaml_tree import Keys, Tree
from quotegen.model.fields import Hidden
from quotegen.model.reading import Columns, Reading

# What a head may say about the basis of its prices; % and ‰ stand for the hundred and the thousand.
BASIS = re.compile(r"\b(?:1[ .,']?000|100|10|kg)\b|[%‰]")
PER_SIGNS = {"%": "100", "‰": "1000"}


def fill(tree: Tree, form: Reading, grid: Grid, name: str) -> Filled:
    """The quote form inside a reading form, filled from a table.

    tree is the whole reading form's. Where the rows as a whole cannot be read, the problem
    is noted and the items that need them are broken; the rest of the form is still filled.
    """
    draft = Draft(tree, form, name)
    fill_single_cells(draft, grid)
    _Rows(draft, grid).fill()
    return draft.filled()


class _Rows:
    """The rows below the head of a table, each going to the item whose part it names."""

    def __init__(self, draft: Draft, grid: Grid) -> None:
        self.draft = draft
        self.form = draft.form
        self.grid = grid
        self.as_text: list[Cell] = []
        self.unclaimed: dict[str, Cell] = {}

    def fill(self) -> None:
        wanted = self._items_without_prices()
        if not wanted or self.form.columns is None:
            return
        try:
            self._fill(wanted, self.form.columns)
        except Refused as refused:
            self.draft.refuse_items(refused.problem, wanted)

    def _fill(self, wanted: list[int], columns: Columns) -> None:
        head = find_head(self.grid, columns, self.draft.reading, self.draft.called())
        self._check_basis(head)
        self._check_words(wanted)
        owners = self._owners(wanted, head)
        for index in wanted:
            self.draft.put(("items", index, "prices"), [], head.cells["price"])
        for row in self._body(head):
            self._take(row, head, owners)
        self._tell(wanted)

    def _items_without_prices(self) -> list[int]:
        items = self.draft.values.get("items")
        numbered = enumerate(items) if isinstance(items, list) else ()
        return [
            index for index, item in numbered if isinstance(item, dict) and "prices" not in item
        ]

    def _check_basis(self, head: Head) -> None:
        """A head such as `per 100` has to be answered by `price per`: a factor hides in it."""
        cell = head.cells["price"]
        found = BASIS.search(cell.text)
        if found is None:
            return
        expected = PER_SIGNS.get(found[0]) or re.sub(r"[ .,']", "", found[0])
        if self.form.price_per == expected:
            return
        values = {"seen": cell.text, "expected": expected}
        if self.form.price_per is None:
            record = self.draft.called()
            raise Refused(Problem.of("header-basis", cell.place, **values, record=record))
        self.draft.tell("header-basis-differs", cell.place, **values, stated=self.form.price_per)

    def _check_words(self, wanted: list[int]) -> None:
        """Words are given only for parts whose rows are read."""
        parts = [str(self.draft.values["items"][index].get("part")) for index in wanted]
        for part in self.form.rows:
            if part not in parts:
                place, field = self.draft.reading.key_at("rows", part), f"rows, {part}"
                hint = nearest(part, parts)
                self.draft.wrong("unknown-key", place, (), field=field, hint=hint)

    def _owners(self, wanted: list[int], head: Head) -> dict[str, int]:
        """The item that takes the rows with these words in their part column."""
        if "part" not in head.columns:
            if len(wanted) > 1:
                place, record = self.draft.reading.places.of("columns"), self.draft.called()
                raise Refused(Problem.of("part-column-missing", place, record=record))
            return {"": wanted[0]}
        owners: dict[str, int] = {}
        for index in wanted:
            words = self._words_of(index)
            if owners.setdefault(same_words(words), index) != index:
                keys = ("items", index)
                place = self.draft.tree.places.of(*keys)
                self.draft.wrong("rows-claimed-twice", place, keys, seen=words)
        return owners

    def _words_of(self, index: int) -> str:
        """What the part column shows for an item: the words of `rows`, else the part itself."""
        part = str(self.draft.values["items"][index].get("part"))
        return self.form.rows.get(part, part)

    def _body(self, head: Head) -> Iterator[tuple[Cell, ...]]:
        """The rows below the head that say something, down to the words that end the table."""
        end = same_words(self.form.ends_before or "")
        for row in self.grid.rows[head.first_row :]:
            if end and any(text.startswith(end) for text in texts(row)):
                return
            if all(cell.is_blank for cell in row):
                continue
            if len(row) == head.width:
                yield row
            else:
                values = {"seen": str(len(row)), "expected": str(head.width)}
                self.draft.wrong("row-width", row[0].place, (), **values)

    def _take(self, row: tuple[Cell, ...], head: Head, owners: dict[str, int]) -> None:
        cells = {role: row[column] for role, column in head.columns.items()}
        if cells["from"].is_blank and cells["price"].is_blank:
            return
        index = self._owner(cells, owners)
        if index is None or self._is_hidden(cells, index):
            return
        if "revision" in cells:
            self._take_revision(cells["revision"], index)
        tiers = self.draft.values["items"][index]["prices"]
        keys = ("items", index, "prices", len(tiers))
        self.draft.put(keys, {}, cells["from"])
        for role in ("from", "price"):
            self.draft.put((*keys, role), self._read(role, cells[role], keys), cells[role])

    def _owner(self, cells: dict[str, Cell], owners: dict[str, int]) -> int | None:
        part = cells.get("part")
        if part is None:
            return owners[""]
        if part.is_blank or part.trouble:
            code = part.trouble or "cell-empty"
            self.draft.wrong(code, part.place, (), field="columns, part", seen=part.text)
            return None
        index = owners.get(same_words(part.text))
        if index is None:
            self.unclaimed.setdefault(part.text, part)
        return index

    def _is_hidden(self, cells: dict[str, Cell], index: int) -> bool:
        """Whether the row may not be read because a person does not see it."""
        hidden = [cells[role] for role in ("from", "price") if cells[role].hidden]
        if not hidden or self.form.hidden is Hidden.READ:
            return False
        if self.form.hidden is None:
            keys = ("items", index, "prices")
            self.draft.wrong("hidden-price", hidden[-1].place, keys, seen=hidden[-1].text)
        return True

    def _take_revision(self, cell: Cell, index: int) -> None:
        keys = ("items", index, "revision")
        known = self.draft.values["items"][index].get("revision")
        if cell.is_blank or known == cell.text:
            return
        if known is None:
            self.draft.put(keys, cell.text, cell)
        else:
            self.draft.wrong("rows-differ", cell.place, keys, seen=cell.text, expected=str(known))

    def _read(self, role: str, cell: Cell, keys: Keys) -> object:
        try:
            _refuse_unusable(cell)
            return self._count(cell) if role == "from" else self._price(cell)
        except Unreadable as problem:
            values = problem.values | {"seen": cell.text}
            self.draft.wrong(problem.code, cell.place, (*keys, role), **values)
            return UNREAD

    def _count(self, cell: Cell) -> str:
        number, mark = self._number(cell)
        if mark:
            raise Unreadable("not-a-number", cell.text, "a bare number of pieces")
        return plain(number)

    def _price(self, cell: Cell) -> str:
        number, mark = self._number(cell)
        if mark == "%":
            raise Unreadable("not-a-number", cell.text, "a price")
        currency = currency_of(mark, self.draft.currency, cell.text)
        return f"{plain(number)} {currency} per {self.form.price_per or 1}"

    def _number(self, cell: Cell) -> tuple[Fraction, str]:
        found = number_of(cell, self.draft.decimal_sign)
        if self.grid.is_typed and cell.number is None:
            self.as_text.append(cell)
        return found

    def _tell(self, wanted: list[int]) -> None:
        """What a person should know of rows that nobody takes and items that get none."""
        if self.unclaimed:
            first = next(iter(self.unclaimed.values()))
            values = {"seen": ", ".join(self.unclaimed), "expected": str(len(self.unclaimed))}
            self.draft.tell("rows-unread", first.place, **values)
        for index in wanted:
            if not self.draft.values["items"][index]["prices"] and index not in self.draft.broken:
                words, keys = self._words_of(index), ("items", index, "prices")
                hint, place = nearest(words, self.unclaimed), self.draft.tree.places.of(*keys)
                self.draft.wrong("rows-missing", place, keys, seen=words, hint=hint)
        if self.as_text:
            first, count = self.as_text[0], str(len(self.as_text))
            self.draft.tell("number-as-text", first.place, seen=first.text, expected=count)


def _refuse_unusable(cell: Cell) -> None:
    if cell.trouble:
        raise Unreadable(cell.trouble, cell.text, "a number")
    if cell.covered or cell.spans[0] > 1:
        raise Unreadable("cell-merged", cell.text, "a cell of its own")
    if cell.is_blank:
        raise Unreadable("cell-empty", "", "a number")
