"""Packs for suppliers: three files each and letters, the same bytes twice, nothing of others."""

from __future__ import annotations

from pathlib import Path

import pikepdf
import pytest
from lxml import etree
from pdfminer.high_level import extract_text

from quotegen.asking.answer import read_answer
from tests.commands import a_choice, fingerprints, run
from tests.folders import a_part, a_quote, a_supplier, an_item, forms, written

DAY = ("--today", "2026-11-02")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return written(a_choice(), tmp_path / "shop")


def test_a_pack_for_each_supplier(folder: Path) -> None:
    ran = run("ask", "p", "--folder", folder, *DAY, "--answer-by", "2026-11-20")
    assert (ran.code, ran.err) == (0, "")
    assert "foss, Foss Castings: quoted before" in ran.out
    assert "126: foss/foss-1 is cheaper from here on" in ran.out
    below = folder / "requests/p/2026-11-02"
    assert {path.name for path in below.iterdir()} == {"foss", "mill"}
    names = {path.name for path in (below / "mill").iterdir()}
    assert names >= {"p-request.pdf", "p-answer.xlsx", "p-request.xml"}
    assert names - {"p-questions-mill-2.pdf"} == {"p-request.pdf", "p-answer.xlsx", "p-request.xml"}
    answer = read_answer(below / "mill/p-answer.xlsx")
    assert answer is not None
    assert (answer.facts.supplier, 126 in answer.facts.quantities) == ("mill", True)


def test_twice_gives_the_same_bytes_and_writes_nothing(folder: Path, tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    for to in (one, two, one):
        ran = run("ask", "p", "--folder", folder, "--to", to, *DAY)
    assert "0 files written" in ran.out
    assert fingerprints(one) == fingerprints(two)


def test_an_earlier_pack_stays_and_so_does_what_is_not_ours(folder: Path) -> None:
    run("ask", "p", "--folder", folder, *DAY, "--supplier", "foss")
    mine = folder / "requests/notes.txt"
    mine.write_text("called them on Tuesday", encoding="utf-8")
    run("ask", "p", "--folder", folder, *DAY, "--supplier", "mill")
    assert {path.name for path in (folder / "requests/p/2026-11-02").iterdir()} == {"foss", "mill"}
    assert mine.read_text(encoding="utf-8") == "called them on Tuesday"


def test_a_pack_names_no_other_supplier(folder: Path) -> None:
    run("ask", "p", "--folder", folder, *DAY, "--supplier", "mill")
    below = folder / "requests/p/2026-11-02/mill"
    texts = [path.read_bytes() for path in below.iterdir()]
    with pikepdf.open(below / "p-request.pdf") as pdf:
        texts += [page.Contents.read_bytes() for page in pdf.pages]
    assert not any(b"foss" in text.lower() for text in texts)


def test_the_request_lists_every_drawing_with_its_revision(tmp_path: Path) -> None:
    """A drawing without a revision has that of the part; without a list the part's own stands."""
    drawings = [
        {"number": "P-1", "title": "pawl"},
        {"number": "TS-12", "title": "how it is tested", "revision": "C"},
    ]
    quote = a_quote("alder-1", an_item("9 EUR per 1"))
    folder = written(forms(quote, part=a_part(drawings=drawings)), tmp_path)
    run("ask", "p", "--folder", folder, *DAY, "--supplier", "alder")
    below = folder / "requests/p/2026-11-02/alder"
    root = etree.parse(below / "p-request.xml").getroot()
    spaces = {"cac": root.nsmap["cac"], "cbc": root.nsmap["cbc"]}
    named = [
        tuple(each.findtext(f"cbc:{name}", namespaces=spaces) for name in ("ID", "VersionID"))
        for each in root.find(".//cac:Item", spaces).findall(
            "cac:ItemSpecificationDocumentReference", spaces
        )
    ]
    assert named == [("P-1", "A"), ("TS-12", "C")]
    text = extract_text(below / "p-request.pdf")
    assert "TS-12" in text
    assert "how it is tested" in text


def test_a_letter_asks_what_a_quote_leaves_open(tmp_path: Path) -> None:
    quote = a_quote("alder-1", an_item("9 EUR per 1", lead_time="not quoted"), valid_until=None)
    folder = written(forms(quote), tmp_path)
    run("ask", "p", "--folder", folder, *DAY, "--supplier", "alder")
    assert (folder / "requests/p/2026-11-02/alder/p-questions-alder-1.pdf").is_file()


@pytest.mark.parametrize(
    ("arguments", "code", "told"),
    [
        (("q",), 1, "parts: part-unknown: part: there is no part 'q'; known here: p."),
        (
            ("p", "--supplier", "fos"),
            1,
            "ask-supplier-unknown: supplier: there is no supplier 'fos'; did you mean 'foss'?",
        ),
        (("p", "--supplier", "../../evil"), 1, "there is no supplier '../../evil'"),
        (("p", "--to", "shop"), 2, "holds the workshop folder itself"),
        (("p", "--to", "shop/quotes"), 2, "is for records"),
        (("p", "--answer-by", "2026-10-01"), 2, "--answer-by 2026-10-01 has gone by"),
    ],
)
def test_bad_wishes_are_told_and_write_nothing(
    folder: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], code: int, told: str
) -> None:
    monkeypatch.chdir(folder.parent)
    before = fingerprints(folder)
    ran = run("ask", *arguments, "--folder", "shop", *DAY)
    assert ran.code == code
    assert told in ran.err
    assert fingerprints(folder) == before


def test_a_part_that_needs_no_more_is_not_asked_for(tmp_path: Path) -> None:
    part = a_part(100, on_hand="5000")
    folder = written(forms(a_quote("alder-1", an_item("9 EUR per 1")), part=part), tmp_path)
    ran = run("ask", "p", "--folder", folder, *DAY)
    assert ran.code == 1
    assert "ask-no-quantity: on hand: 5,000 pieces cover all that p needs" in ran.err
    assert "parts/p.yaml:" in ran.err
    assert not (folder / "requests").exists()


def test_a_part_that_nobody_makes_is_told(tmp_path: Path) -> None:
    """A wall of 1 mm is out of reach of gravity die casting."""
    caster = a_supplier(processes=["gravity die casting"])
    content = forms(part=a_part(thinnest_wall="0.5 mm"), suppliers={"alder": caster})
    ran = run("ask", "p", "--folder", written(content, tmp_path), *DAY)
    assert ran.code == 1
    assert "ask-nobody: processes: no supplier quoted p before" in ran.err


def test_a_file_of_somebody_else_is_not_replaced(folder: Path) -> None:
    foreign = folder / "requests/p/2026-11-02/mill/p-request.pdf"
    foreign.parent.mkdir(parents=True)
    foreign.write_bytes(b"mine")
    ran = run("ask", "p", "--folder", folder, *DAY, "--supplier", "mill")
    assert ran.code == 1
    assert "site-file-foreign" in ran.err
    assert foreign.read_bytes() == b"mine"


def test_a_list_that_was_edited_is_not_believed(folder: Path) -> None:
    run("ask", "p", "--folder", folder, *DAY, "--supplier", "mill")
    listed = folder / "requests/requests.json"
    listed.write_text(listed.read_text(encoding="utf-8").replace("mill", "foss"), encoding="utf-8")
    ran = run("ask", "p", "--folder", folder, *DAY)
    assert ran.code == 1
    assert "requests.json: site-manifest" in ran.err
