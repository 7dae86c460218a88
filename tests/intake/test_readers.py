"""Reading forms: which file they read, and what they may say."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from quotegen.intake.folder import read_folder
from quotegen.intake.readers import READERS

QUOTE = "quotes/arden/af-2291.yaml"
TABLE = "quotes/arden/offer.csv"
Changes = Mapping[str, str | bytes | None]
Told = Callable[[Changes], list[str]]
Write = Callable[[Changes], Path]


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        pytest.param(
            "reads: offer.csv",
            "reads: offfer.csv",
            ["2:8 file-missing: reads: there is no file 'quotes/arden/offfer.csv'."],
            id="a file that is not there",
        ),
        pytest.param(
            "reads: offer.csv",
            "reads: ../birch/offer.csv",
            ["2:8 file-outside: reads: '../birch/offer.csv' leads out of the workshop folder."],
            id="a file elsewhere",
        ),
        pytest.param(
            "reads: offer.csv",
            "reads: ..",
            ["2:8 file-outside: reads: '..' leads out of the workshop folder."],
            id="the folder above",
        ),
        pytest.param(
            "reads: offer.csv",
            'reads: "a\\\\..\\\\b.csv"',
            ["2:8 file-outside: reads: 'a\\..\\b.csv' leads out of the workshop folder."],
            id="a way of Windows",
        ),
        pytest.param(
            "reads: offer.csv",
            'reads: "a\\0b.csv"',
            ["2:8 file-outside: reads: 'a�b.csv' leads out of the workshop folder."],
            id="a name that ends early",
        ),
        pytest.param(
            "reads: offer.csv",
            "reads: offer.pdf",
            [
                (
                    "2:8 file-kind-unknown: reads: 'offer.pdf' is of a kind that is not read; "
                    "known here: .csv, .tsv, .xlsx."
                )
            ],
            id="another kind",
        ),
        pytest.param(
            "reads: offer.csv\n", "", ["1:1 missing-field: reads: missing."], id="no file named"
        ),
        pytest.param(
            "decimal: comma",
            "decimals: comma",
            ["3:1 unknown-key: decimals: unknown key; did you mean 'decimal'?"],
            id="a key that is nearly right",
        ),
        pytest.param(
            "decimal: comma",
            "decimal: ','",
            ["3:10 unknown-word: decimal: ',' is not a word used here; known here: comma, point."],
            id="a sign in place of its word",
        ),
        pytest.param(
            "decimal: comma",
            "charset: utf8\ndecimal: comma",
            ["3:10 unknown-word: charset: 'utf8' is not a word used here; did you mean 'utf-8'?"],
            id="a character set that is nearly right",
        ),
        pytest.param(
            "currency: GBP",
            "currency: GBP\n  currency: EUR",
            ["11:3 duplicate-key: quote, currency: the key 'currency' stands twice."],
            id="a key twice in the quote",
        ),
        pytest.param(
            "currency: GBP",
            "currency: Pounds",
            ["10:13 unknown-currency: currency: 'Pounds' is not a currency code of ISO 4217."],
            id="a bad value in the quote",
        ),
    ],
)
def test_what_a_reading_form_cannot_mean_is_told(
    told: Told, reading: str, price_table: str, old: str, new: str, expected: list[str]
) -> None:
    """No source: our own forms."""
    lines = told({QUOTE: reading.replace(old, new), TABLE: price_table})
    assert [line for line in lines if "file-not-read" not in line] == expected


@pytest.mark.parametrize(
    ("quote", "expected"),
    [
        pytest.param("", "1:1 missing-field: quote: missing.", id="none"),
        pytest.param(
            "quote: AF-2291\n",
            "7:8 not-a-form: quote: expected a group of keys, found 'AF-2291'.",
            id="its number alone",
        ),
    ],
)
def test_a_reading_form_without_a_quote_is_told(
    told: Told, reading: str, price_table: str, quote: str, expected: str
) -> None:
    """No source: our own forms."""
    form = reading.partition("quote:")[0] + quote
    assert told({QUOTE: form, TABLE: price_table}) == [expected]


def test_a_link_to_a_file_outside_is_not_read(
    write: Write, reading: str, price_table: str, tmp_path: Path
) -> None:
    """No source."""
    outside = tmp_path.parent / f"{tmp_path.name}-outside.csv"
    outside.write_text(price_table)
    root = write({QUOTE: reading})
    (root / TABLE).symlink_to(outside)
    codes = [problem.code for problem in read_folder(root).problems]
    assert codes == ["file-outside"]


def test_a_file_as_received_may_have_any_name(told: Told, reading: str, price_table: str) -> None:
    """No source: suppliers name their files as they like."""
    name = "Angebot Nr. 7 (Ü).CSV"
    form = reading.replace("reads: offer.csv", f"reads: {name}")
    assert told({QUOTE: form, f"quotes/arden/{name}": price_table}) == []


def test_one_file_may_be_read_by_two_forms(write: Write, reading: str, price_table: str) -> None:
    """No source: two quotes in one price table."""
    other = reading.replace("{cell: B1}", "AF-2292")
    changes = {QUOTE: reading, "quotes/arden/af-2292.yaml": other, TABLE: price_table}
    folder = read_folder(write(changes))
    assert folder.problems == ()
    assert [quote.record.quote for quote in folder.quotes] == ["AF-2291", "AF-2292"]


BROKEN = b"PK\x03\x04 no table"


def test_a_number_that_stands_in_a_form_counts_although_its_file_is_broken(
    write: Write, reading: str, sound: Mapping[str, str]
) -> None:
    """No source: the same number a second time is told beside the file that cannot be read."""
    form = reading.replace("{cell: B1}", "AF-2291")
    later = {"quotes/arden/af-2300.yaml": sound[QUOTE]}
    folder = read_folder(write({QUOTE: form, TABLE: BROKEN, **later}))
    codes = [each.code for each in folder.problems]
    assert sorted(codes) == ["file-kind", "quote-twice", "quote-twice"]


def test_a_folder_without_workbooks_is_read_without_their_library(write: Write) -> None:
    """No source: a heavy library is loaded only by whoever needs it."""
    root = write({})
    code = (
        "import sys, pathlib; from quotegen.intake.folder import read_folder; "
        f"read_folder(pathlib.Path({str(root)!r})); "
        "print([name for name in ('openpyxl', 'numpy', 'pandas') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_every_kind_has_its_limit() -> None:
    """No source: five megabytes of CSV, ten of XLSX."""
    limits = {ending: kind.most for ending, kind in READERS.items()}
    assert limits == {".csv": 5_000_000, ".tsv": 5_000_000, ".xlsx": 10_000_000}
