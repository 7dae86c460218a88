"""What is paid beside the orders themselves: tools, charges paid once or by the year, and dues."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.costing.bill import CostLine, Kind, Scope
from quotegen.costing.tooling import life_in_pieces
from quotegen.model.fields import MadeGood, PaidWhen
from quotegen.model.quote import Tool
from quotegen.plan.payments import dues_of, events_of
from quotegen.plan.problem import UNITS, Commitment, Wear
from quotegen.plan.sources import Setting, Supply, Timing

FAR = 10**9  # pieces


@dataclass(frozen=True, slots=True, kw_only=True)
class Flow:
    """An amount of money on a day, and the cost line that it belongs to."""

    day: datetime.date
    amount: Fraction
    line: CostLine


def keys_of(supply: Supply, supplies: Sequence[Supply]) -> tuple[str, ...]:
    """The names under which what is paid once stands in a problem.

    A tool that several of the sources use has a name of its own; the rest bears the offer's. A
    tool that has to be made and is not paid for stands under it too: it takes its time.
    """
    shared = _shared_tools(supplies)
    keys = {_key(supply, line.tool, shared) for line in _paid_once(supply)}
    paid = {line.tool for line in _paid_once(supply)}
    keys |= {supply.offer.name for tool in supply.tools_to_make if tool.tool not in paid}
    return tuple(sorted(keys))


def _shared_tools(supplies: Sequence[Supply]) -> frozenset[str]:
    named = [{tool.tool for tool in each.offer.case.item.tools} for each in supplies]
    return frozenset(key for one in named for key in one if sum(key in each for each in named) > 1)


def _key(supply: Supply, tool: str, shared: frozenset[str]) -> str:
    return f"tool {tool}" if tool in shared else supply.offer.name


def _paid_once(supply: Supply) -> tuple[CostLine, ...]:
    """Lines due at the first order or at the end, whatever the number of pieces."""
    bill = supply.offer.bill
    once = [line for line in bill.in_scope(Scope.ONCE) if _amount(supply, line)]
    return (*once, *bill.in_scope(Scope.YEAR))


def _amount(supply: Supply, line: CostLine) -> Fraction:
    """What a line that is paid once comes to; replacements and balances have rules of their own.

    The duty on a tool that is spread over stated pieces is reckoned in full at once.
    """
    known = supply.once_amounts
    if id(line) not in known:
        known[id(line)] = _amount_of(supply, line)
    return known[id(line)]


def _amount_of(supply: Supply, line: CostLine) -> Fraction:
    if line.at_end:
        return Fraction(0) if _is_balance(line) else line.schedule.at(1)
    tool = _tool_of(supply, line)
    if tool is not None and tool.duty_over is not None and line.schedule.at(1):
        return line.schedule.at(tool.duty_over + 1)
    return line.schedule.at(1)


def _is_balance(line: CostLine) -> bool:
    return line.schedule.at(1) != line.schedule.at(FAR)


def _tool_of(supply: Supply, line: CostLine) -> Tool | None:
    tools = supply.offer.case.item.tools
    return next((tool for tool in tools if tool.tool == line.tool), None)


def once_flows(supply: Supply, key: str, month: int, supplies: Sequence[Supply]) -> Iterator[Flow]:
    """The payments for one name of keys_of where the first order arrives for a month."""
    return _flows(supply, _lines_of(supply, key, supplies), month)


def _lines_of(supply: Supply, key: str, supplies: Sequence[Supply]) -> tuple[CostLine, ...]:
    shared = _shared_tools(supplies)
    return tuple(line for line in _paid_once(supply) if _key(supply, line.tool, shared) == key)


def _flows(supply: Supply, lines: Sequence[CostLine], month: int) -> Iterator[Flow]:
    timing = supply.timings[month]
    for line in lines:
        borne, part = supply.bears(line.tool), _part(supply, line)
        if line.scope is Scope.YEAR:
            yield from _by_year(supply.setting, line, month, part)
        else:
            amount = _amount(supply, line) * part
            paid = borne.made_for if borne is not None and borne.made_for is not None else timing
            for day, share in _days(supply, line, paid):
                yield Flow(day=day, amount=amount * share, line=line)


def _by_year(setting: Setting, line: CostLine, month: int, part: Fraction) -> Iterator[Flow]:
    months = setting.horizon.months
    for start in range(month, months, 12):
        share = Fraction(min(12, months - start), 12)
        day = setting.horizon.starts[start]
        yield Flow(day=day, amount=line.schedule.at(1) * share * part, line=line)


def _days(
    supply: Supply, line: CostLine, timing: Timing
) -> Iterator[tuple[datetime.date, Fraction]]:
    """A tool is paid when it is ordered, unless its own terms say otherwise (R12)."""
    if line.at_end:
        yield supply.setting.horizon.ends, Fraction(1)
        return
    if line.kind in (Kind.CUSTOMS, Kind.TAX):
        yield timing.delivered, Fraction(1)
        return
    tool = _tool_of(supply, line)
    if tool is None or timing.tools is None:
        dues = timing.invoice
    else:
        events = events_of(timing.tools, timing.arrives)
        dues = dues_of(tool.payment, events, unstated=PaidWhen.ORDER)
    for due in dues:
        yield due.day, due.share


def change_loss(supply: Supply, key: str, month: int, supplies: Sequence[Supply]) -> float:
    """What a change of the design is likely to cost in tools until the end, on the first day (R13).

    In each month with the chance of a change, what belongs to the drawing is paid once more.
    """
    return _loss(supply, _due_again(supply, _lines_of(supply, key, supplies)), month)


def _due_again(supply: Supply, lines: Sequence[CostLine]) -> float:
    again = (_amount(supply, line) * _part(supply, line) for line in lines if _recurs(line))
    return float(sum(again, Fraction(0)))


def _loss(supply: Supply, again: float, month: int) -> float:
    setting = supply.setting
    here = setting.discount.factor(supply.timings[month].delivered)
    return again * setting.change * (setting.horizon.months - month) * here


def _part(supply: Supply, line: CostLine) -> Fraction:
    """The share of a tool's money that the part bears (R5)."""
    borne = supply.bears(line.tool)
    return borne.share if borne is not None else Fraction(1)


def _recurs(line: CostLine) -> bool:
    """Whether a new drawing makes it due again: tools and what is paid for each revision (R4)."""
    of_drawing = bool(line.tool) or line.per == "revision"
    return line.scope is Scope.ONCE and not line.at_end and of_drawing


def once_costs(supply: Supply, supplies: Sequence[Supply]) -> Mapping[str, tuple[int, ...]]:
    """Present cost of what is paid once, by name and by the month of the first order."""
    shared = _shared_tools(supplies) & {tool.tool for tool in supply.offer.case.item.tools}
    if shared not in supply.once:
        supply.once[shared] = {
            key: _once_cost(supply, _lines_of(supply, key, supplies))
            for key in keys_of(supply, supplies)
        }
    return supply.once[shared]


def _once_cost(supply: Supply, lines: Sequence[CostLine]) -> tuple[int, ...]:
    """By month; 0 where no first order can arrive."""
    found, factor = [0] * supply.setting.horizon.months, supply.setting.discount.factor
    again = _due_again(supply, lines)
    for month, timing in supply.timings.items():
        if timing.tools is not None:
            flows = _flows(supply, lines, month)
            paid = sum(float(flow.amount) * factor(flow.day) for flow in flows)
            found[month] = round((paid + _loss(supply, again, month)) * UNITS)
    return tuple(found)


def wears_of(supplies: Sequence[Supply]) -> tuple[Wear, ...]:
    """The tools with a stated life, each with all sources that use it (R5)."""
    users: dict[str, list[Supply]] = {}
    for supply in supplies:
        for tool in supply.offer.case.item.tools:
            users.setdefault(tool.tool, []).append(supply)
    return tuple(
        Wear(
            tool=tool,
            sources=frozenset(each.offer.name for each in using),
            life=worn[0],
            replacement=_at_each_month(using[0].setting, worn[1]),
        )
        for tool, using in users.items()
        if (worn := worn_of(tool, using)) is not None and worn[1]
    )


def worn_of(tool: str, supplies: Sequence[Supply]) -> tuple[int, Fraction] | None:
    """The life of a tool in pieces ordered, and what another costs; None where no life is stated.

    Where the quotes that use it differ, the shortest life and the dearest of those.
    """
    found = [
        (life, -renewal_of(supply, each))
        for supply in supplies
        for each in supply.offer.case.item.tools
        if each.tool == tool and (life := life_of(supply, each)) is not None
    ]
    return (min(found)[0], -min(found)[1]) if found else None


def life_of(supply: Supply, tool: Tool) -> int | None:
    """Pieces ordered until a tool is worn out; fewer than are poured where rejects are replaced."""
    life, rejects = life_in_pieces(tool), supply.offer.case.rejects
    if life is None or rejects.made_good is not MadeGood.REPLACED:
        return life
    return max(1, math.floor(life * (1 - rejects.share)))


def renewal_of(supply: Supply, tool: Tool) -> Fraction:
    """What another tool costs, its duty with it."""
    life = life_of(supply, tool)
    if life is None:
        return Fraction(0)
    lines = [
        line.schedule
        for line in supply.offer.bill.in_scope(Scope.ONCE)
        if line.tool == tool.tool and not line.at_end and not line.schedule.at(1)
    ]
    return sum((each.at(life + 1) - each.at(life) for each in lines), Fraction(0))


def _at_each_month(setting: Setting, amount: Fraction) -> tuple[int, ...]:
    starts = setting.horizon.starts[:-1]
    return tuple(round(float(amount) * setting.discount.factor(day) * UNITS) for day in starts)


def commitments_of(supply: Supply) -> tuple[Commitment, ...]:
    """What is owed at the end where too little was ordered: balances and yearly minimums."""
    bill, setting, name = supply.offer.bill, supply.setting, supply.offer.name
    years = Fraction(setting.horizon.months, 12)
    found = []
    spread = supply.offer.case.item.spread_tool
    if spread is not None:
        owed = Fraction(round(float(supply.offer.case.base(spread.each)) * setting.at_end * UNITS))
        found.append(Commitment(source=name, amount=spread.over, owed=owed))
    yearly = supply.offer.case.item.minimum_a_year
    if yearly:
        found.append(Commitment(source=name, amount=math.ceil(yearly * years), owed=None))
    if bill.yearly_minimum is not None:
        value = bill.yearly_minimum.value / bill.years * years
        owed = Fraction(round(setting.at_end * 10**6), 10**6)
        amount = round(value * UNITS)
        found.append(Commitment(source=name, amount=amount, owed=owed, by_value=True))
    return tuple(found)
