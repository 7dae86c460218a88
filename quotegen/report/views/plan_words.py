"""A plan in sentences: what to order by when, what it costs, and what it takes for granted."""

from __future__ import annotations

import calendar
import datetime
import itertools
from collections.abc import Iterator, Sequence
from fractions import Fraction

from quotegen.basics.days import in_words, months_after
from quotegen.basics.money import rounded
from quotegen.basics.place import Place
from quotegen.basics.printed import counted, listed, per_cent, round_money
from quotegen.compare.comparison import Comparison
from quotegen.costing.offer import Offer
from quotegen.judge.reasons import DOING, made_by, verb_of
from quotegen.judge.studied import PartStudy
from quotegen.plan.finding import Found, OverLimit, TooLong
from quotegen.plan.plan import Group, Plan, PlannedOrder, payback
from quotegen.plan.planning import NextOrder, Planning
from quotegen.plan.problem import Shortage, Why
from quotegen.plan.sources import TAX_BACK_AFTER, Borne, Setting
from quotegen.report.views.names import capital, tools_of
from quotegen.report.views.shape import Sourced

MOST_STEPS = 6
WHY_NOT = {
    Why.TIME: "nobody delivers so early",
    Why.COVER: "not enough would be left when an order arrives",
    Why.SHELF: "the shelf does not hold them",
    Why.SHARE: "one supplier would bring more than he may",
    Why.COMMITMENT: "what was agreed with a supplier would not be reached",
    Why.SEARCH: "none was found that keeps what was agreed with the suppliers",
}


def steps_of(plan: Plan) -> tuple[str, ...]:
    """What to order by when: a sentence for each tool, and for each stretch with one supplier.

    Where suppliers take turns too often for that, a sentence for each supplier.
    """
    found: list[tuple[datetime.date, int, str]] = []
    for order in plan.orders:
        if order.tools_ordered is not None:
            what = f"Order the {listed(tools_of([order.offer]))} at {order.offer.supplier_name}"
            found.append((order.tools_ordered, 0, f"{what} by {in_words(order.tools_ordered)}."))
    turns = [list(orders) for _, orders in itertools.groupby(plan.orders, key=_offer_name)]
    if len(turns) > MOST_STEPS:
        in_turn = sorted(plan.orders, key=_offer_name)
        turns = [list(orders) for _, orders in itertools.groupby(in_turn, key=_offer_name)]
    found += [(orders[0].ordered, 1, _pieces(orders)) for orders in turns]
    return tuple(text for *_, text in sorted(found)) or ("Order nothing: what is on hand lasts.",)


def _offer_name(order: PlannedOrder) -> str:
    return order.offer.name


def _pieces(orders: Sequence[PlannedOrder]) -> str:
    first, rest = orders[0], orders[1:]
    made = f"{made_by(first.offer, first.pieces)} at {first.offer.supplier_name}"
    text = f"Order {made} by {in_words(first.ordered)}"
    if len(rest) == 1:
        return f"{text}, then {rest[0].pieces:,} by {in_words(rest[0].ordered)}."
    if rest:
        sizes = sorted({order.pieces for order in rest})
        many = f"{sizes[0]:,}" if len(sizes) == 1 else f"{sizes[0]:,} to {sizes[-1]:,}"
        months = max(1, round((orders[-1].month - first.month) / len(rest)))
        often = "every month" if months == 1 else f"about every {months} months"
        text += f", then {many} at a time, {often}: {len(orders)} orders in all"
    return f"{text}."


def plan_words(plan: Plan) -> str:
    """The offers of a plan in order, with what each brings: 50 prints, then 336 castings."""
    parts = []
    for offer in plan.offers:
        orders = [order for order in plan.orders if order.offer.name == offer.name]
        made = made_by(offer, sum(order.pieces for order in orders))
        parts.append(f"{made} in {counted(len(orders), 'order')}" if len(orders) > 1 else made)
    return ", then ".join(parts) or "nothing"


def doing_offers(offers: Sequence[Offer]) -> str:
    return ", then ".join(f"{DOING[verb_of(each)]} at {each.supplier_name}" for each in offers)


def no_plan_words(found: Found, setting: Setting, currency: str) -> str:
    """Why there is none, as part of a sentence; empty for a plan."""
    if isinstance(found, Shortage):
        why = WHY_NOT[found.why]
        if not found.pieces:
            return why
        month = month_words(months_after(setting.horizon.begins, found.month))
        return f"{counted(found.pieces, 'good part')} would lack in {month}: {why}"
    if isinstance(found, TooLong):
        least = round_money(found.at_least, currency)
        return (
            f"a plan to the piece for {found.need:,} good parts takes too long; "
            f"no plan can cost less than {least}"
        )
    return "none that was looked at keeps every limit" if isinstance(found, OverLimit) else ""


def finding_of(planning: Planning, currency: str) -> str:
    """What stands above the orders; where there is no plan, why not, and from when on."""
    if isinstance(planning.best, OverLimit):
        return (
            "No plan that was looked at keeps every limit. What follows is the plan of least cost "
            "without the limits on money."
        )
    why = capital(no_plan_words(planning.best, planning.setting, currency))
    if why and isinstance(planning.best, Shortage):
        first = planning.earliest
        then = f" The first parts can be here on {in_words(first)}." if first is not None else ""
        return f"There is no plan. {why}.{then}"
    return f"{why}." if why else ""


def month_words(starts: datetime.date) -> str:
    if starts.day == 1:
        return f"{calendar.month_name[starts.month]} {starts.year}"
    return f"the month from {in_words(starts)}"


def told_of_plan(planning: Planning, plan: Plan, currency: str) -> tuple[str, ...]:
    """Proof, habits, next order, payback, and what is left: a sentence each."""
    found = [_proof(planning, plan, currency)]
    found += _habits(planning, plan, currency)
    if planning.next_order is not None:
        found.append(_next(planning.next_order, planning.setting, currency))
    found += _paid_back(planning, plan)
    found.append(_at_end(plan, currency))
    return tuple(found)


def _proof(planning: Planning, plan: Plan, currency: str) -> str:
    if planning.free is not plan and planning.free is not None:
        more = round_money(plan.present - planning.free.present, currency)
        return (
            f"The limits on money cost {more}, or less: not every plan that keeps them was "
            "looked at."
        )
    if plan.solution.is_proven:
        return "No plan with these quotes costs less: every one was looked at."
    least = round_money(plan.bound, currency)
    return f"No plan with these quotes can cost less than {least}; this is the best one found."


def _habits(planning: Planning, plan: Plan, currency: str) -> Iterator[str]:
    for habit in planning.habits:
        saved, what = rounded(habit.saves, 0), capital(habit.what)
        if habit.plan.solution.orders == plan.solution.orders:
            yield f"{what}: that is this plan."
        elif saved > 0:
            yield f"{what}: that would cost {saved:,f} {currency} more."
        else:
            yield f"{what}: that would cost as much."


def _next(next_order: NextOrder, setting: Setting, currency: str) -> str:
    offer, order = next_order.order.offer, next_order.order
    what = made_by(offer, order.pieces)
    if next_order.of_tools:
        what = f"the {listed(tools_of([offer]))}"
    text = f"The first order is {what} at {offer.supplier_name}, by {in_words(next_order.day)}."
    late = no_plan_words(next_order.a_month_late, setting, currency)
    if late:
        return f"{text} A month later there is no plan: {late}."
    if next_order.costs_more is None:
        return f"{text} A month later, what is on hand may not last until it is there."
    more = rounded(next_order.costs_more, 0)
    costs = f"costs {more:,f} {currency} more" if more > 0 else "costs nothing"
    return f"{text} To wait a month longer {costs}."


def without_tools(planning: Planning, plan: Plan) -> Plan | None:
    """The cheapest plan of a route that pays for no tool, where this one pays for some."""
    if not any(offer.has_tool for offer in plan.offers):
        return None
    rest = [
        each
        for each in planning.routes.values()
        if isinstance(each, Plan) and not any(offer.has_tool for offer in each.offers)
    ]
    return min(rest, key=lambda each: (each.present, each.name), default=None)


def _paid_back(planning: Planning, plan: Plan) -> Iterator[str]:
    other = without_tools(planning, plan)
    if other is None:
        return
    tools, against = listed(tools_of(plan.offers)), doing_offers(other.offers)
    verb = "has" if len(tools_of(plan.offers)) == 1 else "have"
    since = payback(plan, other)
    if since is None:
        months = planning.setting.horizon.months
        yield f"Within {months} months the {tools} {verb} not paid back against {against}."
    else:
        yield (
            f"From {month_words(since)} on less has been paid than by {against}: the {tools} "
            f"{verb} paid back."
        )


def _at_end(plan: Plan, currency: str) -> str:
    ends = in_words(plan.setting.horizon.ends)
    if not plan.surplus:
        return f"When the plan ends, on {ends}, nothing is left on the shelf."
    cost = round_money(plan.stock_at_end, currency)
    are = "part is" if plan.surplus == 1 else "parts are"
    return f"When the plan ends, on {ends}, {plan.surplus:,} good {are} left, which cost {cost}."


def assumed_by(study: PartStudy, planning: Planning, plan: Plan) -> Iterator[Sourced]:
    """What the plan takes for granted, with its rule and the place where it could be changed."""
    comparison = study.comparison
    yield from _of_months(comparison, planning.setting)
    yield from _of_money(comparison, planning.setting, plan)
    yield from _of_prices(plan)
    yield from _of_shared_tools(study, plan)
    yield from _of_cover(comparison, plan)


def _of_months(comparison: Comparison, setting: Setting) -> Iterator[Sourced]:
    horizon, part = setting.horizon, comparison.part.places
    begins = in_words(horizon.begins)
    text = f"The months are counted from {begins}, when the parts are needed."
    if not horizon.stated:
        text = (
            f"Nobody has said when the parts are needed: the months are counted from {begins}, "
            "when the slowest of the offers delivers, so that none is favoured by being quick."
        )
    yield _sourced(text, "R17", part.of("needed by"))
    text = (
        "An order serves the month that begins when it arrives or next after that. Its day is "
        "the last on which it can be placed for that month."
    )
    yield _sourced(text, "R17", part.of("needed by"))


def _of_money(comparison: Comparison, setting: Setting, plan: Plan) -> Iterator[Sourced]:
    workshop, places = comparison.workshop.record, comparison.workshop.places
    yield _sourced(
        f"Money costs {per_cent(workshop.cost_of_capital.share)} a year, compounded by day. "
        f"Present cost is what all payments are worth on {in_words(setting.ordered)}.",
        "R12",
        places.of("cost of capital"),
    )
    yield _sourced(
        f"Storage costs {per_cent(workshop.storage.share)} of their value a year for parts that "
        f"wait; a part left at the end is worth {per_cent(setting.salvage)} of its cost.",
        "R13",
        places.of("storage"),
    )
    stands = comparison.part.record.design_stands
    text = "Nobody has said how likely the design is to stand: it is taken to stand."
    if stands is not None:
        text = (
            f"The design stands with a chance of {per_cent(stands.share)} a year. Stock and tools "
            "are counted as lost, month by month, with the rest of that chance."
        )
    yield _sourced(text, "R13", comparison.part.places.of("design stands"))
    if any(each.group is Group.TAX for each in plan.payments):
        text = (
            f"Import tax of {per_cent(workshop.import_tax)} is paid at the border and comes back "
            f"{TAX_BACK_AFTER.days} days later."
        )
        yield _sourced(text, "R7", places.of("import tax"))


def _of_prices(plan: Plan) -> Iterator[Sourced]:
    for offer in plan.offers:
        quote, item, who = offer.case.quote, offer.case.item, offer.supplier_name
        if not quote.payment:
            text = (
                f"{who} states no terms of payment: pieces are taken as paid on delivery, tools "
                "with their order."
            )
            yield _sourced(text, "R12", offer.place)
        hold = item.price_hold
        until = (hold.until if hold is not None else None) or offer.last_day
        last = max(order.ordered for order in plan.orders if order.offer.name == offer.name)
        if until is not None and last > until:
            rise = "no rise is stated, and none is counted"
            if hold is not None and hold.then is not None:
                rise = f"then a rise of {per_cent(hold.then.share)} a year is counted"
            text = f"Prices of {who} hold until {in_words(until)}; {rise}."
            yield _sourced(text, "R15", offer.place)


def _of_shared_tools(study: PartStudy, plan: Plan) -> Iterator[Sourced]:
    """A tool that serves several parts is paid once, or counts in full for each."""
    used = {tool.tool: tool.what for tool in plan.tools}
    place = study.comparison.part.places.of()
    shared = {each.tool: each for each in (study.planning.borne if study.planning else ())}
    for key, parts in study.tools_elsewhere.items():
        if key in used and key in shared:
            for text in _borne(study, shared[key], used[key]):
                yield _sourced(text, "R5", place)
        elif key in used:
            others = listed([each.upper() for each in parts])
            text = f"The {used[key]} serves {others} as well. Its price counts in full here."
            yield _sourced(text, "R5", place)


def _borne(study: PartStudy, borne: Borne, what: str) -> Iterator[str]:
    others = listed([part.upper() for part in borne.of_parts if part != study.part])
    yield (
        f"The {what} serves {others} as well and is paid once. This plan bears "
        f"{per_cent(borne.share)} of it: the parts share it in proportion to what each saves by it."
    )
    if borne.ready is not None:
        first = borne.of_parts[0].upper()
        yield f"The {what} is ordered with {first} and can be used from {in_words(borne.ready)}."
    if borne.unproven is None:
        yield "Whether other plans of these parts cost less together is not proven."
    elif rounded(borne.unproven, 0):
        least = round_money(borne.unproven, study.comparison.workshop.record.currency)
        yield f"Other plans of these parts together may cost up to {least} less; no more is proven."


def _of_cover(comparison: Comparison, plan: Plan) -> Iterator[Sourced]:
    part = comparison.part
    if plan.problem.late is not None and part.record.late_costs is not None:
        then = "is not delivered any more" if part.record.late_is_lost else "is delivered later"
        text = f"A part may come late; it {then} and costs {part.record.late_costs} a month."
        yield _sourced(text, "R19", part.places.of("late costs"))
        if not any(order.may_run_out for order in plan.orders):
            return
    high = part.record.demand.high
    text = f"When an order arrives, enough is left for a demand of {high:,} a year while we wait."
    if not plan.is_covered:
        worst = max(plan.orders, key=lambda each: (each.may_run_out, -each.month))
        chance = per_cent(Fraction(round(worst.may_run_out * 100), 100))
        text = (
            f"Not enough can be left for a demand of {high:,} a year while we wait: on "
            f"{in_words(worst.arrives)} {worst.stock_before:,} are left where {worst.covers:,} "
            f"should be, and the chance that the shelf is empty before is {chance}."
        )
    yield _sourced(text, "R19", part.places.of("demand", "high"))


def _sourced(text: str, rule: str, place: Place) -> Sourced:
    return Sourced(text=text, rule=rule, place=str(place))
