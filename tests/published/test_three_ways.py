"""A set-up in each order, and three ways to get one part: the cheapest by quantity (R4, R16)."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from tests.folders import (
    Forms,
    Values,
    a_part,
    a_quote,
    a_tool,
    a_workshop,
    an_item,
    forms,
    printed_by_command,
    printed_for,
)

LABOUR_AN_HOUR = 20
AUTOMATIC, HAND = "auto/auto-1", "hand/hand-1"
BUY, LATHE, CENTRE = "buy/buy-1", "lathe/lathe-1", "mill/mill-1"


def total_of(found: Values, quote: str) -> Fraction:
    (route,) = (each for each in found["routes"] if each["route"] == [quote])
    return Fraction(route["total"])


def spans_of(found: Values) -> list[tuple[int, int | None, str]]:
    return [(each["from"], each["to"], each["quote"]) for each in found["cheapest"]]


def screw_machines(pieces: int, automatic_comes: int = 10, hand_comes: int = 10) -> Forms:
    """The wage of an hour for what is made in it, 25 or 10; one set-up of 3 hours an order."""
    set_up = {"what": "set-up", "amount": f"{3 * LABOUR_AN_HOUR} USD", "per": "order"}
    automatic = an_item(
        f"{LABOUR_AN_HOUR} USD per 25",
        charges=[set_up],
        lead_time=f"{automatic_comes} working days",
    )
    hand = an_item(f"{LABOUR_AN_HOUR} USD per 10", lead_time=f"{hand_comes} working days")
    return forms(
        a_quote("auto-1", automatic, currency="USD"),
        a_quote("hand-1", hand, currency="USD"),
        workshop=a_workshop(currency="USD", delivery=None),
        part=a_part(pieces, lot="1000"),
    )


@pytest.mark.parametrize("pieces", [1, 49, 50, 51, 200])
def test_a_set_up_in_each_order_costs_what_the_textbook_says(pieces: int, tmp_path: Path) -> None:
    """Budynas & Nisbett, Shigley's Mechanical Engineering Design, 9th ed. (McGraw-Hill 2011),
    sec. 1-7, p. 14, Fig. 1-3 (same text in the 8th ed.): 60 + 0.8 Q against 2 Q."""
    found = printed_for(screw_machines(pieces), tmp_path)
    assert total_of(found, AUTOMATIC) == 60 + Fraction("0.8") * pieces
    assert total_of(found, HAND) == 2 * pieces


@pytest.mark.parametrize(
    ("automatic_comes", "hand_comes", "at_fifty"), [(10, 9, HAND), (9, 10, AUTOMATIC)]
)
def test_at_fifty_the_earlier_machine_stands_and_above_it_the_automatic(
    automatic_comes: int, hand_comes: int, at_fifty: str, tmp_path: Path
) -> None:
    """The same page: break-even at 50, and above it the automatic is cheaper. That a tie goes to
    the earlier parts where both commit as little is our own rule (R16)."""
    found = printed_for(screw_machines(50, automatic_comes, hand_comes), tmp_path)
    last = 50 if at_fifty == HAND else 49
    assert spans_of(found) == [(1, last, HAND), (last + 1, None, AUTOMATIC)]
    assert found["recommendation"]["outcome"] == "too close to call"
    assert set(found["recommendation"]["ties"]) == {AUTOMATIC, HAND}


def three_ways(pieces: int) -> Forms:
    lathe = an_item("75 USD per 1", tools=[a_tool("80000 USD", tool="lathe", what="lathe")])
    centre = an_item("15 USD per 1", tools=[a_tool("200000 USD", tool="mill", what="centre")])
    return forms(
        a_quote("buy-1", an_item("200 USD per 1"), currency="USD"),
        a_quote("lathe-1", lathe, currency="USD"),
        a_quote("mill-1", centre, currency="USD"),
        workshop=a_workshop(currency="USD", delivery=None),
        part=a_part(pieces, lot="10000"),
    )


@pytest.mark.parametrize(
    ("pieces", "bought", "lathe", "centre"),
    [
        (1000, 200_000, 155_000, 215_000),
        (2000, 400_000, 230_000, 230_000),
        (3000, 600_000, 305_000, 245_000),
    ],
)
def test_buying_turning_and_milling_cost_what_the_lecture_prints(
    pieces: int, bought: int, lathe: int, centre: int, tmp_path: Path
) -> None:
    """Break-even analysis, lecture slides in operations management by R. Lembke, found; the same
    data as Jacobs & Chase, Operations and Supply Chain Management: The Core (McGraw-Hill 2013),
    Example 6A.1, found as slides (edition from memory)."""
    found = printed_for(three_ways(pieces), tmp_path)
    assert total_of(found, BUY) == bought
    assert total_of(found, LATHE) == lathe
    assert total_of(found, CENTRE) == centre


def test_the_lathe_is_cheapest_between_640_and_2000(tmp_path: Path) -> None:
    """The same slides: to 640 buy, from 640 to 2,000 the lathe, from 2,000 the machining centre.
    Who stands at the two ties, the one that commits less, is our own rule (R16)."""
    found = printed_by_command(three_ways(1000), tmp_path)
    assert spans_of(found) == [(1, 640, BUY), (641, 2000, LATHE), (2001, None, CENTRE)]
    against = {each["tooled"]: each["parity"] for each in found["break_even"]}
    assert against[LATHE] == "640"
