"""Messy files: each fact is right or asked about, none is wrong in silence."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.taking.drafts import SUPPLIER, Draft, a_folder, answered, codes, drafted
from tests.taking.messy import CASES, Case

BY_NAME = {case.name: case for case in CASES}


def draft_of(case: Case, at: Path) -> Draft:
    folder = a_folder(at, case.currency)
    return drafted(folder, case.build(folder / "quotes" / SUPPLIER))


def test_there_are_enough_of_them() -> None:
    assert len(CASES) >= 24


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_no_fact_is_drafted_that_the_file_does_not_say(case: Case, tmp_path: Path) -> None:
    wrong = draft_of(case, tmp_path).facts - set(case.facts) - set(case.also)
    assert {each for each in wrong if each[1] != "[]"} == set()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_every_fact_is_drafted_or_asked(case: Case, tmp_path: Path) -> None:
    draft = draft_of(case, tmp_path)
    missed = {each for each in case.facts if each not in draft.facts and each[0] not in draft.asked}
    assert missed == set()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_every_doubt_is_asked(case: Case, tmp_path: Path) -> None:
    asked = draft_of(case, tmp_path).asked
    assert [each for each in case.asked if not set(each.split("|")) & asked] == []


def test_most_facts_are_right_on_first_reading(tmp_path: Path) -> None:
    """The share is of facts that a careful person reads beyond doubt."""
    right = total = 0
    for case in CASES:
        (tmp_path / case.name).mkdir()
        facts = draft_of(case, tmp_path / case.name).facts
        right += len(set(case.facts) & facts)
        total += len(set(case.facts))
    assert right / total > 0.95


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
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
