"""The demo's site as it lies on disk: whole, the same every time, and quick the second time."""

from __future__ import annotations

import datetime
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest
from lxml import html

from quotegen import __version__
from quotegen.report.output import site
from quotegen.report.output.manifest import NAME
from quotegen.report.output.site import table_files, update_site, whole_key, write_site
from quotegen.report.output.target import LOCK
from quotegen.report.output.writing import SiteResult
from quotegen.report.views.report import report_of

DEMO = Path(__file__).parents[3] / "quotes_demo"
DAY = datetime.date(2026, 11, 2)

pytestmark = pytest.mark.xdist_group("site")


def _quiet(*_: object) -> None:
    """Progress that nobody looks at."""


def _tree(folder: Path) -> dict[str, str]:
    """Every file but the lock, with the sha256 of its bytes."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != LOCK
    }


def _moments(folder: Path) -> dict[Path, int]:
    return {
        path: path.stat().st_mtime_ns
        for path in folder.rglob("*")
        if path.is_file() and path.name != LOCK
    }


@pytest.fixture
def copy(demo_site: Any, tmp_path: Path) -> Path:
    """A site of one's own, as the demo's run left it."""
    return Path(shutil.copytree(demo_site.folder, tmp_path / "site"))


def _again(demo_site: Any, to: Path, study: Any = None) -> SiteResult:
    studied = study or demo_site.study
    return write_site(report_of(studied, __version__), studied, DEMO, to, _quiet)


def test_the_demo_is_written_without_a_problem(demo_site: Any) -> None:
    assert demo_site.result.problems == ()
    assert set(demo_site.result.written) == set(_tree(demo_site.folder)) - {NAME}


def test_every_part_has_its_page_its_papers_and_its_tables(demo_site: Any) -> None:
    found = _tree(demo_site.folder)
    for part in demo_site.study.parts:
        wanted = {f"parts/{part}.html", f"parts/{part}-brief.pdf", f"parts/{part}-report.pdf"}
        assert wanted | set(table_files(part).values()) <= set(found)


def _links(folder: Path) -> Iterator[tuple[str, Path, str]]:
    """Each link and source of every page: the page, the file that it names, the spot in it."""
    for page in sorted(folder.rglob("*.html")):
        for _, _, target, _ in html.document_fromstring(page.read_text("utf-8")).iterlinks():
            parts = urlsplit(target)
            if not parts.scheme:
                path = (page.parent / unquote(parts.path)).resolve() if parts.path else page
                yield page.name, path, parts.fragment


def test_every_link_leads_to_a_file_of_the_site_and_to_a_spot_in_it(demo_site: Any) -> None:
    anchors: dict[Path, set[str]] = {}
    broken, links = [], list(_links(demo_site.folder))
    for page, path, spot in links:
        if not path.is_file() or not path.is_relative_to(demo_site.folder):
            broken.append(f"{page}: {path}")
        elif spot:
            if path not in anchors:
                tree = html.document_fromstring(path.read_text("utf-8"))
                anchors[path] = set(tree.xpath("//@id"))
            if spot not in anchors[path]:
                broken.append(f"{page}: {path.name}#{spot}")
    assert broken == []
    assert len(links) > 500


def test_no_page_asks_for_anything_from_the_network(demo_site: Any) -> None:
    for page in demo_site.folder.rglob("*.html"):
        for element, name, target, _ in html.document_fromstring(
            page.read_text("utf-8")
        ).iterlinks():
            if element.tag != "a":
                assert not urlsplit(target).scheme, (page.name, name, target)


WRITES_TWO_PARTS = """
import datetime, pathlib, sys
from quotegen import __version__
from quotegen.report.output.site import update_site
from quotegen.study import study

folder, to = map(pathlib.Path, sys.argv[1:])
studied = study(folder, datetime.date(2026, 11, 2), only=("fl-014", "fl-021"))
result = update_site(studied, __version__, folder, to, lambda *_: None)
print(*(problem.code for problem in result.problems))
"""


def _write_two_parts(own: Path, **surroundings: str) -> str:
    """Write the site of two parts to own/site in a process; the codes of the problems met."""
    command = [sys.executable, "-c", WRITES_TWO_PARTS, str(DEMO), str(own / "site")]
    done = subprocess.run(
        command,
        env={"PATH": os.defpath, "TMPDIR": str(own), **surroundings},
        cwd=own,
        check=True,
        capture_output=True,
        timeout=300,
    )
    return done.stdout.decode().strip()


def test_without_the_native_libraries_pages_are_written_and_lead_to_no_pdf(
    tmp_path: Path,
) -> None:
    """WeasyPrint raises this very error at its import where Pango is not installed."""
    (tmp_path / "weasyprint.py").write_text(
        "raise OSError(\"cannot load library 'libpango-1.0-0'\")\n", encoding="utf-8"
    )
    told = _write_two_parts(tmp_path, PYTHONPATH=str(tmp_path))
    assert told == "pdf-libraries-missing"
    found = _tree(tmp_path / "site")
    assert len([path for path in found if path.startswith("parts/")]) == 2 * 7
    assert not [path for path in found if path.endswith(".pdf")]
    targets = [str(path) for _, path, _ in _links(tmp_path / "site")]
    assert [path for path in targets if path.endswith(".xlsx")]
    assert not [path for path in targets if path.endswith(".pdf")]


def test_two_runs_in_different_surroundings_give_the_same_tree(tmp_path: Path) -> None:
    """Manifest and PDFs among it: other hash seed, time zone, language, folders."""
    trees = []
    for seed, zone, language in (("1", "Pacific/Kiritimati", "C"), ("4711", "UTC", "C.UTF-8")):
        own = tmp_path / f"run {seed}"
        own.mkdir()
        told = _write_two_parts(own, PYTHONHASHSEED=seed, TZ=zone, LC_ALL=language)
        assert told == ""
        trees.append(_tree(own / "site"))
    assert trees[0] == trees[1]
    assert len(trees[0]) > 30


def test_a_second_run_touches_no_file(demo_site: Any, copy: Path) -> None:
    before = _moments(copy)
    result = _again(demo_site, copy)
    assert (result.written, result.removed, result.problems) == ((), (), ())
    assert len(result.unchanged) == len(before) - 1
    assert _moments(copy) == before


def test_a_run_with_nothing_changed_does_not_even_lay_out_a_page(
    demo_site: Any, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    study, calls = demo_site.study, []
    first = update_site(study, __version__, DEMO, copy, _quiet)
    assert first.problems == ()
    before = _moments(copy)
    monkeypatch.setattr(site, "report_of", lambda *given: calls.append(given))
    second = update_site(study, __version__, DEMO, copy, _quiet)
    assert calls == []
    assert second == SiteResult(unchanged=tuple(sorted(first.unchanged + first.written)))
    assert _moments(copy) == before


def test_a_part_that_is_gone_takes_its_files_along_and_nothing_else(
    demo_site: Any, copy: Path
) -> None:
    (copy / "README.md").write_bytes(b"mine")
    (copy / "brief.png").write_bytes(b"mine")
    gone, *kept = sorted(demo_site.study.parts)
    parts = {name: demo_site.study.parts[name] for name in kept}
    papers = {path: moment for path, moment in _moments(copy).items() if path.suffix == ".pdf"}
    result = _again(demo_site, copy, replace(demo_site.study, parts=parts))
    assert result.problems == ()
    assert set(result.removed) >= {f"parts/{gone}.html", f"parts/{gone}-brief.pdf"}
    assert not list((copy / "parts").glob(f"{gone}[.-]*"))
    assert (copy / "README.md").read_bytes() == (copy / "brief.png").read_bytes() == b"mine"
    left = {path: moment for path, moment in papers.items() if not path.name.startswith(gone)}
    assert left == {path: _moments(copy)[path] for path in left}
    assert len(left) == 2 * len(kept)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the demo's workshop folder, to be changed."""
    return Path(shutil.copytree(DEMO, tmp_path / "workshop"))


def test_the_key_of_the_whole_is_that_of_the_same_things(demo_site: Any, folder: Path) -> None:
    assert whole_key(demo_site.study, "1", folder) == whole_key(demo_site.study, "1", DEMO)


@pytest.mark.parametrize("change", ["version", "day", "form", "received", "gone", "problem"])
def test_the_key_of_the_whole_changes_with_all_that_a_site_is_made_from(
    change: str, demo_site: Any, folder: Path
) -> None:
    study, version = demo_site.study, "1"
    before = whole_key(study, version, folder)
    received = min(folder.glob("quotes/*/*.xlsx"))
    if change == "version":
        version = "2"
    elif change == "day":
        study = replace(study, today=DAY + datetime.timedelta(days=1))
    elif change == "form":
        with (folder / "workshop.yaml").open("a") as stream:
            stream.write("# a remark\n")
    elif change == "received":
        received.write_bytes(received.read_bytes() + b"\0")
    elif change == "gone":
        received.unlink()
    else:
        study = replace(study, problems=study.problems[1:])
    assert whole_key(study, version, folder) != before


def test_the_key_of_the_whole_changes_with_our_own_code_and_templates(
    demo_site: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = whole_key(demo_site.study, "1", DEMO)
    (tmp_path / "new.py").write_bytes(b"")
    ours = site._our_files()  # noqa: SLF001  # which files count is what this is about
    assert {"press.py", "paper.css", "part.html", "SourceSans3-Regular.ttf"} <= {
        path.name for path in ours
    }
    monkeypatch.setattr(site, "_our_files", lambda: [*ours, tmp_path / "new.py"])
    assert whole_key(demo_site.study, "1", DEMO) != before


def test_every_file_that_a_record_came_from_is_in_the_key(demo_site: Any) -> None:
    found = site._files_of(demo_site.study)  # noqa: SLF001  # see above
    kinds = (".yaml", ".csv", ".xlsx")
    forms = {path.relative_to(DEMO).as_posix() for path in DEMO.rglob("*") if path.suffix in kinds}
    decisions = {path.relative_to(DEMO).as_posix() for path in DEMO.glob("decisions/*/*.md")}
    assert found == forms | decisions


def test_a_problem_of_the_folder_is_not_one_of_the_site(demo_site: Any) -> None:
    """The study's own problems stand on a page; the result tells only what writing met."""
    assert demo_site.study.problems
    assert demo_site.result.problems == ()
