"""Forms in YAML as trees: nothing guessed, nothing expanded, every value with its place."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from quotegen.basics.problem import Problem
from quotegen.intake.files import RawFile, Refused
from quotegen.intake.yaml_tree import DEEPEST, Tree, in_words, read_tree

RECORD = "The quote x"


def _tree(text: str | bytes) -> Tree:
    data = text.encode() if isinstance(text, str) else text
    return read_tree(RawFile(path="x.yaml", data=data), RECORD)


def _refusal(text: str | bytes) -> str:
    with pytest.raises(Refused) as refused:
        _tree(text)
    problem = refused.value.problem
    return f"{problem.place} {problem.code}: {problem.message}"


@pytest.mark.parametrize(
    "word", ["NO", "yes", "on", "012", "8:30", "1.10", "1e3", "0x10", "2026-10-12", ".inf", "<<"]
)
def test_a_word_stays_the_text_that_was_written(word: str) -> None:
    """YAML 1.1 makes other things of each of these words."""
    assert _tree(f"a: {word}\n").value == {"a": word}


@pytest.mark.parametrize("word", ["", "~", "null", "Null", "NULL"])
def test_nothing_is_nothing_however_it_is_written(word: str) -> None:
    """YAML 1.2.2, section 10.3.2, core schema."""
    assert _tree(f"a: {word}\n").value == {"a": None}
    assert _tree(f"a: '{word}'\n").value == {"a": word}


def test_every_value_and_key_has_its_place() -> None:
    """No source: lines and columns from 1; a group and a list begin at their first key or dash."""
    tree = _tree("a: 1\nlist:\n  - x\n  - k: [é, y]\n    m: z\n")
    assert tree.value == {"a": "1", "list": ["x", {"k": ["é", "y"], "m": "z"}]}
    places = {
        (): "x.yaml:1:1",
        ("a",): "x.yaml:1:4",
        ("list",): "x.yaml:3:3",
        ("list", 0): "x.yaml:3:5",
        ("list", 1): "x.yaml:4:5",
        ("list", 1, "k", 1): "x.yaml:4:12",
        ("list", 1, "m"): "x.yaml:5:8",
        ("list", 1, "none"): "x.yaml:4:5",
    }
    assert {keys: str(tree.places.of(*keys)) for keys in places} == places
    assert str(tree.key_at("list", 1, "m")) == "x.yaml:5:5"
    assert str(tree.within("list", 1).key_at("m")) == "x.yaml:5:5"
    assert str(tree.within("list", 1).places.of("k", 1)) == "x.yaml:4:12"


def test_a_byte_order_mark_moves_nothing() -> None:
    """No source: some editors begin a file with one."""
    tree = _tree(b"\xef\xbb\xbfa: 1\n")
    assert tree.value == {"a": "1"}
    assert str(tree.key_at("a")) == "x.yaml:1:1"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param("# x\n", "x.yaml file-empty: The file is empty.", id="only a remark"),
        pytest.param(
            b"\x89PNG\r\n",
            "x.yaml file-kind: The file is not what its name says: expected a form in YAML, found "
            "a picture.",
            id="a picture",
        ),
        pytest.param(
            b"PK\x03\x04\x14",
            "x.yaml file-kind: The file is not what its name says: expected a form in YAML, found "
            "a ZIP file such as XLSX.",
            id="a workbook",
        ),
        pytest.param(
            "a: 1\nb: \xe9\n".encode("latin-1"),
            "x.yaml:2:1 file-not-text: The file is not UTF-8 text (byte 0xe9).",
            id="another character set",
        ),
        pytest.param(
            "a: 1\nb: x\x07\n",
            "x.yaml:2:1 yaml-broken: The form cannot be read as YAML: a control character stands "
            "in it.",
            id="a control character",
        ),
        pytest.param(
            "a:\n\tb: 1\n",
            "x.yaml:2:1 yaml-broken: The form cannot be read as YAML: a tab stands before the "
            "first word; indent with spaces.",
            id="a tab",
        ),
        pytest.param(
            "a: b: c\n",
            "x.yaml:1:5 yaml-broken: The form cannot be read as YAML: mapping values are not "
            "allowed in this context.",
            id="two colons",
        ),
        pytest.param(
            "a: 'b\n",
            "x.yaml:2:1 yaml-broken: The form cannot be read as YAML: found unexpected end of "
            "stream.",
            id="an open quotation mark",
        ),
        pytest.param(
            "a: &x 1\nb: 2\n",
            "x.yaml:1:4 yaml-alias: The form uses an anchor, an alias or a tag (&x); forms are "
            "plain.",
            id="an anchor",
        ),
        pytest.param(
            "a: 1\nb: *x\n",
            "x.yaml:2:4 yaml-alias: The form uses an anchor, an alias or a tag (*x); forms are "
            "plain.",
            id="an alias",
        ),
        pytest.param(
            "a: !!python/object:os.system x\n",
            "x.yaml:1:4 yaml-alias: The form uses an anchor, an alias or a tag "
            "(tag:yaml.org,2002:python/object:os.system); forms are plain.",
            id="a tag",
        ),
        pytest.param(
            "? [a, b]\n: c\n",
            "x.yaml:1:3 not-a-form: form: expected a key, found a list or a group.",
            id="a list for a key",
        ),
        pytest.param(
            "a: 1\n---\nb: 2\n",
            "x.yaml:2:1 not-a-form: form: expected one form, found a second.",
            id="two documents",
        ),
    ],
)
def test_what_cannot_be_a_form_is_refused_where_it_stands(text: str | bytes, expected: str) -> None:
    """YAML 1.2.2 for what is broken; what is refused beyond it is our own rule."""
    assert _refusal(text) == expected


def test_a_form_may_be_as_deep_as_the_limit_and_no_deeper() -> None:
    """No source: the innermost list is the last that is allowed."""
    assert _tree("[" * DEEPEST + "]" * DEEPEST).value is not None
    expected = f"x.yaml:1:{DEEPEST + 1} yaml-too-deep: The form is nested deeper than 12 levels."
    assert _refusal("[" * (DEEPEST + 1) + "]" * (DEEPEST + 1)) == expected


def test_a_hundred_thousand_brackets_end_at_once() -> None:
    """No source: neither the memory nor the stack runs out."""
    assert "nesting depth" in _refusal("[" * 100_000)


def test_aliases_are_refused_before_they_grow() -> None:
    """No source: ten levels of nine stand for three thousand million values."""
    levels = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    for number in range(1, 10):
        before = ", ".join([f"*a{number - 1}"] * 9)
        levels.append(f"a{number}: &a{number} [{before}]")
    assert _refusal("\n".join(levels)).startswith("x.yaml:1:5 yaml-alias")


def test_a_key_that_stands_twice_is_told_and_the_first_counts() -> None:
    """No source: also in a group within a list, and three times."""
    tree = _tree("a: 1\na: 2\nb:\n  - c: 3\n    c: {d: 4}\n    c: 5\n")
    assert tree.value == {"a": "1", "b": [{"c": "3"}]}
    assert [f"{each.place} {each.message}" for each in tree.problems] == [
        "x.yaml:2:1 a: the key 'a' stands twice.",
        "x.yaml:5:5 b 1, c: the key 'c' stands twice.",
        "x.yaml:6:5 b 1, c: the key 'c' stands twice.",
    ]
    assert str(tree.places.of("b", 0, "c")) == "x.yaml:4:8"


def test_a_way_is_told_as_a_person_counts() -> None:
    """No source: from 1."""
    assert in_words(("items", 1, "prices", 0, "lead time")) == "items 2, prices 1, lead time"
    assert in_words(("surcharges", 0, "of", 1)) == "surcharges 1, of 2"


plain = st.text(alphabet="abc NO0.1é:#-'\"\n", max_size=8)
trees = st.recursive(
    plain,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(plain, inner, max_size=3),
    max_leaves=12,
)


@given(st.dictionaries(plain, trees, max_size=4))
def test_what_a_yaml_writer_writes_is_read_back(value: dict[str, Any]) -> None:
    """PyYAML's writer, as an independent hand: texts, lists and groups come back the same."""
    text = yaml.safe_dump(value, allow_unicode=True, default_style='"')
    assert _tree(text).value == value


@given(st.binary(max_size=60) | st.text(alphabet="a:-[]{}&*!|>#%@`'\" \n\t,?~", max_size=60))
def test_any_bytes_are_read_or_refused(data: bytes | str) -> None:
    """No source: no other exception, and every problem fills its sentence."""
    assert all(problem.sentence for problem in _problems(data))


def _problems(data: bytes | str) -> tuple[Problem, ...]:
    try:
        return _tree(data).problems
    except Refused as refused:
        return (refused.problem,)
