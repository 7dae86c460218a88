"""What a part still needs over the planning months."""

from __future__ import annotations

import itertools
import math
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.compare.comparison import needs_of
from quotegen.model.part import NEVER, Demand, Part
from quotegen.model.workshop import Workshop
from tests.folders import a_part, a_workshop

YEAR = (10, 0, 20, 20, 20, 20, 20, 20, 20, 20, 20, 10)


def a_demand(likely: int, by_month: tuple[int, ...] = (), **others: int) -> dict[str, Any]:
    """As it is written; low and high are the likely one unless they are said."""
    figures = {"low": likely, "likely": likely, "high": likely} | others
    months = {"by month": [str(each) for each in by_month]} if by_month else {}
    return {key: str(figure) for key, figure in figures.items()} | months


def part_of(demand: dict[str, Any], **changes: Any) -> Part:
    return Part.model_validate(a_part(demand=demand, **changes))


@pytest.mark.parametrize(
    ("on_hand", "months", "a_year", "wanted"),
    [
        (0, 12, 100, 100),
        (0, 24, 100, 200),
        (30, 12, 100, 70),
        (100, 12, 100, 0),
        (200, 12, 100, 0),
        (0, 7, 100, 59),
        (0, 6, 100, 50),
    ],
)
def test_what_is_on_hand_need_not_be_bought(
    on_hand: int, months: int, a_year: int, wanted: int
) -> None:
    """No source: part of a piece is a piece."""
    part = part_of(a_demand(2, low=1, high=3), on_hand=str(on_hand))
    assert part.pieces_over(months, a_year) == wanted


def test_a_year_is_spread_evenly_over_its_months() -> None:
    """Counted by hand: 17 parts in 12 months, and what is wanted early comes early."""
    demand = Demand.model_validate(a_demand(17))
    first = [demand.of_month(number) for number in range(12)]
    assert first == [2, 1, 2, 1, 2, 1, 1, 2, 1, 2, 1, 1]
    assert [demand.of_month(number) for number in range(12, 24)] == first


@given(st.integers(1, 100_000), st.integers(0, 119))
def test_every_month_spread_evenly_is_the_next_step_of_the_whole(likely: int, number: int) -> None:
    """The law that defines it: ceil(likely (k + 1) / 12) - ceil(likely k / 12)."""
    demand = Demand.model_validate(a_demand(likely))
    before, after = (math.ceil(Fraction(likely * each, 12)) for each in (number, number + 1))
    assert demand.of_month(number) == after - before
    assert abs(demand.of_month(number) - Fraction(likely, 12)) < 1


@pytest.mark.parametrize(
    ("by_month", "number", "wanted"),
    [
        (YEAR, 0, 10),
        (YEAR, 1, 0),
        (YEAR, 11, 10),
        (YEAR, 12, 10),
        (YEAR, 13, 0),
        (YEAR, 119, 10),
        ((*YEAR, 1, 2, 3), 14, 3),
        ((*YEAR, 1, 2, 3), 15, 20),
        ((*YEAR, 1, 2, 3), 23, 10),
        ((*YEAR, 1, 2, 3), 24, 1),
        ((*YEAR, 1, 2, 3), 26, 3),
        ((*YEAR, 1, 2, 3), 27, 20),
    ],
)
def test_months_beyond_those_written_repeat_the_last_twelve(
    by_month: tuple[int, ...], number: int, wanted: int
) -> None:
    """Counted by hand."""
    assert Demand.model_validate(a_demand(200, by_month)).of_month(number) == wanted


@pytest.mark.parametrize(
    ("months", "low", "likely", "high"),
    [
        (1, 5, 10, 17),
        (2, 5, 10, 17),
        (3, 15, 30, 50),
        (12, 100, 200, 331),
        (13, 105, 210, 348),
        (24, 200, 400, 662),
    ],
)
def test_low_and_high_have_the_likely_months_in_proportion(
    months: int, low: int, likely: int, high: int
) -> None:
    """Counted by hand: 200 a year are told by month, low is a half, high 331 in 200, rounded up."""
    part = part_of(a_demand(200, YEAR, low=100, high=331))
    needs = needs_of(Workshop.model_validate(a_workshop(planning_months=str(months))), part)
    assert (needs.low, needs.likely, needs.high) == (low, likely, high)


def test_what_is_on_hand_is_taken_off_once_from_the_months() -> None:
    """Counted by hand: 30 in three months, 25 of them here."""
    part = part_of(a_demand(200, YEAR), on_hand="25")
    assert [part.pieces_over(months, 200) for months in (2, 3, 4)] == [0, 5, 25]


@given(
    st.lists(st.integers(0, 500), min_size=12, max_size=60).filter(lambda each: any(each[:12])),
    st.integers(0, 120),
)
def test_the_months_add_up_to_what_is_bought(by_month: list[int], months: int) -> None:
    """Each month is the next step of the need, whatever the horizon."""
    likely = sum(by_month[:12])
    part = part_of(a_demand(likely, tuple(by_month)))
    longer = itertools.chain(by_month, itertools.cycle(by_month[-12:]))
    assert part.pieces_over(months, likely) == sum(itertools.islice(longer, months))


def test_nothing_of_the_plan_is_taken_for_granted() -> None:
    """No source: no piece may be late, and what is left over brings nothing, unless it is said."""
    part = part_of(a_demand(1))
    limits = part.late_costs, part.shelf_holds, part.most_from_one_supplier
    assert limits == (None, None, None)
    assert (part.late_is_lost, part.surplus_is_worth) == (False, 0)
    assert part.money_tied_up_at_most is None


MONTHS = ["2"] * 12 + ["60"] * 24


@pytest.mark.parametrize(
    ("good", "months"),
    [
        (0, 0),
        (1, Fraction(1, 2)),
        (24, 12),
        (54, Fraction(25, 2)),
        (1464, 36),
        (1524, 37),
        (2904, 60),
    ],
)
def test_months_until_so_many_are_used_follow_the_demand_by_month(
    good: int, months: Fraction
) -> None:
    """24 in the first year, then 60 a month, and so on beyond the months that are written."""
    demand = Demand.model_validate({"low": "8", "likely": "24", "high": "30", "by month": MONTHS})
    assert demand.months_for(good) == months


@given(st.lists(st.integers(0, 9), min_size=12, max_size=40), st.integers(0, 400))
def test_so_many_are_used_after_so_many_months(months: list[int], good: int) -> None:
    likely = sum(months[:12])
    if likely and any(months[-12:]):
        form = {"low": "0", "likely": str(likely), "high": str(likely)}
        demand = Demand.model_validate(form | {"by month": [str(each) for each in months]})
        assert demand.likely_over(demand.months_for(good)) == good


def test_what_is_never_used_up_is_said_to_be_never() -> None:
    form = {"low": "1", "likely": "5", "high": "5", "by month": ["5"] + ["0"] * 23}
    assert Demand.model_validate(form).months_for(6) == NEVER


def growing(likely: int, share: int) -> Demand:
    return Demand.model_validate(a_demand(likely) | {"growth": f"{share} % a year"})


def test_each_year_wants_more_by_its_growth() -> None:
    """Counted by hand: 120, 132 and 145.2 a year; the months are the steps of their sum."""
    demand = growing(120, 10)
    months = [demand.of_month(number) for number in range(36)]
    assert [sum(months[:12]), sum(months[:24]), sum(months)] == [120, 252, 398]
    assert demand.likely_over(18) == 120 + 66


@given(st.integers(1, 500), st.integers(0, 60), st.integers(0, 3000))
def test_growth_is_counted_forth_and_back(likely: int, share: int, good: int) -> None:
    demand = growing(likely, share)
    assert demand.likely_over(demand.months_for(good)) == good


def test_weights_that_do_not_add_up_leave_the_scenarios_aside() -> None:
    def weighed(*weights: str | None) -> int:
        some = [{"a year": "5"} | ({"weight": each} if each else {}) for each in weights]
        return len(Demand.model_validate(a_demand(5) | {"scenarios": some}).weighed)

    assert (weighed("60 %", "40 %"), weighed("60 %", "30 %"), weighed("60 %", None)) == (2, 0, 0)
