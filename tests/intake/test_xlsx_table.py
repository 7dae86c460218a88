"""Workbooks as they arrive: what a person sees on the sheet, and what a person does not."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.basics.problem import Problem
from quotegen.intake.files import RawFile, Refused
from quotegen.intake.folder import read_folder
from quotegen.intake.forms import read_form
from quotegen.intake.xlsx_table import read_xlsx
from quotegen.intake.yaml_tree import read_tree
from quotegen.model.reading import Reading

QUOTE = "quotes/arden/af-2291.yaml"
BOOK = "quotes/arden/offer.xlsx"
Changes = Mapping[str, str | bytes | None]
Told = Callable[[Changes], list[str]]
Write = Callable[[Changes], Path]
Change = Callable[[Worksheet], object]

FORM = """\
format: 1
reads: offer.xlsx
columns: {part: Drawing, from: Quantity from, price: Price each}
rows: {pawl: D-4711}
quote:
  quote: {cell: B1}
  date: {cell: B2}
  currency: GBP
  items:
    - part: pawl
      minimum: {cell: D1}
    - part: ratchet
"""

ROWS = (
    ("Quote", "AF-2291", "least", 50),
    ("Date", datetime.date(2026, 10, 12)),
    (),
    ("Drawing", "Quantity from", "Price each"),
    ("D-4711", 50, 9.8),
    ("D-4711", 1000, 8.9),
    ("ratchet", 1, 21.5),
)


def _book(change: Change | None = None) -> bytes:
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    sheet.title = "Offer"
    for row in ROWS:
        sheet.append(row)
    if change is not None:
        change(sheet)
    stream = io.BytesIO()
    workbook.save(stream)
    return stream.getvalue()


def _set(**values: object) -> Change:
    def change(sheet: Worksheet) -> None:
        for address, value in values.items():
            sheet[address] = value

    return change


def _format(address: str, number_format: str) -> Change:
    def change(sheet: Worksheet) -> None:
        sheet[address].number_format = number_format

    return change


def _hide_row(sheet: Worksheet) -> None:
    sheet.row_dimensions[6].hidden = True


def _hide_columns(sheet: Worksheet) -> None:
    sheet.column_dimensions.group("C", "D", hidden=True)


def _told(told: Told, book: bytes, form: str = FORM) -> list[str]:
    return [line.removeprefix(f"{BOOK}:") for line in told({QUOTE: form, BOOK: book})]


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        pytest.param(_set(), [], id="a sound sheet"),
        pytest.param(
            _set(C5="=4.9*2"),
            [
                (
                    "Offer!C5 formula-empty: items 1, prices 1, price: the cell holds the formula "
                    "=4.9*2 and no value."
                )
            ],
            id="a formula without a stored value",
        ),
        pytest.param(
            _set(C5="#DIV/0!"),
            ["Offer!C5 cell-error: items 1, prices 1, price: the cell shows the error #DIV/0!."],
            id="an error in a price",
        ),
        pytest.param(
            _set(D1="#REF!"),
            ["Offer!D1 cell-error: items 1, minimum: the cell shows the error #REF!."],
            id="an error in a single cell",
        ),
        pytest.param(
            _set(A6="#N/A"),
            ["Offer!A6 cell-error: columns, part: the cell shows the error #N/A."],
            id="an error in a part",
        ),
        pytest.param(
            _hide_row,
            ["Offer!C6 hidden-price: items 1, prices: '8.9' stands in a hidden row or column."],
            id="a hidden row",
        ),
        pytest.param(
            _hide_columns,
            [
                "Offer!C5 hidden-price: items 1, prices: '9.8' stands in a hidden row or column.",
                "Offer!C6 hidden-price: items 1, prices: '8.9' stands in a hidden row or column.",
                "Offer!C7 hidden-price: items 2, prices: '21.5' stands in a hidden row or column.",
            ],
            id="a hidden column",
        ),
        pytest.param(
            _set(C5="9.80", C6="8,90"),
            ["Offer!C5 number-as-text: 2 numbers are stored as text, the first is '9.80'."],
            id="numbers stored as text",
        ),
        pytest.param(
            _set(C5="9.800"),
            [
                (
                    "Offer!C5 two-readings: items 1, prices 1, price: '9.800' can be read as 9.8 "
                    "or 9800."
                )
            ],
            id="a number stored as text with two readings",
        ),
        pytest.param(
            lambda sheet: sheet.merge_cells("C5:C6"),
            [
                (
                    "Offer!C5 cell-merged: items 1, prices 1, price: '9.8' stands in a merged "
                    "cell, and it is open what it covers."
                ),
                (
                    "Offer!C6 cell-merged: items 1, prices 2, price: '9.8' stands in a merged "
                    "cell, and it is open what it covers."
                ),
            ],
            id="a price merged over two rows",
        ),
        pytest.param(
            lambda sheet: sheet.merge_cells("C4:D4"),
            [
                (
                    "Offer!C4 cell-merged: columns, price: 'Price each' stands in a merged cell, "
                    "and it is open what it covers."
                )
            ],
            id="a header merged over two columns",
        ),
        pytest.param(
            lambda sheet: sheet.merge_cells("A5:A6"), [], id="a part merged over its rows"
        ),
        pytest.param(
            _set(B5=datetime.date(2026, 12, 10)),
            [
                (
                    "Offer!B5 not-a-number: items 1, prices 1, from: '2026-12-10' is not a number "
                    "here; expected a number such as 12.90."
                )
            ],
            id="a quantity that became a date",
        ),
        pytest.param(
            _set(C5=True),
            [
                (
                    "Offer!C5 not-a-number: items 1, prices 1, price: 'TRUE' is not a number here; "
                    "expected a number such as 12.90."
                )
            ],
            id="a price that is true",
        ),
        pytest.param(
            _set(C5="TBC"),
            [
                (
                    "Offer!C5 price-open: items 1, prices 1, price: 'TBC' is not a price; the "
                    "supplier has not said it yet."
                )
            ],
            id="a price of TBC",
        ),
        pytest.param(
            _format("C5", "0%"),
            [
                (
                    "Offer!C5 not-a-number: items 1, prices 1, price: '980 %' is not a number "
                    "here; expected a price."
                )
            ],
            id="a price in per cent",
        ),
        pytest.param(
            _format("C5", '#,##0.00 "€"'),
            [
                (
                    "Offer!C5 price-currency: items 1, prices 1, price: '9.8 €' is in EUR, the "
                    "quote is in GBP."
                )
            ],
            id="a sign in the format",
        ),
        pytest.param(
            _format("C5", "[$USD] #,##0.00"),
            [
                (
                    "Offer!C5 price-currency: items 1, prices 1, price: '9.8 USD' is in USD, the "
                    "quote is in GBP."
                )
            ],
            id="a code in the format",
        ),
        pytest.param(
            _format("C5", '"$"#,##0.00'),
            [
                (
                    "Offer!C5 currency-open: items 1, prices 1, price: '9.8 $' may be in AUD or "
                    "CAD or HKD or NZD or SGD or USD."
                )
            ],
            id="a shared sign in the format",
        ),
        pytest.param(
            _format("C5", r"\$#,##0.00"),
            [
                (
                    "Offer!C5 currency-open: items 1, prices 1, price: '9.8 $' may be in AUD or "
                    "CAD or HKD or NZD or SGD or USD."
                )
            ],
            id="behind a backslash: a shared sign in the format",
        ),
        pytest.param(_format("C5", "[$£-809]#,##0.00"), [], id="its own sign in the format"),
        pytest.param(_format("C5", '0.00" Stk"'), [], id="another word in the format"),
        pytest.param(
            _set(XFD1048576=1),
            [
                (
                    "quotes/arden/offer.xlsx table-too-large: The table has 1,048,576 rows and "
                    "16,384 columns; at most 5,000 rows, 200 columns and 100,000 cells are read."
                )
            ],
            id="a cell at the end of the sheet",
        ),
        pytest.param(
            _set(GR5000=1),
            [
                (
                    "quotes/arden/offer.xlsx table-too-large: The table has 5,000 rows and 200 "
                    "columns; at most 5,000 rows, 200 columns and 100,000 cells are read."
                )
            ],
            id="a cell far from the others",
        ),
    ],
)
def test_what_a_person_would_not_see_is_told(
    told: Told, change: Change, expected: list[str]
) -> None:
    """Common practice of suppliers, no source."""
    assert _told(told, _book(change)) == expected


def _entry_prices(write: Write, book: bytes, form: str = FORM) -> dict[str, list[str]]:
    (entry,) = read_folder(write({QUOTE: form, BOOK: book})).quotes
    return {
        item.part: [f"{tier.from_}: {tier.price}" for tier in item.prices]
        for item in entry.record.items
    }


def test_values_are_read_with_the_place_of_their_cell(write: Write) -> None:
    """No source: sheet and address."""
    (entry,) = read_folder(write({QUOTE: FORM, BOOK: _book()})).quotes
    item = entry.record.items[0]
    assert (entry.record.quote, str(entry.record.date)) == ("AF-2291", "2026-10-12")
    assert (item.minimum, str(item.prices[1].price)) == (50, "8.90 GBP per 1")
    assert str(entry.places.of("date")) == f"{BOOK}:Offer!B2"
    assert str(entry.places.of("items", 0, "prices", 1, "price")) == f"{BOOK}:Offer!C6"
    assert str(entry.places.of("currency")) == f"{QUOTE}:8:13"
    assert entry.files == (QUOTE, BOOK)


def test_a_formula_with_a_stored_value_is_its_value(write: Write) -> None:
    """No source: as the supplier's program last showed it."""
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream, {"in_memory": True}) as book:
        sheet = book.add_worksheet("Offer")
        for number, row in enumerate(ROWS):
            for column, value in enumerate(row):
                is_day = isinstance(value, datetime.date)
                sheet.write(number, column, str(value) if is_day else value)
        sheet.write_formula("C5", "=4.9*2", None, 9.8)
    assert _entry_prices(write, stream.getvalue())["pawl"][0] == "50: 9.80 GBP per 1"


@pytest.mark.parametrize(
    ("word", "prices"),
    [
        ("read", ["50: 9.80 GBP per 1", "1000: 8.90 GBP per 1"]),
        ("leave out", ["50: 9.80 GBP per 1"]),
    ],
)
def test_the_form_may_say_what_becomes_of_hidden_rows(
    write: Write, word: str, prices: list[str]
) -> None:
    """No source."""
    form = FORM.replace("rows:", f"hidden: {word}\nrows:")
    assert _entry_prices(write, _book(_hide_row), form)["pawl"] == prices


def test_a_merged_part_holds_for_all_its_rows(write: Write) -> None:
    """No source."""
    prices = _entry_prices(write, _book(lambda sheet: sheet.merge_cells("A5:A6")))
    assert prices["pawl"] == ["50: 9.80 GBP per 1", "1000: 8.90 GBP per 1"]


def test_the_rows_begin_below_a_head_of_two_rows(write: Write) -> None:
    """No source: headers merged downwards."""

    def change(sheet: Worksheet) -> None:
        sheet.insert_rows(5)
        sheet.merge_cells("A4:A5")
        sheet.merge_cells("C4:C5")

    prices = _entry_prices(write, _book(change))
    assert prices["pawl"] == ["50: 9.80 GBP per 1", "1000: 8.90 GBP per 1"]


def test_a_stored_number_is_read_to_fifteen_digits(write: Write) -> None:
    """IEEE 754: 0.1 + 0.2 is stored as 0.30000000000000004, and shown as 0.3."""
    prices = _entry_prices(write, _book(_set(C5=0.1 + 0.2, C6=0.25)))
    assert prices["pawl"] == ["50: 0.30 GBP per 1", "1000: 0.25 GBP per 1"]


def test_a_stored_percentage_is_read_as_it_is_shown(write: Write) -> None:
    """No source: 0.04 in a cell of the format 0% shows 4 %."""

    def change(sheet: Worksheet) -> None:
        sheet["D2"] = 0.04
        sheet["D2"].number_format = "0.0%"

    form = FORM.replace("minimum: {cell: D1}", "rejects: {share: {cell: D2}}")
    (entry,) = read_folder(write({QUOTE: form, BOOK: _book(change)})).quotes
    rejects = entry.record.items[0].rejects
    assert rejects is not None
    assert str(rejects.share) == "1/25"


def test_the_only_sheet_that_a_person_sees_is_read(told: Told) -> None:
    """No source."""

    def change(sheet: Worksheet) -> None:
        sheet.parent.create_sheet("Notes").sheet_state = "hidden"

    assert _told(told, _book(change)) == []


def _second_sheet(sheet: Worksheet) -> None:
    sheet.parent.create_sheet("More")


@pytest.mark.parametrize(
    ("named", "expected"),
    [
        pytest.param(
            "",
            [
                (
                    "1:1 sheet-open: sheet: none is named, and the workbook does not show a "
                    "single one; it shows: Offer, More."
                )
            ],
            id="none named",
        ),
        pytest.param("sheet: Offer\n", [], id="one named"),
        pytest.param(
            "sheet: Ofer\n",
            ["4:8 sheet-unknown: sheet: there is no sheet 'Ofer' to read; did you mean 'Offer'?"],
            id="a slip",
        ),
    ],
)
def test_one_of_several_sheets_has_to_be_named(told: Told, named: str, expected: list[str]) -> None:
    """No source."""
    form = FORM.replace("rows:", f"{named}rows:")
    assert _told(told, _book(_second_sheet), form) == expected


def test_prices_that_break_a_rule_are_told_at_their_cell(told: Told) -> None:
    """Common practice of buying, no source."""
    assert _told(told, _book(_set(C6=9.9, B7=0))) == [
        (
            "Offer!C6 price-dearer: items 1, prices 2, price: '9.9' from 1000 pieces is dearer "
            "than 9.80 GBP per 1 from 50 pieces."
        ),
        "Offer!B7 not-positive: items 2, prices 1, from: '0' must be 1 or more.",
    ]


def test_a_number_in_a_format_that_the_workbook_lacks_is_read_as_a_number() -> None:
    """ECMA-376, 18.8.30: numFmtId refers to numFmts; careless programs leave the target out."""
    there, lacking = b'<xf numFmtId="164"', b'<xf numFmtId="999"'
    book = _changed(_book(_format("C5", "0.000")), "xl/styles.xml", there, lacking)
    assert lacking in zipfile.ZipFile(io.BytesIO(book)).read("xl/styles.xml")
    assert _problems(book) == _problems(_book())


def _changed(book: bytes, part: str, old: bytes, new: bytes) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(book)) as archive, zipfile.ZipFile(stream, "w") as copied:
        for name in archive.namelist():
            data = archive.read(name)
            copied.writestr(name, data.replace(old, new) if name == part else data)
    return stream.getvalue()


SHEET = "xl/worksheets/sheet1.xml"
HARM = st.tuples(
    st.integers(0, 10**6), st.sampled_from([b"", b"<", b">", b"0", b'"', b"\xff", b"c "])
)


@given(st.lists(HARM, min_size=1, max_size=4), st.booleans())
def test_a_damaged_workbook_is_read_or_told(harm: list[tuple[int, bytes]], in_part: bool) -> None:
    """No source: no other exception, whether the packed file is hit or the sheet inside it."""
    problems = _problems(_damaged_part(harm) if in_part else _damaged(_book(), harm))
    assert all(problem.sentence for problem in problems)


def _damaged(data: bytes, harm: list[tuple[int, bytes]]) -> bytes:
    for where, what in harm:
        at = where % len(data)
        data = data[:at] + what + data[at + 1 :]
    return data


def _damaged_part(harm: list[tuple[int, bytes]]) -> bytes:
    stream = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(_book())) as old,
        zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            data = old.read(name)
            new.writestr(name, _damaged(data, harm) if name == SHEET else data)
    return stream.getvalue()


def _problems(book: bytes) -> tuple[Problem, ...]:
    tree = read_tree(RawFile(path=QUOTE, data=FORM.encode()), "The quote x")
    form, _ = read_form(Reading, tree, "The quote x")
    assert form is not None
    try:
        return read_xlsx(RawFile(path=BOOK, data=book), tree, form, "x").problems
    except Refused as refused:
        return (refused.problem,)
