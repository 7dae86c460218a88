"""From the orders that a solver found to a plan with days, payments and cost lines."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import accumulate

from quotegen.compare.route import PAID_TO_SUPPLIER
from quotegen.costing.bill import CostLine, Kind, Scope
from quotegen.plan.once import (
    change_loss,
    keys_of,
    once_flows,
    worn_of,
)
from quotegen.plan.plan import (
    Group,
    MonthOfStock,
    Payment,
    Plan,
    PlanLine,
    PlannedOrder,
    PlannedTool,
)
from quotegen.plan.problem import UNITS, Placed, Problem, Solution
from quotegen.plan.sources import Setting, Supply

GROUPS = {Kind.TOOL: Group.TOOLS, Kind.CUSTOMS: Group.WAY, Kind.TAX: Group.WAY}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Given:
    """What a plan is drawn up from."""

    setting: Setting
    problem: Problem
    solution: Solution
    supplies: tuple[Supply, ...]

    def supply(self, name: str) -> Supply:
        return next(each for each in self.supplies if each.offer.name == name)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """One order with the names of `once` that it is the first to need, and how its pieces wait.

    stock_before is what is left before anything arrives in the month, stock_after what is there
    once this order and those before it are; less than nothing where pieces are late.
    used has how many of its good parts are used after how many months; left are not used.
    """

    placed: Placed
    supply: Supply
    brings: tuple[str, ...]
    good: int
    stock_before: int
    stock_after: int
    used: tuple[tuple[int, int], ...]
    left: int


def plan_of(
    setting: Setting, problem: Problem, solution: Solution, supplies: Sequence[Supply]
) -> Plan:
    """Draw up the plan; its lines add up to the solution's cost to the unit."""
    given = _Given(setting=setting, problem=problem, solution=solution, supplies=tuple(supplies))
    steps = _steps(given)
    orders = tuple(_order(given, step) for step in steps)
    names = list(dict.fromkeys(step.placed.source for step in steps))
    return Plan(
        setting=setting,
        problem=problem,
        solution=solution,
        offers=tuple(given.supply(name).offer for name in names),
        orders=orders,
        drawn=_Drawing(given=given, steps=steps, orders=orders),
    )


@dataclass(frozen=True, kw_only=True)
class _Drawing:
    """What follows from the orders of a plan."""

    given: _Given
    steps: tuple[_Step, ...]
    orders: tuple[PlannedOrder, ...]

    @cached_property
    def months(self) -> tuple[MonthOfStock, ...]:
        return tuple(_months(self.given, self.steps))

    @cached_property
    def payments(self) -> tuple[Payment, ...]:
        found = _payments(self.given, self.steps, self.orders)
        return tuple(sorted(found, key=lambda each: each.day))

    @cached_property
    def for_tools(self) -> tuple[Payment, ...]:
        """Those for tools, without looking at the money of orders in which there are none."""
        found = _payments(self.given, self.steps, self.orders, only_tools=True)
        of_tools = (each for each in found if each.group is Group.TOOLS)
        return tuple(sorted(of_tools, key=lambda each: each.day))

    @cached_property
    def lines(self) -> tuple[PlanLine, ...]:
        return tuple(line for line in _lines(self.given, self.steps) if line.units)

    @cached_property
    def tools(self) -> tuple[PlannedTool, ...]:
        return tuple(_tools(self.given, self.steps))


def _steps(given: _Given) -> tuple[_Step, ...]:
    owned, found = set(given.problem.owned), []
    stock = given.problem.opening
    waiting, wanted = _use(given), _wanted(given)
    for month, count in enumerate(wanted):
        before = stock
        for placed in (each for each in given.solution.orders if each.month == month):
            supply = given.supply(placed.source)
            names = [key for key in keys_of(supply, given.supplies) if key not in owned]
            owned.update(names)
            good = supply.offer.bill.good(placed.pieces)
            stock += good
            used, left = waiting[placed]
            found.append(
                _Step(
                    placed=placed,
                    supply=supply,
                    brings=tuple(names),
                    good=good,
                    stock_before=before,
                    stock_after=stock,
                    used=used,
                    left=left,
                )
            )
        stock -= count
    return tuple(found)


def _wanted(given: _Given) -> list[int]:
    """The good parts that each month takes in the end: its demand, less what is lost of it."""
    late = given.problem.late
    if late is None or not late.lost:
        return list(given.problem.demand)
    stock, found = given.problem.opening, []
    for month, wanted in enumerate(given.problem.demand):
        arriving = (each for each in given.solution.orders if each.month == month)
        stock += sum(given.supply(each.source).offer.bill.good(each.pieces) for each in arriving)
        found.append(min(wanted, stock))
        stock -= found[-1]
    return found


def _use(given: _Given) -> dict[Placed, tuple[tuple[tuple[int, int], ...], int]]:
    """When the pieces of each order are used, first in first out; those for late ones at once."""
    ends, found = list(accumulate(_wanted(given))), {}
    begins = given.problem.opening
    for placed in given.solution.orders:
        good = given.supply(placed.source).offer.bill.good(placed.pieces)
        found[placed] = _use_of(begins, begins + good, placed.month, ends)
        begins += good
    return found


def _use_of(
    begins: int, after: int, arrives: int, ends: Sequence[int]
) -> tuple[tuple[tuple[int, int], ...], int]:
    used, start = [], 0
    for month, end in enumerate(ends):
        count = min(after, end) - max(begins, start)
        if count > 0:
            used.append((max(0, month - arrives), count))
        start = end
    return tuple(used), max(0, after - max(begins, ends[-1] if ends else 0))


def _order(given: _Given, step: _Step) -> PlannedOrder:
    supply, placed = step.supply, step.placed
    timing = supply.timings[placed.month]
    horizon = given.setting.horizon
    first = bool(step.brings and supply.tools_to_make)
    arriving = supply.arriving[placed.month]
    tools = timing.tools.ordered if first and timing.tools is not None else None
    covers = arriving.covers_first if step.brings else arriving.covers
    chance = 0.0
    if step.stock_before < covers:
        ordered = tools or timing.arrival.ordered
        chance = horizon.chance_of_running_out(step.stock_before, ordered, timing.arrives)
    lasting = step.stock_after + sum(horizon.demand[: placed.month])
    until = horizon.lasts_until(lasting - horizon.opening)
    return PlannedOrder(
        offer=supply.offer,
        month=placed.month,
        timing=timing,
        brings=step.brings,
        tools_ordered=tools,
        pieces=placed.pieces,
        good=step.good,
        stock_before=step.stock_before,
        covers=covers,
        may_run_out=chance,
        lasts_until=max(until, horizon.starts[placed.month]) if until is not None else None,
    )


def _months(given: _Given, steps: Sequence[_Step]) -> tuple[MonthOfStock, ...]:
    stock, found = given.problem.opening, []
    lost = given.problem.late is not None and given.problem.late.lost
    for month, wanted in enumerate(given.problem.demand):
        arriving = sum(step.good for step in steps if step.placed.month == month)
        after = stock + arriving - wanted
        late = max(0, -after)
        used = min(wanted + max(0, -stock), max(0, stock) + arriving)
        found.append(
            MonthOfStock(
                starts=given.setting.horizon.starts[month],
                before=max(0, stock),
                arriving=arriving,
                used=used,
                after=max(0, after),
                late=late,
            )
        )
        stock = max(0, after) if lost else after
    return tuple(found)


def _payments(
    given: _Given,
    steps: Sequence[_Step],
    orders: Sequence[PlannedOrder],
    *,
    only_tools: bool = False,
) -> Iterator[Payment]:
    """With only_tools without the orders that have no line for tools."""
    for step, order in zip(steps, orders, strict=True):
        if not only_tools or any(_group_of(line) is Group.TOOLS for line in order.costed):
            yield from _of_order(step, order)
        for key in step.brings:
            for flow in once_flows(step.supply, key, step.placed.month, given.supplies):
                yield _payment(step.supply, flow.line, flow.day, flow.amount)
    yield from _renewals(given, steps)
    yield from _owed(given, steps)


def _of_order(step: _Step, order: PlannedOrder) -> Iterator[Payment]:
    timing = order.timing
    for total in order.lines:
        if total.line.kind in PAID_TO_SUPPLIER:
            for due in timing.invoice:
                yield _payment(step.supply, total.line, due.day, total.total * due.share)
        elif total.total:
            yield _payment(step.supply, total.line, timing.delivered, total.total)
    tax = step.supply.columns["tax"].at(order.pieces) * timing.rise
    if tax:
        for day, amount in ((timing.delivered, tax), (timing.tax_back, -tax)):
            yield Payment(
                day=day,
                amount=amount,
                group=Group.TAX,
                what="import tax" if amount > 0 else "import tax, come back",
                rule="R7",
                offer=order.offer.name,
            )


def _payment(supply: Supply, line: CostLine, day: datetime.date, amount: Fraction) -> Payment:
    return Payment(
        day=day,
        amount=amount,
        group=_group_of(line),
        what=line.what,
        rule=line.rule,
        offer=supply.offer.name,
    )


def _group_of(line: CostLine) -> Group:
    if line.tool or line.scope is Scope.ONCE:
        return Group.TOOLS
    return GROUPS.get(line.kind, Group.PIECES if line.kind in PAID_TO_SUPPLIER else Group.WAY)


def _renewals(given: _Given, steps: Sequence[_Step]) -> Iterator[Payment]:
    """Another tool each time that an order passes a full life (R5)."""
    for wear in given.problem.wears:
        made = 0
        for step in steps:
            if step.placed.source not in wear.sources:
                continue
            before, made = made, made + step.placed.pieces
            count = -(-made // wear.life) - max(1, -(-before // wear.life))
            if count > 0:
                tool = next(
                    each for each in step.supply.offer.case.item.tools if each.tool == wear.tool
                )
                _, renewal = worn_of(wear.tool, given.supplies) or (None, Fraction(0))
                yield Payment(
                    day=given.setting.horizon.starts[step.placed.month],
                    amount=renewal * count,
                    group=Group.TOOLS,
                    what=f"another {tool.what}, the life of the last one used up",
                    rule="R5",
                    offer=step.supply.offer.name,
                )


def _owed(given: _Given, steps: Sequence[_Step]) -> Iterator[Payment]:
    for line, supply in _owed_lines(given, steps):
        yield Payment(
            day=given.setting.horizon.ends,
            amount=Fraction(line.units, UNITS) / Fraction(given.setting.at_end),
            group=Group.PIECES,
            what=line.what,
            rule=line.rule,
            offer=supply.offer.name,
        )


def _owed_lines(given: _Given, steps: Sequence[_Step]) -> Iterator[tuple[PlanLine, Supply]]:
    for commitment in given.problem.commitments:
        orders = [step for step in steps if step.placed.source == commitment.source]
        if not orders or commitment.owed is None:
            continue
        supply = given.supply(commitment.source)
        reached = sum(
            _counted(given, step) if commitment.by_value else step.placed.pieces for step in orders
        )
        missing = max(0, commitment.amount - reached)
        if missing:
            what = (
                "lift to the minimum value of the years"
                if commitment.by_value
                else "balance owed on the tool in the piece price"
            )
            units = math.floor(missing * commitment.owed + Fraction(1, 2))
            rule = "R3" if commitment.by_value else "R5"
            yield (
                PlanLine(what=f"{what}, {supply.offer.supplier_name}", rule=rule, units=units),
                supply,
            )


def _counted(given: _Given, step: _Step) -> int:
    return _run_values(given, step)[1]


def _run_values(given: _Given, step: _Step) -> tuple[int, int]:
    """Present cost and counted value of an order, by the problem's own runs."""
    source = next(each for each in given.problem.sources if each.name == step.placed.source)
    for run in source.arriving[step.placed.month].runs:
        beyond = step.placed.pieces - run.pieces
        number = beyond // run.pieces_step if run.pieces_step else 0
        if 0 <= number < run.count and run.pieces + number * run.pieces_step == step.placed.pieces:
            return run.cost + number * run.cost_step, run.counted + number * run.counted_step
    raise ValueError(f"{step.placed} is no order of its source")


def _lines(given: _Given, steps: Sequence[_Step]) -> Iterator[PlanLine]:
    """The present cost by what it is for; together exactly the solution's cost."""
    for step in steps:
        yield from _order_lines(given, step)
    for step in steps:
        yield from _once_lines(given, step)
    yield from _stock_lines(given, steps)
    yield from _wear_lines(given, steps)
    yield from (line for line, _ in _owed_lines(given, steps))
    yield from _late_lines(given)


def _order_lines(given: _Given, step: _Step) -> Iterator[PlanLine]:
    supply, placed = step.supply, step.placed
    timing = supply.timings[placed.month]
    cost, _ = _run_values(given, step)
    present = supply.present(timing)
    invoice = float(supply.columns["invoice"].at(placed.pieces)) * present["invoice"]
    pieces = round(invoice * UNITS)
    who = supply.offer.supplier_name
    yield PlanLine(what=f"{placed.pieces} pieces, {who}", rule="R1", units=pieces)
    yield PlanLine(
        what=f"carriage, duty and completion of {placed.pieces} pieces, {who}",
        rule="R6",
        units=cost - pieces,
    )


def _once_lines(given: _Given, step: _Step) -> Iterator[PlanLine]:
    source = next(each for each in given.problem.sources if each.name == step.placed.source)
    month, who = step.placed.month, step.supply.offer.supplier_name
    for key in step.brings:
        cost = source.once[key][month]
        lost = round(change_loss(step.supply, key, month, given.supplies) * UNITS)
        yield PlanLine(what=f"tools and charges paid once, {who}", rule="R5", units=cost - lost)
        yield PlanLine(
            what=f"the design may change: tools bought again, {who}", rule="R13", units=lost
        )


def _stock_lines(given: _Given, steps: Sequence[_Step]) -> Iterator[PlanLine]:
    setting = given.setting
    kept = float(setting.storage) / ((float(setting.storage) + setting.change) or 1)
    storage = change = left = 0
    for step in steps:
        arriving = step.supply.arriving[step.placed.month]
        months = sum(count * waited for waited, count in step.used)
        months += step.left * (setting.horizon.months - step.placed.month)
        waited = arriving.waits * months
        storage += round(waited * kept)
        change += waited - round(waited * kept)
        salvage = arriving.left - arriving.waits * (setting.horizon.months - step.placed.month)
        left += salvage * step.left
    yield PlanLine(what="storage of stock", rule="R13", units=storage)
    yield PlanLine(what="the design may change: stock lost", rule="R13", units=change)
    yield PlanLine(what="what is left at the end still brings", rule="R13", units=left)


def _wear_lines(given: _Given, steps: Sequence[_Step]) -> Iterator[PlanLine]:
    for wear in given.problem.wears:
        made = 0
        for step in steps:
            if step.placed.source in wear.sources:
                before, made = made, made + step.placed.pieces
                count = -(-made // wear.life) - max(1, -(-before // wear.life))
                yield PlanLine(
                    what="another tool, the life of the last one used up",
                    rule="R5",
                    units=count * wear.replacement[step.placed.month],
                )


def _late_lines(given: _Given) -> Iterator[PlanLine]:
    late = given.problem.late
    if late is None:
        return
    rows = _months(given, _steps(given))
    units = sum(row.late * cost for row, cost in zip(rows, late.cost, strict=True))
    yield PlanLine(what="pieces that come late", rule="R19", units=units)


def _tools(given: _Given, steps: Sequence[_Step]) -> Iterator[PlannedTool]:
    """Each tool that pieces of the plan go through, once."""
    done: dict[str, PlannedTool] = {}
    for step in steps:
        for tool in step.supply.offer.case.item.tools:
            owned = tool.tool in step.supply.offer.case.workshop.record.tools_owned
            borne = step.supply.bears(tool.tool)
            before = done.get(tool.tool)
            pieces = step.placed.pieces + (before.pieces if before is not None else 0)
            life, _ = worn_of(tool.tool, given.supplies) or (None, None)
            timing = step.supply.timings[step.placed.month]
            if borne is not None and borne.made_for is not None:
                timing = borne.made_for
            ordered = timing.tools.ordered if timing.tools is not None and not owned else None
            done[tool.tool] = PlannedTool(
                tool=tool.tool,
                what=tool.what,
                ordered=before.ordered if before is not None else ordered,
                pieces=pieces,
                life=life,
                left=-(-pieces // life) * life - pieces if life is not None else None,
            )
    yield from done.values()
