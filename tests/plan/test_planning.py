"""The plan of a part, from its forms: orders, days, stock, money, limits and what it is held to."""

from __future__ import annotations

import datetime
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from quotegen.judge.advice import Outcome
from quotegen.plan.finding import OverLimit, TooLong
from quotegen.plan.plan import Group, Plan, payback
from quotegen.plan.planning import Planning
from quotegen.plan.problem import UNITS, Shortage, Why
from quotegen.plan.recost import recost
from tests.folders import (
    Forms,
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

FLAT = {"low": "120", "likely": "120", "high": "120"}
KEPT = {"cost_of_capital": "0 % a year", "storage": "12 % a year"}


def _planning(*quotes: Any, workshop: Any = None, **part: Any) -> Planning:
    form = a_part(**{"demand": FLAT, "needed_by": "2027-03-01"} | part)
    content = forms(*quotes, workshop=a_workshop(**(workshop or {})), part=form)
    return _of(content)


def _of(content: Forms) -> Planning:
    found = result_of(content).planning
    assert found is not None
    return found


def _plan(*quotes: Any, workshop: Any = None, **part: Any) -> Plan:
    found = _planning(*quotes, workshop=workshop, **part).best
    assert isinstance(found, Plan)
    return found


def _sizes(plan: Plan) -> list[tuple[int, int]]:
    return [(order.month, order.pieces) for order in plan.orders]


SET_UP = {"what": "set-up", "amount": "60 EUR", "per": "order"}
MILL = a_quote("mill-1", an_item("20 EUR per 1", charges=[SET_UP]))
DIE = a_tool("900 EUR", takes="60 days", sample_takes="10 days")
FOUNDRY = a_quote("foss-1", an_item("5 EUR per 1", tools=[DIE], multiple="12"))


def test_orders_are_as_many_as_their_set_up_and_their_storage_make_worth_while() -> None:
    """A set-up of 60 against storage of 12 % a year on pieces of some 20: 0.2 a month each.

    Ten a month. An order that lasts k months stores 10 x 0.2 x (0 + 1 + ... + (k - 1)).
    """
    plan = _plan(MILL, workshop=KEPT, lot="120")
    value = plan.setting and float(plan.orders[0].offer.case.item.prices[0].from_) and 20.5
    each = value * 0.01

    def cost(k: int) -> float:
        count = 12 / k
        return count * (60 + 10 * each * k * (k - 1) / 2)

    best = min((cost(k), k) for k in (1, 2, 3, 4, 6, 12))[1]
    assert len(plan.orders) == 12 // best
    assert float(plan.present) == pytest.approx(2400 + cost(best))


def test_a_bridge_lasts_until_the_castings_come_and_the_die_is_ordered_in_time() -> None:
    plan = _plan(MILL, FOUNDRY, needed_by="2026-12-07")
    assert plan.name == "mill/mill-1 then foss/foss-1"
    mill, foundry = plan.orders[0], plan.orders[1]
    assert mill.month == 0
    assert foundry.tools_ordered is not None
    assert foundry.tools_ordered < foundry.ordered
    used = sum(month.used for month in plan.months[: foundry.month])
    assert mill.good == used
    assert foundry.arrives <= plan.setting.horizon.starts[foundry.month]
    assert plan.tools[0].ordered == foundry.tools_ordered


def test_r19_a_bridge_lasts_at_the_high_demand_as_well() -> None:
    demand = {"low": "60", "likely": "120", "high": "180"}
    plan = _plan(MILL, FOUNDRY, demand=demand, needed_by="2026-12-07")
    foundry = next(each for each in plan.orders if each.offer.supplier == "foss")
    assert foundry.covers > 0
    assert foundry.stock_before >= foundry.covers
    assert plan.is_covered


def test_where_the_cover_cannot_be_kept_the_chance_of_running_out_is_told() -> None:
    """What is on hand lasts until the only castings come at the likely demand, and no longer."""
    demand = {"low": "60", "likely": "120", "high": "240"}
    quote = a_quote("foss-1", an_item("5 EUR per 1", lead_time="140 days"))
    plan = _plan(quote, demand=demand, needed_by="2026-12-01", on_hand="45")
    assert not plan.is_covered
    assert 0 < plan.orders[0].may_run_out < 1


def test_a_shortage_says_which_month_how_many_and_which_day_would_do() -> None:
    found = _planning(FOUNDRY, needed_by="2026-12-01")
    assert isinstance(found.best, Shortage)
    assert (found.best.month, found.best.pieces, found.best.why) == (0, 10, Why.TIME)
    assert found.earliest is not None
    again = _planning(FOUNDRY, needed_by=found.earliest.isoformat())
    assert isinstance(again.best, Plan)


def test_pieces_may_come_late_where_each_late_month_has_a_price() -> None:
    quote = a_quote("mill-1", an_item("20 EUR per 1", lead_time="45 days"))
    assert isinstance(_planning(quote, needed_by="2026-12-01").best, Shortage)
    plan = _plan(quote, needed_by="2026-12-01", late_costs="2 EUR")
    assert [month.late for month in plan.months[:3]] == [10, 0, 0]
    assert plan.present == 120 * 20 + 10 * 2
    assert sum(month.used for month in plan.months) == 120


def test_pieces_that_are_lost_are_not_bought() -> None:
    """Ten are wanted in the first month, when nothing can be there; each that is lost costs 2."""
    quote = a_quote("mill-1", an_item("20 EUR per 1", lead_time="45 days"))
    part = {"needed_by": "2026-12-01", "late_costs": "2 EUR", "late_is_lost": "yes"}
    plan = _plan(quote, **part)
    assert plan.present == 12 * 10 * 2
    assert plan.orders == ()


def test_a_shelf_limits_what_is_ordered_at_once_and_its_cost_is_told() -> None:
    found = _planning(MILL, shelf_holds="25")
    plan = found.plan
    assert plan is not None
    assert max(month.before + month.arriving for month in plan.months) <= 25
    (limit,) = found.limits
    assert (limit.what, limit.written, limit.kept) == ("good parts on the shelf", "25", False)
    assert limit.costs == 60 * (len(plan.orders) - 1)


def test_one_supplier_brings_no_more_than_its_share() -> None:
    dear = a_quote("oak-1", an_item("30 EUR per 1"))
    found = _planning(MILL, dear, most_from_one_supplier="70 %")
    plan = found.plan
    assert plan is not None
    brought = dict.fromkeys(("mill", "oak"), 0)
    for order in plan.orders:
        brought[order.offer.supplier] += order.good
    assert max(brought.values()) * 10 <= plan.bought * 7
    (limit,) = found.limits
    assert limit.costs is not None
    assert limit.costs > 0


def test_a_tooling_budget_that_the_die_breaks_refuses_the_plan_and_says_what_it_costs() -> None:
    found = _planning(MILL, FOUNDRY, workshop={"tooling_budget": "500 EUR"})
    assert found.plan is not None
    assert {order.offer.supplier for order in found.plan.orders} == {"mill"}
    (limit,) = found.limits
    assert not limit.kept
    assert limit.costs == found.plan.present - found.free.present if found.free else None
    assert limit.unproven == limit.costs


def test_what_is_paid_for_tools_is_the_same_alone_as_among_all_payments() -> None:
    plan = _plan(FOUNDRY)
    of_tools = tuple(each for each in plan.payments if each.group is Group.TOOLS)
    assert of_tools
    assert plan.for_tools == of_tools
    assert _plan(MILL).for_tools == ()


def test_a_limit_that_no_plan_keeps_leaves_no_plan() -> None:
    found = _planning(MILL, money_tied_up_at_most="5 EUR")
    assert isinstance(found.best, OverLimit)
    (limit,) = found.limits
    assert (limit.kept, limit.within, limit.costs) == (False, None, None)


def test_money_that_is_tied_up_is_kept_below_its_limit_by_smaller_orders() -> None:
    free = _plan(MILL)
    assert free.peak[1] == 60 + 120 * 20
    found = _planning(MILL, money_tied_up_at_most="1000 EUR")
    assert found.plan is not None
    assert found.plan.peak[1] <= 1000
    assert len(found.plan.orders) > 1


def test_too_many_parts_for_a_plan_to_the_piece_get_a_bound_and_no_plan() -> None:
    demand = {"low": "1", "likely": "30000", "high": "30000"}
    found = _planning(a_quote("mill-1", an_item("2 EUR per 1")), demand=demand)
    assert found.best == TooLong(need=30000, at_least=Fraction(60000))


def test_r15_an_order_after_the_price_hold_pays_the_stated_rise() -> None:
    hold = {"until": "2027-06-01", "then": "10 % a year"}
    quote = a_quote("mill-1", an_item("20 EUR per 1", price_hold=hold, capacity_a_month="10"))
    plan = _plan(quote)
    rises = [order.timing.rise for order in plan.orders]
    assert rises[0] == 1
    assert rises == sorted(rises)
    last = plan.orders[-1]
    days = (last.ordered - datetime.date(2027, 6, 1)).days
    assert float(last.timing.rise) == pytest.approx(1.1 ** (days / 365), abs=1e-6)
    assert last.total == last.pieces * 20 * last.timing.rise


def test_r13_a_design_that_may_change_makes_stock_and_tools_dearer() -> None:
    """1 - 0.85 ** (1 / 12) of the die and of the stock are lost in each month."""
    change = 1 - 0.85 ** (1 / 12)
    plan = _plan(FOUNDRY, design_stands="85 % a year")
    lines = {line.what: float(line.amount) for line in plan.lines}
    lost = lines["the design may change: tools bought again, Foss"]
    assert lost == pytest.approx(900 * change * 12)
    waiting = sum(order.good * order.month for order in plan.orders)
    used = sum(month.used * number for number, month in enumerate(plan.months))
    stock = lines["the design may change: stock lost"]
    months = used - waiting + plan.surplus * 12
    assert stock == pytest.approx(5 * change * months, abs=1e-4)
    assert plan.present > _plan(FOUNDRY).present


def test_r13_what_is_left_over_brings_its_stated_share() -> None:
    """Eleven castings in plates of a hundred: 89 are left."""
    quote = a_quote("foss-1", an_item("5 EUR per 1", multiple="100"))
    demand = {"low": "11", "likely": "11", "high": "11"}
    plan = _plan(quote, demand=demand, surplus_is_worth="40 %")
    assert (plan.surplus, plan.present) == (89, 500 - 89 * 2)
    assert plan.stock_at_end == 89 * 5
    assert _plan(quote, demand=demand).present == 500


def test_r2_a_yearly_minimum_is_bought_even_where_less_is_needed() -> None:
    quote = a_quote("foss-1", an_item("5 EUR per 1", minimum_a_year="200"))
    assert sum(order.pieces for order in _plan(quote).orders) == 200


def test_r5_a_worn_tool_is_bought_again() -> None:
    worn = a_tool("900 EUR", life="50", replacement="300 EUR")
    plan = _plan(a_quote("foss-1", an_item("5 EUR per 1", tools=[worn])))
    assert plan.present == 120 * 5 + 900 + 2 * 300
    again = [each.amount for each in plan.payments if each.what.startswith("another wax die")]
    assert sum(again) == 600
    assert (plan.tools[0].pieces, plan.tools[0].left) == (120, 30)


def test_r5_a_tool_that_two_quotes_name_is_paid_once() -> None:
    quotes = [
        a_quote("foss-1", an_item("5 EUR per 1", tools=[DIE], capacity_a_month="6")),
        a_quote("fir-1", an_item("6 EUR per 1", tools=[DIE], capacity_a_month="6")),
    ]
    plan = _plan(*quotes)
    assert {order.offer.supplier for order in plan.orders} == {"foss", "fir"}
    assert plan.on_tools == 900


def test_r5_a_spread_tool_is_owed_where_orders_stop_early() -> None:
    spread = {"what": "wax die", "each": "2 EUR", "over": "200"}
    plan = _plan(a_quote("foss-1", an_item("9 EUR per 1", spread_tool=spread)))
    assert plan.present == 120 * 9 + 80 * 2


def test_r12_money_falls_due_by_the_terms() -> None:
    """Tooling in halves, at order and on approval; the pieces 30 days after the invoice."""
    terms = [{"share": "50 %", "when": "order"}, {"share": "50 %", "when": "approval of samples"}]
    tool = DIE | {"payment": terms}
    payment = [{"share": "100 %", "when": "invoice", "days": "30"}]
    plan = _plan(a_quote("foss-1", an_item("5 EUR per 1", tools=[tool]), payment=payment))
    order = plan.orders[0]
    tools = [each for each in plan.payments if each.group is Group.TOOLS]
    assert [each.amount for each in tools] == [450, 450]
    assert tools[0].day == order.tools_ordered
    pieces = next(each for each in plan.payments if each.group is Group.PIECES)
    assert pieces.day == order.timing.events["invoice"] + datetime.timedelta(days=30)


def test_r7_import_tax_goes_out_and_comes_back_and_is_no_cost() -> None:
    workshop = {
        "import_tax": "21 %",
        "duty": [
            {
                "goods code": "8448",
                "origin": "GB",
                "rate": "4 %",
                "since": "2026-01-01",
                "source": "t",
            }
        ],
        "delivery": [
            a_way_from("GB", import_clearance="0 EUR", on_carriage={"per order": "0 EUR"})
        ],
    }
    content = forms(
        a_quote("oak-1", an_item("10 EUR per 1"), delivery="DAP Zutphen"),
        workshop=a_workshop(**workshop),
        part=a_part(goods_code="8448.49", demand=FLAT, needed_by="2027-03-01"),
        suppliers={"oak": a_supplier(country="GB")},
    )
    plan = _of(content).plan
    assert plan is not None
    tax = [each.amount for each in plan.payments if each.group is Group.TAX]
    assert sum(tax) == 0
    assert max(tax) == Fraction(21, 100) * Fraction(104, 100) * 10 * plan.orders[0].pieces
    assert plan.paid == plan.present == 1200 * Fraction(104, 100)


def test_the_next_order_is_told_with_its_last_day_and_what_a_month_costs() -> None:
    found = _planning(MILL, FOUNDRY)
    assert found.next_order is not None
    assert found.next_order.day == min(
        day
        for order in found.plan.orders
        if found.plan
        for day in (order.ordered, order.tools_ordered)
        if day is not None
    )
    late = found.next_order
    assert late.costs_more is None or late.costs_more >= 0


def test_a_month_late_on_the_only_order_leaves_a_shortage() -> None:
    found = _planning(MILL)
    assert found.next_order is not None
    assert isinstance(found.next_order.a_month_late, Shortage)
    assert found.next_order.a_month_late.month == 0


def test_the_answer_stands_beside_that_for_half_and_double_the_months() -> None:
    found = _planning(MILL, FOUNDRY)
    assert [each.months for each in found.others] == [6, 24]
    half, double = (each.found for each in found.others)
    assert isinstance(half, Plan)
    assert isinstance(double, Plan)
    assert (half.setting.horizon.need, double.setting.horizon.need) == (60, 240)


def test_habits_cost_no_less_than_the_plan() -> None:
    found = _planning(MILL, FOUNDRY, workshop=KEPT)
    assert found.habits
    assert all(habit.saves >= 0 for habit in found.habits)


def test_a_tool_pays_back_in_the_month_from_which_less_has_been_paid() -> None:
    found = _planning(MILL, FOUNDRY, needed_by="2027-06-01", shelf_holds="30")
    tooled = found.routes["foss/foss-1"]
    plain = found.routes["mill/mill-1"]
    assert isinstance(tooled, Plan)
    assert isinstance(plain, Plan)
    day = payback(tooled, plain)
    assert day is not None
    before = day - datetime.timedelta(days=1)
    assert tooled.paid_by(before) >= plain.paid_by(before)
    assert tooled.paid < plain.paid


QUOTES = {
    "two routes": (MILL, FOUNDRY),
    "rejects": (
        a_quote("mill-1", an_item("20 EUR per 1", rejects={"share": "3 %"})),
        FOUNDRY,
    ),
    "breaks": (
        a_quote(
            "mill-1",
            an_item({1: "20 EUR per 1", 40: "15 EUR per 1"}, minimum_value={"value": "300 EUR"}),
        ),
    ),
    "terms": (
        a_quote(
            "mill-1",
            an_item("20 EUR per 1", spread_tool={"what": "die", "each": "1 EUR", "over": "500"}),
        ),
    ),
}


@pytest.mark.parametrize("name", QUOTES)
def test_lines_add_up_to_the_cost_and_another_evaluator_finds_the_same(name: str) -> None:
    workshop = {"cost_of_capital": "7 % a year", "storage": "6 % a year"}
    part: Any = {"design_stands": "90 % a year", "surplus_is_worth": "10 %"}
    plan = _plan(*QUOTES[name], workshop=workshop, **part)
    assert sum(line.units for line in plan.lines) == plan.solution.cost
    assert recost(plan.problem, plan.solution.orders) == plan.solution.cost
    assert plan.solution.is_proven


@pytest.mark.parametrize("name", QUOTES)
def test_r12_what_is_paid_discounted_and_what_stock_loses_is_the_present_cost(name: str) -> None:
    """Reckoned once more from the payments: each on its day, and stock month by month."""
    workshop = {"cost_of_capital": "7 % a year", "storage": "6 % a year"}
    plan = _plan(*QUOTES[name], workshop=workshop)
    discount = plan.setting.discount
    paid = sum(float(each.amount) * discount.factor(each.day) for each in plan.payments)
    stored = sum(line.units for line in plan.lines if line.what == "storage of stock") / UNITS
    assert float(plan.present) == pytest.approx(paid + stored, abs=1e-3)


@pytest.mark.parametrize("name", QUOTES)
def test_stock_goes_in_and_out_without_a_piece_lost(name: str) -> None:
    plan = _plan(*QUOTES[name], on_hand="5")
    stock = 5
    for month in plan.months:
        assert month.before == stock
        stock += month.arriving - month.used
        assert month.after == stock >= 0
    assert stock == 5 + plan.bought - 120
    assert sum(amount for row in plan.by_month.values() for amount in row.values()) == plan.paid


def test_r10_what_a_late_piece_costs_may_be_in_another_currency() -> None:
    """Ten are late for a month at 2 GBP, each worth 1.20 EUR."""
    rate = {"one": "GBP", "is worth": "1.20 EUR", "on": "2026-10-30", "source": "test"}
    quote = a_quote("mill-1", an_item("20 EUR per 1", lead_time="45 days"))
    part = {"needed_by": "2026-12-01", "late_costs": "2 GBP"}
    plan = _plan(quote, workshop={"rates": [rate]}, **part)
    assert plan.present == 120 * 20 + 10 * Fraction("2.4")


def test_what_is_lost_takes_nothing_from_the_stock_that_comes_later() -> None:
    """The ten of month 0 are lost; what comes in month 1 is used from then on."""
    quote = a_quote("mill-1", an_item("20 EUR per 1", lead_time="45 days", charges=[SET_UP]))
    part = {"needed_by": "2026-12-01", "late_costs": "30 EUR", "late_is_lost": "yes", "lot": "120"}
    plan = _plan(quote, workshop=KEPT, **part)
    assert sum(line.units for line in plan.lines) == plan.solution.cost
    assert recost(plan.problem, plan.solution.orders) == plan.solution.cost
    assert plan.orders[0].month == 1
    for order in plan.orders:
        assert order.stock_before == plan.months[order.month].before
    assert [month.late for month in plan.months] == [10, *[0] * 11]
    assert sum(order.good for order in plan.orders) == 110
    waits = sum(month.after for month in plan.months)
    stored = sum(line.units for line in plan.lines if line.what == "storage of stock") / UNITS
    assert stored == pytest.approx(waits * 20.5 * 0.01)


def test_where_nobody_can_deliver_and_late_pieces_are_lost_nothing_is_ordered() -> None:
    quote = a_quote("mill-1", an_item("20 EUR per 1", lead_time="not quoted"))
    found = _planning(quote, late_costs="2 EUR", late_is_lost="yes")
    assert found.plan is not None
    assert (found.plan.orders, found.habits) == ((), ())
    assert found.plan.present == 120 * 2


def test_an_order_lasts_with_what_came_in_the_same_month_before_it() -> None:
    """Ten a month; sixty from each of two: together they last to the end."""
    quotes = [
        a_quote(f"{name}-1", an_item("5 EUR per 1", capacity_a_month="60", charges=[SET_UP]))
        for name in ("elm", "fir")
    ]
    plan = _plan(*quotes, shelf_holds="120", demand=FLAT | {"by month": ["120", *["0"] * 11]})
    assert [(each.month, each.pieces) for each in plan.orders] == [(0, 60), (0, 60)]
    assert [each.lasts_until for each in plan.orders] == [plan.setting.horizon.begins, None]


def test_an_order_that_comes_late_lasts_for_no_month_before_its_own() -> None:
    """A month's order of 18 leaves a backlog for some months: 150 days late, ten a month."""
    quote = a_quote("mill-1", an_item("20 EUR per 1", lead_time="150 days", capacity_a_month="18"))
    plan = _plan(quote, needed_by="2026-12-01", late_costs="2 EUR")
    assert plan.orders[0].stock_before + plan.orders[0].good < 0
    for order in plan.orders:
        starts = plan.setting.horizon.starts[order.month]
        assert order.lasts_until is None or order.lasts_until >= starts


def test_late_pieces_with_a_price_do_not_bar_a_route_from_the_advice() -> None:
    """A mill that is two weeks late at 2 EUR a piece was once called no route."""
    quote = a_quote("mill-1", an_item("20 EUR per 1", lead_time="45 days"))
    part = a_part(demand=FLAT, needed_by="2026-12-01", late_costs="2 EUR")
    found = result_of(forms(quote, part=part))
    assert found.advice.outcome is Outcome.CHOSEN
    assert found.advice.plan is not None
    assert found.advice.plan.present == 120 * 20 + 10 * 2
    assert found.comparison.late == ()
    barred = {key: value for key, value in part.items() if key != "late costs"}
    assert result_of(forms(quote, part=barred)).advice.outcome is Outcome.NO_ROUTE


def test_every_late_route_with_a_price_is_ranked_by_its_plan() -> None:
    quotes = [
        a_quote("mill-1", an_item("20 EUR per 1", lead_time="45 days")),
        a_quote("oak-1", an_item("20.10 EUR per 1", lead_time="45 days")),
    ]
    part = a_part(demand=FLAT, needed_by="2026-12-01", late_costs="2 EUR")
    advice = result_of(forms(*quotes, part=part)).advice
    assert advice.outcome is Outcome.TIE
    assert [advice.present(each) for each in advice.ranking] == [2420, 2432]


def test_a_day_that_has_gone_by_counts_from_the_order_in_routes_and_plans_alike() -> None:
    quote = a_quote("mill-1", an_item("20 EUR per 1", lead_time="20 days"))
    part = a_part(demand=FLAT, needed_by="2020-01-01", on_hand="20")
    found = result_of(forms(quote, part=part))
    assert found.advice.outcome is Outcome.CHOSEN
    assert found.planning is not None
    assert found.advice.plan is found.planning.best
    assert [route.name for route in found.plain.routes] == ["mill/mill-1"]


def test_a_plan_that_cannot_keep_the_cover_is_still_a_route() -> None:
    """The likely demand leaves enough until the only parts come; the high demand would not."""
    demand = {"low": "60", "likely": "120", "high": "240"}
    quote = a_quote("foss-1", an_item("5 EUR per 1", lead_time="140 days"))
    part = a_part(demand=demand, needed_by="2026-12-01", on_hand="45")
    found = result_of(forms(quote, part=part))
    assert found.plain.routes == ()
    assert found.planning is not None
    assert found.planning.plan is not None
    assert found.advice.outcome is Outcome.CHOSEN
    assert found.advice.plan is found.planning.plan
    assert found.comparison.late == ()


def test_a_habit_knows_no_limit_of_money() -> None:
    """The mill alone within 1000 EUR of tied-up money needs more set-ups; the habit has one."""
    found = _planning(MILL, money_tied_up_at_most="1000 EUR")
    assert found.plan is not None
    assert found.free is not None
    assert found.plan.present > found.free.present
    assert [habit.saves for habit in found.habits] == [0, 0]


def test_an_order_of_rejects_alone_has_no_cost_for_each_good_part() -> None:
    order = replace(_plan(MILL).orders[0], good=0)
    assert order.landed_each == 0


def test_only_a_shortage_of_time_names_a_day() -> None:
    item = an_item("5 EUR per 1", multiple="50")
    found = _planning(a_quote("foss-1", item), shelf_holds="20")
    assert isinstance(found.best, Shortage)
    assert (found.best.why, found.earliest) == (Why.SHELF, None)


def test_r19_a_route_that_may_run_out_is_none_beside_one_that_keeps_the_cover() -> None:
    """On hand is just enough until the castings come; at the high demand it is not. Castings
    alone would cost less, and are neither the plan nor the route that is recommended."""
    quotes = (a_quote("foss-1", an_item("5 EUR per 1", lead_time="140 days")), MILL)
    part = a_part(
        demand={"low": "60", "likely": "120", "high": "240"}, needed_by="2026-12-01", on_hand="45"
    )
    result = result_of(forms(*quotes, part=part))
    alone = result.planning.routes.get("foss/foss-1") if result.planning else None
    if isinstance(alone, Plan):
        assert not alone.is_covered
    plan = result.advice.plan
    assert plan is not None
    assert plan.is_covered
    assert result.planning is not None
    assert plan is result.planning.plan
    assert {order.offer.supplier for order in plan.orders} == {"foss", "mill"}
    more = result.planning.next_order
    assert more is not None
    assert more.costs_more is None or more.costs_more >= 0
