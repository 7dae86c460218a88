"""Roughness out of the words of a drawing."""

from __future__ import annotations

from fractions import Fraction

import pytest

from quotegen.basics.number import Unreadable
from quotegen.fit.surfaces import read_surface


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", []),
        ("blasted", []),
        ("blasted, working faces Ra 3.2 um", [("working faces", "3.2")]),
        ("journal ground, Ra 0.4 um", [("journal ground", "0.4")]),
        ("Ra 6.3 \N{MICRO SIGN}m", [("surface", "6.3")]),
        ("flank Ra 0,8 um, hardened to 58 HRC", [("flank", "0.8")]),
        ("all Ra 6.3 um; bore Ra 1.6 um", [("all", "6.3"), ("bore", "1.6")]),
        ("sole Ra 125 uin", [("sole", "3.175")]),
    ],
)
def test_each_roughness_has_its_place(text: str, found: list[tuple[str, str]]) -> None:
    assert [(x.name, x.ra) for x in read_surface(text)] == [(n, Fraction(v)) for n, v in found]


@pytest.mark.parametrize("text", ["Ra 3.2", "bore Rz 16 um", "Ra 0 um", "Ra 1.000 um"])
def test_another_measure_or_none_is_refused(text: str) -> None:
    """Without a unit, 125 may be micro-inches; Rz is another figure than Ra."""
    with pytest.raises(Unreadable) as refused:
        read_surface(text)
    assert refused.value.code == "roughness-unread"
