"""What does not hold together in a demand that is a range: each with its place and its words."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from quotegen.intake.folder import read_folder
from quotegen.model.acceptance import AQLS
from quotegen.study import study

PART = "parts/pawl.yaml"
BROKEN = "12:11 item-part-broken: items 1, part: the part 'pawl' could not be read."
ToldOfEdit = Callable[[str, str, str], list[str]]
Changes = Mapping[str, str | bytes | None]
Write = Callable[[Changes], Path]
TODAY = datetime.date(2026, 11, 2)

NOTICES = [
    pytest.param(
        "scenarios: [{a year: 100, weight: 60 %}, {a year: 300, weight: 30 %}]",
        ["7:55 scenario-sum: demand, scenarios: the weights add up to 90 %, not to 100 %."],
        id="weights that do not add up",
    ),
    pytest.param(
        "scenarios: [{a year: 100, weight: 100 %}, {a year: 300}]",
        ["7:86 scenario-weight: demand, scenarios 2: nothing says how likely 300 a year are."],
        id="a scenario without a weight",
    ),
    pytest.param(
        "scenarios: [{a year: 100, weight: 50 %}, {a year: 301, weight: 50 %}]",
        [
            (
                "7:94 scenario-outside: demand, scenarios 2, a year: 301 a year do not lie in the "
                "range of the demand, 100 to 300."
            )
        ],
        id="a scenario outside the range",
    ),
]

ERRORS = [
    pytest.param(
        "scenarios: [{a year: 100, weight: -20 %}, {a year: 300, weight: 100 %}]",
        [
            (
                "7:78 wrong-value: demand, scenarios 1, weight: '-20 %' does not fit; expected a "
                "percentage from 0 % to 100 %."
            )
        ],
        id="a negative probability",
    ),
    pytest.param(
        "law: normal",
        ["7:49 unknown-word: demand, law: 'normal' is not a word used here; known here: PERT,"],
        id="a law that is none of ours",
    ),
    pytest.param(
        "growth: 10 %",
        ["7:52 unit-missing: demand, growth: '10 %' has no unit; "],
        id="growth of what",
    ),
    pytest.param(
        "growth: 10 % a year, by month: [10, 10, 20, 20, 20, 20, 20, 20, 20, 20, 10, 10]",
        [
            (
                "7:52 growth-by-month: demand, growth: '10 % a year' stands beside the months, "
                "which may hold it already."
            )
        ],
        id="growth beside the months",
    ),
]


@pytest.mark.parametrize(("written", "expected"), NOTICES)
def test_scenarios_that_cannot_be_weighed_are_told_and_the_part_is_judged(
    told_of_edit: ToldOfEdit,
    write: Write,
    sound: Mapping[str, str],
    written: str,
    expected: list[str],
) -> None:
    """No source: the range is known all the same."""
    new = f"high: 300, {written}"
    assert told_of_edit(PART, "high: 300", new) == [f"parts/pawl.yaml:{each}" for each in expected]
    folder = read_folder(write({PART: sound[PART].replace("high: 300", new)}))
    assert "pawl" in folder.parts


@pytest.mark.parametrize(("written", "expected"), ERRORS)
def test_what_cannot_be_read_of_a_demand_leaves_the_part_out_and_no_other(
    told_of_edit: ToldOfEdit,
    write: Write,
    sound: Mapping[str, str],
    written: str,
    expected: list[str],
) -> None:
    """No source: the other part is judged."""
    new = f"high: 300, {written}"
    lines = told_of_edit(PART, "high: 300", new)
    for line, start in zip(
        lines, [*(f"parts/pawl.yaml:{each}" for each in expected), BROKEN], strict=True
    ):
        assert line.startswith(start)
    folder = read_folder(write({PART: sound[PART].replace("high: 300", new)}))
    assert set(folder.parts) == {"ratchet"}


def test_a_design_that_never_stands_is_refused(told_of_edit: ToldOfEdit) -> None:
    """No source: every tool would be scrap at once."""
    lines = told_of_edit(PART, "demand:", "design stands: 0 % a year\ndemand:")
    assert lines == [
        (
            "parts/pawl.yaml:7:16 not-positive: design stands: '0 % a year' must be more than 0 % "
            "a year."
        ),
        BROKEN,
    ]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        pytest.param(
            "low: 100",
            "low: 250",
            "7:9 demand: 250, 200, 300 do not rise from low over likely to high.",
            id="low above likely",
        ),
        pytest.param(
            "high: 300",
            "high: 300, scenarios: [{a year: 100, weight: -20 %}]",
            "7:78 demand, scenarios 1, weight: '-20 %' does not fit; expected a percentage from "
            "0 % to 100 %.",
            id="a negative probability",
        ),
        pytest.param(
            "demand:",
            "design stands: -5 % a year\ndemand:",
            "7:16 design stands: '-5 % a year' does not fit; expected a percentage from 0 % to "
            "100 %.",
            id="a negative chance that the drawing stands",
        ),
        pytest.param(
            "demand:",
            "design stands: 0 % a year\ndemand:",
            "7:16 design stands: '0 % a year' must be more than 0 % a year.",
            id="a design life of zero",
        ),
        pytest.param(
            "demand:",
            "acceptance quality: AQL 3\ndemand:",
            f"7:21 acceptance quality: 'AQL 3' does not fit; expected one of {', '.join(AQLS)} "
            "(ISO 2859-1).",
            id="an AQL that the table lacks",
        ),
    ],
)
def test_a_figure_that_cannot_be_judged_has_place_and_remedy_and_the_other_part_is_judged(
    write: Write, sound: Mapping[str, str], old: str, new: str, said: str
) -> None:
    """No source: read, compared and told from the folder to the comparison."""
    assert sound[PART].count(old) == 1
    found = study(write({PART: sound[PART].replace(old, new)}), TODAY)
    (problem,) = [each for each in found.problems if each.place.path == PART]
    assert f"{problem.place.line}:{problem.place.column} {problem.message}" == said
    assert problem.remedy
    assert problem.remedy in problem.sentence
    assert set(found.parts) == {"ratchet"}


def test_growth_beyond_what_is_counted_in_a_year_is_refused(told_of_edit: ToldOfEdit) -> None:
    new = "high: 90000, growth: 10 % a year"
    lines = told_of_edit(PART, "high: 300", new)
    assert lines[0].startswith("parts/pawl.yaml:7:54 wrong-value: demand, growth: '10 % a year'")


@pytest.mark.parametrize(
    "written",
    [
        "law: triangular",
        "growth: 10 % a year",
        "scenarios: [{a year: 100, weight: 30 %}, {a year: 300, weight: 70 %}]",
    ],
)
def test_a_sound_range_is_not_told(told_of_edit: ToldOfEdit, written: str) -> None:
    assert told_of_edit(PART, "high: 300", f"high: 300, {written}") == []
