"""Metal beside cost, by route."""

from __future__ import annotations

from typing import Any

from quotegen.report.views.metal import MetalView, metal_view
from tests.folders import a_part, a_quote, an_item, forms, result_of


def view(*items: Any) -> MetalView | None:
    names = ("oak", "ash", "elm")
    quotes = [a_quote(f"{name}-1", item) for name, item in zip(names, items, strict=False)]
    part = a_part(envelope="62 x 40 x 18 mm")
    result = result_of(forms(*quotes, part=part))
    return metal_view(result.comparison, result.advice)


def test_each_route_has_its_metal_beside_what_is_paid() -> None:
    found = view(
        an_item("10 EUR per 1", process="sand casting"),
        an_item("14 EUR per 1", process="machining"),
    )
    assert found is not None
    rows = [[cell.text for cell in row.cells] for row in found.table.rows]
    poured = ["Pouring at Oak", "100 g", "188 g", "88 g", "19 kg", "1,000"]
    machined = ["Machining at Ash", "100 g", "350 g", "250 g", "35 kg", "1,400"]
    assert [row[:6] for row in rows] == [poured, machined]
    assert found.table.rows[0].cells[2].small == "138 g to 301 g"
    assert found.table.rows[0].marked
    assert found.told == (
        "Pouring at Oak buys least metal: 188 g a good part; machining at Ash buys most, 350 g."
    )
    assert "SFSA casting yield survey of 1997 (high confidence)" in found.sources


def test_what_nobody_has_said_is_no_figure() -> None:
    found = view(an_item("10 EUR per 1", process="metal printing"))
    assert found is not None
    assert [cell.text for cell in found.table.rows[0].cells[2:5]] == ["\N{EN DASH}"] * 3
    assert found.told.startswith("No quote says how much metal")
    assert view() is None


def test_what_is_least_is_said_of_the_routes_that_are_known_alone() -> None:
    """Where one alone is known, nothing is the least."""
    printed = an_item("9 EUR per 1", process="metal printing")
    one = view(an_item("14 EUR per 1", process="machining"), printed)
    assert one is not None
    assert one.told == (
        "Machining at Oak buys 350 g of metal for a good part. Of the other routes it is not known."
    )
    two = view(
        an_item("10 EUR per 1", process="sand casting"),
        an_item("14 EUR per 1", process="machining"),
        printed,
    )
    assert two is not None
    assert two.told.startswith("Pouring at Oak buys least metal, of the routes where it is known: ")
