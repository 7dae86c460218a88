"""The months of a plan, what they use, and the cover that a lead time asks for (R17, R19)."""

from __future__ import annotations

import datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.model.part import Part
from quotegen.plan.horizon import Horizon, first_use, horizon_of
from tests.folders import a_part, a_quote, an_item, forms, result_of

DAY = datetime.date(2027, 1, 31)


def _horizon(months: int = 12, begins: datetime.date = DAY, **demand: int) -> Horizon:
    values = {key: str(value) for key, value in demand.items()}
    part = Part.model_validate(a_part(demand=values, on_hand="7"))
    return horizon_of(part, months, begins, stated=True)


def test_months_begin_on_the_day_of_need_or_on_the_last_of_a_shorter_month() -> None:
    assert _horizon(3, low=60, likely=120, high=180).starts == (
        datetime.date(2027, 1, 31),
        datetime.date(2027, 2, 28),
        datetime.date(2027, 3, 31),
        datetime.date(2027, 4, 30),
    )


@pytest.mark.parametrize(("months", "likely"), [(12, 100), (36, 7), (17, 55), (60, 1)])
def test_months_of_whole_pieces_add_up_to_the_likely_demand(months: int, likely: int) -> None:
    found = _horizon(months, low=1, likely=likely, high=2 * likely)
    assert sum(found.demand) == -(-likely * months // 12)
    assert max(found.demand) - min(found.demand) <= 1
    assert found.need == max(0, sum(found.demand) - 7)


def test_a_demand_by_month_is_taken_as_it_stands_and_its_year_repeats() -> None:
    months = [10, 0, 0, 30, 0, 0, 0, 0, 60, 0, 0, 20]
    form = a_part(demand={"low": "60", "likely": "120", "high": "180", "by month": months})
    part = Part.model_validate(form)
    assert horizon_of(part, 15, DAY, stated=True).demand == (*months, 10, 0, 0)


def test_r19_the_cover_is_what_the_high_demand_takes_more_in_the_lead_time() -> None:
    """120 a year, at worst 180: half as many again. From 31 January to 31 March 20 are likely."""
    found = _horizon(low=60, likely=120, high=180)
    assert found.cover(datetime.date(2027, 1, 31), datetime.date(2027, 3, 31)) == 10
    assert found.cover(datetime.date(2026, 11, 2), datetime.date(2027, 3, 31)) == 10
    assert found.cover(datetime.date(2026, 11, 2), datetime.date(2027, 1, 31)) == 0


@given(st.integers(0, 800), st.integers(0, 800))
def test_what_is_used_by_a_day_never_falls_and_ends_with_all(first: int, more: int) -> None:
    found = _horizon(18, low=60, likely=120, high=180)
    early = DAY + datetime.timedelta(days=first)
    late = early + datetime.timedelta(days=more)
    assert 0 <= found.used_by(early) <= found.used_by(late) <= sum(found.demand)
    assert found.used_by(found.ends) == sum(found.demand)


def test_what_is_used_within_a_month_is_spread_over_its_days() -> None:
    found = _horizon(low=60, likely=120, high=180)
    assert found.used_by(datetime.date(2027, 2, 14)) == Fraction(10 * 14, 28)


@pytest.mark.parametrize(("stock", "chance"), [(10, 0.0), (5, 0.125), (0, 0.5), (20, 0.0)], ids=str)
def test_r19_the_chance_of_running_out_is_that_of_a_triangle(stock: int, chance: float) -> None:
    """20 are likely in the lead time, 10 at least and 30 at most. With 5 left at the likely demand
    a demand above 25 runs out: the tip of the triangle, (30 - 25) squared over 20 x 10."""
    found = _horizon(low=60, likely=120, high=180)
    ordered, arrives = datetime.date(2027, 1, 31), datetime.date(2027, 3, 31)
    assert found.chance_of_running_out(stock, ordered, arrives) == pytest.approx(chance)


def test_a_demand_that_cannot_be_higher_never_runs_out() -> None:
    found = _horizon(low=60, likely=120, high=120)
    assert found.chance_of_running_out(0, DAY, datetime.date(2027, 3, 31)) == 0


@pytest.mark.parametrize(
    ("good", "day"), [(0, "2027-01-31"), (3, "2027-02-28"), (13, "2027-03-31"), (113, None)]
)
def test_stock_lasts_to_the_month_that_finds_too_little(good: int, day: str | None) -> None:
    """7 are on hand and 10 are used in each month."""
    expected = datetime.date.fromisoformat(day) if day is not None else None
    assert _horizon(low=60, likely=120, high=180).lasts_until(good) == expected


def test_pieces_are_used_from_the_day_that_is_stated() -> None:
    part = a_part(needed_by="2027-03-01")
    offers = result_of(forms(a_quote("oak-1", an_item("9 EUR per 1")), part=part)).plain.offers
    record = Part.model_validate(part)
    assert first_use(record, offers, DAY) == (datetime.date(2027, 3, 1), True)
    late = datetime.date(2027, 6, 1)
    assert first_use(record, offers, late) == (late, True)


def test_without_a_stated_day_use_begins_when_the_slowest_offer_can_deliver() -> None:
    """No offer is favoured by being quick where nobody asked for a day."""
    quotes = [
        a_quote("oak-1", an_item("9 EUR per 1")),
        a_quote("ash-1", an_item("5 EUR per 1", lead_time="90 days")),
    ]
    offers = result_of(forms(*quotes)).plain.offers
    slowest = max(offer.arrival.reached for offer in offers)
    part = Part.model_validate(a_part())
    assert first_use(part, offers, datetime.date(2026, 11, 2)) == (slowest, False)


@pytest.mark.parametrize(
    ("stock", "chance"),
    [(20, 0), (10, 0), (5, 0.125), (0, 0.5), (-5, 0.875), (-10, 1), (-20, 1)],
)
def test_r19_the_chance_of_running_out_is_one_where_nothing_is_left_even_at_low_demand(
    stock: int, chance: float
) -> None:
    """20 are likely in two months, 10 to 30 are possible: the triangle's two halves."""
    found = _horizon(low=60, likely=120, high=180)
    days = datetime.date(2027, 1, 31), datetime.date(2027, 3, 31)
    assert found.chance_of_running_out(stock, *days) == pytest.approx(chance)
