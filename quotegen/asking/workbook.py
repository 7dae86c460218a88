"""The answer form as an XLSX workbook: locked but for its blanks, each of which is checked.

The same facts and day give the same bytes. Every text is written as text: nothing in it can be a
formula or a link.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Mapping
from functools import cache
from typing import Any

from quotegen.asking.form import FACTS, FORM_NAME, SHEET, WORDS, Blank, Facts, Kind
from quotegen.asking.printed import FIRST_BLANK, Line, Look, lines_of

LAST_COLUMN = 10
FIRST_DAY, LAST_DAY = datetime.date(2000, 1, 1), datetime.date(2199, 12, 31)
MOST = 100_000_000
LONGEST = 2000
INK, FAINT, PAPER, LINE = "#1a2530", "#5b6670", "#fdf6e3", "#b9c1c7"


def as_workbook(facts: Facts, dated: datetime.date) -> bytes:
    """The form for one supplier; dated is written into it instead of a clock."""
    from xlsxwriter import Workbook

    stream = io.BytesIO()
    with Workbook(stream, {"in_memory": True}) as book:
        moment = datetime.datetime.combine(dated, datetime.time())
        title = f"Answer to the request {facts.request}"
        book.set_properties({"title": title, "created": moment})
        _Writer(book, facts).write()
    return stream.getvalue()


class _Writer:
    """Writes the sheet line by line; lists of words and the facts go to sheets that are hidden."""

    def __init__(self, book: Any, facts: Facts) -> None:
        self.book = book
        self.facts = facts
        self.sheet = book.add_worksheet(SHEET)
        self.words = book.add_worksheet(WORDS)
        self.known: dict[tuple[str, ...], str] = {}

    def write(self) -> None:
        for row, line in enumerate(lines_of(self.facts)):
            self._line(row, line)
        self._facts()
        self.words.very_hidden()
        self._page()

    def _format(self, **look: Any) -> Any:
        plain = {"font_name": "Arial", "font_size": 10, "font_color": INK, "valign": "top"}
        return self.book.add_format({**plain, **look})

    def _page(self) -> None:
        sheet = self.sheet
        sheet.set_column(0, 0, 4)
        sheet.set_column(1, 1, 46)
        sheet.set_column(FIRST_BLANK, LAST_COLUMN, 15)
        sheet.hide_gridlines(2)
        sheet.freeze_panes(2, 0)
        sheet.set_landscape()
        sheet.set_paper(9)
        sheet.fit_to_pages(1, 0)
        sheet.protect("", {"format_columns": True, "format_rows": True})
        sheet.activate()

    def _line(self, row: int, line: Line) -> None:
        looks: Mapping[Look, dict[str, Any]] = {
            Look.TITLE: {"bold": True, "font_size": 14},
            Look.PLAIN: {},
            Look.QUESTION: {"bold": True, "top": 1, "top_color": INK},
            Look.HEAD: {"font_color": FAINT, "text_wrap": True, "bottom": 1, "bottom_color": LINE},
            Look.BLANKS: {"text_wrap": True},
        }
        look = self._format(**looks[line.look])
        if line.look is Look.QUESTION:
            for column in range(LAST_COLUMN + 1):
                self.sheet.write_blank(row, column, None, look)
            self.sheet.write_string(row, 0, line.number, look)
        self.sheet.write_string(row, 1, line.text, look)
        for column, head in enumerate(line.heads, FIRST_BLANK):
            self.sheet.write_string(row, column, head, look)
        for column, blank in enumerate(line.blanks, FIRST_BLANK):
            self._blank(row, column, blank)
        if line.hint:
            hint = self._format(font_color=FAINT)
            self.sheet.write_string(row, FIRST_BLANK + 1, line.hint, hint)
        if line.look is Look.BLANKS and len(line.text) > 46:
            self.sheet.set_row(row, 13 * -(-len(line.text) // 44))

    def _blank(self, row: int, column: int, blank: Blank) -> None:
        shown = {Kind.DAY: "yyyy-mm-dd", Kind.WHOLE: "0", Kind.AMOUNT: "0.00####"}
        look = {"bg_color": PAPER, "border": 1, "border_color": LINE, "locked": False}
        kind = self._format(
            **look, num_format=shown.get(blank.kind, "General"), text_wrap=blank.kind is Kind.LONG
        )
        self.sheet.write_blank(row, column, None, kind)
        self.sheet.data_validation(row, column, row, column, self._rule(blank))
        self.book.define_name(blank.defined, f"={SHEET}!${_letter(column)}${row + 1}")

    def _rule(self, blank: Blank) -> dict[str, Any]:
        told = {
            "error_title": "Please look again",
            "error_message": f"Expected here: {blank.kind.value}.",
            "ignore_blank": True,
        }
        return {**told, **self._allowed(blank)}

    def _allowed(self, blank: Blank) -> dict[str, Any]:
        if blank.kind in (Kind.CHOICE, Kind.CURRENCY):
            words = blank.choices if blank.kind is Kind.CHOICE else currencies()
            return {"validate": "list", "source": self._list(words)}
        between = {"criteria": "between"}
        if blank.kind is Kind.DAY:
            return {"validate": "date", **between, "minimum": FIRST_DAY, "maximum": LAST_DAY}
        if blank.kind is Kind.WHOLE:
            return {"validate": "integer", **between, "minimum": 0, "maximum": MOST}
        if blank.kind in (Kind.AMOUNT, Kind.SHARE):
            most = 100 if blank.kind is Kind.SHARE else MOST
            return {"validate": "decimal", **between, "minimum": 0, "maximum": most}
        return {"validate": "length", "criteria": "<=", "value": LONGEST}

    def _list(self, words: tuple[str, ...]) -> str:
        """The range that holds the words; lists that are the same share one."""
        if words not in self.known:
            column = len(self.known)
            for row, word in enumerate(words):
                self.words.write_string(row, column, word)
            letter = _letter(column)
            self.known[words] = f"='{WORDS}'!${letter}$1:${letter}${len(words)}"
        return self.known[words]

    def _facts(self) -> None:
        sheet = self.book.add_worksheet(FACTS)
        for row, (key, value) in enumerate(self.facts.rows):
            sheet.write_string(row, 0, key)
            sheet.write_string(row, 1, value)
        sheet.protect()
        sheet.very_hidden()
        self.book.define_name(FORM_NAME, f"={FACTS}!$B$1")


def _letter(column: int) -> str:
    from xlsxwriter.utility import xl_col_to_name

    name: str = xl_col_to_name(column)
    return name


@cache
def currencies() -> tuple[str, ...]:
    """Every currency of ISO 4217 list one that is money; codes for metals and tests are not."""
    from iso4217 import Currency

    return tuple(sorted(each.code for each in Currency if each.exponent is not None))
