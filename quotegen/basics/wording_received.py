"""The words about files as received that are read through a reading form."""

from __future__ import annotations

from quotegen.basics.sentences import LEFT_OUT, Wording

RECEIVED: dict[str, Wording] = {
    # files as received, read through a reading form
    "charset-guessed": Wording(
        "notice",
        "The file is not UTF-8 and its character set is not declared.",
        "It is read as {seen}.",
        "Look at the names in it; then write `charset: {seen}`, or the right one.",
    ),
    "charset-wrong": Wording(
        "error",
        "The file is not text in {seen}.",
        LEFT_OUT,
        "Write the right `charset` into the reading form.",
    ),
    "csv-broken": Wording(
        "error",
        "The row cannot be cut into cells: {seen}.",
        LEFT_OUT,
        "Look at the quotation marks of this row, or name the `delimiter`.",
    ),
    "row-width": Wording(
        "error",
        "The row has {seen} cells, the head of the table has {expected}.",
        LEFT_OUT,
        "Look for a delimiter inside a cell, or say with `ends before` where the table ends.",
    ),
    "table-too-large": Wording(
        "error",
        "The table has {seen}; at most {expected} are read.",
        LEFT_OUT,
        "Leave only the price table in the file.",
    ),
    "sheet-unknown": Wording(
        "error",
        "sheet: there is no sheet '{seen}' to read; {hint}",
        LEFT_OUT,
        "Write the name of the sheet under `sheet`.",
    ),
    "sheet-open": Wording(
        "error",
        "sheet: none is named, and the workbook does not show a single one; it shows: {expected}.",
        LEFT_OUT,
        "Write the name of the sheet under `sheet`.",
    ),
    "header-missing": Wording(
        "error",
        "{field}: no header '{seen}' in the table; its headers: {expected}.",
        LEFT_OUT,
        "Write the header's words as they stand in the file.",
    ),
    "header-twice": Wording(
        "error",
        "{field}: the header '{seen}' stands twice in the table.",
        LEFT_OUT,
        "Leave only one such column in the file.",
    ),
    "header-basis": Wording(
        "error",
        "The header '{seen}' says what a price is for, and the reading form does not.",
        LEFT_OUT,
        "Write `price per: {expected}`, or `price per: 1` if a price is for one piece.",
    ),
    "header-basis-differs": Wording(
        "notice",
        "The header '{seen}' looks like a price per {expected}.",
        "Prices are read per {stated}, as the reading form says.",
        "Look at the file; correct `price per` if need be.",
    ),
    "part-column-missing": Wording(
        "error",
        "columns: several items take their prices from one table, and no column names their part.",
        LEFT_OUT,
        "Write the header of the column that names the part under `part`.",
    ),
    "rows-missing": Wording(
        "error",
        "{field}: no row of the table shows '{seen}' as its part; {hint}",
        LEFT_OUT,
        "Write under `rows` what the table shows for this part.",
    ),
    "rows-unread": Wording(
        "notice",
        "The table has rows that belong to no item; parts that they name: {expected} ({seen}).",
        "They are not read.",
        "Add an item for each of them that is ours.",
    ),
    "rows-claimed-twice": Wording(
        "error",
        "{field}: another item takes the rows of '{seen}' already.",
        LEFT_OUT,
        "Write the prices of one of the two items into the form.",
    ),
    "rows-differ": Wording(
        "error",
        "{field}: '{seen}' stands in this row, '{expected}' elsewhere.",
        LEFT_OUT,
        "Ask which of them the prices are for.",
    ),
    "hidden-price": Wording(
        "error",
        "{field}: '{seen}' stands in a hidden row or column.",
        LEFT_OUT,
        "Ask whether it holds; then write `hidden: read` or `hidden: leave out`.",
    ),
    "cell-error": Wording(
        "error",
        "{field}: the cell shows the error {seen}.",
        LEFT_OUT,
        "Ask the supplier for a file without it.",
    ),
    "formula-empty": Wording(
        "error",
        "{field}: the cell holds the formula {seen} and no value.",
        LEFT_OUT,
        "Open the file in a spreadsheet program and save it, or ask for the value.",
    ),
    "cell-merged": Wording(
        "error",
        "{field}: '{seen}' stands in a merged cell, and it is open what it covers.",
        LEFT_OUT,
        "Write these prices into the form instead.",
    ),
    "cell-empty": Wording(
        "error",
        "{field}: the cell is empty.",
        LEFT_OUT,
        "Ask for the value, or say with `ends before` where the table ends.",
    ),
    "cell-outside": Wording(
        "error",
        "{field}: the table has no cell {seen}.",
        LEFT_OUT,
        "Correct the address.",
    ),
    "cell-unit": Wording(
        "error",
        "{field}: the cell shows '{seen}', the reading form says {expected}.",
        LEFT_OUT,
        "Correct `unit`.",
    ),
    "currency-open": Wording(
        "error",
        "{field}: '{seen}' may be in {readings}.",
        LEFT_OUT,
        "Ask for the currency code and write it as the quote's `currency`.",
    ),
    "number-as-text": Wording(
        "notice",
        "{expected} numbers are stored as text, the first is '{seen}'.",
        "They are read as numbers.",
        "Look at them once; a text may hide a slip.",
    ),
}
