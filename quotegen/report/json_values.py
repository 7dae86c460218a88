"""How single values are written in JSON: nothing becomes a float, null is what is not known."""

from __future__ import annotations

import datetime
from fractions import Fraction

from quotegen.basics.money import rounded

FINEST = 10


def amount(value: Fraction | None) -> str | None:
    """Plain digits, exact where they end within ten decimals, else rounded there."""
    if value is None:
        return None
    if value.denominator == 1:
        return str(value.numerator)
    digits = format(rounded(value, FINEST), "f").rstrip("0").rstrip(".")
    return "0" if digits == "-0" else digits


def day(value: datetime.date | None) -> str | None:
    return value.isoformat() if value is not None else None
