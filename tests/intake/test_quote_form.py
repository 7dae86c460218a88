"""What is left of a quote when something in it is wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from quotegen.basics.money import Money
from quotegen.intake.folder import read_folder
from quotegen.model.entry import QuoteEntry

QUOTE = "quotes/arden/af-2291.yaml"
Write = Callable[[Mapping[str, str | bytes | None]], Path]


def _quotes(write: Write, text: str) -> tuple[QuoteEntry, ...]:
    return read_folder(write({QUOTE: text})).quotes


def test_a_sound_quote_is_read_with_its_name_supplier_and_file(
    write: Write, sound: Mapping[str, str]
) -> None:
    """No source: the name is that of the file, the number that of the quote."""
    (entry,) = _quotes(write, sound[QUOTE])
    assert (entry.name, entry.supplier, entry.files) == ("af-2291", "arden", (QUOTE,))
    assert entry.record.quote == "AF-2291"
    assert entry.record.charges[0].amount == Money(entry.record.charges[0].amount.amount, "GBP")
    assert [item.part for item in entry.record.items] == ["pawl", "ratchet"]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        pytest.param("from: 50", "from: 0", id="unreadable"),
        pytest.param("from: 200", "from: 50", id="does not hold together"),
    ],
)
def test_a_bad_item_is_left_out_alone_and_the_next_keeps_its_places(
    write: Write, sound: Mapping[str, str], old: str, new: str
) -> None:
    """No source: the second item becomes the first, and stands where it was written."""
    (entry,) = _quotes(write, sound[QUOTE].replace(old, new))
    assert [item.part for item in entry.record.items] == ["ratchet"]
    assert str(entry.places.of("items", 0, "part")) == f"{QUOTE}:29:11"
    assert str(entry.places.within("items", 0).of("prices", 0, "price")) == f"{QUOTE}:31:26"
    assert str(entry.places.of("currency")) == f"{QUOTE}:5:11"


def test_an_item_after_a_good_one_is_left_out_too(write: Write, sound: Mapping[str, str]) -> None:
    """No source: the first keeps its place."""
    (entry,) = _quotes(write, sound[QUOTE].replace("from: 1,", "from: 0,"))
    assert [item.part for item in entry.record.items] == ["pawl"]
    assert str(entry.places.of("items", 0, "part")) == f"{QUOTE}:12:11"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        pytest.param("currency: GBP", "currency: Pounds", id="a bad head"),
        pytest.param("share: 100 %", "share: 90 %", id="a head that does not hold together"),
        pytest.param("minimum: 50", "minimum: 50\n    minimum: 5", id="a key twice"),
        pytest.param("currency: GBP", "currency: GBP\ncurrency: EUR", id="a key of the head twice"),
    ],
)
def test_a_bad_head_leaves_the_quote_out(
    write: Write, sound: Mapping[str, str], old: str, new: str
) -> None:
    """No source: the currency and the terms hold for every item."""
    assert _quotes(write, sound[QUOTE].replace(old, new)) == ()


def test_a_quote_without_a_sound_item_is_left_out(write: Write, sound: Mapping[str, str]) -> None:
    """No source: nothing of it could be compared."""
    text = sound[QUOTE].replace("from: 50", "from: 0").replace("from: 1,", "from: 0,")
    assert _quotes(write, text) == ()


def test_a_notice_leaves_nothing_out(write: Write, sound: Mapping[str, str]) -> None:
    """No source: a tool in another currency is converted."""
    (entry,) = _quotes(write, sound[QUOTE].replace("1500 GBP", "1900 USD"))
    assert len(entry.record.items) == 2
