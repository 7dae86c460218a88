"""PDFs taken in: what stands where, what is asked, and what cannot be read."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotegen.basics.place import Place
from quotegen.intake.files import RawFile, Refused
from quotegen.taking.pdf import see_pdf
from quotegen.taking.seen import Seen
from tests.taking import messy_pdf as messy
from tests.taking.drafts import SUPPLIER, Draft, a_folder, codes, drafted
from tests.taking.hostile_pdfs import locked, scripted, zipped
from tests.taking.messy import Case
from tests.taking.pdfs import Page, drawn

CASES = messy.PDF_CASES
FUZZED = 40  # spoilt files; each costs a child process


def seen(*pages: Page, catalog: str = "") -> Seen:
    return see_pdf(RawFile(path="q.pdf", data=drawn(pages, catalog=catalog)), "It")


def refused(data: bytes) -> str:
    with pytest.raises(Refused) as caught:
        see_pdf(RawFile(path="q.pdf", data=data), "It")
    return caught.value.problem.message


def draft_of(case: Case, at: Path) -> Draft:
    folder = a_folder(at, case.currency)
    return drafted(folder, case.build(folder / "quotes" / SUPPLIER))


def test_there_are_enough_messy_ones() -> None:
    assert len(CASES) >= 24


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_messy_pdf_is_read_right_or_asked_about(case: Case, tmp_path: Path) -> None:
    """No fact that the file does not say, each that it says or a question, and every doubt."""
    draft = draft_of(case, tmp_path)
    wrong = draft.facts - set(case.facts) - set(case.also)
    assert {each for each in wrong if each[1] != "[]"} == set()
    assert [e for e in case.facts if e not in draft.facts and e[0] not in draft.asked] == []
    assert [each for each in case.asked if not set(each.split("|")) & draft.asked] == []
    known = {"question-open", "file-not-read", "price-currency", "item-part-unknown"}
    assert set(codes(tmp_path)) <= known


def test_nearly_all_facts_are_right_on_first_reading(tmp_path: Path) -> None:
    right = total = 0
    for case in CASES:
        (tmp_path / case.name).mkdir()
        facts = draft_of(case, tmp_path / case.name).facts
        right += len(set(case.facts) & facts)
        total += len(set(case.facts))
    assert right / total > 0.95


# Where things stand


def test_a_value_has_its_page_its_line_and_its_place_in_it() -> None:
    (sheet,) = seen(messy.picture_page(), messy.plain_offer()).sheets
    cell = next(cell for row in sheet.grid.rows for cell in row if cell.text == "9.80")
    assert cell.place == Place("q.pdf", 5, 2, page=2)
    assert str(cell.place) == "q.pdf:page 2:5:2"


def test_the_left_column_is_read_before_the_right_one_sentence_by_sentence() -> None:
    texts = [line.text for line in seen(messy.second_of_two()).lines]
    assert texts[1:6] == [
        "Die Lieferzeit beträgt 6 Wochen nach Auftragseingang.",
        (
            "Die Preise gelten für die genannte Zeichnung und schließen das Entgraten und Prüfen "
            "nicht aus."
        ),
        "Rüstkosten je Auftrag betragen hier 55,00 EUR und kommen hinzu.",
        "Zahlung 30 Tage netto nach Erhalt der Rechnung.",
        "Die Ware bleibt bis dahin in unserem Eigentum.",
    ]


def test_a_foot_that_each_page_repeats_is_seen_once() -> None:
    texts = [line.text for line in seen(messy.first_of_two(), messy.second_of_two()).lines]
    assert [text for text in texts if "Voss Example GmbH" in text] == [
        "Voss Example GmbH, Musterstadt  Seite 1 von 2"
    ]


def test_prices_at_the_same_height_of_two_pages_are_no_foot() -> None:
    pages = [Page().row(800, [(60, "Part FL-021"), (200, "50"), (300, "10.50")]) for _ in "12"]
    assert [line.place.page for line in seen(*pages).lines] == [1, 2]


def test_a_table_over_two_pages_is_one_and_a_title_between_parts_it() -> None:
    first, second = messy.without_head_on_page_two()
    (sheet,) = seen(first, second).sheets
    assert [row[0].text for row in sheet.grid.rows][-5:] == ["50", "100", "250", "500", "1000"]
    other = Page().text(60, 40, "Part FL-042")
    other.drawn += second.drawn
    assert len(seen(first, other).sheets[0].grid.rows) == len(sheet.grid.rows) - 2


def test_a_sentence_that_crosses_the_columns_ends_a_table() -> None:
    page = messy.plain_offer().text(60, 170, "300 pcs and more are made on another machine")
    (sheet,) = seen(page).sheets
    assert [cell.text for cell in sheet.grid.rows[-1]] == ["250", "9.10"]


def test_numbers_that_stand_apart_in_one_cell_are_never_run_together() -> None:
    page = messy.plain_offer().row(170, [(60, "500"), (200, "8"), (230, "700")])
    (sheet,) = seen(page).sheets
    assert sheet.grid.rows[-1][1].text == "8 | 700"


def test_a_raised_mark_does_not_lengthen_a_number_and_a_power_stays() -> None:
    page = messy.footnoted().text(60, 230, "Surface 12 dm").text(124.6, 226, "2", size=5.5)
    shown = seen(page)
    assert [cell.text for cell in shown.sheets[0].grid.rows[-2]] == ["100", "9.80"]
    assert "A raised 1 stands behind 9.80: it leads to a note." in [r.text for r in shown.remarks]
    assert shown.lines[-1].text == "Surface 12 dm\u00b2"


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_a_turned_page_says_the_same(turn: int) -> None:
    """Text that is turned on the page, which the viewer turns back or does not."""
    matrix = {
        90: lambda x, y: (0, 1, -1, 0, y, x),
        180: lambda x, y: (-1, 0, 0, -1, 595 - x, y),
        270: lambda x, y: (0, -1, 1, 0, 595 - y, 842 - x),
    }[turn]
    pages = [Page(), Page(rotate=turn)]
    for page in pages:
        for y, cells in ((90, ("Qty", "Price each EUR")), (110, ("50", "10.50")), (124, ("100",
                         "9.80"))):  # fmt: skip
            for x, words in zip((60, 200), cells, strict=True):
                page.turned(matrix(x, y), words)
    for page in pages:
        (sheet,) = seen(page).sheets
        assert [[cell.text for cell in row] for row in sheet.grid.rows] == [
            ["Qty", "Price each EUR"], ["50", "10.50"], ["100", "9.80"],
        ]  # fmt: skip


# What is not shown


HIDDEN: dict[str, Callable[[Page], Page]] = {
    "of the colour of its ground": lambda p: p.text(60, 300, "77 pcs", colour="1 g"),
    "outside of the page": lambda p: p.text(60, 900, "77 pcs"),
    "too small to be read": lambda p: p.text(60, 300, "77 pcs", size=0.5),
    "drawn invisibly": lambda p: p.text(60, 300, "77 pcs", mode=3),
    "covered": lambda p: p.text(60, 300, "77 pcs").box(50, 285, 200, 305, "1 g"),
    "struck out": lambda p: p.text(60, 300, "77pcs").rule(58, 297, 90, 297),
}


@pytest.mark.parametrize("why", HIDDEN)
def test_text_that_nobody_sees_is_told_and_never_a_fact(why: str) -> None:
    shown = seen(HIDDEN[why](messy.plain_offer()))
    told = [
        each for each in shown.remarks if each.text.startswith(f"Page 1 holds text that is {why}")
    ]
    assert [each.is_matter for each in told] == [True]
    assert [line.hidden for line in shown.lines if "77" in line.text] == [True]


def test_white_words_on_a_dark_ground_are_seen() -> None:
    page = Page().box(50, 285, 200, 305, "0 0 0.4 rg").text(60, 300, "77 pcs", colour="1 g")
    assert [line.hidden for line in seen(page).lines] == [False]


def test_a_stamp_across_the_page_is_one_line_and_breaks_no_table() -> None:
    page = messy.plain_offer()
    page.turned((0.7, 0.7, -0.7, 0.7, 100, 640), "NOT VALID", size=40)
    shown = seen(page)
    assert [line.text for line in shown.lines] == ["NOT VALID"]
    assert [row[1].text for row in shown.sheets[0].grid.rows[-3:]] == ["10.50", "9.80", "9.10"]


def test_letters_drawn_twice_to_look_bold_count_once() -> None:
    page = messy.plain_offer()
    page.drawn += [each.replace(b" 60.000 ", b" 60.300 ") for each in page.drawn]
    assert [row[0].text for row in seen(page).sheets[0].grid.rows][-3:] == ["50", "100", "250"]


def test_two_tables_in_one_column_of_lines_are_two() -> None:
    sheets = seen(messy.two_tables()).sheets
    assert [[cell.text for cell in sheet.grid.rows[-3]] for sheet in sheets] == [
        ["Quantity", "Price (EUR per 100 pcs)", "Unit of sale"]
    ] * 2


def test_raised_cents_make_no_whole_price() -> None:
    page = messy.plain_offer().row(170, [(60, "500"), (230, "8")]).text(236, 167, "70", size=6)
    assert seen(page).sheets[0].grid.rows[-1][1].text == "8^70"


def test_a_layer_that_is_off_hides_what_is_on_it() -> None:
    page = messy.plain_offer()
    page.drawn.append(b"/OC /L1 BDC BT /F1 10 Tf 60 500 Td (77 pcs) Tj ET EMC")
    data = drawn([page], catalog="/OCProperties<</OCGs[900 0 R]/D<</OFF[900 0 R]>>>>")
    data = data.replace(b"/XObject<</Im1", b"/Properties<</L1 900 0 R>>/XObject<</Im1")
    shown = see_pdf(RawFile(path="q.pdf", data=data), "It")
    assert [line.hidden for line in shown.lines if "77" in line.text] == [True]


def test_comments_pictures_files_and_scripts_are_told() -> None:
    page = messy.plain_offer().comment(300, 128, "only until Friday").picture(60, 300, 400, 700)
    assert {(each.text, each.is_matter) for each in seen(page, messy.picture_page()).remarks} == {
        ("Comment: only until Friday", True),
        ("Page 1 shows a picture; what stands in it is not read.", True),
        ("Page 2 is a picture without text; nothing of it is read.", True),
    }
    shown = see_pdf(RawFile(path="q.pdf", data=scripted()), "It")
    assert {(each.text, each.is_matter) for each in shown.remarks} == {
        ("It carries another file inside, which is not read.", True),
        ("It carries a script; nothing of it is run.", False),
    }


# What cannot be read


def test_each_refusal_says_why() -> None:
    assert refused(locked()) == "The PDF opens only with a password."
    assert refused(drawn([messy.picture_page()])) == (
        "The PDF holds no text: its pages are pictures, as those of a scan, or empty."
    )
    assert refused(drawn([messy.plain_offer() for _ in range(21)])) == (
        "The PDF has 21 pages; at most 20 are read."
    )
    assert refused(zipped()) == (
        "The file is not what its name says: expected a PDF, found a ZIP file such as XLSX."
    )
    assert refused(b"%PDF-1.7\n") == (
        "The PDF is damaged: PDFSyntaxError: No /Root object! - Is this really a PDF?."
    )


def test_twenty_pages_are_read() -> None:
    assert len({s.place.page for s in seen(*[Page().text(60, 300 + n, f"line {n}")
                                             for n in range(20)]).lines}) == 20  # fmt: skip


def test_the_child_may_write_no_file_and_take_no_more_memory(tmp_path: Path) -> None:
    code = (
        "import sys, pathlib, quotegen.taking.pdf_child as child\n"
        "child.limit()\n"
        "try:\n    pathlib.Path(sys.argv[1]).write_text('x')\n"
        "except OSError as error:\n    print('no file', error.errno)\n"
        "try:\n    bytearray(1 << 30)\n"
        "except MemoryError:\n    print('no memory')\n"
    )
    command = [sys.executable, "-c", code, str(tmp_path / "a")]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    assert ran.stdout == "no file 27\nno memory\n"  # EFBIG


def test_nothing_that_opens_a_pdf_is_loaded_here(tmp_path: Path) -> None:
    (tmp_path / "q.pdf").write_bytes(drawn([messy.plain_offer()]))
    code = (
        "import sys\nfrom pathlib import Path\n"
        "from quotegen.intake.files import RawFile\nfrom quotegen.taking.pdf import see_pdf\n"
        "seen = see_pdf(RawFile(path='q.pdf', data=Path(sys.argv[1]).read_bytes()), 'It')\n"
        "print(len(seen.sheets), [name for name in sys.modules if 'pdfminer' in name])\n"
    )
    command = [sys.executable, "-c", code, str(tmp_path / "q.pdf")]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    assert ran.stdout == "1 []\n"


SAMPLES = [
    drawn([messy.plain_offer(), messy.second_of_two()], squeezed=False),
    drawn([messy.hidden_text(), messy.filled_form()], squeezed=False),
    drawn([messy.turned_page(), messy.tall_cells()], squeezed=False),
]
PIECES = st.one_of(
    st.binary(min_size=1, max_size=3),
    st.sampled_from([b"999999999", b"-1", b"1e9", b"0.0001", b"[", b"]", b"<<", b">>", b"(", b")",
                     b"/F1", b"q", b"Q", b"re f", b"S", b"3 0 R", b"1 0 R", b"null"]),
)  # fmt: skip
CUTS = st.lists(st.tuples(st.integers(0, 10**5), PIECES, st.integers(0, 4)), min_size=1, max_size=8)


def spoilt(data: bytes, cuts: list[tuple[int, bytes, int]]) -> bytes:
    for at, piece, gone in cuts:
        spot = at % len(data)
        data = data[:spot] + piece + data[spot + gone :]
    return data


def read_or_refused(number: int, cuts: list[tuple[int, bytes, int]]) -> None:
    raw = RawFile(path="q.pdf", data=spoilt(SAMPLES[number], cuts))
    try:
        told = see_pdf(raw, "It").kind
    except Refused as refused:
        told = refused.problem.message
    assert told


@settings(max_examples=FUZZED, deadline=None, suppress_health_check=list(HealthCheck))
@given(number=st.integers(0, 2), cuts=CUTS)
def test_a_spoilt_pdf_is_read_or_refused(number: int, cuts: list[tuple[int, bytes, int]]) -> None:
    read_or_refused(number, cuts)


@pytest.mark.soak
@settings(max_examples=3000, deadline=None, suppress_health_check=list(HealthCheck))
@given(number=st.integers(0, 2), cuts=CUTS)
def test_a_long_run_over_spoilt_pdfs(number: int, cuts: list[tuple[int, bytes, int]]) -> None:
    read_or_refused(number, cuts)
