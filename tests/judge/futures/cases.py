"""A workshop with a mill and two foundries, and how its routes answer to a demand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from quotegen.judge.advice import plans_of
from quotegen.judge.futures.answer import Answer, answer_of, stalls_of
from quotegen.judge.futures.knowledge import Knowledge
from quotegen.judge.futures.law import law_of
from quotegen.plan.plan import Plan
from tests.folders import Result, a_part, a_quote, a_tool, a_workshop, an_item, forms, result_of

SET_UP = {"what": "set-up", "amount": "60 EUR", "per": "order"}
MILL = a_quote("mill-1", an_item("20 EUR per 1", charges=[SET_UP]))
DIE = a_tool("900 EUR", takes="60 days", sample_takes="10 days")
FOUNDRY = a_quote("foss-1", an_item("5 EUR per 1", tools=[DIE], multiple="12"))
SHEETS = a_quote("plate-1", an_item({1: "18 EUR per 1", 50: "16 EUR per 1"}, minimum="20"))
RANGE = {"low": "60", "likely": "120", "high": "240"}
SURE = {"low": "120", "likely": "120", "high": "120"}
MONEY = {"cost_of_capital": "7 % a year", "storage": "12 % a year"}


def found(*quotes: Any, workshop: Any = None, **part: Any) -> Result:
    """Two years of planning."""
    form = a_part(**{"demand": RANGE, "needed_by": "2027-03-01"} | part)
    shop = a_workshop(**{"planning_months": "24", **MONEY} | (workshop or {}))
    return result_of(forms(*quotes, workshop=shop, part=form))


@dataclass(frozen=True, kw_only=True)
class Answering:
    """One route of a result, its plan and how it answers."""

    plan: Plan
    knowledge: Knowledge
    answer: Answer


def answering(result: Result, name: str, *, scatters: bool, most_sold: int = 2000) -> Answering:
    plan = plans_of(result.comparison, result.planning)[name]
    law = law_of(result.comparison.part.record.demand)
    demand = plan.setting.horizon.demand
    knowledge = Knowledge(law=law, demand=demand, most_sold=most_sold)
    stalls = stalls_of(plan.offers, plan.setting, law.most)
    answer = answer_of(result.comparison, plan, stalls, knowledge, scatters=scatters)
    return Answering(plan=plan, knowledge=knowledge, answer=answer)
