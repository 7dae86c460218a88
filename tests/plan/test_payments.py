"""When money is paid, and what it is worth on the plan's first day (R12)."""

from __future__ import annotations

import datetime
from fractions import Fraction

import numpy_financial as npf
import pytest

from quotegen.basics.days import ONE_DAY
from quotegen.model.fields import PaidWhen
from quotegen.model.quote import Payment
from quotegen.plan.payments import Discount, Due, dues_of, events_of
from tests.folders import a_quote, a_tool, an_item, forms, result_of

START = datetime.date(2027, 1, 4)


def _years(number: int) -> datetime.date:
    return START + 365 * number * ONE_DAY


def test_tv_01_a_net_present_value() -> None:
    """numpy-financial 1.0.0, documentation of npv: 8 %, -40000, 5000, 8000, 12000, 30000."""
    discount = Discount(to=START, yearly=Fraction(8, 100))
    flows = [-40000, 5000, 8000, 12000, 30000]
    found = sum(flow * discount.factor(_years(year)) for year, flow in enumerate(flows))
    assert found == pytest.approx(3065.22267, abs=1e-5)
    assert found == pytest.approx(float(npf.npv(0.08, flows)), abs=1e-6)


@pytest.mark.parametrize(
    ("years", "single", "uniform"), [(20, 0.554, 14.88), (25, None, 17.41), (10, None, 8.53)]
)
def test_tv_05_present_value_factors(years: int, single: float | None, uniform: float) -> None:
    """NIST Handbook 135 tables at 3 %, from memory: SPV 20 is 0.554, UPV 14.88, 17.41, 8.53."""
    discount = Discount(to=START, yearly=Fraction(3, 100))
    factors = [discount.factor(_years(year)) for year in range(1, years + 1)]
    if single is not None:
        assert round(factors[-1], 3) == single
    assert round(sum(factors), 2) == uniform


def test_r12_money_without_a_cost_is_worth_the_same_on_every_day() -> None:
    discount = Discount(to=START, yearly=Fraction(0))
    assert discount.factor(_years(30)) == 1.0


def test_r12_shares_are_each_worth_what_their_day_makes_them() -> None:
    discount = Discount(to=START, yearly=Fraction(1, 10))
    dues = [Due(day=START, share=Fraction(3, 10)), Due(day=_years(1), share=Fraction(7, 10))]
    assert discount.of(dues) == pytest.approx(0.3 + 0.7 / 1.1)


def test_events_follow_the_stages_of_the_order() -> None:
    """10 days for the tool and 10 for its samples, then 10 working days for the run."""
    tool = a_tool("100 EUR", takes="10 days", sample_takes="10 days")
    offer = result_of(forms(a_quote("ash-1", an_item("5 EUR per 1", tools=[tool])))).offer
    events = events_of(offer.arrival, offer.arrival.reached)
    days = [events[each] for each in (PaidWhen.ORDER, PaidWhen.APPROVAL, PaidWhen.DISPATCH)]
    assert days == sorted(days)
    assert events[PaidWhen.ORDER] == offer.arrival.ordered
    assert events[PaidWhen.INVOICE] == events[PaidWhen.DISPATCH]
    assert events[PaidWhen.APPROVAL] == max(s.ends for s in offer.arrival.stages if s.is_tool)


def test_terms_of_payment_count_their_days_from_their_event() -> None:
    offer = result_of(forms(a_quote("ash-1", an_item("5 EUR per 1")))).offer
    events = events_of(offer.arrival, offer.arrival.reached)
    terms = [
        Payment.model_validate({"share": "30 %", "when": "order"}),
        Payment.model_validate({"share": "70 %", "when": "invoice", "days": "21"}),
    ]
    assert dues_of(terms, events) == (
        Due(day=events[PaidWhen.ORDER], share=Fraction(3, 10)),
        Due(day=events[PaidWhen.INVOICE] + 21 * ONE_DAY, share=Fraction(7, 10)),
    )


def test_without_terms_all_is_paid_on_delivery_and_a_tool_with_its_order() -> None:
    offer = result_of(forms(a_quote("ash-1", an_item("5 EUR per 1")))).offer
    events = events_of(offer.arrival, offer.arrival.reached)
    (whole,) = dues_of((), events)
    assert whole == Due(day=events[PaidWhen.DELIVERY], share=Fraction(1))
    (tool,) = dues_of((), events, unstated=PaidWhen.ORDER)
    assert tool.day == offer.arrival.ordered
