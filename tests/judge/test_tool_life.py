"""A tool that is to last longer than its kind is asked about."""

from __future__ import annotations

from typing import Any

import pytest

from quotegen.costing.offer import Standing
from tests.folders import a_part, a_quote, a_tool, an_item, forms, result_of


def asked(process: str, life: str, material: str = "steel") -> list[Any]:
    item = an_item("10 EUR per 1", process=process, tools=[a_tool("9 EUR", life=life)])
    content = forms(a_quote("oak-1", item), part=a_part(material=material))
    found = result_of(content)
    assert found.offer.standing is Standing.HOLDS
    return [each for each in found.advice.questions if each.code == "tool-life-long"]


@pytest.mark.parametrize(
    ("process", "material", "life", "count"),
    [
        ("investment casting", "steel", "200000 shots", 0),
        ("investment casting", "steel", "200001 shots", 1),
        ("investment casting", "steel", "not quoted", 0),
        ("pressure die casting", "zinc", "900000 shots", 0),
        ("pressure die casting", "AlSi10Mg", "900000 shots", 1),
        ("gravity die casting", "bronze", "900000 shots", 0),
        ("sand casting", "steel", "900000 shots", 0),
    ],
)
def test_a_life_above_the_usual_is_a_question_that_blocks_nothing(
    process: str, material: str, life: str, count: int
) -> None:
    found = asked(process, life, material)
    assert len(found) == count
    assert not any(each.blocks for each in found)
