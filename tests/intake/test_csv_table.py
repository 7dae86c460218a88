"""CSV files as they arrive: character sets, delimiters, quotation marks, sizes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotegen.basics.problem import Problem
from quotegen.intake.csv_table import read_csv
from quotegen.intake.files import RawFile, Refused
from quotegen.intake.folder import read_folder
from quotegen.intake.forms import read_form
from quotegen.intake.yaml_tree import read_tree
from quotegen.model.reading import Reading

QUOTE = "quotes/arden/af-2291.yaml"
TABLE = "quotes/arden/offer.csv"
ToldOfTable = Callable[[str, str | bytes], list[str]]
Write = Callable[[Mapping[str, str | bytes | None]], Path]

GUESSED = "csv charset-guessed: The file is not UTF-8 and its character set is not declared."


@pytest.mark.parametrize(
    ("charset", "declared", "expected"),
    [
        pytest.param("utf-8", None, [], id="UTF-8"),
        pytest.param("utf-8-sig", None, [], id="UTF-8 with its mark"),
        pytest.param("utf-16", None, [], id="UTF-16 with its mark"),
        pytest.param("windows-1252", None, [GUESSED], id="an old one, guessed"),
        pytest.param("windows-1252", "windows-1252", [], id="an old one, declared"),
        pytest.param("windows-1250", "windows-1250", [], id="another old one, declared"),
        pytest.param("utf-8", "windows-1252", [], id="UTF-8 whatever is declared"),
        pytest.param("shift_jis", "shift_jis", [], id="one of two bytes"),
    ],
)
def test_the_character_set_is_found_or_told(
    told_of_table: ToldOfTable,
    reading: str,
    price_table: str,
    charset: str,
    declared: str | None,
    expected: list[str],
) -> None:
    """RFC 3629 for UTF-8; the ladder is ours: mark, strict UTF-8, declared, a guess."""
    word = "価格" if charset == "shift_jis" else "Stück"
    form = reading.replace("price: Preis", f"price: {word}")
    if declared:
        form = form.replace("decimal:", f"charset: {declared}\ndecimal:")
    table = price_table.replace("Preis", word).encode(charset)
    assert told_of_table(form, table) == expected


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        pytest.param(
            b"a;b\x81\xff\n",
            "csv charset-wrong: The file is not text in windows-1252.",
            id="bytes of no guess",
        ),
        pytest.param(
            b"a;b\0c\n",
            "csv file-kind: The file is not what its name says: expected a CSV file, found binary "
            "data.",
            id="binary",
        ),
        pytest.param(
            b"PK\x03\x04",
            "csv file-kind: The file is not what its name says: expected a CSV file, found a ZIP "
            "file such as XLSX.",
            id="a workbook",
        ),
        pytest.param(b"", "csv file-empty: The file is empty.", id="nothing"),
        pytest.param(
            b"x" * 5_000_001,
            "csv file-too-large: The file has 5,000,001 bytes; at most 5,000,000 are read.",
            id="too many bytes",
        ),
        pytest.param(
            b"Teil;Menge ab;Preis\n" + b"D-4711;1;1\n" * 5000,
            "csv table-too-large: The table has 5,001 rows and 3 columns; at most 5,000 rows, "
            "200 columns and 100,000 cells are read.",
            id="too many rows",
        ),
        pytest.param(
            b"Teil;Menge ab;Preis" + b";" * 198 + b"\n",
            "csv table-too-large: The table has 1 rows and 201 columns; at most 5,000 rows, "
            "200 columns and 100,000 cells are read.",
            id="too many columns",
        ),
        pytest.param(
            b"Teil;Menge ab;Preis\n" + (b"D-4711;1;1" + b";" * 97 + b"\n") * 1000,
            "csv table-too-large: The table has 1,001 rows and 100 columns; at most 5,000 rows, "
            "200 columns and 100,000 cells are read.",
            id="too many cells",
        ),
        pytest.param(
            b'Teil;Menge ab;Preis\nD-4711;"50;9,80\n',
            "csv:2:1 csv-broken: The row cannot be cut into cells: unexpected end of data.",
            id="a quotation mark left open",
        ),
        pytest.param(
            b'Teil;Menge ab;Preis\nD-4711;"50" x;9,80\n',
            "csv:2:1 csv-broken: The row cannot be cut into cells: ';' expected after '\"'.",
            id="a text after a quotation",
        ),
    ],
)
def test_a_file_that_is_no_table_is_refused(
    told_of_table: ToldOfTable, reading: str, data: bytes, expected: str
) -> None:
    """RFC 4180 for quotation marks; the limits are ours."""
    assert told_of_table(reading, data) == [expected]


def test_a_declared_character_set_that_does_not_fit_is_told(
    told_of_table: ToldOfTable, reading: str
) -> None:
    """No source: a declaration is not overruled by a guess."""
    form = reading.replace("decimal:", "charset: shift_jis\ndecimal:")
    assert told_of_table(form, b"a;b\x81\n") == [
        "csv charset-wrong: The file is not text in shift_jis."
    ]


@pytest.mark.parametrize(
    ("mark", "word"),
    [(",", "comma"), (";", "semicolon"), ("\t", "tab"), ("|", "bar")],
)
def test_the_delimiter_is_told_by_the_head_or_declared(
    told_of_table: ToldOfTable, reading: str, price_table: str, mark: str, word: str
) -> None:
    """No source: the delimiter under which the head is found is the right one."""
    table = price_table.replace(",", ".").replace("1.000", "1000").replace(";", mark)
    form = reading.replace("comma", "point")
    assert told_of_table(form, table) == []
    assert told_of_table(form.replace("decimal:", f"delimiter: {word}\ndecimal:"), table) == []


def test_a_wrong_delimiter_is_told(
    told_of_table: ToldOfTable, reading: str, price_table: str
) -> None:
    """No source: a declaration is not overruled."""
    form = reading.replace("decimal:", "delimiter: tab\ndecimal:")
    form = form.replace("{cell: B1}", "AF-1").replace("{cell: C2, unit: pieces}", "50")
    (line,) = told_of_table(form, price_table)
    assert line.startswith("5:29 header-missing: columns, from: no header 'Menge ab' in the table;")


def test_the_first_line_may_name_the_delimiter(
    told_of_table: ToldOfTable, reading: str, price_table: str
) -> None:
    """No source: `sep=` as spreadsheet programs write it; the line counts as a row."""
    form = reading.replace("cell: B1", "cell: B2").replace("cell: C2", "cell: C3")
    table = price_table.replace(";", "^")
    assert told_of_table(form, "sep=^\n" + table) == []
    assert any("header-missing" in line for line in told_of_table(form, "x\n" + table))


def test_cells_in_quotation_marks_may_hold_delimiters_and_lines(
    write: Write, reading: str, price_table: str
) -> None:
    """RFC 4180, rules 5 to 7; the row begins on the line where its first cell does."""
    table = price_table.replace("Angebot;", '"Angebot;\nNr. ""x""";')
    table = table.replace("D-4711;50;9,80", '"D-4711";"50";"9,80"')
    (entry,) = read_folder(write({QUOTE: reading, TABLE: table})).quotes
    assert entry.record.quote == "AF-2291"
    assert str(entry.places.of("quote")) == f"{TABLE}:1:2"
    assert str(entry.places.of("items", 0, "prices", 0, "price")) == f"{TABLE}:5:3"


def test_line_ends_of_windows_change_nothing(write: Write, reading: str, price_table: str) -> None:
    """No source."""
    table = price_table.replace("\n", "\r\n")
    (entry,) = read_folder(write({QUOTE: reading, TABLE: table})).quotes
    assert str(entry.places.of("items", 0, "prices", 1, "price")) == f"{TABLE}:5:3"


PIECES = [
    "Teil;Menge ab;Preis",
    "D-4711;50;9,80",
    "ratchet;1;21,50",
    ";",
    '"',
    "\n",
    "\r",
    "x",
    "é",
]


@given(st.binary(max_size=80) | st.lists(st.sampled_from(PIECES), max_size=12).map("\n".join))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_bytes_are_a_table_or_told(reading: str, data: bytes | str) -> None:
    """No source: no other exception, and every problem fills its sentence."""
    content = data.encode() if isinstance(data, str) else data
    problems = _problems(reading, RawFile(path=TABLE, data=content))
    assert all(problem.sentence for problem in problems)


def _problems(reading: str, raw: RawFile) -> tuple[Problem, ...]:
    tree = read_tree(RawFile(path=QUOTE, data=reading.encode()), "The quote x")
    form, _ = read_form(Reading, tree, "The quote x")
    assert form is not None
    try:
        return read_csv(raw, tree, form, "x").problems
    except Refused as refused:
        return (refused.problem,)
