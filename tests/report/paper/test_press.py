"""What a hostile page asks for is never fetched, and a page that is not as written is refused."""

from __future__ import annotations

import datetime
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pikepdf
import pytest

from quotegen.report.paper.pdf import Document, Unprinted
from quotegen.report.paper.presses import print_all
from quotegen.templates_folder import templates_folder

DAY = datetime.date(2026, 11, 2)
HEAD = '<!doctype html><html lang="en"><head><title>T</title><style>'
FONT = '*{font-family:"Source Sans 3"}'


def _page(head: str = "", body: str = "", css: str = "") -> str:
    return f"{HEAD}{css}{FONT}</style>{head}</head><body><h1>T</h1>{body}</body></html>"


# Where something is written as {at}, the address of a server stands that counts requests.
ENDS = {
    "remote picture": _page(body='<img src="{at}/a.png" alt="a">'),
    "remote style sheet": _page(head='<link rel="stylesheet" href="{at}/a.css">'),
    "import in CSS": _page(css='@import url("{at}/a.css");'),
    "import in a data: style sheet": _page(
        head='<link rel="stylesheet" href="data:text/css,%40import%20url({at}/a.css)">'
    ),
    "remote background": _page(css="h1 {background: url({at}/a.png)}"),
    "remote list mark": _page(css="h1 {display: list-item; list-style-image: url({at}/a.png)}"),
    "remote content": _page(css="h1::before {content: url({at}/a.png)}"),
    "object": _page(body='<object data="{at}/a.png" type="image/png"></object>'),
    "embed": _page(body='<embed src="{at}/a.svg" type="image/svg+xml">'),
    "remote attachment": _page(head='<link rel="attachment" href="{at}/a.csv">'),
    "ftp": _page(body='<img src="ftp://127.0.0.1:{port}/a.png" alt="a">'),
    "file of the machine": _page(body='<img src="file:///etc/hostname" alt="a">'),
    "file on a host": _page(body='<img src="file://localhost:{port}/etc/hostname" alt="a">'),
    "font on a host": _page(body='<img src="file://127.0.0.1:{port}{fonts}" alt="a">'),
    "file attached": _page(head='<link rel="attachment" href="file:///etc/passwd">'),
    "file linked as attachment": _page(body='<a rel="attachment" href="file:///etc/passwd">a</a>'),
    "way up": _page(body='<img src="fonts/../starter/workshop.yaml" alt="a">'),
    "way up, encoded": _page(body='<img src="fonts/%2e%2e/starter/workshop.yaml" alt="a">'),
    "template beside the fonts": _page(head='<link rel="stylesheet" href="starter/workshop.yaml">'),
    "NUL": _page(body='<img src="fonts/%00" alt="a">'),
    "link to a file": _page(body='<a href="../quotes/a.html">a</a>'),
}
# Not fetched either; the page is refused because WeasyPrint complains.
WARNED = {
    "picture in an SVG": _page(
        body='<svg width="9" height="9"><title>a</title><image href="{at}/a.png" '
        'width="9" height="9"/></svg>'
    ),
    "unknown property": _page(css="h1 {colour: red}"),
    "letter without a glyph": _page(body="<p>\N{CJK UNIFIED IDEOGRAPH-4E0A}</p>"),
    "dead link": _page(body='<a href="#nowhere">a</a>'),
}
# Printed, for nothing of this is ever fetched.
IGNORED = {
    "script": _page(body='<script src="{at}/a.js"></script>'),
    "frame": _page(body='<iframe src="{at}/a.html"></iframe>'),
    "use in an SVG": _page(
        body='<svg width="9" height="9"><title>a</title><use href="{at}/a.svg#a"/></svg>'
    ),
    "link of the web": _page(body='<a href="https://example.invalid/">a</a>'),
    "refresh": _page(head='<meta http-equiv="refresh" content="0; url={at}/a.html">'),
}


class Counting(BaseHTTPRequestHandler):
    """Notes every request; answers with nothing."""

    asked: list[str]

    def do_GET(self) -> None:
        self.asked.append(self.path)
        self.send_error(404)

    def log_message(self, *_: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="module")
def requests() -> Iterator[tuple[str, list[str]]]:
    asked: list[str] = []
    handler = type("Handler", (Counting,), {"asked": asked})
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}", asked
        server.shutdown()
        thread.join()


@pytest.fixture(scope="module")
def outcomes(requests: tuple[str, list[str]]) -> dict[str, bytes | Unprinted]:
    """All pages of the three tables, printed in one run."""
    at, _ = requests
    pages = {**ENDS, **WARNED, **IGNORED}
    filled = {
        name: html.replace("{at}", at)
        .replace("{port}", at.rpartition(":")[2])
        .replace("{fonts}", f"{templates_folder()}/fonts/SourceSans3-Regular.ttf")
        for name, html in pages.items()
    }
    documents = (
        (name, Document(html=html, attachments=(), dated=DAY)) for name, html in filled.items()
    )
    return dict(print_all(documents, 2))


@pytest.mark.parametrize("name", ENDS)
def test_what_lies_outside_the_fonts_is_refused(
    name: str, outcomes: dict[str, bytes | Unprinted]
) -> None:
    outcome = outcomes[name]
    assert isinstance(outcome, Unprinted)
    assert outcome.code == "pdf-failed"
    assert outcome.why.startswith(("nothing may be read from ", "a link leads to file:"))


@pytest.mark.parametrize("name", WARNED)
def test_a_warning_of_the_printer_is_an_error(
    name: str, outcomes: dict[str, bytes | Unprinted]
) -> None:
    outcome = outcomes[name]
    assert isinstance(outcome, Unprinted)
    assert outcome.code == "pdf-failed"


@pytest.mark.parametrize("name", IGNORED)
def test_what_is_never_fetched_does_no_harm(
    name: str, outcomes: dict[str, bytes | Unprinted]
) -> None:
    assert isinstance(outcomes[name], bytes)


def test_the_network_was_never_asked(
    outcomes: dict[str, bytes | Unprinted], requests: tuple[str, list[str]]
) -> None:
    assert len(outcomes) == len(ENDS) + len(WARNED) + len(IGNORED)
    assert requests[1] == []


def test_the_bundled_font_may_be_read_by_its_path_below_the_templates(tmp_path: Path) -> None:
    css = (
        "@font-face {font-family: Ours; src: url(fonts/SourceSans3-It.ttf)} h1 {font-family: Ours}"
    )
    document = Document(html=_page(css=css), attachments=(), dated=DAY)
    ((_, outcome),) = print_all([("one", document)], 1)
    assert isinstance(outcome, bytes)
    (tmp_path / "one.pdf").write_bytes(outcome)
    with pikepdf.open(tmp_path / "one.pdf") as pdf:
        assert len(pdf.pages) == 1
