"""From an offer to a source: allowed orders, prices of later days, import tax, cover."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Any

import pytest

from quotegen.costing.offer import Offer
from quotegen.plan.building import problem_of, setting_of, supplies_of
from quotegen.plan.plan import Group, Plan
from quotegen.plan.planning import Planning
from quotegen.plan.problem import Shortage
from quotegen.plan.sound import check
from quotegen.plan.sources import Supply, price_rise, returning_tax
from tests.folders import (
    Result,
    a_part,
    a_quote,
    a_supplier,
    a_way_from,
    a_workshop,
    an_item,
    forms,
    result_of,
)

TEN = {"low": "10", "likely": "10", "high": "10"}
OFF = {"what": "discount", "rate": "10 %", "of": ["goods"], "off": "yes"}


def _result(*quotes: Any, **part: Any) -> Result:
    form = a_part(**{"demand": TEN, "needed_by": "2027-03-01"} | part)
    return result_of(forms(*quotes, part=form))


def _planning(*quotes: Any, **part: Any) -> Planning:
    found = _result(*quotes, **part).planning
    assert found is not None
    return found


def test_r2_a_supplier_with_no_allowed_order_leaves_a_shortage_and_is_no_bar_to_others() -> None:
    """At least 20 an order and at most 5 a month."""
    none = a_quote("elm-1", an_item("1 EUR per 1", minimum="20", capacity_a_month="5"))
    assert isinstance(_planning(none).best, Shortage)
    plan = _planning(none, a_quote("mill-1", an_item("20 EUR per 1"))).plan
    assert plan is not None
    assert plan.present == 200


def test_r9_a_supplier_of_rejects_alone_brings_no_order() -> None:
    none = a_quote("elm-1", an_item("1 EUR per 1", rejects={"share": "100 %"}))
    assert isinstance(_planning(none).best, Shortage)


def test_r2_one_order_may_bring_a_yearly_minimum_that_is_more_than_the_need() -> None:
    """Ten are needed and 500 agreed: in one order there is one set-up, and a month's share would
    not do."""
    set_up = {"what": "set-up", "amount": "60 EUR", "per": "order"}
    item = an_item("5 EUR per 1", minimum_a_year="500", charges=[set_up])
    plan = _planning(a_quote("foss-1", item)).plan
    assert plan is not None
    assert [each.pieces for each in plan.orders] == [500]
    assert plan.present == 500 * 5 + 60


def test_r3_below_a_minimum_value_a_discount_on_more_pieces_makes_the_invoice_less() -> None:
    """Goods of 20 each are lifted to 500; a tenth of the goods comes off: 25 pieces cost least.

    Ten would cost 500 - 20, twenty-five 500 - 50, and from there each costs 18.
    """
    item = an_item("20 EUR per 1", minimum_value={"value": "500 EUR"}, surcharges=[OFF])
    plan = _planning(a_quote("mill-1", item), lot="10").plan
    assert plan is not None
    assert [each.pieces for each in plan.orders] == [25]
    assert plan.present == 450


def test_r3_no_run_falls_where_a_discount_grows_below_a_minimum_value() -> None:
    item = an_item("20 EUR per 1", minimum_value={"value": "500 EUR"}, surcharges=[OFF])
    plain = _result(a_quote("mill-1", item), lot="10").plain
    setting = setting_of(plain, 12)
    assert setting is not None
    problem = problem_of(plain, setting, supplies_of(plain.offers, setting))
    check(problem)
    (source,) = problem.sources
    for arriving in source.arriving.values():
        assert not arriving.falls
        pieces = [n.pieces + k * n.pieces_step for n in arriving.runs for k in range(n.count)]
        assert sorted(pieces) == [*range(1, 11), 25]


def _offer(**item: Any) -> Offer:
    return _result(a_quote("mill-1", an_item("20 EUR per 1", **item))).offer


@pytest.mark.parametrize(
    ("hold", "day", "years"),
    [
        (None, "2028-06-01", None),
        ({"until": "2027-06-01"}, "2028-06-01", None),
        ({"until": "2027-06-01", "then": "10 % a year"}, "2027-06-01", None),
        ({"until": "2027-06-01", "then": "10 % a year"}, "2028-05-31", 1.0),
        ({"then": "10 % a year"}, "2027-12-31", 1.0),  # held as long as the quote can be signed
    ],
)
def test_r15_a_price_rises_by_what_is_stated_after_the_day_it_is_held_to(
    hold: Any, day: str, years: float | None
) -> None:
    rise = price_rise(_offer(price_hold=hold), datetime.date.fromisoformat(day))
    assert float(rise) == pytest.approx(1.1**years if years else 1, abs=1e-6)


def _abroad(footing: str, capital: str = "0 % a year", **item: Any) -> Result:
    duty = {"goods code": "8448", "origin": "GB", "rate": "4 %", "since": "2026-01-01"}
    way = a_way_from("GB", carriage={"per order": "50 EUR"}, import_clearance="0 EUR")
    workshop = a_workshop(
        import_tax="20 %",
        duty=[duty | {"source": "t"}],
        delivery=[way],
        customs_value=footing,
        cost_of_capital=capital,
    )
    way["on carriage"] = {"per order": "0 EUR"}
    way["export clearance"] = "0 EUR"
    quote = a_quote("oak-1", an_item("10 EUR per 1", **item), delivery="FCA Leeds")
    part = a_part(goods_code="8448.49", demand=TEN, needed_by="2027-03-01")
    suppliers = {"oak": a_supplier(country="GB")}
    return result_of(forms(quote, workshop=workshop, part=part, suppliers=suppliers))


@pytest.mark.parametrize(("footing", "value"), [("CIF", 150), ("FOB", 100)])
def test_r7_import_tax_that_comes_back_is_taken_of_the_customs_value_and_the_duty(
    footing: str, value: int
) -> None:
    """Ten at 10 EUR, carriage of 50 EUR in the value on the CIF footing only; duty of 4 %."""
    found = _abroad(footing)
    assert returning_tax(found.offer).at(10) == value * Fraction(104, 100) * Fraction(20, 100)


def test_r7_a_credit_for_rejects_comes_after_import_tax_was_paid() -> None:
    found = _abroad("FOB", rejects={"share": "10 %", "made good": "credited"})
    assert returning_tax(found.offer).at(10) == 100 * Fraction(104, 100) * Fraction(20, 100)


def test_r15_import_tax_rises_with_the_price() -> None:
    hold = {"until": "2026-11-03", "then": "50 % a year"}
    plan = _abroad("FOB", "9 % a year", price_hold=hold).planning
    assert plan is not None
    assert isinstance(plan.best, Plan)
    (order,) = plan.best.orders
    tax = max(each.amount for each in plan.best.payments if each.group is Group.TAX)
    assert order.timing.rise > 1
    assert tax == order.pieces * 10 * Fraction(104, 100) * Fraction(20, 100) * order.timing.rise
    factor = plan.setting.discount.factor
    paid = sum(float(each.amount) * factor(each.day) for each in plan.best.payments)
    assert float(plan.best.present) == pytest.approx(paid, abs=1e-5)


def test_r19_where_a_late_piece_has_its_price_no_cover_is_asked_for() -> None:
    """Else a plan that waits a month might cost less than the best."""
    quote = a_quote("mill-1", an_item("20 EUR per 1", capacity_a_month="20"))
    demand = {"low": "60", "likely": "120", "high": "240"}
    part = {"demand": demand, "needed_by": "2027-01-01"}
    for late, asked in ((None, True), ("50 EUR", False)):
        found = _planning(quote, late_costs=late, **part)
        assert found.plan is not None
        (source,) = found.plan.problem.sources
        assert any(each.covers for each in source.arriving.values()) is asked
        assert any(order.covers for order in found.plan.orders)


def test_a_shorter_plan_has_the_days_of_the_longer_one() -> None:
    plain = _result(a_quote("mill-1", an_item("20 EUR per 1"))).plain
    long, short = setting_of(plain, 24), setting_of(plain, 12)
    assert long is not None
    assert short is not None
    (longer,) = supplies_of(plain.offers, long)
    alone = Supply(offer=longer.offer, setting=short)
    assert longer.over(short).timings == alone.timings
    assert longer.over(short).arriving == alone.arriving
