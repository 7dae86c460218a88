"""What to ask each supplier, and ourselves."""

from __future__ import annotations

from typing import Any

import pytest

from quotegen.judge.questions import Question
from tests.folders import (
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    an_item,
    forms,
    result_of,
)

PAID = [{"share": "100 %", "when": "delivery"}]
CANCELLED = [{"term": "cancelling", "text": "free until the run", "could turn": "no"}]


def questions(item: Any, part: Any = None, supplier: Any = None, **quote: Any) -> list[Question]:
    form = a_quote("oak-1", item, **{"payment": PAID, "terms": CANCELLED, **quote})
    suppliers = {"oak": supplier} if supplier else None
    return list(result_of(forms(form, part=part or a_part(), suppliers=suppliers)).advice.questions)


def codes(item: Any, **content: Any) -> list[str]:
    return [each.code for each in questions(item, **content)]


SOUND = an_item({1: "11 EUR per 1", 60: "10 EUR per 1"}, breaks="all-units")


def test_a_quote_that_says_everything_is_asked_nothing() -> None:
    assert questions(SOUND) == []


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"revision": "not quoted"}, "revision-silent"),
        ({"revision": "B"}, "revision"),
        ({"lead time": "not quoted"}, "lead-time"),
        ({"tools": [a_tool("9 EUR", takes="not quoted")]}, "tool-time"),
        ({"tools": [a_tool("9 EUR", owner="not quoted")]}, "tool-owner"),
        ({"tools": [a_tool("9 EUR", life="not quoted")]}, "tool-life"),
        ({"tools": [a_tool("not quoted")]}, "tool-price"),
        ({"rejects": {"share": "0 %"}, "terms": [{"term": "index", "text": "t"}]}, "term"),
        ({"charges": [{"what": "box", "amount": "not quoted", "per": "order"}]}, "charge"),
    ],
)
def test_what_an_item_leaves_open_is_asked(change: dict[str, Any], code: str) -> None:
    assert codes(SOUND | change) == [code]


def test_what_a_quote_leaves_open_is_asked() -> None:
    assert codes(SOUND, payment=[]) == ["payment"]
    assert codes(SOUND, valid_until=None) == ["validity"]
    assert codes(SOUND, valid_until="2026-11-01") == ["expired"]


def test_r20_what_can_be_cancelled_is_asked_of_whoever_may_be_signed() -> None:
    (asked,) = questions(SOUND, terms=[])
    assert (asked.code, asked.to, asked.blocks) == ("cancelling", "Oak", False)
    assert codes(SOUND | {"terms": CANCELLED}, terms=[]) == []
    assert codes(SOUND | {"revision": "B"}, terms=[]) == ["revision"]


def test_certificates_that_the_part_needs_are_asked_for() -> None:
    part = a_part(certificates=["EN 10204 3.1"])
    assert codes(SOUND, part=part) == ["certificates"]
    assert codes(SOUND | {"certificates": ["EN 10204 3.1"]}, part=part) == []


@pytest.mark.parametrize(("likely", "asked"), [(120, False), (121, True)])
def test_r1_an_order_beyond_twice_the_last_break_is_asked_about(likely: int, asked: bool) -> None:
    """The last break is at 60."""
    assert ("beyond-breaks" in codes(SOUND, part=a_part(likely))) is asked


def test_what_blocks_is_asked_first() -> None:
    found = questions(SOUND | {"revision": "B", "lead time": "not quoted"})
    assert [(each.code, each.blocks) for each in found] == [
        ("revision", True),
        ("lead-time", False),
    ]


def test_what_only_we_can_answer_is_asked_of_ourselves() -> None:
    (found,) = questions(SOUND, supplier=a_supplier(country="FR"), delivery="FCA Lyon")
    assert (found.to, found.code) == ("ourselves", "leg")


def test_a_replaced_quote_is_not_asked_about() -> None:
    old = a_quote("oak-1", SOUND | {"lead time": "not quoted"}, payment=PAID)
    new = a_quote("oak-2", SOUND, payment=PAID, terms=CANCELLED, replaces="oak-1")
    assert result_of(forms(old, new)).advice.questions == ()
