"""What is checked on the records that are ours: the workshop, its parts, its suppliers."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.printed import per_cent
from quotegen.basics.problem import nearest
from quotegen.intake.checks import Finding, Subject, repeated, unknown_operations
from quotegen.model.part import Part
from quotegen.model.supplier import Supplier
from quotegen.model.text import MOST_MONTHS, MOST_PIECES
from quotegen.model.workshop import Completion, Delivery, Duty, Labour, Rate, Workshop

A_YEAR = 12  # months
BY_MONTH = ("demand", "by month")


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkshopCase(Subject):
    """The workshop as written."""

    workshop: Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class PartCase(Subject):
    """A part as written, the words for operations, and the planning months.

    The last two come from the workshop: None where there is none.
    """

    part: Part
    operations: frozenset[str] | None
    months: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplierCase(Subject):
    """A supplier as written."""

    supplier: Supplier


def lines_stand_once(case: WorkshopCase) -> Iterator[Finding]:
    """Two lines for one thing leave both out: nothing says which of them holds."""
    for key, names in _names_of_lines(case.workshop).items():
        for later, first in repeated(names):
            for number in (first, later):
                line = (key, number)
                yield case.finding("line-twice", line, line, seen=" ".join(map(str, names[number])))


def _names_of_lines(workshop: Workshop) -> dict[str, list[tuple[Hashable, ...]]]:
    def rate(line: Rate) -> tuple[Hashable, ...]:
        return line.one, line.on

    def labour(line: Labour) -> tuple[Hashable, ...]:
        return (line.work,)

    def completion(line: Completion) -> tuple[Hashable, ...]:
        return (line.operation,)

    def delivery(line: Delivery) -> tuple[Hashable, ...]:
        return (line.from_country,)

    def duty(line: Duty) -> tuple[Hashable, ...]:
        return line.goods_code, line.origin, line.since

    return {
        "rates": [rate(each) for each in workshop.rates],
        "labour": [labour(each) for each in workshop.labour],
        "completion": [completion(each) for each in workshop.completion],
        "delivery": [delivery(each) for each in workshop.delivery],
        "duty": [duty(each) for each in workshop.duty],
    }


def completion_has_a_price(case: WorkshopCase) -> Iterator[Finding]:
    """A price, an amount per order, or minutes of a labour whose hourly rate is known (R8)."""
    known = {each.work for each in case.workshop.labour}
    for index, each in enumerate(case.workshop.completion):
        line = ("completion", index)
        if each.price is None and each.minutes is None and each.per_order is None:
            yield case.finding("completion-price", line, line, seen=each.operation)
        if each.minutes is not None and each.labour is None:
            yield case.finding("completion-labour", line, line, seen=each.operation)
        if each.labour is not None and each.labour not in known:
            hint, keys = nearest(each.labour, known), (*line, "labour")
            yield case.finding("labour-unknown", keys, line, seen=each.labour, hint=hint)


def rates_fit(case: WorkshopCase) -> Iterator[Finding]:
    """A rate turns another currency into the workshop's own (R10)."""
    own = case.workshop.currency
    for index, rate in enumerate(case.workshop.rates):
        line = ("rates", index)
        if rate.one == own:
            yield case.finding("rate-own", (*line, "one"), line, seen=rate.one)
        if rate.is_worth.currency != own:
            seen, keys = rate.is_worth.currency, (*line, "is worth")
            yield case.finding("rate-currency", keys, line, seen=seen, expected=own)
        if not rate.is_worth.amount:
            keys, seen = (*line, "is worth"), case.seen(*line, "is worth")
            yield case.finding("not-positive", keys, line, seen=seen, expected="more than zero")


def drawings_stand_once(case: PartCase) -> Iterator[Finding]:
    """Two lines for one drawing leave both out: nothing says which revision holds."""
    names = [(each.number,) for each in case.part.drawings]
    for later, first in repeated(names):
        for number in (first, later):
            line = ("drawings", number)
            yield case.finding("line-twice", line, line, seen=names[number][0])


def demand_rises(case: PartCase) -> Iterator[Finding]:
    """The least that is expected is not above the likely, nor that above the most."""
    demand = case.part.demand
    if not demand.low <= demand.likely <= demand.high:
        seen = f"{demand.low}, {demand.likely}, {demand.high}"
        yield case.finding("demand-order", ("demand",), (), seen=seen)


def demand_has_its_months(case: PartCase) -> Iterator[Finding]:
    """One year of months, each later year like it, or one for each planning month."""
    demand, planned = case.part.demand, max(A_YEAR, case.months or 0)
    count = len(demand.by_month)
    if "by_month" not in demand.model_fields_set or count == A_YEAR:
        return
    if not planned <= count <= MOST_MONTHS:
        expected = f"{planned} to {MOST_MONTHS}" if planned < MOST_MONTHS else str(planned)
        expected = expected if planned == A_YEAR else f"12, each year alike, or {expected}"
        yield case.finding("demand-months-count", BY_MONTH, (), seen=str(count), expected=expected)


def demand_months_add_up(case: PartCase) -> Iterator[Finding]:
    """The first year of months is the likely demand of a year."""
    demand = case.part.demand
    total = sum(demand.by_month[:A_YEAR])
    if len(demand.by_month) >= A_YEAR and total != demand.likely:
        values = {"seen": str(total), "expected": str(demand.likely)}
        yield case.finding("demand-months-sum", BY_MONTH, (), **values)


def later_years_stay_small(case: PartCase) -> Iterator[Finding]:
    """Any twelve months stay within what is counted in a year, at the high demand too."""
    demand = case.part.demand
    for start in range(1, len(demand.by_month) - A_YEAR + 1):
        wanted = sum(demand.by_month[start : start + A_YEAR]) * demand.high
        if wanted > MOST_PIECES * demand.likely:
            seen = f"{math.ceil(Fraction(wanted, demand.likely)):,} in 12 months at the high demand"
            expected = f"at most {MOST_PIECES:,}"
            yield case.finding("wrong-value", (*BY_MONTH, start), (), seen=seen, expected=expected)
            return


def growth_stands_alone(case: PartCase) -> Iterator[Finding]:
    """Growth counts where the months are not written one by one, and stays within what is counted
    in a year."""
    demand = case.part.demand
    if demand.growth is None:
        return
    keys, seen = ("demand", "growth"), case.seen("demand", "growth")
    years = max(A_YEAR, case.months or 0) // A_YEAR
    if demand.by_month:
        yield case.finding("growth-by-month", keys, (), seen=seen)
    elif demand.high * (1 + demand.growth.share) ** years > MOST_PIECES:
        expected = f"at most {MOST_PIECES:,} a year at the high demand"
        yield case.finding("wrong-value", keys, (), seen=seen, expected=expected)


def scenarios_add_up(case: PartCase) -> Iterator[Finding]:
    """Notices of scenarios that cannot be weighed: the range of the demand is taken instead."""
    demand = case.part.demand
    for index, each in enumerate(demand.scenarios):
        where = ("demand", "scenarios", index)
        if each.weight is None:
            yield case.finding("scenario-weight", where, seen=f"{each.a_year:,}")
        if not demand.low <= each.a_year <= demand.high:
            expected = f"{demand.low:,} to {demand.high:,}"
            keys = (*where, "a year")
            yield case.finding("scenario-outside", keys, seen=f"{each.a_year:,}", expected=expected)
    weights = [each.weight for each in demand.scenarios if each.weight is not None]
    total = sum(weights, Fraction(0))
    if weights and len(weights) == len(demand.scenarios) and total != 1:
        whole = ("demand", "scenarios")
        yield case.finding("scenario-sum", whole, seen=per_cent(total))


def design_may_stand(case: PartCase) -> Iterator[Finding]:
    """A drawing that never stands for a year would make every tool scrap at once."""
    stands, key = case.part.design_stands, "design stands"
    if stands is not None and not stands.share:
        values = {"seen": case.seen(key), "expected": "more than 0 % a year"}
        yield case.finding("not-positive", (key,), (), **values)


def lateness_has_its_cost(case: PartCase) -> Iterator[Finding]:
    """What becomes of a late piece matters only where one may be late, and that costs something.

    Nothing at all may mean that a piece may never be late, or that it may come at any time.
    """
    part = case.part
    if part.late_costs is None and "late_is_lost" in part.model_fields_set:
        yield case.finding("late-without-cost", ("late is lost",), ())
    if part.late_costs is not None and not part.late_costs.amount:
        values = {"seen": case.seen("late costs"), "expected": "more than zero"}
        yield case.finding("not-positive", ("late costs",), (), **values)


def shares_fit(case: PartCase) -> Iterator[Finding]:
    """A part left over brings less than it cost, and some supplier may bring some of the parts."""
    key = "surplus is worth"
    if case.part.surplus_is_worth == 1:
        values = {"seen": case.seen(key), "expected": "less than 100 %"}
        yield case.finding("wrong-value", (key,), (), **values)
    key = "most from one supplier"
    if case.part.most_from_one_supplier == 0:
        values = {"seen": case.seen(key), "expected": "more than 0 %"}
        yield case.finding("not-positive", (key,), (), **values)


def operations_known(case: PartCase) -> Iterator[Finding]:
    words = case.part.operations
    yield from unknown_operations(case, ("operations",), words, case.operations, ())


def operations_stand_once(case: PartCase) -> Iterator[Finding]:
    for later, _ in repeated(case.part.operations):
        seen = case.part.operations[later]
        yield case.finding("operation-twice", ("operations", later), (), seen=seen)


def processes_listed(case: SupplierCase) -> Iterator[Finding]:
    if not case.supplier.processes:
        yield case.finding("list-empty", ("processes",), ())


def closures_end(case: SupplierCase) -> Iterator[Finding]:
    for index, closure in enumerate(case.supplier.closed):
        if closure.last < closure.first:
            values = {"seen": str(closure.last), "expected": str(closure.first)}
            line = ("closed", index)
            yield case.finding("closure-order", (*line, "last"), line, **values)


WORKSHOP_CHECKS: tuple[Callable[[WorkshopCase], Iterator[Finding]], ...] = (
    lines_stand_once,
    completion_has_a_price,
    rates_fit,
)
PART_CHECKS: tuple[Callable[[PartCase], Iterator[Finding]], ...] = (
    drawings_stand_once,
    demand_rises,
    demand_has_its_months,
    demand_months_add_up,
    later_years_stay_small,
    growth_stands_alone,
    scenarios_add_up,
    design_may_stand,
    lateness_has_its_cost,
    shares_fit,
    operations_known,
    operations_stand_once,
)
SUPPLIER_CHECKS: tuple[Callable[[SupplierCase], Iterator[Finding]], ...] = (
    processes_listed,
    closures_end,
)
