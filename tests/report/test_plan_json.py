"""What `compare --json` tells about a plan, by hand and as a promise to scripts."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from quotegen.report.plan_json import plan_as_json
from tests.folders import a_part, a_quote, an_item, forms
from tests.report.plans import die_or_none, studied, two_orders


def told(content: Any) -> dict[str, Any]:
    found = plan_as_json(studied(content).planning)
    assert found is not None
    return found


def test_a_plan_is_told_with_its_cost_and_its_proof() -> None:
    plan = told(two_orders())
    keys = ("no_plan", "present_cost", "bound", "proven", "paid", "bought", "left_over", "covered")
    assert [plan[key] for key in keys] == [
        None, "1291.5", "1291.5", True, "1260", 120, 0, True,
    ]  # fmt: skip
    assert [plan[key] for key in ("first_day", "needed_from", "ends", "months")] == [
        "2026-11-02",
        "2027-01-01",
        "2028-01-01",
        12,
    ]


def test_every_order_has_its_days_its_pieces_and_its_money() -> None:
    first, second = told(two_orders())["orders"]
    assert first == {
        "quote": "ash/ash-1",
        "order_by": "2026-12-16",
        "tools_order_by": None,
        "arrives": "2026-12-31",
        "pieces": 60,
        "good": 60,
        "left_before": 0,
        "left_wanted": 0,
        "may_run_out": "0",
        "landed_each": "10.5",
        "total": "630",
        "price_rise": "1",
        "lasts_until": "2027-07-01",
    }
    assert (second["order_by"], second["lasts_until"]) == ("2027-06-17", None)


def test_stock_payments_and_lines_say_what_the_pages_say() -> None:
    plan = told(two_orders())
    assert plan["stock"][6] == {
        "from": "2027-07-01",
        "before": 0,
        "arriving": 60,
        "used": 10,
        "after": 50,
        "late": 0,
    }
    paid = {each["month"]: each["pieces"] for each in plan["payments"] if each["pieces"] != "0"}
    assert paid == {"2026-12": "630", "2027-07": "630"}
    assert sum(Fraction(each["amount"]) for each in plan["lines"]) == Fraction("1291.5")


def test_tools_limits_habits_other_months_and_routes_are_told() -> None:
    plan = told(die_or_none(workshop={"tooling_budget": "900 EUR"}))
    assert plan["tools"] == [
        {
            "tool": "die",
            "what": "wax die",
            "order_by": "2026-12-16",
            "pieces": 200,
            "life": None,
            "left": None,
        }
    ]
    assert [(each["what"], each["kept_anyway"], each["costs"]) for each in plan["limits"]] == [
        ("tools in a year", True, "0")
    ]
    assert [each["months"] for each in plan["other_months"]] == [6, 24]
    assert plan["other_months"][0]["offers"] == ["mill/mill-2"]
    costs = {name: each["present_cost"] for name, each in plan["routes"].items()}
    assert costs == {"foss/foss-7": "1480", "mill/mill-2": "2000"}
    assert plan["next_order"]["quote"] == "foss/foss-7"
    assert plan["next_order"]["tools"] is True
    assert plan["habits"][0]["saves"] == "0"


def test_where_there_is_no_plan_it_is_said_why() -> None:
    early = told(two_orders(needed_by="2026-11-03"))
    assert early["no_plan"] == {
        "why": "time",
        "month": "2026-11-03",
        "lacking": 10,
        "at_least": None,
    }
    assert (early["present_cost"], early["orders"], early["earliest"]) == (None, [], "2026-11-16")
    limited = told(two_orders(money_tied_up_at_most="1 EUR"))["no_plan"]
    assert (limited["why"], limited["at_least"]) == ("limits", "1291.5")
    many = forms(a_quote("ash-1", an_item("10 EUR per 1")), part=a_part(30_000))
    assert told(many)["no_plan"]["why"] == "too long"


def test_no_planning_is_null() -> None:
    assert plan_as_json(None) is None


def _values(value: Any) -> Iterator[Any]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for each in value:
            yield from _values(each)
    else:
        yield value


def test_nothing_is_a_float_and_nothing_is_a_day_that_json_does_not_know() -> None:
    for content in (two_orders(), die_or_none(), two_orders(needed_by="2026-11-03")):
        kinds = {type(each) for each in _values(told(content))}
        assert kinds <= {str, int, bool, type(None)}
        assert datetime.date not in kinds
