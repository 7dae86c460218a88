"""One tree and one body have one layout and one fingerprint."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from quotegen.intake.files import RawFile
from quotegen.intake.record_file import fingerprint_of, one_line, prose, rendered, split
from quotegen.intake.yaml_tree import read_tree
from quotegen.model.text import LONGEST_TEXT

WORD = st.text(min_size=1).map(one_line).filter(bool)
TREES = st.dictionaries(
    WORD,
    st.one_of(
        WORD,
        st.lists(WORD, max_size=3),
        st.dictionaries(WORD, WORD, max_size=3),
        st.lists(st.dictionaries(WORD, WORD, min_size=1, max_size=3), max_size=2),
    ),
    max_size=5,
)


def _read(text: str) -> tuple[Any, str]:
    halves = split(text.encode("utf-8"))
    assert halves is not None
    tree = read_tree(RawFile(path="r.md", data=halves[0]), "The record")
    assert tree.problems == ()
    return tree.value, halves[1].decode("utf-8")


@given(tree=TREES, body=st.text().map(prose))
def test_what_is_laid_out_is_read_back(tree: dict[str, Any], body: str) -> None:
    value, rest = _read(rendered({"format": "1", **tree}, body))
    assert value == {**tree, "format": "1"}
    assert rest == f"\n{body}\n"


@given(text=WORD)
def test_other_readers_of_yaml_take_a_text_for_a_text_or_a_day(text: str) -> None:
    """PyYAML's safe loader stands for YAML 1.1, in which `no` and 1.10 are not texts."""
    front = rendered({"key": text}, "").split("---\n")[1]
    read = yaml.safe_load(front)["key"]
    assert str(read) == text


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("chosen", "chosen"),
        ("2026-11-02", "2026-11-02"),
        ("3528.01 EUR", "3528.01 EUR"),
        ("-12.40 EUR", "-12.40 EUR"),
        ("C", "C"),
        ("sha256:00ff", "sha256:00ff"),
        ("It's 5 % more, all-units.", "It's 5 % more, all-units."),
        ("1.10", '"1.10"'),
        ("52", '"52"'),
        ("no", '"no"'),
        ("Null", '"Null"'),
        ("a: b", '"a: b"'),
        ("a:", '"a:"'),
        ("a #b", '"a #b"'),
        ("- a", '"- a"'),
        ('say "so"', '"say \\"so\\""'),
        ("Müller", '"Müller"'),
    ],
)
def test_a_text_is_quoted_only_where_it_could_be_misread(text: str, written: str) -> None:
    assert rendered({"key": text}, "").splitlines()[2] == f"key: {written}"


def test_groups_and_lists_are_laid_out_as_a_person_would() -> None:
    tree = {
        "format": "1",
        "route": ["a", "b"],
        "none": [],
        "reopen if": [{"kind": "k", "about": "x"}, {"kind": "l"}],
        "files": {"a.yaml": "sha256:00"},
    }
    assert rendered(tree, "Because.") == (
        "---\nformat: 1\nroute:\n- a\n- b\nnone: []\nreopen if:\n- kind: k\n  about: x\n"
        "- kind: l\nfiles:\n  a.yaml: sha256:00\n---\n\nBecause.\n"
    )


def test_the_fingerprint_is_the_hash_of_the_canonical_json() -> None:
    """RFC 8785 sorts keys by UTF-16 code units; for ASCII that is what json.dumps can do."""
    tree = {"number": "1", "files": {"b": "2", "a": "1"}, "fingerprint": "left out"}
    expected = {"body": "Why.", "facts": {"number": "1", "files": {"b": "2", "a": "1"}}}
    canonical = json.dumps(expected, sort_keys=True, separators=(",", ":")).encode()
    assert fingerprint_of(tree, "Why.") == "sha256:" + hashlib.sha256(canonical).hexdigest()


def test_the_fingerprint_does_not_depend_on_the_order_of_keys_or_on_composition() -> None:
    composed = fingerprint_of({"a": "\u00e9", "b": "1"}, "\u00c5")
    assert fingerprint_of({"b": "1", "a": "e\u0301"}, "\u212b") == composed


@pytest.mark.parametrize(
    ("tree", "body"),
    [
        ({"a": "2"}, "x"),
        ({"a": "1"}, "y"),
        ({"b": "1"}, "x"),
        ({"a": "1", "b": "1"}, "x"),
        ({"a": ["1"]}, "x"),
        ({"a": "1"}, "x "),
    ],
)
def test_any_other_fact_or_word_has_another_fingerprint(tree: dict[str, Any], body: str) -> None:
    assert fingerprint_of(tree, body) != fingerprint_of({"a": "1"}, "x")


@pytest.mark.parametrize(
    "data", [b"", b"---", b"---\n", b"format: 1\n---\n", b"--- \na: 1\n---\n", b"---\na: 1\n--- \n"]
)
def test_what_has_no_front_matter_is_seen(data: bytes) -> None:
    assert split(data) is None


@pytest.mark.parametrize(
    "data",
    [b"---\na: 1\n---\n\nb\n---\nc\n", b"\xef\xbb\xbf---\r\na: 1\r\n---\r\n\r\nb\r\n---\r\nc\r\n"],
)
def test_the_first_fence_closes_and_line_ends_do_not_count(data: bytes) -> None:
    assert split(data) == (b"---\na: 1\n", b"\nb\n---\nc\n")


def test_an_empty_front_matter_is_one() -> None:
    assert split(b"---\n---\nb\n") == (b"---\n", b"b\n")


def test_a_text_that_is_too_long_is_cut_and_shows_it() -> None:
    assert one_line("x" * LONGEST_TEXT) == "x" * LONGEST_TEXT
    cut = one_line("x" * (LONGEST_TEXT + 1))
    assert (len(cut), cut[-1]) == (LONGEST_TEXT, "\N{HORIZONTAL ELLIPSIS}")


def test_prose_keeps_its_lines_and_loses_what_could_mislead() -> None:
    assert prose(" a\r\nb\rc\n\n\td \u00a0e\x1b[0m\u202e\n") == (
        "a\nb\nc\n\n\td \u00a0e\N{REPLACEMENT CHARACTER}[0m\N{REPLACEMENT CHARACTER}"
    )
