"""From a folder to what is known of each part: the day, the rates, and every problem in one run."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import pytest

from quotegen.basics.problem import Problem
from quotegen.judge.studied import Study
from quotegen.report.views.plan import plan_view
from quotegen.study import study
from tests.commands import a_choice, rewritten
from tests.folders import (
    TODAY,
    Values,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_way_from,
    a_workshop,
    an_item,
    forms,
    written,
)

DEMO = Path(__file__).parents[1] / "quotes_demo"
CLOCK = datetime.date(2030, 1, 7)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return written(a_choice(), tmp_path / "workshop")


def _told(found: Study) -> list[str]:
    return [_line(each) for each in found.problems]


def _line(problem: Problem) -> str:
    return f"{problem.place} {problem.code}"


def _offers(found: Study, part: str = "p") -> list[str]:
    return [offer.name for offer in found.parts[part].comparison.offers]


# the day


def test_the_day_that_is_asked_for_wins_over_that_of_the_workshop(folder: Path) -> None:
    asked = datetime.date(2026, 12, 1)
    found = study(folder, asked, clock=CLOCK)
    assert found.today == asked
    assert found.parts["p"].comparison.today == asked


def test_the_day_of_the_workshop_wins_over_the_clock(folder: Path) -> None:
    assert study(folder, None, clock=CLOCK).today == datetime.date(2026, 11, 2)


def test_the_clock_is_the_last_resort(folder: Path) -> None:
    rewritten(folder / "workshop.yaml", "compared on: '2026-11-02'\n", "")
    assert study(folder, None, clock=CLOCK).today == CLOCK


def test_without_any_day_there_is_no_answer(folder: Path) -> None:
    rewritten(folder / "workshop.yaml", "compared on: '2026-11-02'\n", "")
    with pytest.raises(ValueError, match="no day of comparison"):
        study(folder, None)


def test_the_day_decides_what_holds(folder: Path) -> None:
    """The quotes can be signed until 2026-12-31."""
    late = study(folder, datetime.date(2027, 1, 1))
    assert [offer.holds for offer in late.parts["p"].comparison.offers] == [False, False]


def test_a_quote_dated_after_the_day_is_not_compared_and_that_is_said(tmp_path: Path) -> None:
    """The later quote would replace the first one, which holds on the day all the same."""
    first = a_quote("ash-1", an_item("10 EUR per 1"))
    later = a_quote("ash-2", an_item("9 EUR per 1"), date="2026-11-03", replaces=first["quote"])
    folder = written(forms(first, later, part=a_part(10)), tmp_path / "workshop")
    found = study(folder, TODAY)
    (offer,) = found.parts["p"].comparison.offers
    assert (offer.quote, offer.holds) == (first["quote"], True)
    (problem,) = found.problems
    assert problem.code == "quote-later"
    assert problem.message == (
        "date: the quote is dated 2026-11-03, after the day of the comparison, 2026-11-02."
    )
    assert study(folder, datetime.date(2026, 11, 3)).problems == ()


# which parts


def test_every_part_is_studied_unless_some_are_named() -> None:
    every = study(DEMO, None, clock=CLOCK)
    assert list(every.parts) == sorted(path.stem for path in (DEMO / "parts").glob("*.yaml"))
    assert list(study(DEMO, None, only=("fl-070", "fl-021"), clock=CLOCK).parts) == [
        "fl-070",
        "fl-021",
    ]


def test_a_part_alone_is_found_as_among_all_the_others() -> None:
    """Reading less for one part must not change its answer."""
    every = study(DEMO, None, clock=CLOCK)
    for part in ("fl-014", "fl-055", "wm-015"):
        alone = study(DEMO, None, only=(part,), clock=CLOCK)
        assert _offers(alone, part) == _offers(every, part)
        first, second = alone.parts[part].advice.cost, every.parts[part].advice.cost
        assert first is not None
        assert second is not None
        assert first.total == second.total


def test_a_part_that_is_not_there_is_told_with_the_nearest(folder: Path) -> None:
    found = study(folder, TODAY, only=("pp",))
    (problem,) = found.problems
    assert (problem.code, str(problem.place)) == ("part-unknown", "parts")
    assert problem.message == "part: there is no part 'pp'; did you mean 'p'?"
    assert problem.happens == "Nothing is compared for it."
    assert problem.remedy == "Name a file under parts/, without its ending."
    assert dict(found.parts) == {}


# rates


def _unrated(to: Path, quote: Values, workshop: Values | None = None) -> Study:
    content = forms(
        a_quote("foss-1", an_item("3 EUR per 1")),
        quote,
        workshop=workshop or a_workshop(),
        part=a_part(200),
    )
    return study(written(content, to), TODAY)


def test_a_currency_without_a_rate_is_told_where_the_quote_names_it(tmp_path: Path) -> None:
    found = _unrated(tmp_path, a_quote("mill-2", an_item("900 XAF per 1"), currency="XAF"))
    (problem,) = found.problems
    assert problem.code == "rate-missing"
    assert str(problem.place) == "quotes/mill/mill-2.yaml:5:11"
    assert problem.message == "currency: no rate for XAF in EUR at or before 2026-11-02."
    assert problem.happens == "The quote mill-2 is left out."
    assert problem.remedy == "Add a line under `rates` in workshop.yaml, with its day and source."
    assert _offers(found) == ["foss/foss-1"]


@pytest.mark.parametrize(
    ("quote", "place"),
    [
        (a_quote("mill-2", an_item("10 EUR per 1"), pay_in="XAF"), "mill-2.yaml:16:9"),
        (
            a_quote("mill-2", an_item("10 EUR per 1"), minimum_value={"value": "900 XAF"}),
            "mill-2.yaml:17:10",
        ),
        (
            a_quote(
                "mill-2",
                an_item(
                    "10 EUR per 1",
                    charges=[{"what": "set-up", "amount": "900 XAF", "per": "order"}],
                ),
            ),
            "mill-2.yaml:18:13",
        ),
    ],
    ids=["paid in it", "minimum value", "charge"],
)
def test_a_rate_is_missed_where_the_currency_is_written(
    tmp_path: Path, quote: Values, place: str
) -> None:
    found = _unrated(tmp_path, quote)
    missing = [each for each in found.problems if each.code == "rate-missing"]
    assert [str(each.place) for each in missing] == [f"quotes/mill/{place}"]
    assert _offers(found) == ["foss/foss-1"]


def test_a_currency_of_our_own_assumptions_without_a_rate_is_told(tmp_path: Path) -> None:
    """Every offer hangs on it, so silence would look as if nobody had quoted."""
    workshop = a_workshop(delivery=[a_way_from("NL", carriage={"per order": "900 XAF"})])
    found = _unrated(tmp_path, a_quote("mill-2", an_item("10 EUR per 1")), workshop)
    (problem,) = found.problems
    assert problem.message == "currency: no rate for XAF in EUR at or before 2026-11-02."
    assert str(problem.place) == "workshop.yaml:13:16"
    assert problem.happens == "Every offer is left out."
    assert _offers(found) == []


@pytest.mark.parametrize(("on", "seen"), [("2026-10-26", []), ("2026-10-25", ["rate-old"])])
def test_a_rate_is_old_from_the_eighth_day_on(tmp_path: Path, on: str, seen: list[str]) -> None:
    """Rule R10: older than 7 days is used with a notice that gives its age."""
    rate = {"one": "XAF", "is worth": "0.0015 EUR", "on": on, "source": "our bank"}
    workshop = a_workshop(rates=[rate])
    quote = a_quote("mill-2", an_item("900 XAF per 1"), currency="XAF")
    found = _unrated(tmp_path, quote, workshop)
    assert [each.code for each in found.problems] == seen
    assert _offers(found) == ["foss/foss-1", "mill/mill-2"]
    for problem in found.problems:
        assert problem.message == (
            "rate: 1 XAF = 0.0015 EUR is of 2026-10-25, 8 days before the comparison."
        )
        assert str(problem.place) == "workshop.yaml:16:3"


# bad input


def test_an_empty_folder_has_no_parts_and_one_problem(tmp_path: Path) -> None:
    found = study(tmp_path, None, clock=CLOCK)
    assert _told(found) == ["workshop.yaml workshop-missing"]
    assert (dict(found.parts), found.today) == ({}, CLOCK)


def test_a_broken_workshop_is_told_together_with_all_other_problems(folder: Path) -> None:
    rewritten(folder / "workshop.yaml", "currency: EUR", "currency: EURO")
    rewritten(folder / "quotes/mill/mill-2.yaml", "10 EUR per 1", "TBC")
    rewritten(folder / "parts/p.yaml", "mass: 100 g", "mass: 100")
    found = study(folder, None, clock=CLOCK)
    assert _told(found) == [
        "parts/p.yaml:5:7 unit-missing",
        "quotes/foss/foss-1.yaml:8:9 item-part-broken",
        "quotes/mill/mill-2.yaml:12:12 price-open",
        "workshop.yaml workshop-missing",
        "workshop.yaml:3:11 unknown-currency",
    ]
    assert dict(found.parts) == {}


def test_one_broken_quote_does_not_stop_the_others(folder: Path) -> None:
    rewritten(folder / "quotes/mill/mill-2.yaml", "10 EUR per 1", "TBC")
    found = study(folder, TODAY)
    assert [each.code for each in found.problems] == ["price-open"]
    assert _offers(found) == ["foss/foss-1"]
    assert found.parts["p"].advice.outcome.value == "chosen"


def test_a_file_that_is_no_form_does_not_stop_the_others(folder: Path) -> None:
    (folder / "quotes/mill/mill-3.yaml").write_bytes(b"\x89PNG\r\n\x1a\n")
    (folder / "quotes/mill/mill-4.yaml").write_bytes(b"")
    (folder / "quotes/mill/mill-5.yaml").write_bytes(b"a: " * 400_000)
    found = study(folder, TODAY)
    assert _told(found) == [
        "quotes/mill/mill-3.yaml file-kind",
        "quotes/mill/mill-4.yaml file-empty",
        "quotes/mill/mill-5.yaml file-too-large",
    ]
    assert _offers(found) == ["foss/foss-1", "mill/mill-2"]


def test_a_quote_of_a_supplier_that_is_not_there_is_left_out(folder: Path) -> None:
    (folder / "suppliers/mill.yaml").unlink()
    found = study(folder, TODAY)
    (problem,) = found.problems
    assert (problem.code, str(problem.place)) == (
        "quote-supplier-unknown",
        "quotes/mill/mill-2.yaml:1:1",
    )
    assert _offers(found) == ["foss/foss-1"]


def test_a_sound_part_is_compared_beside_a_broken_one(folder: Path) -> None:
    part = (folder / "parts/p.yaml").read_text(encoding="utf-8")
    (folder / "parts/q.yaml").write_text(part.replace("100 g", "100"), encoding="utf-8")
    found = study(folder, TODAY)
    assert _told(found) == ["parts/q.yaml:5:7 unit-missing"]
    assert list(found.parts) == ["p"]


def test_problems_of_all_stages_come_in_one_order_and_once(tmp_path: Path) -> None:
    """Reading, records and rates: sorted by file and place, each once."""
    quotes = [a_quote(f"mill-{n}", an_item("1 XAF per 1"), currency="XAF") for n in (2, 1)]
    content = forms(*quotes, suppliers={"mill": a_supplier(country="Holland")})
    root = written(content, tmp_path)
    (root / "decisions/q").mkdir(parents=True)
    (root / "decisions/q/0001.md").write_text("no record\n", encoding="utf-8")
    found = study(root, TODAY)
    places = [each.place.order for each in found.problems]
    assert places == sorted(places)
    assert len(set(found.problems)) == len(found.problems)
    assert {"record-part-unknown", "quote-supplier-broken"} <= {
        each.code for each in found.problems
    }


def test_records_of_a_part_that_is_not_there_are_told(folder: Path) -> None:
    (folder / "decisions/pp").mkdir(parents=True)
    (problem,) = study(folder, TODAY).problems
    assert (problem.code, str(problem.place)) == ("record-part-unknown", "decisions/pp")
    assert problem.message == (
        "part: there are records for 'pp', but no such part; did you mean 'p'?"
    )
    assert problem.happens == "Its records are left out."
    assert problem.remedy == (
        "Put the file back under parts/, or give the folder the part's present name."
    )


def test_a_tool_of_several_parts_is_paid_once_and_each_bears_its_share(tmp_path: Path) -> None:
    """One die for p and q, both wanted alike: each bears half, whichever part is asked for."""
    items = [an_item("5 EUR per 1", tools=[a_tool("900 EUR")], part=name) for name in ("p", "q")]
    one = forms(a_quote("foss-1", *items))
    content = replace(one, parts={"p": a_part(), "q": a_part(name="Ratchet")})
    folder = written(content, tmp_path)
    for found in (study(folder, TODAY), study(folder, TODAY, only=("p",))):
        assert found.parts["p"].tools_elsewhere == {"die": ("q",)}
        view = plan_view(found.parts["p"])
        assert view is not None
        (said,) = [each.text for each in view.assumed if each.rule == "R5"]
        assert said == (
            "The wax die serves Q as well and is paid once. This plan bears 50 % of it: the parts "
            "share it in proportion to what each saves by it."
        )
        plan = found.parts["p"].planning
        assert plan is not None
        assert plan.plan is not None
        assert plan.plan.on_tools == 450
    assert list(study(folder, TODAY, only=("p",)).parts) == ["p"]


def test_a_tool_that_another_part_would_not_use_counts_in_full(tmp_path: Path) -> None:
    items = [an_item("5 EUR per 1", tools=[a_tool("900 EUR")], part=name) for name in ("p", "q")]
    one = forms(a_quote("foss-1", *items), a_quote("alder-1", an_item("4 EUR per 1", part="q")))
    content = replace(one, parts={"p": a_part(), "q": a_part(name="Ratchet")})
    found = study(written(content, tmp_path), TODAY)
    view = plan_view(found.parts["p"])
    assert view is not None
    assert [each.text for each in view.assumed if each.rule == "R5"] == [
        "The wax die serves Q as well. Its price counts in full here."
    ]


def test_a_part_whose_tool_is_made_for_another_is_told_when_it_can_be_used(tmp_path: Path) -> None:
    """p saves more and has the die made; q pours from the day on which it is done."""
    items = [
        an_item("5 EUR per 1", tools=[a_tool("900 EUR", takes="30 days")], part=name)
        for name in ("p", "q")
    ]
    shop = a_quote("alder-1", *(an_item("20 EUR per 1", part=name) for name in ("p", "q")))
    one = forms(a_quote("foss-1", *items), shop)
    content = replace(one, parts={"p": a_part(likely=300), "q": a_part(name="Ratchet")})
    found = study(written(content, tmp_path), TODAY)
    views = {name: plan_view(each) for name, each in found.parts.items()}
    told = {
        name: [each.text for each in view.assumed if each.rule == "R5"]
        for name, view in views.items()
        if view is not None
    }
    shared = "the parts share it in proportion to what each saves by it."
    assert told["p"][0].endswith(f"This plan bears 75 % of it: {shared}")
    assert told["q"][1] == "The wax die is ordered with P and can be used from 2 December 2026."
    plan = found.parts["q"].planning
    assert plan is not None
    assert plan.plan is not None
    assert all(order.tools_ordered is None for order in plan.plan.orders)
