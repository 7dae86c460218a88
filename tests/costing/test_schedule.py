"""Exact functions of a quantity: one figure and many at once agree."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.costing.schedule import (
    ORDER,
    PIECES,
    Driver,
    Lift,
    Scaled,
    Schedule,
    Steps,
    Sum,
    batches,
    flat,
    good_pieces,
    rejected_pieces,
    whole,
)

REACH = 60
fractions = st.fractions(-50, 500, max_denominator=12)
positive = st.fractions(0, 500, max_denominator=12)
shares = st.fractions(0, 1, max_denominator=40)


@st.composite
def drivers(draw: st.DrawFn) -> Driver:
    share = draw(st.fractions(0, Fraction(19, 20), max_denominator=40))
    kinds = [ORDER, PIECES, batches(draw(st.integers(1, 15)), share), good_pieces(share)]
    return draw(st.sampled_from([*kinds, rejected_pieces(share)]))


@st.composite
def steps(draw: st.DrawFn) -> Steps:
    starts = sorted(draw(st.sets(st.integers(1, REACH + 9), min_size=1, max_size=4)))
    amounts = st.lists(fractions, min_size=len(starts), max_size=len(starts)).map(tuple)
    return Steps(tuple(starts), draw(amounts), draw(amounts), draw(drivers()))


schedules = st.recursive(
    steps(),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda parts: Sum(tuple(parts))),
        st.builds(Scaled, inner, fractions),
        st.builds(Lift, inner, positive),
    ),
    max_leaves=5,
)


@given(schedules, st.sampled_from([1, 3]), st.sampled_from([np.int64, object]))
def test_many_at_once_are_the_same_as_one_by_one(
    schedule: Schedule, times: int, kind: type
) -> None:
    pieces = np.arange(1, REACH + 1).astype(kind)
    unit = schedule.denominator * times
    values = schedule.values(pieces, unit)
    assert values.dtype == kind
    assert [Fraction(int(each), unit) for each in values] == [
        schedule.at(n) for n in range(1, REACH + 1)
    ]


@given(schedules)
def test_the_bound_is_above_every_amount(schedule: Schedule) -> None:
    unit = schedule.denominator
    bound = schedule.bound(REACH, unit)
    assert all(abs(schedule.at(n)) * unit <= bound for n in range(1, REACH + 1))


@given(steps())
def test_a_price_changes_at_its_breaks_and_nowhere_else(schedule: Steps) -> None:
    changes = {n for n in range(2, REACH + 1) if schedule.step_at(n) != schedule.step_at(n - 1)}
    assert changes == set(schedule.breaks[1:]) & set(range(2, REACH + 1))


@pytest.mark.parametrize(
    ("driver", "counts"),
    [
        (ORDER, [1, 1, 1, 1]),
        (PIECES, [1, 24, 25, 140]),
        (batches(12), [1, 2, 3, 12]),
        (good_pieces(Fraction(4, 100)), [0, 23, 24, 134]),
        (rejected_pieces(Fraction(4, 100)), [1, 1, 1, 6]),
        (batches(10, Fraction(1, 5)), [1, 3, 4, 18]),
    ],
)
def test_what_is_counted(driver: Driver, counts: list[int]) -> None:
    """140 pieces of which 4 % fail give floor(134.4) = 134 good ones.

    With one in five replaced, 24 good pieces are 30 made: three batches of ten.
    """
    assert [driver.of(n) for n in (1, 24, 25, 140)] == counts


@given(drivers(), st.integers(1, 40))
def test_a_count_grows_on_the_whole_by_its_smoothed_step(driver: Driver, times: int) -> None:
    """Over a round number of pieces the steps even out."""
    period = driver.batch * driver.rejects.denominator * 5
    grown = driver.of(period * (times + 1)) - driver.of(period * times)
    assert abs(grown - driver.a_piece * period) <= 1


def test_a_lift_ends_where_the_least_value_is_reached_and_never_pays_back() -> None:
    lift = Lift(flat(Fraction(10)), Fraction(500))
    assert [lift.at(n) for n in (1, 49, 50, 51)] == [490, 10, 0, 0]
    assert lift.slope_at(10) == 0


def test_the_steps_of_every_part_are_breaks_of_the_whole() -> None:
    base = Sum((Steps((3, 9), (Fraction(0),) * 2, (Fraction(1),) * 2), flat(Fraction(1))))
    assert Lift(Scaled(base, Fraction(1, 3)), Fraction(1)).breaks == (1, 3, 9)


def test_a_slope_is_what_one_piece_more_costs_in_its_tier() -> None:
    tiers = Steps((1, 10), (Fraction(0), Fraction(0)), (Fraction(8), Fraction(5)))
    plates = flat(Fraction(180), batches(12))
    both = Sum((tiers, plates, flat(Fraction(60), ORDER)))
    assert [both.slope_at(n) for n in (9, 10)] == [23, 20]
    assert Scaled(both, Fraction(1, 10)).slope_at(9) == Fraction("2.3")


def test_an_amount_that_is_not_whole_in_the_unit_is_refused() -> None:
    assert whole(Fraction(3, 4), 8) == 6
    with pytest.raises(ValueError, match="not whole"):
        whole(Fraction(1, 3), 100)
