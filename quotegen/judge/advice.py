"""The recommended route: an outcome with reasons, never a bare number.

Routes are ranked by their mean cost over the futures that the part's form allows (R21); where it
leaves no doubt about the demand, by the present cost of their plans (R12, R13); only where none
can be planned to the piece, by the plain comparison.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from quotegen.compare.break_even import BreakEven, break_even_of
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt, Route
from quotegen.costing.bill import Assumption
from quotegen.costing.offer import Offer, Standing
from quotegen.judge.cautions import cautions_for
from quotegen.judge.futures.outlook import Outlook, Steps, coarsest
from quotegen.judge.questions import Question, cancelling, questions_for
from quotegen.plan.finding import Found, TooLong
from quotegen.plan.limits import Limit
from quotegen.plan.plan import Plan
from quotegen.plan.planning import Planning


class Outcome(StrEnum):
    """What the comparison allows to be said."""

    CHOSEN = "chosen"
    TIE = "too close to call"
    NO_ROUTE = "no route"
    UNKNOWN = "not enough known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsettled:
    """An offer that cannot be signed today and would cost less, as far as it is known."""

    offer: Offer
    cost: CostAt | None
    saving: Fraction | None
    blocks: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """The recommendation for one part.

    route is the one to take, None unless the outcome is chosen or too close to call (then
    the first of ties). ranking holds the best route of every family in order of mean cost.
    lead is what the runner-up costs more on average, less than nothing in a tie. break_even belongs
    to the route and is None for one without a tool (R14). plans has the plan of each ranked route
    by its name, none of them where a plan to the piece takes too long; no_plan says why there is
    none.
    limits are those that the best plan without them would break. outlook is None where the demand
    is certain.
    """

    outcome: Outcome
    route: Route | None
    cost: CostAt | None
    ties: tuple[CostAt, ...]
    ranking: tuple[CostAt, ...]
    runner_up: CostAt | None
    lead: Fraction | None
    break_even: BreakEven | None
    unsettled: tuple[Unsettled, ...]
    assumptions: tuple[Assumption, ...]
    questions: tuple[Question, ...]
    cautions: tuple[str, ...]
    plans: Mapping[str, Plan]
    no_plan: Found | None
    limits: tuple[Limit, ...]
    outlook: Outlook | None = None

    @property
    def plan(self) -> Plan | None:
        """The plan of the route that stands first."""
        return self.plans.get(self.cost.route.name) if self.cost is not None else None

    def present(self, cost: CostAt) -> Fraction:
        """What a route costs in money of the plan's first day; without a plan, undiscounted."""
        plan = self.plans.get(cost.route.name)
        return plan.present if plan is not None else cost.total

    def expected(self, cost: CostAt) -> Fraction:
        """What a route costs on average over all futures; with no doubt, its present cost."""
        return _expected(cost, self.plans, self.outlook)

    def rounded_to(self, *costs: CostAt) -> Steps:
        """What the expected costs of routes are rounded to, and the difference of their means."""
        known = self.outlook.routes if self.outlook is not None else {}
        every = [known[cost.route.name].steps for cost in costs if cost.route.name in known]
        return coarsest(every)

    def paid(self, cost: CostAt) -> Fraction:
        """All that is paid for a route over the months of the plan."""
        plan = self.plans.get(cost.route.name)
        return plan.paid if plan is not None else cost.total


def advise(
    comparison: Comparison, planning: Planning | None, outlook: Outlook | None = None
) -> Advice:
    """Least mean cost among routes that hold and arrive in time (R12, R15, R16, R21).

    Routes within the workshop's margin of the cheapest are too close to call. An offer that
    is for the wrong revision or lacks something, and as far as it is known would be cheaper
    by more than the margin, blocks the choice: not enough is known.
    """
    plans = plans_of(comparison, planning)
    no_plan = planning.best if planning is not None and planning.plan is None else None
    must_be_planned = planning is not None and not isinstance(no_plan, TooLong)
    ranking = ranked(comparison, plans, must_be_planned, outlook)
    best = ranking[0] if ranking else None
    margin = comparison.workshop.record.close_call
    costs = {cost.route.name: _expected(cost, plans, outlook) for cost in ranking}
    close = costs[best.route.name] * (1 + margin) if best is not None else Fraction(0)
    ties = tuple(cost for cost in ranking if costs[cost.route.name] <= close)
    unsettled = _unsettled(comparison, best, margin, plans)
    outcome = _outcome(best, ties, unsettled)
    if not comparison.needs.likely:
        outcome, ties = Outcome.NO_ROUTE, ()
    settled = outcome in (Outcome.CHOSEN, Outcome.TIE)
    cost = _in_tie_order(ties, comparison)[0] if settled else best
    runner_up = next((each for each in ranking if each is not cost), None)
    lead = None
    if runner_up is not None and cost is not None:
        lead = costs[runner_up.route.name] - costs[cost.route.name]
    return Advice(
        outcome=outcome,
        route=cost.route if cost is not None and settled else None,
        cost=cost,
        ties=_in_tie_order(ties, comparison) if len(ties) > 1 else (),
        ranking=ranking,
        runner_up=runner_up,
        lead=lead,
        break_even=_break_even(cost, ranking),
        unsettled=unsettled,
        assumptions=_assumptions(cost),
        questions=_questions(comparison, outcome, unsettled, ties),
        cautions=cautions_for(comparison, cost if settled else None),
        plans=plans,
        no_plan=no_plan,
        limits=tuple(each for each in planning.limits if not each.kept) if planning else (),
        outlook=outlook,
    )


def plans_of(comparison: Comparison, planning: Planning | None) -> Mapping[str, Plan]:
    """The plan of each route by its name; the best plan of all stands for the route it follows.

    That is the route of the same offers, else one of the same main offer. A plan whose parts come
    mostly from another main offer than its route's belongs to that one's family. Where the best
    plan keeps the cover of R19, a plan that gives it up is none to compare with.
    """
    if planning is None:
        return {}
    routes = {route.name: route for route in comparison.routes}
    best = planning.plan
    found = {
        name: plan
        for name, plan in planning.routes.items()
        if isinstance(plan, Plan) and _follows(plan, routes[name])
    }
    found |= {name: each for name, each in planning.if_signed.items() if isinstance(each, Plan)}
    if best is None:
        return found
    found = {name: plan for name, plan in found.items() if plan.is_as_safe_as(best)}
    family = [name for name, route in routes.items() if _follows(best, route)]
    planned = sorted(family, key=lambda name: (name != best.name, name not in found, name))
    return found | dict.fromkeys(planned[:1], best)


def _follows(plan: Plan, route: Route) -> bool:
    """Whether a plan is one for a route: of the same offers, or most parts from its main one."""
    of_main = plan.main is not None and plan.main.name == route.main.name
    return plan.name == route.name or of_main


def _present(cost: CostAt, plans: Mapping[str, Plan]) -> Fraction:
    plan = plans.get(cost.route.name)
    return plan.present if plan is not None else cost.total


def _expected(cost: CostAt, plans: Mapping[str, Plan], outlook: Outlook | None) -> Fraction:
    """The mean over all futures where there is one; else as planned for the likely demand."""
    known = outlook.routes.get(cost.route.name) if outlook is not None else None
    return known.mean if known is not None else _present(cost, plans)


def ranked(
    comparison: Comparison,
    plans: Mapping[str, Plan],
    must_be_planned: bool,
    outlook: Outlook | None = None,
) -> tuple[CostAt, ...]:
    """The cheapest route of every family on average, cheapest first.

    A family is known by its main offer: the same foundry behind two bridges is one family.
    """

    def weight(cost: CostAt) -> Fraction:
        return _expected(cost, plans, outlook)

    best: dict[str, CostAt] = {}
    for route in comparison.routes:
        cost = comparison.costs.get(route.name)
        if cost is None or (must_be_planned and route.name not in plans):
            continue
        known = best.get(route.main.name)
        if known is None or weight(cost) < weight(known):
            best[route.main.name] = cost
    order = {route.name: number for number, route in enumerate(comparison.routes)}
    key = {name: (weight(cost), order[cost.route.name]) for name, cost in best.items()}
    return tuple(best[name] for name in sorted(best, key=key.__getitem__))


def _questions(
    comparison: Comparison,
    outcome: Outcome,
    unsettled: Iterable[Unsettled],
    ties: tuple[CostAt, ...],
) -> tuple[Question, ...]:
    """What to ask; a question blocks only where the outcome waits for its answer."""
    turning = {each.offer.name for each in unsettled if each.blocks}
    settled = outcome in (Outcome.CHOSEN, Outcome.TIE)
    any_helps = outcome is Outcome.NO_ROUTE and comparison.needs.likely > 0
    found = [
        replace(each, blocks=each.blocks and (any_helps or each.offer in turning))
        for each in questions_for(comparison)
    ]
    found += cancelling(_to_sign(ties)) if settled else ()
    return tuple(sorted(found, key=lambda each: not each.blocks))


def _to_sign(ties: tuple[CostAt, ...]) -> tuple[Offer, ...]:
    """Every offer of the route, or of each route in a tie, once."""
    found = {offer.name: offer for cost in ties for offer in cost.route.offers}
    return tuple(found.values())


def _in_tie_order(ties: tuple[CostAt, ...], comparison: Comparison) -> tuple[CostAt, ...]:
    """Least money committed up front, then earliest parts: the order of the routes (R16)."""
    order = {route.name: number for number, route in enumerate(comparison.routes)}
    return tuple(sorted(ties, key=lambda each: order[each.route.name]))


def _outcome(
    best: CostAt | None, ties: tuple[CostAt, ...], unsettled: tuple[Unsettled, ...]
) -> Outcome:
    if any(each.blocks for each in unsettled):
        return Outcome.UNKNOWN
    if best is None:
        return Outcome.NO_ROUTE
    return Outcome.TIE if len(ties) > 1 else Outcome.CHOSEN


def _unsettled(
    comparison: Comparison, best: CostAt | None, margin: Fraction, plans: Mapping[str, Plan]
) -> tuple[Unsettled, ...]:
    """Offers that do not hold and would win, or might where no price is known.

    An expired quote never blocks: its price is no longer offered, so renewing it is a
    question, not a gap in today's knowledge. Nor does a quote whose supplier has another
    that holds, or one that a later quote replaces.
    """
    holding = {offer.supplier for offer in comparison.offers if offer.holds}
    found = []
    for offer in comparison.offers:
        if offer.holds or offer.standing is Standing.REPLACED:
            continue
        cost = comparison.costs.get(offer.name)
        if offer.priced and cost is None:
            continue
        saving = _saving(best, cost, plans) if best is not None and cost is not None else None
        turns = best is None or saving is None or saving > _present(best, plans) * margin
        blocks = turns and offer.standing is not Standing.EXPIRED and offer.supplier not in holding
        if turns:
            found.append(Unsettled(offer=offer, cost=cost, saving=saving, blocks=blocks))
    return tuple(found)


def _saving(best: CostAt, cost: CostAt, plans: Mapping[str, Plan]) -> Fraction:
    """Against the best route: by their plans, or plainly where one of them has none."""
    if cost.route.name in plans and best.route.name in plans:
        return _present(best, plans) - _present(cost, plans)
    return best.total - cost.total


def _break_even(cost: CostAt | None, ranking: tuple[CostAt, ...]) -> BreakEven | None:
    """The recommended route against the best one without its tool; a bridge is counted (R14)."""
    if cost is None or not cost.route.has_tool:
        return None
    plain = [each for each in ranking if not each.route.has_tool]
    others = [each for each in ranking if each.route.main.name != cost.route.main.name]
    against = plain or others
    return break_even_of(cost.route, against[0].route) if against else None


def _assumptions(cost: CostAt | None) -> tuple[Assumption, ...]:
    """What the recommended figure rests on, each once."""
    if cost is None:
        return ()
    found = {each: None for leg in cost.legs for each in leg.offer.bill.assumptions}
    return tuple(found)
