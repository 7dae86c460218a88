"""Codes of units: a small workshop folder in, prices, masses and times by what they say."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from quotegen.model.unit_codes import LENGTHS, MASSES, PIECES, SPANS
from tests.folders import a_part, a_quote, an_item, forms, printed_for

NAMES = {
    "piece": "H87",
    "one": "C62",
    "each": "EA",
    "kilogram": "KGM",
    "gram": "GRM",
    "milligram": "MGM",
    "tonne": "TNE",
    "hundred": "CEN",
    "thousand": "MIL",
    "dozen": "DZN",
    "pair": "PR",
    "day": "DAY",
    "week": "WEE",
    "month": "MON",
    "millimetre": "MMT",
    "metre": "MTR",
    "package piece of recommendation 21": "XPP",
}
NOT_HERE = {
    "set": "SET", "minute": "MIN", "hour": "HUR", "square metre": "MTK", "litre": "LTR",
    "cubic metre": "MTQ", "cubic centimetre": "CMQ",
}  # fmt: skip


def offer(to: Path, price: str, part: Any = None, **item: Any) -> Any:
    content = forms(a_quote("oak-1", an_item(price, **item)), part=part or a_part(1000))
    (found,) = printed_for(content, to)["offers"]
    return found


@pytest.mark.parametrize(
    ("basis", "each"),
    [
        ("H87", "36"),
        ("C62", "36"),
        ("EA", "36"),
        ("XPP", "36"),
        ("PR", "18"),
        ("DZN", "3"),
        ("CEN", "0.36"),
        ("MIL", "0.036"),
        ("100 C62", "0.36"),
        ("KGM", "7.2"),
        ("GRM", "7200"),
        ("100 KGM", "0.072"),
    ],
)
def test_a_price_by_a_coded_unit_is_for_so_many_pieces_or_so_much_mass(
    basis: str, each: str, tmp_path: Path
) -> None:
    """UN/ECE Recommendation 20, revision 11e. A part of 200 g at 36 EUR.

    The traps: CEN is a hundred, MIL a thousand and not a million.
    """
    part = a_part(1000, mass="200 GRM")
    assert offer(tmp_path, f"36 EUR per {basis}", part)["landed_each"] == each


@pytest.mark.parametrize(
    ("mass", "each"),
    [("200 GRM", "7.2"), ("0.2 KGM", "7.2"), ("200000 MGM", "7.2"), ("0.0002 TNE", "7.2")],
)
def test_a_mass_may_be_written_with_its_code(mass: str, each: str, tmp_path: Path) -> None:
    """UN/ECE Recommendation 20, revision 11e. 36 EUR a kilogram."""
    assert offer(tmp_path, "36 EUR per kg", a_part(1000, mass=mass))["landed_each"] == each


@pytest.mark.parametrize(
    ("span", "day"), [("21 DAY", "2026-11-23"), ("3 WEE", "2026-11-23"), ("1 MON", "2026-12-02")]
)
def test_a_time_may_be_written_with_its_code(span: str, day: str, tmp_path: Path) -> None:
    """UN/ECE Recommendation 20, revision 11e. From Monday 2 November 2026; MON is a month and
    not a minute or a Monday."""
    assert offer(tmp_path, "36 EUR per 1", lead_time=span)["first_parts"] == day


def test_a_length_may_be_written_with_its_code(tmp_path: Path) -> None:
    """UN/ECE Recommendation 20, revision 11e."""
    part = a_part(1000, thinnest_wall="4 MMT")
    assert offer(tmp_path, "36 EUR per 1", part)["holds"] is True
    assert LENGTHS["MTR"] == 1000 * LENGTHS["MMT"]


def test_the_codes_that_are_read_are_those_of_the_recommendation() -> None:
    """UN/ECE Recommendation 20, revision 11e, and 21 with the prefix X."""
    assert {*PIECES, *MASSES, *LENGTHS, *SPANS} == set(NAMES.values())


@pytest.mark.parametrize("code", NOT_HERE.values())
def test_a_code_for_something_that_no_part_is_priced_by_is_refused(
    code: str, tmp_path: Path
) -> None:
    """UN/ECE Recommendation 20, revision 11e: known there, and neither pieces nor mass."""
    with pytest.raises(ValueError, match=code):
        offer(tmp_path, f"36 EUR per {code}")
