"""A PDF keeps for years, reads aloud, carries its evidence, and has the same bytes every time.

PDF/A-3a is ISO 19005-3, PDF/UA-1 is ISO 14289-1. No validator can be had from a package
registry, so the rules that our own pages could break are looked at one by one.
"""

from __future__ import annotations

import datetime
import hashlib
import itertools
import os
import pickle
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pytest
from lxml import etree

from quotegen.judge.reasons import headline
from quotegen.report.paper import pdf as module
from quotegen.report.paper.pdf import Attachment, Document, document_of
from quotegen.report.paper.presses import print_all

DEMO = Path(__file__).parents[3] / "quotes_demo"
DAY = datetime.date(2026, 11, 2)
NAMES = {
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "a": "http://www.aiim.org/pdfa/ns/id/",
    "ua": "http://www.aiim.org/pdfua/ns/id/",
    "schema": "http://www.aiim.org/pdfa/ns/schema#",
    "property": "http://www.aiim.org/pdfa/ns/property#",
}
PAGE = """<!doctype html>
<html lang="en">
<head>
<title>Pawl</title>
<style>
* { font-family: "Source Sans 3" }
h2 { break-before: page }
</style>
</head>
<body>
<h1>Pour it \N{GREATER-THAN OR EQUAL TO} 202</h1>
<p>See <a href="#more">more</a> and <a href="https://example.invalid/">the web</a>.</p>
<svg width="90" height="30" viewBox="0 0 90 30" font-family="Source Sans 3">
<title>A bar of 90</title><rect width="90" height="20" fill="#0072B2"/><text y="12">90</text>
</svg>
<table>
<caption>Cost</caption>
<thead><tr><th>Quote</th><th>EUR</th></tr></thead>
<tbody><tr><th>A</th><td>12.50</td></tr></tbody>
</table>
<h2 id="more">More</h2>
<p><b>Bold</b> and <i>italic</i>.</p>
</body>
</html>
"""
ATTACHED = (
    Attachment(
        path="quotes/one/q-1.yaml",
        data="format: 1\nnote: Łódź\n".encode(),
        description="Quote Q-1 of One, form",
        relationship="Source",
    ),
    Attachment(
        path="quotes/one/q-1.csv",
        data=b"from,price\r\n1,2\r\n",
        description="",
        relationship="Data",
    ),
    Attachment(path="a.xlsx", data=b"PK\x03\x04", description="Book", relationship="Source"),
    Attachment(path="b.unknown", data=b"\0", description="Other", relationship="Source"),
)


def _document(html: str = PAGE, attached: tuple[Attachment, ...] = ATTACHED) -> Document:
    return document_of(html, attached, DAY)[0]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    ((_, data),) = print_all([("one", _document())], 1)
    assert isinstance(data, bytes), data
    path = tmp_path_factory.mktemp("pdf") / "one.pdf"
    path.write_bytes(data)
    return path


@pytest.fixture(scope="module")
def pdf(written: Path) -> Iterator[pikepdf.Pdf]:
    with pikepdf.open(written) as opened:
        yield opened


def _metadata(pdf: pikepdf.Pdf) -> etree._Element:
    return etree.fromstring(pdf.Root.Metadata.read_bytes())


def _property(tree: etree._Element, name: str) -> list[str]:
    """A simple property of XMP may stand as an element or as an attribute."""
    elements = tree.xpath(f"//rdf:Description/{name}/text()", namespaces=NAMES)
    attributes = tree.xpath(f"//rdf:Description/@{name}", namespaces=NAMES)
    return [str(each).strip() for each in (*elements, *attributes)]


def _elements(node: Any) -> Iterator[Any]:
    """Every element of the structure tree below a node, in reading order."""
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
            yield from _elements(kid)


def _roles(pdf: pikepdf.Pdf) -> list[str]:
    return [str(each.S) for each in _elements(pdf.Root.StructTreeRoot)]


def _embedded(pdf: pikepdf.Pdf) -> dict[str, bytes]:
    return {name: spec.get_file().read_bytes() for name, spec in pdf.attachments.items()}


def _fonts(pdf: pikepdf.Pdf) -> dict[str, Any]:
    """Every font of every page and of every drawing on it, by its object."""
    found: dict[str, Any] = {}
    for each in pdf.objects:
        if isinstance(each, pikepdf.Dictionary) and each.get("/Type") == "/Font":
            found[str(each.objgen)] = each
    return found


def test_it_says_that_it_is_pdf_a_3a_and_pdf_ua_1(pdf: pikepdf.Pdf) -> None:
    tree = _metadata(pdf)
    assert _property(tree, "a:part") == ["3"]
    assert _property(tree, "a:conformance") == ["A"]
    assert _property(tree, "ua:part") == ["1"]


def test_the_schema_of_the_ua_property_is_described(pdf: pikepdf.Pdf) -> None:
    """ISO 19005-3, 6.6.2.3: a property that XMP does not know needs an extension schema."""
    tree = _metadata(pdf)
    (schema,) = tree.xpath("//*[schema:namespaceURI]", namespaces=NAMES)
    assert schema.findtext("schema:namespaceURI", namespaces=NAMES) == NAMES["ua"]
    assert schema.findtext("schema:prefix", namespaces=NAMES) == "pdfuaid"
    told = {
        each: schema.xpath(f".//property:{each}/text()", namespaces=NAMES)
        for each in ("name", "valueType", "category")
    }
    assert told == {"name": ["part"], "valueType": ["Integer"], "category": ["internal"]}
    assert schema.xpath("string(.//property:description)", namespaces=NAMES)


def test_it_has_one_whole_set_of_metadata(pdf: pikepdf.Pdf) -> None:
    assert len(_metadata(pdf).xpath("//rdf:RDF", namespaces=NAMES)) == 1
    assert pdf.Root.Metadata.Subtype == "/XML"


def test_it_is_tagged_in_its_language_and_shows_its_title(pdf: pikepdf.Pdf) -> None:
    """ISO 14289-1, 7.1 and 7.2."""
    assert pdf.Root.MarkInfo.Marked
    assert str(pdf.Root.Lang) == "en"
    assert pdf.Root.ViewerPreferences.DisplayDocTitle
    assert str(pdf.docinfo["/Title"]) == "Pawl"
    assert all(page.Tabs == "/S" for page in pdf.pages)


def test_headings_tables_and_figures_are_in_the_structure_tree(pdf: pikepdf.Pdf) -> None:
    roles = _roles(pdf)
    assert {"/H1", "/H2", "/Figure", "/Table", "/Caption", "/TH", "/TD", "/Link"} <= set(roles)
    assert roles.index("/H1") < roles.index("/H2")


def test_every_figure_has_an_alternative_text(pdf: pikepdf.Pdf) -> None:
    """ISO 14289-1, 7.3."""
    figures = [each for each in _elements(pdf.Root.StructTreeRoot) if each.S == "/Figure"]
    assert [str(each.Alt) for each in figures] == ["A bar of 90"]


def test_every_content_is_marked_as_real_or_as_an_artifact(pdf: pikepdf.Pdf) -> None:
    """ISO 14289-1, 7.1: nothing is drawn outside a marked sequence."""
    for page in pdf.pages:
        depth, outside = 0, []
        for _, operator in pikepdf.parse_content_stream(page):
            depth += {"BMC": 1, "BDC": 1, "EMC": -1}.get(str(operator), 0)
            if str(operator) in {"Tj", "TJ", "f", "S", "B", "Do", "sh"} and not depth:
                outside.append(str(operator))
        assert outside == []
        assert depth == 0


def test_only_the_bundled_font_is_used_and_it_is_embedded(pdf: pikepdf.Pdf) -> None:
    """ISO 19005-3, 6.2.11.4: fonts are embedded; 6.2.11.7: letters can be taken out as text."""
    fonts = _fonts(pdf)
    assert len(fonts) >= 3
    for font in fonts.values():
        assert "Source-Sans-3" in str(font.BaseFont)
        if font.Subtype == "/Type0":
            assert "/ToUnicode" in font
        else:
            assert "/FontFile2" in font.FontDescriptor


def test_the_files_inside_are_those_that_were_given(pdf: pikepdf.Pdf) -> None:
    assert _embedded(pdf) == {each.name: each.data for each in ATTACHED}


def test_each_file_inside_says_what_it_is(pdf: pikepdf.Pdf) -> None:
    """ISO 19005-3, 6.8: a media type and the relationship to the document are required."""
    told = {}
    for name, spec in pdf.attachments.items():
        told[name] = (
            spec.get_file().mime_type,
            str(spec.obj.AFRelationship),
            str(spec.obj.get("/Desc", "")),
        )
        assert str(spec.obj.UF) == name
    assert told == {
        "a.xlsx": (
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            "/Source",
            "Book",
        ),
        "b.unknown": ("application/octet-stream", "/Source", "Other"),
        "quotes - one - q-1.csv": ("text/csv", "/Data", ""),
        "quotes - one - q-1.yaml": ("application/yaml", "/Source", "Quote Q-1 of One, form"),
    }
    assert len(pdf.Root.AF) == len(ATTACHED)


def test_the_files_inside_are_dated_by_the_day_of_the_comparison(pdf: pikepdf.Pdf) -> None:
    for spec in pdf.attachments.values():
        inside = spec.get_file()
        moment = datetime.datetime(2026, 11, 2, tzinfo=datetime.UTC)
        assert (inside.creation_date, inside.mod_date) == (moment, moment)


def test_the_names_of_the_files_inside_are_sorted(pdf: pikepdf.Pdf) -> None:
    """ISO 32000-1, 7.9.6: a reader looks them up by halving."""
    _check_names(pdf)
    assert len(pdf.attachments) == len(ATTACHED)


def _check_names(pdf: pikepdf.Pdf) -> None:
    names = [str(each) for each in list(pdf.Root.Names.EmbeddedFiles.Names)[::2]]
    assert names == sorted(names)


def test_colours_have_an_output_intent(pdf: pikepdf.Pdf) -> None:
    """ISO 19005-3, 6.2.3 and 6.2.4."""
    (intent,) = pdf.Root.OutputIntents
    assert intent.S == "/GTS_PDFA1"
    assert intent.DestOutputProfile.N == 3


def test_nothing_in_it_names_a_folder_of_this_machine(written: Path, pdf: pikepdf.Pdf) -> None:
    streams = [
        each.read_bytes()
        for each in pdf.objects
        if isinstance(each, pikepdf.Stream) and "/FontFile2" not in each
    ]
    whole = written.read_bytes() + b"".join(streams)
    for told in (b"file:", str(DEMO.parent).encode(), os.environ["HOME"].encode() + b"/"):
        assert told not in whole


def _poppler(name: str, *given: str | Path) -> bytes:
    """What a tool of poppler-utils prints; .ci/setup brings them."""
    tool = shutil.which(name)
    if tool is None:
        pytest.skip(f"{name} is not on this machine")
    command = [tool, *map(str, given)]
    return subprocess.run(command, check=True, capture_output=True, timeout=120).stdout


def _text(path: Path) -> str:
    return _poppler("pdftotext", path, "-").decode("utf-8")


def test_a_text_can_be_taken_out_again(written: Path) -> None:
    text = _text(written)
    assert "Pour it ≥ 202" in text
    assert "12.50" in text


def test_the_same_document_has_the_same_bytes_whatever_surrounds_it(
    written: Path, tmp_path: Path
) -> None:
    script = tmp_path / "print.py"
    script.write_text(
        "import hashlib, pickle, sys\n"
        "from quotegen.report.paper.presses import print_all\n"
        "document = pickle.load(sys.stdin.buffer)\n"
        "((_, data),) = print_all([('one', document)], 1)\n"
        "print(hashlib.sha256(data).hexdigest())\n",
        encoding="utf-8",
    )
    told = {hashlib.sha256(written.read_bytes()).hexdigest()}
    for seed, zone, locale in (("1", "Pacific/Kiritimati", "C"), ("77", "America/Anchorage", "")):
        (tmp_path / seed).mkdir()
        told.add(
            subprocess.run(
                [sys.executable, str(script)],
                input=_pickled(),
                env={
                    "PYTHONHASHSEED": seed,
                    "TZ": zone,
                    "LC_ALL": locale,
                    "TMPDIR": str(tmp_path / seed),
                    "PATH": os.defpath,
                },
                check=True,
                capture_output=True,
                timeout=120,
            )
            .stdout.decode()
            .strip()
        )
        assert list((tmp_path / seed).iterdir()) == []
    assert len(told) == 1


def _pickled() -> bytes:
    return pickle.dumps(_document())


def test_the_order_in_which_files_are_given_does_not_matter() -> None:
    other = _document(attached=ATTACHED[::-1])
    assert other.key == _document().key
    assert other.in_order == _document().in_order


def test_the_key_changes_with_everything_that_is_printed_or_carried() -> None:
    changed = Attachment(path="a.xlsx", data=b"PK", description="Book", relationship="Source")
    keys = {
        _document().key,
        _document(PAGE.replace("Pawl", "Paul")).key,
        _document(attached=ATTACHED[:-1]).key,
        _document(attached=(changed, *ATTACHED[:2], ATTACHED[3])).key,
        document_of(PAGE, ATTACHED, DAY + datetime.timedelta(days=1))[0].key,
    }
    assert len(keys) == 5


def test_the_key_changes_with_the_printer(monkeypatch: pytest.MonkeyPatch) -> None:
    before = _document().key
    monkeypatch.setattr(module, "weasyprint_version", lambda: "71.0")
    module.printer.cache_clear()
    after = _document().key
    monkeypatch.undo()
    module.printer.cache_clear()
    assert (before == after, _document().key == before) == (False, True)


@pytest.mark.parametrize(
    ("text", "shown", "lacking"),
    [
        ("Łódź, Αθήνα, Київ ≥ Δ →", "Łódź, Αθήνα, Київ ≥ Δ →", ""),
        ("上海 foundry", "?? foundry", "上海"),
        ("nut \N{NUT AND BOLT}", "nut ?", "\N{NUT AND BOLT}"),
        ("e\N{COMBINING ACUTE ACCENT}", "é", ""),
        ("turned \N{RIGHT-TO-LEFT OVERRIDE}cba", "turned cba", ""),
        ("word\N{WORD JOINER}joiner", "wordjoiner", ""),
        ("bell\a", "bell", ""),
        ("two\tlines\r\n", "two\tlines\r\n", ""),
    ],
)
def test_letters_that_the_font_lacks_are_shown_as_such(text: str, shown: str, lacking: str) -> None:
    document, told = document_of(f"<p>{text}", (), DAY)
    assert document.html == f"<p>{shown}"
    assert set(told) == set(lacking)


def test_a_page_full_of_odd_letters_is_printed() -> None:
    """Every block of Unicode's first two planes, five letters each."""
    odd = "".join(chr(code) for code in range(0xA0, 0x20000, 37) if not 0xD800 <= code < 0xE000)
    document, lacking = document_of(PAGE.replace("Cost", odd), (), DAY)
    ((_, outcome),) = print_all([("odd", document)], 1)
    assert isinstance(outcome, bytes), outcome
    assert len(lacking) > 1000


def test_a_path_becomes_a_name_without_slashes() -> None:
    assert re.fullmatch(r"[^/\\]+", ATTACHED[0].name)


@pytest.fixture(params=["brief", "report"])
def papers(request: pytest.FixtureRequest, demo_site: Any) -> dict[str, Path]:
    """One kind of paper of every part of the demo."""
    return {part: demo_site.paper(part, request.param) for part in demo_site.study.parts}


in_one_place = pytest.mark.xdist_group("site")


@in_one_place
def test_every_paper_of_the_demo_keeps_to_the_rules(papers: dict[str, Path]) -> None:
    """The same looks as at the small document above, at every paper."""
    for path in papers.values():
        with pikepdf.open(path) as pdf:
            test_it_says_that_it_is_pdf_a_3a_and_pdf_ua_1(pdf)
            test_every_content_is_marked_as_real_or_as_an_artifact(pdf)
            test_only_the_bundled_font_is_used_and_it_is_embedded(pdf)
            _check_names(pdf)
            test_nothing_in_it_names_a_folder_of_this_machine(path, pdf)
            elements = list(_elements(pdf.Root.StructTreeRoot))
            figures = [str(each.get("/Alt", "")) for each in elements if each.S == "/Figure"]
            assert all(figures), path.name
            assert not _jumps([str(each.S) for each in elements]), path.name


def _jumps(roles: list[str]) -> list[tuple[int, int]]:
    """Where a heading is more than one level below the one before (ISO 14289-1, 7.4.2)."""
    levels = [0, *(int(role[2]) for role in roles if re.fullmatch(r"/H[1-6]", role))]
    return [(one, two) for one, two in itertools.pairwise(levels) if two > one + 1]


def test_a_jump_of_headings_is_seen() -> None:
    assert _jumps(["/H1", "/P", "/H2", "/H3", "/H2"]) == []
    assert _jumps(["/H1", "/H3"]) == [(1, 3)]
    assert _jumps(["/H2"]) == [(0, 2)]


@in_one_place
def test_every_paper_carries_the_files_it_rests_on_unchanged(
    papers: dict[str, Path], demo_site: Any
) -> None:
    for part, path in papers.items():
        comparison = demo_site.study.parts[part].comparison
        wanted = {"workshop.yaml", f"parts/{part}.yaml"}
        for offer in comparison.offers:
            wanted |= {*offer.case.quote_entry.files, *offer.case.supplier.files}
            wanted |= {*(offer.case.orders.files if offer.case.orders is not None else ())}
        with pikepdf.open(path) as pdf:
            assert _embedded(pdf) == {
                each.replace("/", " - "): (DEMO / each).read_bytes() for each in wanted
            }


@in_one_place
def test_a_brief_has_two_pages_and_says_the_headline(demo_site: Any) -> None:
    for part, studied in demo_site.study.parts.items():
        path = demo_site.paper(part, "brief")
        with pikepdf.open(path) as pdf:
            assert len(pdf.pages) == 2, path.name
        told = " ".join(_text(path).split())
        assert headline(studied.comparison, studied.advice) in told, path.name


@in_one_place
def test_a_report_says_the_headline_and_every_offer(demo_site: Any) -> None:
    for part, studied in demo_site.study.parts.items():
        told = " ".join(_text(demo_site.paper(part, "report")).split())
        assert headline(studied.comparison, studied.advice) in told, part
        for offer in studied.comparison.offers:
            assert offer.quote in told, (part, offer.name)


@in_one_place
def test_no_page_is_empty_and_none_is_cut_off_at_an_edge(
    papers: dict[str, Path], tmp_path: Path
) -> None:
    """As pictures of 50 dots an inch: something on each, and 4 mm of white at every edge."""
    rim = round(4 / 25.4 * 50)
    for path in papers.values():
        _poppler("pdftoppm", "-r", "50", "-gray", path, tmp_path / path.stem)
    pictures = sorted(tmp_path.glob("*.pgm"))
    assert len(pictures) >= 2 * len(papers)
    for picture in pictures:
        page = _gray(picture)
        assert (page < 128).mean() > 0.002, picture.name
        for edge in (page[:rim], page[-rim:], page[:, :rim], page[:, -rim:]):
            assert (edge > 250).all(), picture.name


def _gray(path: Path) -> Any:
    """The dots of a PGM picture (0 black, 255 white) as rows and columns."""
    found = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", path.read_bytes())
    assert found is not None
    wide, high = int(found[1]), int(found[2])
    return np.frombuffer(path.read_bytes()[found.end() :], np.uint8).reshape(high, wide)
