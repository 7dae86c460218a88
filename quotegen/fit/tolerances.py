"""A tolerance as a drawing writes it, read for a nominal size into the width of its band.

`H7`, `+/- 0.1 mm`, `+0.1 -0.2 mm`, `0.2 mm total`, `ISO 2768-m`, `DCTG 6`. A text that may say
two things is refused: 0.2 mm alone may be the whole band or to each side.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from quotegen.basics.number import Unreadable, read_number
from quotegen.basics.quantity import MILLIMETRES
from quotegen.fit.tables import (
    Banded,
    casting_tolerances,
    general_tolerances,
    standard_tolerances,
)

KNOWN = "H7, +/- 0.1 mm, +0.1 -0.2 mm, 0.2 mm total, ISO 2768-m or DCTG 6"
ONE_SIDE = "`+/- 0.2 mm` or `0.2 mm total`"
# ISO 286-1 leaves out the letters that look like others.
LETTERS = "a b c cd d e ef f fg g h j js k m n p r s t u v x y z za zb zc".split()
UNREAD, TWO_READINGS = "tolerance-unread", "tolerance-two-readings"
NO_GRADE, NO_SIZE = "tolerance-grade", "tolerance-size"
NUMBER = r"\d[\d.,]*"
UNIT = r"(um|\N{MICRO SIGN}m|mm|cm|in)"


class Side(StrEnum):
    """Whether the toleranced size is inside (a hole) or outside (a shaft)."""

    HOLE = "hole"
    SHAFT = "shaft"
    NOT_SAID = "not said"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """The whole band in millimetres at a nominal size, and the text that said it."""

    written: str
    width: Fraction
    side: Side = Side.NOT_SAID


def read_tolerance(written: str, size: Fraction) -> Tolerance:
    """The band of a tolerance at a size in mm.

    Raises Unreadable with tolerance-unread (no form that is known), tolerance-two-readings,
    tolerance-grade (not in its table) or tolerance-size (the table has no value for the size).
    """
    text = re.sub(r"\s+", " ", written.replace("\N{MINUS SIGN}", "-").strip())
    for form, read in FORMS:
        match = re.fullmatch(form, text)
        if match is not None:
            width, side = read(match, size)
            if width <= 0:
                raise Unreadable(UNREAD, written, KNOWN)
            return Tolerance(written=text, width=width, side=side)
    raise Unreadable(UNREAD, written, KNOWN)


def at_grade(table: Banded, grade: str, size: Fraction, written: str) -> Fraction:
    """The value of a grade at a size; raises Unreadable where the table has none."""
    if grade not in table.rows:
        rows = list(table.rows)
        raise Unreadable(NO_GRADE, written, f"{rows[0]} to {rows[-1]} ({table.source.text})")
    found = table.at(grade, size)
    if found is None:
        expected = f"{_range_of(table, grade)} for {grade} ({table.source.text})"
        raise Unreadable(NO_SIZE, written, expected, size=_mm(size))
    return found


def _range_of(table: Banded, grade: str) -> str:
    """The sizes for which a grade has values; they follow each other without a hole."""
    has = [number for number, value in enumerate(table.rows[grade]) if value is not None]
    return f"{_mm(table.bounds[has[0]])} to {_mm(table.bounds[has[-1] + 1])}"


def _mm(size: Fraction) -> str:
    return f"{float(size):g} mm"


_Read = tuple[Fraction, Side]


def _iso_code(match: re.Match[str], size: Fraction) -> _Read:
    """A letter and a grade, or IT and a grade alone; capitals are holes (ISO 286-1)."""
    letter = match[1]
    known = letter == "IT" or letter.lower() in LETTERS
    if not known or letter not in (letter.lower(), letter.upper()):
        raise Unreadable(UNREAD, match[0], KNOWN)
    side = Side.SHAFT if letter.islower() else Side.HOLE
    width = at_grade(standard_tolerances(), f"IT{int(match[2])}", size, match[0])
    return width, Side.NOT_SAID if letter == "IT" else side


def _both_sides(match: re.Match[str], _: Fraction) -> _Read:
    return 2 * _length(match[1], match[2], match[0]), Side.NOT_SAID


def _share(match: re.Match[str], size: Fraction) -> _Read:
    return 2 * size * read_number(match[1], None) / 100, Side.NOT_SAID


def _limits(match: re.Match[str], _: Fraction) -> _Read:
    """Two deviations; one that is zero needs no sign, and each may have its own unit."""
    first, second = match[1], match[3]
    if any(each[0] not in "+-" and each.strip("0.,") for each in (first, second)):
        raise Unreadable(TWO_READINGS, match[0], "a sign before each deviation")
    last = match[4]
    one = _deviation(first, match[2] or last, match[0])
    return abs(one - _deviation(second, last, match[0])), Side.NOT_SAID


def _deviation(text: str, unit: str, written: str) -> Fraction:
    size = _length(text.lstrip("+- "), unit, written)
    return -size if text.startswith("-") else size


def _total(match: re.Match[str], _: Fraction) -> _Read:
    return _length(match[1], match[2], match[0]), Side.NOT_SAID


def _bare(match: re.Match[str], _: Fraction) -> _Read:
    raise Unreadable(TWO_READINGS, match[0], ONE_SIDE)


def _without_unit(match: re.Match[str], _: Fraction) -> _Read:
    raise Unreadable(TWO_READINGS, match[0], "a unit, mm or in")


def _two_codes(match: re.Match[str], _: Fraction) -> _Read:
    raise Unreadable(TWO_READINGS, match[0], "the code of this part alone, not of both that meet")


def _general(match: re.Match[str], size: Fraction) -> _Read:
    """ISO 2768-1 gives plus and minus; a capital after the class is for shape, not for size."""
    return 2 * at_grade(general_tolerances(), match[1], size, match[0]), Side.NOT_SAID


def _casting(match: re.Match[str], size: Fraction) -> _Read:
    grade = f"DCTG {int(match[1])}"
    return at_grade(casting_tolerances(), grade, size, match[0]), Side.NOT_SAID


def _length(text: str, unit: str, written: str) -> Fraction:
    try:
        return read_number(text, None) * MILLIMETRES[unit.replace("\N{MICRO SIGN}", "u")]
    except Unreadable as problem:
        code = TWO_READINGS if problem.code == "two-readings" else UNREAD
        expected = "a decimal point and no thousands" if code == TWO_READINGS else KNOWN
        raise Unreadable(code, written, expected) from problem


_SIGNED = rf"[+-]? ?{NUMBER}"
_BOTH = "(?:\\+/-|\N{PLUS-MINUS SIGN}|\\+-) ?"
FORMS: tuple[tuple[str, Callable[[re.Match[str], Fraction], _Read]], ...] = (
    (r"([A-Za-z]{1,2}) ?(\d{1,2})", _iso_code),
    (r"([A-Z]{1,2}\d{1,2}) ?/ ?([a-z]{1,2}\d{1,2})", _two_codes),
    (rf"{_BOTH}({NUMBER}) ?{UNIT}", _both_sides),
    (rf"{_BOTH}({NUMBER}) ?%", _share),
    (rf"{_BOTH}({NUMBER})", _without_unit),
    (rf"({_SIGNED}) ?{UNIT}?(?: ?/ ?| |(?=[+-]))({_SIGNED}) ?{UNIT}", _limits),
    (rf"({_SIGNED}) ?/ ?({_SIGNED})", _without_unit),
    (rf"({NUMBER}) ?{UNIT} total", _total),
    (rf"total ({NUMBER}) ?{UNIT}", _total),
    (rf"[+-]? ?{NUMBER} ?{UNIT}?", _bare),
    (r"(?:ISO )?2768(?:-1)?[- ]([a-z])(?:[HKL])?", _general),
    (r"(?:ISO 8062(?:-3)?(?: ?-)? )?DCTG ?(\d{1,2})", _casting),
)
