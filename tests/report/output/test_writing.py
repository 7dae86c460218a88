"""Only our own files are replaced, whole or not at all, and only where something changed."""

from __future__ import annotations

import datetime
import json
import os
from collections.abc import Callable, Mapping
from pathlib import Path

import filelock
import pytest

from quotegen.report.output import target, writing
from quotegen.report.output.manifest import NAME, Made, Manifest, manifest_bytes
from quotegen.report.output.target import LOCK, MARK
from quotegen.report.output.writing import (
    Contents,
    Costly,
    Printable,
    SiteResult,
    is_current,
    write_contents,
)
from quotegen.report.paper.pdf import Document, Unprinted

DAY = datetime.date(2026, 11, 2)
PAGES = {"index.html": b"all", "parts/a.html": b"part a", "parts/b.html": b"part b"}
DIGEST = "ab" * 32


def _document(html: str) -> Callable[[], Printable]:
    document = Document(html=html, attachments=(), dated=DAY)
    return lambda: Printable(document=document)


def _contents(
    plain: Mapping[str, bytes] = PAGES,
    costly: Mapping[str, Costly] | None = None,
    printable: Mapping[str, Callable[[], Printable]] | None = None,
) -> Contents:
    return Contents(plain=lambda _: plain, costly=costly or {}, printable=printable or {})


def _write(to: Path, contents: Contents | None = None) -> SiteResult:
    return write_contents(contents or _contents(), to, _quiet)


def _codes(result: SiteResult) -> list[str]:
    return [problem.code for problem in result.problems]


def _state(folder: Path) -> dict[str, tuple[int, bytes]]:
    """Every file but the lock, with the moment it was last written and its bytes."""
    return {
        path.relative_to(folder).as_posix(): (path.stat().st_mtime_ns, path.read_bytes())
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != LOCK
    }


@pytest.fixture
def printed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Stands for the presses: a PDF is `%PDF` and the page; what was printed is noted."""
    names: list[str] = []

    def print_all(documents, workers):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202, ARG001
        for name, document in documents:
            names.append(name)
            if "die" in document.html:
                yield name, Unprinted(code="pdf-failed", why="it died")
            elif "lack" in document.html:
                yield name, Unprinted(code="pdf-libraries-missing", why="no Pango")
            else:
                yield name, b"%PDF" + document.html.encode()

    monkeypatch.setattr(writing, "print_all", print_all)
    return names


def test_everything_is_written_and_listed(tmp_path: Path, printed: list[str]) -> None:
    contents = _contents(
        costly={"parts/a.csv": Costly(key=DIGEST, make=lambda: b"x,y")},
        printable={"parts/a.pdf": _document("a page")},
    )
    result = _write(tmp_path / "new" / "site", contents)
    assert result.problems == ()
    assert result.written == (
        "index.html",
        "parts/a.csv",
        "parts/a.html",
        "parts/a.pdf",
        "parts/b.html",
    )
    found = _state(tmp_path / "new" / "site")
    assert found["parts/a.pdf"][1] == b"%PDFa page"
    assert sorted(json.loads(found[NAME][1])["files"]) == list(result.written)
    assert printed == ["parts/a.pdf"]


def test_a_second_run_touches_nothing(tmp_path: Path, printed: list[str]) -> None:
    calls: list[int] = []

    def make() -> bytes:
        calls.append(1)
        return b"x,y"

    contents = _contents(
        costly={"parts/a.csv": Costly(key=DIGEST, make=make)},
        printable={"parts/a.pdf": _document("a page")},
    )
    _write(tmp_path, contents)
    before = _state(tmp_path)
    result = _write(tmp_path, contents)
    assert _state(tmp_path) == before
    assert (result.written, result.removed, len(result.unchanged)) == ((), (), 5)
    assert (calls, printed) == ([1], ["parts/a.pdf"])


def test_only_what_changed_is_written_again(tmp_path: Path, printed: list[str]) -> None:
    def contents(text: str) -> Contents:
        documents = {"parts/a.pdf": _document(text), "parts/b.pdf": _document("b")}
        return _contents({**PAGES, "parts/a.html": text.encode()}, printable=documents)

    _write(tmp_path, contents("one"))
    before = _state(tmp_path)
    result = _write(tmp_path, contents("two"))
    assert result.written == ("parts/a.html", "parts/a.pdf")
    assert printed == ["parts/a.pdf", "parts/b.pdf", "parts/a.pdf"]
    same = {path for path, state in _state(tmp_path).items() if before[path] == state}
    assert same == {"index.html", "parts/b.html", "parts/b.pdf"}


def test_a_pdf_that_somebody_changed_is_printed_again(tmp_path: Path, printed: list[str]) -> None:
    contents = _contents(printable={"a.pdf": _document("a page")})
    _write(tmp_path, contents)
    (tmp_path / "a.pdf").write_bytes(b"scribbled")
    assert _write(tmp_path, contents).written == ("a.pdf",)
    assert (tmp_path / "a.pdf").read_bytes() == b"%PDFa page"
    assert printed == ["a.pdf", "a.pdf"]


def test_files_of_others_are_never_touched(tmp_path: Path, printed: list[str]) -> None:
    (tmp_path / "parts").mkdir()
    (tmp_path / "README.md").write_bytes(b"mine")
    (tmp_path / "parts" / "notes.txt").write_bytes(b"mine")
    (tmp_path / "parts" / "a.html").write_bytes(b"mine")
    (tmp_path / "parts" / "a.pdf").write_bytes(b"mine")
    result = _write(tmp_path, _contents(printable={"parts/a.pdf": _document("a")}))
    assert [(problem.code, str(problem.place)) for problem in result.problems] == [
        ("site-file-foreign", str(tmp_path / "parts/a.html")),
        ("site-file-foreign", str(tmp_path / "parts/a.pdf")),
    ]
    assert result.written == ("index.html", "parts/b.html")
    for path in ("README.md", "parts/notes.txt", "parts/a.html", "parts/a.pdf"):
        assert (tmp_path / path).read_bytes() == b"mine"
    assert printed == []


def test_a_file_that_equals_ours_is_still_of_somebody_else(tmp_path: Path) -> None:
    (tmp_path / "index.html").write_bytes(PAGES["index.html"])
    assert _codes(_write(tmp_path)) == ["site-file-foreign"]
    _write(tmp_path, _contents({"parts/a.html": b"only"}))
    assert (tmp_path / "index.html").read_bytes() == PAGES["index.html"]


def test_what_is_no_longer_made_is_removed_with_its_empty_folder(tmp_path: Path) -> None:
    _write(tmp_path, _contents({**PAGES, "suppliers/s.html": b"s"}))
    (tmp_path / "parts" / "notes.txt").write_bytes(b"mine")
    result = _write(tmp_path, _contents({"index.html": b"all"}))
    assert result.removed == ("parts/a.html", "parts/b.html", "suppliers/s.html")
    assert result.problems == ()
    assert not (tmp_path / "suppliers").exists()
    assert sorted(_state(tmp_path)) == ["index.html", NAME, "parts/notes.txt"]


def test_an_old_file_that_somebody_changed_stays_and_is_told(tmp_path: Path) -> None:
    _write(tmp_path)
    (tmp_path / "parts" / "a.html").write_bytes(b"my notes on it")
    result = _write(tmp_path, _contents({"index.html": b"all"}))
    assert [(each.code, str(each.place)) for each in result.problems] == [
        ("site-file-changed", str(tmp_path / "parts/a.html"))
    ]
    assert (tmp_path / "parts" / "a.html").read_bytes() == b"my notes on it"
    assert _codes(_write(tmp_path)) == ["site-file-foreign"]


@pytest.mark.parametrize("text", ["", "{", '{"format": 1, "files": {"README.md": null}}'])
def test_with_a_broken_manifest_nothing_is_written(text: str, tmp_path: Path) -> None:
    _write(tmp_path)
    (tmp_path / NAME).write_text(text, encoding="utf-8")
    before = _state(tmp_path)
    result = _write(tmp_path, _contents({"index.html": b"new"}))
    assert _codes(result) == ["site-manifest"]
    assert _state(tmp_path) == before


def test_a_manifest_edited_to_name_a_file_of_ours_removes_nothing(tmp_path: Path) -> None:
    _write(tmp_path)
    (tmp_path / "README.md").write_bytes(b"mine")
    tree = json.loads((tmp_path / NAME).read_bytes())
    tree["files"]["README.md"] = {"sha256": None, "key": ""}
    (tmp_path / NAME).write_text(json.dumps(tree), encoding="utf-8")
    assert _codes(_write(tmp_path)) == ["site-manifest"]
    assert (tmp_path / "README.md").read_bytes() == b"mine"


def test_a_forged_manifest_whose_seal_is_right_removes_nothing(tmp_path: Path) -> None:
    """A seal is no secret: what bytes nobody noted down is left where it is."""
    (tmp_path / "mine.html").write_bytes(b"mine")
    files = {"mine.html": Made(sha256=None, key="")}
    (tmp_path / NAME).write_bytes(manifest_bytes(Manifest(files=files)))
    assert _codes(_write(tmp_path)) == ["site-file-changed"]
    assert (tmp_path / "mine.html").read_bytes() == b"mine"


def test_an_interrupted_write_leaves_the_old_file_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _write(tmp_path)

    real, torn = os.fsync, []

    def tear(handle: int) -> None:
        if not torn:
            torn.append(handle)
            raise KeyboardInterrupt
        real(handle)

    with monkeypatch.context() as patched:
        patched.setattr(target.os, "fsync", tear)
        with pytest.raises(KeyboardInterrupt):
            _write(tmp_path, _contents({**PAGES, "index.html": b"new"}))
    assert (tmp_path / "index.html").read_bytes() == b"all"
    assert not list(tmp_path.rglob(f"*{MARK}"))
    assert _write(tmp_path, _contents({**PAGES, "index.html": b"new"})).problems == ()


def test_what_a_killed_run_wrote_is_ours_in_the_next(tmp_path: Path) -> None:
    """After the claim, before the manifest is complete: the worst moment for a power cut."""
    claimed = target.Target(tmp_path)
    claimed.claim(sorted(PAGES))
    (tmp_path / "index.html").write_bytes(b"written, not yet listed")
    (tmp_path / f".index.html{MARK}").write_bytes(b"half")
    result = _write(tmp_path)
    assert result.problems == ()
    assert (tmp_path / "index.html").read_bytes() == b"all"
    assert not list(tmp_path.rglob(f"*{MARK}"))


def test_a_run_that_is_broken_off_lists_what_it_did(tmp_path: Path, printed: list[str]) -> None:
    def stop(*step: object) -> None:
        if step[-1] == "a.pdf":
            raise KeyboardInterrupt

    documents = {"a.pdf": _document("a"), "b.pdf": _document("b")}
    with pytest.raises(KeyboardInterrupt):
        write_contents(_contents(printable=documents), tmp_path, stop)
    result = _write(tmp_path, _contents(printable=documents))
    assert result.problems == ()
    assert printed == ["a.pdf", "b.pdf"]
    assert "a.pdf" in result.unchanged


@pytest.mark.usefixtures("printed")
def test_a_pdf_that_cannot_be_made_takes_its_outdated_one_away(tmp_path: Path) -> None:
    """Old figures beside a new page would be a silent wrong answer."""
    _write(tmp_path, _contents(printable={"a.pdf": _document("a"), "b.pdf": _document("b")}))
    documents = {"a.pdf": _document("die"), "b.pdf": _document("b")}
    result = _write(tmp_path, _contents(printable=documents))
    assert [(each.code, str(each.place)) for each in result.problems] == [
        ("pdf-failed", str(tmp_path / "a.pdf"))
    ]
    assert result.removed == ("a.pdf",)
    assert not (tmp_path / "a.pdf").exists()
    assert (tmp_path / "b.pdf").read_bytes() == b"%PDFb"


@pytest.mark.usefixtures("printed")
def test_missing_libraries_are_one_notice_and_the_pages_are_written(tmp_path: Path) -> None:
    documents = {"a.pdf": _document("lack"), "b.pdf": _document("lack")}
    result = _write(tmp_path, _contents(printable=documents))
    (problem,) = result.problems
    assert (problem.code, problem.severity.value) == ("pdf-libraries-missing", "notice")
    assert "libpangoft2-1.0-0 libharfbuzz-subset0" in problem.remedy
    assert result.written == tuple(sorted(PAGES))


@pytest.mark.usefixtures("printed")
def test_letters_without_a_sign_are_told(tmp_path: Path) -> None:
    document = Document(html="?", attachments=(), dated=DAY)
    printable = Printable(document=document, lacking="上海")
    (problem,) = _write(tmp_path, _contents(printable={"a.pdf": lambda: printable})).problems
    assert problem.code == "pdf-letters"
    assert "上 海" in problem.message


def test_links_and_files_in_the_way_are_not_followed(tmp_path: Path) -> None:
    site, outside = tmp_path / "site", tmp_path / "outside"
    site.mkdir()
    outside.mkdir()
    (outside / "index.html").write_bytes(b"mine")
    (site / "parts").symlink_to(outside)
    (site / "index.html").symlink_to(outside / "index.html")
    (site / "suppliers").write_bytes(b"mine")
    result = _write(site, _contents({**PAGES, "suppliers/s.html": b"s"}))
    assert _codes(result) == ["site-file-foreign"] * 4
    assert _state(outside) == {"index.html": ((outside / "index.html").stat().st_mtime_ns, b"mine")}


def test_a_file_of_ours_that_became_a_link_is_left_alone(tmp_path: Path) -> None:
    _write(tmp_path / "site")
    (tmp_path / "mine").write_bytes(b"mine")
    (tmp_path / "site" / "index.html").unlink()
    (tmp_path / "site" / "index.html").symlink_to(tmp_path / "mine")
    assert _codes(_write(tmp_path / "site")) == ["site-file-foreign"]
    result = _write(tmp_path / "site", _contents({"parts/a.html": b"part a"}))
    assert _codes(result) == ["site-file-changed"]
    assert (tmp_path / "mine").read_bytes() == b"mine"


def test_a_path_that_leads_out_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="is no path of a site"):
        _write(tmp_path / "site", _contents({**PAGES, "../evil.html": b"x"}))
    assert sorted(_state(tmp_path)) == []


def test_two_reports_at_once_do_not_mix(tmp_path: Path) -> None:
    _write(tmp_path)
    before = _state(tmp_path)
    with filelock.FileLock(tmp_path / LOCK):
        result = _write(tmp_path, _contents({"index.html": b"new"}))
    assert _codes(result) == ["site-busy"]
    assert _state(tmp_path) == before


def test_a_file_that_cannot_be_written_is_told_and_the_others_are_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = Path.replace

    def full(self: Path, to: Path) -> Path:
        if to.name == "a.html":
            raise OSError(28, "No space left on device")
        return real(self, to)

    monkeypatch.setattr(Path, "replace", full)
    result = _write(tmp_path)
    (problem,) = result.problems
    assert (problem.code, str(problem.place)) == (
        "site-not-written",
        str(tmp_path / "parts/a.html"),
    )
    assert "No space left on device" in problem.message
    assert result.written == ("index.html", "parts/b.html")


@pytest.mark.usefixtures("printed")
def test_progress_counts_every_file_once(tmp_path: Path) -> None:
    told: list[tuple[int, int, str]] = []
    contents = _contents(
        costly={"a.csv": Costly(key=DIGEST, make=lambda: b"")},
        printable={"a.pdf": _document("a"), "b.pdf": _document("die")},
    )
    write_contents(contents, tmp_path, lambda *step: told.append(step))
    assert [(done, total) for done, total, _ in told] == [(each + 1, 6) for each in range(6)]
    assert {what for _, _, what in told} == {*PAGES, "a.csv", "a.pdf", "b.pdf"}
    told.clear()
    write_contents(contents, tmp_path, lambda *step: told.append(step))
    assert len(told) == 6


def _pages_that_know(has_papers: bool) -> Mapping[str, bytes]:
    return {"index.html": b"see a.pdf" if has_papers else b"no PDFs here"}


@pytest.mark.usefixtures("printed")
@pytest.mark.parametrize(
    ("html", "told"), [("fine", b"see a.pdf"), ("die", b"see a.pdf"), ("lack", b"no PDFs here")]
)
def test_pages_are_told_whether_there_are_papers(html: str, told: bytes, tmp_path: Path) -> None:
    documents = {"a.pdf": _document(html)}
    contents = Contents(plain=_pages_that_know, costly={}, printable=documents)
    _write(tmp_path, contents)
    assert (tmp_path / "index.html").read_bytes() == told


def _quiet(*_: object) -> None:
    """Progress that nobody looks at."""


def test_a_site_is_current_while_its_key_and_its_files_are_the_same(tmp_path: Path) -> None:
    assert is_current(tmp_path / "not there", DIGEST) is None
    write_contents(_contents(), tmp_path, _quiet, DIGEST)
    before = _state(tmp_path)
    assert is_current(tmp_path, DIGEST) == SiteResult(unchanged=tuple(sorted(PAGES)))
    assert is_current(tmp_path, "cd" * 32) is None
    assert _state(tmp_path) == before


@pytest.mark.parametrize("change", ["edit", "delete", "manifest", "link"])
def test_a_site_that_somebody_touched_is_not_current(change: str, tmp_path: Path) -> None:
    write_contents(_contents(), tmp_path, _quiet, DIGEST)
    page = tmp_path / "index.html"
    if change == "edit":
        page.write_bytes(b"other")
    elif change == "manifest":
        (tmp_path / NAME).write_bytes(b"{}")
    else:
        page.unlink()
    if change == "link":
        page.symlink_to(tmp_path / "nowhere")
    assert is_current(tmp_path, DIGEST) is None


@pytest.mark.usefixtures("printed")
@pytest.mark.parametrize("html", ["die", "lack"])
def test_a_run_with_something_to_tell_is_made_again(html: str, tmp_path: Path) -> None:
    """Else the problem would be told once and never again."""
    contents = _contents(printable={"a.pdf": _document(html)})
    assert write_contents(contents, tmp_path, _quiet, DIGEST).problems
    assert is_current(tmp_path, DIGEST) is None


def test_a_run_that_is_broken_off_leaves_no_key_of_the_whole(tmp_path: Path) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    write_contents(_contents(), tmp_path, _quiet, DIGEST)
    with pytest.raises(KeyboardInterrupt):
        write_contents(_contents(), tmp_path, stop, DIGEST)
    assert is_current(tmp_path, DIGEST) is None
