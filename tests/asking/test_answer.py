"""An answered form is read without loss, and whatever is doubtful in it becomes a problem."""

from __future__ import annotations

import datetime
import io
import os
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.comments import Comment

from quotegen.asking.answer import is_answer_form, read_answer
from quotegen.asking.form import FACTS as FACTS_SHEET
from quotegen.asking.form import PREFIX, SHEET, blanks_of
from quotegen.intake.files import RawFile, Refused
from quotegen.study import study
from tests.asking.forms import DAY, FACTS, FILLED, READ, cell_of, filled, read, told
from tests.folders import TODAY, a_part, a_supplier, a_workshop, forms, written


def test_every_answer_comes_back_as_it_was_written() -> None:
    """No source: READ was worked out by hand from FILLED."""
    answer = read(filled())
    assert answer.problems == ()
    assert answer.values == READ
    assert answer.facts == FACTS


def test_the_form_of_this_test_leaves_no_kind_of_blank_out() -> None:
    """Rows beyond the first of a table, and the word for no tool, are all that is not filled in."""
    names = {blank.name.rstrip("0123456789") for blank in blanks_of(FACTS)}
    filled_in = {name.rstrip("0123456789") for name in FILLED}
    assert names - filled_in == {"no_tools", "surcharge_rate_"}


def test_every_value_knows_its_cell() -> None:
    data = filled()
    book, answer = load_workbook(io.BytesIO(data)), read(data)
    for keys, name in [
        (("quote",), "quote"),
        (("items", 0, "prices", 1, "price"), "own_price_1"),
        (("items", 0, "prices", 1, "from"), "own_from_1"),
        (("items", 0, "tools", 0, "life"), "tool_life_1"),
        (("items", 0, "charges", 2, "amount"), "certificate_price_1"),
        (("items", 0, "includes", 0), "operation_1"),
        (("payment", 1, "share"), "payment_share_2"),
    ]:
        assert str(answer.places.of(*keys)) == f"answer.xlsx:{SHEET}!{cell_of(book, name)}"
    assert answer.written["items", 0, "prices", 0, "price"] == "1840.5"


def test_an_answer_leaves_no_question_open(tmp_path: Path) -> None:
    """The values as a form in a workshop folder: no problem, and nothing to ask the supplier."""
    part = a_part(
        operations=["heat treatment", "deburring"],
        certificates=["EN 10204 3.1"],
        features=[{"name": "bore", "size": "10 mm", "tolerance": "H8"}],
    )
    completion = {"operation": "deburring", "minutes": "1", "labour": "bench", "source": "test"}
    workshop = a_workshop(
        completion=[completion, {**completion, "operation": "heat treatment"}],
        labour=[{"work": "bench", "rate": "60 EUR", "source": "test"}],
    )
    content = forms(
        workshop=workshop,
        part=part,
        suppliers={"alder": a_supplier(processes=["investment casting"])},
    )
    folder = written(content, tmp_path)
    (folder / "quotes/alder").mkdir(parents=True)
    text = yaml.safe_dump(dict(read(filled()).values), sort_keys=False)
    (folder / "quotes/alder/a-77.yaml").write_text(text, encoding="utf-8")
    found = study(folder, TODAY + datetime.timedelta(days=7), only=("p",))
    assert [each.sentence for each in found.problems if each.severity == "error"] == []
    questions = [each.text for each in found.parts["p"].advice.questions if each.to == "Alder"]
    assert questions == []


def test_what_is_left_empty_is_not_filled_in() -> None:
    least = {"quote": "A-78", "date": datetime.date(2026, 11, 5), "currency": "GBP", "basis": "1"}
    answer = read(filled({**least, "price_1": 9.8}))
    assert answer.problems == ()
    assert answer.values == {
        "format": "1",
        "quote": "A-78",
        "date": "2026-11-05",
        "currency": "GBP",
        "items": [{"part": "p", "prices": [{"from": "32", "price": "9.8 GBP per 1"}]}],
    }


def test_an_empty_form_says_what_a_quote_cannot_do_without() -> None:
    codes = [code for code, _ in told(read(filled({})))]
    assert codes == ["answer-empty", "answer-empty", "answer-empty", "answer-no-price"]


WITHOUT = ("quote", "date", "currency")


@pytest.mark.parametrize("name", WITHOUT)
def test_a_blank_that_is_needed_is_asked_for(name: str) -> None:
    left = {key: value for key, value in FILLED.items() if key != name}
    data = filled(left)
    place = f"answer.xlsx:{SHEET}!{cell_of(load_workbook(io.BytesIO(data)), name)}"
    answer = read(data)
    assert ("answer-empty", place) in told(answer)
    assert name not in answer.values


# What stands in a blank, and the problem that it makes; none of it may become a value.
DOUBTFUL: list[tuple[str, Any, str, str]] = [
    ("price_1", "18,40", "", "18.40 EUR per 100"),
    ("price_1", "1.845", "two-readings", ""),
    ("price_1", "1,845", "two-readings", ""),
    ("price_1", "on request", "price-open", ""),
    ("price_1", "18.40 USD", "wrong-value", ""),
    ("price_1", "$ 18.40", "currency-open", ""),
    ("price_1", "16-18", "not-a-number", ""),
    ("price_1", -3, "not-positive", ""),
    ("price_1", True, "not-a-number", ""),
    ("price_1", "=1+1", "formula-empty", ""),
    ("price_1", "#DIV/0!", "cell-error", ""),
    ("price_1", datetime.date(2026, 5, 18), "not-a-number", ""),
    ("date", "05/11/2026", "not-a-date", ""),
    ("date", "5. November", "not-a-date", ""),
    ("minimum", 2.5, "wrong-value", ""),
    ("tolerance", 110, "wrong-value", ""),
    ("rejects", "some", "not-a-number", ""),
    ("rule", "DDU", "wrong-value", ""),
    ("process", "casting", "wrong-value", ""),
    ("lead_time", "3-4", "not-a-number", ""),
]


@pytest.mark.parametrize(("name", "value", "code", "_"), DOUBTFUL)
def test_a_doubtful_cell_is_told_and_never_a_fact(name: str, value: Any, code: str, _: str) -> None:
    answer = read(filled({**FILLED, name: value}))
    found = [each.code for each in answer.problems]
    if not code:
        assert found == []
        return
    assert code in found
    keys = {"price_1": "32", "date": "date", "minimum": "minimum"}.get(name)
    if name == "price_1":
        assert keys not in [each["from"] for each in answer.values["items"][0]["prices"]]
    elif keys is not None:
        assert keys not in {**answer.values, **answer.values["items"][0]}


@pytest.mark.parametrize(
    ("change", "code", "blank"),
    [
        ({"tool_span_1": None}, "answer-row", "tool_span_1"),
        ({"lead_span": None}, "answer-row", "lead_span"),
        ({"own_from_1": None}, "answer-row", "own_from_1"),
        ({"own_price_1": None}, "answer-row", "own_price_1"),
        ({"charge_per_1": None}, "answer-row", "charge_per_1"),
        ({"tool_what_1": None}, "answer-row", "tool_what_1"),
        ({"surcharge_what_1": None}, "answer-row", "surcharge_what_1"),
        ({"surcharge_per_kg_1": None}, "answer-one-of", "surcharge_rate_1"),
        ({"surcharge_rate_1": 3}, "answer-one-of", "surcharge_rate_1"),
        ({"no_tools": "none"}, "answer-both", "no_tools"),
        ({"basis": None}, "answer-empty", "basis"),
        ({"held_1": "no"}, "answer-not-held", "held_1"),
    ],
)
def test_a_line_that_is_half_filled_in_is_asked_about(
    change: Mapping[str, Any], code: str, blank: str
) -> None:
    data = filled({**FILLED, **change})
    place = f"answer.xlsx:{SHEET}!{cell_of(load_workbook(io.BytesIO(data)), blank)}"
    assert told(read(data)) == [(code, place)]


def test_without_a_basis_no_amount_is_a_price() -> None:
    prices = read(filled({**FILLED, "basis": None})).values["items"][0]["prices"]
    assert {each["price"] for each in prices} == {"not quoted"}


def _beside(book: Workbook) -> None:
    book[SHEET]["M3"] = "plus 12 % energy"


def _comment(book: Workbook) -> None:
    book[SHEET]["C7"].comment = Comment("plus 12 % energy", "x")


def _second_sheet(book: Workbook) -> None:
    book.create_sheet("Terms")["B2"] = "plus 12 % energy"


def _overwritten(book: Workbook) -> None:
    spot = next(cell for row in book[SHEET] for cell in row if cell.value == "32 pieces")
    spot.value = "plus 12 % energy"


@pytest.mark.parametrize("change", [_beside, _comment, _second_sheet, _overwritten])
def test_what_stands_beside_the_blanks_is_kept_and_asked_about(change: Any) -> None:
    answer = read(filled(change=change))
    assert [each.code for each in answer.problems] == ["answer-beside"]
    assert "plus 12 % energy" in answer.problems[0].message
    assert "plus 12 % energy" in answer.values["note"]
    assert "Closed over Christmas." in answer.values["note"]


def _hidden(book: Workbook) -> None:
    row = int(cell_of(book, "set_up")[1:])
    book[SHEET].row_dimensions[row].hidden = True


def test_a_blank_in_a_hidden_row_is_not_believed() -> None:
    answer = read(filled(change=_hidden))
    assert [each.code for each in answer.problems] == ["answer-hidden"]
    assert "set-up" not in [each["what"] for each in answer.values["items"][0]["charges"]]


def _lost(book: Workbook) -> None:
    del book.defined_names[f"{PREFIX}set_up"]


def _led_astray(book: Workbook) -> None:
    book.defined_names[f"{PREFIX}set_up"].attr_text = f"{FACTS_SHEET}!$B$1"


def _on_another(book: Workbook) -> None:
    other = book.defined_names[f"{PREFIX}packing"].attr_text
    book.defined_names[f"{PREFIX}set_up"].attr_text = other


@pytest.mark.parametrize("change", [_lost, _led_astray, _on_another])
def test_a_blank_whose_cell_is_gone_is_told(change: Any) -> None:
    assert "answer-cell-lost" in [each.code for each in read(filled(change=change)).problems]


def _rows_inserted(book: Workbook) -> None:
    """As a spreadsheet program does it: names move with their cells."""
    book[SHEET].insert_rows(1, 3)
    for name, defined in book.defined_names.items():
        if name.startswith(PREFIX):
            sheet, address = str(defined.attr_text).split("!")
            column, row = address.replace("$", "")[0], int(address.rpartition("$")[2])
            defined.attr_text = f"{sheet}!${column}${row + 3}"


def test_answers_are_found_where_rows_were_inserted() -> None:
    answer = read(filled(change=_rows_inserted))
    assert (answer.problems, answer.values) == ((), READ)


def _fact(row: int, value: str) -> Any:
    def change(book: Workbook) -> None:
        book[FACTS_SHEET].cell(row, 2).value = value

    return change


def _no_facts(book: Workbook) -> None:
    book[FACTS_SHEET].delete_rows(1, 40)


@pytest.mark.parametrize(
    "change", [_fact(3, "q"), _fact(6, "33"), _fact(1, "quotegen answer 2"), _no_facts]
)
def test_a_form_whose_facts_were_changed_is_refused(change: Any) -> None:
    with pytest.raises(Refused) as refused:
        read(filled(change=change))
    assert refused.value.problem.code == "answer-not-ours"
    assert str(refused.value.problem.place) == f"answer.xlsx:{FACTS_SHEET}!A1"


def test_another_workbook_is_no_form_of_ours(tmp_path: Path) -> None:
    Workbook().save(tmp_path / "other.xlsx")
    assert read_answer(tmp_path / "other.xlsx") is None
    (tmp_path / "ours.xlsx").write_bytes(filled())
    answer = read_answer(tmp_path / "ours.xlsx")
    assert answer is not None
    assert answer.values == READ
    assert is_answer_form(RawFile(path="ours.xlsx", data=filled()))


@settings(max_examples=40)  # each fills in a workbook
@given(
    st.dictionaries(
        st.sampled_from([blank.name for blank in blanks_of(FACTS)]),
        st.one_of(
            st.integers(-5, 10**9),
            st.floats(allow_nan=False, allow_infinity=False),
            st.booleans(),
            st.text("0123456789.,%€$- abcEURxX=+@'\n", max_size=12),
            st.sampled_from(["yes", "none", "1.845", "=A1", "12 %", "DAP", "on request"]),
        ),
        max_size=12,
    )
)
def test_whatever_stands_in_the_blanks_is_a_value_or_a_problem(values: dict[str, Any]) -> None:
    """No source: a fuzz run over the reader; nothing crashes, and each filled cell is heard of."""
    data = filled({**FILLED, **values})
    answer = read(data)
    assert all(each.message for each in answer.problems)
    seen = {str(place) for place in answer.places.by_keys.values()}
    seen |= {str(each.place) for each in answer.problems}
    if "price_1" in values and str(values["price_1"]).strip():
        book = load_workbook(io.BytesIO(data))
        assert f"answer.xlsx:{SHEET}!{cell_of(book, 'price_1')}" in seen


# LibreOffice fills in the form, as a supplier who has no other program would

MACRO = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE script:module PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "module.dtd">
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Module1"
 script:language="StarBasic">
Sub Fill
  Dim hidden(0) As New com.sun.star.beans.PropertyValue
  hidden(0).Name = "Hidden"
  hidden(0).Value = True
  book = StarDesktop.loadComponentFromURL("{source}", "_blank", 0, hidden())
{lines}
  Dim kind(0) As New com.sun.star.beans.PropertyValue
  kind(0).Name = "FilterName"
  kind(0).Value = "Calc MS Excel 2007 XML"
  book.storeToURL("{target}", kind())
  book.close(True)
End Sub
</script:module>
"""
LIBRARY = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE library:library PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "library.dtd">
<library:library xmlns:library="http://openoffice.org/2000/library" library:name="Standard"
 library:readonly="false" library:passwordprotected="false">
 <library:element library:name="Module1"/>
</library:library>
"""


def _typed(name: str, value: Any) -> str:
    """A line that puts a value where a person would type it; Basic doubles its quotes."""
    cell = f'book.NamedRanges.getByName("{PREFIX}{name}").getReferredCells().getCellByPosition(0,0)'
    if isinstance(value, datetime.date):
        return f"  {cell}.setFormula({_basic(value.isoformat())})"
    if isinstance(value, str):
        return f"  {cell}.setString({_basic(value)})"
    return f"  {cell}.setValue({value})"


def _basic(text: str) -> str:
    return '"' + text.replace('"', '""') + '"'


def _soffice(home: Path, what: str) -> None:
    profile = f"-env:UserInstallation={(home / 'profile').as_uri()}"
    subprocess.run(
        [shutil.which("soffice") or "", "--headless", profile, what],
        env={"PATH": os.environ["PATH"], "HOME": str(home), "LANG": "C.UTF-8"},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
        timeout=120,
    )


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice (soffice) is not here")
def test_a_form_that_libreoffice_fills_in_comes_back_whole(tmp_path: Path) -> None:
    """LibreOffice Calc of Debian opens the form, types every answer and saves it as XLSX."""
    source, target = tmp_path / "form.xlsx", tmp_path / "answered.xlsx"
    source.write_bytes(filled({}))
    _soffice(tmp_path, "--terminate_after_init")  # makes the profile, which a first run overwrites
    basic = tmp_path / "profile/user/basic/Standard"
    lines = "\n".join(_typed(name, value) for name, value in FILLED.items())
    macro = MACRO.format(
        source=source.as_uri(), target=target.as_uri(), lines=escape(lines, {'"': "&quot;"})
    )
    (basic / "Module1.xba").write_text(macro, encoding="utf-8")
    (basic / "script.xlb").write_text(LIBRARY, encoding="utf-8")
    _soffice(tmp_path, "macro:///Standard.Module1.Fill")
    assert target.is_file()
    answer = read(target.read_bytes())
    assert (answer.problems, answer.values, answer.facts) == ((), READ, FACTS)


def test_the_day_of_the_form_is_no_matter_to_the_reader() -> None:
    assert DAY.isoformat() not in str(read(filled()).values)
