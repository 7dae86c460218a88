"""Days and working days: a span of time becomes a date on the calendars that rule it (R17)."""

from __future__ import annotations

import bisect
import calendar
import datetime
from dataclasses import dataclass
from functools import cache

from quotegen.basics.quantity import Span

ONE_DAY = datetime.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class WorkCalendar:
    """The days on which somebody works: no weekend, no public holiday, no stated closure.

    countries are ISO 3166-1 codes; a day counts only if it is a working day in all of them.
    """

    countries: tuple[str, ...]
    closed: tuple[tuple[datetime.date, datetime.date], ...] = ()

    def works_on(self, day: datetime.date) -> bool:
        if day.weekday() >= 5 or any(first <= day <= last for first, last in self.closed):
            return False
        return all(day not in public_holidays(country, day.year) for country in self.countries)

    def days_in(self, year: int) -> tuple[datetime.date, ...]:
        """The days of a year on which somebody works. Raises OverflowError outside the calendar."""
        return _days_worked(self, year)

    def with_country(self, country: str) -> WorkCalendar:
        return WorkCalendar((*self.countries, country), self.closed)


@cache
def _days_worked(work: WorkCalendar, year: int) -> tuple[datetime.date, ...]:
    if not datetime.MINYEAR <= year <= datetime.MAXYEAR:
        raise OverflowError(f"no year {year}")
    first = datetime.date(year, 1, 1)
    every = (first + number * ONE_DAY for number in range(365 + calendar.isleap(year)))
    return tuple(day for day in every if work.works_on(day))


# where the package lists only what all parts of a country share, the part that is meant
REGIONS = {"GB": "ENG"}


@cache
def public_holidays(country: str, year: int) -> frozenset[datetime.date]:
    """Public holidays from the holidays package; none for a country that it does not know.

    For the United Kingdom they are those of England and Wales; elsewhere those of the whole
    country, so that a region's own days have to be stated as closures.
    """
    import holidays

    if not is_known_country(country):
        return frozenset()
    region = REGIONS.get(country)
    return frozenset(holidays.country_holidays(country, subdiv=region, years=year))


@cache
def is_known_country(country: str) -> bool:
    """Whether the holidays package lists public holidays for this ISO 3166-1 code."""
    import holidays

    return country in holidays.list_supported_countries(include_aliases=False)


def after(start: datetime.date, span: Span, work: WorkCalendar) -> datetime.date:
    """The day on which a span that begins on start is over.

    Working days are counted one by one from the day after start; calendar spans that
    end on a day of rest end on the next working day.
    """
    if span.unit == "working days":
        return _working_days_after(start, span.count, work)
    return next_working_day(calendar_days_after(start, span), work)


def latest_start(end: datetime.date, span: Span, work: WorkCalendar) -> datetime.date:
    """The last day on which a span can begin and be over by end; what `after` does, turned round.

    Raises OverflowError before the first year of the calendar.
    """
    if span.unit == "working days":
        return _day_before_working_days(end, span.count, work)
    while not work.works_on(end):
        end -= ONE_DAY
    if span.unit != "months":
        return end - (calendar_days_after(end, span) - end)
    start = months_after(end, -span.count)
    while months_after(start + ONE_DAY, span.count) <= end:
        start += ONE_DAY
    return start


def _day_before_working_days(end: datetime.date, count: int, work: WorkCalendar) -> datetime.date:
    year, place = end.year, bisect.bisect_right(work.days_in(end.year), end)
    if count <= 0:
        return end
    while place < count:
        count, year = count - place, year - 1
        place = len(work.days_in(year))
    return work.days_in(year)[place - count] - ONE_DAY


def next_working_day(day: datetime.date, work: WorkCalendar) -> datetime.date:
    while not work.works_on(day):
        day += ONE_DAY
    return day


def _working_days_after(start: datetime.date, count: int, work: WorkCalendar) -> datetime.date:
    if count <= 0:
        return start
    year, place = start.year, bisect.bisect_right(work.days_in(start.year), start)
    while place + count > len(work.days_in(year)):
        count -= len(work.days_in(year)) - place
        year, place = year + 1, 0
    return work.days_in(year)[place + count - 1]


def calendar_days_after(start: datetime.date, span: Span) -> datetime.date:
    """start plus days, weeks or months; the 31st plus a month is that month's last day.

    A span in working days is read as that many calendar days plus its weekends.
    """
    if span.unit == "months":
        return months_after(start, span.count)
    if span.unit == "working days":
        return _working_days_after(start, span.count, WorkCalendar(()))
    return start + datetime.timedelta(days=span.count * (7 if span.unit == "weeks" else 1))


def months_after(start: datetime.date, count: int) -> datetime.date:
    year, month = divmod(start.year * 12 + start.month - 1 + count, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return datetime.date(year, month + 1, min(start.day, last))


def in_words(day: datetime.date) -> str:
    """A date for a sentence, such as 15 March 2027."""
    return f"{day.day} {calendar.month_name[day.month]} {day.year}"
