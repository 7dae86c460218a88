"""From a workshop folder to requests: a pack for each supplier, and letters on open questions."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from quotegen import __version__
from quotegen.asking.chosen import suppliers_for, unknown
from quotegen.asking.letter import Letter, letters_to
from quotegen.asking.quantities import Asked, quantities_of
from quotegen.asking.request import Request, Setting, request_to
from quotegen.asking.ubl import as_ubl
from quotegen.asking.workbook import as_workbook
from quotegen.basics.days import in_words
from quotegen.basics.printed import counted, day
from quotegen.basics.problem import Problem, in_order
from quotegen.judge.studied import PartStudy, Study
from quotegen.model.entry import Folder
from quotegen.publish import why_not_to
from quotegen.report.output.writing import Contents, Printable, SiteResult, write_contents
from quotegen.report.pages import paper_html
from quotegen.report.paper.pdf import document_of
from quotegen.report.views.shape import Fact
from quotegen.study import study

MANIFEST = "requests.json"
FOLDER = "requests"
Papers = dict[str, Callable[[], Printable]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """Which part, whom to ask (nobody named: all that fit), and until when an answer is wanted."""

    part: str
    suppliers: tuple[str, ...] = ()
    answer_by: datetime.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Packs:
    """What was written and what to tell; refused says why nothing may be written there."""

    problems: tuple[Problem, ...] = ()
    told: tuple[str, ...] = ()
    refused: str = ""


def ask(
    folder: Path, to: Path, wish: Wish, today: datetime.date | None, clock: datetime.date
) -> Packs:
    """Write the packs below `<to>/<part>/<day>/<supplier>/`; whatever else lies in to stays.

    Raises OSError where the folder cannot be made or read.
    """
    if refused := why_not_to(folder, to):
        return Packs(refused=refused)
    found = study(folder, today, only=(wish.part,), clock=clock)
    if refused := _why_not_by(wish, found.today):
        return Packs(refused=refused)
    part = found.parts.get(wish.part)
    if part is None:
        return Packs(problems=found.problems)
    chosen, wrong = _chosen(found.folder, wish)
    quantities = quantities_of(part)
    if not quantities:
        wrong = (*wrong, _no_quantity(part))
    if not chosen or not quantities:
        return Packs(problems=in_order([*found.problems, *wrong]))
    contents = _contents(found, part, wish, tuple(chosen), quantities, folder)
    written = write_contents(contents, to, _quiet)
    return Packs(
        problems=in_order([*found.problems, *wrong, *written.problems]),
        told=(*_told(chosen, quantities, found.folder), _done(to, written)),
    )


def _quiet(_done: int, _total: int, _what: str) -> None:
    """A pack is written too quickly for a bar."""


def _why_not_by(wish: Wish, today: datetime.date) -> str:
    late = wish.answer_by is not None and wish.answer_by < today
    return f"--answer-by {wish.answer_by} has gone by; name a day to come" if late else ""


def _chosen(folder: Folder, wish: Wish) -> tuple[Mapping[str, str], tuple[Problem, ...]]:
    """Whom to ask with the reason, and names that are not known."""
    if wish.suppliers:
        known = [name for name in dict.fromkeys(wish.suppliers) if name in folder.suppliers]
        return dict.fromkeys(known, "as you named it"), unknown(folder, wish.suppliers)
    found = suppliers_for(folder, wish.part)
    if found:
        return found, ()
    place = folder.parts[wish.part].places.file
    return {}, (Problem.of("ask-nobody", place, part=wish.part),)


def _no_quantity(part: PartStudy) -> Problem:
    record = part.comparison.part
    return Problem.of(
        "ask-no-quantity",
        record.places.of("on hand"),
        seen=counted(record.record.on_hand, "piece"),
        part=part.part,
    )


def _contents(
    found: Study,
    part: PartStudy,
    wish: Wish,
    chosen: Iterable[str],
    quantities: tuple[Asked, ...],
    folder: Path,
) -> Contents:
    setting = Setting(
        workshop=part.comparison.workshop.record,
        part_name=part.part,
        part=part.comparison.part.record,
        today=found.today,
        version=__version__,
        quantities=tuple(each.pieces for each in quantities),
        answer_by=wish.answer_by,
    )
    plain: dict[str, bytes] = {}
    papers: Papers = {}
    for name in chosen:
        request = request_to(setting, name, found.folder.suppliers[name].record)
        below = f"{part.part}/{found.today.isoformat()}/{name}/{part.part}"
        plain[f"{below}-answer.xlsx"] = as_workbook(request.form, request.dated)
        plain[f"{below}-request.xml"] = as_ubl(request)
        papers[f"{below}-request.pdf"] = functools.partial(_request_paper, request)
        for letter in letters_to(part, name, folder):
            papers[f"{below}-questions-{letter.name}.pdf"] = functools.partial(_letter, letter)
    return Contents(
        plain=lambda _: plain, costly={}, printable=papers, manifest=MANIFEST, others_stay=True
    )


def _request_paper(request: Request) -> Printable:
    answer_by = in_words(request.answer_by) if request.answer_by is not None else ""
    html = paper_html(
        "request.html",
        f"Request for a quote {request.id}",
        _block("Request for a quote", request.title, request),
        view=request,
        answer=f"{request.part}-answer.xlsx",
        answer_by=answer_by,
    )
    document, lacking = document_of(html, (), request.dated)
    return Printable(document=document, lacking=lacking)


def _letter(letter: Letter) -> Printable:
    html = paper_html(
        "follow_up.html",
        f"Questions about quote {letter.quote}",
        _block("Questions about a quote", letter.quote, letter),
        view=letter,
        quote_date=in_words(letter.quote_date),
    )
    document, lacking = document_of(html, (), letter.dated)
    return Printable(document=document, lacking=lacking)


def _block(kind: str, title: str, view: Request | Letter) -> tuple[Fact, ...]:
    """The fields of a title block (ISO 7200)."""
    return (
        Fact(label=kind, text=title),
        Fact(label="Part", text=view.part),
        Fact(label="Revision", text=view.revision),
        Fact(label="Legal owner", text=view.buyer),
        Fact(label="Supplier", text=view.supplier),
        Fact(label="Date of issue", text=day(view.dated)),
    )


def _told(
    chosen: Mapping[str, str], quantities: tuple[Asked, ...], folder: Folder
) -> tuple[str, ...]:
    """Why these quantities and suppliers: for us, and in no pack."""
    asked = (f"  {each.told}" for each in quantities)
    named = (
        f"  {name}, {folder.suppliers[name].record.name}: {why}" for name, why in chosen.items()
    )
    return ("Pieces that are asked for", *asked, "Suppliers", *named)


def _done(to: Path, written: SiteResult) -> str:
    return f"{to}: {len(written.written)} files written, {len(written.unchanged)} as they were"
