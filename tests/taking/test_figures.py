"""Spellings of numbers, amounts, times and dates: read right, or refused as ambiguous."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.taking.figures import (
    Signs,
    amounts_in,
    basis_in,
    dates_in,
    quantity_in,
    readings_of,
    signs_of,
    spans_in,
)
from quotegen.taking.words import fold

NONE, COMMA, POINT = Signs(), Signs(declared=","), Signs(declared=".")
NB, NARROW, THIN, QUOTE = "\u00a0", "\u202f", "\u2009", "\u2019"

# text, what it says undeclared, with a declared comma, with a declared point; a text of two
# numbers stands for two readings, None for no number, a star for one reading that is in doubt
SPELLINGS = [
    ("12.90", "12.90", "12.90*", "12.90"),
    ("12,90", "12.90", "12.90", "12.90*"),
    ("0,985", "0.985", "0.985", "0.985*"),
    ("0.985", "0.985", "0.985*", "0.985"),
    ("1.845", "1.845 1845", "1845", "1.845"),
    ("1,845", "1845 1.845", "1.845", "1845"),
    ("1.000", "1 1000", "1000", "1"),
    ("1,000", "1000 1", "1", "1000"),
    ("10.000", "10 10000", "10000", "10"),
    ("100,000", "100000 100", "100", "100000"),
    ("1.234,50", "1234.50", "1234.50", "1234.50*"),
    ("1,234.50", "1234.50", "1234.50*", "1234.50"),
    ("1 234,50", "1234.50", "1234.50", "1234.50*"),
    (f"1{NB}234,50", "1234.50", "1234.50", "1234.50*"),
    (f"1{NARROW}234,50", "1234.50", "1234.50", "1234.50*"),
    (f"1{THIN}234.50", "1234.50", "1234.50*", "1234.50"),
    (f"1{QUOTE}234.50", "1234.50", "1234.50*", "1234.50"),
    ("1'234.50", "1234.50", "1234.50*", "1234.50"),
    ("1'234", "1234", "1234", "1234"),
    ("1 234", "1234", "1234", "1234"),
    ("1.234.567", "1234567", "1234567", "1234567*"),
    ("1,234,567", "1234567", "1234567*", "1234567"),
    ("1.234.567,8", "1234567.8", "1234567.8", "1234567.8*"),
    ("985,-", "985", "985", "985"),
    ("985,--", "985", "985", "985"),
    ("985,\u2013", "985", "985", "985"),
    ("985", "985", "985", "985"),
    ("0", "0", "0", "0"),
    ("007", "7", "7", "7"),
    ("1,5", "1.5", "1.5", "1.5*"),
    ("1.5", "1.5", "1.5*", "1.5"),
    ("12,3456", "12.3456", "12.3456", "12.3456*"),
    ("12.3456", "12.3456", "12.3456*", "12.3456"),
    ("\u22125,00", "-5", "-5", "-5*"),
    ("-5.00", "-5", "-5*", "-5"),
    ("+7,5", "7.5", "7.5", "7.5*"),
    ("(1,200.00)", "-1200", "-1200*", "-1200"),
    ("1234567", "1234567", "1234567", "1234567"),
    ("12 345 678,9", "12345678.9", "12345678.9", "12345678.9*"),
    ("3-4", None, None, None),
    ("2 x 15,00", None, None, None),
    ("P-1001", None, None, None),
    ("NaN", None, None, None),
    ("1e3", None, None, None),
    ("1_000", None, None, None),
    ("inf", None, None, None),
    ("12.90.30", None, None, None),
    ("1.2,3.4", None, None, None),
    ("1,23,456.00", None, None, None),
    ("12,34,567", None, None, None),
    ("1.23.456", None, None, None),
    ("", None, None, None),
    (" ", None, None, None),
    (".", None, None, None),
    (",5", None, None, None),
    (".5", None, None, None),
    ("5.", None, None, None),
    ("\uff11\uff12", None, None, None),
    ("\u0661\u0662", None, None, None),
    ("1/2", None, None, None),
    ("\u00bd", None, None, None),
    ("0x10", None, None, None),
    ("9" * 41, None, None, None),
    ("--5", None, None, None),
    ("5-", None, None, None),
    ("12 90", None, None, None),
    ("1 23", None, None, None),
    ("1.234 567", None, None, None),
]


def expected(said: str | None) -> tuple[Fraction, ...]:
    if said is None:
        return ()
    if said.endswith("*"):
        return (Fraction(said[:-1]),) * 2
    return tuple(Fraction(each) for each in said.split())


def test_the_table_is_long_enough() -> None:
    assert len({text for text, *_ in SPELLINGS}) >= 60


@pytest.mark.parametrize(("text", "undeclared", "comma", "point"), SPELLINGS)
def test_a_spelling_is_read_right_or_refused_as_ambiguous(
    text: str, undeclared: str | None, comma: str | None, point: str | None
) -> None:
    """Two readings, or one that only the other sign explains, are never one number."""
    assert readings_of(text, NONE) == expected(undeclared)
    assert readings_of(text, COMMA) == expected(comma)
    assert readings_of(text, POINT) == expected(point)


@given(st.decimals(min_value=0, max_value=10**7, places=2))
def test_what_a_locale_writes_is_among_the_readings(value: Decimal) -> None:
    """The oracle writes the number by Python's own formatting, with signs changed about."""
    english = f"{value:,.2f}"
    german = english.replace(",", "x").replace(".", ",").replace("x", ".")
    assert readings_of(english, POINT) == (Fraction(value),)
    assert readings_of(german, COMMA) == (Fraction(value),)
    assert Fraction(value) in readings_of(english, NONE)
    assert Fraction(value) in readings_of(german, NONE)


@pytest.mark.parametrize(
    ("numbers", "sign"),
    [
        (["12,90", "13,40"], ","),
        (["12.90", "13.40"], "."),
        (["12,90"], None),
        (["12,90", "13,40", "14.20"], None),
        (["1.845", "1.900"], None),
        (["1.234,50", "0,5"], ","),
    ],
)
def test_a_file_shows_its_sign_by_two_numbers_and_none_against(
    numbers: list[str], sign: str | None
) -> None:
    assert signs_of(numbers).sign == sign


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("at EUR 17.40 each", [("17.40", "EUR")]),
        ("17,40 \u20ac/Stk und \u20ac 12,10", [("17,40", "\u20ac"), ("12,10", "\u20ac")]),
        ("\u00a31,250.00", [("1,250.00", "\u00a3")]),
        ("1 234,50 z\u0142", [("1 234,50", "z\u0142")]),
        ("50 euro", [("50", "EUR")]),
        ("Q-12 of 2026", []),
        ("FL-021 at 3 weeks", []),
        ("-5,00 EUR", [("-5,00", "EUR")]),
    ],
)
def test_amounts_are_numbers_with_a_currency_beside_them(
    text: str, found: list[tuple[str, str]]
) -> None:
    assert [(each.number, each.mark) for each in amounts_in(text)] == found


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Preis je 100 St\u00fcck (EUR)", "per 100"),
        ("price per 1,000 pcs", "per 1000"),
        ("EUR/100", "per 100"),
        ("\u20ac / 1.000 Stk", "per 1000"),
        ("prijs per honderd", "per 100"),
        ("per kg", "per kg"),
        ("prijs per stuk", "per 1"),
        ("cena jednostkowa", "per 1"),
        ("Prix unitaire HT", "per 1"),
        ("Einzelpreis", "per 1"),
        ("Price", None),
        ("05/10/2026", None),
        ("per order", None),
        ("30 days", None),
    ],
)
def test_the_basis_of_a_price_is_read_from_words(text: str, words: str | None) -> None:
    basis = basis_in(text)
    assert (basis.words if basis is not None else None) == words


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("50", (50,)),
        ("ab 50", (50,)),
        ("50-99 pcs", (50,)),
        ("50+", (50,)),
        ("\u2265 50 szt.", (50,)),
        ("1.000", (1, 1000)),
        ("over 50", (50, 51)),
        ("50 mm", None),
        ("rev 50", None),
        ("12.5", None),
    ],
)
def test_quantities_are_read_from_cells(text: str, readings: tuple[int, ...] | None) -> None:
    found = quantity_in(text, NONE)
    assert (found.readings if found is not None else None) == readings


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("15 Arbeitstage", [("15 working days",)]),
        ("4-5 weeks", [("5 weeks", "4 weeks")]),
        ("10 dni roboczych", [("10 working days",)]),
        ("1 mois", [("1 month",)]),
        ("30 dagen", [("30 days",)]),
        ("10 d\u00e9cembre", []),
    ],
)
def test_times_are_read_in_five_languages(text: str, words: list[tuple[str, ...]]) -> None:
    assert spans_in(text) == words


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("21.10.2026", ("2026-10-21",)),
        ("3 November 2026", ("2026-11-03",)),
        ("October 3rd, 2026", ("2026-10-03",)),
        ("3. M\u00e4rz 2026", ("2026-03-03",)),
        ("03/04/2026", ("2026-04-03", "2026-03-04")),
        ("21/04/2026", ("2026-04-21",)),
        ("21.10.26", ("2026-10-21", "2026-10-21")),
        ("31.02.2026", None),
        ("2026-10-21", ("2026-10-21",)),
    ],
)
def test_dates_are_read_or_have_two_readings(text: str, readings: tuple[str, ...] | None) -> None:
    found = dates_in(fold(text))
    assert (found[0].readings if found else None) == readings
