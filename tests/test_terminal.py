"""The comparison as text for a terminal: tables that line up, problems that can be acted on."""

from __future__ import annotations

import datetime
import re
from pathlib import Path

import pytest

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem
from quotegen.judge.studied import PartStudy
from quotegen.study import study
from quotegen.terminal import counts, part_as_text, problems_as_text, table
from tests.commands import a_choice
from tests.folders import TODAY, Forms, a_part, a_quote, a_workshop, an_item, forms, written

DEMO = Path(__file__).parents[1] / "quotes_demo"
NOTICE = Problem.of("file-not-read", Place("quotes/mill/a.csv"), seen="a.csv")
ERROR = Problem.of("part-unknown", Place("parts"), seen="q", hint="known here: p.")


def _studied(content: Forms, to: Path) -> PartStudy:
    return study(written(content, to), TODAY).parts["p"]


# tables


def test_text_stands_to_the_left_and_figures_to_the_right() -> None:
    rows = [["mill/1", "1,480.00"], ["foss/12", "20"], ["-", "-"]]
    assert table(["quote", "total"], rows) == (
        "quote       total",
        "-------  --------",
        "mill/1   1,480.00",
        "foss/12        20",
        "-               -",
    )


def test_a_text_that_looks_like_a_number_is_left_as_it_was_written() -> None:
    """A quote number of 007 or 1e5 is a name."""
    lines = table(["quote", "note"], [["007", "x"], ["1e5", "y"], ["0.10", "z"]])
    assert [line.split()[0] for line in lines[2:]] == ["007", "1e5", "0.10"]


def test_a_cell_of_several_lines_stays_one_row() -> None:
    lines = table(["name", "n"], [["a\nb\x1b[2J", "1"]])
    assert len(lines) == 3
    assert lines[2].startswith("a b\N{REPLACEMENT CHARACTER}[2J")


def test_nothing_in_a_table_is_cut() -> None:
    long = "x" * 400
    assert table(["name", "n"], [[long, "1"]])[2].startswith(long)


# problems


@pytest.mark.parametrize(
    ("problems", "expected"),
    [
        ((), "no errors, no notices"),
        ((ERROR,), "1 error, no notices"),
        ((ERROR, ERROR, NOTICE), "2 errors, 1 notice"),
        ((NOTICE, NOTICE), "no errors, 2 notices"),
    ],
)
def test_problems_are_counted_in_words(problems: tuple[Problem, ...], expected: str) -> None:
    assert counts(problems) == expected


def test_a_problem_shows_place_message_line_what_happens_and_what_to_do(tmp_path: Path) -> None:
    (tmp_path / "workshop.yaml").write_text("format: 1\n\tcurrency: EURO\n", encoding="utf-8")
    place = Place("workshop.yaml", 2, 11)
    values = {"field": "currency", "seen": "EURO", "record": "The form"}
    assert list(problems_as_text([Problem.of("unknown-currency", place, **values)], tmp_path)) == [
        f"{place}: unknown-currency: currency: 'EURO' is not a currency code of ISO 4217.",
        "    |  currency: EURO",
        "    The form is left out.",
        "    Use the three-letter code, such as EUR or GBP.",
    ]


def test_a_notice_is_marked_as_one(tmp_path: Path) -> None:
    first = next(problems_as_text([NOTICE], tmp_path))
    assert first == "quotes/mill/a.csv: file-not-read (notice): No reading form reads 'a.csv'."


@pytest.mark.parametrize(
    "place",
    [
        Place("parts"),
        Place("workshop.yaml", 99, 1),
        Place("gone.yaml", 1, 1),
        Place("parts", 1, 1),
        Place("../secret.txt", 1, 1),
        Place("link.yaml", 1, 1),
        Place("x.xlsx", cell="Sheet!B6"),
    ],
    ids=str,
)
def test_a_line_is_shown_only_of_a_file_inside_the_folder(tmp_path: Path, place: Place) -> None:
    folder = tmp_path / "workshop"
    (folder / "parts").mkdir(parents=True)
    (folder / "workshop.yaml").write_text("format: 1\n", encoding="utf-8")
    (tmp_path / "secret.txt").write_text("a password\n", encoding="utf-8")
    (folder / "link.yaml").symlink_to(tmp_path / "secret.txt")
    problem = Problem.of("file-empty", place, record="It")
    lines = list(problems_as_text([problem], folder))
    assert len(lines) == 3
    assert "password" not in "\n".join(lines)


def test_a_long_line_is_cut_and_a_hostile_one_made_harmless(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_bytes(b"\xef\xbb\xbfx: \x1b[2J\xff" + b"y" * 10_000)
    problem = Problem.of("file-empty", Place("a.yaml", 1, 1), record="It")
    line = list(problems_as_text([problem], tmp_path))[1]
    assert line.startswith("    | x: \N{REPLACEMENT CHARACTER}[2J\N{REPLACEMENT CHARACTER}yyy")
    assert len(line) == len("    | ") + 160


# the comparison


def test_a_comparison_shows_offers_and_cheapest_routes_in_tables(tmp_path: Path) -> None:
    """By hand: a die of 880 with castings at 3 against 10 each, 200 good parts, from 126 on."""
    lines = list(part_as_text(_studied(a_choice(), tmp_path)))
    assert lines[0] == "p, Pawl, revision A"
    assert lines[1] == "chosen: Pour the pawl at Foss Castings."
    arrives = ["2026-11-16", "holds"]
    at = lines.index("Offers for 200 good parts, amounts in EUR, landed")
    assert [re.split(r"  +", lines[number]) for number in (at + 1, at + 3, at + 4)] == [
        ["quote", "process", "one-off", "each, all in", "total", "first parts", "standing"],
        ["foss/foss-1", "investment casting", "880.00", "7.40", "1,480.00", *arrives],
        ["mill/mill-2", "machining", "0.00", "10.00", "2,000.00", *arrives],
    ]
    at = lines.index("Cheapest route by number of good parts")
    assert lines[at + 1 : at + 6] == [
        "  from    to  route",
        "------  ----  -----------",
        "     1   125  mill/mill-2",
        "   126   800  foss/foss-1",
        "Beyond that foss/foss-1 stays cheapest.",
    ]


def test_a_part_without_quotes_has_no_empty_tables(tmp_path: Path) -> None:
    lines = list(part_as_text(_studied(forms(workshop=a_workshop(), part=a_part()), tmp_path)))
    assert lines[1].startswith("no route: ")
    assert not [line for line in lines if line.startswith(("quote", "---", "Offers", "Cheapest"))]


def test_minimums_and_questions_are_told_with_their_money(tmp_path: Path) -> None:
    """By hand: 50 of at least 50 where 30 are wanted leave 20 over, 10 each."""
    content = forms(
        a_quote("mill-2", an_item("10 EUR per 1", minimum="50", rejects=None)),
        part=a_part(30, lot="30"),
    )
    lines = list(part_as_text(_studied(content, tmp_path)))
    at = lines.index("Minimums, multiples and breaks on one order")
    assert lines[at + 1].startswith("  Mill's minimum of 50 leaves 20 pieces on the shelf, 200.00")
    asked = lines[lines.index("To ask") + 1 :]
    assert asked[0].startswith("  1. Mill, mill/mill-2: ")
    assert asked[0].endswith("?")


def test_a_question_that_the_answer_waits_for_is_marked(tmp_path: Path) -> None:
    content = forms(a_quote("mill-2", an_item("not quoted")), part=a_part(30))
    lines = list(part_as_text(_studied(content, tmp_path)))
    assert any(line.endswith(" (the answer waits for this)") for line in lines)


def test_every_line_of_the_demo_is_one_line() -> None:
    found = study(DEMO, datetime.date(2026, 11, 2))
    for part in found.parts.values():
        assert all(len(line.splitlines()) <= 1 for line in part_as_text(part))
