"""A comparison as JSON values: amounts as decimal strings, a parity as a fraction.

An open end is null; so is what is not known. A place is `path:line:column`.
"""

from __future__ import annotations

from typing import Any

from quotegen.basics.problem import Problem
from quotegen.compare.break_even import BreakEven
from quotegen.compare.comparison import Comparison
from quotegen.compare.effects import Effect
from quotegen.compare.envelope import Envelope
from quotegen.compare.route import CostAt, LineTotal, Route
from quotegen.costing.offer import Offer
from quotegen.costing.rates import RateUsed
from quotegen.judge.advice import Advice
from quotegen.judge.plausible import Plausibility
from quotegen.judge.reasons import reasons_for
from quotegen.judge.turning.over_two import Turned
from quotegen.plan.planning import Planning
from quotegen.report.fit_json import fit_as_json, metal_as_json
from quotegen.report.json_values import amount
from quotegen.report.outlook_json import outlook_as_json
from quotegen.report.plan_json import plan_as_json
from quotegen.report.quality_json import inspection_as_json, plausible_as_json
from quotegen.report.turning_json import turning_as_json


def comparison_as_json(
    comparison: Comparison,
    planning: Planning | None,
    advice: Advice,
    plausible: tuple[Plausibility, ...] = (),
    turned: Turned | None = None,
) -> dict[str, Any]:
    """What `quotegen compare PART --json` prints for one part."""
    return {
        "part": comparison.part.name,
        "name": comparison.part.record.name,
        "revision": comparison.part.record.revision,
        "currency": comparison.workshop.record.currency,
        "compared_on": comparison.today.isoformat(),
        "quantity": comparison.needs.likely,
        "planning_months": comparison.needs.months,
        "lot": comparison.needs.lot,
        "offers": [_offer(comparison, offer) for offer in comparison.offers],
        "routes": [_cost(comparison.costs.get(r.name), r) for r in comparison.routes],
        "cheapest": _cheapest(comparison.envelope),
        "beyond": comparison.envelope.beyond.name if comparison.envelope.beyond else None,
        "break_even": [_break_even(each, comparison) for each in comparison.break_evens],
        "rates": [_rate(rate) for rate in comparison.rates.rates.values()],
        "effects": [_effect(effect) for effect in comparison.effects],
        "plan": plan_as_json(planning),
        "fit": fit_as_json(comparison),
        "inspection": inspection_as_json(comparison),
        "plausible": plausible_as_json(plausible),
        "metal": metal_as_json(advice),
        "outlook": outlook_as_json(advice.outlook),
        "turning": turning_as_json(turned),
        "recommendation": _recommendation(comparison, advice),
    }


def _rate(rate: RateUsed) -> dict[str, Any]:
    return {
        "currency": rate.currency,
        "rate": rate.written,
        "on": rate.on.isoformat(),
        "source": rate.source,
        "age_in_days": rate.age_in_days,
    }


def _effect(effect: Effect) -> dict[str, Any]:
    return {
        "quote": effect.offer.name,
        "cause": effect.cause.value,
        "wanted": effect.wanted,
        "bought": effect.bought,
        "surplus": effect.surplus,
        "money": amount(effect.money),
    }


def _offer(comparison: Comparison, offer: Offer) -> dict[str, Any]:
    cost = comparison.costs.get(offer.name)
    first = offer.arrival.first_parts
    return {
        "quote": offer.name,
        "number": offer.quote,
        "supplier": offer.supplier,
        "process": offer.process.value,
        "holds": offer.holds,
        "standing": offer.standing.value,
        "why": offer.why or None,
        "first_parts": first.isoformat() if first else None,
        "one_off": amount(cost.one_off) if cost else None,
        "landed_each": amount(cost.each) if cost else None,
        "total": amount(cost.total) if cost else None,
        "bought": cost.bought if cost else None,
        "lines": [_line(line) for line in cost.lines] if cost else [],
        "gaps": [
            {"what": gap.what, "blocks": gap.blocks, "place": str(gap.place)}
            for gap in offer.bill.gaps
        ],
        "place": str(offer.place),
    }


def _line(total: LineTotal) -> dict[str, Any]:
    return {
        "kind": total.line.kind.value,
        "what": total.line.what,
        "amount": amount(total.amount),
        "per": total.line.per,
        "count": amount(total.count),
        "total": amount(total.total),
        "rule": total.line.rule,
        "place": str(total.line.place),
        "written": total.line.written,
    }


def _cost(cost: CostAt | None, route: Route) -> dict[str, Any]:
    return {
        "route": [offer.name for offer in route.offers],
        "bridge": route.bridge,
        "total": amount(cost.total) if cost else None,
        "committed": amount(cost.committed) if cost else None,
        "orders": [list(leg.orders.sizes) for leg in cost.legs] if cost else [],
    }


def _cheapest(envelope: Envelope) -> list[dict[str, Any]]:
    """Spans in order; the last one has no end where the same route stays cheapest beyond."""
    found = []
    for span in envelope.spans:
        stays = span.last == envelope.reach and span.route is envelope.beyond
        found.append(
            {"from": span.first, "to": None if stays else span.last, "quote": span.route.name}
        )
    return found


def _break_even(found: BreakEven, comparison: Comparison) -> dict[str, Any]:
    parity = found.parity
    demand = comparison.needs.demand
    return {
        "untooled": found.untooled.name,
        "tooled": found.tooled.name,
        "parity": None
        if parity is None
        else f"{parity.numerator}/{parity.denominator}"
        if parity.denominator != 1
        else str(parity.numerator),
        "parity_years": amount(demand.months_for(parity) / 12) if parity is not None else None,
        "first_cheaper": found.first_cheaper,
        "first_cheaper_years": _years(found.first_cheaper, comparison),
        "up_to": found.up_to,
        "crossings": [
            {"at": each.at, "cheaper": "tooled" if each.tooled_cheaper else "untooled"}
            for each in found.crossings
        ],
    }


def _years(good: int | None, comparison: Comparison) -> str | None:
    """Years at the likely demand until so many bought parts are used, after those on hand."""
    if good is None:
        return None
    return amount(comparison.needs.demand.months_for(good + comparison.needs.on_hand) / 12)


def _recommendation(comparison: Comparison, advice: Advice) -> dict[str, Any]:
    best, runner_up = advice.cost, advice.runner_up
    return {
        "outcome": advice.outcome.value,
        "route": [offer.name for offer in advice.route.offers] if advice.route else [],
        "bridge": advice.route.bridge if advice.route else None,
        "total": amount(best.total) if best else None,
        "present_cost": amount(advice.present(best)) if best and advice.plan else None,
        "paid": amount(advice.paid(best)) if best and advice.plan else None,
        "reasons": list(reasons_for(comparison, advice)),
        "runner_up": runner_up.route.name if runner_up else None,
        "runner_up_costs_more": amount(advice.lead),
        "ties": [cost.route.name for cost in advice.ties],
        "assumed": [each.text for each in advice.assumptions],
        "questions": [
            {"to": each.to, "quote": each.offer, "text": each.text, "blocks": each.blocks}
            for each in advice.questions
        ],
        "cautions": list(advice.cautions),
    }


def problem_as_json(problem: Problem) -> dict[str, Any]:
    return {
        "code": problem.code,
        "severity": problem.severity.value,
        "place": str(problem.place),
        "message": problem.message,
        "happens": problem.happens,
        "remedy": problem.remedy,
    }
