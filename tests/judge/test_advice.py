"""The recommended route: four outcomes, each with what it rests on (R14, R15, R16, R20)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.judge.advice import Advice, Outcome
from tests.folders import a_part, a_quote, a_tool, a_workshop, an_item, forms, result_of


def at(price: str, name: str, **item: Any) -> Any:
    return a_quote(f"{name}-1", an_item(f"{price} EUR per 1", **item))


def advice(*quotes: Any, workshop: Any = None, likely: int = 100, **part: Any) -> Advice:
    content = forms(*quotes, workshop=a_workshop(**(workshop or {})), part=a_part(likely, **part))
    return result_of(content).advice


def names(found: Advice) -> tuple[str, ...]:
    return tuple(cost.route.main.supplier for cost in found.ties)


def test_the_cheapest_route_at_the_likely_need_is_chosen_with_its_runner_up_and_lead() -> None:
    found = advice(at("10", "oak"), at("12", "ash"), at("15", "elm"))
    assert found.outcome is Outcome.CHOSEN
    assert found.route is not None
    assert found.route.name == "oak/oak-1"
    assert found.runner_up is not None
    assert found.runner_up.route.name == "ash/ash-1"
    assert found.lead == 200
    assert [each.route.main.supplier for each in found.ranking] == ["oak", "ash", "elm"]


@pytest.mark.parametrize(
    ("price", "outcome"), [("10.30", Outcome.TIE), ("10.31", Outcome.CHOSEN), ("10", Outcome.TIE)]
)
def test_r16_within_the_margin_is_too_close_to_call_and_just_beyond_it_is_not(
    price: str, outcome: Outcome
) -> None:
    """3 % of 1,000 is 30."""
    assert advice(at("10", "oak"), at(price, "ash")).outcome is outcome


def test_r16_the_margin_is_the_workshops() -> None:
    quotes = at("10", "oak"), at("10.90", "ash")
    assert advice(*quotes, workshop={"close_call": "9 %"}).outcome is Outcome.TIE
    assert advice(*quotes, workshop={"close_call": "8.9 %"}).outcome is Outcome.CHOSEN


def test_r16_ties_stand_by_least_money_committed_then_by_earliest_parts() -> None:
    """The tool's route is the cheapest, 990; both others cost 1,000, one comes later."""
    quotes = [
        at("8.90", "ash", tools=[a_tool("100 EUR")]),
        at("10", "elm", lead_time="30 working days"),
        at("10", "oak"),
    ]
    found = advice(*quotes)
    assert names(found) == ("oak", "elm", "ash")
    assert found.route is not None
    assert found.route.main.supplier == "oak"
    assert found.lead == -10


def test_r16_a_foundry_behind_two_bridges_is_one_family() -> None:
    """Two shops can bridge until the castings come; they are one route to the foundry."""
    quotes = [
        at("30", "oak"),
        at("30.10", "elm"),
        at("10", "ash", lead_time="120 days", tools=[a_tool("500 EUR")]),
    ]
    found = advice(*quotes, likely=300, needed_by="2027-01-09")
    assert found.outcome is Outcome.CHOSEN
    assert [each.route.main.supplier for each in found.ranking] == ["ash", "oak", "elm"]
    assert found.route is not None
    assert [offer.supplier for offer in found.route.offers] == ["oak", "ash"]


def test_r16_a_family_stands_for_its_cheapest_route_and_not_for_the_first_by_commitment() -> None:
    """43 parts bridge 52 days at 300 a year. 43 at 30 commit 1,290 and end at 4,360; a plate of
    200 at 8 commits 1,600, and with 100 castings at 10 and the die for 500 ends at 3,100."""
    quotes = [
        at("30", "oak"),
        at("8", "elm", multiple="200"),
        at("10", "ash", lead_time="120 days", tools=[a_tool("500 EUR")]),
    ]
    found = advice(*quotes, likely=300, needed_by="2027-01-09")
    assert found.cost is not None
    assert (found.cost.route.name, found.cost.total) == ("elm/elm-1 then ash/ash-1", 3100)


def test_no_quote_no_route() -> None:
    found = advice()
    assert (found.outcome, found.route, found.cost) == (Outcome.NO_ROUTE, None, None)


def test_nobody_who_can_make_enough_is_no_route() -> None:
    assert advice(at("10", "oak", capacity_a_month="5")).outcome is Outcome.NO_ROUTE


def test_everybody_too_late_is_no_route() -> None:
    assert advice(at("10", "oak"), needed_by="2026-11-03").outcome is Outcome.NO_ROUTE


@pytest.mark.parametrize("on_hand", ["100", "250"])
def test_what_is_on_hand_may_be_enough_and_then_nothing_is_ordered(on_hand: str) -> None:
    found = advice(at("10", "oak"), at("11", "ash"), on_hand=on_hand)
    assert (found.outcome, found.route, found.ties) == (Outcome.NO_ROUTE, None, ())


WRONG = {"revision": "B"}


def test_r15_a_wrong_revision_that_would_win_leaves_not_enough_known() -> None:
    found = advice(at("10", "oak"), at("8", "ash", **WRONG))
    assert found.outcome is Outcome.UNKNOWN
    assert found.route is None
    (unsettled,) = found.unsettled
    assert (unsettled.offer.supplier, unsettled.saving, unsettled.blocks) == ("ash", 200, True)


@pytest.mark.parametrize(("price", "blocks"), [("9.70", False), ("9.69", True), ("12", False)])
def test_r15_what_would_save_no_more_than_the_margin_does_not_block(
    price: str, blocks: bool
) -> None:
    found = advice(at("10", "oak"), at(price, "ash", **WRONG))
    assert (found.outcome is Outcome.UNKNOWN) is blocks


def test_r15_an_expired_quote_that_would_win_is_told_and_does_not_block() -> None:
    expired = a_quote("ash-1", an_item("8 EUR per 1"), valid_until="2026-11-01")
    found = advice(at("10", "oak"), expired)
    assert found.outcome is Outcome.CHOSEN
    assert [(each.offer.supplier, each.blocks) for each in found.unsettled] == [("ash", False)]


def test_r15_a_supplier_with_another_quote_that_holds_does_not_block() -> None:
    quotes = at("10", "oak"), a_quote("oak-2", an_item("8 EUR per 1", **WRONG))
    assert advice(*quotes).outcome is Outcome.CHOSEN


def test_r15_a_replaced_quote_is_never_heard_of_again() -> None:
    later = a_quote("oak-2", an_item("10 EUR per 1"), replaces="oak-1")
    found = advice(at("5", "oak"), later)
    assert (found.outcome, found.unsettled) == (Outcome.CHOSEN, ())


def test_r20_a_term_that_could_turn_the_answer_blocks_only_where_it_could() -> None:
    term = {"terms": [{"term": "cancellation", "text": "half is due"}]}
    assert advice(at("10", "oak"), at("8", "ash", **term)).outcome is Outcome.UNKNOWN
    assert advice(at("10", "oak"), at("12", "ash", **term)).outcome is Outcome.CHOSEN


def test_where_only_an_unsettled_offer_is_known_not_enough_is() -> None:
    assert advice(at("8", "ash", **WRONG)).outcome is Outcome.UNKNOWN
    expired = a_quote("ash-1", an_item("8 EUR per 1"), valid_until="2026-11-01")
    assert advice(expired).outcome is Outcome.NO_ROUTE


def test_an_offer_without_a_price_might_win_and_blocks() -> None:
    found = advice(at("10", "oak"), a_quote("ash-1", an_item("not quoted")))
    assert found.outcome is Outcome.UNKNOWN
    assert found.unsettled[0].cost is None


def test_an_unsettled_offer_that_cannot_make_enough_does_not_block() -> None:
    late = at("8", "ash", capacity_a_month="5", **WRONG)
    assert advice(at("10", "oak"), late).outcome is Outcome.CHOSEN


def test_r14_the_break_even_belongs_to_the_recommended_route() -> None:
    found = advice(
        at("5", "ash", tools=[a_tool("100 EUR")]), at("9", "oak"), at("10", "fir"), likely=100
    )
    assert found.break_even is not None
    assert found.break_even.tooled is found.route
    assert found.break_even.untooled.main.supplier == "oak"
    assert found.break_even.parity == 25
    assert advice(at("9", "oak")).break_even is None


def test_r14_it_stands_against_the_best_route_without_a_tool_though_another_tool_costs_less() -> (
    None
):
    die, jig = a_tool("100 EUR"), a_tool("150 EUR", tool="jig", what="jig")
    found = advice(at("5", "ash", tools=[die]), at("5", "elm", tools=[jig]), at("9", "oak"))
    assert [each.route.main.supplier for each in found.ranking] == ["ash", "elm", "oak"]
    assert found.break_even is not None
    assert found.break_even.untooled.main.supplier == "oak"


def test_what_the_answer_rests_on_is_said_once() -> None:
    found = advice(at("10", "oak", rejects=None))
    texts = [each.text for each in found.assumptions]
    assert len(texts) == len(set(texts))
    assert any("every piece is taken to be good" in text for text in texts)


def test_ranking_and_lead_are_exact() -> None:
    found = advice(at("0.10", "oak"), at("0.30", "ash"), likely=3)
    assert found.lead == Fraction(6, 10)
