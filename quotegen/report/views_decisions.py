"""The records of what was decided, as the folder holds them, and what is due next."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from quotegen.basics.printed import day, money
from quotegen.judge.studied import PartStudy, Study
from quotegen.model.decision import State
from quotegen.model.entry import Decision
from quotegen.report.markdown_text import prose_html
from quotegen.report.views_brief import last_day_of
from quotegen.report.views_names import part_page
from quotegen.report.views_part import Records
from quotegen.report.views_shape import Cell, Fact, Row, Table, row, short, words


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionView:
    """One record, with its prose as safe HTML."""

    anchor: str
    title: str
    standing: str
    is_open: bool
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
        records=tuple(_decision(each, records) for each in records),
    )


def _decision(decision: Decision, records: Sequence[Decision]) -> DecisionView:
    later = [each for each in records if each.number > decision.number]
    return DecisionView(
        anchor=f"{decision.part}-{decision.number}",
        title=f"Record {decision.number} of {decision.part.upper()}",
        standing=standing_of(decision, later),
        is_open=bool(later) or decision.state is State.REOPENED,
        facts=tuple(_facts(decision)),
        reasons=prose_html(decision.reasons),
        reopens_when=tuple(each.text for each in decision.facts.reopen_if),
        files=tuple(
            Fact(label=path, text=sha.removeprefix("sha256:")[:16])
            for path, sha in sorted(decision.files.items())
        ),
    )


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
    return f"{verb} on {day(following.decided_on)} by record {following.number}"


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


def records_of(part: str, decisions: Sequence[Decision]) -> Records:
    """What the last record of the part did, and how the next one would be called."""
    records = [each for each in decisions if each.part == part]
    if not records:
        return Records(last="", next_name=f"{part.upper()} / 1, proposed")
    last = max(records, key=lambda each: each.number)
    word = "open again" if last.state is State.REOPENED else "decided"
    return Records(
        last=f"{word} {day(last.decided_on)}",
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
    part, route = study.comparison.part, study.advice.route
    name = Cell(text=part.record.name, small=part.name.upper(), href=part_page(part.name))
    last = last_day_of(route)
    if route is not None and last is not None:
        quotes = [
            f"{each.supplier_name} {each.quote}" for each in route.offers if each.last_day == last
        ]
        yield last, row(day(last), name, f"sign {' and '.join(quotes)}: its prices end")
    needed = part.record.needed_by
    if route is None and needed is not None and study.comparison.needs.likely:
        yield needed, row(day(needed), name, "first parts needed, and no route is settled")
