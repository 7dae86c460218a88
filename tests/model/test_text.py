"""Texts in a form as values: each kind read strictly, or refused with the code of its problem."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.basics.money import Money, Price
from quotegen.basics.number import Unreadable
from quotegen.basics.quantity import Length, Mass, Span, YearlyRate
from quotegen.model import text


def _eur(amount: str) -> Money:
    return Money(Fraction(amount), "EUR")


@pytest.mark.parametrize(
    ("read", "written", "value"),
    [
        (text.read_text, " Pawl ", "Pawl"),
        (text.read_whole, "0", 0),
        (text.read_whole, "56", 56),
        (text.read_whole, "56 pieces", 56),
        (text.read_whole, "1 piece", 1),
        (text.read_whole, "1 000 shots", 1000),
        (text.read_whole, "10000 shots", 10000),
        (text.read_whole, "80 pieces a month", 80),
        (text.read_whole, "500 a year", 500),
        (text.read_whole, "5.00", 5),
        (text.read_count, "1", 1),
        (text.read_currency, "EUR", "EUR"),
        (text.read_country, "NO", "NO"),
        (text.read_money, "1500 EUR", _eur("1500")),
        (text.read_money, "0 EUR", _eur("0")),
        (text.read_money, "1,234.50 EUR", _eur("1234.50")),
        (text.read_money, "1 234.50 EUR", _eur("1234.50")),
        (text.read_money, "0.125 EUR", _eur("0.125")),
        (text.read_money, "1.500 KWD", Money(Fraction("1.5"), "KWD")),
        (text.read_worth, "1.212 EUR", _eur("1.212")),
        (text.read_price, "9.80 EUR per 1", Price(_eur("9.80"))),
        (text.read_price, "9.80 EUR per piece", Price(_eur("9.80"))),
        (text.read_price, "1.845 EUR per 1", Price(_eur("1.845"))),
        (text.read_price, "18.40 EUR per 100", Price(_eur("18.40"), Fraction(100))),
        (text.read_price, "18.40 EUR per 1 000", Price(_eur("18.40"), Fraction(1000))),
        (text.read_price, "0.34 EUR per g", Price(_eur("0.34"), Fraction(1), "g")),
        (text.read_price, "340 EUR per kg", Price(_eur("340"), Fraction(1000), "g")),
        (text.read_price, "34 EUR per 100 g", Price(_eur("34"), Fraction(100), "g")),
        (text.read_mass, "86 g", Mass(Fraction(86))),
        (text.read_mass, "1.5 kg", Mass(Fraction(1500))),
        (text.read_mass, "86g", Mass(Fraction(86))),
        (text.read_mass, "2 lb", Mass(Fraction("907.18474"))),
        (text.read_length, "4 mm", Length(Fraction(4))),
        (text.read_length, "1 in", Length(Fraction("25.4"))),
        (
            text.read_envelope,
            "62 x 40 x 18.5 mm",
            (Length(Fraction(62)), Length(Fraction(40)), Length(Fraction("18.5"))),
        ),
        (text.read_share, "4 %", Fraction(4, 100)),
        (text.read_share, "2.5%", Fraction(25, 1000)),
        (text.read_share, "0 %", Fraction(0)),
        (text.read_share, "100 %", Fraction(1)),
        (text.read_yearly_rate, "7 % a year", YearlyRate(Fraction(7, 100))),
        (text.read_span, "25 working days", Span(25, "working days")),
        (text.read_span, "1 week", Span(1, "weeks")),
        (text.read_span, "0 days", Span(0, "days")),
        (text.read_date, "2027-03-15", datetime.date(2027, 3, 15)),
        (text.read_yes_no, "yes", True),
        (text.read_yes_no, " no ", False),
    ],
)
def test_a_text_says_its_value(read: Callable[[str], Any], written: str, value: object) -> None:
    """No source: our own forms."""
    assert read(written) == value


@pytest.mark.parametrize(
    ("read", "written", "code"),
    [
        (text.read_text, "  ", "wrong-value"),
        (text.read_text, "x" * 2001, "wrong-value"),
        (text.read_whole, "-1", "not-positive"),
        (text.read_whole, "5.5", "wrong-value"),
        (text.read_whole, "1.000", "two-readings"),
        (text.read_whole, "1,000", "two-readings"),
        (text.read_whole, "1.000 pieces", "two-readings"),
        (text.read_whole, "many", "not-a-number"),
        (text.read_whole, "5 dozen", "not-a-number"),
        (text.read_count, "0", "not-positive"),
        (text.read_whole, "100000001", "wrong-value"),
        (text.read_wanted, "100001", "wrong-value"),
        (text.read_wanted_some, "0", "not-positive"),
        (text.read_wanted_some, "99999999999", "wrong-value"),
        (text.read_months, "121", "wrong-value"),
        (text.read_span, "2601 working days", "wrong-value"),
        (text.read_span, "99999999 days", "wrong-value"),
        (text.read_span, "521 weeks", "wrong-value"),
        (text.read_date, "9999-12-31", "wrong-value"),
        (text.read_date, "0001-01-01", "wrong-value"),
        (text.read_currency, "eur", "unknown-currency"),
        (text.read_currency, "GBX", "unknown-currency"),
        (text.read_currency, "EURO", "unknown-currency"),
        (text.read_country, "no", "wrong-value"),
        (text.read_country, "GBR", "wrong-value"),
        (text.read_country, "UK", "wrong-value"),
        (text.read_money, "1500", "not-money"),
        (text.read_money, "EUR 1500", "not-money"),
        (text.read_money, "1500EUR", "not-money"),
        (text.read_money, "1500 eur", "unknown-currency"),
        (text.read_money, "-5 EUR", "not-positive"),
        (text.read_money, "1.500 EUR", "two-readings"),
        (text.read_money, "1,500 EUR", "two-readings"),
        (text.read_money, "1.500,00 EUR", "not-a-number"),
        (text.read_money, "12,90 EUR", "not-a-number"),
        (text.read_money, "TBC", "price-open"),
        (text.read_money, "tbc EUR", "price-open"),
        (text.read_money, "on request", "price-open"),
        (text.read_price, "9.80 EUR", "unit-missing"),
        (text.read_price, "9.80", "not-money"),
        (text.read_price, "TBC", "price-open"),
        (text.read_price, "9.80 EUR per dozen", "unit-unknown"),
        (text.read_price, "9.80 EUR per 0", "not-positive"),
        (text.read_price, "9.80 EUR per 0 g", "not-positive"),
        (text.read_price, "9.80 EUR per -1", "unit-unknown"),
        (text.read_price, "1,845 EUR per 1", "two-readings"),
        (text.read_price, "9.80 EUR per 1,000", "two-readings"),
        (text.read_mass, "86", "unit-missing"),
        (text.read_mass, "86 grams", "unit-unknown"),
        (text.read_mass, "0 g", "not-positive"),
        (text.read_mass, "-86 g", "not-positive"),
        (text.read_mass, "1,5 kg", "not-a-number"),
        (text.read_mass, "about 86 g", "not-a-number"),
        (text.read_mass, "9**9**7 g", "unit-unknown"),
        (text.read_length, "4 g", "unit-unknown"),
        (text.read_envelope, "62 x 40 mm", "wrong-value"),
        (text.read_envelope, "62 x 40 x 0 mm", "not-positive"),
        (text.read_share, "4", "unit-missing"),
        (text.read_share, "101 %", "wrong-value"),
        (text.read_share, "-1 %", "wrong-value"),
        (text.read_yearly_rate, "7 %", "unit-missing"),
        (text.read_span, "25", "unit-missing"),
        (text.read_span, "25 fortnights", "unit-unknown"),
        (text.read_span, "-1 days", "not-positive"),
        (text.read_span, "2.5 weeks", "wrong-value"),
        (text.read_span, "", "not-a-number"),
        (text.read_date, "15.03.2027", "not-a-date"),
        (text.read_date, "2027-02-30", "not-a-date"),
        (text.read_date, "2027-3-5", "not-a-date"),
        (text.read_date, "20270315", "not-a-date"),
        (text.read_yes_no, "true", "wrong-value"),
        (text.read_yes_no, "Yes", "wrong-value"),
    ],
)
def test_what_a_text_does_not_say_is_refused(
    read: Callable[[str], Any], written: str, code: str
) -> None:
    """No source: our own forms."""
    with pytest.raises(Unreadable) as refused:
        read(written)
    assert refused.value.code == code


AMOUNTS = st.fractions(min_value=0, max_value=10**7).map(
    lambda each: Fraction(round(each * 100), 100)
)


@given(AMOUNTS, st.sampled_from(["EUR", "JPY", "KWD", "GBP"]))
def test_money_is_read_back_as_it_is_shown(amount: Fraction, currency: str) -> None:
    """No source."""
    money = Money(amount, currency)
    assert text.read_money(str(money)) == money


@given(AMOUNTS, st.sampled_from([1, 10, 100, 1000]), st.sampled_from(["piece", "g"]))
def test_a_price_is_read_back_as_it_is_shown(amount: Fraction, count: int, unit: str) -> None:
    """No source."""
    price = Price(Money(amount, "EUR"), Fraction(count), unit)
    assert text.read_price(str(price)) == price


@given(st.integers(0, 120), st.sampled_from(["working days", "days", "weeks", "months"]))
def test_a_span_is_read_back_as_it_is_shown(count: int, unit: str) -> None:
    """No source."""
    assert text.read_span(str(Span(count, unit))) == Span(count, unit)


READERS = [
    text.read_text,
    text.read_whole,
    text.read_currency,
    text.read_country,
    text.read_money,
    text.read_price,
    text.read_mass,
    text.read_envelope,
    text.read_share,
    text.read_yearly_rate,
    text.read_span,
    text.read_date,
    text.read_yes_no,
]


@given(
    st.sampled_from(READERS),
    st.text(max_size=20) | st.text(alphabet="019.,-' x%perkgEURday\n", max_size=24),
)
def test_any_text_is_read_or_refused(read: Callable[[str], Any], written: str) -> None:
    """No source: no other exception, whatever is written."""
    assert _seen(read, written) in written


def _seen(read: Callable[[str], Any], written: str) -> str:
    """What the refusal shows of the text; nothing where the text is read."""
    try:
        read(written)
    except Unreadable as refused:
        return refused.values["seen"]
    return ""
