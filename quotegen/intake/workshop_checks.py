"""What is checked on the records that are ours: the workshop, its parts, its suppliers."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass

from quotegen.basics.problem import nearest
from quotegen.intake.checks import Finding, Subject, repeated, unknown_operations
from quotegen.model.part import Part
from quotegen.model.supplier import Supplier
from quotegen.model.workshop import Completion, Delivery, Duty, Labour, Rate, Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkshopCase(Subject):
    """The workshop as written."""

    workshop: Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class PartCase(Subject):
    """A part as written, and the words for operations; None where nobody knows them."""

    part: Part
    operations: frozenset[str] | None


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


def demand_rises(case: PartCase) -> Iterator[Finding]:
    """The least that is expected is not above the likely, nor that above the most."""
    demand = case.part.demand
    if not demand.low <= demand.likely <= demand.high:
        seen = f"{demand.low}, {demand.likely}, {demand.high}"
        yield case.finding("demand-order", ("demand",), (), seen=seen)


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
    demand_rises,
    operations_known,
    operations_stand_once,
)
SUPPLIER_CHECKS: tuple[Callable[[SupplierCase], Iterator[Finding]], ...] = (
    processes_listed,
    closures_end,
)
