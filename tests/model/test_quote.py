"""What a quote says without being asked for more."""

from __future__ import annotations

from fractions import Fraction

import pytest

from quotegen.model.fields import PaidWhen
from quotegen.model.quote import Item, Quote, Tool


def _quote(**values: str) -> Quote:
    form = {"format": "1", "quote": "x", "date": "2026-10-12", "currency": "EUR", "items": []}
    return Quote.model_validate(
        form | {key.replace("_", " "): text for key, text in values.items()}
    )


@pytest.mark.parametrize(
    ("values", "last"),
    [
        ({}, "None"),
        ({"valid_until": "2027-01-31"}, "2027-01-31"),
        ({"valid_for": "60 days"}, "2026-12-11"),
        ({"valid_for": "3 months"}, "2027-01-12"),
        ({"valid_until": "2027-01-31", "valid_for": "60 days"}, "2027-01-31"),
    ],
)
def test_the_last_day_is_stated_or_counted(values: dict[str, str], last: str) -> None:
    """Gregorian calendar, counted by hand; a stated day wins."""
    assert str(_quote(**values).last_day()) == last


@pytest.mark.parametrize(
    ("breaks", "all_units"),
    [("all-units", True), ("incremental", False), ("not quoted", True), (None, True)],
)
def test_breaks_are_for_the_whole_order_unless_it_is_said(
    breaks: str | None, all_units: bool
) -> None:
    """R1."""
    said = {"breaks": breaks} if breaks else {}
    assert Item.model_validate({"part": "p", "prices": [], **said}).all_units is all_units


def test_a_tool_is_paid_as_the_quote_says_unless_it_has_shares_of_its_own() -> None:
    """R12: in instalments, each with its event."""
    form = {"tool": "d", "what": "die", "price": "1 EUR"}
    assert Tool.model_validate(form).payment == ()
    shares = [
        {"share": "30 %", "when": "order"},
        {"share": "70 %", "when": "approval of samples", "days": "14"},
    ]
    first, second = Tool.model_validate({**form, "payment": shares}).payment
    assert (first.share, first.when, first.days) == (Fraction(3, 10), PaidWhen.ORDER, 0)
    assert (second.share, second.when, second.days) == (Fraction(7, 10), PaidWhen.APPROVAL, 14)
