"""All offers for one part on one footing."""

from __future__ import annotations

import random
import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotegen.compare.comparison import Comparison
from tests.folders import (
    Forms,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_workshop,
    an_item,
    changed,
    forms,
    result_of,
)
from tests.strategies import Drawn, folders

OAK = a_quote("oak-1", an_item("10 EUR per 1"))


def comparison(
    *quotes: Any, workshop: Any = None, suppliers: Any = None, **part: Any
) -> Comparison:
    content = forms(
        *quotes, part=a_part(**part), workshop=a_workshop(**(workshop or {})), suppliers=suppliers
    )
    return result_of(content).plain


@pytest.mark.parametrize(
    ("months", "on_hand", "likely"),
    [
        ("12", "0", 110),
        ("36", "0", 330),
        ("7", "0", 65),
        ("12", "30", 80),
        ("12", "110", 0),
        ("12", "500", 0),
    ],
)
def test_needs_are_the_demand_over_the_plan_less_what_is_on_hand(
    months: str, on_hand: str, likely: int
) -> None:
    """110 a year over 7 months are 64.2, so 65."""
    found = comparison(OAK, workshop={"planning_months": months}, likely=110, on_hand=on_hand)
    assert found.needs.likely == likely


def test_orders_come_in_the_parts_lot_else_in_a_years_likely_demand() -> None:
    assert comparison(OAK, likely=110, lot="40").needs.lot == 40
    assert comparison(OAK, likely=110, workshop={"planning_months": "36"}).needs.lot == 110


@pytest.mark.parametrize(
    ("demand", "part", "reach"),
    [
        ({"low": "1", "likely": "2", "high": "3"}, {}, 100),
        ({"low": "1", "likely": "2", "high": "300"}, {}, 600),
        ({"low": "1", "likely": "2", "high": "3"}, {"lot": "500"}, 1000),
        ({"low": "1", "likely": "80000", "high": "90000"}, {"lot": "100"}, 100_000),
        (
            {"low": "1", "likely": "90000", "high": "100000"},
            {"lot": "100", "workshop": {"planning_months": "24"}},
            200_000,
        ),
    ],
)
def test_quantities_are_looked_at_well_past_the_high_demand(
    demand: Any, part: Any, reach: int
) -> None:
    found = comparison(OAK, demand=demand, **part)
    assert found.envelope.reach == reach
    assert found.costs["oak/oak-1"].total == found.needs.likely * 10


def test_quantities_are_looked_at_past_every_parity() -> None:
    """2,000 over 1 a piece is a parity of 2,000: looked at to 4,000."""
    tooled = a_quote("ash-1", an_item("9 EUR per 1", tools=[a_tool("2000 EUR")]))
    assert comparison(OAK, tooled, likely=10).envelope.reach == 4000


def test_only_what_can_be_signed_and_comes_in_time_is_a_route() -> None:
    quotes = [
        OAK,
        a_quote("ash-1", an_item("9 EUR per 1", revision="B")),
        a_quote("elm-1", an_item("8 EUR per 1", lead_time="300 days")),
        a_quote("fir-1", an_item("7 EUR per 1", lead_time="not quoted")),
    ]
    found = comparison(*quotes, needed_by="2026-12-01", on_hand="0", likely=12)
    assert [route.name for route in found.routes] == ["oak/oak-1", "oak/oak-1 then elm/elm-1"]
    assert [route.main.supplier for route in found.late] == ["elm", "fir"]
    assert set(found.singles) == {"ash/ash-1", "elm/elm-1", "fir/fir-1", "oak/oak-1"}


def test_without_a_day_that_parts_are_needed_by_nothing_is_late() -> None:
    late = a_quote("elm-1", an_item("8 EUR per 1", lead_time="not quoted"))
    assert comparison(OAK, late).late == ()


@pytest.mark.parametrize(("needed_by", "late"), [("2026-11-16", False), ("2026-11-15", True)])
def test_the_day_that_parts_are_needed_by_is_in_time(needed_by: str, late: bool) -> None:
    """Ten working days from Monday 2 November end on Monday the 16th."""
    assert bool(comparison(OAK, needed_by=needed_by, likely=365).late) is late


def test_r16_routes_stand_by_money_committed_first_then_by_arrival_then_by_name() -> None:
    quotes = [
        a_quote("ash-1", an_item("5 EUR per 1", tools=[a_tool("500 EUR")])),
        a_quote("elm-1", an_item("9 EUR per 1", lead_time="30 working days")),
        a_quote("fir-1", an_item("9 EUR per 1")),
        OAK,
    ]
    names = [route.main.supplier for route in comparison(*quotes).routes]
    assert names == ["fir", "oak", "elm", "ash"]


def test_an_offer_without_a_price_is_listed_and_not_compared() -> None:
    found = comparison(OAK, a_quote("ash-1", an_item("not quoted")))
    assert [offer.supplier for offer in found.offers] == ["ash", "oak"]
    assert set(found.singles) == {"oak/oak-1"}


def costs(content: Forms) -> dict[str, Fraction]:
    return {name: cost.total for name, cost in result_of(content).plain.costs.items()}


@given(folders(most_quotes=3), st.randoms(use_true_random=False))
@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
def test_the_order_of_quotes_and_suppliers_does_not_matter(
    drawn: Drawn, shuffler: random.Random
) -> None:
    content = drawn.content
    quotes = list(content.quotes)
    shuffler.shuffle(quotes)
    suppliers = dict(reversed(list(content.suppliers.items())))
    other = Forms(
        workshop=content.workshop, parts=content.parts, suppliers=suppliers, quotes=tuple(quotes)
    )
    assert result_of(content).as_json == result_of(other).as_json


SCALE = 3


def scaled(value: Any) -> Any:
    """A form with every amount of money three times as large; rates of exchange stay."""
    if isinstance(value, dict):
        return {key: each if key == "rates" else scaled(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [scaled(each) for each in value]
    money = re.fullmatch(r"([\d.]+)( [A-Z]{3}( per .+)?)", str(value))
    return value if money is None else f"{Decimal(money[1]) * SCALE}{money[2]}"


@given(folders(most_quotes=2))
@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
def test_three_times_all_money_is_three_times_every_cost(drawn: Drawn) -> None:
    content = drawn.content
    other = Forms(
        workshop=scaled(content.workshop),
        parts=content.parts,
        suppliers=content.suppliers,
        quotes=tuple((owner, scaled(form)) for owner, form in content.quotes),
    )
    assert costs(other) == {name: SCALE * cost for name, cost in costs(content).items()}


def with_rejects(content: Forms, share: str) -> Forms:
    """Rejects that nobody makes good and that show when all is paid, in orders of any size.

    What is paid then hangs on the pieces alone; a lot is a number of good parts, so that with
    more rejects its orders grow, and are kept out of the way.
    """
    ((owner, form),) = content.quotes
    (item,) = form["items"]
    rejects = {"share": share, "found": "after completion", "made good": "nothing"}
    item = changed(item | {"rejects": rejects}, {"capacity_a_month": None, "minimum_a_year": None})
    return Forms(
        workshop=content.workshop,
        parts={"p": content.parts["p"] | {"lot": "60"}},
        suppliers=content.suppliers,
        quotes=((owner, form | {"items": [item]}),),
    )


@given(folders(most_quotes=1), st.sampled_from(["4 %", "20 %", "60 %"]))
@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
def test_more_rejects_never_cost_less_where_nothing_is_made_good(drawn: Drawn, more: str) -> None:
    found = []
    for share in ("0 %", "3 %", more):
        (route,) = result_of(with_rejects(drawn.content, share)).plain.singles.values()
        assert route.curve.available.all()
        found.append([route.curve.cost(n) for n in range(31)])
    assert all(a <= b <= c for a, b, c in zip(*found, strict=True))


def test_the_same_supplier_may_offer_twice() -> None:
    suppliers = {"oak": a_supplier(name="Oak")}
    second = a_quote("oak-2", an_item("9 EUR per 1"))
    found = comparison(OAK, second, suppliers=suppliers)
    assert set(found.costs) == {"oak/oak-1", "oak/oak-2"}


@pytest.mark.parametrize(("days", "pieces"), [(0, 0), (-5, 0), (1, 1), (52, 52), (365, 365)])
def test_r19_parts_for_so_many_days_are_those_of_the_high_demand_rounded_up(
    days: int, pieces: int
) -> None:
    part = a_part(demand={"low": "10", "likely": "200", "high": "365"})
    assert result_of(forms(part=part)).plain.needs.used_in(days) == pieces
