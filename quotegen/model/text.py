"""How a text in a form becomes a value: one strict reader for each kind of quantity.

Our own forms write numbers with a decimal point and the unit in words, such as
`86 g`, `9.80 GBP per 1` or `25 working days`. Every reader raises Unreadable with
the code of the problem.
"""

from __future__ import annotations

import datetime
import re
from fractions import Fraction

from quotegen.basics.money import Money, Price, minor_digits
from quotegen.basics.number import Unreadable, read_number
from quotegen.basics.quantity import (
    GRAMS,
    MILLIMETRES,
    SPAN_UNITS,
    Length,
    Mass,
    MinutesAPiece,
    Span,
    YearlyRate,
)
from quotegen.model import unit_codes

OPEN_WORDS = {"tbc", "tba", "tbd", "on request", "por", "n/a", "na", "?", "-", "open", "to follow"}
LONGEST_TEXT = 2000
MOST = 100_000_000  # of anything that is counted
MOST_PIECES = 100_000  # a year or in a lot: beyond that this is no small workshop
MOST_MONTHS = 120
LONGEST_SPANS = {"working days": 2600, "days": 3660, "weeks": 520, "months": 120}  # ten years
FIRST_YEAR, LAST_YEAR = 1990, 2199
OTHER_CODES = {"UK": "GB", "EL": "GR"}  # what officials write for two countries


def _number(text: str) -> Fraction:
    """A number of our own forms: a decimal point; a comma is taken where no doubt is left.

    1,234.50 has one reading; 1,845 may be a decimal comma from another country.
    """
    if "," in text:
        read_number(text, None)
    return read_number(text)


def read_text(text: str) -> str:
    if not text.strip() or len(text) > LONGEST_TEXT:
        raise Unreadable("wrong-value", text, f"a text of 1 to {LONGEST_TEXT} characters")
    return text.strip()


def read_whole(text: str, least: int = 0) -> int:
    """A whole number of pieces, shots or months, with or without the word after it."""
    match = re.fullmatch(
        r"(.+?)(?: +(?:pieces?|pcs|parts?|shots?|cavity|cavities))?(?: +a (?:year|month))?",
        text.strip(),
    )
    written = match[1] if match else text
    if "." in written:
        read_number(written, None)  # 1.000 is one here and a thousand elsewhere
    value = _number(written)
    if value.denominator != 1:
        raise Unreadable("wrong-value", text, "a whole number")
    if value < least:
        raise Unreadable("not-positive", text, "zero or more" if least == 0 else f"{least} or more")
    return _at_most(int(value), MOST, text)


def _at_most(value: int, most: int, text: str) -> int:
    if value > most:
        raise Unreadable("wrong-value", text, f"at most {most:,}")
    return value


def read_wanted(text: str) -> int:
    """Pieces a year or in a lot, zero or more."""
    return _at_most(read_whole(text), MOST_PIECES, text)


def read_wanted_some(text: str) -> int:
    return _at_most(read_count(text), MOST_PIECES, text)


def read_months(text: str) -> int:
    return _at_most(read_count(text), MOST_MONTHS, text)


def read_count(text: str) -> int:
    return read_whole(text, least=1)


def read_currency(text: str) -> str:
    code = text.strip()
    if not re.fullmatch(r"[A-Z]{3}", code) or minor_digits(code) is None:
        raise Unreadable("unknown-currency", text, "a code of ISO 4217")
    return code


def read_country(text: str) -> str:
    code = text.strip()
    if code in OTHER_CODES:
        raise Unreadable("wrong-value", text, f"{OTHER_CODES[code]}, its code in ISO 3166-1")
    if not re.fullmatch(r"[A-Z]{2}", code):
        raise Unreadable("wrong-value", text, "a country code of two capitals (ISO 3166-1)")
    return code


def read_money(text: str) -> Money:
    """An amount that is zero or more, such as `1500 GBP`; 1.500 GBP may be meant as 1500."""
    money = read_worth(text)
    written, _, currency = text.strip().rpartition(" ")
    if re.search(r"\.\d{3}$", written) and minor_digits(currency) != 3:
        read_number(written, None)
    return money


def read_worth(text: str) -> Money:
    """What one of something is worth, such as `1.212 EUR`: three decimals are not a thousand."""
    _refuse_open(text)
    match = re.fullmatch(r"(.*\S)\s+([A-Za-z]{3})", text.strip())
    if match is None:
        raise Unreadable("not-money", text, "amount and currency, such as 1500 GBP")
    _refuse_open(match[1])
    amount = _number(match[1])
    if amount < 0:
        raise Unreadable("not-positive", text, "zero or more")
    return Money(amount, read_currency(match[2]))


def read_price(text: str) -> Price:
    """A price such as `9.80 GBP per 1`, `18.40 EUR per 100` or `0.34 GBP per g`."""
    _refuse_open(text)
    match = re.fullmatch(r"(.*?)\s+per\s+(.+)", text.strip())
    if match is None:
        read_worth(text)
        raise Unreadable("unit-missing", text, "what the price is for, such as 9.80 GBP per 1")
    money = read_worth(match[1])
    count, unit = _price_basis(text, match[2].strip())
    if count <= 0:
        raise Unreadable("not-positive", text, "a price for one piece or more")
    return Price(money, count, unit)


def _price_basis(text: str, basis: str) -> tuple[Fraction, str]:
    if basis in ("piece", "each"):
        return Fraction(1), "piece"
    mass = re.fullmatch(r"(\S*?)\s*(mg|g|kg|t|lb|oz)", basis)
    if mass:
        return (_number(mass[1]) if mass[1] else Fraction(1)) * GRAMS[mass[2]], "g"
    if re.fullmatch(r"[\d,. ]+", basis):
        return _number(basis), "piece"
    coded = re.fullmatch(r"(?:(\S+) )?([A-Z]\w{1,2})", basis)
    if coded and coded[2] in unit_codes.PIECES | unit_codes.MASSES:
        return _coded_basis(_number(coded[1] or "1"), coded[2])
    raise Unreadable("unit-unknown", text, "per 1, per 100, per 1000, per g or per kg")


def _coded_basis(count: Fraction, code: str) -> tuple[Fraction, str]:
    if code in unit_codes.PIECES:
        return count * unit_codes.PIECES[code], "piece"
    return count * unit_codes.MASSES[code], "g"


def _refuse_open(text: str) -> None:
    if text.strip().lower() in OPEN_WORDS:
        raise Unreadable("price-open", text, "an amount")


def _read_with_unit(
    text: str, units: dict[str, Fraction], codes: dict[str, Fraction], example: str
) -> Fraction:
    match = re.fullmatch(r"(-?[\d.,' ]+?)\s*([^\d\s.,].*)?", text.strip())
    if match is None:
        raise Unreadable("not-a-number", text, example)
    value = _number(match[1])
    if match[2] is None:
        raise Unreadable("unit-missing", text, example)
    if match[2] not in units | codes:
        raise Unreadable("unit-unknown", text, "one of " + ", ".join(units))
    if value <= 0:
        raise Unreadable("not-positive", text, "more than zero")
    return value * (units | codes)[match[2]]


def read_mass(text: str) -> Mass:
    return Mass(_read_with_unit(text, GRAMS, unit_codes.MASSES, "a mass such as 86 g"))


def read_length(text: str) -> Length:
    known = MILLIMETRES, unit_codes.LENGTHS
    return Length(_read_with_unit(text, *known, "a length such as 4 mm"))


def read_envelope(text: str) -> tuple[Length, Length, Length]:
    """The box around a part, such as `62 x 40 x 18 mm`, longest side first or not."""
    match = re.fullmatch(r"(\S+) x (\S+) x (\S+) (\S+)", text.strip())
    if match is None:
        raise Unreadable("wrong-value", text, "three sides and a unit, such as 62 x 40 x 18 mm")
    first, second, third = (read_length(f"{match[index]} {match[4]}") for index in (1, 2, 3))
    return first, second, third


def read_share(text: str) -> Fraction:
    """A percentage from 0 to 100, as a fraction."""
    match = re.fullmatch(r"(\S+)\s*%", text.strip())
    if match is None:
        raise Unreadable("unit-missing", text, "a percentage such as 4 %")
    value = _number(match[1]) / 100
    if not 0 <= value <= 1:
        raise Unreadable("wrong-value", text, "a percentage from 0 % to 100 %")
    return value


def read_yearly_rate(text: str) -> YearlyRate:
    match = re.fullmatch(r"(.+%)\s+a\s+year", text.strip())
    if match is None:
        raise Unreadable("unit-missing", text, "a percentage a year, such as 7 % a year")
    return YearlyRate(read_share(match[1]))


def read_span(text: str) -> Span:
    """A span of time such as `25 working days`, `6 weeks` or `60 days`."""
    match = re.fullmatch(r"(\S+)(?:\s+(.+))?", text.strip())
    expected = "a time such as 25 working days or 6 weeks"
    if match is None:
        raise Unreadable("not-a-number", text, expected)
    count = read_whole(match[1])
    if match[2] is None:
        raise Unreadable("unit-missing", text, expected)
    unit = match[2] if match[2].endswith("s") else match[2] + "s"
    unit = unit_codes.SPANS.get(match[2], unit)
    if unit not in SPAN_UNITS:
        raise Unreadable("unit-unknown", text, "working days, days, weeks or months")
    return Span(_at_most(count, LONGEST_SPANS[unit], text), unit)


def read_minutes(text: str) -> MinutesAPiece:
    """Minutes of work for each piece, such as `2 minutes a piece`."""
    match = re.fullmatch(r"(\S+)\s+minutes?(\s+a\s+piece)?", text.strip())
    if match is None or match[2] is None:
        raise Unreadable("unit-missing", text, "minutes for each piece, such as 2 minutes a piece")
    value = _number(match[1])
    if value <= 0:
        raise Unreadable("not-positive", text, "more than zero")
    return MinutesAPiece(value)


def read_date(text: str) -> datetime.date:
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text.strip()):
        try:
            day = datetime.date.fromisoformat(text.strip())
        except ValueError:
            raise Unreadable("not-a-date", text, "a date such as 2027-03-15") from None
        if FIRST_YEAR <= day.year <= LAST_YEAR:
            return day
        raise Unreadable("wrong-value", text, f"a year from {FIRST_YEAR} to {LAST_YEAR}")
    raise Unreadable("not-a-date", text, "a date such as 2027-03-15")


def read_yes_no(text: str) -> bool:
    if text.strip() not in ("yes", "no"):
        raise Unreadable("wrong-value", text, "yes or no")
    return text.strip() == "yes"
