"""What a part still needs over the planning months."""

from __future__ import annotations

import pytest

from quotegen.model.part import Part


@pytest.mark.parametrize(
    ("on_hand", "months", "a_year", "wanted"),
    [
        (0, 12, 100, 100),
        (0, 24, 100, 200),
        (30, 12, 100, 70),
        (100, 12, 100, 0),
        (200, 12, 100, 0),
        (0, 7, 100, 59),
        (0, 6, 100, 50),
    ],
)
def test_what_is_on_hand_need_not_be_bought(
    on_hand: int, months: int, a_year: int, wanted: int
) -> None:
    """No source: part of a piece is a piece."""
    part = Part.model_validate(
        {
            "format": "1",
            "name": "Pawl",
            "revision": "A",
            "material": "steel",
            "mass": "86 g",
            "demand": {"low": "1", "likely": "2", "high": "3"},
            "on hand": str(on_hand),
        }
    )
    assert part.pieces_over(months, a_year) == wanted
