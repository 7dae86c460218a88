"""What does not hold together between quotes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from quotegen.intake.folder import read_folder

QUOTE = "quotes/arden/af-2291.yaml"
LATER = "quotes/arden/af-2292.yaml"
Changes = Mapping[str, str | bytes | None]
Told = Callable[[Changes], list[str]]
Write = Callable[[Changes], Path]


def _quote(sound: Mapping[str, str], number: str, replaces: str | None = None) -> str:
    also = f"\nreplaces: {replaces}" if replaces else ""
    return sound[QUOTE].replace("quote: AF-2291", f"quote: {number}{also}")


def test_a_number_that_stands_twice_leaves_both_quotes_out(
    told: Told, write: Write, sound: Mapping[str, str]
) -> None:
    """No source: nothing says which of the two holds."""
    changes = {LATER: sound[QUOTE]}
    assert told(changes) == [
        (
            "2:8 quote-twice: quote: the number 'AF-2291' stands on another quote of this "
            "supplier too: quotes/arden/af-2292.yaml."
        ),
        (
            "quotes/arden/af-2292.yaml:2:8 quote-twice: quote: the number 'AF-2291' stands on "
            "another quote of this supplier too: quotes/arden/af-2291.yaml."
        ),
    ]
    assert read_folder(write(changes)).quotes == ()


def test_a_number_counts_even_where_its_quote_cannot_be_read(
    told: Told, sound: Mapping[str, str]
) -> None:
    """No source: else a slip in one of two versions would make the other one hold."""
    lines = told({LATER: sound[QUOTE].replace("currency: GBP", "currency: Pounds")})
    assert [line.partition(":")[0] for line in lines].count("2") == 1
    assert sum("quote-twice" in line for line in lines) == 2


def test_the_same_number_of_two_suppliers_is_no_problem(
    told: Told, sound: Mapping[str, str]
) -> None:
    """No source: each supplier counts alone."""
    other = {"suppliers/birch.yaml": sound["suppliers/arden.yaml"]}
    assert told({"quotes/birch/af-2291.yaml": sound[QUOTE], **other}) == []


def test_numbers_are_compared_by_their_exact_text(told: Told, sound: Mapping[str, str]) -> None:
    """No source: AF-2291 and af-2291 are two."""
    assert told({LATER: _quote(sound, "af-2291")}) == []


def test_a_quote_may_replace_an_earlier_one(
    told: Told, write: Write, sound: Mapping[str, str]
) -> None:
    """No source: both are kept; which of them holds is judged later."""
    changes = {LATER: _quote(sound, "AF-2292", replaces="AF-2291")}
    assert told(changes) == []
    assert [each.record.replaces for each in read_folder(write(changes)).quotes] == [
        None,
        "AF-2291",
    ]


def test_a_replaced_quote_that_is_not_here_is_told(told: Told, sound: Mapping[str, str]) -> None:
    """No source: a slip in the number would let the old quote stand."""
    assert told({LATER: _quote(sound, "AF-2292", replaces="AF-2219")}) == [
        (
            "quotes/arden/af-2292.yaml:3:11 replaces-unknown: replaces: there is no quote "
            "'AF-2219' of this supplier; did you mean 'AF-2291'?"
        )
    ]


def test_nothing_is_said_of_a_replaced_quote_while_one_cannot_be_read(
    told: Told, sound: Mapping[str, str]
) -> None:
    """No source: the unread form may be the one that is meant."""
    changes = {LATER: _quote(sound, "AF-2292", replaces="AF-2290"), QUOTE: "a: 'b\n"}
    assert [line.split()[1] for line in told(changes)] == ["yaml-broken:"]


def test_quotes_that_replace_each_other_are_all_left_out(
    told: Told, write: Write, sound: Mapping[str, str]
) -> None:
    """No source: none of them is the last."""
    changes = {
        QUOTE: _quote(sound, "AF-2291", replaces="AF-2293"),
        LATER: _quote(sound, "AF-2292", replaces="AF-2291"),
        "quotes/arden/af-2293.yaml": _quote(sound, "AF-2293", replaces="AF-2292"),
        "quotes/arden/af-2294.yaml": _quote(sound, "AF-2294", replaces="AF-2293"),
    }
    lines = told(changes)
    assert "3:11 replaces-circle: replaces: 'AF-2293' is in turn replaced by this quote." in lines
    assert sum("replaces-circle" in line for line in lines) == 3
    assert [each.record.quote for each in read_folder(write(changes)).quotes] == ["AF-2294"]


OTHER = "quotes/brook/bf-1.yaml"


def _of_brook(sound: Mapping[str, str], tool: str) -> Changes:
    """The same quote of another supplier, with another description of the tool."""
    quote = _quote(sound, "BF-1").replace("price: 1500 GBP}", f"price: {tool}}}")
    supplier = sound["suppliers/arden.yaml"].replace("Arden", "Brook")
    return {"suppliers/brook.yaml": supplier, OTHER: quote}


def test_a_tool_that_two_suppliers_describe_in_two_ways_is_told(
    told: Told, sound: Mapping[str, str]
) -> None:
    """No source: one key is one tool, which a plan pays for once."""
    (line,) = told(_of_brook(sound, "1600 GBP"))
    assert "quotes/brook/bf-1.yaml" in line
    assert "tool-elsewhere: tool: 'af-die-1' is described in another way at quotes/arden/" in line


def test_a_tool_that_two_suppliers_describe_alike_is_no_problem(
    told: Told, sound: Mapping[str, str]
) -> None:
    """No source."""
    assert told(_of_brook(sound, "1500 GBP")) == []
