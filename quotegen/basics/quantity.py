"""Masses, lengths, shares and spans of time, written with their unit in words."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

GRAMS = {
    "mg": Fraction(1, 1000),
    "g": Fraction(1),
    "kg": Fraction(1000),
    "t": Fraction(1_000_000),
    "lb": Fraction("453.59237"),
    "oz": Fraction("28.349523125"),
}
MILLIMETRES = {
    "um": Fraction(1, 1000),
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction("25.4"),
}
SPAN_UNITS = ("working days", "days", "weeks", "months")


@dataclass(frozen=True, slots=True)
class Mass:
    """A mass in grams; the pound and the ounce are the international avoirdupois ones."""

    grams: Fraction

    @property
    def kilograms(self) -> Fraction:
        return self.grams / 1000


@dataclass(frozen=True, slots=True)
class Length:
    """A length in millimetres."""

    millimetres: Fraction


@dataclass(frozen=True, slots=True)
class Span:
    """A span of time as written; working days need a calendar to become a date (R17)."""

    count: int
    unit: str

    def __str__(self) -> str:
        unit = self.unit[:-1] if self.count == 1 else self.unit
        return f"{self.count} {unit}"


@dataclass(frozen=True, slots=True)
class YearlyRate:
    """A share a year, such as the cost of capital: 7 % a year is Fraction(7, 100)."""

    share: Fraction


@dataclass(frozen=True, slots=True)
class MinutesAPiece:
    """Minutes of work for each piece."""

    minutes: Fraction
