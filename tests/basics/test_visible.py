"""What of a text reaches a terminal: all that can be seen, on one line, and nothing it obeys."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.basics.visible import JOINERS, on_a_page, visible


@given(st.text(alphabet=st.characters()))
def test_nothing_is_left_that_a_terminal_obeys_or_that_cannot_be_seen(text: str) -> None:
    """ISO/IEC 6429: control functions begin with a character of Unicode category Cc."""
    shown = visible(text)
    assert len(shown) == len(text)
    assert all(mark in JOINERS or unicodedata.category(mark)[0] != "C" for mark in shown)
    assert shown.splitlines() in ([], [shown])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Sperrklinke für 水車 ✓", "Sperrklinke für 水車 ✓"),
        ("red \x1b[31m", "red \N{REPLACEMENT CHARACTER}[31m"),
        ("\x9b31m", "\N{REPLACEMENT CHARACTER}31m"),
        ("bell\a", "bell\N{REPLACEMENT CHARACTER}"),
        ("two\nlines\r\n", "two lines  "),
        ("a\tb\u00a0c\u2028d\u0085e", "a b c d e"),
        ("turned \u202egnp.exe", "turned \N{REPLACEMENT CHARACTER}gnp.exe"),
        ("\udce9", "\N{REPLACEMENT CHARACTER}"),
        ("क्\u200dष and \ufeff", "क्\u200dष and \N{REPLACEMENT CHARACTER}"),
        ("", ""),
    ],
)
def test_what_is_shown_instead(text: str, expected: str) -> None:
    assert visible(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("two\n\tlines", "two\n\tlines"),
        ("soft\u00adhyphen", "soft\u00adhyphen"),
        ("क्\u200dष", "क्\u200dष"),
        ("turned \u202egnp.exe", "turned \N{REPLACEMENT CHARACTER}gnp.exe"),
        ("red \x1b[31m \x9b0m", "red \N{REPLACEMENT CHARACTER}[31m \N{REPLACEMENT CHARACTER}0m"),
        ("a\u2066b\ufeffc\u200bd", "a\ufffdb\ufffdc\ufffdd"),
        ("hidden \U000e0041", "hidden \N{REPLACEMENT CHARACTER}"),
    ],
)
def test_a_page_keeps_its_lines_and_loses_what_could_turn_them(text: str, expected: str) -> None:
    assert on_a_page(text) == expected
