"""Numbers, amounts, times and dates in a supplier's text: every reading that there is.

The strict parsers of basics and intake decide what a text says; here both decimal signs are
tried, so that whoever asks can be shown both readings.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import minor_digits, written
from quotegen.basics.number import Unreadable, read_number
from quotegen.intake.cells import SIGNS
from quotegen.model.text import FIRST_YEAR, LAST_YEAR, MOST
from quotegen.taking.words import EACH, MONTHS, PIECES, SPAN, SPANS, fold

GROUP = (
    "[ \N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}\N{THIN SPACE}'\N{RIGHT SINGLE QUOTATION MARK}]"
)
NUMBER = rf"(?:\d{{1,3}}(?:{GROUP}\d{{3}})+|\d+(?:[.,]\d+)*)(?:[.,]\d+)?(?:,(?:--?|\u2013))?"
_SIGNS = "|".join(re.escape(sign) for sign in SIGNS)
_CODES = r"[A-Z]{3}"
AMOUNT = re.compile(
    rf"(?:(?P<before>{_SIGNS}|(?<![A-Za-z])(?<![A-Z]{{3}}/)(?:{_CODES}))\s*)?(?<![\w.,/-])"
    rf"(?P<minus>[-\u2212](?=\d))?(?P<number>{NUMBER})(?!\w|/(?![a-z])|[.,]\d|-\d)"
    rf"(?:\s*(?P<after>{_SIGNS}|(?:{_CODES})(?![A-Za-z])))?"
)
WORDS_FOR_CURRENCY = {
    "euro": "EUR", "euros": "EUR", "pounds": "GBP", "zloty": "PLN", "zlotych": "PLN",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A number in a text with the currency beside it ("" for none) and where it stands."""

    number: str
    mark: str
    start: int
    end: int

    @property
    def currencies(self) -> tuple[str, ...]:
        return SIGNS.get(self.mark, (self.mark,)) if self.mark else ()


def amounts_in(text: str) -> Iterator[Amount]:
    """The numbers of a text that have a currency beside them."""
    shown, at = _with_codes(text), 0
    while (match := AMOUNT.search(shown, at)) is not None:
        at = match.end()
        if match["after"] and not match["before"] and _is_of_next(match, shown):
            at = match.end("number")
            continue
        mark = next((m for m in (match["before"], match["after"]) if m and _is_mark(m)), "")
        if mark:
            minus = "-" if match["minus"] else ""
            is_word = match["before"] is not None and not _is_mark(match["before"])
            start = match.start("minus" if minus else "number") if is_word else match.start()
            yield Amount(number=minus + match["number"], mark=mark, start=start, end=match.end())


_PRICE_NEXT = re.compile(r"\s?\d[\d.,' ]*[.,]\d\d(?!\d)(?!\s*(?:%|[A-Z]{3}(?![A-Za-z])))")


def _is_of_next(match: re.Match[str], text: str) -> bool:
    """Whether the currency behind a bare number is that of the next, as in `10204 EUR 5.00`."""
    is_bare = re.fullmatch(r"\d+", match["number"]) is not None
    return is_bare and _PRICE_NEXT.match(text, match.end("after")) is not None


def _with_codes(text: str) -> str:
    """Currencies that are written out become their code, padded so that spots stay true."""

    def code(match: re.Match[str]) -> str:
        known = WORDS_FOR_CURRENCY[match[0].lower()]
        return known.ljust(len(match[0]))

    return re.sub(rf"(?i)\b(?:{'|'.join(WORDS_FOR_CURRENCY)})\b", code, text)


def _is_mark(mark: str) -> bool:
    return mark in SIGNS or minor_digits(mark) is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Signs:
    """What decimal sign a file uses, by the numbers that can be read in one way only.

    commas and points count these; declared is what a person said, and decides.
    """

    commas: int = 0
    points: int = 0
    declared: str | None = None

    @property
    def sign(self) -> str | None:
        """The decimal sign, where two numbers or more show it and none speaks against it."""
        if self.declared:
            return self.declared
        if self.commas >= 2 and not self.points:
            return ","
        return "." if self.points >= 2 and not self.commas else None


def signs_of(numbers: Iterable[str], declared: str | None = None) -> Signs:
    commas = points = 0
    for text in numbers:
        by_point, by_comma = _read(text, "."), _read(text, ",")
        if by_point is not None and by_comma is None:
            points += 1
        if by_comma is not None and by_point is None:
            commas += 1
    return Signs(commas=commas, points=points, declared=declared)


_NO_CENTS = re.compile(r",(?:--?|\u2013)$")  # as in 1.980,-


def _read(text: str, sign: str) -> Fraction | None:
    try:
        value = read_number(text, sign)
    except Unreadable:
        return None
    return None if _NO_CENTS.search(text) and value.denominator != 1 else value


def readings_of(text: str, signs: Signs) -> tuple[Fraction, ...]:
    """Every number that a text can mean, the likeliest first; one reading is none to doubt.

    A number that only the other sign can explain is doubtful too: it comes twice.
    """
    sign = signs.sign
    if sign is not None:
        value = _read(text, sign)
        if value is not None:
            return (value,)
    by_point, by_comma = _read(text, "."), _read(text, ",")
    found = [value for value in (by_point, by_comma) if value is not None]
    if sign is not None and found:
        return (found[0], found[0])
    if len(found) == 2 and found[0] == found[1]:
        return (found[0],)
    if len(found) == 1 and signs.commas and signs.points and _is_minority(text, signs):
        return (found[0], found[0])
    return tuple(found)


def _is_minority(text: str, signs: Signs) -> bool:
    """Whether a number uses the sign that fewer numbers of its file use."""
    rarer = "." if signs.points < signs.commas else ","
    return signs.points != signs.commas and rarer in text and _read(text, rarer) is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """What a price is for: a number of pieces or grams; said is the text that says so."""

    count: Fraction
    unit: str
    said: str

    @property
    def words(self) -> str:
        if self.unit == "piece":
            return f"per {written(self.count)}"
        return "per kg" if self.count == 1000 else f"per {written(self.count)} g"


_PER = r"(?:(?<!\w)(?:per|je|pro|par|za|na|a|al|ogni|les|voor|for)(?!\w)|(?<![\d/])/)"
_COUNTED = re.compile(
    rf"{_PER}\s*(?P<count>\d{{1,3}}(?:[.,' ]?\d{{3}})*)\s*(?P<unit>{PIECES}|kg|g)?(?![\w/]|[.,]\d)"
)
_SLASHED = re.compile(rf"(?<=[a-z\u20ac\u00a3$])/\s?{PIECES}(?!\w)")
_HUNDREDS = re.compile(rf"{_PER}\s*(?:hundred|hundert|honderd|cent)(?!\w)|/\s?c(?!\w)|%\s?st")
_THOUSANDS = re.compile(rf"{_PER}\s*(?:thousand|tausend|duizend|mille|tysiac)(?!\w)|/\s?m(?![\w²])")
_MASS = re.compile(rf"{_PER}\s*(?P<unit>kg|kilo|g|t|tonne|lb)(?!\w)")
_OTHER = re.compile(
    rf"(?:{_PER})\s*(?P<unit>sets?|satz|set|plates?|platte|plaat|hour|stunde|uur|m2)(?!\w)"
)
GRAMS = {"kg": 1000, "kilo": 1000, "g": 1, "t": 1_000_000, "tonne": 1_000_000}


def basis_in(text: str) -> Basis | None:
    """What a price is for, as a header or the words after a price say it; None for silence."""
    folded = fold(text)
    counted = _COUNTED.search(folded)
    if counted and (counted["unit"] or "").strip(".") not in ("kg", "g"):
        count = Fraction(re.sub(r"\D", "", counted["count"]))
        if count in (1, 10, 50, 100, 1000, 10_000):
            return Basis(count=count, unit="piece", said=counted[0])
    for pattern, pieces in ((_HUNDREDS, 100), (_THOUSANDS, 1000)):
        found = pattern.search(folded)
        if found:
            return Basis(count=Fraction(pieces), unit="piece", said=found[0])
    mass = _MASS.search(folded)
    if mass and mass["unit"] in GRAMS:
        return Basis(count=Fraction(GRAMS[mass["unit"]]), unit="g", said=mass[0])
    each = EACH.search(folded) or _SLASHED.search(folded)
    return Basis(count=Fraction(1), unit="piece", said=each[0]) if each else None


def other_basis(text: str) -> str | None:
    """A unit that is neither pieces nor mass, such as a set or a plate."""
    found = _OTHER.search(fold(text))
    return found["unit"] if found else None


def money_words(value: Fraction, currency: str) -> str:
    return f"{_digits(value)} {currency}"


def price_words(value: Fraction, currency: str, basis: Basis) -> str:
    return f"{money_words(value, currency)} {basis.words}"


def _digits(value: Fraction) -> str:
    """Plain digits that no reader of our forms can take for a thousand."""
    text = written(value)
    return text + "0" if re.search(r"\.\d{3}$", text) else text


QUANTITY = re.compile(
    rf"^(?:(?P<lead>ab|from|vanaf|od|a partir de|des|>=|\u2265|min\.?|qty:?|>|uber|over|above|"
    rf"bis|up to|tot|do|<=|<|\u2264)\s*)?(?P<low>{NUMBER})\s*(?:(?P<plus>\+)|"
    rf"(?:-|\u2013|to|bis|tot|do)\s*(?P<high>{NUMBER}))?\s*(?P<unit>{PIECES})?\s*(?:\+|"
    rf"or more|u\. ?mehr|"
    rf"und mehr|en meer|et plus)?$"
)
ABOVE = ("over", "above", "uber", ">")
UP_TO = ("bis", "up to", "tot", "do", "<=", "<", "\u2264")


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """The quantity from which a price holds: its readings, and its end where one is named."""

    readings: tuple[int, ...]
    doubt: str = ""
    has_unit: bool = False


def quantity_in(text: str, signs: Signs) -> Quantity | None:
    """A cell or phrase that says a quantity and nothing else."""
    match = QUANTITY.match(fold(text))
    if match is None:
        return None
    found = [
        each for each in readings_of(match["low"], signs) if each.denominator == 1 and each > 0
    ]
    counts = tuple(int(each) for each in found if each <= MOST)
    if not counts:
        return None
    doubt = "two readings of the number" if len(set(counts)) > 1 else ""
    if match["lead"] in ABOVE:
        counts, doubt = (counts[0], counts[0] + 1), "over may count from the next piece"
    if match["lead"] in UP_TO:
        doubt = "an upper bound alone"
    is_marked = bool(match["unit"] or match["lead"] or match["plus"] or match["high"])
    return Quantity(readings=tuple(dict.fromkeys(counts)), doubt=doubt, has_unit=is_marked)


def spans_in(text: str) -> list[tuple[str, ...]]:
    """Times in a text, in form words; a range such as 4-5 weeks has two readings."""
    found = []
    for match in SPAN.finditer(fold(text)):
        unit = next(unit for unit in SPANS if match[unit.replace(" ", "_")])
        counts = [int(each) for each in (match["high"], match["low"]) if each]
        words = tuple(f"{count} {unit[:-1] if count == 1 else unit}" for count in counts)
        found.append(words)
    return found


def span_near(
    folded: str,
    claimed: set[int],
    start: int,
    reach: int,
    stop: re.Pattern[str],
    behind: re.Pattern[str] | None = None,
) -> tuple[str, tuple[str, ...]] | None:
    """The first time after a spot that nothing claims, as written and in form words.

    It is claimed from then on. stop ends the search; behind are words that a time of something
    else has behind it.
    """
    for match in SPAN.finditer(folded):
        inside = start <= match.start() <= start + reach
        if not inside or match.start() in claimed:
            continue
        if stop.search(folded[start : match.start()]):
            return None
        if behind is not None and behind.match(folded[match.end() :].lstrip(" ")):
            continue
        claimed.add(match.start())
        (words,) = spans_in(match[0])
        return match[0], words
    return None


_NAMES = "|".join(sorted(MONTHS, key=len, reverse=True))
DATE = re.compile(
    r"(?<![\w/.-])(?:(?P<iso>\d{4}(?P<between>[-/.])\d{1,2}(?P=between)\d{1,2})|"
    r"(?P<first>\d{1,2})\s?(?P<mark>[./-])\s?(?P<second>\d{1,2})\s?(?P=mark)\s?"
    r"(?P<year>\d{4}|\d{2})|"
    rf"(?P<day>\d{{1,2}})(?:st|nd|rd|th|"
    rf"\.)?[\s-]*(?:of )?(?P<name>{_NAMES})\.?,?[\s-]*(?P<named>\d{{4}})|"
    rf"(?P<early>{_NAMES})\.?\s+(?P<late>\d{{1,2}})(?:st|nd|rd|th)?,?\s+(?P<year2>\d{{4}}))"
    r"(?![\w/]|[.-]\d)"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dated:
    """A date in a text: its readings in form words, as written, and where it stands."""

    readings: tuple[str, ...]
    seen: str
    start: int
    end: int


def dates_in(text: str) -> list[Dated]:
    """Dates in a folded text. 03/04/2026 has two readings, and a year of two digits is doubtful."""
    found = []
    for match in DATE.finditer(text):
        readings = tuple(dict.fromkeys(each for each in _days(match) if each))
        if readings:
            doubtful = match["year"] is not None and len(match["year"]) == 2
            readings = readings * 2 if doubtful and len(readings) == 1 else readings
            found.append(
                Dated(readings=readings, seen=match[0], start=match.start(), end=match.end())
            )
    return found


def meant(readings: tuple[str, ...], day_first: bool | None) -> tuple[str, ...]:
    """The readings of a date, or the one that other dates of its file show to be meant."""
    if day_first is not None and len(set(readings)) == 2:
        return readings[:1] if day_first else readings[1:]
    return readings


def _days(match: re.Match[str]) -> Iterator[str]:
    if match["iso"]:
        year, month, day = re.split("[-/.]", match["iso"])
        yield _day(year, month, day)
    elif match["first"]:
        year = match["year"] if len(match["year"]) == 4 else f"20{match['year']}"
        yield _day(year, match["second"], match["first"])
        if match["mark"] != ".":
            yield _day(year, match["first"], match["second"])
    elif match["name"]:
        yield _day(match["named"], str(MONTHS[match["name"]]), match["day"])
    else:
        yield _day(match["year2"], str(MONTHS[match["early"]]), match["late"])


def _day(year: str, month: str, day: str) -> str:
    try:
        found = datetime.date(int(year), int(month), int(day))
    except ValueError:
        return ""
    return found.isoformat() if FIRST_YEAR <= found.year <= LAST_YEAR else ""
