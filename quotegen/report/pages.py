"""From finished values to HTML: the pages of the site, and the two documents for paper.

The templates stand in templates/; they place values and know no rule. A name that they do not
know is an error, and every text from a file is escaped.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from quotegen.basics.visible import on_a_page
from quotegen.judge.names import in_a_sentence
from quotegen.report.markdown_text import Section
from quotegen.report.views.part import PartView
from quotegen.report.views.report import Report
from quotegen.report.views.shape import Fact
from quotegen.templates_folder import templates_folder

FONTS = ("SourceSans3-Regular", "SourceSans3-Semibold", "SourceSans3-It")
# By what the file is, as the part's page names it.
PAPERS = {
    "brief": "Brief, two sheets (PDF)",
    "report": "Full report (PDF)",
    "csv": "Offers (CSV)",
    "lines": "Cost lines (CSV)",
    "cheapest": "Cheapest routes (CSV)",
    "plan": "Orders of the plan (CSV)",
    "money": "Money by month (CSV)",
    "xlsx": "All tables (XLSX)",
}
PRINTED = frozenset({"brief", "report"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What stands around a page: the way back to the top of the site, title, title block."""

    root: str
    page: str
    title: str
    workshop: str
    block: tuple[Fact, ...]
    pages: tuple[Fact, ...]
    is_paper: bool = False


MENU = (
    Fact(label="", text="Parts", href="index.html"),
    Fact(label="", text="Decisions", href="decisions.html"),
    Fact(label="", text="Method", href="method.html"),
    Fact(label="", text="Glossary", href="glossary.html"),
    Fact(label="", text="Problems", href="problems.html"),
)


def site_pages(report: Report, *, printed: bool = True) -> Mapping[str, str]:
    """Every page of the site as HTML by its path; printed says whether the PDFs stand beside it."""
    return dict(sorted(_pages(report, printed=printed)))


def _pages(report: Report, *, printed: bool) -> Iterator[tuple[str, str]]:
    problems = report.problems
    yield _page(
        report,
        "index.html",
        "index.html",
        "All parts",
        view=report.index,
        errors=problems.errors,
        notices=problems.notices,
    )
    for part in report.parts.values():
        papers = tuple(_papers(part, printed=printed))
        title = f"Sourcing report: {in_a_sentence(part.name)}"
        yield _page(
            report, part.page, "part.html", title, _part_block(part), view=part, papers=papers
        )
    for supplier in report.suppliers.values():
        yield _page(report, supplier.page, "supplier.html", supplier.name, view=supplier)
    for quote in report.quotes.values():
        title = f"Quote {quote.quote} of {quote.supplier}"
        yield _page(report, quote.page, "quote.html", title, view=quote)
    yield _page(
        report, "decisions.html", "decisions.html", "What was decided", view=report.decisions
    )
    yield _page(report, "method.html", "text.html", "How the figures are made", view=report.method)
    yield _page(report, "glossary.html", "text.html", "Words", view=report.glossary)
    yield _page(report, "problems.html", "problems.html", "Problems", view=problems)


def _page(
    report: Report, path: str, template: str, title: str, block: Iterable[Fact] = (), **values: Any
) -> tuple[str, str]:
    frame = Frame(
        root="../" * path.count("/"),
        page=path,
        title=title,
        workshop=report.workshop,
        block=(*block, *_block(report)),
        pages=MENU,
    )
    return path, _filled(template, frame=frame, **values)


def _block(report: Report) -> tuple[Fact, ...]:
    """The fields of a title block that every page has (ISO 7200)."""
    return (
        Fact(label="Legal owner", text=report.workshop),
        Fact(label="Date of issue", text=report.today),
        Fact(label="Prepared by", text=f"quotegen {report.version}"),
    )


def _part_block(part: PartView) -> tuple[Fact, ...]:
    return (
        Fact(label="Part", text=part.number),
        Fact(label="Revision", text=part.revision),
        Fact(label="Record", text=part.brief.block.record),
        Fact(label="Outcome", text=part.outcome),
    )


def _papers(part: PartView, *, printed: bool) -> Iterator[Fact]:
    for what, path in part.paper.items():
        if printed or what not in PRINTED:
            yield Fact(label="", text=PAPERS[what], href=path)


def brief_html(report: Report, part: str) -> str:
    """The brief of one part: two sheets of A4 for WeasyPrint, with the fonts below templates/."""
    view = report.parts[part].brief
    frame = _paper_frame(report, view.block.title, ())
    styles = _styles("paper.css", "brief.css")
    return _filled("brief.html", frame=frame, view=view, styles=styles)


def report_html(report: Report, part: str) -> str:
    """The full report of one part for WeasyPrint: the page's content, the rules it names."""
    view = report.parts[part]
    title = f"Sourcing report: {in_a_sentence(view.name)}"
    block = (
        Fact(label="Sourcing report", text=view.brief.block.title),
        *_part_block(view),
        Fact(label="Date of issue", text=report.today),
    )
    return _filled(
        "report.html",
        frame=_paper_frame(report, title, block),
        view=view,
        papers=(),
        rules=_rules(report.method.sections, view.rules),
        styles=_styles("paper.css", "report.css"),
    )


def paper_html(template: str, title: str, block: tuple[Fact, ...], **values: object) -> str:
    """A document for WeasyPrint in the look of the house: title block below, sheets counted."""
    frame = Frame(root="", page="", title=title, workshop="", block=block, pages=(), is_paper=True)
    styles = _styles("paper.css", "report.css", "request.css")
    return _filled(template, frame=frame, styles=styles, **values)


def _paper_frame(report: Report, title: str, block: tuple[Fact, ...]) -> Frame:
    return Frame(
        root="",
        page="",
        title=title,
        workshop=report.workshop,
        block=block,
        pages=(),
        is_paper=True,
    )


def _rules(sections: Sequence[Section], named: Iterable[str]) -> tuple[Section, ...]:
    wanted = set(named)
    return tuple(section for section in sections if section.anchor in wanted)


def assets() -> Mapping[str, bytes]:
    """What the pages load, by its path in the site: style, script, fonts and their licence."""
    folder = templates_folder()
    found = {f"assets/{name}": (folder / "assets" / name) for name in ("site.css", "site.js")}
    for font in FONTS:
        found[f"assets/{font}.ttf.woff2"] = folder / "fonts" / f"{font}.ttf.woff2"
    found["assets/SourceSans3-LICENSE.md"] = folder / "fonts" / "LICENSE.md"
    return {path: file.read_bytes() for path, file in sorted(found.items())}


def _filled(template: str, **values: object) -> str:
    """A page of finished values; nothing that cannot be seen stands in it."""
    return on_a_page(_environment().get_template(template).render(**values))


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(templates_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


@cache
def _styles(*names: str) -> Markup:
    """Our own styles, to stand inside a document for paper."""
    texts = [(templates_folder() / name).read_text(encoding="utf-8") for name in names]
    return Markup("\n".join(texts))  # noqa: S704  # files of our own
