"""The second sheet: how many answers are missing, how many questions more, and what gives way."""

from __future__ import annotations

import re
from typing import Any

from quotegen.report.views.part import PartView
from quotegen.report.views.report import report_of
from tests.folders import a_quote, an_item, forms
from tests.report.studies import poured_or_machined, study_of


def _part(*quotes: Any) -> PartView:
    return report_of(study_of(forms(*quotes)), "0.1.0").parts["p"]


def _shown(part: PartView) -> int:
    return len(part.brief.second.asked.waiting) + len(part.brief.second.asked.others)


def test_as_many_answers_are_listed_as_the_figure_says_are_missing() -> None:
    """Three suppliers are asked for a price: the same words, and yet three answers."""
    part = _part(*(a_quote(f"{name}-1", an_item("not quoted")) for name in ("ash", "elm", "oak")))
    assert part.figures[0].label == "Answers still missing"
    assert part.figures[0].value == "3"
    assert len(part.brief.second.asked.waiting) == 3


def test_a_saving_that_nobody_knows_has_no_figure() -> None:
    part = _part(a_quote("ash-1", an_item("not quoted")))
    assert [each.label for each in part.figures] == [
        "Answers still missing",
        "The least that can be signed today",
    ]


def test_questions_shown_and_questions_left_to_the_report_are_all_there_are() -> None:
    """One line may stand for the same question to several suppliers."""
    for names in (("ash",), ("ash", "elm", "oak", "fir", "yew", "box")):
        part = _part(*(a_quote(f"{name}-1", an_item("10 EUR per 1")) for name in names))
        asked = part.brief.second.asked
        every = sum(len(each.questions) for each in part.questions)
        more = int((re.match(r"\d+", asked.more) or ["0"])[0])
        stands_for = every - more
        assert _shown(part) <= stands_for <= every


def test_what_can_be_cancelled_is_asked_where_the_agreement_says_it_is_not_stated() -> None:
    part = report_of(study_of(poured_or_machined()), "0.1.0").parts["p"]
    told = "What can still be cancelled is not stated: ask Foss Castings before you sign."
    assert told in part.agree.points
    (asked,) = [each for each in part.brief.second.asked.others if "cancelled" in each]
    assert asked.startswith("Foss Castings: what can still be cancelled")


def test_the_change_of_the_drawing_says_how_likely_it_stands() -> None:
    """0.85 cubed is 0.614."""
    content = poured_or_machined(**{"design stands": "85 % a year"})
    content = forms(
        *(quote for _, quote in content.quotes),
        part=content.parts["p"],
        workshop={**content.workshop, "planning months": "36"},
        suppliers=content.suppliers,
    )
    part = report_of(study_of(content), "0.1.0").parts["p"]
    (fact,) = [each for each in part.changes if each.label.startswith("a revision")]
    assert fact.text.endswith("Chance that A stands: 85 % a year, about 61 % over 36 months")
