"""The plan of a part, ready to print: orders, stock and money over time."""

from __future__ import annotations

from dataclasses import dataclass

from quotegen.basics.days import in_words
from quotegen.basics.printed import counted, per_cent, printed, round_money
from quotegen.judge.studied import PartStudy
from quotegen.plan.finding import OverLimit
from quotegen.plan.plan import Plan
from quotegen.report.views.names import currency_of
from quotegen.report.views.plan_charts import money_chart, stock_chart
from quotegen.report.views.plan_tables import (
    limits_table,
    lines_table,
    orders_table,
    other_months_table,
    routes_table,
    tools_table,
)
from quotegen.report.views.plan_words import assumed_by, finding_of, steps_of, told_of_plan
from quotegen.report.views.shape import Chart, Figure, Sourced, Table

RULES = frozenset({"R9", "R12", "R13", "R15", "R17", "R19"})


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanView:
    """finding says why there is no plan, or what is wrong with this one; empty for nothing.

    Where there is no plan, only finding and routes say something.
    """

    finding: str
    steps: tuple[str, ...] = ()
    figures: tuple[Figure, ...] = ()
    told: tuple[str, ...] = ()
    orders: Table | None = None
    tools: Table | None = None
    stock: Chart | None = None
    money: Chart | None = None
    routes: Table | None = None
    lines: Table | None = None
    limits: Table | None = None
    others: Table | None = None
    assumed: tuple[Sourced, ...] = ()

    @property
    def rules(self) -> frozenset[str]:
        """The rules that the section names."""
        lines = self.lines.rows if self.lines is not None else ()
        return RULES | {each.rule for each in self.assumed} | {x.cells[1].text for x in lines}


def plan_view(study: PartStudy) -> PlanView | None:
    """None where nothing can be planned; where no plan keeps every limit, the one without them."""
    planning, comparison = study.planning, study.comparison
    if planning is None:
        return None
    currency = currency_of(comparison)
    plan = planning.best.free if isinstance(planning.best, OverLimit) else planning.plan
    finding, routes = finding_of(planning, currency), routes_table(comparison, planning, plan)
    if plan is None:
        return PlanView(finding=finding, routes=routes)
    return PlanView(
        finding=finding,
        steps=steps_of(plan),
        figures=_figures(plan, currency),
        told=told_of_plan(planning, plan, currency),
        orders=orders_table(plan, currency),
        tools=tools_table(plan),
        stock=stock_chart(plan),
        money=money_chart(planning, plan, currency),
        routes=routes,
        lines=lines_table(plan, currency),
        limits=limits_table(planning, currency),
        others=other_months_table(planning, plan, currency),
        assumed=tuple(assumed_by(study, planning, plan)),
    )


def _figures(plan: Plan, currency: str) -> tuple[Figure, ...]:
    setting = plan.setting
    first, most = plan.peak
    on_tools = round_money(plan.on_tools, currency)
    tools = f"; {on_tools} are paid for tools" if plan.on_tools else ""
    each = f", {printed(plan.paid / plan.bought, currency)} each" if plan.bought else ""
    return (
        Figure(
            label="Present cost",
            value=round_money(plan.present, currency),
            note=f"on {in_words(setting.ordered)}, at {per_cent(setting.discount.yearly)} a year; "
            "with storage and what a change of design may cost",
        ),
        Figure(
            label="Paid in all",
            value=round_money(plan.paid, currency),
            note=f"for {counted(plan.bought, 'good part')}{each}",
        ),
        Figure(
            label="Most tied up in parts",
            value=round_money(most, currency),
            note=f"on {in_words(first)}{tools}",
        ),
    )
