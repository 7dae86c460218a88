"""Euro reference rates of known days: a small workshop folder in, euros out."""

from __future__ import annotations

import datetime
from decimal import Decimal
from pathlib import Path

import pytest

from tests.folders import Values, a_part, a_quote, a_workshop, an_item, forms, printed_for

# units of each currency for one euro
FRIDAY_19_JUNE_2009 = {
    "USD": "1.3932",
    "JPY": "134.84",
    "CZK": "26.357",
    "GBP": "0.84715",
    "PLN": "4.5138",
    "SEK": "10.9725",
    "CHF": "1.5102",
    "CNY": "9.5242",
    "KRW": "1761.36",
    "INR": "66.8880",
}
TUESDAY_22_JULY_2003 = {"USD": "1.1343", "JPY": "135.18", "GBP": "0.70830", "CZK": "32.192"}


def studied(currency: str, rate: str, day: str, to: Path) -> Values:
    """Parts of which one costs what a euro buys of the currency."""
    thousand = format((Decimal(rate) * 1000).normalize(), "f")
    item = an_item(f"{thousand} {currency} per 1000")
    quote = a_quote("oak-1", item, currency=currency, date=day, valid_until="2030-12-31")
    content = forms(quote, workshop=a_workshop(planning_start=day), part=a_part())
    return printed_for(content, to, today=datetime.date.fromisoformat(day))


@pytest.mark.parametrize("currency", FRIDAY_19_JUNE_2009)
def test_on_a_saturday_the_rates_of_friday_hold(currency: str, tmp_path: Path) -> None:
    """European Central Bank, euro foreign exchange reference rates as of 19 June 2009, as printed
    by the Banca d'Italia for that day. The 20th was a Saturday."""
    found = studied(currency, FRIDAY_19_JUNE_2009[currency], "2009-06-20", tmp_path)
    assert found["offers"][0]["landed_each"] == "1"
    assert [(rate["on"], rate["age_in_days"]) for rate in found["rates"]] == [("2009-06-19", 1)]


@pytest.mark.parametrize("currency", TUESDAY_22_JULY_2003)
def test_on_a_day_of_publication_its_own_rates_hold(currency: str, tmp_path: Path) -> None:
    """European Central Bank, euro foreign exchange reference rates as of 22 July 2003, as printed
    by the Banca d'Italia for that day."""
    found = studied(currency, TUESDAY_22_JULY_2003[currency], "2003-07-22", tmp_path)
    assert found["offers"][0]["landed_each"] == "1"
    assert [(rate["on"], rate["age_in_days"]) for rate in found["rates"]] == [("2003-07-22", 0)]
