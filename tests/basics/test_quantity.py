"""Masses, lengths and spans of time."""

from __future__ import annotations

from fractions import Fraction

import pytest

from quotegen.basics.quantity import GRAMS, MILLIMETRES, Mass, Span


@pytest.mark.parametrize(
    ("unit", "grams"),
    [("mg", "0.001"), ("g", "1"), ("kg", "1000"), ("t", "1000000"), ("lb", "453.59237")],
)
def test_a_unit_of_mass_is_so_many_grams(unit: str, grams: str) -> None:
    """International yard and pound agreement of 1959 for the pound; SI for the others."""
    assert GRAMS[unit] == Fraction(grams)


def test_a_pound_has_sixteen_ounces() -> None:
    """International yard and pound agreement of 1959."""
    assert GRAMS["oz"] * 16 == GRAMS["lb"]


@pytest.mark.parametrize(
    ("unit", "millimetres"),
    [("um", "0.001"), ("mm", "1"), ("cm", "10"), ("m", "1000"), ("in", "25.4")],
)
def test_a_unit_of_length_is_so_many_millimetres(unit: str, millimetres: str) -> None:
    """International yard and pound agreement of 1959 for the inch; SI for the others."""
    assert MILLIMETRES[unit] == Fraction(millimetres)


def test_a_mass_is_told_in_kilograms() -> None:
    """SI."""
    assert Mass(Fraction(86)).kilograms == Fraction(86, 1000)


@pytest.mark.parametrize(
    ("count", "unit", "shown"),
    [(1, "weeks", "1 week"), (6, "weeks", "6 weeks"), (1, "working days", "1 working day")],
)
def test_one_is_not_many(count: int, unit: str, shown: str) -> None:
    """No source."""
    assert str(Span(count, unit)) == shown
