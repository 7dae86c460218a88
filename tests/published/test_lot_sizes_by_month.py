"""Lot sizes over time: published worked examples, as folders of a workshop, by the public path.

A piece's storage is a share of its landed cost in a lot, so that each example's holding cost is
met by a price and a lot: with storage of 12 % a year, a landed cost of 100 holds for 1 a month.
Time costs nothing in these examples, and the goods themselves cost the same by every plan.
"""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from tests.folders import Forms, a_part, a_quote, a_workshop, an_item, forms, printed_for


def _folder(demand: list[int], set_up: int, price: int, lot: int) -> Forms:
    """The landed cost of a piece in a lot is price + set_up / lot."""
    months = [*demand, *[0] * (12 - len(demand))]
    total = str(sum(demand))
    charge = {"what": "set-up", "amount": f"{set_up} EUR", "per": "order"}
    return forms(
        a_quote("mill-1", an_item(f"{price} EUR per 1", charges=[charge])),
        workshop=a_workshop(storage="12 % a year", cost_of_capital="0 % a year"),
        part=a_part(
            demand={
                "low": total,
                "likely": total,
                "high": total,
                "by month": [str(each) for each in months],
            },
            lot=str(lot),
            needed_by="2027-03-01",
        ),
    )


def _plan(content: Forms, to: Path) -> Any:
    return json.loads(json.dumps(printed_for(content, to)))["plan"]


def _orders(plan: Any, months: int) -> list[int]:
    """What arrives in each month; the plan's stock begins with the month of need."""
    arriving = [row["arriving"] for row in plan["stock"]]
    return [int(each) for each in arriving[:months]]


@pytest.mark.parametrize(
    ("demand", "set_up", "price", "lot", "cost", "orders"),
    [
        ([52, 87, 23, 56], 75, 99, 75, 248, [52, 110, 0, 56]),
        ([90, 120, 80, 70], 500, 195, 100, 1380, [210, 0, 150, 0]),
        ([18, 30, 42, 5, 20], 80, 198, 40, 310, None),
    ],
    ids=["LS-04", "LS-05", "LS-03"],
)
def test_the_plan_orders_what_the_worked_example_orders(
    demand: list[int],
    set_up: int,
    price: int,
    lot: int,
    cost: int,
    orders: list[int] | None,
    tmp_path: Path,
) -> None:
    """LS-04: Nahmias, Production and Operations Analysis, Wagner-Whitin example, K = 75, h = 1
    (attribution from memory). LS-05: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd
    ed., Example 3.9, K = 500, h = 2. LS-03: Nahmias, Silver-Meal example, K = 80, h = 2, whose
    optimum of 310 ties between two plans (attribution from memory)."""
    plan = _plan(_folder(demand, set_up, price, lot), tmp_path)
    assert Fraction(plan["present_cost"]) - price * sum(demand) == cost
    assert plan["proven"] is True
    if orders is not None:
        assert _orders(plan, len(demand)) == orders
