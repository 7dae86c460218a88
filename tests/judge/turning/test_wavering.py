"""Demand, rejects, lead times and the cost of money: every step of their range is settled."""

from __future__ import annotations

import datetime
import math
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotegen.judge.advice import advise
from quotegen.judge.turning.figure import Exact, Sort, Turning
from quotegen.judge.turning.turning import bench_of
from quotegen.judge.turning.wavering import with_demand, with_lead_time, with_rejects
from tests.folders import Forms, a_part, a_quote, a_tool, a_workshop, an_item, forms, result_of
from tests.judge.turning.oracle import brute, said

SORTS = (Sort.DEMAND, Sort.REJECTS, Sort.LEAD, Sort.MONEY)


@st.composite
def over_time(draw: st.DrawFn) -> Forms:
    """Two or three quotes with trees, breaks, rejects, lead times, tools; a cover and a design
    that may change; needed on a stated day."""
    quotes = [
        a_quote(f"s{n}-1", draw(timely()), payment=draw(terms()))
        for n in range(draw(st.integers(2, 3)))
    ]
    likely = draw(st.integers(6, 60))
    demand = {
        "low": str(likely * draw(st.sampled_from([2, 5, 10])) // 10 or 1),
        "likely": str(likely),
        "high": str(likely * draw(st.sampled_from([10, 15, 22])) // 10),
    }
    return forms(
        *quotes,
        workshop=a_workshop(
            close_call=draw(st.sampled_from(["0 %", "3 %", "10 %"])),
            cost_of_capital=draw(st.sampled_from(["0 % a year", "9 % a year"])),
            storage=draw(st.sampled_from(["0 % a year", "18 % a year"])),
            tooling_budget=draw(st.sampled_from([None, None, None, "300 EUR"])),
            planning_months=draw(st.sampled_from(["8", "18", "30"])),
        ),
        part=a_part(
            likely,
            demand=demand,
            lot=draw(st.sampled_from(["10", "25", None])),
            needed_by=draw(st.sampled_from(["2027-01-04", "2027-05-03"])),
            on_hand=str(draw(st.sampled_from([0, 0, 9]))),
            design_stands=draw(st.sampled_from([None, "80 % a year"])),
            shelf_holds=draw(st.sampled_from([None, None, None, "40"])),
        ),
    )


@st.composite
def terms(draw: st.DrawFn) -> Any:
    return draw(
        st.sampled_from(
            [
                None,
                [{"share": "100 %", "when": "order"}],
                [
                    {"share": "50 %", "when": "order"},
                    {"share": "50 %", "when": "delivery", "days": "30"},
                ],
            ]
        )
    )


@st.composite
def timely(draw: st.DrawFn) -> Any:
    low = draw(st.integers(300, 1500))
    prices = {1: f"{low / 100} EUR per 1"}
    if draw(st.booleans()):
        prices[draw(st.sampled_from([5, 12, 30]))] = f"{low * 8 // 1000}.20 EUR per 1"
    changes: dict[str, Any] = {
        "minimum": str(draw(st.sampled_from([1, 1, 4, 15]))),
        "multiple": str(draw(st.sampled_from([1, 1, 7]))),
        "rejects": {"share": draw(st.sampled_from(["0 %", "4 %"])), "found": "on receipt"},
        "lead_time": draw(st.sampled_from(["5 working days", "6 weeks", "30 working days"])),
    }
    if draw(st.integers(0, 2)) == 0:
        changes["tools"] = [a_tool(f"{draw(st.integers(20, 300))} EUR", takes="6 weeks")]
    return an_item(prices, **changes)


@given(content=over_time(), data=st.data())
@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_every_step_that_is_settled_is_so_by_brute_force(
    content: Forms, data: st.DataObject
) -> None:
    _scan(content, data)


@pytest.mark.soak
@given(content=over_time(), data=st.data())
@settings(max_examples=600, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_soak_every_step_that_is_settled_is_so_by_brute_force(
    content: Forms, data: st.DataObject
) -> None:
    _scan(content, data)


def _scan(content: Forms, data: st.DataObject) -> None:
    result = result_of(content)
    if result.planning is None or result.planning.plan is None:
        return
    advice = advise(result.comparison, result.planning)  # ways do not depend on the futures
    found = bench_of(result.comparison, result.planning, advice)
    if found is None:
        return
    figures = [each for each in found.figures() if each.sort in SORTS]
    figure = data.draw(st.sampled_from(figures))
    turning = found.turning(figure)
    ends = {value for each in turning.stretches for value in (each.first, each.last)}
    some = {figure.value, *ends, *(end + side * figure.step for end in ends for side in (-1, 1))}
    count = int((figure.high - figure.low) / figure.step)
    most = count if turning.exact is Exact.STEP else 0
    some |= {figure.low + data.draw(st.integers(0, most)) * figure.step for _ in range(15)}
    for value in sorted(each for each in some if figure.low <= each <= figure.high):
        held = said(turning, value)
        if held or turning.exact is Exact.STEP:
            assert brute(found, figure, value).key in held, (figure.sort, figure.subject, value)


def _one(content: Forms, sort: Sort) -> Turning:
    result = result_of(content)
    found = bench_of(result.comparison, result.planning, advise(result.comparison, result.planning))
    assert found is not None
    return found.turning(next(each for each in found.figures() if each.sort is sort))


def _stretches(turning: Turning) -> list[tuple[int, int, str | None]]:
    return [(int(e.first), int(e.last), e.answer.cheapest) for e in turning.stretches]


@pytest.mark.parametrize("start", [100, 160])
def test_a_price_of_the_year_turns_the_answer_at_the_demand_from_which_it_holds(start: int) -> None:
    """10 EUR each, 5 from 100 a year on, or from the last demand of the range, against 7 EUR."""
    tiers = an_item({1: "10 EUR per 1", start: "5 EUR per 1"}, breaks_count="year")
    turning = _one(
        forms(
            a_quote("ash-1", tiers),
            a_quote("elm-1", an_item("7 EUR per 1")),
            workshop=a_workshop(close_call="0 %"),
            part=a_part(80, lot="20"),
        ),
        Sort.DEMAND,
    )
    assert turning.exact is Exact.STEP
    assert _stretches(turning) == [(40, start - 1, "elm/elm-1"), (start, 160, "ash/ash-1")]


def test_a_lead_time_turns_the_answer_on_the_day_from_which_the_first_parts_are_late() -> None:
    """Ordered on 2 November 2026, needed on 4 January 2027: 63 days."""
    turning = _one(
        forms(
            a_quote("ash-1", an_item("5 EUR per 1", lead_time="30 days")),
            a_quote("elm-1", an_item("7 EUR per 1")),
            workshop=a_workshop(close_call="0 %", planning_months="1"),
            part=a_part(960, lot="80", needed_by="2027-01-04"),
        ),
        Sort.LEAD,
    )
    assert turning.exact is Exact.STEP
    assert _stretches(turning) == [(0, 63, "ash/ash-1"), (64, 90, "elm/elm-1")]


def test_rejects_turn_the_answer_to_half_a_per_cent() -> None:
    """80 good parts at 7.01 EUR are 560.80; of 112 pieces for 560 80 are good at 28.5 %.

    At 29 % 79 of them are, so that 113 are bought for 565.
    """
    turning = _one(
        forms(
            a_quote("ash-1", an_item("5 EUR per 1", rejects={"share": "10 %"})),
            a_quote("elm-1", an_item("7.01 EUR per 1")),
            workshop=a_workshop(close_call="0 %", planning_months="1"),
            part=a_part(960, lot="80"),
        ),
        Sort.REJECTS,
    )
    assert turning.exact is Exact.STEP
    assert [each.answer.cheapest for each in turning.stretches] == ["ash/ash-1", "elm/elm-1"]
    assert turning.stretches[0].last == Fraction(285, 1000)


@pytest.mark.parametrize(
    ("change", "exact"),
    [
        ({}, Exact.STEP),
        ({"lot": None}, Exact.LOOKED),
        ({"shelf_holds": "90"}, Exact.LOOKED),
    ],
)
def test_the_demand_is_only_looked_at_where_a_bill_follows_it_or_the_shelf_is_full(
    change: dict[str, str | None], exact: Exact
) -> None:
    part = a_part(300, **({"lot": "80"} | change))
    quotes = a_quote("ash-1", an_item("5 EUR per 1")), a_quote("elm-1", an_item("7 EUR per 1"))
    assert _one(forms(*quotes, part=part), Sort.DEMAND).exact is exact


def test_bounds_that_waver_grow_with_what_lies_between_two_values() -> None:
    content = forms(
        a_quote("ash-1", an_item("5 EUR per 1")),
        workshop=a_workshop(storage="12 % a year"),
        part=a_part(100, lot="80"),
    )
    comparison = result_of(content).comparison
    demand, rejects = with_demand(comparison), with_rejects(comparison, comparison.offers[0])
    assert demand is not None
    assert rejects is not None
    # a tenth more waits some six months at 1 % a month; a cover is rounded by one part of 100
    used = [math.ceil(Fraction(100 * month, 12)) for month in range(1, 13)]
    waits = Fraction(sum(used), 100) / 100
    assert demand.share(Fraction(100), Fraction(110), 3) == waits / 10 + (1 + waits) / 100
    # a tenth more good parts wait for all twelve months, and one more for each order
    assert rejects.share(Fraction(0), Fraction(1, 11), 3) == Fraction(12, 100) * (
        Fraction(1, 10) + Fraction(3, 100)
    )
    lead = with_lead_time(comparison, comparison.offers[0])
    assert lead.share(Fraction(0), Fraction(30), 3) == (1 + Fraction(12, 100)) / 100


def test_fewer_rejects_that_leave_a_part_over_do_not_hide_where_the_answer_comes_and_goes() -> None:
    """14 parts in the first month, at least 15 to an order of 5 EUR each; 75.50 for the others.

    Without a reject one part is left over and waits a year for 0.90. To 6.6 % the order brings
    just 14, for 75; beyond, 16 are bought for 80.
    """
    months = ["14", *["0"] * 11]
    turning = _one(
        forms(
            a_quote("ash-1", an_item("5 EUR per 1", minimum="15", rejects={"share": "10 %"})),
            a_quote("elm-1", an_item("75.50 EUR per 14", multiple="14", minimum="14")),
            workshop=a_workshop(close_call="0 %", storage="18 % a year"),
            part=a_part(
                14,
                demand={"low": "14", "likely": "14", "high": "14", "by month": months},
                lot="15",
            ),
        ),
        Sort.REJECTS,
    )
    assert turning.exact is Exact.STEP
    found = [(e.first, e.last, e.answer.cheapest) for e in turning.stretches]
    assert found == [
        (0, 0, "elm/elm-1"),
        (Fraction(5, 1000), Fraction(65, 1000), "ash/ash-1"),
        (Fraction(70, 1000), Fraction(4, 10), "elm/elm-1"),
    ]


def test_a_price_that_rises_makes_a_longer_lead_time_the_cheaper_one() -> None:
    """An order for 3 May 2027 goes out later the quicker it is, when the price has risen more."""
    held = {"until": "2027-02-01", "then": "30 % a year"}
    turning = _one(
        forms(
            a_quote("ash-1", an_item("5 EUR per 1", lead_time="40 days", price_hold=held)),
            a_quote("elm-1", an_item("5.10 EUR per 1")),
            workshop=a_workshop(close_call="0 %", planning_months="1"),
            part=a_part(960, lot="80", needed_by="2027-05-03"),
        ),
        Sort.LEAD,
    )
    assert turning.exact is Exact.STEP
    assert [each.answer.cheapest for each in turning.stretches] == ["elm/elm-1", "ash/ash-1"]
    # 1.3 to the power of 27/365 is 1.0196, of 28/365 1.0203
    ordered = datetime.date(2027, 5, 3) - datetime.timedelta(int(turning.stretches[1].first))
    assert (ordered - datetime.date(2027, 2, 1)).days == 27


def test_a_wide_range_goes_in_steps_that_can_be_settled() -> None:
    """2,500 to 10,000 a year in steps of 50, the present demand one of the values."""
    quotes = a_quote("ash-1", an_item("5 EUR per 1")), a_quote("elm-1", an_item("7 EUR per 1"))
    result = result_of(forms(*quotes, part=a_part(5_000, lot="80")))
    found = bench_of(result.comparison, result.planning, advise(result.comparison, result.planning))
    assert found is not None
    demand = next(each for each in found.figures() if each.sort is Sort.DEMAND)
    assert (demand.low, demand.high, demand.step) == (2_500, 10_000, 50)
    assert found.turning(demand).stretches[-1].last == 10_000


def test_where_no_day_is_stated_lead_times_are_looked_at_with_all_that_they_move() -> None:
    """Use begins when the slowest can deliver, so that the other's cost moves as well."""
    quotes = (
        a_quote("ash-1", an_item("5 EUR per 1", lead_time="10 working days")),
        a_quote("elm-1", an_item("5.20 EUR per 1", lead_time="5 working days")),
    )
    content = forms(*quotes, part=a_part(80, lot="20"))
    result = result_of(content)
    found = bench_of(result.comparison, result.planning, advise(result.comparison, result.planning))
    assert found is not None
    leads = [each for each in found.figures() if each.sort is Sort.LEAD]
    assert [each.moves for each in leads] == [frozenset({"ash/ash-1", "elm/elm-1"})] * 2
    turning = found.turning(leads[0])
    assert turning.exact is Exact.LOOKED
    assert [each.answer.cheapest for each in turning.stretches] == ["ash/ash-1"]


def _agrees(content: Forms, sort: Sort, subject: str, values: range) -> None:
    result = result_of(content)
    found = bench_of(result.comparison, result.planning, advise(result.comparison, result.planning))
    assert found is not None
    figure = next(f for f in found.figures() if f.sort is sort and f.subject == subject)
    turning = found.turning(figure)
    assert turning.exact is Exact.STEP
    for value in map(Fraction, values):
        assert brute(found, figure, value).key in said(turning, value), value


def test_a_route_of_two_offers_may_be_of_another_family_between_two_demands_that_agree() -> None:
    """Trays of 7 at 4.13 EUR each, and the last few parts one by one where that is cheaper."""
    trays = an_item("4.13 EUR per 1", multiple="7", rejects={"share": "4 %"})
    content = forms(
        a_quote("ash-1", trays, payment=None),
        a_quote("oak-1", an_item("12.38 EUR per 1")),
        a_quote("elm-1", an_item("8.74 EUR per 1")),
        workshop=a_workshop(close_call="0 %", planning_months="18"),
        part=a_part(
            60,
            demand={"low": "12", "likely": "60", "high": "90"},
            lot="10",
            needed_by="2027-01-04",
            on_hand="9",
        ),
    )
    _agrees(content, Sort.DEMAND, "", range(6, 40))


def test_a_way_that_keeps_its_cover_with_a_short_lead_time_alone_counts_there() -> None:
    """To 13 working days; with longer ones it gives the cover up, and is none beside another."""
    content = forms(
        a_quote("ash-1", an_item("8.20 EUR per 1", minimum="15", multiple="7")),
        a_quote(
            "elm-1",
            an_item(
                "5.54 EUR per 1",
                lead_time="30 working days",
                rejects={"share": "4 %"},
                tools=[a_tool("247 EUR", takes="6 weeks")],
            ),
        ),
        workshop=a_workshop(close_call="10 %", storage="18 % a year", planning_months="30"),
        part=a_part(
            51,
            demand={"low": "10", "likely": "51", "high": "112"},
            lot="10",
            needed_by="2027-01-04",
            on_hand="9",
            design_stands="80 % a year",
            shelf_holds="40",
        ),
    )
    _agrees(content, Sort.LEAD, "Elm", range(0, 91, 3))


@pytest.mark.parametrize(
    ("unit", "days"),
    [("days", 1), ("working days", Fraction(3, 2)), ("weeks", 7), ("months", 31)],
)
def test_a_price_rise_counts_for_the_days_of_the_unit_of_a_lead_time(
    unit: str, days: Fraction
) -> None:
    held = {"until": "2027-02-01", "then": "10 % a year"}
    item = an_item("5 EUR per 1", lead_time=f"3 {unit}", price_hold=held)
    comparison = result_of(forms(a_quote("ash-1", item), part=a_part(100))).comparison
    wavers = with_lead_time(comparison, comparison.offers[0])
    longer = wavers.share(Fraction(0), Fraction(2), 1) - wavers.share(Fraction(0), Fraction(1), 1)
    assert longer == Fraction(1, 10) * days / 365
