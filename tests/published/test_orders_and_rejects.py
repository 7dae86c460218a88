"""How many are ordered for so many good parts: multiples and scrap, by printed figures (R2, R9)."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from tests.folders import Values, a_part, a_quote, an_item, forms, printed_for


def for_good_parts(wanted: int, to: Path, lot: int | None = None, **item: Any) -> Values:
    """At 1 EUR each unless prices are given; all in one order unless a lot is stated."""
    content = forms(
        a_quote("oak-1", an_item("1 EUR per 1", **item)),
        part=a_part(wanted, lot=str(lot or wanted)),
    )
    return printed_for(content, to)


def only_order(found: Values) -> int:
    (route,) = found["routes"]
    ((pieces,),) = route["orders"]
    return int(pieces)


def test_thirty_pieces_from_sheets_of_nine_are_thirty_six(tmp_path: Path) -> None:
    """Ptak & Smith, Orlicky's Material Requirements Planning (authors from memory), ch. 8, Lot
    Sizing, p. 158, found: a sheet is cut into nine pieces, and a lot of 30 becomes 36."""
    found = for_good_parts(30, tmp_path, multiple="9", multiple_is="sheet")
    assert only_order(found) == 36
    (effect,) = found["effects"]
    assert (effect["cause"], effect["wanted"], effect["surplus"]) == ("multiple", 30, 6)


@pytest.mark.parametrize(
    ("good", "scrap", "started"),
    [
        pytest.param(97_000, [3], 100_000, id="the last of three operations"),
        pytest.param(97_000, [4, 1, 3], 105_219, id="all three"),
        pytest.param(1000, [3, 5, 7], 1167, id="another three"),
    ],
)
def test_so_many_pieces_are_ordered_that_the_good_ones_suffice(
    good: int, scrap: list[int], started: int, tmp_path: Path
) -> None:
    """Scrap estimates, lecture notes EIN 4364, chapter 2, found: 97,000 good units with 4, 1 and
    3 % scrap need 105,219, of which the last operation gets 100,000. The other, found as a solved
    problem: 1,000 with 3, 5 and 7 % need 1,167. Several shares in a row are written here as the
    one share of the whole."""
    kept = Fraction(1)
    for each in scrap:
        kept *= Fraction(100 - each, 100)
    rejects = {"share": f"{float(100 * (1 - kept)):.10g} %"}
    found = for_good_parts(good, tmp_path, rejects=rejects)
    assert only_order(found) == started
    (offer,) = found["offers"]
    assert offer["bought"] == good


@pytest.mark.parametrize(("wanted", "bought", "cost"), [(49, 50, "55000"), (89, 90, "81000")])
def test_the_effect_of_a_price_break_is_told_with_its_surplus(
    wanted: int, bought: int, cost: str, tmp_path: Path
) -> None:
    """Lecture notes 4QA3 by A. Gandomi, week 7, after Nahmias, Production and Operations Analysis
    (2009), found: 1,400 to 49 pieces, 1,100 to 89, 900 from 90; C(50) lies below C(49) and C(90)
    below C(89). Orders may be larger than what is wanted where the lot is."""
    steps = {"1": "1400", "50": "1100", "90": "900"}
    tiers = [{"from": start, "price": f"{each} EUR per 1"} for start, each in steps.items()]
    found = for_good_parts(wanted, tmp_path, lot=200, prices=tiers, breaks="all-units")
    assert only_order(found) == bought
    assert found["offers"][0]["total"] == cost
    (effect,) = found["effects"]
    assert (effect["cause"], effect["bought"], effect["surplus"]) == ("break", bought, 1)
