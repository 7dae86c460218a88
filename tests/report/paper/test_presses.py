"""A document that kills its child, hangs or cannot be printed costs that document only."""

from __future__ import annotations

import datetime
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from quotegen.report.paper import presses
from quotegen.report.paper.pdf import Document, Unprinted
from quotegen.report.paper.presses import print_all

DAY = datetime.date(2026, 11, 2)
PAGE = '<!doctype html><html lang="en"><title>{0}</title><h1 style="font-family:Ours">{0}'

# Stands before the real WeasyPrint on the path, loads it, and then does as the document says.
BEHAVES = """
import ctypes, os, sys
sys.path.remove(os.path.dirname(__file__))
del sys.modules["weasyprint"]
import weasyprint
write_pdf = weasyprint.HTML.write_pdf

def behaves(self, *given, **named):
    text = "".join(self.etree_element.itertext())
    if "die" in text:
        ctypes.string_at(0)
    if "raise" in text:
        raise RuntimeError("no such glyph")
    return write_pdf(self, *given, **named)

weasyprint.HTML.write_pdf = behaves
"""
LACKS = "raise OSError(\"cannot load library 'libpangoft2-1.0-0': no such file.  Additionally\")"
HANGS = "import time; time.sleep(600)"


@pytest.fixture
def weasyprint_that(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Puts a module of that name before the real one, for the children."""

    def put(source: str) -> None:
        (tmp_path / "weasyprint.py").write_text(source, encoding="utf-8")
        monkeypatch.syspath_prepend(str(tmp_path))

    return put


@pytest.fixture
def children(monkeypatch: pytest.MonkeyPatch) -> list[subprocess.Popen[bytes]]:
    """Every child that is started."""
    started: list[subprocess.Popen[bytes]] = []
    real = subprocess.Popen

    def popen(*given: Any, **named: Any) -> subprocess.Popen[bytes]:
        started.append(real(*given, **named))
        return started[-1]

    monkeypatch.setattr(presses.subprocess, "Popen", popen)
    return started


def _documents(*names: str) -> Iterator[tuple[str, Document]]:
    for name in names:
        yield name, Document(html=PAGE.format(name), attachments=(), dated=DAY)


def _why(outcome: bytes | Unprinted) -> str:
    assert isinstance(outcome, Unprinted), "a PDF came out"
    return f"{outcome.code}: {outcome.why}"


def test_a_crash_is_reported_and_the_other_documents_are_printed(weasyprint_that: Any) -> None:
    weasyprint_that(BEHAVES)
    found = dict(print_all(_documents("one", "die", "two", "raise", "three"), 2))
    assert {name for name, outcome in found.items() if isinstance(outcome, bytes)} == {
        "one",
        "two",
        "three",
    }
    assert _why(found["die"]) == "pdf-failed: the printing process ended by SIGSEGV"
    assert _why(found["raise"]) == (
        "pdf-failed: the printing process ended with 1: RuntimeError: no such glyph"
    )


def test_missing_libraries_are_told_for_every_document_and_tried_once_a_worker(
    weasyprint_that: Any, children: list[subprocess.Popen[bytes]]
) -> None:
    weasyprint_that(LACKS)
    found = dict(print_all(_documents(*(f"page {number}" for number in range(9))), 2))
    why = "pdf-libraries-missing: cannot load library 'libpangoft2-1.0-0': no such file."
    assert {_why(outcome) for outcome in found.values()} == {why.removesuffix(".")}
    assert len(found) == 9
    assert len(children) <= 2


def test_a_document_that_takes_too_long_is_given_up(
    weasyprint_that: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    weasyprint_that(HANGS)
    monkeypatch.setattr(presses, "LONGEST", 1.0)
    monkeypatch.setattr(presses, "LOOK_AGAIN", 0.1)
    ((name, outcome),) = print_all(_documents("slow"), 1)
    assert (name, _why(outcome)) == ("slow", "pdf-failed: it took longer than 1 seconds")


def test_a_child_is_replaced_after_its_share_of_documents(
    children: list[subprocess.Popen[bytes]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(presses, "JOBS", 2)
    found = dict(print_all(_documents("one", "two", "three", "four", "five"), 1))
    assert all(isinstance(outcome, bytes) for outcome in found.values())
    assert len(children) == 3


def test_no_child_outlives_a_run_that_is_broken_off(
    children: list[subprocess.Popen[bytes]],
) -> None:
    run = print_all(_documents("one", "two", "three", "four"), 2)
    next(run)
    assert len(children) == 2
    run.close()  # type: ignore[attr-defined]  # it is a generator
    assert all(child.poll() is not None for child in children)


def test_nothing_is_left_in_the_folder_for_temporary_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A font named by a page is unpacked there, and a child is ended without a farewell."""
    monkeypatch.setattr(presses.tempfile, "tempdir", str(tmp_path))
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    font = "<style>@font-face{font-family:Ours;src:url(fonts/SourceSans3-It.ttf)}</style>"
    document = Document(html=PAGE.format("one") + font, attachments=(), dated=DAY)
    ((_, outcome),) = print_all([("one", document)], 1)
    assert isinstance(outcome, bytes)
    assert list(tmp_path.iterdir()) == []


def test_nothing_to_print_starts_no_child(children: list[subprocess.Popen[bytes]]) -> None:
    assert list(print_all(iter(()), 2)) == []
    assert children == []


def test_the_order_and_the_neighbours_of_a_document_do_not_change_its_bytes() -> None:
    """A child keeps its fonts from one document to the next, and which child takes which varies."""
    alone = dict(print_all(_documents("two"), 1))
    after = dict(print_all(_documents("one", "three", "two"), 1))
    beside = dict(print_all(_documents("two", "one"), 2))
    assert alone["two"] == after["two"] == beside["two"]
    assert isinstance(alone["two"], bytes)


def test_modules_in_the_working_folder_are_not_loaded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A workshop folder may come from anybody; its files must not run."""
    (tmp_path / "weasyprint.py").write_text("raise SystemExit(3)", encoding="utf-8")
    (tmp_path / "struct.py").write_text("raise SystemExit(3)", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "path", [each for each in sys.path if each])
    ((_, outcome),) = print_all(_documents("one"), 1)
    assert isinstance(outcome, bytes)


def test_weasyprint_is_not_loaded_by_us() -> None:
    script = (
        "import sys, quotegen.report.paper.presses, quotegen.report.paper.pdf\n"
        "assert not {'weasyprint', 'fontTools', 'pandas'} & sys.modules.keys()"
    )
    subprocess.run([sys.executable, "-c", script], check=True, timeout=60)
