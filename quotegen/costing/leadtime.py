"""When the first parts stand on our shelf (R17)."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from quotegen.basics.days import ONE_DAY, WorkCalendar, after, latest_start, next_working_day
from quotegen.basics.quantity import Span
from quotegen.costing.case import Case
from quotegen.costing.completion import left_out
from quotegen.costing.customs import crosses_border
from quotegen.costing.delivery import legs_of
from quotegen.model.fields import Absence
from quotegen.model.quote import Tool

REWORKS_COUNTED = 1
Stretch = tuple[str, Span | None, WorkCalendar, bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One stretch of the way from order to shelf."""

    what: str
    begins: datetime.date
    ends: datetime.date
    span: str
    is_tool: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """The stages of an order; first_parts is None where a span is not known.

    unknown names the spans that nobody has stated; reached is the day without them.
    """

    ordered: datetime.date
    stages: tuple[Stage, ...]
    first_parts: datetime.date | None
    reached: datetime.date
    unknown: tuple[str, ...]


def order_day(case: Case) -> datetime.date:
    """A first order goes out on the first working day of the plan, and never before today."""
    workshop = case.workshop.record
    start = max(case.today, workshop.planning_start)
    return next_working_day(start, WorkCalendar((workshop.country,)))


def arrival_of(case: Case) -> Arrival:
    """The arrival of an order placed on the first day of the plan, its tools made first."""
    return arrival_from(case, order_day(case))


def arrival_from(case: Case, ordered: datetime.date, with_tools: bool = True) -> Arrival:
    """First parts = tool + sample rounds + approval + run + carriage + clearance + completion
    + inspection, each on the calendar of those who work; one rework of the samples counted.

    Without tools it is the arrival of a later order.
    """
    return arrival_along(stretches_of(case, with_tools=with_tools), ordered)


def arrival_along(stretches: Sequence[Stretch], ordered: datetime.date) -> Arrival:
    """The arrival of what takes these stretches one after the other."""
    stages: list[Stage] = []
    unknown: list[str] = []
    day = ordered
    for what, span, work, is_tool in stretches:
        if span is None:
            unknown.append(what)
            continue
        try:
            ends = after(day, span, work)
        except OverflowError:  # stretch upon stretch, beyond the last year of the calendar
            unknown.append(what)
            continue
        stages.append(Stage(what=what, begins=day, ends=ends, span=str(span), is_tool=is_tool))
        day = ends
    first = None if unknown else day
    return Arrival(
        ordered=ordered,
        stages=tuple(stages),
        first_parts=first,
        reached=day,
        unknown=tuple(unknown),
    )


def latest_order(
    stretches: Sequence[Stretch], ours: WorkCalendar, needed: datetime.date
) -> datetime.date | None:
    """Our last working day on which an order still arrives by a day; spans that are not known are
    left out. None before the first year of the calendar."""
    day = needed
    for _, span, work, _ in reversed(stretches):
        try:
            day = latest_start(day, span, work) if span is not None else day
        except OverflowError:
            return None
    while not ours.works_on(day):
        day -= ONE_DAY
    return day


def stretches_of(
    case: Case, made: Collection[str] = (), with_tools: bool = True
) -> tuple[Stretch, ...]:
    """What an order goes through: what it is, how long, on whose days, and whether it is a tool's.

    made names tools that are there already; without tools it is a later order.
    """
    theirs = WorkCalendar(
        (case.supplier.record.country,),
        tuple((closed.first, closed.last) for closed in case.supplier.record.closed),
    )
    ours = WorkCalendar((case.workshop.record.country,))
    found: list[Stretch] = []
    there = {*case.workshop.record.tools_owned, *made}
    for tool in case.item.tools:
        if with_tools and tool.tool not in there:
            found += _tool_spans(case, tool, theirs, ours)
    run = _known(case.item.lead_time) or case.supplier.record.usual_lead_time
    found.append(("run", run, theirs, False))
    return (*found, *_way(case, theirs, ours), *_here(case, ours))


def _known(span: Span | Absence) -> Span | None:
    if span is Absence.NOT_APPLICABLE:
        return Span(0, "days")
    return None if isinstance(span, Absence) else span


def _tool_spans(case: Case, tool: Tool, theirs: WorkCalendar, ours: WorkCalendar) -> list[Stretch]:
    found: list[Stretch] = [(tool.what, _known(tool.takes), theirs, True)]
    rounds = tool.sample_rounds + REWORKS_COUNTED
    for number in range(1, rounds + 1):
        name = f"samples, round {number}" if number <= tool.sample_rounds else "samples, reworked"
        if tool.sample_takes is not None:
            found.append((name, tool.sample_takes, theirs, True))
        if case.workshop.record.sample_approval is not None:
            found.append(("our approval", case.workshop.record.sample_approval, ours, True))
    return found


def _way(case: Case, theirs: WorkCalendar, ours: WorkCalendar) -> list[Stretch]:
    assumed = legs_of(case).assumed
    both = theirs.with_country(case.workshop.record.country)
    found: list[Stretch] = []
    if assumed is not None and assumed.takes is not None:
        found.append(("carriage", assumed.takes, both, False))
    if assumed is not None and assumed.clearance_takes is not None and crosses_border(case):
        found.append(("clearance", assumed.clearance_takes, ours, False))
    return found


def _here(case: Case, ours: WorkCalendar) -> list[Stretch]:
    """What we have done to the pieces once they are here, in the order of the part's form."""
    found: list[Stretch] = [
        (each.operation, each.takes, ours, False)
        for each in left_out(case)
        if each.takes is not None
    ]
    if case.workshop.record.inspection_takes is not None:
        found.append(("inspection", case.workshop.record.inspection_takes, ours, False))
    return found
