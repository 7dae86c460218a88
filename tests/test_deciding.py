"""Putting a decision on record: which wish is granted, what is written, what history tells."""

from __future__ import annotations

import datetime
import hashlib
import json
from pathlib import Path

import pytest
import yaml

from quotegen.deciding import Recorded, Wish, history_of, put_on_record
from tests.commands import a_choice, fingerprints, rewritten, run
from tests.folders import (
    Forms,
    Values,
    a_part,
    a_quote,
    a_workshop,
    an_item,
    forms,
    written,
)

CLOCK = datetime.date(2026, 11, 9)
DAY = datetime.date(2026, 11, 2)
LEAD = Wish(part="p", agreed_by="workshop lead", because="")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return written(a_choice(), tmp_path / "workshop")


def a_tie() -> Forms:
    """Two shops within the margin of 3 %: 2000 and 2040 for 200."""
    return forms(
        a_quote("foss-1", an_item("10 EUR per 1")),
        a_quote("mill-2", an_item("10.20 EUR per 1")),
        workshop=a_workshop(compared_on="2026-11-02"),
        part=a_part(200),
    )


def too_little_known() -> Forms:
    """A quote that would win is for last year's drawing."""
    return forms(
        a_quote("foss-1", an_item("10 EUR per 1")),
        a_quote("mill-2", an_item("4 EUR per 1", revision="0")),
        workshop=a_workshop(compared_on="2026-11-02"),
        part=a_part(200),
    )


def nothing_to_sign() -> Forms:
    """The only quote has expired."""
    return forms(
        a_quote("foss-1", an_item("10 EUR per 1"), valid_until="2026-10-15"),
        workshop=a_workshop(compared_on="2026-11-02"),
        part=a_part(200),
    )


def _put(folder: Path, *, route: tuple[str, ...] = (), because: str = "") -> Recorded:
    wish = Wish(part="p", agreed_by="workshop lead", because=because, route=route)
    return put_on_record(folder, wish, None, CLOCK)


def _reopen(folder: Path, because: str = "The furnace is out.") -> Recorded:
    wish = Wish(part="p", agreed_by="partner", because=because, reopen=True)
    return put_on_record(folder, wish, None, CLOCK)


def _facts(result: Recorded) -> Values:
    assert result.path is not None, result.refused
    _, front, _ = result.path.read_text(encoding="utf-8").split("---\n", maxsplit=2)
    facts: Values = yaml.safe_load(front)
    return facts


def _prose(result: Recorded) -> str:
    assert result.path is not None
    return result.path.read_text(encoding="utf-8").split("---\n", maxsplit=2)[2]


# what is granted


def test_the_recommended_route_needs_no_reason(folder: Path) -> None:
    """By hand: a die of 880 and 200 castings at 3."""
    result = _put(folder)
    assert result.path == folder / "decisions/p/0001.md"
    facts = _facts(result)
    assert facts["route"] == ["foss/foss-1"]
    assert (facts["total"], facts["committed up front"]) == ("1480.00 EUR", "880.00 EUR")
    assert (facts["runner up"], facts["runner up costs more"]) == ("mill/mill-2", "520.00 EUR")
    assert (facts["outcome"], facts["agreed by"]) == ("chosen", "workshop lead")
    assert "advised" not in facts


def test_the_recommended_route_may_be_named(folder: Path) -> None:
    facts = _facts(_put(folder, route=("foss/foss-1",)))
    assert facts["route"] == ["foss/foss-1"]
    assert "advised" not in facts


def test_another_route_is_taken_with_a_reason_and_the_advice_is_kept(folder: Path) -> None:
    result = _put(folder, route=("mill/mill-2",), because="The drawing will change.")
    facts = _facts(result)
    assert (facts["route"], facts["advised"]) == (["mill/mill-2"], ["foss/foss-1"])
    assert facts["total"] == "2000.00 EUR"
    assert _prose(result).lstrip().startswith("The drawing will change.\n")


def test_the_reason_stands_before_what_the_comparison_says(folder: Path) -> None:
    prose = _prose(_put(folder, because="We own the press."))
    assert prose.index("We own the press.") < prose.index("What the comparison says:")
    assert "- Over 12 months, pouring at Foss Castings costs 1,480 EUR" in prose


@pytest.mark.parametrize("because", ["", "  \n"])
def test_another_route_without_a_reason_is_a_misuse(folder: Path, because: str) -> None:
    result = _put(folder, route=("mill/mill-2",), because=because)
    assert (result.path, result.misused) == (None, True)
    assert result.refused == (
        'say why it is another route than the recommended one: --because "..."'
    )


@pytest.mark.parametrize(
    ("content", "outcome"),
    [
        (a_tie(), "too close to call"),
        (too_little_known(), "not enough known"),
        (nothing_to_sign(), "no route"),
    ],
    ids=["tie", "unknown", "no route"],
)
@pytest.mark.parametrize(
    ("route", "because"),
    [((), ""), (("foss/foss-1",), ""), ((), "We like them.")],
    ids=["neither", "no reason", "no route"],
)
def test_without_a_recommendation_both_route_and_reason_are_needed(
    tmp_path: Path, content: Forms, outcome: str, route: tuple[str, ...], because: str
) -> None:
    folder = written(content, tmp_path)
    before = fingerprints(folder)
    result = _put(folder, route=route, because=because)
    assert (result.path, result.misused) == (None, True)
    assert result.refused == (
        f"the outcome is '{outcome}': name the route with --route and say why with --because"
    )
    assert fingerprints(folder) == before


@pytest.mark.parametrize(
    ("content", "outcome"),
    [(a_tie(), "too close to call"), (too_little_known(), "not enough known")],
    ids=["tie", "unknown"],
)
def test_with_route_and_reason_a_person_may_settle_it(
    tmp_path: Path, content: Forms, outcome: str
) -> None:
    facts = _facts(_put(written(content, tmp_path), route=("foss/foss-1",), because="Near us."))
    assert (facts["outcome"], facts["route"]) == (outcome, ["foss/foss-1"])


def test_a_quote_that_cannot_be_signed_is_no_route(tmp_path: Path) -> None:
    folder = written(too_little_known(), tmp_path)
    result = _put(folder, route=("mill/mill-2",), because="Cheap.")
    assert (result.path, result.misused) == (None, True)
    assert result.refused == "no route by mill/mill-2 can be signed; there is: foss/foss-1"


def test_a_folder_with_an_error_is_refused_and_nothing_is_written(folder: Path) -> None:
    """An error that leaves a quote out would make a record of half the offers."""
    rewritten(folder / "quotes/mill/mill-2.yaml", "10 EUR per 1", "TBC")
    before = fingerprints(folder)
    result = _put(folder, because="In a hurry.", route=("foss/foss-1",))
    assert (result.path, result.misused) == (None, False)
    assert result.refused == "the folder has errors; mend them first"
    assert [each.code for each in result.problems] == ["price-open"]
    assert fingerprints(folder) == before


def test_a_part_that_is_not_there_is_refused_with_the_problem(folder: Path) -> None:
    wish = Wish(part="pp", agreed_by="lead", because="")
    result = put_on_record(folder, wish, None, CLOCK)
    assert (result.path, result.misused) == (None, False)
    assert result.refused == "the part pp cannot be compared"
    assert [each.code for each in result.problems] == ["part-unknown"]
    assert not (folder / "decisions").exists()


def test_a_record_that_somebody_edited_is_not_followed(folder: Path) -> None:
    _put(folder)
    rewritten(folder / "decisions/p/0001.md", "880.00 EUR", "88.00 EUR")
    result = _reopen(folder)
    assert (result.path, result.misused) == (None, False)
    assert "record-edited" in result.refused


def test_who_agreed_cannot_be_left_blank(folder: Path) -> None:
    result = put_on_record(folder, Wish(part="p", agreed_by=" \t", because="x"), None, CLOCK)
    assert (result.path, result.misused) == (None, True)


# what it rests on


def test_a_record_rests_on_the_sha256_of_every_file_that_was_compared(folder: Path) -> None:
    """FIPS 180-4, over the bytes as they lie there; a file of no offer is no evidence."""
    (folder / "quotes/mill/letter.txt").write_text("Dear all\n", encoding="utf-8")
    stated = _facts(_put(folder))["files"]
    names = [
        "parts/p.yaml",
        "quotes/foss/foss-1.yaml",
        "quotes/mill/mill-2.yaml",
        "suppliers/foss.yaml",
        "suppliers/mill.yaml",
        "workshop.yaml",
    ]
    assert stated == {
        name: f"sha256:{hashlib.sha256((folder / name).read_bytes()).hexdigest()}" for name in names
    }


def test_a_price_table_as_received_is_evidence_beside_its_reading_form(tmp_path: Path) -> None:
    demo = Path(__file__).parents[1] / "quotes_demo"
    for source in sorted(path for path in demo.rglob("*") if path.is_file()):
        target = tmp_path / source.relative_to(demo)
        if "decisions" not in target.parts:
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(source.read_bytes())
    wish = Wish(part="wm-015", agreed_by="lead", because="")
    stated = _facts(put_on_record(tmp_path, wish, None, CLOCK))["files"]
    assert {f"quotes/falz-und-tritt/f-2026-178.{kind}" for kind in ("csv", "yaml")} <= set(stated)


def test_a_record_bears_the_day_of_the_comparison(folder: Path) -> None:
    assert _facts(_put(folder))["decided on"] == DAY
    asked = datetime.date(2026, 12, 1)
    assert _facts(put_on_record(folder, LEAD, asked, CLOCK))["decided on"] == asked


def test_a_record_bears_the_day_of_the_clock_where_no_other_is_given(folder: Path) -> None:
    rewritten(folder / "workshop.yaml", "compared on: '2026-11-02'\n", "")
    assert _facts(_put(folder))["decided on"] == CLOCK


def test_the_same_decision_is_written_with_the_same_bytes(tmp_path: Path) -> None:
    texts = []
    for name in ("one", "two"):
        result = _put(written(a_choice(), tmp_path / name))
        assert result.path is not None
        texts.append(result.path.read_bytes())
    assert texts[0] == texts[1]


# reopening


def test_a_decision_is_reopened_with_a_reason(folder: Path) -> None:
    _put(folder)
    result = _reopen(folder, "The furnace is out.")
    facts = _facts(result)
    assert (facts["state"], facts["reopens"], facts["agreed by"]) == ("reopened", "1", "partner")
    assert "The furnace is out." in _prose(result)


def test_a_decision_is_reopened_although_the_folder_has_an_error(folder: Path) -> None:
    """What reopens it may be just that."""
    _put(folder)
    rewritten(folder / "quotes/mill/mill-2.yaml", "10 EUR per 1", "TBC")
    assert _reopen(folder).path == folder / "decisions/p/0002.md"


@pytest.mark.parametrize(
    ("wish", "refused"),
    [
        (
            Wish(part="p", agreed_by="lead", because=" ", reopen=True),
            'say why it is reopened: --because "..."',
        ),
        (
            Wish(part="p", agreed_by="lead", because="x", reopen=True, route=("mill/mill-2",)),
            "to reopen a decision names no route: leave --route out",
        ),
    ],
    ids=["no reason", "a route"],
)
def test_reopening_wants_a_reason_and_no_route(folder: Path, wish: Wish, refused: str) -> None:
    _put(folder)
    result = put_on_record(folder, wish, None, CLOCK)
    assert (result.path, result.misused, result.refused) == (None, True, refused)


def test_what_was_never_decided_cannot_be_reopened(folder: Path) -> None:
    result = _reopen(folder)
    assert result.path is None
    assert "nothing to reopen" in result.refused


# history


def test_history_shows_what_was_decided_and_what_became_of_it(folder: Path) -> None:
    _put(folder)
    _put(folder, route=("mill/mill-2",), because="The drawing will change.")
    _reopen(folder)
    told = history_of(folder, "p", None, CLOCK)
    assert told.problems == ()
    assert [row[:6] for row in told.rows] == [
        ("1", "2026-11-02", "decided", "chosen", "foss/foss-1", "1,480.00 EUR"),
        ("2", "2026-11-02", "decided", "chosen", "mill/mill-2", "2,000.00 EUR"),
        ("3", "2026-11-02", "reopened", "-", "-", "-"),
    ]
    assert [row[7] for row in told.rows] == [
        "no: Replaced on 2 November 2026 by record 2.",
        "no: Reopened on 2 November 2026 by record 3.",
        "no: It opens record 2 again.",
    ]


def test_history_says_that_a_decision_still_holds_until_a_file_changes(folder: Path) -> None:
    _put(folder)
    (row,) = history_of(folder, "p", None, CLOCK).history
    assert (row.holds, row.why_not) == (True, ())
    rewritten(folder / "quotes/foss/foss-1.yaml", "3 EUR per 1", "4 EUR per 1")
    (row,) = history_of(folder, "p", None, CLOCK).history
    assert (row.holds, row.why_not) == (False, ("quotes/foss/foss-1.yaml has changed since.",))


def test_history_as_json_has_the_part_and_its_records(folder: Path) -> None:
    _put(folder)
    value = history_of(folder, "p", None, CLOCK).as_json()
    assert json.loads(json.dumps(value)) == {
        "part": "p",
        "records": [
            {
                "number": 1,
                "date": "2026-11-02",
                "state": "decided",
                "outcome": "chosen",
                "route": ["foss/foss-1"],
                "total": "1480.00",
                "currency": "EUR",
                "agreed_by": "workshop lead",
                "holds": True,
                "why_not": [],
                "path": "decisions/p/0001.md",
            }
        ],
    }


def test_history_of_a_broken_folder_still_shows_the_records(folder: Path) -> None:
    _put(folder)
    rewritten(folder / "workshop.yaml", "currency: EUR", "currency: EURO")
    told = history_of(folder, "p", None, CLOCK)
    assert len(told.history) == 1
    assert "unknown-currency" in [each.code for each in told.problems]


def test_a_part_without_records_has_an_empty_history(folder: Path) -> None:
    assert history_of(folder, "p", None, CLOCK).as_json() == {"part": "p", "records": []}
    assert run("history", "p", "--folder", folder).out == "no decision on record\n"
