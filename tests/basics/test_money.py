"""Money: exact inside, rounded only where it is printed."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.basics.money import Money, Price, minor_digits, rounded, written


def _money(amount: str, currency: str = "EUR") -> Money:
    return Money(Fraction(amount), currency)


def test_money_of_one_currency_adds_up() -> None:
    """No source."""
    assert _money("1.10") + _money("2.20") == _money("3.30")
    assert _money("1.10").times(3) == _money("3.30")


def test_money_of_two_currencies_does_not_add_up() -> None:
    """R10: a rate is needed."""
    with pytest.raises(ValueError, match="cannot add EUR and GBP without a rate"):
        _money("1") + _money("1", "GBP")


@pytest.mark.parametrize(
    ("count", "unit", "shown"),
    [
        ("1", "piece", "18.40 EUR per 1"),
        ("100", "piece", "18.40 EUR per 100"),
        ("1", "g", "18.40 EUR per g"),
        ("1000", "g", "18.40 EUR per kg"),
        ("100", "g", "18.40 EUR per 100 g"),
    ],
)
def test_a_price_is_shown_as_it_is_written(count: str, unit: str, shown: str) -> None:
    """No source."""
    assert str(Price(_money("18.4"), Fraction(count), unit)) == shown


def test_a_price_per_hundred_is_a_hundredth_each() -> None:
    """No source."""
    assert Price(_money("18.40"), Fraction(100)).each == _money("0.184")


@pytest.mark.parametrize(
    ("currency", "digits"),
    [("EUR", 2), ("JPY", 0), ("KWD", 3), ("ISK", 0), ("CLF", 4), ("XXQ", None), ("eur", None)],
)
def test_minor_digits_are_those_of_the_standard(currency: str, digits: int | None) -> None:
    """ISO 4217, list one."""
    assert minor_digits(currency) == digits


@pytest.mark.parametrize(
    ("amount", "digits", "printed"),
    [
        ("0.985", 2, "0.99"),
        ("-0.985", 2, "-0.99"),
        ("2.5", 0, "3"),
        ("0.125", 2, "0.13"),
        ("1/3", 4, "0.3333"),
        ("2/3", 2, "0.67"),
        ("12345678901234567890.125", 2, "12345678901234567890.13"),
    ],
)
def test_halves_are_rounded_away_from_zero(amount: str, digits: int, printed: str) -> None:
    """R18; the usual rounding of money in trade."""
    assert rounded(Fraction(amount), digits) == Decimal(printed)


@given(st.fractions(min_value=-(10**6), max_value=10**6), st.integers(0, 4))
def test_rounding_moves_an_amount_by_half_a_unit_at_most(amount: Fraction, digits: int) -> None:
    """R18."""
    assert abs(Fraction(rounded(amount, digits)) - amount) <= Fraction(1, 2 * 10**digits)


@pytest.mark.parametrize(
    ("amount", "shown"),
    [
        ("1500", "1500"),
        ("9.8", "9.80"),
        ("0.184", "0.184"),
        ("0.0000000001", "0.0000000001"),
        ("1/3", "0.3333"),
        ("-2.5", "-2.50"),
    ],
)
def test_an_amount_is_written_exactly_where_it_ends(amount: str, shown: str) -> None:
    """No source: ten digits at most, else four."""
    assert written(Fraction(amount)) == shown
