"""Prices from the rows of a table: by header words, to the item of their part, or told."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from quotegen.intake.folder import read_folder
from quotegen.model.fields import NOT_QUOTED
from quotegen.model.quote import Item

QUOTE = "quotes/arden/af-2291.yaml"
TABLE = "quotes/arden/offer.csv"
Edit = tuple[str, str]
Write = Callable[[Mapping[str, str | bytes | None]], Path]
ToldOfTable = Callable[[str, str | bytes], list[str]]

CASES = [
    pytest.param(("", ""), ("", ""), [], id="the sound table"),
    pytest.param(
        ("", ""),
        ("Preis", "Price"),
        [
            (
                "4:46 header-missing: columns, price: no header 'Preis' in the table; its "
                "headers: Teil, Menge ab, Price."
            )
        ],
        id="a header that is not there",
    ),
    pytest.param(
        ("", ""),
        ("Teil;Menge ab;Preis", "Teil;Menge ab;Preis;Preis"),
        [("csv:3:4 header-twice: columns, price: the header 'Preis' stands twice in the table.")],
        id="a header that stands twice",
    ),
    pytest.param(
        ("", ""), ("Menge ab", "MENGE   ab"), [], id="a head written with other spaces and capitals"
    ),
    pytest.param(
        ("", ""),
        ("D-4711;50;9,80", "D-4711;50;9,80;x"),
        ["csv:4:1 row-width: The row has 4 cells, the head of the table has 3."],
        id="a row that is too wide",
    ),
    pytest.param(
        ("", ""),
        ("D-4711;50;9,80", "D-4711;50"),
        ["csv:4:1 row-width: The row has 2 cells, the head of the table has 3."],
        id="a row that is too narrow",
    ),
    pytest.param(
        ("price: Preis", "price: Preis/100 Stk"),
        ("Preis", "Preis/100 Stk"),
        [
            (
                "csv:3:3 header-basis: The header 'Preis/100 Stk' says what a price is for, and "
                "the reading form does not."
            )
        ],
        id="a price per hundred in the head only",
    ),
    pytest.param(
        ("price: Preis", "price: Preis per 1.000"),
        ("Preis", "Preis per 1.000"),
        [
            (
                "csv:3:3 header-basis: The header 'Preis per 1.000' says what a price is for, and"
                " the reading form does not."
            )
        ],
        id="a price per thousand in the head only",
    ),
    pytest.param(
        ("price: Preis", "price: EUR/kg"),
        ("Preis", "EUR/kg"),
        [
            (
                "csv:3:3 header-basis: The header 'EUR/kg' says what a price is for, and the "
                "reading form does not."
            )
        ],
        id="a price per kilogram in the head only",
    ),
    pytest.param(
        ("price: Preis", "price: Preis %"),
        ("Preis", "Preis %"),
        [
            (
                "csv:3:3 header-basis: The header 'Preis %' says what a price is for, and the "
                "reading form does not."
            )
        ],
        id="a per cent sign for a hundred pieces",
    ),
    pytest.param(
        ("part: Teil, ", ""),
        ("", ""),
        [
            (
                "4:10 part-column-missing: columns: several items take their prices from one "
                "table, and no column names their part."
            )
        ],
        id="no column for the part",
    ),
    pytest.param(
        ("D-4711", "D-4712"),
        ("", ""),
        [
            (
                "csv:3:3 rows-missing: items 1, prices: no row of the table shows 'D-4712' as its"
                " part; did you mean 'D-4711'?"
            ),
            (
                "csv:4:1 rows-unread: The table has rows that belong to no item; parts that they "
                "name: 1 (D-4711)."
            ),
        ],
        id="a part that the table does not show",
    ),
    pytest.param(
        ("{pawl: D", "{pawll: D"),
        ("", ""),
        [
            "5:8 unknown-key: rows, pawll: unknown key; did you mean 'pawl'?",
            (
                "csv:3:3 rows-missing: items 1, prices: no row of the table shows 'pawl' as its "
                "part; known here: D-4711."
            ),
            (
                "csv:4:1 rows-unread: The table has rows that belong to no item; parts that they "
                "name: 1 (D-4711)."
            ),
        ],
        id="words for a part that is no item",
    ),
    pytest.param(
        ("", ""),
        ("ratchet;1", "screw;5;1,00\nratchet;1"),
        [
            (
                "csv:6:1 rows-unread: The table has rows that belong to no item; parts that they "
                "name: 1 (screw)."
            )
        ],
        id="rows of a part that is not ours",
    ),
    pytest.param(
        ("pawl: D-4711", "pawl: ratchet"),
        ("", ""),
        [
            ("14:7 rows-claimed-twice: items 2: another item takes the rows of 'ratchet' already."),
            (
                "csv:4:1 rows-unread: The table has rows that belong to no item; parts that they "
                "name: 1 (D-4711)."
            ),
        ],
        id="two items that take the same rows",
    ),
    pytest.param(
        ("", ""),
        ("9,80", "TBC"),
        [
            (
                "csv:4:3 price-open: items 1, prices 1, price: 'TBC' is not a price; the supplier"
                " has not said it yet."
            )
        ],
        id="a price of TBC",
    ),
    pytest.param(
        ("", ""),
        ("9,80", "ca. 10"),
        [
            (
                "csv:4:3 not-a-number: items 1, prices 1, price: 'ca. 10' is not a number here; "
                "expected a number with a decimal comma, such as 12,90."
            )
        ],
        id="a price that is a guess",
    ),
    pytest.param(
        ("", ""),
        ("9,80", "-9,80"),
        ["csv:4:3 not-positive: items 1, prices 1, price: '-9,80' must be zero or more."],
        id="a price below zero",
    ),
    pytest.param(
        ("", ""),
        ("9,80", "9,80 %"),
        [
            (
                "csv:4:3 not-a-number: items 1, prices 1, price: '9,80 %' is not a number here; "
                "expected a price."
            )
        ],
        id="a price in per cent",
    ),
    pytest.param(
        ("", ""),
        ("9,80", "9,80 EUR"),
        [
            (
                "csv:4:3 price-currency: items 1, prices 1, price: '9,80 EUR' is in EUR, the "
                "quote is in GBP."
            )
        ],
        id="a price in another currency",
    ),
    pytest.param(
        ("", ""),
        ("9,80", "9,80 €"),
        [
            (
                "csv:4:3 price-currency: items 1, prices 1, price: '9,80 €' is in EUR, the quote "
                "is in GBP."
            )
        ],
        id="a price with the sign of another currency",
    ),
    pytest.param(("", ""), ("9,80", "£ 9,80"), [], id="a price with the sign of its currency"),
    pytest.param(("", ""), ("9,80", "GBP 9,80"), [], id="a price with the code of its currency"),
    pytest.param(
        ("", ""),
        ("9,80", "$9,80"),
        [
            (
                "csv:4:3 currency-open: items 1, prices 1, price: '$9,80' may be in AUD or CAD or"
                " HKD or NZD or SGD or USD."
            )
        ],
        id="a price with a sign that many share",
    ),
    pytest.param(
        ("", ""),
        ("9,80", ""),
        ["csv:4:3 cell-empty: items 1, prices 1, price: the cell is empty."],
        id="a price that is empty",
    ),
    pytest.param(
        ("", ""),
        ("D-4711;50", "D-4711;"),
        ["csv:4:2 cell-empty: items 1, prices 1, from: the cell is empty."],
        id="a quantity that is empty",
    ),
    pytest.param(
        ("", ""),
        ("D-4711;50", "D-4711;0"),
        ["csv:4:2 not-positive: items 1, prices 1, from: '0' must be 1 or more."],
        id="a quantity of zero",
    ),
    pytest.param(
        ("", ""),
        ("D-4711;50", "D-4711;50 EUR"),
        [
            (
                "csv:4:2 not-a-number: items 1, prices 1, from: '50 EUR' is not a number here; "
                "expected a bare number of pieces."
            )
        ],
        id="a quantity in euros",
    ),
    pytest.param(
        ("", ""),
        ("D-4711;50", ";50"),
        ["csv:4:1 cell-empty: columns, part: the cell is empty."],
        id="a part that is empty",
    ),
    pytest.param(
        ("", ""),
        ("8,90", "18,90"),
        [
            (
                "csv:5:3 price-dearer: items 1, prices 2, price: '18,90' from 1000 pieces is "
                "dearer than 9.80 GBP per 1 from 50 pieces."
            )
        ],
        id="a dearer price for more",
    ),
    pytest.param(
        ("decimal: comma\n", ""),
        ("", ""),
        ["csv:5:2 two-readings: items 1, prices 2, from: '1.000' can be read as 1 or 1000."],
        id="no decimal sign declared",
    ),
    pytest.param(
        ("comma", "point"),
        ("", ""),
        [
            (
                "csv:4:3 not-a-number: items 1, prices 1, price: '9,80' is not a number here; "
                "expected a number such as 12.90."
            ),
            (
                "csv:5:3 not-a-number: items 1, prices 2, price: '8,90' is not a number here; "
                "expected a number such as 12.90."
            ),
            (
                "csv:6:3 not-a-number: items 2, prices 1, price: '21,50' is not a number here; "
                "expected a number such as 12.90."
            ),
        ],
        id="the wrong decimal sign declared",
    ),
    pytest.param(
        ("ends before: Summe\n", ""),
        ("", ""),
        [
            (
                "csv:8:1 rows-unread: The table has rows that belong to no item; parts that they "
                "name: 1 (Summe)."
            )
        ],
        id="no end declared",
    ),
    pytest.param(
        ("columns: {part: Teil, from: Menge ab, price: Preis}\n", ""),
        ("", ""),
        [
            "11:7 missing-field: items 1, prices: missing.",
            "13:7 missing-field: items 2, prices: missing.",
        ],
        id="no columns declared",
    ),
    pytest.param(
        ("  currency: GBP\n", ""),
        ("", ""),
        ["8:3 missing-field: currency: missing."],
        id="no currency",
    ),
]


@pytest.mark.parametrize(("in_form", "in_table", "expected"), CASES)
def test_what_a_table_cannot_mean_is_told_where_it_stands(
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


def _items(write: Write, form: str, table: str) -> dict[str, Item]:
    folder = read_folder(write({QUOTE: form, TABLE: table}))
    return {item.part: item for entry in folder.quotes for item in entry.record.items}


def _prices(item: Item) -> list[str]:
    return [f"{tier.from_}: {tier.price}" for tier in item.prices]


def test_each_item_takes_the_rows_of_its_part(write: Write, reading: str, price_table: str) -> None:
    """No source: by the words of `rows`, else by the part itself; 1.000 is a thousand here."""
    items = _items(write, reading, price_table)
    assert _prices(items["pawl"]) == ["50: 9.80 GBP per 1", "1000: 8.90 GBP per 1"]
    assert _prices(items["ratchet"]) == ["1: 21.50 GBP per 1"]


def test_every_price_keeps_the_place_of_its_cell(
    write: Write, reading: str, price_table: str
) -> None:
    """No source: the line and the number of the cell; of the prices as a whole, their header."""
    (entry,) = read_folder(write({QUOTE: reading, TABLE: price_table})).quotes
    places = entry.places.within("items", 0)
    assert str(places.of("prices")) == f"{TABLE}:3:3"
    assert str(places.of("prices", 1)) == f"{TABLE}:5:2"
    assert str(places.of("prices", 1, "from")) == f"{TABLE}:5:2"
    assert str(places.of("prices", 1, "price")) == f"{TABLE}:5:3"


@pytest.mark.parametrize("basis", ["100", "1000", "kg", "g"])
def test_prices_are_for_what_the_form_says(
    write: Write, reading: str, price_table: str, basis: str
) -> None:
    """No source."""
    form = reading.replace("rows:", f"price per: {basis}\nrows:")
    expected = ["50: 9.80 GBP per " + basis, "1000: 8.90 GBP per " + basis]
    assert _prices(_items(write, form, price_table)["pawl"]) == expected


def test_a_head_that_names_the_basis_may_be_answered_or_contradicted(
    told_of_table: ToldOfTable, reading: str, price_table: str
) -> None:
    """No source: the same basis is silent, another one is told and leaves nothing out."""
    form = reading.replace("Preis}", "Preis/100}")
    table = price_table.replace("Preis", "Preis/100")
    assert told_of_table(form.replace("rows:", "price per: 100\nrows:"), table) == []
    assert told_of_table(form.replace("rows:", "price per: 1\nrows:"), table) == [
        "csv:3:3 header-basis-differs: The header 'Preis/100' looks like a price per 100."
    ]


def test_one_item_needs_no_column_for_its_part(write: Write, reading: str) -> None:
    """No source."""
    form = reading.replace("part: Teil, ", "").replace("rows: {pawl: D-4711}\n", "")
    form = form.replace("    - part: ratchet\n", "").replace("{cell: B1}", "AF-1")
    form = form.replace("{cell: C2, unit: pieces}", "50")
    items = _items(write, form, "Menge ab;Preis\n50;9,80\n\n;\n200;8,90\nSumme;x\n7;7\n")
    assert _prices(items["pawl"]) == ["50: 9.80 GBP per 1", "200: 8.90 GBP per 1"]


def test_an_item_may_bring_its_own_prices(write: Write, reading: str, price_table: str) -> None:
    """No source: what the form says itself is not looked up in the table."""
    own = "- part: ratchet\n      prices: [{from: 5, price: 20 GBP per 1}]"
    items = _items(write, reading.replace("- part: ratchet", own), price_table)
    assert _prices(items["ratchet"]) == ["5: 20 GBP per 1"]


REVISIONS = """\
Angebot;AF-2291;;
;;50;
Teil;Menge ab;Preis;Index
D-4711;50;9,80;C
D-4711;100;8,80;C
ratchet;1;3,00;
"""


def test_the_revision_may_stand_in_a_column(write: Write, reading: str) -> None:
    """No source: one cell of it is enough; none is not quoted."""
    form = reading.replace("price: Preis}", "price: Preis, revision: Index}")
    items = _items(write, form, REVISIONS.replace("100;8,80;C", "100;8,80;"))
    assert items["pawl"].revision == "C"
    assert items["ratchet"].revision == NOT_QUOTED


def test_two_revisions_of_one_part_are_told(told_of_table: ToldOfTable, reading: str) -> None:
    """No source."""
    form = reading.replace("price: Preis}", "price: Preis, revision: Index}")
    assert told_of_table(form, REVISIONS.replace("100;8,80;C", "100;8,80;D")) == [
        "csv:5:4 rows-differ: items 1, revision: 'D' stands in this row, 'C' elsewhere."
    ]


def test_a_bad_row_leaves_out_its_item_alone(write: Write, reading: str, price_table: str) -> None:
    """No source."""
    items = _items(write, reading, price_table.replace("9,80", "TBC"))
    assert list(items) == ["ratchet"]


def test_what_else_is_wrong_is_told_with_a_missing_header(
    told_of_table: ToldOfTable, reading: str, price_table: str
) -> None:
    """No source: all problems in one run."""
    form = reading.replace("date: 2026-10-12", "date: soon")
    lines = told_of_table(form, price_table.replace("Preis", "Price"))
    assert [line.split(":")[2] for line in lines] == [" columns, price", " date"]
