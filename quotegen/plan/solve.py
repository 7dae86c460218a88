"""The plan of least cost, proven."""

from __future__ import annotations

from dataclasses import replace

from quotegen.plan.counting import counting_orders, most_orders
from quotegen.plan.memory import remembering
from quotegen.plan.problem import Problem, Shortage, Solution
from quotegen.plan.recost import recost
from quotegen.plan.shortage import shortage_of
from quotegen.plan.sound import check, without_falls
from quotegen.plan.trace import trace
from quotegen.plan.values import values_of


def solve(problem: Problem) -> Solution | Shortage:
    """The orders of least cost, or why there are none.

    Among plans of equal cost it is one with the fewest orders; among these, month by month, the
    one without an order in it, then that with the source named first, then that with the
    smaller order. Where wear, commitments or a share change the plan, only the fewest orders are
    promised. The plan found is reckoned again by recost, and its bound says whether it is proven.

    Raises ValueError for a problem that cannot be meant (sound.check).
    """
    check(problem)
    problem = without_falls(problem)
    plain = replace(problem, wears=(), commitments=(), share=None)
    if problem.opening >= sum(problem.demand):
        return Solution(orders=(), cost=0, bound=0)
    values = values_of(counting_orders(plain))
    least = values.least(0, problem.opening, 0)
    if least >= values.never:
        return shortage_of(plain)
    orders = trace(values)
    cost = recost(plain, orders)
    if cost != least // most_orders(problem):
        raise RuntimeError(f"the plan costs {cost}, and was to cost {least}")
    if plain == problem:
        return Solution(orders=orders, cost=cost, bound=cost)
    return remembering(problem, values)
