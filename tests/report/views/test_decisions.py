"""Records in the report: what they say, whether they are in force, and what is due."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from lxml import html as parser

from quotegen.record.facts import Reopening
from quotegen.record.gather import Agreement, facts_of
from quotegen.record.write import decide, reopen
from quotegen.report.pages import site_pages
from quotegen.report.views.decisions import PartDecisions
from quotegen.report.views.report import Report, report_of
from quotegen.study import study
from tests.folders import TODAY, written
from tests.report.studies import poured_or_machined

WHY = "# Because\n\nWe pour **now**, <b>not</b> later.\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """A folder on disk with one record, decided on the day of the comparison."""

    folder: Path

    def report(self) -> Report:
        return report_of(study(self.folder, TODAY), "0.1.0")

    def of_part(self) -> PartDecisions:
        (found,) = self.report().decisions
        return found


@pytest.fixture
def recorded(tmp_path: Path) -> Recorded:
    folder = written(poured_or_machined(), tmp_path)
    one = study(folder, TODAY).parts["p"]
    agreement = Agreement(agreed_by="workshop lead", tool_version="0.1.0")
    decide(folder, facts_of(folder, one.comparison, one.advice, agreement), WHY)
    return Recorded(folder=folder)


def _reopened(folder: Path) -> None:
    reopening = Reopening(part="p", decided_on=TODAY, agreed_by="partner", tool_version="0.1.0")
    reopen(folder, reopening, "The drawing changes.")


def test_a_record_shows_what_was_agreed_and_that_it_is_in_force(recorded: Recorded) -> None:
    (record,) = recorded.of_part().records
    facts = {each.label: each.text for each in record.facts}
    assert record.title == "Record 1 of P"
    assert record.standing == "in force"
    assert facts["Agreed by"] == "workshop lead"
    assert facts["Total"] == "1,480.00 EUR"
    assert facts["Route"] == "foss/foss-7"
    assert "quotes/foss/foss-7.yaml" in {each.label for each in record.files}


def test_a_record_in_force_says_that_it_still_holds_or_why_not(recorded: Recorded) -> None:
    (record,) = recorded.of_part().records
    assert (record.holds, record.why_not) == ("still holds", ())
    part = recorded.folder / "parts" / "p.yaml"
    part.write_text(part.read_text("utf-8") + "note: thicker\n", encoding="utf-8")
    (record,) = recorded.of_part().records
    assert (record.holds, record.why_not) == (
        "no longer holds",
        ("parts/p.yaml has changed since.",),
    )
    report = recorded.report()
    page: Any = parser.fromstring(site_pages(report)["decisions.html"])
    assert page.xpath("//article//ul[@class='gap']/li/text()") == [
        "parts/p.yaml has changed since."
    ]
    assert report.index.parts is not None
    assert report.index.parts.rows[0].cells[-1].small == "no longer holds"


def test_a_record_of_which_nothing_is_known_says_nothing(recorded: Recorded) -> None:
    studied = dataclasses.replace(study(recorded.folder, TODAY), standing={})
    ((record,),) = [each.records for each in report_of(studied, "0.1.0").decisions]
    assert (record.standing, record.holds, record.why_not) == ("in force", "", ())


def test_the_prose_of_a_record_cannot_bring_markup(recorded: Recorded) -> None:
    (record,) = recorded.of_part().records
    assert record.reasons == (
        "<p><strong>Because</strong></p>\n"
        "<p>We pour <strong>now</strong>, &lt;b&gt;not&lt;/b&gt; later.</p>"
    )


def test_a_record_that_was_reopened_says_by_which_one(recorded: Recorded) -> None:
    _reopened(recorded.folder)
    latest, first = recorded.of_part().records
    assert latest.standing == "opens record 1 again"
    assert first.standing == "reopened on 2 November 2026 by record 2"
    assert latest.is_open
    assert first.is_open


def test_the_next_brief_proposes_the_next_record(recorded: Recorded) -> None:
    report = recorded.report()
    assert report.parts["p"].brief.block.record == "P / 2, proposed"
    assert report.index.parts is not None
    assert report.index.parts.rows[0].cells[-1].text == f"decided {TODAY}"


def test_a_record_edited_by_hand_is_marked(recorded: Recorded) -> None:
    path = recorded.folder / "decisions" / "p" / "0001.md"
    path.write_text(path.read_text("utf-8").replace("We pour", "We machine"), encoding="utf-8")
    (record,) = recorded.of_part().records
    assert record.standing == "edited after it was written: not to be relied on"


def test_the_page_of_decisions_has_every_record(recorded: Recorded) -> None:
    _reopened(recorded.folder)
    page: Any = parser.fromstring(site_pages(recorded.report())["decisions.html"])
    assert page.xpath("//article/@id") == ["p-2", "p-1"]


def test_what_is_due_comes_by_day_with_the_quote_that_ends(recorded: Recorded) -> None:
    due = recorded.report().index.due
    assert due is not None
    assert [[cell.text for cell in row.cells] for row in due.rows] == [
        ["2026-12-31", "Pawl", "sign Foss Castings foss-7: its prices end"]
    ]
