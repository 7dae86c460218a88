"""A plan as tables: orders, tools, routes side by side, cost lines, limits, other months."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.days import in_words
from quotegen.basics.printed import adding_up, day, listed, printed
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import Route
from quotegen.judge.reasons import MADE, suppliers_of, verb_of
from quotegen.plan.finding import Found
from quotegen.plan.limits import Limit
from quotegen.plan.plan import Group, Plan, PlannedOrder
from quotegen.plan.planning import Planning
from quotegen.report.views.names import capital, currency_of, tools_of
from quotegen.report.views.plan_words import no_plan_words, plan_words
from quotegen.report.views.shape import (
    NONE,
    Cell,
    Column,
    Row,
    Table,
    figures,
    row,
    short,
    words,
)

END = "the end"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry:
    """One row of the orders: the day, the cells between it and the amount, and the last cell."""

    ordered: datetime.date
    cells: tuple[str | Cell, ...]
    amount: Fraction
    lasts: str = ""


def orders_table(plan: Plan, currency: str) -> Table | None:
    """Orders, tools and what is owed at the end, by day; they add up to all that is paid."""
    entries = [
        *_tools_entries(plan),
        *(_order_entry(order, currency) for order in plan.orders),
        *_owed_entry(plan),
    ]
    entries.sort(key=lambda each: each.ordered)
    if not entries:
        return None
    totals = adding_up([each.amount for each in entries], currency)
    pieces = f"{sum(order.pieces for order in plan.orders):,}"
    return Table(
        caption=f"What is ordered and when; amounts in {currency}, as they are paid",
        columns=(
            *short("Order by", "Arrives"),
            *words("What"),
            Column(head="Pieces", is_figure=True),
            Column(head="Left then", is_figure=True, term="cover"),
            Column(head="Each, landed", is_figure=True, term="landed"),
            *figures("Total"),
            *short("Lasts until"),
        ),
        rows=tuple(
            row(day(each.ordered), *each.cells, total, each.lasts)
            for each, total in zip(entries, totals, strict=True)
        ),
        foot=row("In all", "", "", pieces, "", "", printed(plan.paid, currency), ""),
    )


def _order_entry(order: PlannedOrder, currency: str) -> _Entry:
    made = capital(MADE[verb_of(order.offer)][1 if order.pieces != 1 else 0])
    good = f"{order.good:,} good" if order.good != order.pieces else ""
    covers = f"{order.covers:,} wanted" if order.covers else ""
    covers = f"{-order.stock_before:,} late" if order.stock_before < 0 else covers
    return _Entry(
        ordered=order.ordered,
        cells=(
            day(order.arrives),
            Cell(text=made, small=order.offer.supplier_name),
            Cell(text=f"{order.pieces:,}", small=good),
            Cell(text=f"{max(0, order.stock_before):,}", small=covers),
            printed(order.landed_each, currency),
        ),
        amount=order.total,
        lasts=day(order.lasts_until) if order.lasts_until is not None else END,
    )


def _tools_entries(plan: Plan) -> Iterator[_Entry]:
    """All that is paid for the tools of an offer and once; on the day its tools are ordered."""
    for offer in plan.offers:
        first = next(order for order in plan.orders if order.offer.name == offer.name)
        paid = [
            each.amount
            for each in plan.payments
            if each.offer == offer.name and each.group is Group.TOOLS
        ]
        if paid:
            tools = capital(listed(tools_of([offer]))) or "What is paid once"
            yield _Entry(
                ordered=first.begins,
                cells=(NONE, Cell(text=tools, small=offer.supplier_name), NONE, NONE, NONE),
                amount=sum(paid, Fraction(0)),
            )


def _owed_entry(plan: Plan) -> Iterator[_Entry]:
    owed = plan.paid - plan.on_tools - sum((each.total for each in plan.orders), Fraction(0))
    if owed:
        cells = (NONE, "Owed to suppliers", NONE, NONE, NONE)
        yield _Entry(ordered=plan.setting.horizon.ends, cells=cells, amount=owed)


def tools_table(plan: Plan) -> Table | None:
    rows = tuple(
        row(
            capital(tool.what),
            day(tool.ordered) if tool.ordered is not None else "ours already",
            f"{tool.pieces:,}",
            f"{tool.life:,}" if tool.life is not None else "not stated",
            f"{tool.left:,}" if tool.left is not None else NONE,
        )
        for tool in plan.tools
    )
    columns = (*words("Tool"), *short("Order by"), *figures("Pieces through it", "Life", "Left"))
    caption = "Tools, their lives in pieces, rejects counted"
    return Table(caption=caption, columns=columns, rows=rows) if rows else None


def routes_table(comparison: Comparison, planning: Planning, plan: Plan | None) -> Table | None:
    """The plan and the best plan of each route, by present cost; those without one stand last."""
    currency = currency_of(comparison)
    found = [
        (route, planning.routes[route.name])
        for route in comparison.routes
        if route.name in planning.routes
    ]
    rest = [each for each in found if plan is None or not _same(each[1], plan)]
    rest.sort(key=lambda each: (not isinstance(each[1], Plan), _present(each[1]), each[0].name))
    rows = [_plan_row(plan, currency, "this plan", marked=True)] if plan is not None else []
    rows += [_route_row(route, each, planning, currency) for route, each in rest]
    if not rows:
        return None
    return Table(
        caption=f"The plan beside the best plan of each route; amounts in {currency}",
        columns=(
            *words("Orders"),
            Column(head="Present cost", is_figure=True, term="present-cost"),
            Column(head="Paid in all", is_figure=True, term="paid-in-all"),
            *figures("Before first parts"),
            Column(head="Most tied up", is_figure=True, term="tied-up"),
            *figures("Tools", "Left over"),
        ),
        rows=tuple(rows),
    )


def _same(found: Found, plan: Plan) -> bool:
    return isinstance(found, Plan) and found.solution.orders == plan.solution.orders


def _present(found: Found) -> Fraction:
    return found.present if isinstance(found, Plan) else Fraction(0)


def _route_row(route: Route, found: Found, planning: Planning, currency: str) -> Row:
    if isinstance(found, Plan):
        return _plan_row(found, currency, suppliers_of(route))
    what = capital(", then ".join(verb_of(offer) for offer in route.offers))
    why = no_plan_words(found, planning.setting, currency)
    name = Cell(text=f"{what}, {suppliers_of(route)}", small=f"no plan: {why}")
    return row(name, *[NONE] * 6)


def _plan_row(plan: Plan, currency: str, second: str, *, marked: bool = False) -> Row:
    return row(
        Cell(text=capital(plan_words(plan)), small=second),
        printed(plan.present, currency),
        printed(plan.paid, currency),
        printed(plan.before_first, currency),
        Cell(text=printed(plan.peak[1], currency), small=day(plan.peak[0])),
        printed(plan.on_tools, currency),
        f"{plan.surplus:,}",
        marked=marked,
    )


def lines_table(plan: Plan, currency: str) -> Table:
    """What the present cost is made of; equal lines are one, and say how often they come."""
    found: dict[tuple[str, str], list[Fraction]] = {}
    for line in plan.lines:
        found.setdefault((line.what, line.rule), []).append(line.amount)
    amounts = adding_up([sum(each, Fraction(0)) for each in found.values()], currency)
    return Table(
        caption=f"Cost lines in {currency}, in money of {in_words(plan.setting.ordered)}",
        columns=(*words("What", "Rule"), *figures("Times", "Present cost")),
        rows=tuple(
            row(capital(what), rule, str(len(each)), amount)
            for ((what, rule), each), amount in zip(found.items(), amounts, strict=True)
        ),
        foot=row("Present cost", "", "", printed(plan.present, currency)),
    )


def limits_table(planning: Planning, currency: str) -> Table | None:
    rows = tuple(_limit_row(limit, currency) for limit in planning.limits)
    columns = (*words("At most", "As written"), *figures("Without it", "With it", "It costs"))
    caption = f"What each limit costs by itself; present cost in {currency}"
    return Table(caption=caption, columns=columns, rows=rows) if rows else None


def _limit_row(limit: Limit, currency: str) -> Row:
    within = printed(limit.within.present, currency) if limit.within is not None else NONE
    cost = Cell(text=NONE, small="no plan looked at keeps it")
    if limit.costs is not None:
        less = "or less: not every plan was looked at" if limit.unproven else ""
        kept = "the plan keeps it anyway" if limit.kept else less
        cost = Cell(text=printed(limit.costs, currency), small=kept)
    without = printed(limit.without.present, currency)
    return row(capital(limit.what), limit.written, without, within, cost)


def other_months_table(planning: Planning, plan: Plan, currency: str) -> Table:
    """The best plan over half and over double the months, this one between them (R13)."""
    found: dict[int, Found] = {each.months: each.found for each in planning.others}
    found[planning.setting.horizon.months] = plan
    return Table(
        caption=f"The same at half and at double the months; amounts in {currency}",
        columns=(
            *short("Months"),
            *words("What is ordered"),
            *figures("Present cost", "Paid in all", "Paid for each"),
        ),
        rows=tuple(
            _months_row(months, each, planning, currency) for months, each in sorted(found.items())
        ),
    )


def _months_row(months: int, found: Found, planning: Planning, currency: str) -> Row:
    if not isinstance(found, Plan):
        why = capital(no_plan_words(found, planning.setting, currency))
        return row(str(months), why, *[NONE] * 3)
    each = printed(found.paid / found.bought, currency) if found.bought else NONE
    amounts = (printed(found.present, currency), printed(found.paid, currency), each)
    marked = months == planning.setting.horizon.months
    return row(str(months), capital(plan_words(found)), *amounts, marked=marked)
