"""How long a quote holds, in the words in which suppliers say so.

The end of a month, or a week of the calendar, has its day only once the quote's own day is known;
until then it stands under the key `until`, as `12`, `2026-12`, `W51` or `2026-W51`.
"""

from __future__ import annotations

import calendar
import datetime
import re

from quotegen.taking.context import Reader
from quotegen.taking.fact import Ask, Fact
from quotegen.taking.figures import dates_in, meant, span_near
from quotegen.taking.words import MONTHS

VALID = re.compile(
    r"(?<!\w)(?:valid\w*|preisbindung\w*|preisgultigkeit|gult\w*|(?:angebots)?bind(?:ung|e)\w*|"
    r"halten wir uns|geldig\w*|valab\w*|wazn\w*|"
    r"open for acceptance|gestanddoening|prix fermes?|firm(?!\w)|"
    r"good (?:until|till|through|for)|(?:is|are|be|stays?|remains?) (?:open|bound)|"
    r"prices? (?:\w+ )?holds?|offer (?:\w+ )?holds?|(?:gilt|gelten) (?:bis|fur)|"
    r"(?:price|prices|offer) (?:until|till))"
)
DATE_DOUBT = (
    "The date can be read in more than one way, or its year has two digits. Which day is meant?"
)
_NAMES = "|".join(sorted(MONTHS, key=len, reverse=True))
_THROUGH = (
    r"(?<!\w)(?:through|thru|incl\w*\.?|up to and including|einschl\w*\.?|bis einschl\w*\.?|t/m)"
)
_UNTIL = r"(?<!\w)(?:until|till|til|to|bis|tot|jusqu'?\s?(?:a|au|en)?|do|fino a|by|before)"
_END = (
    r"(?<!\w)(?:the )?(?:end(?: of)?|ende|eind(?:e)?|fin(?:e)?|koniec|konca|ultimo)\s*"
    r"(?:of |de |d'|di )?"
)
END_OF_MONTH = re.compile(
    rf"(?P<end>{_END})\s*(?:(?P<name>{_NAMES})(?![a-z])\.?,?\s*(?P<year>\d{{4}})?|"
    rf"(?P<month>\d{{1,2}})\s?[/.]\s?(?P<year2>\d{{4}}))(?![\w/])"
)
MONTH_ALONE = re.compile(
    rf"(?P<lead>{_THROUGH}|{_UNTIL})\s*(?:(?P<month>\d{{1,2}})\s?[/.]\s?(?P<year>\d{{4}})|"
    rf"(?P<name>{_NAMES})(?![a-z])\.?,?\s*(?P<year2>\d{{4}})?)(?![\w/.-])"
)
WEEK = re.compile(
    r"(?<!\w)(?:kw|cw|kalenderwoche|calendar week|week no\.?|week(?= \d{1,2}(?!\d))|semaine|"
    r"settimana|tydzien)\.?\s?(?P<week>\d{1,2})(?:\s?[/.-]\s?(?P<year>\d{4})|\s(?P<year2>20\d\d))?"
    r"(?![\w/])"
)
# What shows that a time or a day is of something else: other words, or another sentence.
_OTHER = r"(?:pay|zahl|betal|paiem|pagam|platn|net\b|lead|deliver|liefer|lever|delai)"
OTHER = re.compile(_OTHER)
ELSE = re.compile(rf";|\.\s(?!.{{0,3}}$)|{_OTHER}")
# A day behind words such as `from` is the first one and not the last.
_FIRST = re.compile(
    r"(?<!\w)(?:from|ab|as of|since|seit|vanaf|a partir du?|a compter du?|od|dal|starting|"
    r"vom)\W{0,3}(?:the |dem |den )?$"
)
_VAGUE = re.compile(
    rf"{_UNTIL}\s*(?:the )?(?:mid\w*(?: of)?|mitte|half|milieu|polow\w*|anfang|beginning of|early|"
    rf"begin|meta|spring|summer|autumn|fruhjahr|sommer|herbst|easter|ostern|christmas|weihnachten)"
    rf"[ -]?(?:{_NAMES})?(?!\w)"
)
_SOME_END = re.compile(
    r"(?<!\w)(?:until|till?|bis|tot|jusqu'?\s?(?:a|au|en)|fino a|through)(?! (?:further|"
    r"auf weiteres|widerruf|revoked|nader order|stock|nouvel ordre|zum|zu)) .{2,30}"
)
MONTH_DOUBT = "Only a month is named. Until its last day, or until it begins?"


def validity(reader: Reader) -> None:
    """Until when, or for how long, the line says that the quote holds."""
    where = VALID.search(reader.folded)
    if where is None:
        return
    after = reader.folded[where.start() :]
    for date in dates_in(after):
        before = after[: date.start]
        if ELSE.search(before) is None and _FIRST.search(before) is None:
            readings = meant(date.readings, reader.context.day_first)
            reader.either(("valid until",), readings, date.seen, DATE_DOUBT)
            reader.spans_claimed.add(-1)
            return
    if _month(reader, after) or _week(reader, after):
        reader.spans_claimed.add(-1)
        return
    vague = _VAGUE.search(after) or _SOME_END.search(after[:90])
    if vague is not None and ELSE.search(after[: vague.start()]) is None:
        reader.ask(("valid until",), (), vague[0], "No day is named. Until which day does it hold?")
        return
    found = span_near(reader.folded, reader.spans_claimed, where.start(), 80, ELSE, OTHER)
    if found is None:
        back = max(0, where.start() - 24)
        found = span_near(reader.folded, reader.spans_claimed, back, where.start() - back, ELSE)
    if found is not None:
        reader.either(("valid for",), found[1], found[0], "Which is meant?")


def _month(reader: Reader, after: str) -> bool:
    end = END_OF_MONTH.search(after)
    match = end or MONTH_ALONE.search(after)
    if match is None or ELSE.search(after[: match.start()]):
        return False
    number = MONTHS[match["name"]] if match["name"] else int(match["month"])
    if not 1 <= number <= 12:
        return False
    year = match["year"] or match["year2"]
    value = f"{year}-{number:02}" if year else f"{number:02}"
    is_whole = end is not None or re.fullmatch(_THROUGH, match["lead"]) is not None
    key = "until" if is_whole else "until the month"
    reader.fact((key,), value, match[0].strip())
    return True


def _week(reader: Reader, after: str) -> bool:
    match = WEEK.search(after)
    if match is None or ELSE.search(after[: match.start()]) or not 1 <= int(match["week"]) <= 53:
        return False
    year = match["year"] or match["year2"]
    week = f"W{int(match['week']):02}"
    reader.fact(("until",), f"{year}-{week}" if year else week, match[0].strip())
    return True


def with_days(facts: list[Fact], asks: list[Ask]) -> tuple[list[Fact], list[Ask]]:
    """Ends of months and weeks as days, by the day of the quote where no year is said."""
    made = [str(each.value) for each in facts if each.keys == ("date",)]
    day = datetime.date.fromisoformat(made[0]) if len(set(made)) == 1 and _is_day(made[0]) else None
    kept, left = [], list(asks)
    for each in facts:
        if each.keys not in (("until",), ("until the month",)):
            kept.append(each)
            continue
        days = _days(str(each.value), day)
        is_sure = each.keys == ("until",) and "W" not in str(each.value)
        keys = ("valid until",)
        if is_sure and len(days) == 1:
            value = days[0].isoformat()
            kept.append(Fact(keys=keys, value=value, seen=each.seen, place=each.place))
            continue
        if days and each.keys == ("until the month",):
            days = (days[0], days[0].replace(day=1) - datetime.timedelta(days=1))
        left.append(
            Ask(
                keys=keys,
                seen=each.seen,
                place=each.place,
                readings=tuple(found.isoformat() for found in days),
                ask=_why(each, days),
            )
        )
    return kept, left


def _why(fact: Fact, days: tuple[datetime.date, ...]) -> str:
    if not days:
        return "The year is not said, nor the day of the quote. Until which day does it hold?"
    if "W" in str(fact.value):
        return "A week is named and no day. Until its Friday, its Sunday, or before it begins?"
    return MONTH_DOUBT


def _is_day(text: str) -> bool:
    return re.fullmatch(r"\d{4}-\d\d-\d\d", text) is not None


def _days(value: str, made: datetime.date | None) -> tuple[datetime.date, ...]:
    """The last day of a month, or the days that a week may mean; the next ones from a day on."""
    year, _, rest = value.rpartition("-")
    years = (int(year),) if year else (made.year, made.year + 1) if made is not None else ()
    for each in years:
        days = _week_of(each, int(rest[1:])) if rest.startswith("W") else (_last(each, int(rest)),)
        if days and (year or made is None or days[-1] >= made):
            return days
    return ()


def _last(year: int, month: int) -> datetime.date:
    return datetime.date(year, month, calendar.monthrange(year, month)[1])


def _week_of(year: int, week: int) -> tuple[datetime.date, ...]:
    """Friday, Sunday, and the Sunday before a week of ISO 8601; none where the year lacks it."""
    try:
        friday = datetime.date.fromisocalendar(year, week, 5)
    except ValueError:
        return ()
    return tuple(friday + datetime.timedelta(days=shift) for shift in (0, 2, -5))
