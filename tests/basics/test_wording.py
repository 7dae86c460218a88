"""The words of every problem: complete, in good shape, and each code told by a test."""

from __future__ import annotations

import re
import string
from pathlib import Path

import pytest

from quotegen.basics.wording import WORDINGS, Wording
from quotegen.basics.wording_asking import ASKING
from quotegen.basics.wording_checks import CHECKS
from quotegen.basics.wording_forms import FORMS
from quotegen.basics.wording_quality import QUALITY
from quotegen.basics.wording_received import RECEIVED
from quotegen.basics.wording_written import WRITTEN

TESTS = Path(__file__).parents[1]
CODES = sorted(WORDINGS)


def _texts_of_tests() -> str:
    paths = (path for path in sorted(TESTS.rglob("*.py")) if path != Path(__file__))
    return "\n".join(path.read_text(encoding="utf-8") for path in paths)


def test_every_code_is_told_by_some_test() -> None:
    """No source: a code that no test mentions may never be told."""
    texts = _texts_of_tests()
    untold = [code for code in CODES if not re.search(rf"(?<![\w-]){code}(?![\w-])", texts)]
    assert untold == []


def test_no_code_stands_in_two_tables() -> None:
    """No source: the later table would win in silence."""
    tables = (FORMS, RECEIVED, CHECKS, WRITTEN, QUALITY, ASKING)
    codes = [code for table in tables for code in table]
    assert sorted(codes) == sorted(set(codes))
    assert set(codes) <= set(WORDINGS)


@pytest.mark.parametrize("code", CODES)
def test_a_wording_has_three_sentences(code: str) -> None:
    """No source: what was seen, what happens now, what to do."""
    wording = WORDINGS[code]
    assert re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", code)
    for sentence in (wording.message, wording.happens):
        assert sentence.endswith((".", "{hint}")), sentence
    assert wording.remedy
    assert "  " not in wording.message + wording.happens + wording.remedy


@pytest.mark.parametrize("code", CODES)
def test_a_wording_names_plain_values_alone(code: str) -> None:
    """No source: a template that reached into a value could show what it should not."""
    for name, spec, conversion in _names(WORDINGS[code]):
        assert re.fullmatch(r"[a-z_]+", name)
        assert (spec, conversion) == ("", None)


def _names(wording: Wording) -> list[tuple[str, str, str | None]]:
    whole = wording.message + wording.happens + wording.remedy
    parsed = string.Formatter().parse(whole)
    return [(name, spec or "", mark) for _, name, spec, mark in parsed if name is not None]


@pytest.mark.parametrize("code", [code for code in CODES if WORDINGS[code].severity == "notice"])
def test_a_notice_leaves_nothing_out(code: str) -> None:
    """No source: what is left out is an error."""
    assert "{record}" not in WORDINGS[code].happens
