"""Operations that a quote leaves out, at our own price (R8), and what rejects cost there (R9)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.costing.offer import Offer, Standing
from tests.folders import a_part, a_quote, a_workshop, amounts, an_item, forms, result_of

BENCH = {"work": "bench", "rate": "45 EUR", "source": "test"}
DEBURRING = {"operation": "deburring", "minutes": "2", "labour": "bench", "source": "timed"}


def offer_of(completion: Any = None, operations: Any = ("deburring",), **item: Any) -> Offer:
    workshop = a_workshop(labour=[BENCH], completion=[completion or DEBURRING])
    content = forms(
        a_quote("oak-1", an_item("10 EUR per 1", **item)),
        workshop=workshop,
        part=a_part(operations=list(operations)),
    )
    return result_of(content).offer


def test_r8_minutes_are_paid_at_the_hourly_rate() -> None:
    """2 minutes at 45 an hour are 1.50 a piece."""
    offer = offer_of()
    assert amounts(offer, 20)["deburring"] == 30
    assert offer.bill.lines[1].written == "2 min at 45 EUR an hour"


@pytest.mark.parametrize(
    ("price", "at_20"), [("0.55 EUR per piece", 11), ("3.40 EUR per kg", Fraction("6.8"))]
)
def test_r8_a_price_is_by_the_piece_or_by_the_mass_of_the_part(price: str, at_20: Fraction) -> None:
    """Twenty pieces of 100 g: 0.55 each; 2 kg at 3.40."""
    completion = {"operation": "deburring", "price": price, "source": "list"}
    assert amounts(offer_of(completion), 20)["deburring"] == at_20


def test_r8_price_and_minutes_and_a_charge_for_each_delivery_add_up() -> None:
    completion = DEBURRING | {"price": "0.55 EUR per piece", "per order": "60 EUR"}
    found = amounts(offer_of(completion), 20)
    assert found["deburring"] == 41
    assert found["deburring, each delivery"] == 60


def test_r8_an_operation_that_is_paid_by_the_delivery_alone_has_no_line_by_the_piece() -> None:
    completion = {"operation": "deburring", "per order": "26 EUR", "source": "list"}
    found = amounts(offer_of(completion), 20)
    assert set(found) == {"pieces at the quoted price", "deburring, each delivery"}


def test_r8_what_the_quote_includes_is_not_paid_twice() -> None:
    assert len(offer_of(includes=["deburring"]).bill.lines) == 1


def test_r8_what_the_part_does_not_ask_for_is_not_added() -> None:
    assert len(offer_of(operations=[]).bill.lines) == 1


def test_r8_without_a_price_of_ours_a_missing_operation_is_a_gap_and_not_free() -> None:
    offer = offer_of(operations=["hardening"])
    assert offer.standing is Standing.NOT_ENOUGH_KNOWN
    assert (
        offer.bill.blocking[0].question
        == "Is hardening in your price? What do you charge for hardening?"
    )
    offer = offer_of(operations=["hardening"], excludes=["hardening"])
    assert offer.bill.blocking[0].question == "What do you charge for hardening?"


def test_r8_a_quote_that_is_silent_is_asked_and_one_that_excludes_is_not() -> None:
    assert [gap.code for gap in offer_of().bill.gaps] == ["operation-silent"]
    assert offer_of(excludes=["deburring"]).bill.gaps == ()
    assert offer_of(DEBURRING | {"done here": "yes"}).bill.gaps == ()


@pytest.mark.parametrize(
    ("found", "made_good", "done", "again"),
    [
        ("at the supplier", "nothing", 18, 0),
        ("on receipt", "nothing", 18, 0),
        ("after completion", "nothing", 20, 0),
        ("at the supplier", "credited", 18, 0),
        ("on receipt", "credited", 18, 0),
        ("after completion", "credited", 20, 0),
        ("at the supplier", "replaced", 20, 0),
        ("on receipt", "replaced", 20, 0),
        ("after completion", "replaced", 20, 2),
    ],
)
def test_r9_completion_of_rejects_is_lost_where_they_show_afterwards(
    found: str, made_good: str, done: int, again: int
) -> None:
    """Twenty pieces, one in ten fails; a credit for the piece is none for the work on it."""
    rejects = {"share": "10 %", "found": found, "made good": made_good}
    amounts_found = amounts(offer_of(rejects=rejects), 20)
    assert amounts_found["deburring"] == Fraction(3, 2) * done
    repeated = amounts_found.get("deburring, again for replaced pieces", Fraction(0))
    assert repeated == Fraction(3, 2) * again
