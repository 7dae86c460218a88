"""What must be said before anybody signs."""

from __future__ import annotations

from typing import Any

from tests.folders import (
    a_part,
    a_quote,
    a_supplier,
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
