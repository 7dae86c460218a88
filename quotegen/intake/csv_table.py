"""A CSV file as a table: character set by a ladder, delimiter declared or told by the head."""

from __future__ import annotations

import csv
import dataclasses
import io

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem
from quotegen.intake.cells import (
    MOST_CELLS,
    MOST_COLUMNS,
    MOST_ROWS,
    Cell,
    Grid,
    LateRows,
    Row,
    too_large,
)
from quotegen.intake.draft import Filled, quote_called
from quotegen.intake.files import RawFile, Refused, refuse_other_kinds
from quotegen.intake.heads import has_head
from quotegen.intake.tables import fill
from quotegen.intake.yaml_tree import Tree
from quotegen.model.fields import Delimiter
from quotegen.model.reading import Reading

BYTE_ORDER_MARKS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)
GUESSED = "windows-1252"

Rows = list[tuple[int, list[str]]]


def read_csv(raw: RawFile, tree: Tree, form: Reading, name: str) -> Filled:
    """A quote from a CSV file; places are the line of a row and the number of its cell.

    Raises Refused: file-kind, charset-wrong, csv-broken, table-too-large, and those of fill.
    """
    record = quote_called(tree.within("quote"), name)
    refuse_other_kinds(raw, "a CSV file", record)
    declared = form.charset.value if form.charset is not None else None
    text, notices = decoded(raw, declared, record)
    filled = fill(tree, form, grid_of(raw, _rows(raw, text, form, record)), name)
    return dataclasses.replace(filled, problems=notices + filled.problems)


def decoded(raw: RawFile, declared: str | None, record: str) -> tuple[str, tuple[Problem, ...]]:
    """The text: by its byte order mark, else strict UTF-8, else as declared, else a guess.

    Raises Refused: charset-wrong, file-kind.
    """
    charset = next((name for mark, name in BYTE_ORDER_MARKS if raw.data.startswith(mark)), "utf-8")
    notices: tuple[Problem, ...] = ()
    if charset == "utf-8" and not _fits(raw.data, charset):
        charset = declared or GUESSED
        if declared is None:
            notices = (Problem.of("charset-guessed", raw.place, seen=charset, record=record),)
    try:
        text = raw.data.decode(charset)
    except UnicodeDecodeError as error:
        problem = Problem.of("charset-wrong", raw.place, seen=charset, record=record)
        raise Refused(problem) from error
    if "\0" in text:
        values = {"seen": "binary data", "expected": "a CSV file", "record": record}
        raise Refused(Problem.of("file-kind", raw.place, **values))
    return text, notices


def _fits(data: bytes, charset: str) -> bool:
    try:
        data.decode(charset)
    except UnicodeDecodeError:
        return False
    return True


def _rows(raw: RawFile, text: str, form: Reading, record: str) -> Rows:
    """The rows by the delimiter that is declared, or by the first under which the head is found.

    Where the head is found under none, the delimiter that makes most cells is taken, so that
    the missing header can be named.
    """
    tried = [split(raw, text, mark, record) for mark in _delimiters(text, form)]
    for rows, problem in tried:
        if form.columns is not None and has_head([cells for _, cells in rows], form.columns):
            return _if_whole(rows, problem)
    return _if_whole(*max(tried, key=lambda each: sum(len(cells) for _, cells in each[0])))


def _if_whole(rows: Rows, problem: Problem | None) -> Rows:
    if problem is not None:
        raise Refused(problem)
    return rows


def _delimiters(text: str, form: Reading) -> tuple[str, ...]:
    if form.delimiter is not None:
        return (form.delimiter.mark,)
    first = text.partition("\n")[0].strip()
    if len(first) == len("sep=;") and first.startswith("sep="):
        return (first[-1],)
    return tuple(each.mark for each in Delimiter)


def split(raw: RawFile, text: str, mark: str, record: str) -> tuple[Rows, Problem | None]:
    """The cells of each row with the line on which it begins, and what ended it too early."""
    rows: Rows = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    line, count = 1, 0
    try:
        for cells in reader:
            rows.append((line, cells))
            line, count = reader.line_num + 1, count + len(cells)
            if len(rows) > MOST_ROWS or len(cells) > MOST_COLUMNS or count > MOST_CELLS:
                return rows, too_large(raw.place, len(rows), len(cells), record)
    except csv.Error as error:
        place = Place(raw.place.path, line)
        return rows, Problem.of("csv-broken", place, seen=str(error), record=record)
    return rows, None


def grid_of(raw: RawFile, rows: Rows) -> Grid:
    """The cells of the rows, each with its line and its number in it."""
    path = raw.place.path

    def row(number: int) -> Row:
        line, texts = rows[number]
        return tuple(
            Cell(text=text.strip(), place=Place(path, line, column))
            for column, text in enumerate(texts, 1)
        )

    return Grid(place=raw.place, rows=LateRows(len(rows), row), is_typed=False)
