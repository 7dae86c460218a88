"""Tools that serve several parts: one is bought where the parts together save more than it costs.

Each part that uses it bears its price in proportion to what it saves by it, so that none pays more
than it gains. The price itself is paid once, with the first order of the part that needs it first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from quotegen.compare.comparison import Comparison
from quotegen.costing.offer import Offer
from quotegen.plan.building import supplies_of
from quotegen.plan.finding import plan_for
from quotegen.plan.once import keys_of, once_flows
from quotegen.plan.plan import Plan, PlannedTool
from quotegen.plan.planning import Planning, plan_part
from quotegen.plan.problem import UNITS
from quotegen.plan.sources import Borne, Supply, Timing

SHARES = (
    10_000  # a part bears so many equal shares of a tool, and the one that has it made the rest
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sharer:
    """A part that may use a tool, and what its planning needs to know."""

    part: str
    comparison: Comparison
    alone: Planning


def plan_together(
    comparisons: Mapping[str, Comparison], alone: Mapping[str, Planning | None]
) -> Mapping[str, Planning | None]:
    """The plans of parts that share tools, as far as they differ from those made alone (R5).

    Tools of the same offers are looked at as one, others one after the other, each with what was
    found for those before it; how far the plans are proven is known only where its parts share no
    other one.
    """
    plans, every = dict(alone), tools_of_several(comparisons)
    for tools in every:
        sharers = [
            Sharer(part=part, comparison=comparison, alone=planning)
            for part, comparison in comparisons.items()
            if (planning := plans[part]) is not None and _uses(comparison, tools)
        ]
        others = [other for other in every if other != tools]
        is_only = not any(_uses(each.comparison, other) for each in sharers for other in others)
        plans |= _with_tools(tools, sharers, is_only)
    return {part: plans[part] for part in plans if plans[part] is not alone[part]}


Tools = tuple[str, ...]  # that the same offers use, so that none of them is bought by itself


def tools_of_several(comparisons: Mapping[str, Comparison]) -> tuple[Tools, ...]:
    """The tools that offers for more than one part use and that are not ours already."""
    users: dict[str, set[tuple[str, str]]] = {}
    for part, comparison in comparisons.items():
        for offer in comparison.offers:
            for tool in offer.case.item.tools:
                if offer.holds and tool.tool not in comparison.workshop.record.tools_owned:
                    users.setdefault(tool.tool, set()).add((part, offer.name))
    found: dict[frozenset[tuple[str, str]], list[str]] = {}
    for key, offers in sorted(users.items()):
        if len({part for part, _ in offers}) > 1:
            found.setdefault(frozenset(offers), []).append(key)
    return tuple(tuple(tools) for tools in found.values())


def _uses(comparison: Comparison, tools: Tools) -> bool:
    return any(offer.holds and _is_with(offer, tools) for offer in comparison.offers)


def _is_with(offer: Offer, tools: Tools) -> bool:
    return any(each.tool in tools for each in offer.case.item.tools)


def _with_tools(tools: Tools, sharers: Sequence[Sharer], is_only: bool) -> Mapping[str, Planning]:
    """Nothing where the tools are not worth their price, or where the plans alone cost no more."""
    free = [Borne(tool=tool, share=Fraction(0)) for tool in tools]
    given = {each.part: _best(each, free) for each in sharers}
    savings = {each.part: _saving(each, tools, given[each.part]) for each in sharers}
    users = [each for each in sharers if savings[each.part] > 0]
    if len(users) < 2:
        return {}
    first = min(users, key=lambda each: (_ordered(given[each.part], tools), each.part))
    price = min(_prices(first, tools), default=None)
    if price is None or sum(savings.values()) <= price:
        return {}
    shares = _shares(savings, first.part)
    of_parts = (first.part, *sorted(each.part for each in users if each is not first))
    found = _planned(tools, sharers, first, shares, of_parts)
    if (
        found is None
        or not _is_better(found, sharers)
        or any(_wears_out(found, each) for each in tools)
    ):
        return {}
    unproven = _unproven(tools, sharers, found) if is_only else None
    return {part: _told(planning, tools, unproven) for part, planning in found.items()}


def _best(sharer: Sharer, borne: Iterable[Borne]) -> Plan | None:
    """The best plan of the part where it bears so much of the tools; None where there is none."""
    setting = sharer.alone.setting
    every = (*sharer.alone.borne, *borne)
    found = plan_for(sharer.comparison, supplies_of(_holding(sharer), setting, every), setting)
    return found if isinstance(found, Plan) else None


def _holding(sharer: Sharer) -> list[Offer]:
    return [offer for offer in sharer.comparison.offers if offer.holds]


def _saving(sharer: Sharer, tools: Tools, given: Plan | None) -> Fraction:
    """What the part saves where the tools cost nothing, against its best plan without them."""
    if given is None or all(each.tool not in tools for each in given.tools):
        return Fraction(0)
    without = _without(sharer, tools)
    if without is None or not without.is_as_safe_as(given):
        return given.present
    return max(Fraction(0), without.present - given.present)


def _without(sharer: Sharer, tools: Tools) -> Plan | None:
    setting = sharer.alone.setting
    offers = [offer for offer in _holding(sharer) if not _is_with(offer, tools)]
    found = plan_for(sharer.comparison, supplies_of(offers, setting, sharer.alone.borne), setting)
    return found if isinstance(found, Plan) else None


def _planned_tool(plan: Plan | None, tool: str) -> PlannedTool | None:
    return next((each for each in plan.tools if each.tool == tool), None) if plan else None


def _ordered(plan: Plan | None, tools: Tools) -> int:
    """The day on which a plan orders the tools, as a number."""
    planned = _planned_tool(plan, tools[0])
    return planned.ordered.toordinal() if planned is not None and planned.ordered else 0


def _prices(sharer: Sharer, tools: Tools) -> Iterator[Fraction]:
    """What the tools cost, by the month of the first order with it and by offer."""
    setting = sharer.alone.setting
    for supply in supplies_of(_holding(sharer), setting):
        if _is_with(supply.offer, tools):
            for month, timing in supply.timings.items():
                if timing.tools is not None:
                    yield _price(supply, tools, month)


def _price(supply: Supply, tools: Tools, month: int) -> Fraction:
    """Present money for tools, without what an order or the quote itself costs beside it."""
    flows = (flow for key in keys_of(supply, ()) for flow in once_flows(supply, key, month, ()))
    paid = sum(
        float(flow.amount) * supply.setting.discount.factor(flow.day)
        for flow in flows
        if flow.line.tool in tools
    )
    return Fraction(round(paid * UNITS), UNITS)


def _shares(savings: Mapping[str, Fraction], first: str) -> dict[str, Fraction]:
    every = sum(savings.values())
    found = {
        part: Fraction(int(saving * SHARES / every), SHARES) for part, saving in savings.items()
    }
    rest = sum((share for part, share in found.items() if part != first), Fraction(0))
    return found | {first: 1 - rest}


def _planned(
    tools: Tools,
    sharers: Sequence[Sharer],
    first: Sharer,
    shares: Mapping[str, Fraction],
    of_parts: tuple[str, ...],
) -> dict[str, Planning] | None:
    """The plans with the tool, the one that has it made before the others."""

    def planned(sharer: Sharer, made_for: Timing | None) -> Planning | None:
        borne = [
            Borne(tool=tool, share=shares[sharer.part], made_for=made_for, of_parts=of_parts)
            for tool in tools
        ]
        return plan_part(sharer.comparison, (*sharer.alone.borne, *borne))

    having_it_made = planned(first, None)
    plan = having_it_made.plan if having_it_made is not None else None
    if plan is None or _planned_tool(plan, tools[0]) is None:
        return None
    made_for = next(order.timing for order in plan.orders if _is_with(order.offer, tools))
    rest = {each.part: planned(each, made_for) for each in sharers if each is not first}
    found = {part: each for part, each in rest.items() if each is not None}
    return {first.part: having_it_made, **found} if having_it_made is not None else None


def _is_better(found: Mapping[str, Planning], sharers: Sequence[Sharer]) -> bool:
    """Whether the plans together cost less than those alone, and none loses its plan."""
    before = {each.part: each.alone.plan for each in sharers}
    after = {part: planning.plan for part, planning in found.items()}
    if any(plan is not None and after.get(part) is None for part, plan in before.items()):
        return False
    if any(plan is None for plan in before.values()):
        return True
    return _total(after.values()) < _total(before.values())


def _total(plans: Iterable[Plan | None]) -> Fraction:
    return sum((plan.present for plan in plans if plan is not None), Fraction(0))


def _wears_out(found: Mapping[str, Planning], tool: str) -> bool:
    """Whether the parts together need more than one tool's life: then each is planned alone."""
    used = [
        planned
        for planning in found.values()
        if (planned := _planned_tool(planning.plan, tool)) is not None
    ]
    lives = [each.life for each in used if each.life is not None]
    return bool(lives) and sum(each.pieces for each in used) > min(lives)


def _unproven(
    tools: Tools, sharers: Sequence[Sharer], found: Mapping[str, Planning]
) -> Fraction | None:
    """How much less all the parts might cost together: 0 where that is proven.

    Nothing is cheaper than the least price of the tools and each part's plan with them there
    for nothing, as early as it can be; or else all plans without it.
    """
    earliest = min(
        (
            timing
            for each in sharers
            for supply in supplies_of(_holding(each), each.alone.setting)
            if _is_with(supply.offer, tools)
            for timing in supply.timings.values()
            if timing.tools is not None
        ),
        key=lambda timing: timing.tools.ordered if timing.tools else timing.arrives,
        default=None,
    )
    free = [Borne(tool=tool, share=Fraction(0), made_for=earliest) for tool in tools]
    with_it = [_best(each, free) for each in sharers]
    prices = [price for each in sharers for price in _prices(each, tools)]
    if any(plan is None for plan in with_it) or not prices:
        return None
    at_least = _bounds(with_it) + min(prices)
    without = [_without(each, tools) for each in sharers]
    if all(plan is not None for plan in without):
        at_least = min(at_least, _bounds(without))
    return max(Fraction(0), _total(each.plan for each in found.values()) - at_least)


def _bounds(plans: Iterable[Plan | None]) -> Fraction:
    return sum((plan.bound for plan in plans if plan is not None), Fraction(0))


def _told(planning: Planning, tools: Tools, unproven: Fraction | None) -> Planning:
    borne = tuple(
        replace(each, unproven=unproven) if each.tool in tools else each for each in planning.borne
    )
    return replace(planning, borne=borne)
