"""Texts that are cut by one rule: the rule is ours, no source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.report.charts.letters import width
from quotegen.report.fitting import Space, fitted, is_cut, lines_of

COLUMN = Space(width=100, size=10, lines=2)
FIRST = "Pour the pawl."
SECOND = "Print the first ones while the die is made."


def test_a_text_that_fits_is_left_alone() -> None:
    assert fitted(FIRST, COLUMN) == FIRST


def test_whole_sentences_are_kept_as_long_as_they_fit() -> None:
    assert fitted(f"{FIRST} {SECOND}", COLUMN) == f"{FIRST} …"


def test_a_first_sentence_that_is_too_long_is_cut_after_a_word() -> None:
    text = fitted(SECOND, Space(width=100, size=10, lines=1))
    assert text == "Print the first ones…"


def test_a_word_without_end_is_broken() -> None:
    text = fitted("W" * 500, COLUMN)
    assert is_cut(text)
    assert lines_of(text, COLUMN) == 2


@pytest.mark.parametrize(("letters", "lines"), [(1, 1), (10, 1), (11, 2), (20, 2), (21, 3)])
def test_lines_are_counted_by_the_width_of_the_bundled_font(letters: int, lines: int) -> None:
    column = Space(width=width("n" * 10, 10) + 0.01, size=10, lines=9)
    assert lines_of("n" * letters, column) == lines


@given(st.text(st.characters(codec="latin-1"), max_size=400), st.integers(1, 4))
def test_what_is_fitted_fits(text: str, lines: int) -> None:
    column = Space(width=100, size=10, lines=lines)
    assert lines_of(fitted(text, column), column) <= lines
