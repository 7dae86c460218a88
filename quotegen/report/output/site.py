"""The whole site of a report: pages, what they need, and the papers and tables of each part."""

from __future__ import annotations

import functools
import hashlib
import json
from collections.abc import Callable, Iterator, Mapping
from importlib.metadata import distributions
from pathlib import Path

from quotegen.intake.files import XLSX_BYTES, Refused, read_file
from quotegen.judge.studied import PartStudy, Study
from quotegen.report.output.tables import Sheets, as_csv, as_xlsx, sheets_of
from quotegen.report.output.writing import (
    Contents,
    Costly,
    Printable,
    Progress,
    SiteResult,
    is_current,
    write_contents,
)
from quotegen.report.pages import assets, brief_html, report_html, site_pages
from quotegen.report.paper.evidence import evidence_of
from quotegen.report.paper.pdf import document_of
from quotegen.report.views.names import paper_files
from quotegen.report.views.report import Report, report_of
from quotegen.templates_folder import PACKAGE, templates_folder

Layout = Callable[[Report, str], str]


def update_site(
    study: Study, version: str, folder: Path, to: Path, progress: Progress
) -> SiteResult:
    """Write the site of a study, unless it was written from the very same things before.

    folder is the workshop folder that the study was read from. Raises OSError where the folder
    to write to cannot be made or read.
    """
    whole = whole_key(study, version, folder)
    current = is_current(to, whole)
    if current is not None:
        return current
    contents = contents_of(report_of(study, version), study, folder)
    return write_contents(contents, to, progress, whole)


def write_site(
    report: Report, study: Study, folder: Path, to: Path, progress: Progress
) -> SiteResult:
    """Write the site of a report in any case; only files that changed are touched."""
    return write_contents(contents_of(report, study, folder), to, progress)


def whole_key(study: Study, version: str, folder: Path) -> str:
    """The same when the same site would come out: sha256 over all that goes into it.

    That is every file that was read, the problems met, the day, the code and templates, and
    the packages that are installed: rates, holidays and printer are among them.
    """
    told = [
        version,
        study.today.isoformat(),
        [problem.sentence for problem in study.problems],
        [[path, _sha256_below(folder, path)] for path in sorted(_files_of(study))],
        sorted(f"{each.name} {each.version}" for each in distributions()),
        [[str(path.name), _sha256(path.read_bytes())] for path in _our_files()],
    ]
    return _sha256(json.dumps(told).encode())


def _files_of(study: Study) -> frozenset[str]:
    """Every file that a record came from."""
    folder = study.folder
    found = {each.path for each in folder.decisions}
    found.update(*(each.files for each in folder.parts.values()))
    found.update(*(each.files for each in folder.suppliers.values()))
    found.update(*(each.files for each in folder.quotes))
    found.update(*(each.files for each in folder.orders.values()))
    return frozenset(found.union(folder.workshop.files if folder.workshop is not None else ()))


def _our_files() -> list[Path]:
    texts = [path for path in templates_folder().rglob("*") if path.is_file()]
    return sorted([*PACKAGE.rglob("*.py"), *PACKAGE.rglob("*.yaml"), *texts])


def _sha256_below(folder: Path, path: str) -> str:
    """Of a file of the workshop folder; a word where it cannot be read any more."""
    try:
        return read_file(folder, path, most=XLSX_BYTES, record="It").sha256
    except Refused as refused:
        return refused.problem.code


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def contents_of(report: Report, study: Study, folder: Path) -> Contents:
    """Everything that is to be written; documents are laid out when their turn comes."""
    tables: dict[str, Costly] = {}
    printable: dict[str, Callable[[], Printable]] = {}
    for studied in study.parts.values():
        tables |= _tables(sheets_of(studied))
        printable |= _papers(report, studied, folder)
    plain = functools.partial(_plain, report)
    return Contents(plain=plain, costly=tables, printable=printable)


def _plain(report: Report, has_papers: bool) -> Mapping[str, bytes]:
    pages = site_pages(report, printed=has_papers)
    return {**{path: html.encode("utf-8") for path, html in pages.items()}, **assets()}


def table_files(part: str) -> Mapping[str, str]:
    """Where each table of a part lies, by its name; the workbook holds all of them."""
    files = paper_files(part)
    return {
        "offers": files["csv"],
        "lines": files["lines"],
        "cheapest": files["cheapest"],
        "plan": files["plan"],
        "money by month": files["money"],
        "workbook": files["xlsx"],
    }


def _tables(sheets: Sheets) -> Mapping[str, Costly]:
    files, key = table_files(sheets.part), sheets.key
    made = {
        files[table.name]: Costly(key=key, make=functools.partial(as_csv, table))
        for table in sheets.tables
    }
    return made | {files["workbook"]: Costly(key=key, make=functools.partial(as_xlsx, sheets))}


def _papers(
    report: Report, studied: PartStudy, folder: Path
) -> Iterator[tuple[str, Callable[[], Printable]]]:
    """The brief and the full report; both carry the files that the comparison rests on."""
    files = paper_files(studied.part)
    evidence = functools.cache(functools.partial(evidence_of, studied.comparison, folder))

    def printable(layout: Layout) -> Printable:
        attachments, problems = evidence()
        document, lacking = document_of(
            layout(report, studied.part), attachments, studied.comparison.today
        )
        return Printable(document=document, lacking=lacking, problems=problems)

    for name, layout in (("brief", brief_html), ("report", report_html)):
        yield files[name], functools.partial(printable, layout)
