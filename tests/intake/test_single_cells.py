"""Values that stand in one cell of a table."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from pathlib import Path

import pytest

from quotegen.intake.folder import read_folder
from quotegen.model.quote import Item

QUOTE = "quotes/arden/af-2291.yaml"
TABLE = "quotes/arden/offer.csv"
Edit = tuple[str, str]
Write = Callable[[Mapping[str, str | bytes | None]], Path]
ToldOfTable = Callable[[str, str | bytes], list[str]]

CASES = [
    pytest.param(
        ("cell: C2", "cell: Z99"),
        ("", ""),
        ["13:16 cell-outside: items 1, minimum: the table has no cell Z99."],
        id="a cell beyond the table",
    ),
    pytest.param(
        ("cell: C2", "cell: c2"),
        ("", ""),
        [
            (
                "13:16 wrong-value: items 1, minimum: 'c2' does not fit; expected the address of "
                "a cell, such as B14."
            )
        ],
        id="an address in small letters",
    ),
    pytest.param(
        ("cell: C2", "cell: B2"),
        ("", ""),
        ["csv:2:2 cell-empty: items 1, minimum: the cell is empty."],
        id="an empty cell",
    ),
    pytest.param(
        ("cell: C2, unit: pieces", "cell: B5"),
        ("", ""),
        [
            (
                "csv:5:2 unit-missing: items 1, minimum: '1.000' has no unit; expected `unit:` "
                "beside `cell:`, such as pieces."
            )
        ],
        id="a number whose sign is open",
    ),
    pytest.param(
        ("cell: C2, unit: pieces", "cell: C4"),
        ("", ""),
        [
            (
                "csv:4:3 unit-missing: items 1, minimum: '9,80' has no unit; expected `unit:` "
                "beside `cell:`, such as pieces."
            )
        ],
        id="a number with a comma and no unit",
    ),
    pytest.param(
        ("unit: pieces", "unit: GBP"),
        (";;50", ";;50 EUR"),
        [
            (
                "csv:2:3 cell-unit: items 1, minimum: the cell shows '50 EUR', the reading form "
                "says GBP."
            )
        ],
        id="a unit that the cell contradicts",
    ),
    pytest.param(
        ("", ""),
        (";;50", ";;fifty"),
        [
            (
                "csv:2:3 not-a-number: items 1, minimum: 'fifty' is not a number here; expected a"
                " number with a decimal comma, such as 12,90."
            )
        ],
        id="a text where a number belongs",
    ),
    pytest.param(
        ("", ""),
        (";;50", ";;TBC"),
        [
            (
                "csv:2:3 price-open: items 1, minimum: 'TBC' is not a price; the supplier has not"
                " said it yet."
            )
        ],
        id="a number that is still open",
    ),
    pytest.param(
        ("", ""),
        (";;50", ";;50,5"),
        [("csv:2:3 wrong-value: items 1, minimum: '50,5' does not fit; expected a whole number.")],
        id="half a piece",
    ),
    pytest.param(
        ("cell: C2, unit", "cell: C2, unt"),
        ("", ""),
        ["13:27 unknown-key: items 1, minimum, unt: unknown key; did you mean 'unit'?"],
        id="a key that is nearly right",
    ),
    pytest.param(
        ("cell: B1", "cell: C1"),
        ("", ""),
        ["csv:1:3 cell-empty: quote: the cell is empty."],
        id="a head that is empty",
    ),
    pytest.param(
        ("date: 2026-10-12", "date: {cell: C2}"),
        (";;50", ";;12.10.2026"),
        [
            (
                "csv:2:3 not-a-date: date: '12.10.2026' is not a date; expected year-month-day, "
                "such as 2027-03-15."
            ),
            (
                "csv:2:3 not-a-number: items 1, minimum: '12.10.2026' is not a number here; "
                "expected a number with a decimal comma, such as 12,90."
            ),
        ],
        id="a date of another country",
    ),
]


@pytest.mark.parametrize(("in_form", "in_table", "expected"), CASES)
def test_a_cell_that_cannot_be_meant_is_told(
    told_of_table: ToldOfTable,
    reading: str,
    price_table: str,
    in_form: Edit,
    in_table: Edit,
    expected: list[str],
) -> None:
    """Common practice of suppliers, no source."""
    form, table = _edited(reading, in_form), _edited(price_table, in_table)
    assert told_of_table(form, table) == expected


def _edited(text: str, edit: Edit) -> str:
    old, new = edit
    if old and text.count(old) != 1:
        raise ValueError(f"{old!r} does not stand once")
    return text.replace(old, new) if old else text


@pytest.mark.parametrize(
    ("cell", "unit", "read"),
    [
        pytest.param("1.500", "GBP", "1500 GBP", id="a bare number"),
        pytest.param("1.500,50", "GBP", "1500.50 GBP", id="a bare number with decimals"),
        pytest.param("£ 1.500", "GBP", "1500 GBP", id="the sign of the same currency"),
        pytest.param("1.500 GBP", None, "1500 GBP", id="an amount with its currency"),
        pytest.param("1.500 £", None, "1500 GBP", id="an amount with its sign"),
        pytest.param("1.500 EUR", None, "1500 EUR", id="an amount in another currency"),
    ],
)
def test_an_amount_in_a_cell_is_read_by_the_declared_sign(
    write: Write, reading: str, price_table: str, cell: str, unit: str | None, read: str
) -> None:
    """No source: the decimal comma of the file, not the point of our forms."""
    beside = f", unit: {unit}" if unit else ""
    value = f"minimum value: {{value: {{cell: C2{beside}}}}}"
    form = reading.replace("minimum: {cell: C2, unit: pieces}", value)
    item = _item(write, form, price_table.replace(";;50", f";;{cell}"))
    assert item.minimum_value is not None
    assert str(item.minimum_value.value) == read


@pytest.mark.parametrize("cell", ["3,5 %", "3,5%"])
def test_a_percentage_in_a_cell_is_read_by_the_declared_sign(
    write: Write, reading: str, price_table: str, cell: str
) -> None:
    """No source."""
    form = reading.replace("minimum: {cell: C2, unit: pieces}", "rejects: {share: {cell: C2}}")
    item = _item(write, form, price_table.replace(";;50", f";;{cell}"))
    assert item.rejects is not None
    assert item.rejects.share == Fraction(35, 1000)


def test_a_percentage_with_two_readings_is_told(
    told_of_table: ToldOfTable, reading: str, price_table: str
) -> None:
    """No source: where nothing declares the decimal sign."""
    form = reading.replace("minimum: {cell: C2, unit: pieces}", "rejects: {share: {cell: C2}}")
    table = price_table.replace(";;50", ";;1.500 %").replace("1.000", "1000")
    assert told_of_table(form.replace("decimal: comma\n", ""), table) == [
        ("csv:2:3 two-readings: items 1, rejects, share: '1.500 %' can be read as 1.5 or 1500.")
    ]


@pytest.mark.parametrize("cell", ["0815", "C", "ISO 9001", "A-17", "1/2", "C 2.0", "ca. 1,5"])
def test_a_text_in_a_cell_stays_as_it_is(
    write: Write, reading: str, price_table: str, cell: str
) -> None:
    """No source: a drawing's revision is a text even where it looks like a number."""
    form = reading.replace("minimum: {cell: C2, unit: pieces}", "revision: {cell: C2}")
    item = _item(write, form, price_table.replace(";;50", f";;{cell}"))
    assert item.revision == cell


def test_a_value_keeps_the_place_of_its_cell(write: Write, reading: str, price_table: str) -> None:
    """No source: the line and the number of the cell in a CSV file."""
    folder = read_folder(write({QUOTE: reading, TABLE: price_table}))
    (entry,) = folder.quotes
    assert str(entry.places.of("quote")) == f"{TABLE}:1:2"
    assert str(entry.places.of("items", 0, "minimum")) == f"{TABLE}:2:3"
    assert str(entry.places.of("date")) == f"{QUOTE}:9:9"
    assert entry.files == (QUOTE, TABLE)


def _item(write: Write, form: str, table: str) -> Item:
    folder = read_folder(write({QUOTE: form, TABLE: table}))
    (entry,) = folder.quotes
    return entry.record.items[0]
