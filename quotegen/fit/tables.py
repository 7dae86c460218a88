"""The published tables: numbers with their source and how far each can be trusted.

They stand in tables/*.yaml and travel inside the package. Every number is read as written and
becomes an exact fraction; what is misspelt there raises ValueError when the table is loaded.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import yaml

FOLDER = Path(__file__).parent / "tables"
NONE = "none"
MICROMETRES = Fraction(1, 1000)
INCH = Fraction("25.4")


class Confidence(StrEnum):
    """How far a number can be trusted; a low one only ever raises a question."""

    HIGH = "high"
    MEDIUM = "medium"
    LOW = "low"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where a number comes from."""

    text: str
    confidence: Confidence


@dataclass(frozen=True, slots=True, kw_only=True)
class Banded:
    """Values by grade and by ranges of size, all in millimetres.

    A size on a bound belongs to the range below it. None in a row: the standard has no value.
    """

    source: Source
    bounds: tuple[Fraction, ...]
    rows: Mapping[str, tuple[Fraction | None, ...]]
    with_least: bool

    def at(self, grade: str, size: Fraction) -> Fraction | None:
        """The value for a size in mm; None outside the ranges or where there is none.

        Raises KeyError for a grade that the table lacks.
        """
        row = self.rows[grade]
        if size == self.bounds[0] and self.with_least:
            return row[0]
        number = bisect_left(self.bounds, size) - 1
        return row[number] if 0 <= number < len(row) else None


def read(name: str) -> Any:
    """What stands in a table: groups, lists and texts, with nothing guessed."""
    with (FOLDER / f"{name}.yaml").open(encoding="utf-8") as file:
        return yaml.load(file, Loader=yaml.CBaseLoader)  # noqa: S506  # builds plain texts only


def number(text: str) -> Fraction:
    """A number of a table, zero or more."""
    value = Fraction(text)
    if value < 0:
        raise ValueError(f"a table holds {text!r}")
    return value


def source_of(line: Mapping[str, Any]) -> Source:
    return Source(text=str(line["source"]), confidence=Confidence(line["confidence"]))


def pair(texts: Any) -> tuple[Fraction, Fraction]:
    """A range from least to most."""
    least, most = (number(each) for each in texts)
    if least > most:
        raise ValueError(f"a range runs from {least} down to {most}")
    return least, most


def banded(tree: Mapping[str, Any], *, with_least: bool = False) -> Banded:
    """A table of ranges, every row as long as there are ranges and its values never falling.

    with_least says whether the least bound itself belongs to the first range.
    """
    unit = {"um": MICROMETRES, "mm": Fraction(1)}[tree["unit"]]
    bounds = tuple(number(each) for each in tree["bounds"])
    rows = {name: tuple(_cell(each, unit) for each in row) for name, row in tree["rows"].items()}
    for name, row in rows.items():
        values = [each for each in row if each is not None]
        if len(row) != len(bounds) - 1 or values != sorted(values):
            raise ValueError(f"row {name!r} does not fit the bounds, or falls")
    if list(bounds) != sorted(set(bounds)):
        raise ValueError("the bounds do not rise")
    return Banded(source=source_of(tree), bounds=bounds, rows=rows, with_least=with_least)


def _cell(text: str, unit: Fraction) -> Fraction | None:
    return None if text == NONE else number(text) * unit


@cache
def standard_tolerances() -> Banded:
    """ISO 286-1: whole bands, rows IT5 to IT18, sizes to 500 mm."""
    return banded(read("iso_286"))


@cache
def general_tolerances() -> Banded:
    """ISO 2768-1: plus and minus, rows f, m, c and v, from 0.5 mm on."""
    return banded(read("iso_2768"), with_least=True)


@cache
def casting_tolerances() -> Banded:
    """ISO 8062-3: whole bands, rows DCTG 1 to DCTG 16."""
    return banded(read("iso_8062_tolerances"))


@cache
def machining_allowances() -> Banded:
    """ISO 8062: metal on each machined face by the largest dimension, rows A to K."""
    return banded(read("iso_8062_allowances"))
