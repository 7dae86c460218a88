"""What quality a delivery must have to be accepted: an AQL, a limiting quality, or both."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.number import Unreadable

EXAMPLE = "AQL or LQ and a number, such as `AQL 1.0` or `AQL 1.0, LQ 8`"
# Nonconforming pieces in 100: the columns of ISO 2859-1, Table 2-A, that count pieces.
AQLS = (
    "0.010",
    "0.015",
    "0.025",
    "0.040",
    "0.065",
    "0.10",
    "0.15",
    "0.25",
    "0.40",
    "0.65",
    "1.0",
    "1.5",
    "2.5",
    "4.0",
    "6.5",
    "10",
)
# The preferred limiting qualities of ISO 2859-2:1985, in pieces of 100 as well.
LQS = ("0.5", "0.8", "1.25", "2", "3.15", "5", "8", "12.5", "20", "31.5")


@dataclass(frozen=True, slots=True)
class Acceptance:
    """An acceptance quality limit for a series of lots, a limiting quality for a lot by itself.

    Each is a word of its standard's series, in nonconforming pieces of 100; one of them is there.
    """

    aql: str | None = None
    lq: str | None = None

    def __str__(self) -> str:
        named = (("AQL", self.aql), ("LQ", self.lq))
        return ", ".join(f"{name} {value}" for name, value in named if value is not None)

    @property
    def limiting(self) -> Fraction | None:
        """The limiting quality as a share."""
        return Fraction(self.lq) / 100 if self.lq is not None else None


def read_acceptance(text: str) -> Acceptance:
    """`AQL 1.0`, `LQ 8` or both; raises Unreadable for a number outside the standards' series."""
    found: dict[str, str] = {}
    for part in text.split(","):
        match = re.fullmatch(r"(AQL|LQ) *(-?\d+(?:\.\d+)?)(?: *%)?", part.strip())
        if match is None or match[1] in found:
            raise Unreadable("wrong-value", text, EXAMPLE)
        found[match[1]] = _of_series(match[1], match[2], text)
    return Acceptance(aql=found.get("AQL"), lq=found.get("LQ"))


def _of_series(name: str, written: str, text: str) -> str:
    """The number as the standard writes it."""
    series, standard = (AQLS, "ISO 2859-1") if name == "AQL" else (LQS, "ISO 2859-2")
    value = Fraction(written)
    for known in series:
        if Fraction(known) == value:
            return known
    expected = f"one of {', '.join(series)} ({standard})"
    raise Unreadable("wrong-value", text, expected)
