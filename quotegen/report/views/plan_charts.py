"""A plan as drawings: orders and stock over time, and the money of each month."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from quotegen.basics.money import minor_digits
from quotegen.basics.printed import day, listed, printed, round_money, shared_out
from quotegen.judge.reasons import DOING, made_by, verb_of
from quotegen.plan.plan import Group, MonthOfStock, Plan, PlannedOrder
from quotegen.plan.planning import Planning
from quotegen.report.charts.outgoing import MoneyByMonth, OutgoingMonth, SoFar
from quotegen.report.charts.stacked import Piece
from quotegen.report.charts.stock import Lane, Ordered, StockOverTime
from quotegen.report.views.names import capital, tools_of
from quotegen.report.views.plan_words import doing_offers, month_words, without_tools
from quotegen.report.views.shape import NONE, Chart, drawn


def stock_chart(plan: Plan) -> Chart | None:
    """Stock as it is used up and filled, with the orders that fill it; None without an order."""
    if not plan.orders:
        return None
    title = _stock_title(plan)
    left = f"{plan.surplus:,} left at the end" if plan.surplus else "none left at the end"
    chart = StockOverTime(
        prefix="stock",
        title=title,
        description="Good parts on the shelf over the months of the plan, and below them a row "
        "for each supplier with a line from each order to its arrival. The table holds the same "
        "numbers.",
        unit="good parts on the shelf" + (", below 0 late" if _is_late(plan) else ""),
        name="stock",
        second=left,
        points=tuple((on, float(good)) for on, good in plan.stock),
        lanes=tuple(_lanes(plan)),
    )
    rows = [_stock_row(month, plan) for month in plan.months]
    head = (
        "Month from",
        "Before",
        "Arrives",
        "Used",
        "Left",
        *(["Late"] if _is_late(plan) else []),
    )
    note = (
        "A line below the months runs from the last day to order to the arrival, with the pieces "
        "ordered. A thick stroke is the order of a tool."
    )
    found = drawn(title, chart.svg(), (head, tuple(rows)), note=note)
    kept = [
        shown
        for month, shown in zip(plan.months, found.table.rows, strict=True)
        if month.arriving or month.late or month is plan.months[-1]
    ]
    caption = "The months in which something arrives or is late, and the last"
    return replace(found, on_paper=replace(found.table, caption=caption, rows=tuple(kept)))


def _is_late(plan: Plan) -> bool:
    return any(month.late for month in plan.months)


def _stock_title(plan: Plan) -> str:
    most = max(plan.months, key=lambda month: month.before + month.arriving)
    high, when = most.before + most.arriving, month_words(most.starts)
    late = max(month.late for month in plan.months)
    if late:
        return f"At most {high:,} good parts lie on the shelf, and up to {late:,} come late"
    return f"At most {high:,} good parts lie on the shelf, in {when}"


def _stock_row(month: MonthOfStock, plan: Plan) -> tuple[str, ...]:
    counts = [month.before, month.arriving, month.used, month.after]
    counts += [month.late] if _is_late(plan) else []
    return (day(month.starts), *(f"{each:,}" for each in counts))


def _lanes(plan: Plan) -> Iterator[Lane]:
    for offer in plan.offers:
        orders = [order for order in plan.orders if order.offer.name == offer.name]
        yield Lane(
            name=DOING[verb_of(offer)],
            second=offer.supplier_name,
            orders=tuple(_ordered(order) for order in orders),
        )


def _ordered(order: PlannedOrder) -> Ordered:
    made = made_by(order.offer, order.pieces)
    return Ordered(
        ordered=order.ordered,
        arrives=order.arrives,
        text=f"{order.pieces:,}",
        what=f"{made}, ordered {day(order.ordered)}, here {day(order.arrives)}",
        tools=order.tools_ordered,
        tools_text=listed(tools_of([order.offer])),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthOfMoney:
    """What is paid in a calendar month, as printed: its groups add up, and so do the months."""

    starts: datetime.date
    amounts: dict[Group, Fraction]
    so_far: Fraction

    @property
    def total(self) -> Fraction:
        return sum(self.amounts.values(), Fraction(0))


def money_months(plan: Plan, currency: str) -> tuple[MonthOfMoney, ...]:
    """Every calendar month from the first payment to the last."""
    cells = [(month, group) for month, row in plan.by_month.items() for group in row]
    exact = [plan.by_month[month][group] for month, group in cells]
    shown = dict(zip(cells, shared_out(exact, minor_digits(currency) or 0), strict=True))
    found, so_far = [], Fraction(0)
    for month, row in plan.by_month.items():
        amounts = {group: shown[month, group] for group in Group if group in row}
        so_far += sum(amounts.values(), Fraction(0))
        found.append(MonthOfMoney(starts=month, amounts=amounts, so_far=so_far))
    return tuple(found)


def money_chart(planning: Planning, plan: Plan, currency: str) -> Chart | None:
    """Money out by month and so far, beside the best plan that pays for no tool."""
    months = money_months(plan, currency)
    if not months:
        return None
    title = _money_title(plan, months, currency)
    groups = tuple(group.value for group in Group if any(group in m.amounts for m in months))
    chart = MoneyByMonth(
        prefix="money",
        title=title,
        description=f"Money paid in each month in {currency} by what it is for, and above it all "
        "that has been paid so far. The table holds the same numbers.",
        unit=f"{currency} in a month",
        so_far_unit=f"{currency} paid so far",
        groups=tuple(group.value for group in Group),
        months=tuple(_outgoing(month, currency) for month in months),
        lines=tuple(_so_far(planning, plan, currency)),
    )
    head = ("Month", *(capital(group) for group in groups), "In all", "So far")
    rows = tuple(_money_row(month, groups, currency) for month in months)
    found = drawn(title, chart.svg(), (head, rows))
    kept = tuple(
        shown for month, shown in zip(months, found.table.rows, strict=True) if month.amounts
    )
    caption = "The months in which something is paid"
    return replace(found, on_paper=replace(found.table, caption=caption, rows=kept))


def _money_title(plan: Plan, months: tuple[MonthOfMoney, ...], currency: str) -> str:
    half = next(month for month in months if 2 * month.so_far >= plan.paid)
    return f"Half of {round_money(plan.paid, currency)} is paid by {month_words(half.starts)}"


def _outgoing(month: MonthOfMoney, currency: str) -> OutgoingMonth:
    pieces = tuple(
        Piece(group=group.value, amount=float(amount), text=printed(amount, currency))
        for group, amount in month.amounts.items()
    )
    return OutgoingMonth(starts=month.starts, text=month_words(month.starts), pieces=pieces)


def _money_row(month: MonthOfMoney, groups: tuple[str, ...], currency: str) -> tuple[str, ...]:
    shown = {group.value: printed(amount, currency) for group, amount in month.amounts.items()}
    cells = (shown.get(group, NONE) for group in groups)
    total = printed(month.total, currency) if month.amounts else NONE
    return (month_words(month.starts), *cells, total, printed(month.so_far, currency))


def _so_far(planning: Planning, plan: Plan, currency: str) -> Iterator[SoFar]:
    other = without_tools(planning, plan)
    plans = [plan, other] if other is not None else [plan]
    ends = max(plan.setting.horizon.ends, *(each.payments[-1].day for each in plans))
    for each in plans:
        points = [(planning.setting.ordered, 0.0)]
        for on, so_far in each.paid_so_far:
            points += [(on, points[-1][1]), (on, float(so_far))]
        yield SoFar(
            name="this plan" if each is plan else doing_offers(each.offers),
            second=round_money(each.paid, currency),
            points=(*points, (ends, points[-1][1])),
            recommended=each is plan,
        )
