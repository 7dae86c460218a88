"""The tables are read as written, and a slip in one does not pass."""

from __future__ import annotations

import copy
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from quotegen.fit import tables
from quotegen.fit.tables import FOLDER, banded, pair, read

TREE: Any = {
    "source": "a standard",
    "confidence": "high",
    "unit": "mm",
    "bounds": ["0", "3", "6"],
    "rows": {"A": ["0.1", "0.2"], "B": ["none", "0.3"]},
}


def test_a_range_is_over_its_least_and_up_to_its_most() -> None:
    table = banded(TREE)
    assert table.at("A", Fraction(3)) == Fraction("0.1")
    assert table.at("A", Fraction("3.01")) == Fraction("0.2")
    assert table.at("B", Fraction(3)) is None
    assert [table.at("A", Fraction(x)) for x in (0, 7)] == [None, None]
    assert banded(TREE, with_least=True).at("A", Fraction(0)) == Fraction("0.1")


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("rows", {"A": ["0.1"]}),  # a cell short
        ("rows", {"A": ["0.2", "0.1"]}),  # falls
        ("rows", {"A": ["-0.1", "0.1"]}),
        ("bounds", ["0", "6", "3"]),
        ("confidence", "sure"),
    ],
)
def test_a_slip_in_a_table_is_refused(key: str, value: Any) -> None:
    spoilt = copy.deepcopy(TREE) | {key: value}
    with pytest.raises(ValueError, match=r".+"):
        banded(spoilt)


def test_a_range_that_runs_down_is_refused() -> None:
    with pytest.raises(ValueError, match="runs"):
        pair(["2", "1"])


def _sources(tree: Any) -> list[Any]:
    """Every group of a table that says how far it can be trusted."""
    inner = tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else ()
    own = [tree] if isinstance(tree, dict) and "confidence" in tree else []
    return own + [found for each in inner for found in _sources(each)]


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.yaml")), ids=lambda path: path.stem)
def test_every_number_has_a_source_and_a_confidence(path: Path) -> None:
    found = _sources(read(path.stem))
    assert found
    for each in found:
        source = tables.source_of(each)
        assert source.text
        doubtful = "no source" in source.text or "claim" in source.text
        assert not doubtful or source.confidence is tables.Confidence.LOW
