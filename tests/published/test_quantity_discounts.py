"""Prices by quantity as textbooks have them: a small workshop folder in, the cost out."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from tests.folders import (
    Values,
    a_part,
    a_quote,
    a_workshop,
    an_item,
    forms,
    printed_for,
    result_of,
)

ALL_UNITS = {1: "1400 USD per 1", 50: "1100 USD per 1", 90: "900 USD per 1"}
SLICES = {1: "1400 USD per 1", 51: "1100 USD per 1", 91: "900 USD per 1"}


def cost_of_just(pieces: int, prices: dict[int, str], breaks: str, to: Path) -> Decimal:
    """One order of so many: no more can be made in the month that is planned."""
    item = an_item(prices, breaks=breaks, capacity_a_month=str(pieces))
    content = forms(
        a_quote("oak-1", item, currency="USD"),
        workshop=a_workshop(currency="USD", planning_months="1"),
        part=a_part(pieces * 12, lot=str(pieces)),
    )
    (offer,) = printed_for(content, to)["offers"]
    assert offer["bought"] == pieces
    return Decimal(offer["total"])


@pytest.mark.parametrize(
    ("pieces", "cost"), [(49, 68_600), (50, 55_000), (89, 97_900), (90, 81_000)]
)
def test_all_units_the_cost_falls_at_each_break(pieces: int, cost: int, tmp_path: Path) -> None:
    """Lecture notes 4QA3, autumn 2012, week 7, slides 31 and 32, after Nahmias, Production and
    Operations Analysis (2009): 1,400 for 1 to 49, 1,100 for 50 to 89, 900 from 90 on.
    """
    assert cost_of_just(pieces, ALL_UNITS, "all-units", tmp_path) == cost


@pytest.mark.parametrize(("pieces", "cost"), [(50, 70_000), (90, 114_000), (100, 123_000)])
def test_incremental_each_slice_has_its_price(pieces: int, cost: int, tmp_path: Path) -> None:
    """The same notes, slides 34 and 35: the discount is for the units above the break, so that the
    next price begins with the 51st and the 91st: 70,000, then 114,000, then 33,000 + 900 Q."""
    assert cost_of_just(pieces, SLICES, "incremental", tmp_path) == cost


@pytest.mark.parametrize(
    ("pieces", "breaks", "cost"),
    [
        (499, "all-units", "149.7"),
        (500, "all-units", "145"),
        (999, "all-units", "289.71"),
        (1000, "all-units", "280"),
        (499, "incremental", "149.7"),
        (700, "incremental", "208"),
        (1500, "incremental", "435"),
    ],
)
def test_bags_by_the_case(pieces: int, breaks: str, cost: str, tmp_path: Path) -> None:
    """From memory: Nahmias, Production and Operations Analysis, quantity discounts: 0.30 below 500,
    0.29 below 1,000, else 0.28. In slices 0.30 Q, 5 + 0.29 Q and 15 + 0.28 Q."""
    starts = (500, 1000) if breaks == "all-units" else (501, 1001)
    prices = dict(
        zip((1, *starts), ("0.30 USD per 1", "0.29 USD per 1", "0.28 USD per 1"), strict=True)
    )
    assert cost_of_just(pieces, prices, breaks, tmp_path) == Decimal(cost)


def books(wanted: int, to: Path) -> Values:
    prices = {1: "12 USD per 1", 25: "11 USD per 1", 49: "10 USD per 1"}
    content = forms(
        a_quote("oak-1", an_item(prices), currency="USD"),
        workshop=a_workshop(currency="USD"),
        part=a_part(wanted, lot="100"),
    )
    (offer,) = printed_for(content, to)["offers"]
    return dict(offer)


@pytest.mark.parametrize(
    ("wanted", "bought", "cost"), [(22, 22, "264"), (23, 25, "275"), (45, 49, "490")]
)
def test_more_books_may_cost_less(wanted: int, bought: int, cost: str, tmp_path: Path) -> None:
    """American High School Mathematics Examination 1997: 12 each up to 24, 11 each up to 48, else
    10 each (the prices from memory, the reasoning found in a published solution)."""
    found = books(wanted, tmp_path)
    assert (found["bought"], found["total"]) == (bought, cost)


def test_for_six_quantities_it_is_cheaper_to_buy_more() -> None:
    """The same problem; its answer is six: 23, 24, 45, 46, 47 and 48."""
    prices = {1: "12 EUR per 1", 25: "11 EUR per 1", 49: "10 EUR per 1"}
    content = forms(a_quote("oak-1", an_item(prices)), part=a_part(lot="100"))
    (route,) = result_of(content).comparison.routes
    more = [n for n in range(1, 101) if route.curve.pieces[n] > n]
    assert more == [23, 24, 45, 46, 47, 48]
