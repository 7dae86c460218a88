"""Which metal a material is, by its words."""

from __future__ import annotations

import pytest

from quotegen.fit.materials import density_of, metal_of, yield_of
from quotegen.model.fields import Process


@pytest.mark.parametrize(
    ("text", "metal"),
    [
        ("stainless steel 1.4542", "steel"),
        ("C45+N", "steel"),
        ("G20Mn5", "steel"),
        ("plate S355J2", "steel"),
        ("zinc plated steel S235JR", "steel"),
        ("ductile iron EN-GJS-500-7", "ductile iron"),
        ("gray iron", "grey iron"),
        ("tin bronze CuSn12-C", "copper"),
        ("AlSi10Mg", "light metal"),
        ("IN718", "nickel"),
        ("steel C45, offered in place of ductile iron", None),
        ("plastic", None),
    ],
)
def test_a_material_is_told_by_its_words_and_two_metals_are_none(
    text: str, metal: str | None
) -> None:
    assert metal_of(text) == metal


def test_the_quoted_material_counts_before_that_of_the_drawing() -> None:
    assert metal_of("AlSi10Mg", "steel") == "light metal"
    assert metal_of(None, "steel") == "steel"
    assert metal_of("as drawn", "steel") == "steel"


def test_steel_has_a_density_and_other_processes_no_yield() -> None:
    assert float(density_of("steel")[0]) == 0.00785
    assert yield_of(Process.MACHINING, "steel") is None
    survey = yield_of(Process.SAND_CASTING, "steel")
    other = yield_of(Process.SAND_CASTING, "ductile iron")
    assert survey is not None
    assert other is not None
    assert survey.source != other.source
