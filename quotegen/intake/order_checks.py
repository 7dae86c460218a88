"""What is checked on orders/<part>.yaml, and on what a part says of looking at deliveries."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from quotegen.basics.problem import nearest
from quotegen.intake.checks import Finding, Known, Subject, repeated
from quotegen.intake.workshop_checks import PartCase
from quotegen.intake.yaml_tree import Keys
from quotegen.model.fields import Load
from quotegen.model.operations import OWN_INSPECTION
from quotegen.model.orders import Order, Orders
from quotegen.model.supplier import Supplier
from quotegen.model.workshop import Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class OrdersCase(Subject):
    """The orders of a part as written, the part's name, and what they may refer to."""

    part: str
    orders: Orders
    known: Known
    suppliers: dict[str, Supplier]

    def called(self, line: Keys) -> str:
        """How a person calls an order: `Order 2 of fl-014`."""
        return f"Order {int(line[1]) + 1} of {self.part}" if line else self.record


def part_known(case: OrdersCase) -> Iterator[Finding]:
    if case.part in case.known.broken_parts:
        yield case.finding("orders-part-broken", (), (), seen=case.part)
    elif case.part not in case.known.parts:
        hint = nearest(case.part, case.known.parts)
        yield case.finding("orders-part-unknown", (), (), seen=case.part, hint=hint)


def suppliers_known(case: OrdersCase) -> Iterator[Finding]:
    for index, order in enumerate(case.orders.orders):
        line = ("orders", index)
        where, seen = (*line, "supplier"), order.supplier
        if seen in case.known.broken_suppliers:
            yield case.finding("order-supplier-broken", where, line, seen=seen)
        elif seen not in case.known.suppliers:
            hint = nearest(seen, case.known.suppliers)
            yield case.finding("order-supplier-unknown", where, line, seen=seen, hint=hint)


def numbers_stand_once(case: OrdersCase) -> Iterator[Finding]:
    """Two orders of one number leave both out: nothing says which of them holds."""
    numbers = [(order.supplier, order.order) for order in case.orders.orders]
    twice = {each for pair in repeated(numbers) for each in pair}
    for index in sorted(twice):
        line, seen = ("orders", index), case.orders.orders[index].order
        yield case.finding("order-twice", (*line, "order"), line, seen=seen)


def rejected_are_received(case: OrdersCase) -> Iterator[Finding]:
    for index, order in enumerate(case.orders.orders):
        if order.rejected is not None and order.rejected > (order.received or 0):
            line, came = ("orders", index), str(order.received or 0)
            where, seen = (*line, "rejected"), str(order.rejected)
            yield case.finding("order-rejected", where, line, seen=seen, expected=came)


def processes_told(case: OrdersCase) -> Iterator[Finding]:
    """Pieces of one supplier are of one process only where it has no other."""
    for index, order in enumerate(case.orders.orders):
        supplier = case.suppliers.get(order.supplier)
        if supplier is not None and _is_doubtful(order, supplier):
            yield case.finding("order-process", ("orders", index))


def _is_doubtful(order: Order, supplier: Supplier) -> bool:
    return order.process is None and len(supplier.processes) > 1 and order.rejected is not None


ORDER_CHECKS: tuple[Callable[[OrdersCase], Iterator[Finding]], ...] = (
    part_known,
    suppliers_known,
    numbers_stand_once,
    rejected_are_received,
    processes_told,
)


def inspection_stands_once(case: PartCase) -> Iterator[Finding]:
    """Minutes for each piece and an operation with our own price would count one work twice."""
    part, keys = case.part, ("inspection takes",)
    if part.inspection_takes is None:
        return
    for operation in part.operations:
        if operation in OWN_INSPECTION:
            yield case.finding("inspection-twice", keys, (), seen=operation)
    if part.acceptance_quality is None and part.load is not Load.PERSON_RELIES:
        yield case.finding("inspection-plan", keys)


def inspector_known(case: PartCase, workshop: Workshop | None) -> Iterator[Finding]:
    """Whose hour the inspection takes, where there is a workshop to look it up in."""
    named = case.part.inspected_by
    if workshop is None or named is None:
        return
    known = {each.work for each in workshop.labour}
    if named not in known:
        hint = nearest(named, known)
        yield case.finding("inspection-labour", ("inspected by",), seen=named, hint=hint)
