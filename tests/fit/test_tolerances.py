"""A written tolerance has one reading at its nominal, or none at all."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.basics.number import Unreadable
from quotegen.fit.tolerances import Side, read_tolerance

TEN = Fraction(10)


@pytest.mark.parametrize(
    ("written", "width", "side"),
    [
        ("H8", "0.022", Side.HOLE),
        ("h9", "0.036", Side.SHAFT),
        ("JS9", "0.036", Side.HOLE),
        ("js9", "0.036", Side.SHAFT),
        ("P9", "0.036", Side.HOLE),
        ("zc 9", "0.036", Side.SHAFT),
        ("IT9", "0.036", Side.NOT_SAID),
        ("+/- 0.10 mm", "0.2", Side.NOT_SAID),
        ("\N{PLUS-MINUS SIGN}0.10 mm", "0.2", Side.NOT_SAID),
        ("+/- 0,25 mm", "0.5", Side.NOT_SAID),
        ("+/- 50 um", "0.1", Side.NOT_SAID),
        ("+/- 0.005 in", "0.254", Side.NOT_SAID),
        ("+/- 0.5 %", "0.1", Side.NOT_SAID),
        ("+0.1 -0.2 mm", "0.3", Side.NOT_SAID),
        ("+0.2/0 mm", "0.2", Side.NOT_SAID),
        ("0/-0.05 mm", "0.05", Side.NOT_SAID),
        ("+0.3 +0.1 mm", "0.2", Side.NOT_SAID),
        ("-0.1 \N{MINUS SIGN}0.3 mm", "0.2", Side.NOT_SAID),
        ("+100 um -0.2 mm", "0.3", Side.NOT_SAID),
        ("0.2 mm total", "0.2", Side.NOT_SAID),
        ("total 0.2 mm", "0.2", Side.NOT_SAID),
        ("ISO 2768-m", "0.4", Side.NOT_SAID),
        ("ISO 2768-mK", "0.4", Side.NOT_SAID),
        ("ISO 2768-1 c", "1", Side.NOT_SAID),
        ("DCTG 6", "0.52", Side.NOT_SAID),
        ("ISO 8062-3 - DCTG 6", "0.52", Side.NOT_SAID),
    ],
)
def test_each_form_gives_the_whole_band_at_ten_millimetres(
    written: str, width: str, side: Side
) -> None:
    found = read_tolerance(written, TEN)
    assert (found.width, found.side) == (Fraction(width), side)


@pytest.mark.parametrize(
    "written",
    [
        "0.2 mm",  # in all, or to each side
        "+0.2 mm",
        "0.2",
        "+/- 0.1",  # mm or in
        "+0.1/-0.2",
        "0.1/0.2 mm",  # without signs
        "H7/g6",  # of which of the two parts
        "+/- 1,000 mm",  # one, or a thousand
    ],
)
def test_two_readings_are_refused(written: str) -> None:
    with pytest.raises(Unreadable) as refused:
        read_tolerance(written, TEN)
    assert refused.value.code == "tolerance-two-readings"


@pytest.mark.parametrize(
    ("written", "size", "code", "expected"),
    [
        ("H4", 10, "tolerance-grade", "IT5 to IT18 (ISO 286-1:2010, Table 1)"),
        ("h19", 10, "tolerance-grade", "IT5 to IT18 (ISO 286-1:2010, Table 1)"),
        ("DCTG 17", 10, "tolerance-grade", "DCTG 1 to DCTG 16 (ISO 8062-3:2007, Table 2)"),
        ("ISO 2768-k", 10, "tolerance-grade", "f to v (ISO 2768-1:1989, Table 1)"),
        ("H7", 501, "tolerance-size", "0 mm to 500 mm for IT7 (ISO 286-1:2010, Table 1)"),
        ("DCTG 13", 16, "tolerance-size", "16 mm to 10000 mm for DCTG 13"),
        ("ISO 2768-f", 2001, "tolerance-size", "0.5 mm to 2000 mm for f"),
    ],
)
def test_what_a_table_lacks_is_refused_with_its_range(
    written: str, size: int, code: str, expected: str
) -> None:
    with pytest.raises(Unreadable) as refused:
        read_tolerance(written, Fraction(size))
    assert refused.value.code == code
    assert expected in refused.value.values["expected"]


@pytest.mark.parametrize(
    "written",
    ["", "L7", "Js9", "flat to 0.05", "CT 6", "ISO 2768", "+/- 0 mm", "0 0 mm", "Ra 3.2 um", "7"],
)
def test_what_is_no_tolerance_of_a_size_is_not_read(written: str) -> None:
    with pytest.raises(Unreadable) as refused:
        read_tolerance(written, TEN)
    assert refused.value.code in ("tolerance-unread", "tolerance-two-readings")
    assert (refused.value.code == "tolerance-two-readings") == (written == "7")


@given(st.text(alphabet="HhJS0123456789+-/. ,mtoal%ISODCTG\N{PLUS-MINUS SIGN}", max_size=14))
def test_any_text_is_a_band_above_zero_or_refused(written: str) -> None:
    try:
        width = read_tolerance(written, TEN).width
    except Unreadable as refused:
        width, code = Fraction(1), refused.code
    else:
        code = "tolerance-read"
    assert width > 0
    assert code.startswith("tolerance-")


@given(st.integers(1, 500), st.integers(1, 500), st.integers(5, 17))
def test_bands_grow_with_the_size_and_with_the_grade(one: int, other: int, grade: int) -> None:
    small, large = Fraction(min(one, other)), Fraction(max(one, other))
    width = read_tolerance(f"H{grade}", small).width
    assert width <= read_tolerance(f"H{grade}", large).width
    assert width < read_tolerance(f"H{grade + 1}", small).width


@given(st.decimals("0.001", "9", places=3), st.decimals("0.001", "9", places=3))
def test_limits_are_as_wide_as_they_lie_apart(up: object, down: object) -> None:
    """Independent of the order and of where the nominal lies between them."""
    up_, down_ = f"{up}0", f"{down}0"  # four decimals have one reading
    apart = Fraction(up_) + Fraction(down_)
    assert read_tolerance(f"+{up_} -{down_} mm", TEN).width == apart
    assert read_tolerance(f"-{down_} +{up_} mm", TEN).width == apart
    assert read_tolerance(f"+/- {up_} mm", TEN).width == 2 * Fraction(up_)
