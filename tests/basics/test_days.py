"""Days and working days on the calendars of both countries (R17)."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.basics.days import (
    WorkCalendar,
    after,
    calendar_days_after,
    in_words,
    is_known_country,
    next_working_day,
)
from quotegen.basics.quantity import Span

DAYS = st.dates(datetime.date(2020, 1, 1), datetime.date(2030, 12, 31))


def _day(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


@pytest.mark.parametrize(
    ("start", "count", "unit", "end"),
    [
        ("2026-11-02", 10, "days", "2026-11-12"),
        ("2026-11-02", 2, "weeks", "2026-11-16"),
        ("2026-11-02", 1, "months", "2026-12-02"),
        ("2027-01-31", 1, "months", "2027-02-28"),
        ("2028-01-31", 1, "months", "2028-02-29"),
        ("2026-12-15", 13, "months", "2028-01-15"),
        ("2026-11-06", 1, "working days", "2026-11-09"),
        ("2026-11-02", 5, "working days", "2026-11-09"),
        ("2026-11-02", 0, "days", "2026-11-02"),
    ],
)
def test_a_span_ends_on_its_day(start: str, count: int, unit: str, end: str) -> None:
    """Gregorian calendar, counted by hand."""
    assert calendar_days_after(_day(start), Span(count, unit)) == _day(end)


def test_working_days_leave_out_the_holidays_of_a_country() -> None:
    """Czech public holidays at the turn of 2026, counted with numpy.busday_offset beside."""
    czech = WorkCalendar(("CZ",))
    assert after(_day("2026-12-21"), Span(10, "working days"), czech) == _day("2027-01-07")


def test_a_day_counts_only_where_both_countries_work() -> None:
    """27 April is King's Day in the Netherlands; 3 May is a holiday in Poland."""
    dutch = WorkCalendar(("NL",))
    both = dutch.with_country("PL")
    assert not dutch.works_on(_day("2027-04-27"))
    assert dutch.works_on(_day("2027-05-03"))
    assert not both.works_on(_day("2027-05-03"))
    assert not both.works_on(_day("2027-04-27"))
    assert both.works_on(_day("2027-04-28"))


def test_a_closure_counts_with_both_its_ends() -> None:
    """No source."""
    shut = (_day("2026-08-03"), _day("2026-08-14"))
    work = WorkCalendar(("DE",), (shut,))
    assert not work.works_on(_day("2026-08-03"))
    assert not work.works_on(_day("2026-08-14"))
    assert work.works_on(_day("2026-07-31"))
    assert work.works_on(_day("2026-08-17"))
    assert next_working_day(_day("2026-08-03"), work) == _day("2026-08-17")


def test_calendar_days_that_end_on_a_day_of_rest_end_on_the_next_working_day() -> None:
    """No source: 7 November 2026 is a Saturday."""
    work = WorkCalendar(("GB",))
    assert after(_day("2026-11-02"), Span(5, "days"), work) == _day("2026-11-09")
    assert after(_day("2026-11-02"), Span(4, "days"), work) == _day("2026-11-06")


def test_a_country_that_is_not_known_has_weekends_alone() -> None:
    """ISO 3166-1 keeps XX for users."""
    assert not is_known_country("XX")
    assert is_known_country("GB")
    assert WorkCalendar(("XX",)).works_on(_day("2026-12-25"))
    assert not WorkCalendar(("XX",)).works_on(_day("2026-12-26"))


@given(DAYS, st.integers(0, 60))
def test_working_days_are_counted_one_by_one(start: datetime.date, count: int) -> None:
    """No source: as many working days lie behind the start as were asked for."""
    work = WorkCalendar(("DE",))
    end = after(start, Span(count, "working days"), work)
    days = (start + datetime.timedelta(days=number) for number in range(1, (end - start).days + 1))
    assert sum(work.works_on(day) for day in days) == count
    assert count == 0 or work.works_on(end)


@given(DAYS, st.integers(0, 40), st.integers(0, 40))
def test_more_months_never_end_earlier(start: datetime.date, few: int, more: int) -> None:
    """No source."""
    first, second = sorted((few, few + more))
    earlier = calendar_days_after(start, Span(first, "months"))
    assert earlier <= calendar_days_after(start, Span(second, "months"))


def test_a_day_is_told_in_words() -> None:
    """No source: English as it is written in Britain."""
    assert in_words(_day("2027-03-05")) == "5 March 2027"
