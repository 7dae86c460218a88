"""The records of what was decided, as the folder holds them, and what is due next."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from quotegen.basics.days import in_words
from quotegen.basics.printed import day, listed, money
from quotegen.judge.studied import PartStudy, Study
from quotegen.model.decision import State
from quotegen.model.entry import Decision
from quotegen.report.markdown_text import prose_html
from quotegen.report.views.names import part_page, settled_routes
from quotegen.report.views.orders import decide_by, last_day_of
from quotegen.report.views.part import Records
from quotegen.report.views.shape import Cell, Fact, Row, Table, row, short, words

HOLDS, NO_LONGER = "still holds", "no longer holds"
Standing = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionView:
    """One record, with its prose as safe HTML.

    holds says whether it still does and why_not why it does not; both are empty where the
    title says it all.
    """

    anchor: str
    title: str
    standing: str
    is_open: bool
    holds: str
    why_not: tuple[str, ...]
    facts: tuple[Fact, ...]
    reasons: Markup
    reopens_when: tuple[str, ...]
    files: tuple[Fact, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartDecisions:
    """All records of one part, the latest first."""

    part: str
    name: str
    part_href: str
    records: tuple[DecisionView, ...]


def decisions_by_part(study: Study) -> tuple[PartDecisions, ...]:
    found: dict[str, list[Decision]] = {}
    for decision in study.folder.decisions:
        found.setdefault(decision.part, []).append(decision)
    return tuple(
        _part_decisions(part, sorted(found[part], key=lambda each: -each.number), study)
        for part in sorted(found)
    )


def _part_decisions(part: str, records: Sequence[Decision], study: Study) -> PartDecisions:
    entry = study.folder.parts.get(part)
    return PartDecisions(
        part=part.upper(),
        name=entry.record.name if entry is not None else part,
        part_href=part_page(part) if part in study.parts else "",
        records=tuple(_decision(each, records, study.standing) for each in records),
    )


def _decision(decision: Decision, records: Sequence[Decision], standing: Standing) -> DecisionView:
    later = [each for each in records if each.number > decision.number]
    holds = holding(decision, later, standing)
    return DecisionView(
        anchor=f"{decision.part}-{decision.number}",
        title=f"Record {decision.number} of {decision.part.upper()}",
        standing=standing_of(decision, later),
        is_open=bool(later) or decision.state is State.REOPENED,
        holds=holds,
        why_not=standing[decision.path] if holds == NO_LONGER else (),
        facts=tuple(_facts(decision)),
        reasons=prose_html(decision.reasons),
        reopens_when=tuple(each.text for each in decision.facts.reopen_if),
        files=tuple(
            Fact(label=path, text=sha.removeprefix("sha256:")[:16])
            for path, sha in sorted(decision.files.items())
        ),
    )


def holding(decision: Decision, later: Sequence[Decision], standing: Standing) -> str:
    """Whether the record that is in force still holds; nothing where that is not known."""
    is_last = not later and decision.state is not State.REOPENED
    if not is_last or decision.path not in standing:
        return ""
    return NO_LONGER if standing[decision.path] else HOLDS


def standing_of(decision: Decision, later: Sequence[Decision]) -> str:
    """Whether it is in force, as far as the records alone say it."""
    if not decision.intact:
        return "edited after it was written: not to be relied on"
    if decision.state is State.REOPENED:
        return f"opens record {decision.facts.reopens} again"
    if not later:
        return "in force"
    following = min(later, key=lambda each: each.number)
    verb = "reopened" if following.state is State.REOPENED else "replaced"
    return f"{verb} on {in_words(following.decided_on)} by record {following.number}"


def _facts(decision: Decision) -> Iterator[Fact]:
    facts = decision.facts
    yield Fact(label="Decided on", text=day(decision.decided_on))
    yield Fact(label="Agreed by", text=facts.agreed_by)
    if decision.outcome:
        yield Fact(label="Outcome", text=decision.outcome)
    if decision.route:
        yield Fact(label="Route", text=" then ".join(decision.route))
    if facts.advised:
        yield Fact(label="Advised was", text=" then ".join(facts.advised))
    if facts.total is not None:
        yield Fact(label="Total", text=money(facts.total.amount, facts.total.currency))
    if facts.quantity is not None:
        yield Fact(label="For", text=f"{facts.quantity:,} good parts")
    if facts.revision is not None:
        yield Fact(label="Revision", text=facts.revision)
    yield Fact(label="File", text=decision.path)


def records_of(part: str, decisions: Sequence[Decision], standing: Standing) -> Records:
    """What the last record of the part did, whether it holds, and the next one's name."""
    records = [each for each in decisions if each.part == part]
    if not records:
        return Records(last="", holds="", next_name=f"{part.upper()} / 1, proposed")
    last = max(records, key=lambda each: each.number)
    word = "open again" if last.state is State.REOPENED else "decided"
    return Records(
        last=f"{word} {day(last.decided_on)}",
        holds=holding(last, [], standing),
        next_name=f"{part.upper()} / {last.number + 1}, proposed",
    )


def due_table(parts: Mapping[str, PartStudy]) -> Table | None:
    """What has to be signed or settled by when, the nearest day first."""
    rows = sorted(
        ((date, row_) for study in parts.values() for date, row_ in _due(study)),
        key=lambda each: (each[0], each[1].cells[1].text, each[1].cells[2].text),
    )
    if not rows:
        return None
    return Table(
        caption="What has to be signed or settled, and by when",
        columns=(*short("By"), *words("Part", "What")),
        rows=tuple(each for _, each in rows),
    )


def _due(study: PartStudy) -> Iterator[tuple[datetime.date, Row]]:
    part, routes = study.comparison.part, settled_routes(study.advice)
    name = Cell(text=part.record.name, small=part.name.upper(), href=part_page(part.name))
    by, last = decide_by(study.comparison, study.advice), last_day_of(routes)
    if by is not None:
        quotes = [
            f"{each.supplier_name} {each.quote}"
            for route in routes
            for each in route.offers
            if by != last or each.last_day == last
        ]
        why = f"the prices of {listed(quotes)} end" if by == last else "all dates count from then"
        what = f"sign {listed(quotes)}" if len(routes) == 1 else "choose one route"
        if len(routes) == 1 and by == last:
            why = "its prices end"
        yield by, row(day(by), name, f"{what}: {why}")
    needed = part.record.needed_by
    if not routes and needed is not None and study.comparison.needs.likely:
        yield needed, row(day(needed), name, "first parts needed, and no route is settled")
