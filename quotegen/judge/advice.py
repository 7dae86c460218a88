"""The recommended route for the likely demand: an outcome with reasons, never a bare number."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from quotegen.compare.break_even import BreakEven, break_even_of
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt, Route
from quotegen.costing.bill import Assumption
from quotegen.costing.offer import Offer, Standing
from quotegen.judge.cautions import cautions_for
from quotegen.judge.questions import Question, cancelling, questions_for


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
    the first of ties). ranking holds the best route of every family in order of cost. lead
    is what the runner-up costs more, less than nothing in a tie. break_even belongs to the
    route and is None for one without a tool (R14).
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


def advise(comparison: Comparison) -> Advice:
    """Least cost at the likely need among routes that hold and arrive in time (R15, R16).

    Routes within the workshop's margin of the cheapest are too close to call. An offer that
    is for the wrong revision or lacks something, and as far as it is known would be cheaper
    by more than the margin, blocks the choice: not enough is known.
    """
    ranking = ranked(comparison)
    best = ranking[0] if ranking else None
    margin = comparison.workshop.record.close_call
    ties = tuple(cost for cost in ranking if _close(cost, best, margin))
    unsettled = _unsettled(comparison, best, margin)
    outcome = _outcome(best, ties, unsettled)
    if not comparison.needs.likely:
        outcome, ties = Outcome.NO_ROUTE, ()
    settled = outcome in (Outcome.CHOSEN, Outcome.TIE)
    cost = _in_tie_order(ties, comparison)[0] if settled else best
    runner_up = next((each for each in ranking if each is not cost), None)
    return Advice(
        outcome=outcome,
        route=cost.route if cost is not None and settled else None,
        cost=cost,
        ties=_in_tie_order(ties, comparison) if len(ties) > 1 else (),
        ranking=ranking,
        runner_up=runner_up,
        lead=runner_up.total - cost.total if runner_up is not None and cost is not None else None,
        break_even=_break_even(cost, ranking),
        unsettled=unsettled,
        assumptions=_assumptions(cost),
        questions=_questions(comparison, outcome, unsettled, ties),
        cautions=cautions_for(comparison),
    )


def ranked(comparison: Comparison) -> tuple[CostAt, ...]:
    """The cheapest route of every family at the likely need, cheapest first.

    A family is known by its main offer: the same foundry behind two bridges is one family.
    """
    best: dict[str, CostAt] = {}
    for route in comparison.routes:
        cost = comparison.costs.get(route.name)
        if cost is None:
            continue
        known = best.get(route.main.name)
        if known is None or cost.total < known.total:
            best[route.main.name] = cost
    order = {route.name: number for number, route in enumerate(comparison.routes)}
    return tuple(sorted(best.values(), key=lambda each: (each.total, order[each.route.name])))


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


def _close(cost: CostAt, best: CostAt | None, margin: Fraction) -> bool:
    return best is not None and cost.total <= best.total * (1 + margin)


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
    comparison: Comparison, best: CostAt | None, margin: Fraction
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
        saving = best.total - cost.total if best is not None and cost is not None else None
        turns = best is None or saving is None or saving > best.total * margin
        blocks = turns and offer.standing is not Standing.EXPIRED and offer.supplier not in holding
        if turns:
            found.append(Unsettled(offer=offer, cost=cost, saving=saving, blocks=blocks))
    return tuple(found)


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
