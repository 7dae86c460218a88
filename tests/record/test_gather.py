"""What a comparison puts on record: figures, evidence and what would reopen it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from quotegen.compare.comparison import Comparison
from quotegen.intake.decisions import read_decisions
from quotegen.intake.files import Refused
from quotegen.judge.advice import Advice
from quotegen.model.decision import ReopenKind
from quotegen.record.facts import Condition
from quotegen.record.gather import Agreement, facts_of
from quotegen.record.write import decide

Studied = Callable[[Path], tuple[Comparison, Advice]]
AGREED = Agreement(agreed_by="workshop lead", tool_version="0.1.0")


def _conditions(root: Path, studied: Studied) -> dict[ReopenKind, Condition]:
    return {each.kind: each for each in facts_of(root, *studied(root), AGREED).reopen_if}


def test_the_recommended_route_goes_on_record_with_its_figures(
    root: Path, studied: Studied
) -> None:
    """180 at 8 GBP and a die of 1500 GBP, each GBP worth 1.20 EUR; 180 at 31 EUR otherwise."""
    facts = facts_of(root, *studied(root), AGREED)
    assert (facts.outcome, facts.route, facts.advised) == ("chosen", ("row/F-7",), None)
    assert (facts.total, facts.committed) == (Fraction(3528), Fraction(1800))
    assert (facts.runner_up, facts.lead) == ("hall/M-1", Fraction(5580 - 3528))
    assert (facts.quantity, facts.planning_months, facts.revision) == (180, 36, "C")


def test_another_route_goes_on_record_beside_the_recommended_one(
    root: Path, studied: Studied
) -> None:
    asked = Agreement(agreed_by="partner", tool_version="0.1.0", route=("hall/M-1",))
    facts = facts_of(root, *studied(root), asked)
    assert (facts.route, facts.advised) == (("hall/M-1",), ("row/F-7",))
    assert (facts.runner_up, facts.lead) == ("row/F-7", Fraction(3528 - 5580))


def test_a_route_that_nobody_offers_is_refused_and_the_others_are_named(
    root: Path, studied: Studied
) -> None:
    asked = Agreement(agreed_by="partner", tool_version="0.1.0", route=("hall/M-9",))
    with pytest.raises(ValueError, match=r"no route by hall/M-9 .* hall/M-1; row/F-7$"):
        facts_of(root, *studied(root), asked)


def test_every_file_of_every_offer_compared_is_evidence(root: Path, studied: Studied) -> None:
    paths = sorted(path.relative_to(root).as_posix() for path in root.rglob("*.yaml"))
    expected = {path: hashlib.sha256((root / path).read_bytes()).hexdigest() for path in paths}
    assert dict(facts_of(root, *studied(root), AGREED).files) == expected


def test_a_file_that_vanished_before_the_decision_is_not_passed_over(
    root: Path, studied: Studied
) -> None:
    comparison, advice = studied(root)
    (root / "quotes/row/f-7.yaml").unlink()
    with pytest.raises(Refused, match="file-missing"):
        facts_of(root, comparison, advice, AGREED)


def test_each_rate_that_was_used_goes_on_record_with_day_and_source(
    root: Path, studied: Studied
) -> None:
    (rate,) = facts_of(root, *studied(root), AGREED).rates
    assert (rate.one, rate.rate, rate.day.isoformat(), rate.source) == (
        "GBP",
        "1 GBP = 1.20 EUR",
        "2026-10-30",
        "our bank",
    )


def test_the_conditions_follow_from_the_comparison(root: Path, studied: Studied) -> None:
    """The tool pays back at 1800 / (31 - 9.60) = 84.1; the lead is 2052 of 3528 in GBP."""
    found = _conditions(root, studied)
    values = {kind: condition.value for kind, condition in found.items()}
    assert values == {
        ReopenKind.QUOTE_EXPIRES: "2027-01-31",
        ReopenKind.REVISION_CHANGES: "C",
        ReopenKind.DEMAND_BELOW: "85",
        ReopenKind.RATE_RISES: "1.897959",
        ReopenKind.QUOTE_ARRIVES: None,
        ReopenKind.FILE_CHANGES: None,
    }
    assert Fraction(values[ReopenKind.RATE_RISES] or 0) - Fraction(6, 5) * (
        1 + Fraction(2052, 3528)
    ) < Fraction(1, 10**6)


def test_at_the_rate_of_the_condition_the_lead_is_used_up(root: Path, studied: Studied) -> None:
    bound = _conditions(root, studied)[ReopenKind.RATE_RISES].value
    form = root / "workshop.yaml"
    form.write_text(form.read_text().replace("1.20 EUR", f"{bound} EUR"), encoding="utf-8")
    comparison, _ = studied(root)
    costs = {name: cost.total for name, cost in comparison.costs.items()}
    assert abs(costs["row/F-7"] - costs["hall/M-1"]) < Fraction(1, 100)


def test_a_runner_up_in_another_currency_may_become_cheaper(root: Path, studied: Studied) -> None:
    """120 GBP x 1.20 is 144 EUR a piece against 31: the runner-up falls by the lead at 31 / 120."""
    quote = root / "quotes/row/f-7.yaml"
    text = quote.read_text().replace("8 GBP per 1}", "120 GBP per 1}")
    quote.write_text(text.replace("price: 1500 GBP", "price: 0 GBP"), encoding="utf-8")
    found = _conditions(root, studied)
    assert ReopenKind.RATE_RISES not in found
    assert found[ReopenKind.RATE_FALLS].value == "0.258333"


def test_where_not_enough_is_known_that_goes_on_record_without_a_route(
    root: Path, studied: Studied
) -> None:
    quote = root / "quotes/row/f-7.yaml"
    quote.write_text(quote.read_text().replace("revision: C", "revision: B"), encoding="utf-8")
    facts = facts_of(root, *studied(root), AGREED)
    assert (facts.outcome, facts.route, facts.total) == ("not enough known", (), None)
    decide(root, facts, "We wait for the foundry's new quote.")
    (decision,), problems = read_decisions(root)
    assert problems == ()
    assert (decision.outcome, decision.route, decision.facts.total) == (
        "not enough known",
        (),
        None,
    )
