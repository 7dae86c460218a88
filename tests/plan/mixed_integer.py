"""The planning problem as a mixed-integer model for HiGHS, through scipy: another way to solve it.

It holds several sources, runs, things paid once, stock on hand, one value of stock for all, and
pieces that come late. It knows neither covers nor shelf nor lost sales, and no thing whose cost
depends on the source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from quotegen.plan.problem import Placed, Problem, Run


@dataclass(kw_only=True)
class _Model:
    """Columns are added one by one; a row is a map from column to number, with its limits."""

    costs: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    rows: list[tuple[dict[int, float], float, float]] = field(default_factory=list)

    def column(self, cost: float, most: float, *, whole: bool) -> int:
        self.costs.append(cost)
        self.most.append(most)
        self.whole.append(int(whole))
        return len(self.costs) - 1

    def row(self, numbers: dict[int, float], low: float, high: float) -> None:
        self.rows.append((numbers, low, high))

    def solve(self, seconds: float) -> np.ndarray | None:
        cells = [(row, *cell) for row, (each, *_) in enumerate(self.rows) for cell in each.items()]
        rows, columns, numbers = zip(*cells, strict=True)
        shape = (len(self.rows), len(self.costs))
        matrix = coo_array((numbers, (rows, columns)), shape=shape).tocsr()
        low, high = [each[1] for each in self.rows], [each[2] for each in self.rows]
        found = milp(
            self.costs,
            integrality=self.whole,
            bounds=Bounds(np.zeros(len(self.most)), self.most),
            constraints=LinearConstraint(matrix, low, high),
            options={"time_limit": seconds, "mip_rel_gap": 0},
        )
        return np.asarray(found.x) if found.status == 0 else None


def by_highs(problem: Problem, seconds: float = 60) -> tuple[Placed, ...] | None:
    """The orders of the best plan, None where it was not proven in time.

    Costs are handed over divided by 1,000, so that the solver's tolerances fit them.
    """
    (waits,) = {each.waits for source in problem.sources for each in source.arriving.values()}
    model = _Model()
    orders = _orders(problem, model, waits)
    _once(problem, model, orders)
    _stock(problem, model, orders, waits)
    answer = model.solve(seconds)
    if answer is None:
        return None
    return tuple(
        Placed(month, name, run.pieces * round(answer[on]) + run.pieces_step * round(answer[more]))
        for (month, name, _), columns in orders.items()
        for run, on, more in columns
        if round(answer[on])
    )


Orders = dict[tuple[int, str, int], list[tuple[Run, int, int]]]


def _orders(problem: Problem, model: _Model, waits: int) -> Orders:
    """For each run: whether it is used, and by how many steps."""
    found: Orders = {}
    for place, source in enumerate(problem.sources):
        for month, arriving in source.arriving.items():
            needed = sum(problem.demand[month:]) + _most_late(problem, month)
            columns = [_run(model, run, needed) for run in arriving.runs]
            found[month, source.name, place] = columns
            model.row({on: 1 for _, on, _ in columns}, 0, 1)
            salvage = arriving.left - waits * (len(problem.demand) - month)
            if salvage:
                raise ValueError("what is left over has to wait like the rest")
    return found


def _most_late(problem: Problem, month: int) -> int:
    return sum(problem.demand[:month]) if problem.late is not None else 0


def _run(model: _Model, run: Run, needed: int) -> tuple[Run, int, int]:
    steps = max(0, -(-(needed - run.good) // run.good_step)) if run.good_step else 0
    most = min(run.count - 1, steps)
    on = model.column(run.cost / 1000, 1, whole=True)
    more = model.column(run.cost_step / 1000, most, whole=True)
    model.row({more: 1, on: -most}, -math.inf, 0)
    return run, on, more


def _once(problem: Problem, model: _Model, orders: Orders) -> None:
    """A thing is bought in some month at its price then; orders need it bought before or then."""
    costs = {thing: cost for source in problem.sources for thing, cost in source.once.items()}
    for thing in sorted(set(costs) - problem.owned):
        bought = [model.column(cost / 1000, 1, whole=True) for cost in costs[thing]]
        for (month, _, place), columns in orders.items():
            if thing in problem.sources[place].once:
                early = month < problem.sources[place].first
                there = bought[:0] if early else bought[: month + 1]
                needs = {on: 1.0 for _, on, _ in columns}
                model.row(needs | dict.fromkeys(there, -1.0), -math.inf, 0)


def _stock(problem: Problem, model: _Model, orders: Orders, waits: int) -> None:
    """Stock and what is late after each month: each piece in it costs for the month."""
    before: dict[int, float] = {}
    opening, last = problem.opening, len(problem.demand) - 1
    for month, wanted in enumerate(problem.demand):
        after = {model.column(waits / 1000, math.inf, whole=False): -1.0}
        if problem.late is not None and month < last:
            after[model.column(problem.late.cost[month] / 1000, math.inf, whole=False)] = 1.0
        row = before | after
        for (arrives, _, _), columns in orders.items():
            if arrives == month:
                for run, on, more in columns:
                    row |= {on: float(run.good), more: float(run.good_step)}
        model.row(row, wanted - opening, wanted - opening)
        before, opening = {column: -number for column, number in after.items()}, 0
