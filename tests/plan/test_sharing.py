"""Tools that serve several parts: bought once where all parts together gain by it (R5)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

import hypothesis.strategies as st
from hypothesis import given, settings

from quotegen.judge.futures.making import planned_outlook
from quotegen.plan.plan import Group, Plan
from quotegen.plan.planning import Planning, plan_part
from quotegen.plan.sharing import plan_together
from quotegen.plan.sources import Borne
from tests.folders import (
    Forms,
    a_part,
    a_quote,
    a_tool,
    a_workshop,
    an_item,
    forms,
    result_of,
)

PARTS = ("p", "q")


def two_parts(
    die: str,
    *,
    likely: Mapping[str, int],
    poured: str = "5 EUR per 1",
    cut: str = "9 EUR per 1",
    workshop: Mapping[str, Any] | None = None,
    part: Mapping[str, Any] | None = None,
    tool: Mapping[str, Any] | None = None,
) -> Forms:
    """A foundry with one die for two parts, and a shop that cuts either of them."""
    made = a_tool(die, **(tool or {}))
    foundry = a_quote("foss-1", *(an_item(poured, tools=[made], part=name) for name in PARTS))
    shop = a_quote("alder-1", *(an_item(cut, part=name) for name in PARTS))
    one = forms(foundry, shop, workshop=a_workshop(**(workshop or {})))
    return replace(one, parts={n: a_part(likely[n], name=n, **(part or {})) for n in PARTS})


def planned(content: Forms) -> tuple[dict[str, Planning], dict[str, Planning]]:
    """The plans alone, and the plans with what is shared."""
    compared = {name: result_of(content, part=name).plain for name in PARTS}
    alone = {name: plan_part(each) for name, each in compared.items()}
    kept = {name: each for name, each in alone.items() if each is not None}
    changed = plan_together(compared, alone)
    return kept, kept | {name: each for name, each in changed.items() if each is not None}


def _present(plans: Mapping[str, Planning]) -> Fraction:
    return sum((each.plan.present for each in plans.values() if each.plan), Fraction(0))


def _on_tools(plans: Mapping[str, Planning]) -> Fraction:
    return sum(
        (
            payment.amount
            for each in plans.values()
            if each.plan
            for payment in each.plan.payments
            if payment.group is Group.TOOLS
        ),
        Fraction(0),
    )


def test_a_die_that_neither_part_is_worth_alone_is_bought_for_both() -> None:
    """100 each at 9 or at 5: 400 saved by each, 600 for the die; 800 saved together."""
    alone, together = planned(two_parts("600 EUR", likely={"p": 100, "q": 100}))
    assert _present(alone) == 1800
    assert _present(together) == 100 * 5 * 2 + 600
    assert _on_tools(together) == 600
    shares = {name: each.borne[0].share for name, each in together.items()}
    assert shares == {"p": Fraction(1, 2), "q": Fraction(1, 2)}
    assert [each.borne[0].unproven for each in together.values()] == [0, 0]


def test_each_part_bears_the_die_as_it_saves_by_it() -> None:
    """300 and 100 pieces, 4 EUR saved by each: three quarters and one."""
    _, together = planned(two_parts("1000 EUR", likely={"p": 300, "q": 100}))
    paid = {name: each.plan.on_tools for name, each in together.items() if each.plan}
    assert paid == {"p": 750, "q": 250}
    assert together["q"].borne[0].of_parts == ("p", "q")
    assert together["p"].borne[0].made_for is None
    assert together["q"].borne[0].made_for is not None


def test_a_die_too_dear_for_both_changes_nothing() -> None:
    alone, together = planned(two_parts("801 EUR", likely={"p": 100, "q": 100}))
    assert together == alone
    assert _on_tools(together) == 0


def test_a_die_that_each_would_buy_alone_is_paid_once() -> None:
    alone, together = planned(two_parts("300 EUR", likely={"p": 100, "q": 100}))
    assert _on_tools(alone) == 600
    assert _on_tools(together) == 300


def test_a_die_that_serves_one_part_only_is_borne_by_it_alone() -> None:
    """The other part would not use it even if it cost nothing."""
    dear = two_parts("300 EUR", likely={"p": 100, "q": 100})
    quotes = [(owner, form) for owner, form in dear.quotes]
    quotes[0][1]["items"][1]["prices"] = [{"from": "1", "price": "12 EUR per 1"}]
    alone, together = planned(replace(dear, quotes=tuple(quotes)))
    assert together == alone


def test_pieces_of_the_other_part_wait_until_the_die_is_made() -> None:
    """q is wanted at once and takes no samples, but its die is ordered with p's first order."""
    content = two_parts(
        "600 EUR",
        likely={"p": 120, "q": 120},
        part={"needed_by": "2027-01-04"},
        tool={"takes": "60 days"},
    )
    _, together = planned(content)
    plans = {name: each.plan for name, each in together.items() if each.plan}
    (made,) = {tool.ordered for plan in plans.values() for tool in plan.tools}
    assert made is not None
    for plan in plans.values():
        poured = [order for order in plan.orders if order.offer.supplier == "foss"]
        assert poured
        assert all((order.timing.arrival.ordered - made).days >= 60 for order in poured)


def test_the_two_together_do_not_outlive_the_die() -> None:
    """150 pieces of life, 100 wanted of each: then the plans are made as if alone."""
    worn = {"life": "150 pieces", "replacement": "600 EUR"}
    alone, together = planned(two_parts("600 EUR", likely={"p": 100, "q": 100}, tool=worn))
    assert together == alone


def test_a_die_that_is_ours_is_not_shared_out() -> None:
    content = two_parts("600 EUR", likely={"p": 10, "q": 10}, workshop={"tools_owned": ["die"]})
    alone, together = planned(content)
    assert together == alone


def test_two_tools_of_the_same_offers_are_looked_at_as_one() -> None:
    """A die and a gauge at 300 each: neither is of use by itself, and both together save 800."""
    content = two_parts("600 EUR", likely={"p": 100, "q": 100})
    for item in content.quotes[0][1]["items"]:
        item["tools"] = [a_tool("300 EUR"), a_tool("300 EUR", tool="gauge", what="gauge")]
    _, together = planned(content)
    assert (_on_tools(together), _present(together)) == (600, 1600)
    every = [borne for each in together.values() for borne in each.borne]
    assert [(borne.tool, borne.unproven) for borne in every] == [("die", 0), ("gauge", 0)] * 2


def test_of_tools_that_are_looked_at_one_after_the_other_no_proof_is_claimed() -> None:
    """A second foundry with a die of its own for both parts: only one of the two is bought."""
    content = two_parts("600 EUR", likely={"p": 100, "q": 100})
    other = [a_tool("700 EUR", tool="other", what="other die")]
    items = [an_item("5 EUR per 1", tools=list(other), part=name) for name in PARTS]
    more = forms(a_quote("ember-1", *items))
    quotes = (*content.quotes, *more.quotes)
    _, together = planned(
        replace(content, quotes=quotes, suppliers={**content.suppliers, **more.suppliers})
    )
    assert _on_tools(together) == 600
    used = [each.borne[0] for each in together.values()]
    assert [(borne.tool, borne.unproven) for borne in used] == [("die", None)] * 2


def test_the_plans_for_half_and_double_the_months_bear_the_same_share() -> None:
    _, together = planned(two_parts("600 EUR", likely={"p": 100, "q": 100}))
    double = together["p"].others[1].found
    assert isinstance(double, Plan)
    assert double.on_tools == 300


@settings(max_examples=25, deadline=None)
@given(
    die=st.integers(50, 1200),
    p=st.integers(10, 200),
    q=st.integers(10, 200),
    poured=st.integers(1, 8),
)
def test_the_die_is_bought_exactly_where_both_together_save_more_than_it_costs(
    die: int, p: int, q: int, poured: int
) -> None:
    """Money costs nothing and the die takes no time: the sum can be done by hand."""
    content = two_parts(f"{die} EUR", likely={"p": p, "q": q}, poured=f"{poured} EUR per 1")
    _, together = planned(content)
    assert _present(together) == min(9 * (p + q), poured * (p + q) + die)


def test_every_future_bears_the_same_share_of_the_die() -> None:
    """A demand of 60 to 240: half of a die for 900 is 450 less in each of the futures."""
    demand = {"low": "60", "likely": "120", "high": "240"}
    foundry = a_quote("foss-1", an_item("5 EUR per 1", tools=[a_tool("900 EUR")]))
    comparison = result_of(forms(foundry, part=a_part(demand=demand))).plain
    half = (Borne(tool="die", share=Fraction(1, 2)),)
    means = []
    for borne in ((), half):
        planning = plan_part(comparison, borne)
        outlook = planned_outlook(comparison, planning)
        assert outlook is not None
        means.append(outlook.routes["foss/foss-1"].mean)
    assert round(means[0] - means[1], 6) == 450
