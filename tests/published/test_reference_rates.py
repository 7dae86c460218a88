"""Euro reference rates of days that are known: a small workshop folder in, euros out."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import pytest

from tests.folders import a_part, a_quote, a_workshop, an_item, forms, printed_for

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


def studied(currency: str, rate: str, day: str, to: Path) -> Any:
    """100 parts; a thousand cost a thousand times what one euro buys of the currency."""
    amount, _, decimals = rate.partition(".")
    thousand = f"{amount}{decimals:<06.6}".replace(" ", "0")
    item = an_item(f"{thousand[:-3]}.{thousand[-3:-1]} {currency} per 1000")
    quote = a_quote("oak-1", item, currency=currency, date=day, valid_until="2030-12-31")
    workshop = a_workshop(planning_start=day)
    today = datetime.date.fromisoformat(day)
    return printed_for(forms(quote, workshop=workshop, part=a_part()), to, today=today)


@pytest.mark.parametrize("currency", FRIDAY_19_JUNE_2009)
def test_on_a_saturday_the_rate_of_friday_holds(currency: str, tmp_path: Path) -> None:
    """European Central Bank, euro foreign exchange reference rates as of 19 June 2009, as printed by
    the Banca d'Italia (cambi di riferimento, 19/06/2009)."""
    rate = FRIDAY_19_JUNE_2009[currency]
    found = rate_used(currency, "2009-06-20", tmp_path)
    assert found["on"] == "2009-06-19"
    assert found["rate"].startswith(f"1 EUR = {float(rate):g}") or found["rate"].startswith(
        f"1 EUR = {rate}"
    )


def rate_used(currency: str, day: str, to: Path) -> Any:
    item = an_item(f"100 {currency} per 1")
    quote = a_quote("oak-1", item, currency=currency, date=day, valid_until="2030-12-31")
    today = datetime.date.fromisoformat(day)
    content = forms(quote, workshop=a_workshop(planning_start=day), part=a_part())
    (used,) = printed_for(content, to, today=today)["rates"]
    return used
