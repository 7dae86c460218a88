"""Fields of forms: three kinds of nothing, words, and keys as they are written."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from pydantic import ValidationError

from quotegen.basics.money import Money
from quotegen.model.fields import (
    FORMER_INCOTERMS,
    NOT_APPLICABLE,
    NOT_QUOTED,
    Delimiter,
    Incoterm,
    kind_of,
)
from quotegen.model.operations import OPERATIONS
from quotegen.model.quote import Charge, DeliveryTerm, Item, Tool


def _code(kind: type[Any], **values: Any) -> str:
    with pytest.raises(ValidationError) as refused:
        kind.model_validate({key.replace("_", " "): value for key, value in values.items()})
    return str(refused.value.errors()[0]["type"])


def test_not_quoted_not_applicable_and_zero_are_three() -> None:
    """No source: absence is never a number."""
    amounts = [
        Charge.model_validate({"what": "set-up", "amount": amount, "per": "order"}).amount
        for amount in ("not quoted", "not applicable", "0 EUR")
    ]
    assert amounts == [NOT_QUOTED, NOT_APPLICABLE, Money(Fraction(0), "EUR")]
    assert len(set(amounts)) == 3


def test_what_must_be_said_cannot_be_absent() -> None:
    """No source: a charge is per something."""
    assert _code(Charge, what="set-up", amount="1 EUR", per="not quoted") == "unknown-word"


def test_a_value_that_is_not_written_takes_its_default() -> None:
    """No source: what a quote does not say is not quoted, and one piece is the least."""
    item = Item.model_validate({"part": "p", "prices": []})
    assert (item.lead_time, item.revision, item.minimum) == (NOT_QUOTED, NOT_QUOTED, 1)


def test_keys_are_written_with_spaces() -> None:
    """No source."""
    item = Item.model_validate({"part": "p", "prices": [], "lead time": "6 weeks"})
    assert str(item.lead_time) == "6 weeks"


@pytest.mark.parametrize("value", [None, ["5"], {"a": "5"}])
def test_one_value_is_neither_nothing_nor_many(value: object) -> None:
    """No source."""
    assert _code(Item, part="p", prices=[], minimum=value) == "not-a-form"


def test_a_list_is_no_envelope() -> None:
    """No source: three sides stand on one line, as `62 x 40 x 18 mm`."""
    from quotegen.model.part import Part

    assert _code(Part, format="1", envelope=["1", "2", "3"]) != "tuple_type"
    with pytest.raises(ValidationError) as refused:
        Part.model_validate({"format": "1", "envelope": ["1", "2", "3"]})
    codes = {error["loc"][0]: error["type"] for error in refused.value.errors()}
    assert codes["envelope"] == "not-a-form"


def test_a_record_does_not_change() -> None:
    """No source: records as written are frozen."""
    item = Item.model_validate({"part": "p", "prices": []})
    with pytest.raises(ValidationError):
        item.part = "q"  # type: ignore[misc]


@pytest.mark.parametrize(("former", "successor"), FORMER_INCOTERMS.items())
def test_a_former_delivery_rule_names_its_successor(former: str, successor: str) -> None:
    """ICC publications 560, 715 and 723: the rules that ended in 2010 and 2020, from memory."""
    with pytest.raises(ValidationError) as refused:
        DeliveryTerm.model_validate(f"{former} Zutphen")
    (error,) = refused.value.errors()
    assert error["type"] == "unknown-word"
    assert f"; {successor} took its place" in error["ctx"]["hint"]
    assert successor in {rule.value for rule in Incoterm}


def test_a_delivery_rule_stands_before_its_place() -> None:
    """No source."""
    term = DeliveryTerm.model_validate("FCA Wolverhampton  Low Level")
    assert (term.rule, term.place) == (Incoterm.FCA, "Wolverhampton  Low Level")


def test_there_are_eleven_delivery_rules() -> None:
    """ICC publication 723."""
    assert len(Incoterm) == 11


def test_the_life_of_a_tool_is_at_least_one_shot() -> None:
    """R5."""
    tool = {"tool": "d", "what": "die", "price": "1 EUR"}
    assert _code(Tool, **tool, life="0") == "not-positive"
    assert Tool.model_validate({**tool, "life": "5000 shots"}).life == 5000
    assert Tool.model_validate(tool).life is NOT_QUOTED


def test_every_delimiter_is_one_mark() -> None:
    """No source."""
    assert sorted(each.mark for each in Delimiter) == ["\t", ",", ";", "|"]


def test_a_person_is_told_what_a_value_is() -> None:
    """No source."""
    assert [kind_of(value) for value in (None, {}, [], (), "x")] == [
        "nothing",
        "a group of keys",
        "a list",
        "a list",
        "'x'",
    ]


def test_operations_stand_once_in_small_letters() -> None:
    """No source: one word for one operation."""
    assert len(set(OPERATIONS)) == len(OPERATIONS)
    assert [word for word in OPERATIONS if word != word.lower().strip()] == []
