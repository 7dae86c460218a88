"""Incoming inspection: the samples of a delivery, the sorting of one that does not pass, and the
pieces that a test destroys, as lines of the bill (R8)."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import rounded
from quotegen.basics.printed import counted
from quotegen.costing.bill import Assumption, CostLine, Findings, Kind
from quotegen.costing.case import Case
from quotegen.costing.goods import deliveries
from quotegen.costing.sampling import (
    Band,
    SamplingPlan,
    bands,
    chance_of_process,
    every_piece,
    plan_for,
)
from quotegen.costing.schedule import PIECES, Schedule, Steps, Sum, batches
from quotegen.model.fields import Found, Load
from quotegen.model.workshop import Labour

SERIES = 5  # lots: the fewest by which ISO 2859-1, 9.3, changes to tightened inspection
CHANCE_DIGITS = 6  # of the chance to sort, so that an expected amount has a small denominator


def is_inspected(case: Case) -> bool:
    """Whether the part says how many pieces of a delivery are looked at."""
    return case.part.record.acceptance_quality is not None or sees_every_piece(case)


def sees_every_piece(case: Case) -> bool:
    """What a person relies on is checked on every piece, whatever a sampling plan would allow."""
    return case.part.record.load is Load.PERSON_RELIES


def usual_delivery(case: Case) -> int:
    """The pieces of one delivery: as the part says, else a lot, never below the least order."""
    part = case.part.record
    return part.pieces_a_delivery or max(case.lot, case.item.minimum)


def deliveries_expected(case: Case) -> int:
    """How many deliveries the likely demand of the planning months makes."""
    part, months = case.part.record, case.workshop.record.planning_months
    return -(-part.pieces_over(months, part.demand.likely) // usual_delivery(case))


def is_series(case: Case) -> bool:
    """Whether so many deliveries are expected that the rules for a series of lots can work."""
    return deliveries_expected(case) >= SERIES


def inspection_plan(case: Case, lot: int) -> SamplingPlan | None:
    """The plan for a delivery of so many pieces; None where the part does not ask for any."""
    acceptance = case.part.record.acceptance_quality
    if sees_every_piece(case):
        return every_piece(lot)
    if acceptance is None:
        return None
    return plan_for(lot, acceptance, is_series=is_series(case))


def share_arriving(case: Case) -> Fraction | None:
    """The share of bad pieces in what reaches us; None where nobody has said or seen one."""
    said = case.item.rejects is not None or case.supplier.record.rejects_seen is not None
    if not said and case.received is None:
        return None
    return Fraction(0) if case.rejects.found is Found.AT_SUPPLIER else case.rejects.share


def chance_to_sort(plan: SamplingPlan, share: Fraction) -> Fraction:
    """The chance that a delivery does not pass, to six digits; then every piece is looked at."""
    return 1 - Fraction(rounded(chance_of_process(plan, share), CHANCE_DIGITS))


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionWork:
    """Minutes for one piece, and what an hour of them costs; None where that is not stated."""

    minutes: Fraction
    labour: Labour | None


def work_of(case: Case) -> InspectionWork | None:
    """What looking at one piece takes, where the part's form says it."""
    part = case.part.record
    if part.inspection_takes is None:
        return None
    known = case.workshop.record.labour
    labour = next((each for each in known if each.work == part.inspected_by), None)
    return InspectionWork(minutes=part.inspection_takes.minutes, labour=labour)


def inspection(case: Case, invoiced: tuple[CostLine, ...]) -> Findings:
    """The lines of looking at deliveries; what is not stated is said and not counted."""
    return _looking(case) + _destroyed(case, invoiced)


def _looking(case: Case) -> Findings:
    work = work_of(case)
    if work is None or not is_inspected(case):
        return Findings()
    if work.labour is None:
        return Findings(assumptions=(_not_counted(case, work),))
    each = case.base(work.labour.rate) * work.minutes / 60
    lines = [_line(case, "incoming inspection", _samples(case), each, work)]
    share = share_arriving(case)
    if share and not sees_every_piece(case):
        what = "sorting of deliveries that do not pass, expected"
        lines.append(_line(case, what, _sorting(case, share), each, work))
    return Findings(lines=tuple(lines))


def _not_counted(case: Case, work: InspectionWork) -> Assumption:
    text = (
        f"Incoming inspection takes {float(work.minutes):g} minutes a piece; it is not counted, "
        "since no hourly rate is known for it."
    )
    return Assumption(text=text, rule="R8", place=case.at_part("inspection takes"))


def _line(
    case: Case, what: str, looked_at: Steps, each: Fraction, work: InspectionWork
) -> CostLine:
    rate = f" at {work.labour.rate} an hour" if work.labour is not None else ""
    return CostLine(
        kind=Kind.COMPLETION,
        what=what,
        per="delivery",
        rule="R8",
        place=case.at_part("inspection takes"),
        schedule=_of_deliveries(case, _times(looked_at, each)),
        counts=deliveries(case),
        written=f"{float(work.minutes):g} minutes a piece{rate}, {_how_many(case)}",
    )


def _how_many(case: Case) -> str:
    acceptance = case.part.record.acceptance_quality
    return "every piece" if sees_every_piece(case) or acceptance is None else str(acceptance)


def _times(steps: Steps, each: Fraction) -> Steps:
    fixed = tuple(amount * each for amount in steps.fixed)
    return Steps(steps.starts, fixed, tuple(amount * each for amount in steps.slope))


def _of_deliveries(case: Case, one: Steps) -> Schedule:
    """From one delivery to an order of several, each of them reckoned at its full size."""
    size = case.part.record.pieces_a_delivery
    if not size or size == 1:
        return Steps((1,), (Fraction(0),), (one.at(1),)) if size else one
    kept = [number for number, start in enumerate(one.starts) if start < size]
    nothing = Fraction(0)
    small = Steps(
        (*(one.starts[number] for number in kept), size),
        (*(one.fixed[number] for number in kept), nothing),
        (*(one.slope[number] for number in kept), nothing),
        PIECES,
    )
    whole = Steps((1, size), (nothing, nothing), (nothing, one.at(size)), batches(size))
    return Sum((small, whole))


_Stretch = tuple[int, Fraction, Fraction]  # from so many pieces on: fixed, and for each piece


def _samples(case: Case) -> Steps:
    """The pieces that are looked at, by the size of a delivery."""
    return _steps(case, lambda band: (Fraction(band.sample), Fraction(0)), of_small=Fraction(1))


def _sorting(case: Case, share: Fraction) -> Steps:
    """The pieces beyond the sample that are looked at on average, since a delivery may fail."""

    def expected(band: Band) -> tuple[Fraction, Fraction]:
        chance = chance_to_sort(band.plan(band.sample + 1), share)
        return -chance * band.sample, chance

    return _steps(case, expected, of_small=Fraction(0))


def _steps(
    case: Case, of_band: Callable[[Band], tuple[Fraction, Fraction]], of_small: Fraction
) -> Steps:
    """A count by the size of a delivery; of_small holds for each piece where all are looked at."""
    acceptance = case.part.record.acceptance_quality
    if acceptance is None or sees_every_piece(case):
        return Steps((1,), (Fraction(0),), (of_small,))
    found = tuple(_stretches(bands(acceptance, is_series(case)), of_band, of_small))
    return Steps(
        tuple(start for start, _, _ in found),
        tuple(fixed for _, fixed, _ in found),
        tuple(slope for _, _, slope in found),
    )


def _stretches(
    found: tuple[Band, ...],
    of_band: Callable[[Band], tuple[Fraction, Fraction]],
    of_small: Fraction,
) -> Iterator[_Stretch]:
    for band in found:
        if band.first <= band.sample:
            yield band.first, Fraction(0), of_small
        start = max(band.first, band.sample + 1)
        if band.last is None or start <= band.last:
            yield start, *of_band(band)


def _destroyed(case: Case, invoiced: tuple[CostLine, ...]) -> Findings:
    """Pieces of each delivery that a test destroys are bought again, at the price of the order."""
    count = case.part.record.tested_to_destruction
    goods = [line.schedule for line in invoiced if line.kind is Kind.GOODS]
    if count is None or not goods or not isinstance(goods[0], Steps):
        return Findings()
    prices = goods[0]
    line = CostLine(
        kind=Kind.COMPLETION,
        what=f"{counted(count, 'piece')} of each delivery tested to destruction",
        per="delivery",
        rule="R8",
        place=case.at_part("tested to destruction"),
        schedule=Steps(
            prices.starts,
            (Fraction(0),) * len(prices.starts),
            tuple(each * count for each in prices.slope),
            deliveries(case),
        ),
        counts=deliveries(case),
        written=f"{counted(count, 'piece')} at the quoted price",
    )
    return Findings(lines=(line,))
