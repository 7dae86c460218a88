"""Numbers, currencies and addresses in the cells of a table."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.basics.number import Unreadable
from quotegen.basics.place import Place
from quotegen.intake.cells import (
    Cell,
    Grid,
    currency_of,
    letters_of,
    number_of,
    plain,
    row_and_column,
    same_words,
)


def _cell(text: str) -> Cell:
    return Cell(text=text, place=Place("x.csv", 1, 1))


@pytest.mark.parametrize(
    ("text", "sign", "number", "mark"),
    [
        ("12,90", ",", "12.90", ""),
        ("12.90", ".", "12.90", ""),
        ("12,90 €", ",", "12.90", "€"),
        ("€12,90", ",", "12.90", "€"),
        ("GBP 1'200.00", ".", "1200", "GBP"),
        ("1 200,00 PLN", ",", "1200", "PLN"),
        ("45 zł", None, "45", "zł"),
        ("4 %", None, "4", "%"),
        ("-5,00 kr", ",", "-5", "kr"),
        ("985,-", ",", "985", ""),
    ],
)
def test_a_number_is_read_with_what_stands_beside_it(
    text: str, sign: str | None, number: str, mark: str
) -> None:
    """No source: spellings of several countries."""
    assert number_of(_cell(text), sign) == (Fraction(number), mark)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("TBC", "price-open"),
        ("EUR TBC", "price-open"),
        ("n/a", "price-open"),
        ("1.845", "two-readings"),
        ("EUR", "not-a-number"),
        ("TRUE", "not-a-number"),
        ("12 PIECES", "not-a-number"),
        ("10-49", "not-a-number"),
        ("2 x 15", "not-a-number"),
        ("=1+1", "not-a-number"),
    ],
)
def test_what_is_no_number_is_refused(text: str, code: str) -> None:
    """No source."""
    with pytest.raises(Unreadable) as refused:
        number_of(_cell(text), None)
    assert refused.value.code == code


@pytest.mark.parametrize(
    ("mark", "expected", "meant"),
    [
        ("", "GBP", "GBP"),
        ("€", "GBP", "EUR"),
        ("$", "CAD", "CAD"),
        ("kr", "SEK", "SEK"),
        ("USD", "GBP", "USD"),
    ],
)
def test_a_sign_is_read_by_the_currency_that_is_stated(
    mark: str, expected: str, meant: str
) -> None:
    """Unicode CLDR: one sign for several currencies."""
    assert currency_of(mark, expected, "x") == meant


@pytest.mark.parametrize("mark", ["$", "¥", "kr"])
def test_a_shared_sign_alone_says_nothing(mark: str) -> None:
    """Unicode CLDR: one sign for several currencies."""
    with pytest.raises(Unreadable) as refused:
        currency_of(mark, "EUR", "5" + mark)
    assert refused.value.code == "currency-open"


@given(st.integers(0, 16_383), st.integers(0, 99_999))
def test_an_address_is_read_back(column: int, row: int) -> None:
    """ECMA-376: letters for columns up to XFD, numbers for rows from 1."""
    assert row_and_column(f"{letters_of(column)}{row + 1}") == (row, column)


@pytest.mark.parametrize(
    ("column", "letters"),
    [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA"), (16383, "XFD")],
)
def test_columns_are_lettered_as_on_a_sheet(column: int, letters: str) -> None:
    """ECMA-376."""
    assert letters_of(column) == letters


@pytest.mark.parametrize("address", ["", "B", "14", "b14", "B0", "B-1", "B14:C15", "$B$14", "B 14"])
def test_what_is_no_address_is_refused(address: str) -> None:
    """No source."""
    with pytest.raises(Unreadable):
        row_and_column(address)


def test_a_grid_ends_where_its_rows_do() -> None:
    """No source: rows of a CSV file may be of different length."""
    grid = Grid(
        place=Place("x.csv"), rows=((_cell("a"), _cell("b")), (_cell("c"),)), is_typed=False
    )
    found = [grid.at(address) for address in ("B1", "A2", "B2", "A3")]
    assert [cell.text if cell else None for cell in found] == ["b", "c", None, None]


def test_words_are_compared_without_spaces_and_capitals() -> None:
    """No source: a header may be broken over two lines."""
    assert same_words(" Preis\n je  STÜCK ") == same_words("preis je stück")
    assert same_words("Preis") != same_words("Preise")


@given(
    st.decimals(
        allow_nan=False, allow_infinity=False, places=6, min_value=-(10**9), max_value=10**9
    )
)
def test_a_number_is_written_out_exactly(number: object) -> None:
    """No source: plain digits, no exponent, the same value."""
    exact = Fraction(str(number))
    text = plain(exact)
    assert Fraction(text) == exact
    assert "e" not in text.lower()
