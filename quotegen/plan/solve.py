"""The plan of least cost, proven."""

from __future__ import annotations

from dataclasses import replace

from quotegen.plan.counting import counting_orders, most_orders
from quotegen.plan.evenly import evenly
from quotegen.plan.memory import remembering
from quotegen.plan.problem import Placed, Problem, Shortage, Solution
from quotegen.plan.recost import recost
from quotegen.plan.shortage import shortage_of
from quotegen.plan.sound import check, without_falls
from quotegen.plan.trace import trace
from quotegen.plan.values import values_of
from quotegen.plan.windows import Scale


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
    orders = evenly(plain, most_orders(plain)) or _by_tables(plain)
    if orders is None:
        return shortage_of(plain)
    cost = recost(plain, orders)
    if plain == problem or _costs_no_more(problem, orders, cost):
        return Solution(orders=orders, cost=cost, bound=cost)
    return remembering(problem, values_of(counting_orders(plain)))


def _by_tables(plain: Problem) -> tuple[Placed, ...] | None:
    """The orders of least cost of a problem without terms that count the past; None if none do."""
    unit = most_orders(plain)
    values = values_of(plain, scale=Scale(times=unit, order=1))
    least = values.least(0, plain.opening, 0)
    if least >= values.never:
        return None
    orders, cost = trace(values), least // unit
    if recost(plain, orders) != cost:
        raise RuntimeError(f"the plan was to cost {cost}: {orders}")
    return orders


def _costs_no_more(problem: Problem, orders: tuple[Placed, ...], cost: int) -> bool:
    """Whether the plan keeps all terms, and pays no more with them than without."""
    try:
        return recost(problem, orders) == cost
    except ValueError:
        return False
