"""Money and prices: exact amounts with an ISO 4217 currency, rounded only when printed (R18)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from functools import cache


@dataclass(frozen=True, slots=True)
class Money:
    """An exact amount in one currency (ISO 4217 alphabetic code)."""

    amount: Fraction
    currency: str

    def __add__(self, other: Money) -> Money:
        if self.currency != other.currency:
            raise ValueError(f"cannot add {self.currency} and {other.currency} without a rate")
        return Money(self.amount + other.amount, self.currency)

    def times(self, factor: Fraction | int) -> Money:
        return Money(self.amount * factor, self.currency)

    def __str__(self) -> str:
        return f"{written(self.amount)} {self.currency}"


@dataclass(frozen=True, slots=True)
class Price:
    """Money for a stated number of pieces ("18.40 EUR per 100") or for a mass ("0.34 GBP per g").

    count is in pieces when unit is "piece", in grams when unit is "g".
    """

    money: Money
    count: Fraction = Fraction(1)
    unit: str = "piece"

    @property
    def each(self) -> Money:
        """The money for one piece, or for one gram."""
        return self.money.times(1 / self.count)

    def __str__(self) -> str:
        if self.unit == "piece":
            return f"{self.money} per {written(self.count)}"
        if self.count == 1000:
            return f"{self.money} per kg"
        return f"{self.money} per {'' if self.count == 1 else written(self.count) + ' '}g"


@cache
def minor_digits(currency: str) -> int | None:
    """Digits after the decimal sign in ISO 4217 list one; None for a code that is not on it."""
    from iso4217 import Currency

    try:
        known = Currency(currency)
    except ValueError:
        return None
    return known.exponent if known.exponent is not None else 2


def rounded(amount: Fraction, digits: int) -> Decimal:
    """The amount to so many decimal digits, halves away from zero."""
    with localcontext() as context:
        context.prec = 60
        scaled = Decimal(amount.numerator) / Decimal(amount.denominator)
        return scaled.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP)


def written(amount: Fraction) -> str:
    """The amount as plain digits: whole when it is whole, else exact if it ends in ten digits."""
    if amount.denominator == 1:
        return str(amount.numerator)
    shown = rounded(amount, 10).normalize()
    if Fraction(shown) == amount:
        text = format(shown, "f")
        return text if len(text.partition(".")[2]) >= 2 else text + "0"
    return format(rounded(amount, 4), "f")
