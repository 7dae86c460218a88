"""The cheapest route for every quantity, and what happens beyond the last one shown."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from quotegen.compare.envelope import Envelope, envelope_of
from quotegen.compare.route import Route
from tests.compare.test_lots import REACH, brute, routes_of
from tests.folders import a_part, a_quote, a_tool, an_item, forms, result_of
from tests.strategies import Drawn, folders


def check_against_brute_force(drawn: Drawn) -> None:
    """At every quantity the winner is the first route, in the given order, of the least cost."""
    found = result_of(drawn.content)
    routes = routes_of(drawn, found)
    least = [brute(drawn, route.main, found).best(drawn.lot, REACH) for route in routes]
    envelope = envelope_of(routes)
    named = {n: span.route for span in envelope.spans for n in range(span.first, span.last + 1)}
    for n in range(1, REACH + 1):
        costs = [best[n].cost if best[n] is not None else None for best in least]  # type: ignore[union-attr]
        known = [cost for cost in costs if cost is not None]
        expected = routes[costs.index(min(known))] if known else None
        assert named.get(n) is expected, n


@given(folders(most_quotes=4))
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_the_envelope_agrees_with_trying_every_way_to_order(drawn: Drawn) -> None:
    check_against_brute_force(drawn)


@pytest.mark.soak
@given(folders(most_quotes=4))
@settings(suppress_health_check=[HealthCheck.too_slow])
def test_the_envelope_agrees_with_trying_every_way_to_order_at_length(drawn: Drawn) -> None:
    check_against_brute_force(drawn)


@given(folders(most_quotes=4))
@settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow])
def test_spans_follow_each_other_and_never_name_one_route_twice_in_a_row(drawn: Drawn) -> None:
    spans = envelope_of(routes_of(drawn, result_of(drawn.content))).spans
    for before, after in pairwise(spans):
        assert before.first <= before.last < after.first
        assert before.last + 1 < after.first or before.route is not after.route


def of(*quotes: Any, **part: Any) -> tuple[Envelope, list[Route]]:
    found = result_of(forms(*quotes, part=a_part(**part)))
    return found.plain.envelope, list(found.comparison.routes)


def spans(envelope: Envelope) -> list[tuple[int, int, str]]:
    return [(span.first, span.last, span.route.main.supplier) for span in envelope.spans]


OAK = a_quote("oak-1", an_item("10 EUR per 1"))


def test_no_quote_no_span() -> None:
    envelope, _ = of()
    assert envelope == Envelope(spans=(), reach=0, beyond=None)


def test_a_quantity_that_nobody_can_make_has_no_span() -> None:
    """One supplier, 10 a month for a year: 120 in all."""
    item = an_item("10 EUR per 1", capacity_a_month="10")
    envelope, _ = of(a_quote("oak-1", item), likely=100, lot="10")
    assert spans(envelope) == [(1, 120, "oak")]
    assert envelope.reach == 200
    assert envelope.beyond is None


def test_where_the_cheapest_cannot_make_more_the_next_takes_over() -> None:
    item = an_item("9 EUR per 1", capacity_a_month="10")
    envelope, _ = of(a_quote("ash-1", item), OAK, likely=100, lot="10")
    assert spans(envelope) == [(1, 120, "ash"), (121, 200, "oak")]
    assert envelope.beyond is not None
    assert envelope.beyond.main.supplier == "oak"


def test_beyond_what_is_shown_the_route_wins_whose_next_part_costs_least() -> None:
    """A tool for 9,000 saves 1 a piece: it pays from 9,000 on, far beyond the 200 shown."""
    tooled = a_quote("elm-1", an_item("9 EUR per 1", tools=[a_tool("9000 EUR", life="100")]))
    lasting = a_quote("elm-1", an_item("9 EUR per 1", tools=[a_tool("9000 EUR")]))
    for quote, winner in ((lasting, "elm"), (tooled, "oak")):
        envelope, _ = of(quote, OAK, likely=10)
        assert spans(envelope)[0][2] == "oak"
        assert envelope.beyond is not None
        assert envelope.beyond.main.supplier == winner


def test_a_tie_goes_to_the_route_that_commits_less_then_to_the_earlier_one() -> None:
    """10 pieces at 10 cost as much as a tool for 10 and 9 a piece."""
    tooled = a_quote("ash-1", an_item("9 EUR per 1", tools=[a_tool("10 EUR")]))
    envelope, _ = of(tooled, OAK, likely=30)
    assert spans(envelope) == [(1, 10, "oak"), (11, 100, "ash")]
    slow = a_quote("ash-1", an_item("10 EUR per 1", lead_time="30 working days"))
    envelope, _ = of(slow, OAK, likely=30)
    assert spans(envelope) == [(1, 100, "oak")]


def test_money_too_fine_for_64_bits_is_compared_exactly() -> None:
    """At published dollar rates the amounts of a bill have denominators of many digits."""
    prices = ["10.000000000001 USD per 3", "10.000000000002 USD per 3"]
    quotes = [
        a_quote(f"{name}-1", an_item(price, surcharges=[{"what": "s", "rate": "3.3333333 %"}]),
                currency="USD")
        for name, price in zip(("oak", "ash"), prices, strict=True)
    ]  # fmt: skip
    envelope, routes = of(*quotes, likely=1000)
    assert {route.curve.costs.dtype for route in routes} == {np.dtype(object)}
    assert spans(envelope) == [(1, 2000, "oak")]
