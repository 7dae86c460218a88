"""An outlook as JSON values: amounts and shares as decimal strings, days as ISO 8601."""

from __future__ import annotations

from typing import Any

from quotegen.judge.futures.outlook import Outlook, RouteOutlook
from quotegen.judge.futures.trigger import BreakEvenRule, Rule, Trigger
from quotegen.report.json_values import amount, day


def outlook_as_json(outlook: Outlook | None) -> dict[str, Any] | None:
    """All routes over the same futures; null where the demand is certain."""
    if outlook is None:
        return None
    return {
        "futures": outlook.futures,
        "months": outlook.months,
        "least_expected": outlook.least_expected.name,
        "least_regret": outlook.least_regret.name,
        "routes": {name: _route(each) for name, each in outlook.routes.items()},
        "trigger": _trigger(outlook.trigger),
        "staged": _route(outlook.staged) if outlook.staged is not None else None,
    }


def _route(route: RouteOutlook) -> dict[str, Any]:
    return {
        "mean": amount(route.mean),
        "one_in_ten_below": amount(route.low),
        "nine_in_ten_below": amount(route.high),
        "cheapest": amount(route.cheapest),
        "expected_regret": amount(route.regret),
        "regret_one_in_100_above": amount(route.worst),
        "pieces_late": amount(route.late),
        "runs_short": amount(route.runs_short),
        "rounded_to": {
            "mean": route.steps.mean,
            "low_and_high": route.steps.tails,
            "regret": route.steps.regret,
            "worst_regret": route.steps.worst,
        },
    }


def _trigger(found: Trigger | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "without_tool": found.plain,
        "with_tool": found.tooled,
        "tool": found.tool,
        "at_once": amount(found.now),
        "never": amount(found.never),
        "best_policy": amount(found.best),
        "rule": _rule(found.rule),
        "waiting_costs": amount(found.dearer),
        "waiting_saves": amount(found.kept),
        "fewest_sold": [{"on": on.isoformat(), "pieces": least} for on, least in found.least],
        "break_even": _break_even(found.break_even),
    }


def _rule(rule: Rule | None) -> dict[str, Any] | None:
    if rule is None:
        return None
    return {
        "pieces": rule.count,
        "from": day(rule.first),
        "until": day(rule.last),
        "mean": amount(rule.mean),
        "ordered": amount(rule.ordered),
    }


def _break_even(rule: BreakEvenRule | None) -> dict[str, Any] | None:
    if rule is None:
        return None
    return {
        "pieces": rule.count,
        "break_even": f"{rule.break_even.numerator}/{rule.break_even.denominator}",
        "saved_each": amount(rule.saved),
        "paid_first": amount(rule.paid),
        "needed_meanwhile": rule.needed,
        "lot": rule.lot,
        "bound": f"{rule.bound.numerator}/{rule.bound.denominator}",
    }
