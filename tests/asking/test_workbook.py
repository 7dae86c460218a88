"""The answer form: the same bytes twice, locked but for its blanks, and no text is a formula."""

from __future__ import annotations

import dataclasses
import io
import zipfile

from openpyxl import load_workbook

from quotegen.asking.form import FACTS as FACTS_SHEET
from quotegen.asking.form import SHEET, WORDS, Kind, blanks_of, questions_of
from quotegen.asking.printed import texts_of
from quotegen.asking.workbook import as_workbook, currencies
from tests.asking.forms import DAY, FACTS, cell_of, filled, read

HOSTILE = '=HYPERLINK("http://example.invalid","x")'


def test_the_same_facts_give_the_same_bytes() -> None:
    assert as_workbook(FACTS, DAY) == as_workbook(FACTS, DAY)
    with zipfile.ZipFile(io.BytesIO(as_workbook(FACTS, DAY))) as archive:
        core = archive.read("docProps/core.xml")
    assert core.count(b"2026-11-02T00:00:00Z") == 2  # created and modified: no clock
    assert as_workbook(FACTS, DAY) != as_workbook(dataclasses.replace(FACTS, part="q"), DAY)


def test_only_the_blanks_are_open_and_each_is_checked() -> None:
    book = load_workbook(io.BytesIO(as_workbook(FACTS, DAY)))
    sheet = book[SHEET]
    assert sheet.protection.sheet
    blanks = {cell_of(book, blank.name) for blank in blanks_of(FACTS)}
    assert len(blanks) == len(blanks_of(FACTS))
    free = {cell.coordinate for row in sheet for cell in row if not cell.protection.locked}
    assert free == blanks
    checked = {str(each) for rule in sheet.data_validations.dataValidation for each in rule.cells}
    assert checked == blanks


def test_words_and_facts_are_not_shown() -> None:
    book = load_workbook(io.BytesIO(as_workbook(FACTS, DAY)))
    states = {sheet.title: sheet.sheet_state for sheet in book.worksheets}
    assert states == {SHEET: "visible", WORDS: "veryHidden", FACTS_SHEET: "veryHidden"}


def test_every_choice_is_offered_as_the_reader_knows_it() -> None:
    book = load_workbook(io.BytesIO(as_workbook(FACTS, DAY)))
    rules = {str(r.cells): r for r in book[SHEET].data_validations.dataValidation}
    for blank in blanks_of(FACTS):
        rule = rules[cell_of(book, blank.name)]
        assert (rule.type == "list") == (blank.kind in (Kind.CHOICE, Kind.CURRENCY))
        if blank.kind is Kind.CHOICE:
            area = str(rule.formula1).rpartition("!")[2].replace("$", "")
            cells = book[WORDS][area]
            rows = cells if isinstance(cells, tuple) else ((cells,),)
            assert tuple(row[0].value for row in rows) == blank.choices


def test_currencies_are_those_of_iso_4217_with_money_behind_them() -> None:
    """ISO 4217 list one: XAU is gold and XTS a code for tests; JPY has no minor unit."""
    assert {"EUR", "GBP", "JPY", "CHF"} <= set(currencies())
    assert not {"XAU", "XTS"} & set(currencies())


def test_no_text_of_ours_becomes_a_formula_or_a_link() -> None:
    facts = dataclasses.replace(FACTS, operations=(HOSTILE, "@SUM(A1)", "http://example.invalid"))
    data = as_workbook(facts, DAY)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        sheets = [archive.read(name) for name in archive.namelist() if "worksheets/" in name]
    assert not any(b"<f>" in sheet or b"<hyperlink" in sheet for sheet in sheets)
    assert read(filled({}, facts)).facts == facts


def test_questions_are_numbered_and_the_same_for_every_supplier() -> None:
    other = dataclasses.replace(FACTS, supplier="birch", request="p birch 2026-11-02")
    assert questions_of(other) == questions_of(FACTS)
    assert [each.number for each in questions_of(FACTS)] == list(range(1, 19))
    assert {each.text for each in questions_of(FACTS)} <= texts_of(FACTS)
