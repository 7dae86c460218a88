"""What a workbook may hold beside plain cells: read as a person sees it, asked, or refused."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.styles import NamedStyle
from openpyxl.utils.datetime import CALENDAR_MAC_1904
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.formula import ArrayFormula

from quotegen.taking.take import Wish, take
from tests.taking.bombs import a_workbook
from tests.taking.drafts import SUPPLIER, Draft, a_folder, drafted

Edit = Callable[[Any], None]


def book(edit: Edit) -> bytes:
    """A sound offer for one part, edited."""
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    assert sheet is not None
    sheet.title = "Offer"
    for row in (
        ["Quotation Q-77", "Date", "2026-10-01"],
        ["Drawing FL-021"],
        ["Quantity", "Price each EUR"],
        [50, 17.4],
        [100, 16.95],
    ):
        sheet.append(row)
    edit(workbook)
    stream = io.BytesIO()
    workbook.save(stream)
    return stream.getvalue()


def draft_of(data: bytes, at: Path) -> Draft:
    folder = a_folder(at)
    file = folder / "quotes" / SUPPLIER / "q.xlsx"
    file.write_bytes(data)
    return drafted(folder, file)


def _chart(workbook: Any) -> None:
    for holder in (workbook["Offer"], workbook.create_chartsheet("Picture")):
        chart = BarChart()
        chart.add_data(Reference(workbook["Offer"], min_col=2, min_row=4, max_row=5))
        holder.add_chart(chart)


def _rich(workbook: Any) -> None:
    bold = TextBlock(InlineFont(b=True), "Price")
    workbook["Offer"]["B3"] = CellRichText([bold, " each EUR"])


def _list(workbook: Any) -> None:
    rule = DataValidation(type="list", formula1='"17.4,99"')
    rule.add("B4:B5")
    workbook["Offer"].add_data_validation(rule)


def _styles(workbook: Any) -> None:
    for number in range(2000):
        style = NamedStyle(name=f"style {number}", number_format=f'0.00" x{number}"')
        workbook.add_named_style(style)


PLAIN: dict[str, Edit] = {
    "a chart and a sheet that is one": _chart,
    "rich text": _rich,
    "a list of what may be chosen": _list,
    "two thousand styles": _styles,
    "a hostile title": lambda book: setattr(book["Offer"], "title", "O'f <b>&=1"),
    "a format of a currency": lambda book: setattr(
        book["Offer"]["B4"], "number_format", '#,##0.00\\ "\N{EURO SIGN}"'
    ),
}


@pytest.mark.parametrize("name", PLAIN)
def test_what_changes_no_value_changes_no_fact(name: str, tmp_path: Path) -> None:
    prices = draft_of(book(PLAIN[name]), tmp_path).form["items"][0]["prices"]
    assert prices == [
        {"from": "50", "price": "17.40 EUR per 1"},
        {"from": "100", "price": "16.95 EUR per 1"},
    ]


def _set(cell: str, value: Any, number_format: str | None = None) -> Edit:
    def edit(workbook: Any) -> None:
        workbook["Offer"][cell] = value
        if number_format is not None:
            workbook["Offer"][cell].number_format = number_format

    return edit


def _hidden(what: str) -> Edit:
    def edit(workbook: Any) -> None:
        sheet = workbook["Offer"]
        if what == "row":
            sheet.row_dimensions[4].hidden = True
        elif what == "column":
            sheet.column_dimensions["B"].hidden = True
        else:
            workbook.create_sheet("Front")
            sheet.sheet_state = what

    return edit


ASKED: dict[str, tuple[Edit, str]] = {
    "a price in percent": (_set("B4", 0.12, "0 %"), "12 %"),
    "a price in dollars among euros": (_set("B4", 17.4, "[$USD] 0.00"), "17.4 USD"),
    "an array formula": (_set("B4", ArrayFormula("B4", "=SUM(C4:C9*2)")), "=SUM(C4:C9*2)"),
    "a formula that was never reckoned": (_set("B4", "=C4*2"), "=C4*2"),
    "a formula of another file": (_set("B4", "='[1]Old'!$B$4"), "='[1]Old'!$B$4"),
    "an error": (_set("B4", "#DIV/0!"), "#DIV/0!"),
    "a price that is a day": (_set("B4", datetime.date(2026, 4, 17)), "2026-04-17"),
    "a price before the calendar": (_set("B4", -5, "dd.mm.yyyy"), "1899-12-25"),
    "a hidden row": (_hidden("row"), "17.4"),
    "a hidden column": (_hidden("column"), "17.4"),
    "a hidden sheet": (_hidden("hidden"), "17.4"),
    "a very hidden sheet": (_hidden("veryHidden"), "17.4"),
    "a comment": (
        lambda book: setattr(book["Offer"]["B4"], "comment", Comment("plus 3 %", "x")),
        "Comment: plus 3 %",
    ),
}


@pytest.mark.parametrize("name", ASKED)
def test_what_a_person_would_not_take_for_a_price_is_asked(name: str, tmp_path: Path) -> None:
    edit, shown = ASKED[name]
    draft = draft_of(book(edit), tmp_path)
    assert any(shown in ask.seen or shown in ask.ask for ask in draft.result.open), [
        (ask.seen, ask.ask) for ask in draft.result.open
    ]


@pytest.mark.parametrize("is_mac", [False, True])
def test_a_day_is_the_day_that_is_shown_in_both_calendars(is_mac: bool, tmp_path: Path) -> None:
    """ECMA-376 part 1, 18.17.4.1: days count from 1900, or from 1904 where the book says so."""

    def edit(workbook: Any) -> None:
        if is_mac:
            workbook.epoch = CALENDAR_MAC_1904
        workbook["Offer"]["C1"] = datetime.date(2026, 10, 1)

    assert draft_of(book(edit), tmp_path).form["date"] == "2026-10-01"


def test_texts_that_stand_in_their_cells_are_read(tmp_path: Path) -> None:
    """ECMA-376 part 1, 18.3.1.53: an inline string instead of a shared one."""

    def text(shown: str) -> str:
        return f'<c t="inlineStr"><is><t>{shown}</t></is></c>'

    rows = (
        f"<row>{text('Drawing FL-021')}</row>"
        f"<row>{text('Quantity')}{text('Price each EUR')}</row>"
        "<row><c><v>50</v></c><c><v>17.4</v></c></row>"
        "<row><c><v>100</v></c><c><v>16.95</v></c></row>"
    )
    draft = draft_of(a_workbook(f"<sheetData>{rows}</sheetData>"), tmp_path)
    assert [each["price"] for each in draft.form["items"][0]["prices"]] == [
        "17.40 EUR per 1",
        "16.95 EUR per 1",
    ]


def test_macros_and_links_are_neither_run_nor_followed(tmp_path: Path) -> None:
    """A workbook with macros that is called .xlsx is read for its cells alone."""
    stream = io.BytesIO(book(lambda _: None))
    with zipfile.ZipFile(stream, "a") as archive:
        archive.writestr("xl/vbaProject.bin", b"\xd0\xcf\x11\xe0" + b"\0" * 600)
        archive.writestr(
            "xl/externalLinks/externalLink1.xml", b'<externalLink r="http://example.invalid/"/>'
        )
    prices = draft_of(stream.getvalue(), tmp_path).form["items"][0]["prices"]
    assert [each["from"] for each in prices] == ["50", "100"]


@pytest.mark.parametrize("name", ["q.xlsx", "q.csv", "q.txt", "q.xml", "q.eml"])
def test_a_locked_workbook_is_refused_by_what_it_is(name: str, tmp_path: Path) -> None:
    """[MS-OFFCRYPTO]: a workbook with a password is an OLE file, whatever it is called."""
    folder = a_folder(tmp_path)
    file = folder / "quotes" / SUPPLIER / name
    file.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 4096)
    result = take(Wish(file=file, folder=folder))
    assert result.form is None
    assert result.problems
