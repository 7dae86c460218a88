"""Numbers as people write them, read strictly: two possible readings are refused."""

from __future__ import annotations

import re
from fractions import Fraction

LONGEST = 40
GROUP_MARKS = (
    " \N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}\N{THIN SPACE}'\N{RIGHT SINGLE QUOTATION MARK}"
)
MINUS = "\N{MINUS SIGN}"
NO_PENCE = "\N{EN DASH}"  # as in 985,- for 985 and nothing after the comma
_NO_PENCE_AT_END = re.compile(rf",(-|--|{NO_PENCE})$")


class Unreadable(ValueError):
    """A text that does not say what its field needs.

    code names the problem; values fill the sentence that is written for that code.
    """

    def __init__(self, code: str, seen: str, expected: str, **values: str) -> None:
        super().__init__(f"{code}: {seen!r}")
        self.code = code
        self.values = {"seen": seen[:200], "expected": expected, **values}


def read_number(text: str, decimal_sign: str | None = ".") -> Fraction:
    """The exact number that a text says.

    decimal_sign is "." or "," where the file declares it, None where nothing does:
    then a text such as 1.845, which may be one or one thousand, is refused.
    Raises Unreadable with code not-a-number or two-readings.
    """
    cleaned = text.strip().replace(MINUS, "-")
    if not cleaned or len(cleaned) > LONGEST or not _has_known_marks(cleaned):
        raise Unreadable("not-a-number", text, "a number such as 12.90")
    sign, digits = _split_sign(cleaned)
    value = _read_digits(text, digits, decimal_sign)
    return -value if sign < 0 else value


def _has_known_marks(text: str) -> bool:
    return text.isascii() or all(mark.isascii() or mark in GROUP_MARKS + NO_PENCE for mark in text)


def _split_sign(text: str) -> tuple[int, str]:
    if text.startswith("(") and text.endswith(")"):
        return -1, text[1:-1]
    if text[0] in "+-":
        return (-1 if text[0] == "-" else 1), text[1:]
    return 1, _NO_PENCE_AT_END.sub("", text)


def _read_digits(text: str, digits: str, decimal_sign: str | None) -> Fraction:
    readings = {
        sign: value
        for sign in ([decimal_sign] if decimal_sign else [".", ","])
        if (value := _with_decimal(digits, sign)) is not None
    }
    if not readings:
        raise Unreadable("not-a-number", text, _expected(decimal_sign))
    if len(readings) > 1 and len(set(readings.values())) > 1:
        both = " or ".join(sorted(_plain(value) for value in readings.values()))
        raise Unreadable("two-readings", text, "a number with one reading", readings=both)
    return next(iter(readings.values()))


def _expected(decimal_sign: str | None) -> str:
    if decimal_sign == ",":
        return "a number with a decimal comma, such as 12,90"
    return "a number such as 12.90"


def _written_with(sign: str, other: str) -> re.Pattern[str]:
    """A number whose decimal sign is the one and whose groups may be parted by the other."""
    mark = rf"(?P<mark>[{GROUP_MARKS}]|{re.escape(other)})"
    groups = rf"[1-9]\d{{0,2}}{mark}\d{{3}}(?:(?P=mark)\d{{3}})*"
    return re.compile(rf"(?P<whole>{groups}|\d+)(?:{re.escape(sign)}(?P<part>\d+))?", re.ASCII)


_WRITTEN = {".": _written_with(".", ","), ",": _written_with(",", ".")}


def _with_decimal(digits: str, sign: str) -> Fraction | None:
    """The value if sign is the decimal sign, or None if the text is not so written."""
    match = _WRITTEN[sign].fullmatch(digits)
    if match is None:
        return None
    whole, part = match["whole"], match["part"] or ""
    if match["mark"]:
        whole = whole.replace(match["mark"], "")
    return Fraction(int(whole + part), 10 ** len(part))


def _plain(value: Fraction) -> str:
    return str(int(value)) if value.denominator == 1 else f"{float(value):.10g}"
