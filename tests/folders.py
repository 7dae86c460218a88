"""Small workshop folders for tests: plain values in; records, files or printed figures out.

Every form is a dict as a person would write it, with its keys in words. The forms given here are
complete and as dull as they can be; a test names only what it is about.
"""

from __future__ import annotations

import datetime
import json
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar

import yaml

from quotegen.basics.place import Place, Places
from quotegen.compare.comparison import Comparison, compare, with_bridges
from quotegen.costing.offer import Offer, currencies_of, offers_for
from quotegen.costing.rates import rates_on
from quotegen.judge.advice import Advice, advise
from quotegen.judge.futures.making import planned_outlook
from quotegen.judge.futures.outlook import Outlook
from quotegen.model.entry import Entry, Folder, QuoteEntry
from quotegen.model.fields import Form
from quotegen.model.orders import Orders
from quotegen.model.part import Part
from quotegen.model.quote import Quote
from quotegen.model.supplier import Supplier
from quotegen.model.workshop import Workshop
from quotegen.plan.planning import Planning, plan_part
from quotegen.report.as_json import comparison_as_json
from quotegen.study import study

TODAY = datetime.date(2026, 11, 2)  # a Monday

Values = dict[str, Any]
Record = TypeVar("Record", bound=Form)


def a_workshop(**changes: Any) -> Values:
    """One year of planning in euros at Zutphen; carriage at home, time and room cost nothing."""
    form = {
        "format": "1",
        "name": "Test Loomwrights",
        "currency": "EUR",
        "place": "Zutphen",
        "country": "NL",
        "planning start": "2026-11-02",
        "planning months": "12",
        "cost of capital": "0 % a year",
        "storage": "0 % a year",
        "delivery": [a_way_from("NL")],
    }
    return changed(form, changes)


def a_way_from(country: str, **changes: Any) -> Values:
    """What we pay on the way from a country: nothing, unless it is said."""
    form = {"from": country, "carriage": {"per order": "0 EUR"}, "source": "test"}
    return changed(form, changes)


def a_part(likely: int = 100, **changes: Any) -> Values:
    """Part p, revision A, 100 g of steel; the demand a year is the same at best and at worst."""
    form = {
        "format": "1",
        "name": "Pawl",
        "revision": "A",
        "material": "steel",
        "mass": "100 g",
        "demand": {"low": str(likely), "likely": str(likely), "high": str(likely)},
    }
    return changed(form, changes)


def a_supplier(**changes: Any) -> Values:
    form = {"format": "1", "name": "Alder", "processes": ["machining"], "country": "NL"}
    return changed(form, changes)


def a_quote(number: str, *items: Values, **changes: Any) -> Values:
    """A quote that can be signed until the end of the year and is delivered to our door."""
    form = {
        "format": "1",
        "quote": number,
        "date": "2026-10-01",
        "valid until": "2026-12-31",
        "currency": "EUR",
        "delivery": "DAP Zutphen",
        "items": list(items),
    }
    return changed(form, changes)


def an_item(price: str | Mapping[int, str], **changes: Any) -> Values:
    """An item for part p: a price from 1 piece on, or prices by the quantity they begin at."""
    prices = {1: price} if isinstance(price, str) else price
    form = {
        "part": "p",
        "revision": "A",
        "prices": [{"from": str(start), "price": each} for start, each in prices.items()],
        "lead time": "10 working days",
        "rejects": {"share": "0 %"},
    }
    return changed(form, changes)


def a_tool(price: str, **changes: Any) -> Values:
    """A tool of our own that lasts for ever, has no samples and takes no time."""
    form = {
        "tool": "die",
        "what": "wax die",
        "price": price,
        "owner": "buyer",
        "life": "not applicable",
        "samples": "not applicable",
        "takes": "0 days",
    }
    return changed(form, changes)


def changed(form: Values, changes: Mapping[str, Any]) -> Values:
    """The form with other values under keys as they are written; None takes a key away."""
    new = {key.replace("_", " "): value for key, value in changes.items()}
    return {key: value for key, value in (form | new).items() if value is not None}


@dataclass(frozen=True, kw_only=True)
class Forms:
    """A whole folder as plain values. Quotes stand in the folder of their supplier."""

    workshop: Values
    parts: Mapping[str, Values]
    suppliers: Mapping[str, Values]
    quotes: tuple[tuple[str, Values], ...]
    orders: Mapping[str, Values] = field(default_factory=dict)


def forms(
    *quotes: Values,
    workshop: Values | None = None,
    part: Values | None = None,
    suppliers: Mapping[str, Values] | None = None,
    orders: Sequence[Values] = (),
) -> Forms:
    """A folder with one part; orders are lines of what was ordered of it so far.

    The quote `alder-1` is of the supplier `alder`, a usual one unless suppliers gives another form
    for it.
    """
    owners = [str(each["quote"]).partition("-")[0] for each in quotes]
    usual = {name: a_supplier(name=name.title()) for name in owners}
    return Forms(
        workshop=workshop or a_workshop(),
        parts={"p": part or a_part()},
        suppliers=usual | dict(suppliers or {}),
        quotes=tuple(zip(owners, quotes, strict=True)),
        orders={"p": {"format": "1", "orders": list(orders)}} if orders else {},
    )


def written(content: Forms, to: Path) -> Path:
    """The folder on disk, in YAML with every value as text."""
    files = {"workshop.yaml": content.workshop}
    files |= {f"parts/{name}.yaml": form for name, form in content.parts.items()}
    files |= {f"suppliers/{name}.yaml": form for name, form in content.suppliers.items()}
    files |= {f"orders/{name}.yaml": form for name, form in content.orders.items()}
    files |= {f"quotes/{owner}/{form['quote']}.yaml": form for owner, form in content.quotes}
    for name, form in files.items():
        path = to / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(yaml.safe_dump(form, sort_keys=False), encoding="utf-8")
    return to


def printed_for(content: Forms, to: Path, part: str = "p", today: datetime.date = TODAY) -> Values:
    """Through the public path: the folder is written, studied, and its comparison is JSON."""
    found = study(written(content, to), today, only=(part,))
    wrong = [problem.message for problem in found.problems if problem.severity == "error"]
    if wrong:
        raise ValueError("; ".join(wrong))
    one = found.parts[part]
    return comparison_as_json(one.comparison, one.planning, one.advice, one.plausible)


def printed_by_command(content: Forms, to: Path, part: str = "p") -> Values:
    """The same by the command line, in a process of its own."""
    folder = ["--folder", str(written(content, to)), "--today", TODAY.isoformat()]
    command = [sys.executable, "-m", "quotegen", "compare", part, "--json", *folder]
    told = subprocess.run(command, check=True, capture_output=True, encoding="utf-8")
    answer: Values = json.loads(told.stdout)
    return answer


def records(content: Forms) -> Folder:
    """The same records without files: each value's place is its form."""
    return Folder(
        workshop=_entry(Workshop, "workshop", content.workshop),
        parts={name: _entry(Part, name, form) for name, form in content.parts.items()},
        suppliers={name: _entry(Supplier, name, form) for name, form in content.suppliers.items()},
        quotes=tuple(_quote_entry(owner, form) for owner, form in content.quotes),
        decisions=(),
        problems=(),
        orders={name: _entry(Orders, name, form) for name, form in content.orders.items()},
    )


def _entry(kind: type[Record], name: str, form: Values) -> Entry[Record]:
    places = Places(Place(f"{name}.yaml"), {})
    return Entry(name=name, record=kind.model_validate(form), places=places)


def _quote_entry(owner: str, form: Values) -> QuoteEntry:
    read = _entry(Quote, str(form["quote"]), form)
    return QuoteEntry(name=read.name, record=read.record, places=read.places, supplier=owner)


@dataclass(frozen=True, kw_only=True)
class Result:
    """A comparison, and its plan and advice once somebody asks for them.

    plain is the comparison without a plan.
    """

    plain: Comparison

    @cached_property
    def planning(self) -> Planning | None:
        return plan_part(self.plain)

    @cached_property
    def comparison(self) -> Comparison:
        """The comparison with the bridges of the plans, as a study has it."""
        bridges = self.planning.bridges if self.planning is not None else {}
        return with_bridges(self.plain, bridges)

    @cached_property
    def outlook(self) -> Outlook | None:
        return planned_outlook(self.comparison, self.planning)

    @cached_property
    def advice(self) -> Advice:
        return advise(self.comparison, self.planning, self.outlook)

    @property
    def offer(self) -> Offer:
        """The only offer."""
        (offer,) = self.plain.offers
        return offer

    @property
    def as_json(self) -> Values:
        return comparison_as_json(self.comparison, self.planning, self.advice)


def result_of(content: Forms, part: str = "p", today: datetime.date = TODAY) -> Result:
    """What a study finds, from records in memory."""
    folder = records(content)
    workshop = folder.workshop
    if workshop is None:
        raise ValueError("the folder has no workshop")
    wanted = set(currencies_of((workshop.record, *(x.record for x in folder.parts.values()))))
    for entry in folder.quotes:
        wanted |= currencies_of(entry.record) | {entry.record.currency}
        wanted |= {entry.record.pay_in or entry.record.currency}
    rates = rates_on(workshop, wanted, today)
    offers = offers_for(folder, part, rates, today)
    return Result(plain=compare(workshop, folder.parts[part], offers, rates, today))


def amounts(offer: Offer, pieces: int) -> dict[str, Fraction]:
    """What each line of a bill comes to for one order of so many pieces, by what it pays for."""
    return {line.what: line.schedule.at(pieces) for line in offer.bill.lines}


def total(offer: Offer, pieces: int) -> Fraction:
    return sum(amounts(offer, pieces).values(), Fraction(0))
