"""Exchange rates: stated ones win, else the last published day; never interpolated (R10)."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Any

import pytest

from quotegen.basics.money import Money
from quotegen.basics.place import Place, Places
from quotegen.costing import rates
from quotegen.costing.rates import RateTable, ecb_table, rates_on
from quotegen.model.entry import Entry
from quotegen.model.workshop import Workshop
from tests.folders import a_workshop

TODAY = datetime.date(2026, 11, 2)


def table(*stated: tuple[str, str, str], today: datetime.date = TODAY, **changes: Any) -> RateTable:
    lines = [
        {"one": one, "is worth": worth, "on": on, "source": "our bank"} for one, worth, on in stated
    ]
    form = a_workshop(rates=lines, **changes)
    entry = Entry(
        name="workshop",
        record=Workshop.model_validate(form),
        places=Places(Place("workshop.yaml"), {}),
    )
    return rates_on(entry, ["GBP", "USD", "PLN", "EUR", "XAU"], today)


def test_r10_the_last_stated_rate_at_or_before_the_day_is_used() -> None:
    stated = [
        ("GBP", "1.10 EUR", "2026-10-01"),
        ("GBP", "1.20 EUR", "2026-11-02"),
        ("GBP", "1.30 EUR", "2026-11-03"),
    ]
    assert table(*stated).rates["GBP"].value == Fraction("1.2")
    assert table(*reversed(stated)).rates["GBP"].value == Fraction("1.2")


def test_r10_a_stated_rate_wins_over_a_newer_published_one() -> None:
    found = table(("GBP", "1.50 EUR", "2020-01-02")).rates["GBP"]
    assert (found.value, found.source, found.is_old) == (Fraction("1.5"), "our bank", True)


@pytest.mark.parametrize(("on", "age", "old"), [("2026-10-26", 7, False), ("2026-10-25", 8, True)])
def test_r10_a_rate_that_is_more_than_seven_days_old_is_told(on: str, age: int, old: bool) -> None:
    found = table(("GBP", "1.20 EUR", on)).rates["GBP"]
    assert (found.age_in_days, found.is_old) == (age, old)


def test_r10_a_rate_into_another_currency_is_not_taken_for_our_own() -> None:
    assert table(("GBP", "9.99 USD", "2026-11-02")).rates["GBP"].value != Fraction("9.99")


@pytest.mark.parametrize(
    ("today", "day"),
    [("2009-06-19", "2009-06-19"), ("2009-06-20", "2009-06-19"), ("2009-06-21", "2009-06-19")],
)
def test_r10_on_a_day_without_publication_the_last_published_day_holds(
    today: str, day: str
) -> None:
    found = table(today=datetime.date.fromisoformat(today)).rates["USD"]
    assert found.on.isoformat() == day


def test_r10_a_cross_rate_is_that_of_two_published_ones_of_one_day() -> None:
    """1 EUR was 1.3932 USD and 0.84715 GBP, so 1 USD was 0.84715 / 1.3932 GBP."""
    day = datetime.date(2009, 6, 19)
    found = table(today=day, currency="GBP").rates
    assert found["USD"].value == Fraction("0.84715") / Fraction("1.3932")
    assert found["EUR"].value == Fraction("0.84715")
    assert "GBP" not in found


def test_r10_before_the_first_publication_and_for_an_unlisted_currency_there_is_no_rate() -> None:
    found = table(today=datetime.date(1999, 1, 3))
    assert found.rates == {}
    assert found.knows("EUR")
    assert not found.knows("USD")
    assert not table().knows("XAU")


def test_r10_money_of_our_own_is_left_alone_and_foreign_money_is_converted_exactly() -> None:
    found = table(("GBP", "1.2120 EUR", "2026-10-30"))
    assert found.convert(Money(Fraction("9.80"), "EUR")) == Fraction("9.8")
    assert found.convert(Money(Fraction("9.80"), "GBP")) == Fraction("11.8776")


def test_without_the_published_table_only_stated_rates_are_known(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(rates, "ecb_table", lambda: None)
    assert set(table(("GBP", "1.2120 EUR", "2026-10-30")).rates) == {"GBP"}


def test_the_published_table_says_where_it_is_from() -> None:
    published = ecb_table()
    assert published is not None
    found = table().rates["USD"]
    assert published.sha256[:12] in found.source
    assert "ECB" in found.source
