"""How figures and dates are printed: the only place where an amount is rounded (R18)."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from fractions import Fraction

from quotegen.basics.money import minor_digits, rounded

UNIT_DIGITS = 4


def printed(amount: Fraction, currency: str, unit_price: bool = False) -> str:
    """The amount without its currency, with thousands commas.

    To the currency's minor unit; a unit price keeps up to four digits where they say something.
    """
    digits = minor_digits(currency) or 0
    if unit_price and Fraction(rounded(amount, digits)) != Fraction(rounded(amount, UNIT_DIGITS)):
        digits = UNIT_DIGITS
    return f"{rounded(amount, digits):,f}"


def money(amount: Fraction, currency: str) -> str:
    """The amount with its currency, to the minor unit."""
    return f"{printed(amount, currency)} {currency}"


def round_money(amount: Fraction, currency: str) -> str:
    """The amount to whole units of the currency, for a headline."""
    return f"{rounded(amount, 0):,f} {currency}"


def shared_out(amounts: Sequence[Fraction], digits: int) -> tuple[Fraction, ...]:
    """The amounts rounded to so many digits so that they add up to their rounded total.

    Every amount is cut; the units still missing go to those that lost most.
    """
    scale = 10**digits
    floors = [int(amount * scale // 1) for amount in amounts]
    total = int(Fraction(rounded(sum(amounts, Fraction(0)), digits)) * scale)
    lost = sorted(
        range(len(amounts)), key=lambda index: (floors[index] - amounts[index] * scale, index)
    )
    for index in lost[: total - sum(floors)]:
        floors[index] += 1
    return tuple(Fraction(floor, scale) for floor in floors)


def adding_up(amounts: Sequence[Fraction], currency: str) -> tuple[str, ...]:
    """A column printed to the minor unit so that it adds up to its printed total."""
    shared = shared_out(amounts, minor_digits(currency) or 0)
    return tuple(printed(amount, currency) for amount in shared)


def round_difference(amount: Fraction, less: Fraction) -> int:
    """What two amounts differ by as printed in whole units, so that a reader can check it."""
    return int(rounded(amount, 0)) - int(rounded(less, 0))


def per_cent(share: Fraction) -> str:
    """A share as a percentage with at most two digits."""
    text = f"{rounded(share * 100, 2):f}"
    return (text.rstrip("0").rstrip(".") or "0") + " %"


def day(date: datetime.date) -> str:
    return date.isoformat()


def listed(words: Sequence[str]) -> str:
    """Words as a person lists them: a, b and c."""
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + " and " + words[-1]


def counted(number: int, one: str, many: str | None = None) -> str:
    """A number with its noun: 1 piece, 2 pieces."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"
