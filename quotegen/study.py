"""From a workshop folder to what is known about each part: the one file that knows every stage."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from quotegen.basics.place import Key, Place, Places
from quotegen.basics.problem import Problem, in_order, nearest
from quotegen.compare.comparison import Comparison, compare, with_bridges
from quotegen.costing.case import Case
from quotegen.costing.offer import Offer, cases_of, currencies_of, offers_for, quote_wide
from quotegen.costing.rates import RateTable, rates_on
from quotegen.intake.decisions import read_decisions
from quotegen.intake.folder import read_folder
from quotegen.judge.advice import advise
from quotegen.judge.futures.making import planned_outlook
from quotegen.judge.plausible import plausibility_of, with_questions
from quotegen.judge.studied import PartStudy, Study
from quotegen.judge.turning.over_two import Turned
from quotegen.model.entry import Entry, Folder, QuoteEntry
from quotegen.model.fields import Form
from quotegen.model.workshop import Workshop
from quotegen.plan.planning import Planning, plan_part
from quotegen.plan.sharing import plan_together
from quotegen.record.history import history
from quotegen.record.verify import Present

CODES = ("currency", "pay in")  # the fields that name a currency without an amount


def study(
    path: Path,
    today: datetime.date | None,
    only: Iterable[str] = (),
    clock: datetime.date | None = None,
) -> Study:
    """Read a folder and compare its parts, all of them or only those named.

    The day is today, else `compared on` of workshop.yaml, else the clock's; without any the
    day cannot be known and ValueError is raised, since the answer depends on it.
    """
    wanted = tuple(only)
    folder = read_all(path, only=wanted[0] if len(wanted) == 1 else None)
    day = day_of(folder, today, clock)
    rates = _rates(folder, day)
    known = cases_of(folder, rates, day)
    compared = {
        name: _compared(folder, name, rates, day)
        for name in _with_tool_mates(folder, wanted or sorted(folder.parts))
    }
    plans = _planned(compared)
    parts = {
        name: _study_part(folder, compared[name], plans[name], known)
        for name in (wanted or compared)
        if name in compared
    }
    found = (
        _unknown_parts(folder, wanted),
        _rate_problems(folder, rates, day),
        _later(folder, day),
    )
    problems = in_order([*folder.problems, *(each for some in found for each in some)])
    present = Present(root=path, folder=folder, today=day, rates=rates)
    return Study(
        folder=folder, today=day, parts=parts, problems=problems, standing=_standing(present)
    )


def _standing(present: Present) -> dict[str, tuple[str, ...]]:
    """For each record why it no longer holds, by its path; nothing where it does."""
    decided = sorted({each.part for each in present.folder.decisions})
    return {row.path: row.why_not for part in decided for row in history(part, present)}


def read_all(path: Path, only: str | None = None) -> Folder:
    """The folder with its decisions, or with those of one part alone.

    Quotes for other parts are read as well: a tool may serve several parts, and a price is held
    against others.
    """
    folder = read_folder(path)
    decisions, problems = read_decisions(path, only=only)
    found = in_order([*folder.problems, *problems])
    return dataclasses.replace(folder, decisions=decisions, problems=found)


def day_of(
    folder: Folder, today: datetime.date | None, clock: datetime.date | None
) -> datetime.date:
    fixed = folder.workshop.record.compared_on if folder.workshop is not None else None
    day = today or fixed or clock
    if day is None:
        raise ValueError("no day of comparison: give --today or `compared on` in workshop.yaml")
    return day


def _with_tool_mates(folder: Folder, wanted: Iterable[str]) -> tuple[str, ...]:
    """The parts wanted that are there, and those that share tools with them or with each other."""
    found = {name for name in wanted if name in folder.parts and folder.workshop is not None}
    while mates := {mate for name in found for mate in _tool_mates(folder, name)} - found:
        found |= mates
    return tuple(sorted(found))


def _tool_mates(folder: Folder, part: str) -> Iterator[str]:
    for parts in _tools_elsewhere(folder, part).values():
        yield from (each for each in parts if each in folder.parts)


def _compared(folder: Folder, name: str, rates: RateTable, today: datetime.date) -> Comparison:
    offers = offers_for(folder, name, rates, today)
    workshop = folder.workshop
    if workshop is None:
        raise ValueError("a part cannot be studied without workshop.yaml")
    return compare(workshop, folder.parts[name], offers, _used(rates, offers), today)


def _planned(compared: Mapping[str, Comparison]) -> Mapping[str, Planning | None]:
    """Each part by itself, then together those that share tools (R5)."""
    alone = {name: plan_part(comparison) for name, comparison in compared.items()}
    return {**alone, **plan_together(compared, alone)}


def _study_part(
    folder: Folder, comparison: Comparison, planning: Planning | None, known: tuple[Case, ...]
) -> PartStudy:
    name = comparison.part.name
    comparison = with_bridges(comparison, planning.bridges if planning is not None else {})
    plausible = plausibility_of(comparison, known)
    outlook = planned_outlook(comparison, planning)
    advice = with_questions(advise(comparison, planning, outlook), plausible)
    return PartStudy(
        part=name,
        comparison=comparison,
        planning=planning,
        advice=advice,
        tools_elsewhere=_tools_elsewhere(folder, name),
        plausible=plausible,
        turned=Turned(comparison=comparison, planning=planning, advice=advice),
    )


def _tools_elsewhere(folder: Folder, part: str) -> dict[str, tuple[str, ...]]:
    """The other parts that each tool of a part's quotes serves as well, by the tool's key (R5)."""
    serves: dict[str, set[str]] = {}
    for entry in folder.quotes:
        for item in entry.record.items:
            for tool in item.tools:
                serves.setdefault(tool.tool, set()).add(item.part)
    return {
        tool: tuple(sorted(parts - {part}))
        for tool, parts in sorted(serves.items())
        if part in parts and len(parts) > 1
    }


def _used(rates: RateTable, offers: Iterable[Offer]) -> RateTable:
    """The rates that the figures of these offers rest on."""
    used: frozenset[str] = frozenset()
    for offer in offers:
        paid = {offer.currency, offer.case.quote.pay_in or offer.currency}
        ours = (offer.case.workshop.record, offer.case.part.record)
        used |= paid | currencies_of((offer.case.quote, *ours))
    kept = {code: rate for code, rate in rates.rates.items() if code in used}
    return RateTable(base=rates.base, rates=kept)


def _rates(folder: Folder, today: datetime.date) -> RateTable:
    if folder.workshop is None:
        return RateTable(base="", rates={})
    wanted = set(currencies_of(folder.workshop.record))
    for part in folder.parts.values():
        wanted |= currencies_of(part.record)
    for entry in folder.quotes:
        wanted |= _currencies_paid(entry)
    return rates_on(folder.workshop, wanted, today)


def _currencies_paid(entry: QuoteEntry) -> frozenset[str]:
    quote = entry.record
    paid = {quote.currency, quote.pay_in or quote.currency}
    return currencies_of((quote.items, quote_wide(quote))) | paid


def _rate_problems(folder: Folder, rates: RateTable, today: datetime.date) -> Iterable[Problem]:
    """A currency without a rate is an error; an old rate is a notice that gives its age (R10)."""
    if folder.workshop is None:
        return
    for place, currency, record in _unrated(folder, folder.workshop, rates):
        yield Problem.of(
            "rate-missing",
            place,
            seen=currency,
            base=rates.base,
            day=today.isoformat(),
            record=record,
        )
    for rate in rates.rates.values():
        if rate.is_old:
            yield Problem.of(
                "rate-old",
                rate.place,
                seen=rate.written,
                day=rate.on.isoformat(),
                age=str(rate.age_in_days),
            )


def _later(folder: Folder, today: datetime.date) -> Iterator[Problem]:
    """Quotes that are not there yet on the day of the comparison; they are not compared."""
    for entry in folder.quotes:
        if entry.record.date > today:
            yield Problem.of(
                "quote-later",
                entry.places.of("date"),
                seen=entry.record.date.isoformat(),
                day=today.isoformat(),
            )


def _unrated(
    folder: Folder, workshop: Entry[Workshop], rates: RateTable
) -> Iterator[tuple[Place, str, str]]:
    """Where each currency without a rate is written first, and what is left out for it.

    A currency of our own assumptions is in the way of every offer.
    """
    for currency in sorted(currencies_of(workshop.record)):
        if not rates.knows(currency):
            place = _first_place(workshop.record, workshop.places, currency)
            yield place, currency, "Every offer"
    for name, part in sorted(folder.parts.items()):
        for currency in sorted(currencies_of(part.record)):
            if not rates.knows(currency):
                place = _first_place(part.record, part.places, currency)
                yield place, currency, f"Every offer for {name}"
    for entry in folder.quotes:
        for currency in sorted(_currencies_paid(entry)):
            if not rates.knows(currency):
                place = _first_place(entry.record, entry.places, currency)
                yield place, currency, f"The quote {entry.record.quote}"


def _first_place(form: Form, places: Places, currency: str) -> Place:
    keys = next(_keys_to(form, currency), ())
    return places.of(*keys)


def _keys_to(value: object, currency: str) -> Iterator[tuple[Key, ...]]:
    """The keys that lead to each mention of a currency inside a record, as it was written."""
    inside: Iterable[tuple[Key, object]] = ()
    if isinstance(value, Form):
        fields = type(value).model_fields
        inside = ((field.alias or name, getattr(value, name)) for name, field in fields.items())
    elif isinstance(value, tuple):
        inside = enumerate(value)
    elif currency in currencies_of(value):
        yield ()
    for key, each in inside:
        if key in CODES and each == currency:
            yield (key,)
        yield from ((key, *rest) for rest in _keys_to(each, currency))


def _unknown_parts(folder: Folder, wanted: Iterable[str]) -> Iterable[Problem]:
    for name in wanted:
        if name not in folder.parts:
            yield Problem.of(
                "part-unknown", Place("parts"), seen=name, hint=nearest(name, folder.parts)
            )
