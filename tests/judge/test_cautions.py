"""What must be said before anybody signs."""

from __future__ import annotations

from typing import Any

import pytest

from quotegen.judge.cautions import WHAT_TO_TEST
from quotegen.model.fields import Process
from tests.folders import (
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_way_from,
    a_workshop,
    an_item,
    forms,
    result_of,
)


def cautions(
    part: Any = None, quote: Any = None, workshop: Any = None, supplier: Any = None
) -> str:
    content = forms(
        a_quote("oak-1", an_item("10 EUR per 1"), **(quote or {})),
        part=part or a_part(),
        workshop=workshop,
        suppliers={"oak": supplier or a_supplier()},
    )
    return "\n".join(result_of(content).advice.cautions)


def test_a_part_that_bears_no_load_has_no_caution_about_its_metal() -> None:
    assert "metal" not in cautions()
    assert "Terms of contract" in cautions()


def test_a_part_that_bears_load_asks_for_certificates_and_an_engineer() -> None:
    said = cautions(a_part(load="bears load", relied_on_for="holding the warp beam"))
    assert "pawl bears load" in said
    assert "holding the warp beam" in said
    for words in ("EN 10204", "first-article", "qualified engineer", "codes"):
        assert words in said


def test_a_part_that_a_person_relies_on_says_so_first() -> None:
    said = cautions(a_part(load="a person relies on it"))
    assert said.startswith("A person relies on the pawl")


def test_duty_is_an_estimate_until_a_broker_confirms_it_where_there_is_any() -> None:
    assert "customs broker" not in cautions()
    duty = {
        "goods code": "8448",
        "origin": "GB",
        "rate": "0 %",
        "since": "2026-01-01",
        "source": "t",
    }
    way = a_way_from("GB", import_clearance="0 EUR")
    said = cautions(
        a_part(goods_code="8448"),
        {"delivery": "FCA Leeds"},
        a_workshop(duty=[duty], delivery=[way]),
        a_supplier(country="GB"),
    )
    assert "customs broker" in said


BRIDGE = [
    a_quote(
        "oak-1",
        an_item(
            "2 EUR per 1",
            process="investment casting",
            lead_time="20 working days",
            tools=[a_tool("300 EUR", takes="6 weeks")],
        ),
    ),
    a_quote("ash-1", an_item("9 EUR per 1", process="metal printing", lead_time="2 working days")),
]


def bridged(load: str, **part: Any) -> list[str]:
    """Ash prints what is needed until oak's die is made."""
    form = a_part(400, needed_by="2026-11-16", load=load, lot="100", **part)
    advice = result_of(forms(*BRIDGE, part=form)).advice
    assert advice.route is not None
    assert len({offer.process for offer in advice.route.offers}) == 2
    return list(advice.cautions)


@pytest.mark.parametrize("load", ["bears load", "a person relies on it"])
def test_a_change_of_process_comes_after_certificate_first_article_and_engineer(load: str) -> None:
    said = bridged(load)
    change = next(i for i, each in enumerate(said) if "changes the process" in each)
    before = " ".join(said[:change])
    for words in ("EN 10204", "first-article", "qualified engineer"):
        assert words in before
    assert "metal printing and investment casting" in said[change]


def test_each_process_of_the_route_has_its_own_tests() -> None:
    said = "\n".join(bridged("bears load"))
    assert "for metal printing: tensile bars built beside them" in said
    assert "for investment casting: tensile bars poured from the same melt" in said
    assert "for machining" not in said
    assert "changes the process" not in "\n".join(bridged("none"))


def test_what_to_test_by_each_process_comes_before_what_is_to_be_confirmed() -> None:
    """A page that is cut short loses the end: the tests of a changed process stand before it."""
    seat = {"name": "seat", "size": "9 mm", "tolerance": "+/- 0.2 mm"}
    said = bridged("bears load", features=[seat])
    (last_test,) = [n for n, each in enumerate(said) if "for investment casting: " in each]
    (confirmed,) = [n for n, each in enumerate(said) if each.startswith("To be confirmed")]
    assert last_test == 4
    assert confirmed > last_test


def test_a_face_that_is_tumbled_is_not_said_to_be_machined() -> None:
    part = a_part(surface="path Ra 0.8 um", operations=["tumbling"])
    item = an_item("9 EUR per 1", process="investment casting", includes=["tumbling"])
    found = result_of(forms(a_quote("ash-1", item), part=part)).advice.cautions
    assert found[0] == "Smoothed after the process: path (tumbling)."


def test_a_person_who_relies_on_it_asks_for_a_proof_load_and_the_right_certificate() -> None:
    said = "\n".join(bridged("a person relies on it"))
    assert "proof load" in said
    assert "3.2" in said
    assert "proof load" not in "\n".join(bridged("bears load"))


def test_a_quote_without_a_certificate_is_named() -> None:
    said = "\n".join(bridged("bears load", certificates=["EN 10204 3.2"]))
    assert "No certificate is quoted by Ash and Oak: EN 10204 3.2 belongs in the order." in said


def test_every_process_has_its_tests() -> None:
    assert set(WHAT_TO_TEST) == set(Process)


def test_what_the_route_leaves_to_be_machined_is_said_before_anybody_signs() -> None:
    bore = {"name": "bore", "size": "20 mm", "tolerance": "H8"}
    seat = {"name": "seat", "size": "9 mm", "tolerance": "+/- 0.2 mm"}
    part = a_part(features=[bore, seat], operations=["ream the bore"])
    item = an_item("9 EUR per 1", process="metal printing", includes=["ream the bore"])
    found = result_of(forms(a_quote("ash-1", item), part=part)).advice.cautions
    assert found[0] == "Machined after the process: bore (ream the bore)."
    assert found[1] == "To be confirmed in writing: seat 9 mm +/- 0.2 mm."
