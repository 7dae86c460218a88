"""What deliveries say of rejects, joined to what was stated (R9)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from quotegen.basics.place import Place
from quotegen.costing.received import Received
from tests.folders import Result, Values, a_part, a_quote, a_supplier, an_item, forms, result_of

FOUNDER = a_supplier(name="Oak", processes=["investment casting", "sand casting"])


def an_order(**changes: Any) -> Values:
    """56 pieces received of oak and 4 rejected, for revision A by investment casting."""
    form = {
        "order": "PO-1",
        "supplier": "oak",
        "day": "2026-03-02",
        "revision": "A",
        "process": "investment casting",
        "ordered": "56",
        "received": "56",
        "rejected": "4",
    }
    new = {key.replace("_", " "): value for key, value in changes.items()}
    return {key: value for key, value in (form | new).items() if value is not None}


def after(*orders: Values, supplier: Values = FOUNDER, **item: Any) -> Result:
    """Lots of 112; the quote states 3 % unless it says otherwise."""
    item = {"rejects": {"share": "3 %"}, "process": "investment casting"} | item
    quote = a_quote("oak-1", an_item("10 EUR per 1", **item))
    part = a_part(112, lot="112")
    return result_of(forms(quote, part=part, suppliers={"oak": supplier}, orders=orders))


def r9_told(found: Result) -> list[str]:
    return [each.text for each in found.offer.bill.assumptions if each.rule == "R9"]


def test_r9_the_stated_share_weighs_as_much_as_one_lot() -> None:
    """By hand: (3 % of 112 + 4) / (112 + 56) = 7.36 / 168 = 4.38 %."""
    found = after(an_order())
    assert found.offer.bill.rejects == Fraction(736, 16_800)
    assert r9_told(found) == [
        (
            "The quote states 3 % rejects; of 56 pieces received so far (PO-1) 4 were rejected. "
            "Together that is 4.38 %: what was stated weighs as much as one lot of 112 pieces."
        )
    ]


def test_r9_without_deliveries_the_stated_share_stays_and_nothing_is_said() -> None:
    found = after()
    assert found.offer.bill.rejects == Fraction(3, 100)
    assert r9_told(found) == []


def test_r9_where_nobody_stated_a_share_laplaces_rule_holds() -> None:
    """Laplace's rule of succession: (4 + 1) / (56 + 2). The question is asked all the same."""
    found = after(an_order(), rejects=None)
    assert found.offer.bill.rejects == Fraction(5, 58)
    assert r9_told(found) == [
        (
            "Nobody stated a reject share; of 56 pieces received so far (PO-1) 4 were rejected. "
            "With one good and one rejected piece beside them for what is not known, that is "
            "8.62 %."
        )
    ]
    assert [gap.code for gap in found.offer.bill.gaps] == ["rejects"]


def test_r9_what_was_seen_of_a_supplier_stands_in_for_the_quote() -> None:
    found = after(an_order(), supplier=FOUNDER | {"rejects seen": "10 %"}, rejects=None)
    assert found.offer.bill.rejects == (Fraction(1, 10) * 112 + 4) / 168
    assert r9_told(found)[0].startswith("Oak had 10 % rejects; of 56 pieces")


@pytest.mark.parametrize(
    "change",
    [
        pytest.param({"supplier": "elm"}, id="another supplier"),
        pytest.param({"revision": "B"}, id="another revision"),
        pytest.param({"process": "sand casting"}, id="another process"),
        pytest.param({"process": None}, id="one of two processes, not said which"),
        pytest.param({"day": "2026-11-03"}, id="after the day of the comparison"),
        pytest.param({"received": None, "rejected": None}, id="not here yet"),
        pytest.param({"rejected": None}, id="not looked at yet"),
        pytest.param({"received": "0", "rejected": "0"}, id="nothing came"),
    ],
)
def test_r9_other_deliveries_say_nothing(change: Values) -> None:
    """Absent is not zero: an order whose rejects nobody counted is no order without rejects."""
    found = after(an_order(**change))
    assert found.offer.bill.rejects == Fraction(3, 100)
    assert r9_told(found) == []


def test_r9_a_supplier_of_one_process_need_not_be_asked_which() -> None:
    found = after(an_order(process=None), supplier=a_supplier(processes=["investment casting"]))
    assert found.offer.bill.rejects == Fraction(736, 16_800)


def test_r9_deliveries_add_up() -> None:
    found = after(an_order(), an_order(order="PO-2", received="44", rejected="0"))
    assert found.offer.bill.rejects == (Fraction(3, 100) * 112 + 4) / (112 + 100)
    assert "of 100 pieces received so far (PO-1 and PO-2)" in r9_told(found)[0]


def test_r9_where_rejects_show_and_who_pays_is_what_the_quote_says() -> None:
    stated = {"share": "3 %", "found": "at the supplier", "made good": "credited"}
    case = after(an_order(), rejects=stated).offer.case
    assert (case.rejects.found.value, case.rejects.made_good.value) == (
        "at the supplier",
        "credited",
    )


@given(
    per_mille=st.integers(1, 999),
    lot=st.integers(1, 5000),
    pieces=st.integers(1, 5000),
    data=st.data(),
)
def test_r9_it_is_the_mean_of_a_beta_distribution(
    per_mille: int, lot: int, pieces: int, data: st.DataObject
) -> None:
    """Oracle: scipy.stats.beta with the rejected and the good added to its two parameters. The
    share lies between the stated and the seen one."""
    rejected = data.draw(st.integers(0, pieces))
    stated = Fraction(per_mille, 1000)
    place = Place("orders/p.yaml")
    received = Received(orders=("PO-1",), pieces=pieces, rejected=rejected, place=place)
    share = received.share(stated, lot)
    a, b = float(stated * lot) + rejected, float((1 - stated) * lot) + pieces - rejected
    assert float(share) == pytest.approx(stats.beta.mean(a, b))
    assert min(stated, Fraction(rejected, pieces)) <= share
    assert share <= max(stated, Fraction(rejected, pieces))
