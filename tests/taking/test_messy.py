"""Messy files: each fact is right or asked about, none is wrong in silence."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path

import pytest
import yaml

from tests.taking.drafts import (
    SUPPLIER,
    Draft,
    a_folder,
    answered,
    codes,
    drafted,
    taken_text,
)
from tests.taking.messy import CASES, Case
from tests.taking.messy_more import AGAIN, MORE

ALL = (*CASES, *MORE, *AGAIN)
BY_NAME = {case.name: case for case in ALL}


def draft_of(case: Case, at: Path) -> Draft:
    folder = a_folder(at, case.currency)
    return drafted(folder, case.build(folder / "quotes" / SUPPLIER))


def said(facts: Iterable[tuple[str, str]], case: Case) -> set[tuple[str, str]]:
    """Facts as they are compared: of a tool, in the later files, not how the draft calls it."""
    return set(facts) if case in CASES else {_bare(*each) for each in facts}


def _bare(field: str, value: str) -> tuple[str, str]:
    read = yaml.load(value, yaml.BaseLoader)  # noqa: S506
    if field.endswith("tools"):
        read = {key: read[key] for key in read if key not in ("tool", "what")}
    return field, json.dumps(read, sort_keys=True)


def test_there_are_enough_of_them() -> None:
    assert len(CASES) >= 24
    assert len(MORE) >= 14
    assert len(BY_NAME) == len(ALL)


@pytest.mark.parametrize("case", ALL, ids=lambda case: case.name)
def test_no_fact_is_drafted_that_the_file_does_not_say(case: Case, tmp_path: Path) -> None:
    facts = {each for each in draft_of(case, tmp_path).facts if each[1] != "[]"}
    assert said(facts, case) - said(case.facts, case) - said(case.also, case) == set()


@pytest.mark.parametrize("case", ALL, ids=lambda case: case.name)
def test_every_fact_is_drafted_or_asked(case: Case, tmp_path: Path) -> None:
    draft = draft_of(case, tmp_path)
    facts = said((each for each in draft.facts if each[1] != "[]"), case)
    missed = {each for each in said(case.facts, case) - facts if each[0] not in draft.asked}
    assert missed == set()


@pytest.mark.parametrize("case", ALL, ids=lambda case: case.name)
def test_every_doubt_is_asked(case: Case, tmp_path: Path) -> None:
    asked = draft_of(case, tmp_path).asked
    assert [each for each in case.asked if not set(each.split("|")) & asked] == []


def test_most_facts_are_right_on_first_reading(tmp_path: Path) -> None:
    """The share is of facts that a careful person reads beyond doubt."""
    right = total = 0
    for case in ALL:
        (tmp_path / case.name).mkdir()
        facts = (each for each in draft_of(case, tmp_path / case.name).facts if each[1] != "[]")
        right += len(said(case.facts, case) & said(facts, case))
        total += len(said(case.facts, case))
    assert right / total > 0.95


@pytest.mark.parametrize("case", ALL, ids=lambda case: case.name)
def test_a_draft_breaks_no_form(case: Case, tmp_path: Path) -> None:
    """Whatever is wrong with a draft is a question of its own, and nothing besides."""
    draft = draft_of(case, tmp_path)
    known = {"question-open", "file-not-read", "price-currency", "item-part-unknown"}
    assert set(codes(tmp_path)) <= known
    assert ("question-open" in codes(tmp_path)) == bool(draft.result.open)


def test_a_likely_typing_error_is_named_with_both_costs(tmp_path: Path) -> None:
    draft = draft_of(BY_NAME["typing-error"], tmp_path)
    assert draft.asks("items 1, prices") == (
        "61,95 stands between 17,40 and 16,20: 16,95? At 100 pieces: 6,195.00 EUR or 1,695.00 EUR."
    )
    assert draft.readings("items 1, prices") == [
        "{from: 100, price: 61.95 EUR per 1}",
        "{from: 100, price: 16.95 EUR per 1}",
    ]


def test_a_price_for_a_hundred_that_looks_like_one_for_a_piece_is_asked(tmp_path: Path) -> None:
    draft = draft_of(BY_NAME["per-100-slip"], tmp_path)
    assert "500 pieces at 105.00 (per 1) cost 52,500.00" in draft.asks("items 1, prices")
    assert "{from: 500, price: 105 EUR per 100}" in draft.readings("items 1, prices")


def test_a_total_that_contradicts_its_line_is_asked_with_both_costs(tmp_path: Path) -> None:
    draft = draft_of(BY_NAME["totals-contradict"], tmp_path)
    assert "The two readings cost 950.00 or 905.00 EUR." in draft.asks("items 1, prices")


def test_two_prices_for_one_quantity_are_asked_once(tmp_path: Path) -> None:
    draft = draft_of(BY_NAME["two-prices"], tmp_path)
    assert draft.readings("items 1, prices") == [
        "{from: 100, price: 9.80 EUR per 1}",
        "{from: 100, price: 9.50 EUR per 1}",
    ]


def test_an_undeclared_thousand_has_two_readings(tmp_path: Path) -> None:
    draft = draft_of(BY_NAME["undeclared-thousand"], tmp_path)
    assert draft.readings("items 1, prices") == [
        "{from: 10, price: 1.8450 EUR per 1}",
        "{from: 10, price: 1845 EUR per 1}",
    ]


def test_a_hidden_row_and_a_cell_without_value_say_why(tmp_path: Path) -> None:
    for name, words in [
        ("hidden-row", "hidden row or column"),
        ("hidden-sheet", "hidden sheet"),
        ("no-value", "holds the formula =B5*0.9 and no value"),
        ("error-cell", "shows the error #DIV/0!"),
    ]:
        (tmp_path / name).mkdir()
        assert words in draft_of(BY_NAME[name], tmp_path / name).asks("items 1, prices")


def test_an_amount_in_older_mail_is_no_price(tmp_path: Path) -> None:
    draft = draft_of(BY_NAME["mail-body"], tmp_path)
    assert not any("8 EUR" in each for each in draft.readings("items 1, prices"))
    assert any(each.startswith("In older mail") for each in draft.form["notes"])


def test_the_name_of_an_attachment_is_no_path(tmp_path: Path) -> None:
    draft_of(BY_NAME["mail-attachment"], tmp_path)
    assert list(tmp_path.rglob("evil*")) == []


def test_an_answered_draft_is_a_quote(tmp_path: Path) -> None:
    draft = draft_of(BY_NAME["typing-error"], tmp_path)
    answered(draft, "{from: 100, price: 16.95 EUR per 1}")
    assert codes(tmp_path) == []


def test_a_number_without_sign_and_currency_shows_what_each_reading_costs(tmp_path: Path) -> None:
    draft = draft_of(BY_NAME["thousand-without-currency"], tmp_path)
    asked = draft.asks("items 1, prices")
    assert "1.845 can be 1.845 or 1,845.00; at 10 pieces that is 18.45 or 18,450.00." in asked
    assert "The currency is not said." in asked
    own = {text.split(" ")[-3] for text in draft.readings("items 1, prices")}
    assert len(own) == 1  # both readings are in the workshop's own currency


@pytest.mark.parametrize(
    ("name", "told", "readings"),
    [
        (
            "raw-and-finished",
            (
                "'Preis/Stk roh EUR' says 12.4 and 'Preis/Stk bearbeitet EUR' says 21.8: which "
                "holds for us? At 50 pieces: 620.00 EUR or 1,090.00 EUR."
            ),
            ["12.40 EUR per 1", "21.80 EUR per 1"],
        ),
        (
            "two-currencies-side-by-side",
            "At 100 pieces: 1,040.00 EUR or 1,190.00 USD.",
            ["10.40 EUR per 1", "11.90 USD per 1"],
        ),
        (
            "old-and-new-price",
            "'Old price each EUR' says 10,40 and 'New price each EUR' says 11,90",
            ["10.40 EUR per 1", "11.90 EUR per 1"],
        ),
    ],
)
def test_two_columns_of_prices_are_asked_with_both(
    name: str, told: str, readings: list[str], tmp_path: Path
) -> None:
    draft = draft_of(BY_NAME[name], tmp_path)
    assert told in draft.asks("items 1, prices")
    first = next(each for each in draft.result.open if each.keys[-1] == "prices")
    assert [each["price"] for each in first.readings][:2] == readings


TWO_PARTS = """\
Quotation W-9 of 2026-10-14
Part     Qty    Price each EUR
FL-021   100    4.20
FL-042   100    6.80

Tool for FL-021 EUR 2,100.00
Tool for FL-042 EUR 2,600.00
"""


@pytest.mark.parametrize(
    ("line", "first", "second"),
    [
        ("The tool of FL-042 has 4 cavities", None, "4"),
        ("The tools have 4 cavities each", "4", "4"),
    ],
)
def test_a_later_word_about_a_tool_goes_to_the_tool_of_the_part_it_names(
    line: str, first: str | None, second: str | None, tmp_path: Path
) -> None:
    items = taken_text(a_folder(tmp_path), "w-9.txt", TWO_PARTS + line).form["items"]
    assert [each["tools"][0].get("cavities") for each in items] == [first, second]


def test_a_word_about_one_of_several_tools_is_asked_of_each(tmp_path: Path) -> None:
    draft = taken_text(a_folder(tmp_path), "w-9.txt", TWO_PARTS + "The tool has 4 cavities")
    assert all("cavities" not in each["tools"][0] for each in draft.form["items"])
    for number in (1, 2):
        (ask,) = [a for a in draft.result.open if a.keys == ("items", number - 1, "tools")]
        assert "Is it tool" in ask.ask
        assert ask.readings[0]["cavities"] == "4"
        assert ask.readings[0]["tool"] == f"tool {number}"
