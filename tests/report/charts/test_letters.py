"""Text widths, wrapping and shortening with the bundled font."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from quotegen.report.charts.letters import (
    ELLIPSIS,
    FILES,
    REGULAR,
    SEMIBOLD,
    font_folder,
    shortened,
    shown,
    width,
    wrapped,
)

WEIGHTS = st.sampled_from([REGULAR, SEMIBOLD])
TEXTS = st.text(st.characters(codec="latin-1", categories=("L", "N", "P", "Zs")), max_size=80)


@pytest.mark.parametrize("weight", [REGULAR, SEMIBOLD])
@pytest.mark.parametrize(
    "text", ["print 52, then pour", "16,000", "Gießerei Łódź, 1.15 ≥ 1 → Δ", "WAVE To"]
)
def test_a_width_is_what_another_reader_of_the_font_measures(text: str, weight: int) -> None:
    """FreeType through Pillow, at a size where rounding to its grid is below one per cent."""
    font = ImageFont.truetype(
        str(font_folder() / FILES[weight]), 1000, layout_engine=ImageFont.Layout.BASIC
    )
    assert width(text, 1000, weight) == pytest.approx(font.getlength(text), rel=0.01)


def test_figures_are_all_of_one_width() -> None:
    """Measured: Source Sans 3 has tabular figures unasked, 0.497 em wide."""
    assert {round(width(figure, 1), 3) for figure in "0123456789"} == {0.497}


def test_a_letter_that_the_font_has_not_is_shown_as_a_question_mark() -> None:
    """PDF/UA-1 (ISO 14289-1, 7.21.8) allows no reference to a missing glyph."""
    assert shown("die 铸造 \U0001f529 ≥ 2") == "die ?? ? ≥ 2"
    assert shown("e\N{COMBINING ACUTE ACCENT}") == "é"
    assert shown("a\N{RIGHT-TO-LEFT OVERRIDE}b\x00c") == "a?b?c"
    assert shown("  one\n\t line\N{NO-BREAK SPACE}only ") == "one line only"
    assert len(shown("x" * 100_000)) == 300


@given(TEXTS, st.floats(20, 300), WEIGHTS, st.integers(1, 4))
def test_no_wrapped_line_is_wider_than_its_room(
    text: str, room: float, weight: int, most: int
) -> None:
    """No source: else it would leave the sheet or run into its neighbour."""
    lines = wrapped(text, room, 10, weight, most)
    assert len(lines) <= most
    assert all(width(line, 10, weight) <= room for line in lines)


@given(TEXTS, st.floats(20, 300), WEIGHTS)
def test_wrapping_loses_nothing_but_blanks_where_there_are_lines_enough(
    text: str, room: float, weight: int
) -> None:
    """No source: shortening is only for what does not fit."""
    lines = wrapped(text, room, 10, weight, most=100)
    assert "".join(lines).replace(" ", "") == shown(text).replace(" ", "")


def test_lines_are_of_like_length() -> None:
    """No source: "14 to a" and "tree" read worse than two halves."""
    text = "die 2,200, then 13.90 each, 14 to a tree"
    assert wrapped(text, 150, 10) == ("die 2,200, then 13.90", "each, 14 to a tree")


@given(TEXTS, st.floats(10, 300), WEIGHTS)
def test_a_text_that_fits_is_not_shortened_and_one_that_does_not_says_so(
    text: str, room: float, weight: int
) -> None:
    """No source: an ellipsis is a promise that there is more."""
    cut = shortened(text, room, 10, weight)
    assert width(cut, 10, weight) <= room
    if width(text, 10, weight) <= room:
        assert cut == text
    else:
        assert cut.endswith(ELLIPSIS)
        assert text.startswith(cut.removesuffix(ELLIPSIS))


def test_no_room_at_all_leaves_no_text() -> None:
    assert shortened("print all", 2, 10) == ""
    assert wrapped("", 100, 10) == ()
