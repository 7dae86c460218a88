"""When the first parts stand on our shelf (R17). Monday 2 November 2026 is the day."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from quotegen.basics.days import ONE_DAY, WorkCalendar, next_working_day
from quotegen.costing.leadtime import Arrival, arrival_from, latest_order, stretches_of
from tests.folders import (
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_way_from,
    a_workshop,
    an_item,
    forms,
    result_of,
)


def arrival(
    workshop: Any = None, supplier: Any = None, way: Any = None, part: Any = None, **item: Any
) -> Arrival:
    country = (supplier or {}).get("country", "NL")
    content = forms(
        a_quote("oak-1", an_item("10 EUR per 1", **item)),
        workshop=a_workshop(delivery=[a_way_from(country, **(way or {}))], **(workshop or {})),
        suppliers={"oak": a_supplier(**(supplier or {}))},
        part=part or a_part(),
    )
    return result_of(content).offer.arrival


def stages(found: Arrival) -> list[str]:
    return [stage.what for stage in found.stages]


def test_r17_ten_working_days_from_a_monday_are_two_weeks() -> None:
    found = arrival()
    assert str(found.ordered) == "2026-11-02"
    assert str(found.first_parts) == "2026-11-16"


def test_r17_an_order_goes_out_when_the_plan_begins_on_a_working_day() -> None:
    """The plan begins on a Saturday: the order goes out on Monday 9 November."""
    assert str(arrival({"planning_start": "2026-11-07"}).ordered) == "2026-11-09"
    assert str(arrival({"planning_start": "2025-01-01"}).ordered) == "2026-11-02"


def test_r17_the_stages_follow_each_other_in_the_order_of_the_work() -> None:
    found = arrival(
        {
            "sample_approval": "5 working days",
            "inspection_takes": "1 working day",
            "completion": [
                {
                    "operation": "deburring",
                    "price": "1 EUR per 1",
                    "takes": "2 working days",
                    "source": "t",
                }
            ],
        },
        {"country": "GB"},
        {"takes": "4 working days", "clearance takes": "2 working days"},
        a_part(operations=["deburring"]),
        tools=[a_tool("2000 EUR", takes="6 weeks", sample_takes="5 working days")],
    )
    assert stages(found) == [
        "wax die",
        "samples, round 1",
        "our approval",
        "samples, reworked",
        "our approval",
        "run",
        "carriage",
        "clearance",
        "deburring",
        "inspection",
    ]
    assert [stage.is_tool for stage in found.stages] == [True] * 5 + [False] * 5
    assert all(a.ends == b.begins for a, b in zip(found.stages, found.stages[1:], strict=False))
    assert found.first_parts == found.stages[-1].ends


def test_r17_one_rework_of_the_samples_is_counted_beside_the_stated_rounds() -> None:
    tool = a_tool("2000 EUR", sample_rounds="2", sample_takes="5 working days")
    assert stages(arrival(tools=[tool]))[1:4] == [
        "samples, round 1",
        "samples, round 2",
        "samples, reworked",
    ]


def test_r17_a_tool_that_is_ours_takes_no_time() -> None:
    tool = a_tool("2000 EUR", takes="6 weeks")
    assert stages(arrival({"tools_owned": ["die"]}, tools=[tool])) == ["run"]


def test_r17_inside_the_territory_nothing_waits_for_clearance() -> None:
    way = {"takes": "4 working days", "clearance takes": "2 working days"}
    assert stages(arrival(None, {"country": "FR"}, way)) == ["run", "carriage"]


def test_r17_holidays_and_closures_of_those_who_work_are_left_out() -> None:
    """Ten working days that begin on 14 December: Christmas in the Netherlands is the 25th
    and the 26th, a Saturday; New Year's Day is a Friday. Closed from the 28th to the 31st."""
    plan = {"planning_start": "2026-12-14"}
    assert str(arrival(plan).first_parts) == "2026-12-29"
    closed = [{"first": "2026-12-28", "last": "2026-12-31"}]
    assert str(arrival(plan, {"closed": closed}).first_parts) == "2027-01-05"


@pytest.mark.parametrize(
    ("item", "unknown"),
    [
        ({"lead_time": "not quoted"}, ("run",)),
        ({"tools": [a_tool("2000 EUR", takes="not quoted")]}, ("wax die",)),
        ({"lead_time": "not applicable"}, ()),
    ],
)
def test_r17_a_time_that_nobody_stated_leaves_the_day_open(
    item: dict[str, Any], unknown: tuple[str, ...]
) -> None:
    found = arrival(None, None, None, None, **item)
    assert found.unknown == unknown
    assert (found.first_parts is None) is bool(unknown)


def test_r17_where_the_quote_has_no_lead_time_the_suppliers_usual_one_is_used() -> None:
    supplier = {"usual_lead_time": "5 working days"}
    assert str(arrival(None, supplier, lead_time="not quoted").first_parts) == "2026-11-09"
    assert str(arrival(None, supplier).first_parts) == "2026-11-16"


def test_r17_stretch_upon_stretch_beyond_the_calendar_leaves_the_day_unknown() -> None:
    """A thousand tools of ten years each: no calendar here goes beyond the year 9999."""
    tools = [a_tool("1 EUR", tool=f"die {number}", takes="520 weeks") for number in range(1000)]
    found = arrival(tools=tools)
    assert found.first_parts is None
    assert found.unknown


WAYS = {
    "plain": {},
    "tool": {"tools": [a_tool("1 EUR", takes="6 weeks", sample_takes="10 working days")]},
    "months": {"lead_time": "3 months"},
    "weeks": {"lead_time": "5 weeks", "tools": [a_tool("1 EUR", takes="1 month")]},
}


@pytest.mark.parametrize("name", WAYS)
@pytest.mark.parametrize("with_tools", [True, False])
def test_r17_the_latest_order_arrives_in_time_and_a_day_later_does_not(
    name: str, with_tools: bool
) -> None:
    """For each day of half a year; between two working days of ours nothing is ordered."""
    item = an_item("10 EUR per 1", **WAYS[name])
    supplier = a_supplier(country="DE", closed=[{"first": "2027-04-01", "last": "2027-04-14"}])
    workshop = a_workshop(
        delivery=[a_way_from("DE", takes="3 working days")],
        sample_approval="4 working days",
        inspection_takes="2 working days",
    )
    content = forms(a_quote("oak-1", item), workshop=workshop, suppliers={"oak": supplier})
    case = result_of(content).offer.case
    ours, stretches = WorkCalendar(("NL",)), stretches_of(case, with_tools=with_tools)
    for number in range(180):
        needed = datetime.date(2027, 3, 1) + number * ONE_DAY
        last = latest_order(stretches, ours, needed)
        assert last is not None
        assert ours.works_on(last)
        assert arrival_from(case, last, with_tools).reached <= needed
        after = next_working_day(last + ONE_DAY, ours)
        assert arrival_from(case, after, with_tools).reached > needed


def test_r17_a_later_order_waits_for_no_tool() -> None:
    case = result_of(forms(a_quote("oak-1", an_item("1 EUR per 1", **WAYS["tool"])))).offer.case
    first = arrival_from(case, datetime.date(2026, 11, 2))
    later = arrival_from(case, datetime.date(2026, 11, 2), with_tools=False)
    assert [stage.what for stage in later.stages] == ["run"]
    assert later.reached < first.reached


def test_r17_spans_that_nobody_stated_are_left_out_of_the_day_that_is_reached() -> None:
    found = arrival(lead_time=None)
    assert (found.first_parts, found.unknown) == (None, ("run",))
    assert found.reached == found.ordered
