"""Fit and metal in `compare --json`."""

from __future__ import annotations

import json

from tests.folders import a_part, a_quote, an_item, forms, result_of

BORE = {"name": "bore", "size": "20 mm", "tolerance": "H8"}


def test_each_offer_has_its_verdicts_with_sources_and_the_raw_faces() -> None:
    item = an_item("10 EUR per 1", process="investment casting", includes=["reaming"])
    part = a_part(features=[BORE], envelope="62 x 40 x 18 mm")
    found = json.loads(json.dumps(result_of(forms(a_quote("oak-1", item), part=part)).as_json))
    (offer,) = found["fit"]
    assert (offer["quote"], offer["process"]) == ("oak/oak-1", "investment casting")
    bore = offer["requirements"][0]
    assert bore["what"] == "bore 20 mm H8"
    assert (bore["verdict"], bore["by"], bore["left_out"]) == ("machine after", "reaming", False)
    assert {each["confidence"] for each in bore["sources"]} == {"high", "medium"}
    assert bore["place"] == "p.yaml"
    (face,) = offer["faces"]
    assert face["metal_to_leave_mm"] == "1.25"
    assert face["cast_size_mm"] == "18.35"


def test_each_ranked_route_has_its_metal() -> None:
    item = an_item("10 EUR per 1", metal_bought="150 g")
    found = result_of(forms(a_quote("oak-1", item))).as_json
    (metal,) = found["metal"]
    assert metal == {
        "route": "oak/oak-1",
        "good_parts": 100,
        "in_parts_g": "10000",
        "bought_g": "15000",
        "goes_back_g": "5000",
        "from": ["as quoted"],
    }
