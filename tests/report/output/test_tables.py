"""Tables hold the figures of the pages, can be read back, and no text in them is a formula."""

from __future__ import annotations

import csv
import datetime
import io
import subprocess
import sys
import zipfile
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.basics.printed import printed
from quotegen.judge.studied import Study
from quotegen.report.output.tables import (
    Column,
    Kind,
    Sheets,
    Table,
    Value,
    as_csv,
    as_xlsx,
    guarded,
    sheets_of,
)

pytestmark = pytest.mark.xdist_group("site")
DEMO = Path(__file__).parents[3] / "quotes_demo"
DAY = datetime.date(2026, 11, 2)
HOSTILE = (
    '=HYPERLINK("http://example.invalid","x")',
    "+1+1",
    "-1+1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    "  =1+1",
    "\N{FULLWIDTH EQUALS SIGN}1+1",
    "\N{FULLWIDTH COMMERCIAL AT}SUM(A1)",
    "http://example.invalid/",
    "mailto:x@example.invalid",
    "external:other.xlsx",
)


@pytest.fixture(scope="module")
def demo(demo_site: Any) -> Study:
    found: Study = demo_site.study
    return found


def _table(*values: Value, kind: Kind = Kind.TEXT, currency: str = "EUR") -> Table:
    rows = tuple((value, "end") for value in values)
    columns = (Column(head="value", kind=kind), Column(head="mark"))
    return Table(name="one", currency=currency, columns=columns, rows=rows)


def _sheets(*tables: Table) -> Sheets:
    return Sheets(part="pawl", dated=DAY, tables=tables)


def _csv_rows(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def _book(sheets: Sheets) -> Any:
    return openpyxl.load_workbook(io.BytesIO(as_xlsx(sheets)))


def _cells(sheets: Sheets) -> list[Any]:
    (sheet,) = _book(sheets).worksheets
    return [row[0] for row in sheet.iter_rows(min_row=2)]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_text_in_a_spreadsheet(text: str) -> None:
    (cell,) = _cells(_sheets(_table(text)))
    assert (cell.data_type, cell.hyperlink) == ("s", None)
    assert cell.value == text.replace("\r", "_x000D_") or cell.value == text


def test_no_formula_and_no_link_is_written_into_the_file() -> None:
    data = as_xlsx(_sheets(_table(*HOSTILE)))
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        sheet = archive.read("xl/worksheets/sheet1.xml")
        assert not [name for name in archive.namelist() if "xl/worksheets/_rels" in name]
    assert b"<f>" not in sheet
    assert b"<hyperlink" not in sheet


@pytest.mark.parametrize("text", HOSTILE[:10])
def test_csv_puts_an_apostrophe_before_what_may_be_a_formula(text: str) -> None:
    assert _csv_rows(as_csv(_table(text)))[1:] == [["'" + text, "end"]]


@pytest.mark.parametrize("text", ["-9.1506", "+4", "-1,250.00", "-3 %", "a=b", "R1", "", "9 - 4"])
def test_csv_leaves_plain_numbers_and_words_alone(text: str) -> None:
    assert guarded(text) == text


@given(st.text(st.characters(codec="utf-8", exclude_characters="\r"), max_size=40))
def test_any_text_comes_back_from_csv_as_it_was_but_for_the_apostrophe(text: str) -> None:
    """Common practice, no source: a cell that begins with = + - or @ is read as a formula."""
    ((read, mark),) = _csv_rows(as_csv(_table(text)))[1:]
    assert mark == "end"
    assert read.removeprefix("'") == text.removeprefix("'")
    assert not read.lstrip(" ").startswith(("=", "@", "\t"))


def test_csv_begins_with_a_byte_order_mark_and_its_lines_end_in_cr_lf() -> None:
    """RFC 4180 for the line ends; the mark is what spreadsheets look for."""
    assert as_csv(_table("Łódź")) == b"\xef\xbb\xbf" + "value,mark\r\nŁódź,end\r\n".encode()


@pytest.mark.parametrize(
    ("kind", "currency", "value", "text", "look"),
    [
        (Kind.MONEY, "EUR", Decimal("7054.80"), "7054.80", "#,##0.00"),
        (Kind.MONEY, "JPY", Decimal(1200), "1200", "#,##0"),
        (Kind.MONEY, "EUR", Decimal("0.00"), "0.00", "#,##0.00"),
        (Kind.UNIT_PRICE, "EUR", Decimal("-9.1506"), "-9.1506", "#,##0.00##"),
        (Kind.COUNT, "EUR", Decimal("30.1"), "30.1", "General"),
        (Kind.WHOLE, "EUR", 330, "330", "#,##0"),
        (Kind.DAY, "EUR", DAY, "2026-11-02", "yyyy-mm-dd"),
    ],
)
def test_a_figure_keeps_its_printed_digits_in_both_files(
    kind: Kind, currency: str, value: Value, text: str, look: str
) -> None:
    table = _table(value, kind=kind, currency=currency)
    assert _csv_rows(as_csv(table))[1][0] == text
    (cell,) = _cells(_sheets(table))
    assert cell.number_format == look
    assert cell.data_type in {"n", "d"}
    read = cell.value.date() if isinstance(value, datetime.date) else Decimal(str(cell.value))
    assert read == value


def test_nothing_known_is_an_empty_cell_and_not_a_zero() -> None:
    table = _table(None, kind=Kind.MONEY)
    assert _csv_rows(as_csv(table))[1] == ["", "end"]
    assert [cell.value for cell in _cells(_sheets(table))] == [None]


def test_a_text_longer_than_a_cell_takes_is_cut_in_the_spreadsheet_only() -> None:
    table = _table("a" * 40_000)
    assert [len(cell.value) for cell in _cells(_sheets(table))] == [32_767]
    assert len(_csv_rows(as_csv(table))[1][0]) == 40_000


def test_every_table_of_the_demo_is_read_back_equal(demo: Study) -> None:
    for studied in demo.parts.values():
        sheets = sheets_of(studied)
        book = _book(sheets)
        assert book.sheetnames == ["offers", "lines", "cheapest", "plan", "money by month"]
        for table in sheets.tables:
            rows = list(book[table.name].iter_rows(min_row=2, values_only=True))
            assert [_plain(row) for row in rows] == [_plain(row) for row in table.rows]


def _plain(row: tuple[Any, ...]) -> list[str | None]:
    """Values as text without trailing zeros, so that 9.10 and 9.1 are the same figure."""
    return [_plain_value(value) for value in row]


def _plain_value(value: Any) -> str | None:
    if isinstance(value, Decimal | float | int):
        return format(Decimal(str(value)).normalize(), "f")
    if isinstance(value, datetime.date):
        return value.isoformat()[:10]
    return value or None


def test_the_lines_of_a_route_add_up_to_its_total_as_printed(demo: Study) -> None:
    """R18: columns add up as printed."""
    for studied in demo.parts.values():
        offers, lines, *_ = sheets_of(studied).tables
        totals = {row[3]: row[16] for row in offers.rows}
        for quote, total in totals.items():
            printed = [row[7] for row in lines.rows if row[0] == quote]
            if total is not None:
                assert sum(printed, Decimal(0)) == total  # type: ignore[arg-type]


def test_the_money_of_a_plan_adds_up_in_every_row_and_to_all_that_is_paid(demo: Study) -> None:
    """R18: four groups make the month, the months make the money so far."""
    planned = [each for each in demo.parts.values() if each.planning and each.planning.plan]
    assert len(planned) > 5
    for studied in planned:
        *_, orders, months = sheets_of(studied).tables
        so_far = Decimal(0)
        for _, *groups, in_all, told, currency in months.rows:
            assert sum(groups, Decimal(0)) == in_all  # type: ignore[arg-type]
            so_far += in_all  # type: ignore[operator]
            assert (told, currency) == (so_far, "EUR")
        plan = studied.planning.plan  # type: ignore[union-attr]
        assert so_far == Decimal(printed(plan.paid, "EUR").replace(",", ""))  # type: ignore[union-attr]
        assert [row[5] for row in orders.rows] == [each.pieces for each in plan.orders]  # type: ignore[union-attr]


def test_without_a_plan_its_tables_are_empty(demo: Study) -> None:
    studied = next(each for each in demo.parts.values() if each.planning is None)
    *_, orders, months = sheets_of(studied).tables
    assert (orders.rows, months.rows) == ((), ())


def test_every_line_has_a_rule_and_a_place(demo: Study) -> None:
    rows = [row for part in demo.parts.values() for row in sheets_of(part).tables[1].rows]
    assert len(rows) > 100
    for row in rows:
        assert str(row[9]).startswith("R")
        assert (DEMO / str(row[10]).split(":")[0]).is_file()


def test_the_recommended_bridge_has_its_own_lines(demo: Study) -> None:
    route = demo.parts["fl-014"].advice.route
    assert route is not None
    assert len(route.offers) == 2
    lines = sheets_of(demo.parts["fl-014"]).tables[1]
    assert {row[1] for row in lines.rows if row[0] == route.name} == {
        offer.name for offer in route.offers
    }


def test_the_cheapest_spans_leave_no_quantity_out(demo: Study) -> None:
    for studied in demo.parts.values():
        spans = sheets_of(studied).tables[2].rows
        follow = [int(str(row[1])) + 1 for row in spans if row[1] is not None]
        assert [row[0] for row in spans][1:] == follow[: len(spans) - 1]


def test_the_total_of_the_needed_quantity_is_that_of_the_comparison(demo: Study) -> None:
    for studied in demo.parts.values():
        for row in sheets_of(studied).tables[0].rows:
            cost = studied.comparison.costs.get(str(row[3]))
            assert (row[16] is None) == (cost is None)
            if cost is not None:
                assert abs(Fraction(str(row[16])) - cost.total) <= Fraction(1, 200)


def test_the_same_comparison_gives_the_same_bytes_in_another_process() -> None:
    script = (
        "import hashlib, datetime, pathlib\n"
        "from quotegen.study import study\n"
        "from quotegen.report.output.tables import as_csv, as_xlsx, sheets_of\n"
        f"demo = pathlib.Path({str(DEMO)!r})\n"
        "part = study(demo, datetime.date(2026, 11, 2), only=('fl-014',)).parts['fl-014']\n"
        "sheets = sheets_of(part)\n"
        "data = as_xlsx(sheets) + b''.join(map(as_csv, sheets.tables))\n"
        "print(hashlib.sha256(data).hexdigest(), sheets.key)\n"
    )
    told = {
        subprocess.run(
            [sys.executable, "-c", script],
            env={"PYTHONHASHSEED": seed, "TZ": zone, "PATH": ""},
            check=True,
            capture_output=True,
            timeout=120,
        ).stdout
        for seed, zone in (("1", "Pacific/Kiritimati"), ("2", "America/Anchorage"))
    }
    assert len(told) == 1


def test_the_key_changes_with_a_cell_and_with_the_day() -> None:
    one = _sheets(_table("a"))
    other = Sheets(part="pawl", dated=DAY + datetime.timedelta(days=1), tables=one.tables)
    assert one.key == _sheets(_table("a")).key
    assert len({one.key, _sheets(_table("b")).key, other.key}) == 3


def test_pandas_is_not_loaded_before_a_table_is_written() -> None:
    script = (
        "import sys, quotegen.report.output.tables as t\n"
        "assert not {'pandas', 'xlsxwriter', 'openpyxl'} & sys.modules.keys()"
    )
    subprocess.run([sys.executable, "-c", script], check=True, timeout=60)
