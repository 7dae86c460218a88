"""Working days of a published calendar (R17)."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from tests.folders import a_quote, a_workshop, an_item, forms, printed_for

WORKING_DAYS = [21, 20, 22, 19, 19, 22, 23, 21, 22, 22, 21, 22]
LAST_DAYS = [
    "2025-12-31",
    "2026-01-30",
    "2026-02-27",
    "2026-03-31",
    "2026-04-30",
    "2026-05-29",
    "2026-06-30",
    "2026-07-31",
    "2026-08-31",
    "2026-09-30",
    "2026-10-30",
    "2026-11-30",
    "2026-12-31",
]


def arrival(begin: str, working_days: int, to: Path) -> str:
    """When parts come that are ordered on the day and take so many working days."""
    item = an_item("1 EUR per 1", lead_time=f"{working_days} working days")
    quote = a_quote("oak-1", item, date=begin)
    content = forms(quote, workshop=a_workshop(planning_start=begin))
    day = datetime.date.fromisoformat(begin)
    (offer,) = printed_for(content, to, today=day)["offers"]
    return str(offer["first_parts"])


@pytest.mark.parametrize("month", range(12))
def test_the_working_days_of_a_month_end_on_its_last_working_day(
    month: int, tmp_path: Path
) -> None:
    """Werkdagen 2026, kalenderapp.nl, found: the Netherlands by month. In April three days are
    off (Good Friday, Easter Monday, King's Day), in May two (Ascension Day, Whit Monday)."""
    begin, last = LAST_DAYS[month], LAST_DAYS[month + 1]
    assert arrival(begin, WORKING_DAYS[month], tmp_path) == last


def test_the_working_days_of_a_year_end_with_it(tmp_path: Path) -> None:
    """The same page: 254 working days in 2026."""
    assert arrival(LAST_DAYS[0], 254, tmp_path) == LAST_DAYS[-1]
