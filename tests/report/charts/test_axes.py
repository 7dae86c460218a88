"""Scales and ticks: round, inside their bounds, and as many as there is room for."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from quotegen.report.charts.axes import (
    Scale,
    Tick,
    exact,
    fitting,
    linear_ticks,
    log_outward,
    log_ticks,
    number_text,
    outward_ticks,
    shortest_text,
    thinned,
)

AMOUNTS = st.one_of(st.floats(-1e9, 1e9), st.sampled_from([0, 0.02, 0.3, 1e7, -2200]))
ABOVE_ZERO = st.floats(0.001, 1e9)
STEPS = [Fraction(10) ** power * factor for power in range(-15, 15) for factor in (1, 2, 5)]


def multiples(low: float, high: float, step: Fraction) -> int:
    return math.floor(exact(high) / step) - math.ceil(exact(low) / step) + 1


@given(AMOUNTS, AMOUNTS, st.integers(2, 12))
def test_linear_ticks_stand_at_the_finest_round_step_that_is_allowed(
    low: float, high: float, most: int
) -> None:
    """Brute force over every step of 1, 2 or 5 times a power of ten."""
    assume(high - low > 1e-6)
    step = next(each for each in STEPS if multiples(low, high, each) <= most)
    wanted = [n * step for n in range(math.ceil(exact(low) / step), 1 + exact(high) // step)]
    assert [tick.value for tick in linear_ticks(low, high, most)] == [float(x) for x in wanted]


@given(AMOUNTS, AMOUNTS, st.integers(2, 12))
def test_a_tick_is_written_as_exactly_what_it_is(low: float, high: float, most: int) -> None:
    """No source: a rounded tick would put the line at the wrong amount."""
    assume(high - low > 1e-6)
    for tick in linear_ticks(low, high, most):
        plain = tick.text.replace(",", "").replace("\N{MINUS SIGN}", "-")
        assert Fraction(plain) == exact(tick.value)


def test_the_last_tick_is_there_though_three_tenths_have_no_binary_form() -> None:
    """No source: 0.3 is a little less than 3/10 in binary."""
    assert [tick.text for tick in linear_ticks(0, 0.3, 4)] == ["0.0", "0.1", "0.2", "0.3"]


def test_ticks_of_pieces_are_whole() -> None:
    """No source: nobody buys half a part."""
    assert [tick.text for tick in linear_ticks(0, 3, 9, whole=True)] == ["0", "1", "2", "3"]
    assert [tick.text for tick in linear_ticks(0, 0.4, 9, whole=True)] == ["0"]


@given(AMOUNTS, AMOUNTS, st.integers(3, 12))
def test_outward_ticks_hold_the_range_at_the_finest_round_step(
    low: float, high: float, most: int
) -> None:
    """Brute force over every step: one that is finer needs more ticks than allowed."""
    assume(high - low > 1e-6)
    values = [exact(tick.value) for tick in outward_ticks(low, high, most)]
    step = next(
        each
        for each in STEPS
        if math.ceil(exact(high) / each) - math.floor(exact(low) / each) + 1 <= most
    )
    first, last = math.floor(exact(low) / step), math.ceil(exact(high) / step)
    assert values == [each * step for each in range(first, last + 1)]


@pytest.mark.parametrize("value", [0, 5, -3, 1e7])
def test_an_axis_for_one_amount_still_has_a_length(value: float) -> None:
    """No source: all costs alike is a result too."""
    ticks = outward_ticks(value, value, 6)
    assert ticks[0].value <= value < ticks[-1].value


def test_two_ticks_are_too_few_to_hold_a_range_around_zero() -> None:
    with pytest.raises(ValueError, match="do not hold a range"):
        outward_ticks(-1, 1, 2)


@given(ABOVE_ZERO, ABOVE_ZERO)
def test_log_bounds_are_one_two_or_five_and_hold_both_values(low: float, high: float) -> None:
    """No source: common practice on log paper."""
    assume(low <= high)
    bottom, top = log_outward(low, high)
    assert bottom <= low <= high <= top
    assert bottom < top
    for bound in (bottom, top):
        assert exact(bound) / Fraction(10) ** math.floor(math.log10(bound) + 1e-9) in (1, 2, 5)
    assert top / bottom <= high / low * 25 * (1 + 1e-9)


@given(ABOVE_ZERO, ABOVE_ZERO)
def test_log_ticks_lie_inside_rise_and_are_at_most_nine(low: float, high: float) -> None:
    """No source: more than nine texts cannot be read at this size."""
    assume(low < high)
    for ticks in log_ticks(low, high):
        values = [tick.value for tick in ticks]
        assert len(values) <= 9
        assert values == sorted(set(values))
        assert all(low <= value <= high for value in values)


def test_one_decade_shows_its_round_values_and_many_show_their_powers() -> None:
    """No source: the fullest set first, so that a short axis is not left with one tick."""
    texts = [tick.text for tick in next(log_ticks(20, 100))]
    assert texts == ["20", "30", "40", "50", "60", "80", "100"]
    assert [tick.text for tick in next(log_ticks(0.02, 1e6))][:3] == ["0.1", "1", "10"]


@given(ABOVE_ZERO, ABOVE_ZERO, st.booleans())
def test_a_scale_maps_its_ends_and_keeps_order(low: float, high: float, log: bool) -> None:
    """No source: straight, or straight in the logarithms."""
    assume(high / low > 1.001)
    scale = Scale(low=low, high=high, start=300, end=100, logarithmic=log)
    middle = math.sqrt(low * high) if log else (low + high) / 2
    assert scale.at(low) == pytest.approx(300)
    assert scale.at(high) == pytest.approx(100)
    assert scale.at(middle) == pytest.approx(200)
    assert scale.held(high * 2) == pytest.approx(100)
    assert scale.held(low / 2) == pytest.approx(300)


@pytest.mark.parametrize(
    ("low", "high", "log"),
    [(1, 1, False), (2, 1, False), (0, 1, True), (-1, 1, True), (0, math.inf, False)],
)
def test_a_scale_without_length_or_logarithm_is_refused(low: float, high: float, log: bool) -> None:
    with pytest.raises(ValueError, match="scale"):
        Scale(low=low, high=high, start=0, end=1, logarithmic=log)


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (1234.5, 2, "1,234.50"),
        (2.5, 0, "3"),
        (-2.5, 0, "\N{MINUS SIGN}3"),
        (1.005, 2, "1.01"),
        (-0.4, 0, "0"),
        (1e7, 0, "10,000,000"),
    ],
)
def test_an_amount_is_rounded_halves_away_from_zero(value: float, digits: int, text: str) -> None:
    """R18, and as the money of the report is rounded: 1.005 is what was written, not 1.00499."""
    assert number_text(value, digits) == text


def test_a_quantity_has_no_decimals_that_say_nothing() -> None:
    """No source: 14 pieces, not 14.00."""
    assert [shortest_text(value) for value in (14, 14.5, 1000, 0)] == ["14", "14.5", "1,000", "0"]


def test_ticks_whose_texts_would_touch_are_thinned() -> None:
    """No source: the earlier one stays."""
    scale = Scale(low=0, high=100, start=0, end=100)
    ticks = [Tick(value, str(value)) for value in (0, 10, 15, 30, 31)]
    kept = thinned(ticks, scale, lambda _: 10.0)
    assert [tick.value for tick in kept] == [0, 10, 30]
    assert fitting(iter([tuple(ticks), kept]), scale, lambda _: 10.0) == kept
    assert fitting(iter([tuple(ticks)]), scale, lambda _: 10.0) == (ticks[0],)
