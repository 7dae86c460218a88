"""A plan as JSON values: days as ISO 8601, amounts as decimal strings, null for what is not."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from quotegen.basics.days import months_after
from quotegen.plan.finding import Found, OverLimit, TooLong
from quotegen.plan.plan import Group, Plan, PlannedOrder
from quotegen.plan.planning import Planning
from quotegen.plan.sources import Borne, Setting
from quotegen.report.json_values import amount, day


def plan_as_json(planning: Planning | None) -> dict[str, Any] | None:
    """The best plan in full, all others in short; where there is none, `no_plan` says why."""
    if planning is None:
        return None
    setting = planning.setting
    return {
        "first_day": setting.ordered.isoformat(),
        "needed_from": setting.horizon.begins.isoformat(),
        "ends": setting.horizon.ends.isoformat(),
        "months": setting.horizon.months,
        **_in_short(planning.best, setting),
        **_in_full(planning.plan),
        "tools_shared": [_borne(each) for each in planning.borne],
        "next_order": _next_order(planning),
        "earliest": day(planning.earliest),
        "limits": [
            {
                "what": limit.what,
                "written": limit.written,
                "kept_anyway": limit.kept,
                "present_cost_without": amount(limit.without.present),
                "present_cost_with": amount(limit.within.present) if limit.within else None,
                "costs": amount(limit.costs),
                "unproven": amount(limit.unproven),
            }
            for limit in planning.limits
        ],
        "habits": [
            {
                "what": habit.what,
                "present_cost": amount(habit.plan.present),
                "paid": amount(habit.plan.paid),
                "saves": amount(habit.saves),
            }
            for habit in planning.habits
        ],
        "other_months": [
            {"months": each.months, **_in_short(each.found, setting)} for each in planning.others
        ],
        "routes": {name: _in_short(found, setting) for name, found in planning.routes.items()},
    }


def _borne(borne: Borne) -> dict[str, Any]:
    return {
        "tool": borne.tool,
        "share": amount(borne.share),
        "parts": list(borne.of_parts),
        "ready": day(borne.ready),
        "unproven": amount(borne.unproven),
    }


def _in_short(found: Found, setting: Setting) -> dict[str, Any]:
    plan = found if isinstance(found, Plan) else None
    return {
        "no_plan": _why_not(found, setting),
        "offers": [offer.name for offer in plan.offers] if plan else [],
        "present_cost": amount(plan.present) if plan else None,
        "bound": amount(plan.bound) if plan else None,
        "proven": plan.solution.is_proven if plan else None,
        "paid": amount(plan.paid) if plan else None,
        "paid_before_first_parts": amount(plan.before_first) if plan else None,
        "paid_for_tools": amount(plan.on_tools) if plan else None,
        "most_tied_up": amount(plan.peak[1]) if plan else None,
        "most_tied_up_on": day(plan.peak[0]) if plan else None,
        "bought": plan.bought if plan else None,
        "left_over": plan.surplus if plan else None,
        "covered": plan.is_covered if plan else None,
    }


def _why_not(found: Found, setting: Setting) -> dict[str, Any] | None:
    if isinstance(found, Plan):
        return None
    why: dict[str, Any] = {"why": "limits", "month": None, "lacking": None, "at_least": None}
    if isinstance(found, OverLimit):
        return why | {"at_least": amount(found.free.bound)}
    if isinstance(found, TooLong):
        return why | {"why": "too long", "at_least": amount(found.at_least)}
    month = months_after(setting.horizon.begins, found.month) if found.pieces else None
    return why | {"why": found.why.value, "month": day(month), "lacking": found.pieces}


def _in_full(plan: Plan | None) -> dict[str, Any]:
    if plan is None:
        return {"orders": [], "tools": [], "stock": [], "payments": [], "lines": []}
    return {
        "orders": [_order(order) for order in plan.orders],
        "tools": [
            {
                "tool": tool.tool,
                "what": tool.what,
                "order_by": day(tool.ordered),
                "pieces": tool.pieces,
                "life": tool.life,
                "left": tool.left,
            }
            for tool in plan.tools
        ],
        "stock": [
            {
                "from": month.starts.isoformat(),
                "before": month.before,
                "arriving": month.arriving,
                "used": month.used,
                "after": month.after,
                "late": month.late,
            }
            for month in plan.months
        ],
        "payments": [
            {
                "month": month.strftime("%Y-%m"),
                **{group.name.lower(): amount(paid.get(group)) or "0" for group in Group},
            }
            for month, paid in plan.by_month.items()
        ],
        "lines": [
            {"what": line.what, "rule": line.rule, "amount": amount(line.amount)}
            for line in plan.lines
        ],
    }


def _order(order: PlannedOrder) -> dict[str, Any]:
    return {
        "quote": order.offer.name,
        "order_by": order.ordered.isoformat(),
        "tools_order_by": day(order.tools_ordered),
        "arrives": order.arrives.isoformat(),
        "pieces": order.pieces,
        "good": order.good,
        "left_before": order.stock_before,
        "left_wanted": order.covers,
        "may_run_out": amount(Fraction(round(order.may_run_out * 10**4), 10**4)),
        "landed_each": amount(order.landed_each),
        "total": amount(order.total),
        "price_rise": amount(order.timing.rise),
        "lasts_until": day(order.lasts_until),
    }


def _next_order(planning: Planning) -> dict[str, Any] | None:
    found = planning.next_order
    if found is None:
        return None
    late = found.a_month_late
    return {
        "quote": found.order.offer.name,
        "order_by": found.day.isoformat(),
        "tools": found.of_tools,
        "pieces": found.order.pieces,
        "a_month_later_costs_more": amount(found.costs_more),
        "a_month_later": _why_not(late, planning.setting),
    }
