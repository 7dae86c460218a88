"""Metal by route: in the part, bought for it, melted again."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.judge.metal import PI, Metal, metal_of_offer, metal_of_route
from tests.folders import a_part, a_quote, an_item, forms, result_of


def metal(part: Any = None, **item: Any) -> Metal:
    price = item.pop("price", "10 EUR per 1")
    content = forms(a_quote("oak-1", an_item(price, **item)), part=a_part(**(part or {})))
    return metal_of_offer(result_of(content).offer)


def test_the_quote_counts_before_any_yield() -> None:
    found = metal(process="sand casting", metal_bought="180 g")
    assert (found.in_part, found.bought, found.goes_back) == (100, 180, 80)
    assert found.how == "as quoted"


def test_a_price_by_mass_says_what_is_melted() -> None:
    found = metal(process="metal printing", price="0.3 EUR per g", mass_priced="104 g")
    assert found.bought == 104
    assert metal(process="metal printing", mass_priced="104 g").bought is None


def test_a_steel_casting_is_poured_at_the_yield_of_the_survey() -> None:
    """The raw casting of 120 g over 53.3 %, within 72.7 % and 33.2 %; a tenth is scrap."""
    rejects = {"share": "10 %"}
    found = metal(process="sand casting", mass_shipped="120 g", rejects=rejects)
    each = Fraction(120) / Fraction(9, 10)
    assert found.bought == each / Fraction("0.533")
    assert found.least == each / Fraction("0.727")
    assert found.most == each / Fraction("0.332")
    assert found.in_part == 100


@pytest.mark.parametrize(
    ("envelope", "volume"),
    [
        ("62 x 40 x 18 mm", Fraction(62 * 40 * 18)),
        ("84 x 84 x 42 mm", PI * 84**2 / 4 * 42),
        ("190 x 40 x 40 mm", PI * 40**2 / 4 * 190),
    ],
)
def test_a_machined_part_is_cut_from_the_bar_around_it(envelope: str, volume: Fraction) -> None:
    """Source: the box of the drawing; steel has 7.85 g/cm3."""
    found = metal({"envelope": envelope}, process="machining")
    assert found.bought == volume * Fraction("0.00785")


@pytest.mark.parametrize(
    ("given", "how"),
    [
        ({"process": "metal printing"}, "not stated: ask"),
        ({"process": "machining"}, "not stated: ask"),
        ({"metal_bought": "90 g"}, "the quote states less than the part weighs: ask"),
        ({"metal_bought": "110 g", "rejects": {"share": "100 %"}}, "no good part comes of it"),
    ],
)
def test_what_is_not_known_is_no_figure(given: Any, how: str) -> None:
    found = metal(**given)
    assert (found.bought, found.goes_back, found.how) == (None, None, how)


def test_a_route_adds_up_its_good_parts() -> None:
    content = forms(a_quote("oak-1", an_item("10 EUR per 1", metal_bought="150 g")))
    (cost,) = result_of(content).advice.ranking
    found = metal_of_route(cost)
    assert (found.in_parts, found.bought, found.goes_back) == (10_000, 15_000, 5_000)
