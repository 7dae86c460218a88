"""The HTML: escaped, whole, well formed, linked, the same every time, and true to its figures."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from jinja2 import UndefinedError
from lxml import html as parser

from quotegen.basics.place import Place
from quotegen.basics.printed import printed, round_money
from quotegen.basics.problem import Problem
from quotegen.judge.advice import Outcome
from quotegen.judge.studied import Study
from quotegen.plan.plan import Plan
from quotegen.report import pages
from quotegen.report.markdown_text import anchor_of
from quotegen.report.pages import assets, brief_html, report_html, site_pages
from quotegen.report.views.names import paper_files
from quotegen.report.views.report import Report, report_of
from quotegen.templates_folder import templates_folder
from tests.folders import a_part, a_quote, a_supplier, a_workshop, an_item, forms
from tests.report.studies import bridged, nothing_quoted, poured_or_machined, study_of

DEMO = Path(__file__).parents[2] / "quotes_demo"
EVIL = "<script>alert('x')</script>\"><img src=x onerror=alert(1)>"


pytestmark = pytest.mark.xdist_group("site")


@pytest.fixture(scope="module")
def demo_study(demo_site: Any) -> Study:
    found: Study = demo_site.study
    return found


@pytest.fixture(scope="module")
def demo(demo_study: Study) -> Report:
    return report_of(demo_study, "0.1.0")


@pytest.fixture(scope="module")
def demo_pages(demo: Report) -> dict[str, Any]:
    """Every page of the demo's site, parsed."""
    return {path: parser.fromstring(text) for path, text in site_pages(demo).items()}


def _hostile() -> Report:
    """Names, notes and terms of a person who tries markup."""
    item = an_item(
        "10 EUR per 1",
        note=EVIL,
        terms=[{"term": EVIL, "text": EVIL, "could turn": "no"}],
        charges=[{"what": EVIL, "amount": "3 EUR", "per": "order"}],
    )
    content = forms(
        a_quote("ash-1", item, note=EVIL),
        workshop=a_workshop(name=EVIL, note=EVIL),
        part=a_part(name=EVIL, revision="A", material=EVIL, note=EVIL),
        suppliers={"ash": a_supplier(name=EVIL, note=EVIL)},
    )
    problem = Problem.of("yaml-broken", Place(f"parts/{EVIL}.yaml"), seen=EVIL, record=EVIL)
    return report_of(study_of(content, [problem]), "0.1.0")


def _papers(report: Report) -> Iterator[str]:
    for part in report.parts:
        yield brief_html(report, part)
        yield report_html(report, part)


def test_markup_in_names_and_notes_is_shown_and_never_run() -> None:
    report = _hostile()
    for text in (*site_pages(report).values(), *_papers(report)):
        page = parser.fromstring(text)
        assert not page.xpath("//*[@onerror]")
        assert not page.xpath("//img")
        assert "alert" not in "".join(page.xpath("//script/text()"))
    assert EVIL in parser.fromstring(site_pages(report)["parts/p.html"]).text_content()


TURNED = "Pawl \u202egnp.exe\u202c \ufeff\x1b[31m"


def test_no_mark_that_turns_or_forges_what_is_read_stands_on_a_page() -> None:
    content = forms(
        a_quote("ash-1", an_item("10 EUR per 1", note=TURNED)),
        a_quote("oak-1", an_item("12 EUR per 1")),
        part=a_part(name=TURNED),
        suppliers={"ash": a_supplier(name=TURNED)},
    )
    report = report_of(study_of(content), "0.1.0")
    for text in (*site_pages(report).values(), *_papers(report)):
        assert not set(text) & set("\u202e\u202c\ufeff\x1b")
        assert "\\u202e" not in text


def test_a_part_named_like_another_parts_file_has_files_of_its_own() -> None:
    names = ("fl-014", *(f"fl-014-{each}" for each in ("lines", "offers", "plan", "brief")))
    files = [path for name in names for path in paper_files(name).values()]
    assert len(set(files)) == len(files)


def test_a_script_block_cannot_be_ended_by_a_name() -> None:
    """The curves stand in a script element, where HTML knows no escapes."""
    content = forms(
        *(
            a_quote(f"{name}-1", an_item(price))
            for name, price in (("ash", "9 EUR per 1"), ("elm", "9 EUR per 1"))
        ),
        suppliers={name: a_supplier(name=f"</script><b>{name}") for name in ("ash", "elm")},
    )
    page = site_pages(report_of(study_of(content), "0.1.0"))["parts/p.html"]
    found = parser.fromstring(page)
    assert len(found.xpath("//script")) == 2
    assert not found.xpath("//b")


def test_a_name_that_a_template_does_not_know_is_an_error() -> None:
    page = pages._environment().from_string("{{ view.no_such_name }}")  # noqa: SLF001
    with pytest.raises(UndefinedError):
        page.render(view=object())


@pytest.mark.parametrize("content", [bridged(), poured_or_machined(), nothing_quoted()])
def test_the_same_report_gives_the_same_bytes(content: Any) -> None:
    first, second = (report_of(study_of(content), "0.1.0") for _ in range(2))
    assert site_pages(first) == site_pages(second)
    assert list(_papers(first)) == list(_papers(second))


def test_pages_can_be_written_before_there_are_pdfs() -> None:
    report = report_of(study_of(bridged()), "0.1.0")
    assert "p-brief.pdf" in site_pages(report)["parts/p.html"]
    without = site_pages(report, printed=False)["parts/p.html"]
    assert "p-brief.pdf" not in without
    assert "p.xlsx" in without


def test_every_page_has_one_first_heading_and_skips_no_level(demo_pages: dict[str, Any]) -> None:
    for path, page in demo_pages.items():
        levels = [int(each.tag[1]) for each in page.iter("h1", "h2", "h3", "h4", "h5", "h6")]
        assert levels.count(1) == 1, path
        assert levels[0] == 1, path
        jumps = [(a, b) for a, b in pairwise(levels) if b > a + 1]
        assert jumps == [], path


def test_every_page_has_landmarks_language_title_and_a_way_past_the_menu(
    demo_pages: dict[str, Any],
) -> None:
    for path, page in demo_pages.items():
        assert page.get("lang") == "en", path
        assert page.findtext("head/title"), path
        assert len(page.xpath("//main[@id='content']")) == 1, path
        assert page.xpath("//header//nav"), path
        assert page.xpath("//a[@class='skip'][@href='#content']"), path


def test_every_id_stands_once(demo_pages: dict[str, Any]) -> None:
    for path, page in demo_pages.items():
        ids = page.xpath("//@id")
        assert len(ids) == len(set(ids)), path


def test_every_table_has_a_caption_heads_and_rows_of_one_width(
    demo_pages: dict[str, Any],
) -> None:
    for path, page in demo_pages.items():
        for table in page.xpath("//table"):
            assert table.findtext("caption"), path
            assert table.xpath("thead//th[@scope='col']"), path
            widths = {len(each.xpath("th|td")) for each in table.xpath(".//tr")}
            assert len(widths) == 1, (path, table.findtext("caption"))


def test_every_drawing_has_a_title_that_a_reader_hears(demo_pages: dict[str, Any]) -> None:
    drawings = [
        each for page in demo_pages.values() for each in page.xpath("//*[local-name()='svg']")
    ]
    assert len(drawings) > 30
    assert all(each[0].tag.endswith("title") and each[0].text for each in drawings)


def test_every_link_leads_to_a_page_or_an_anchor_of_the_site(
    demo: Report, demo_pages: dict[str, Any]
) -> None:
    files = {*demo_pages, *assets()}
    files |= {path for part in demo.parts.values() for path in part.paper.values()}
    for path, page in demo_pages.items():
        for link in page.xpath("//@href | //script/@src"):
            target, _, anchor = link.partition("#")
            found = _resolved(path, target) if target else path
            assert found in files, f"{path}: {link}"
            if anchor:
                assert demo_pages[found].xpath(f"//*[@id='{anchor}']"), f"{path}: {link}"


def _resolved(page: str, target: str) -> str:
    parts = page.split("/")[:-1]
    for step in target.split("/"):
        if step == "..":
            parts.pop()
        else:
            parts.append(step)
    return "/".join(parts)


def _amount(text: str) -> Fraction:
    return Fraction(text.replace(",", "") or 0)


def test_every_column_with_a_total_adds_up_as_printed(demo_pages: dict[str, Any]) -> None:
    checked = 0
    for path, page in demo_pages.items():
        for total in page.xpath("//tr[@class='total']"):
            rows = [row for row in total.getparent() if row is not total]
            for column, cell in enumerate(total):
                if column and cell.text_content().strip():
                    every = [_shown(row[column]) for row in rows]
                    amounts = [_amount(each) for each in every if each != "\N{EN DASH}"]
                    assert sum(amounts) == _amount(cell.text_content()), path
                    checked += 1
    assert checked > 50


def _shown(cell: Any) -> str:
    """The text of a cell without the small line below it."""
    small = "".join(each.text_content() for each in cell.xpath("span[@class='small']"))
    whole: str = cell.text_content()
    return whole.removesuffix(small).strip()


def test_every_rule_and_every_problem_can_be_looked_up(
    demo: Report, demo_pages: dict[str, Any]
) -> None:
    anchors = set(demo_pages["method.html"].xpath("//section/@id"))
    assert anchors == {f"R{number}" for number in range(1, 24)}
    codes = {row.cells[0].text for row in demo.problems.codes.rows}
    assert codes <= set(demo_pages["problems.html"].xpath("//tr/@id"))


def test_a_notice_of_the_terminal_stands_in_the_report(demo: Report) -> None:
    told = site_pages(demo)["problems.html"]
    assert demo.problems.notices
    for notice in demo.problems.notices:
        assert str(notice.place) in told


def test_a_notice_of_a_rate_stands_only_with_parts_that_use_the_currency(demo: Report) -> None:
    """The rate of the yen is old; two parts have an offer from Japan."""
    told = {
        name
        for name, part in demo.parts.items()
        if any(each.code == "rate-old" for each in part.problems)
    }
    assert told == {"fl-063", "wm-032"}


def test_sentences_give_whole_units_and_only_a_piece_has_cents(demo: Report) -> None:
    for part in demo.parts.values():
        for text in (part.lead, *part.reasons, part.sure.sentence):
            exact = re.findall(r"[\d,]+\.\d\d EUR(?! each)", text)
            assert exact == [], text


def test_days_stand_in_words_in_every_sentence(demo_pages: dict[str, Any]) -> None:
    """But for records, which are shown as they were written, and the rule that names the form."""
    for path, page in demo_pages.items():
        if path in ("decisions.html", "method.html"):
            continue
        for text in page.xpath("//main//p | //main//li[not(ancestor::*[@class='problems'])]"):
            assert not re.search(r"\d{4}-\d\d-\d\d", text.text_content()), path


def test_no_part_of_a_brief_leads_with_another_route_than_its_table_has(demo: Report) -> None:
    """Every supplier that the lead names stands in a row of the table on the same sheet."""
    for part in demo.parts.values():
        assert part.brief.routes is not None
        rows = " ".join(row.cells[0].small for row in part.brief.routes.rows)
        for supplier in demo.suppliers.values():
            if supplier.name in part.brief.lead:
                assert supplier.name in rows, part.part


def _planned(demo_study: Study) -> dict[str, Plan]:
    """The plan of each part for which one route is chosen."""
    found = {
        name: part.advice.plan
        for name, part in demo_study.parts.items()
        if part.advice.outcome is Outcome.CHOSEN and part.advice.plan is not None
    }
    assert len(found) > 5
    return found


def test_overview_and_brief_have_one_amount_for_all_that_is_paid(
    demo: Report, demo_study: Study
) -> None:
    """What the plan pays; a cent may go to another row, so that the column adds up (R18)."""
    assert demo.index.parts is not None
    rows = {row.cells[0].small.partition(",")[0].lower(): row for row in demo.index.parts.rows}
    for name, plan in _planned(demo_study).items():
        in_all, each = (cell.text for cell in rows[name].cells[3:5])
        assert abs(Fraction(in_all.replace(",", "")) - plan.paid) < Fraction(15, 1000)
        assert each == printed(plan.paid / demo_study.parts[name].comparison.needs.likely, "EUR")
        figure = demo.parts[name].brief.figures[2]
        assert (figure.label.split(",")[0], figure.value) == (
            "Paid in 36 months",
            round_money(plan.paid, "EUR"),
        )
        assert figure.note.startswith(f"{each} each; {round_money(plan.present, 'EUR')} in today")


def test_a_year_of_use_in_a_brief_is_what_the_plan_pays_before_the_thirteenth_month(
    demo: Report, demo_study: Study
) -> None:
    for name, plan in _planned(demo_study).items():
        before = (each.amount for each in plan.payments if each.day < plan.months[12].starts)
        figure = demo.parts[name].brief.figures[1]
        assert figure.label.startswith("First 12 months of use")
        assert figure.value == round_money(sum(before, Fraction(0)), "EUR")


def test_a_headline_names_the_pieces_that_the_plan_takes_before_the_main_offer(
    demo: Report, demo_study: Study
) -> None:
    bridged_parts = 0
    for name, plan in _planned(demo_study).items():
        first, *others = plan.offers
        told = " ".join(demo.parts[name].brief.headline)
        if not others:
            assert not re.search(r"\d", told), name
            continue
        takes_over = min(order.month for order in plan.orders if order.offer is others[0])
        before = [each for each in plan.orders if each.month < takes_over]
        assert all(each.offer is first for each in before)
        how = "while" if plan.is_soon(others[0]) else "until then"
        assert f"the first {sum(each.good for each in before)} {how}" in told
        bridged_parts += 1
    assert bridged_parts == 2


def test_what_a_brief_signs_are_the_first_orders_of_the_plan(
    demo: Report, demo_study: Study
) -> None:
    """With whom the plan orders only much later, nothing is agreed today."""
    put_off = 0
    for name, plan in _planned(demo_study).items():
        orders = demo.parts[name].brief.second.agree.orders
        assert orders is not None
        told = [row.cells[0].text for row in orders.rows if "samples" not in row.cells[0].text]
        firsts = {order.offer.name: order.pieces for order in reversed(plan.orders)}
        assert [int(re.findall(r"\d+", text)[0]) for text in told] == [
            firsts[offer.name] for offer in plan.offers if plan.is_soon(offer)
        ]
        put_off += sum(not plan.is_soon(offer) for offer in plan.offers)
    assert put_off == 1


def test_pouring_alone_stands_beside_the_bridged_route_with_its_own_plan(
    demo: Report, demo_study: Study
) -> None:
    """The castings of the yarn eye would come in time; the plan prints first all the same."""
    plans = demo_study.parts["wm-032"].advice.plans
    alone, best = plans["aldring/A-4486"].present, plans["pulverhof/PH-26-0461 then aldring/A-4486"]
    routes = demo.parts["wm-032"].routes
    assert routes is not None
    (row,) = [each for each in routes.rows if each.cells[0].small == "Aldring Castings"]
    assert row.cells[2].text == f"{round(alone):,}"
    assert row.cells[4].text == f"+{round(alone) - round(best.present):,}"


# Words that a workshop owner need not know, as they stand in pages and method.
JARGON = (
    "parity",
    "tier",
    "incremental",
    "all-units",
    "surcharge",
    "revision",
    "footing",
    "bridge",
    "incoterms 2020",
    "customs value",
    "crossing",
    "each, all in",
    "a later one",
    "lot",
    "leg",
    "first-article inspection",
    "place",
    "rule",
    "exposure",
    "multiple",
    "run",
    "samples",
    "surplus",
    "completion",
    "minimum value",
    "reading form",
    "cif and fob footing",
)
# The design's own words: one for one idea.
OURS = (
    "part",
    "quote",
    "item",
    "offer",
    "process",
    "route",
    "lot",
    "tool",
    "bill",
    "cost line",
    "record",
    "reading form",
    "problem",
    "question",
    "outcome",
    "advice",
    "standing",
    "not enough known",
    "too close to call",
    "notice",
    "decision",
    "gap",
    "assumption",
)


@pytest.mark.parametrize("word", sorted({*JARGON, *OURS}))
def test_every_word_that_needs_it_is_in_the_glossary(word: str, demo: Report) -> None:
    assert anchor_of(word) in {each.anchor for each in demo.glossary.sections}


def test_every_term_that_a_template_links_is_in_the_glossary(demo: Report) -> None:
    """A link from a table's head is checked with the other links."""
    known = {each.anchor for each in demo.glossary.sections}
    linked = set()
    for template in templates_folder().glob("*.html"):
        linked |= set(re.findall(r'term\([^)]*, "([a-z-]+)"\)', template.read_text("utf-8")))
    assert len(linked) >= 5
    assert linked <= known


def test_the_glossary_is_in_order(demo: Report) -> None:
    titles = [each.title.lower().replace("-", " ") for each in demo.glossary.sections]
    assert titles == sorted(titles)


def test_a_page_asks_for_nothing_but_files_of_its_site(demo_pages: dict[str, Any]) -> None:
    for path, page in demo_pages.items():
        (policy,) = page.xpath("//meta[@http-equiv='Content-Security-Policy']/@content")
        assert policy.startswith("default-src 'none'; style-src 'self';"), path
        assert not page.xpath("//*[@style]"), path
        assert not page.xpath("//style"), path


def test_the_script_is_small_and_classic() -> None:
    script = assets()["assets/site.js"]
    assert len(script) < 3000
    assert b"import " not in script
    assert b"fetch(" not in script


def test_paper_has_no_link_out_of_itself(demo: Report) -> None:
    for text in _papers(demo):
        page = parser.fromstring(text)
        assert not [link for link in page.xpath("//@href") if not link.startswith("#")]
        assert not page.xpath("//script")


def _boxes(box: Any) -> Iterator[Any]:
    yield box
    for child in getattr(box, "children", ()):
        yield from _boxes(child)


def _overflow(text: str) -> tuple[int, float]:
    """The sheets of a brief, and by how far at most a text leaves the room for it."""
    from weasyprint import HTML

    document = HTML(string=text, base_url=f"{templates_folder().as_uri()}/").render()
    worst = 0.0
    for page in document.pages:
        inside = [
            box
            for box in _boxes(page._page_box)  # noqa: SLF001  # where the layout can be asked
            if "inside" in (box.element.get("class") or "" if box.element is not None else "")
        ]
        (room,) = [box for box in inside if box.element_tag == "div"]
        foot, side = room.position_y + room.height, room.position_x + room.width
        lines = [box for box in _boxes(room) if type(box).__name__ == "LineBox"]
        below = [line.position_y + line.height - foot for line in lines]
        beside = [line.position_x + line.width - side for line in lines]
        worst = max([worst, *below, *beside])
    return len(document.pages), worst


def test_every_brief_of_the_demo_has_exactly_two_sheets_and_nothing_is_cut(demo: Report) -> None:
    for part in demo.parts:
        sheets, out = _overflow(brief_html(demo, part))
        assert sheets == 2, part
        assert out <= 0.01, part


LONG = "Schwergewichtskettbaumbremsklinkenhalterung "


def _wordy(outcome: str) -> Report:
    """Names of 300 letters, eight quotes, and more questions than fit."""
    load = {"load": "a person relies on it", "relied on for": LONG * 12}
    quotes, suppliers = [], {}
    for number, name in enumerate("abcdefgh"):
        suppliers[name] = a_supplier(name=f"{name} {LONG * 3}")
        terms = [
            {"term": f"{LONG}{index}", "text": LONG * 4, "could turn": "no"} for index in range(4)
        ]
        item = an_item(
            f"{10 if outcome == 'tie' else 10 + number} EUR per 1",
            terms=terms,
            includes=[],
            rejects=None,
            revision="Z" if outcome == "ask" and name == "a" else "A",
        )
        quotes.append(
            a_quote(
                f"{name}-1",
                item,
                payment=[
                    {"share": "50 %", "when": "order"},
                    {"share": "50 %", "when": "invoice", "days": "30"},
                ],
            )
        )
    part = a_part(
        name=LONG * 4, revision="A", demand={"low": "20", "likely": "100", "high": "300"}, **load
    )
    return report_of(
        study_of(
            forms(*quotes, part=part, suppliers=suppliers, workshop=a_workshop(name=LONG * 4))
        ),
        "0.1.0",
    )


@pytest.mark.parametrize("outcome", ["chosen", "ask", "tie"])
def test_a_brief_with_very_long_texts_is_shortened_and_says_so(outcome: str) -> None:
    report = _wordy(outcome)
    assert report.parts["p"].brief.shortened
    text = brief_html(report, "p")
    assert "What ends in … is whole in the report" in text
    sheets, out = _overflow(text)
    assert sheets == 2
    assert out <= 0.01


def test_a_brief_without_a_quote_has_two_sheets_as_well() -> None:
    sheets, out = _overflow(brief_html(report_of(study_of(nothing_quoted()), "0.1.0"), "p"))
    assert (sheets, out <= 0.01) == (2, True)


def test_views_are_frozen_so_that_no_page_can_change_another(demo: Report) -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        demo.index.summary = ""  # type: ignore[misc]
