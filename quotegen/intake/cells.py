"""The cells of a supplier's table, and how the text or number in one becomes a value of ours."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import overload

from quotegen.basics.number import Unreadable, read_number
from quotegen.basics.place import Place
from quotegen.basics.problem import Problem
from quotegen.model.text import OPEN_WORDS

MOST_ROWS = 5000
MOST_COLUMNS = 200
MOST_CELLS = 100_000

# A sign that several currencies share says nothing alone.
SIGNS = {
    "€": ("EUR",),
    "£": ("GBP",),
    "zł": ("PLN",),
    "Kč": ("CZK",),
    "Ft": ("HUF",),
    "¥": ("CNY", "JPY"),
    "kr": ("DKK", "ISK", "NOK", "SEK"),
    "$": ("AUD", "CAD", "HKD", "NZD", "SGD", "USD"),
}
_SIGN = "|".join(re.escape(sign) for sign in SIGNS)
_WITH_MARK = re.compile(
    rf"({_SIGN}|[A-Z]{{3}}(?![A-Za-z]))?\s*(.*?)\s*({_SIGN}|(?<![A-Za-z])[A-Z]{{3}}|%)?", re.DOTALL
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell: the text that a person sees, and the number where the file stores one.

    unit is what the number's format shows beside it: a currency or %. spans are the rows and
    columns of a merged cell; the cells it covers repeat its text. trouble is the code of a
    problem that whoever uses the cell has to report.
    """

    text: str
    place: Place
    number: Fraction | None = None
    unit: str = ""
    hidden: bool = False
    spans: tuple[int, int] = (1, 1)
    covered: bool = False
    trouble: str = ""

    @property
    def is_blank(self) -> bool:
        return not self.text and not self.trouble


Row = tuple[Cell, ...]


class LateRows(Sequence[Row]):
    """Rows whose cells are made when a row is asked for, and then stay.

    make gives the cells of the row of a number; it must not fail, nor give others another time.
    """

    def __init__(self, count: int, make: Callable[[int], Row]) -> None:
        self._made: list[Row | None] = [None] * count
        self._make = make

    def __len__(self) -> int:
        return len(self._made)

    @overload
    def __getitem__(self, at: int) -> Row: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Row]: ...
    def __getitem__(self, at: int | slice) -> Row | Sequence[Row]:
        if isinstance(at, slice):
            return [self._row(number) for number in range(*at.indices(len(self)))]
        return self._row(range(len(self))[at])

    def __iter__(self) -> Iterator[Row]:
        return map(self._row, range(len(self)))

    def _row(self, number: int) -> Row:
        row = self._made[number]
        if row is None:
            row = self._made[number] = self._make(number)
        return row


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """The cells of one table, row by row; is_typed says whether the file stores numbers as such."""

    place: Place
    rows: Sequence[Row]
    is_typed: bool

    def at(self, address: str) -> Cell | None:
        """The cell at an address such as B14; None where the table does not reach."""
        row, column = row_and_column(address)
        inside = row < len(self.rows) and column < len(self.rows[row])
        return self.rows[row][column] if inside else None


def row_and_column(address: str) -> tuple[int, int]:
    """B14 as row 13 and column 1; raises Unreadable for anything else."""
    match = re.fullmatch(r"([A-Z]{1,3})([1-9]\d{0,6})", address)
    if match is None:
        raise Unreadable("wrong-value", address, "the address of a cell, such as B14")
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - ord("A") + 1
    return int(match[2]) - 1, column - 1


@functools.lru_cache(maxsize=MOST_COLUMNS)
def letters_of(column: int) -> str:
    """The letters of a column that is counted from 0: 0 is A, 26 is AA."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def same_words(text: str) -> str:
    """A text as it is compared: spaces and line ends as one space, capitals as small letters."""
    return " ".join(text.split()).casefold()


def number_of(cell: Cell, decimal_sign: str | None) -> tuple[Fraction, str]:
    """The number in a cell and the currency or % beside it ("" where there is none).

    Raises Unreadable: price-open, not-a-number, two-readings.
    """
    if cell.number is not None:
        return cell.number, cell.unit
    match = _WITH_MARK.fullmatch(cell.text.strip())
    lead, written, trail = match.groups() if match else (None, cell.text, None)
    if not OPEN_WORDS.isdisjoint(each.lower() for each in (cell.text, written, trail or "")):
        raise Unreadable("price-open", cell.text, "a number")
    return read_number(written, decimal_sign), trail or lead or ""


def currency_of(mark: str, expected: str, seen: str) -> str:
    """The currency that a mark beside a number says; expected where there is no mark.

    Raises Unreadable where a sign fits several currencies and none of them is expected.
    """
    if not mark:
        return expected
    meant = SIGNS.get(mark, (mark,))
    if expected in meant:
        return expected
    if len(meant) > 1:
        readings = " or ".join(meant)
        raise Unreadable("currency-open", seen, "a currency code", readings=readings)
    return meant[0]


def plain(number: Fraction) -> str:
    """A number that ends, as plain digits with a decimal point, exactly."""
    with localcontext() as context:
        context.prec = 80
        shown = Decimal(number.numerator) / Decimal(number.denominator)
    return format(shown, "f")


def texts(row: tuple[Cell, ...]) -> Iterator[str]:
    """The texts of a row as they are compared."""
    return (same_words(cell.text) for cell in row)


def too_large(place: Place, rows: int, columns: int, record: str) -> Problem:
    """The problem of a table that reaches beyond what is read."""
    values = {"seen": f"{rows:,} rows and {columns:,} columns", "record": record}
    expected = f"{MOST_ROWS:,} rows, {MOST_COLUMNS} columns and {MOST_CELLS:,} cells"
    return Problem.of("table-too-large", place, expected=expected, **values)
