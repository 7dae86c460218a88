"""Reference rates where there is none for the day, or none between the two currencies (R10)."""

from __future__ import annotations

import datetime
from fractions import Fraction
from pathlib import Path

from quotegen.study import study
from tests.folders import (
    Forms,
    a_part,
    a_quote,
    a_workshop,
    an_item,
    forms,
    printed_for,
    written,
)

FRIDAY = datetime.date(2004, 6, 4)
LATER = datetime.date(2009, 6, 19)
KRONA_ENDED = datetime.date(2008, 12, 3)


def quoted_in(currency: str, price: str, on: datetime.date, own: str = "EUR") -> Forms:
    """100 pieces, ordered on the day."""
    begin = on.isoformat()
    item = an_item(f"{price} {currency} per 1")
    quote = a_quote("oak-1", item, currency=currency, date=begin, valid_until="2030-12-31")
    workshop = a_workshop(currency=own, delivery=None, planning_start=begin)
    return forms(quote, workshop=workshop, part=a_part(100))


def test_two_foreign_currencies_are_compared_through_the_euro(tmp_path: Path) -> None:
    """Banca d'Italia, euro foreign exchange reference rates (the ECB's) as of 4 June 2004, found:
    1.2203 USD and 4.6429 PLN are one euro each."""
    content = quoted_in("USD", "1.2203", FRIDAY, own="PLN")
    (offer,) = printed_for(content, tmp_path, today=FRIDAY)["offers"]
    assert round(Fraction(offer["total"]), 8) == Fraction("464.29")


def test_the_last_rate_of_the_krona_is_used_with_its_day_and_a_notice(tmp_path: Path) -> None:
    """The same page as of 19 June 2009, found: Icelandic krona, latest rate 3 December 2008,
    290.00. The table that the product reads repeats this rate up to 9 December, so that the day
    may be any of these."""
    folder = written(quoted_in("ISK", "290", LATER), tmp_path)
    found = study(folder, LATER, only=("p",))
    rate = found.parts["p"].comparison.rates.rates["ISK"]
    assert 1 / rate.value == 290
    assert KRONA_ENDED <= rate.on <= KRONA_ENDED + datetime.timedelta(days=6)
    (old,) = (problem for problem in found.problems if problem.code == "rate-old")
    assert old.severity == "notice"
    assert rate.on.isoformat() in old.message
