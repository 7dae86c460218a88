"""Answers in a form stand where they belong, with their place; open ones leave something out."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from quotegen.intake.answers import keys_of, with_answers
from quotegen.intake.files import RawFile
from quotegen.intake.yaml_tree import read_tree

FORM: dict[str, Any] = {
    "format": "1",
    "quote": "A-1",
    "date": "2026-10-01",
    "currency": "EUR",
    "items": [{"part": "pawl", "prices": [{"from": "50", "price": "3 EUR per 1"}]}],
}


def said(*questions: dict[str, Any], **changes: Any) -> Any:
    form = {**FORM, **changes, "questions": [{"ask": "Which?", **each} for each in questions]}
    raw = RawFile(path="quotes/s/a.yaml", data=yaml.safe_dump(form, sort_keys=False).encode())
    return with_answers(read_tree(raw, "The quote"), "a")


def test_a_form_without_questions_is_as_it_was() -> None:
    raw = RawFile(path="a.yaml", data=yaml.safe_dump(FORM).encode())
    tree = read_tree(raw, "The quote")
    assert with_answers(tree, "a").tree is tree


def test_a_price_goes_where_its_quantity_belongs() -> None:
    for start, order in [("10", ["10", "50"]), ("100", ["50", "100"])]:
        tier = {"from": start, "price": "4 EUR per 1"}
        found = said({"field": "items 1, prices", "answer": tier}).tree
        assert [each["from"] for each in found.value["items"][0]["prices"]] == order
        places = [found.places.of("items", 0, "prices", at, "from").line for at in (0, 1)]
        assert len(set(places)) == 2


def test_a_price_for_the_same_quantity_takes_the_place_of_the_one_before() -> None:
    tier = {"from": "50", "price": "4 EUR per 1"}
    found = said({"field": "items 1, prices", "answer": tier}).tree
    assert found.value["items"][0]["prices"] == [tier]


@pytest.mark.parametrize(
    ("field", "answer", "way", "value"),
    [
        ("valid until", "2026-12-31", ("valid until",), "2026-12-31"),
        ("items 1, lead time", "3 weeks", ("items", 0, "lead time"), "3 weeks"),
        ("items 2, part", "gear", ("items", 1, "part"), "gear"),
        ("notes", "as told", ("notes", 0), "as told"),
        ("payment", [{"share": "100 %", "when": "order"}], ("payment", 0, "when"), "order"),
    ],
)
def test_an_answer_becomes_the_value(field: str, answer: Any, way: Any, value: str) -> None:
    tree = said({"field": field, "answer": answer}).tree
    found = tree.value
    for key in way:
        found = found[key]
    assert found == value
    assert tree.places.of(*way).line is not None


@pytest.mark.parametrize(
    ("field", "answer"),
    [
        ("items 9, part", "gear"),
        ("items 1, prices", "3 EUR"),
        ("quote, deeper", "x"),
        ("items 1, prices 1", "3 EUR"),
        ("items, part", "x"),
    ],
)
def test_an_answer_that_fits_nowhere_is_told(field: str, answer: Any) -> None:
    found = said({"field": field, "answer": answer})
    (problem,) = found.problems
    assert problem.code == "answer-astray"
    assert problem.message == f"{field}: the answer does not fit this field."


def test_an_open_question_says_what_waits() -> None:
    found = said({"field": "items 1, prices", "seen": "61,95", "at": "o.csv:5:2"})
    (problem,) = found.problems
    assert problem.message == (
        "items 1, prices: Which? Seen: '61,95' (o.csv:5:2); it waits for an answer."
    )
    assert problem.happens == "Item 1 (part pawl) of the quote A-1 is left out."
    assert found.broken == {0}
    assert found.is_sound


def test_an_open_question_about_the_whole_leaves_the_quote_out() -> None:
    assert not said({"field": "currency"}).is_sound


def test_an_answer_about_the_layout_waits_for_another_reading() -> None:
    (problem,) = said({"field": "layout, decimal", "answer": "comma"}).problems
    assert problem.code == "answer-not-taken"


def test_a_question_that_is_no_question_leaves_the_quote_out() -> None:
    found = said({"answer": "x"})
    assert not found.is_sound
    assert [each.code for each in found.problems] == ["missing-field"]


def test_words_of_a_field_are_keys() -> None:
    assert keys_of("items 2, prices 1, from") == ("items", 1, "prices", 0, "from")
    assert keys_of("valid until") == ("valid until",)
