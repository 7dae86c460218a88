"""The follow-up letter: the open questions of a quote, numbered, with the text they are about."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from quotegen.basics.place import Place
from quotegen.basics.visible import visible
from quotegen.costing.offer import Offer, Standing
from quotegen.intake.files import XLSX_BYTES, RawFile, Refused, read_file
from quotegen.intake.xlsx_table import read_sheets
from quotegen.judge.studied import PartStudy

LONGEST = 160
TEXTS = (".yaml", ".csv", ".tsv", ".txt", ".eml")


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """One open question: what is asked, and where that comes from, as written there.

    where and written are empty where the quote says nothing of it.
    """

    number: int
    text: str
    where: str
    written: str
    blocks: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """The open questions of one quote; name is that of its file without the ending."""

    name: str
    quote: str
    quote_date: datetime.date
    supplier: str
    supplier_name: str
    buyer: str
    part: str
    title: str
    revision: str
    dated: datetime.date
    questions: tuple[Open, ...]


def letters_to(studied: PartStudy, supplier: str, folder: Path) -> tuple[Letter, ...]:
    """A letter for each quote of a supplier with open questions; those to ourselves stay out."""
    letters = []
    for offer in studied.comparison.offers:
        if offer.supplier != supplier or offer.standing is Standing.REPLACED:
            continue
        questions = tuple(_open(studied, offer, folder))
        if questions:
            part, quote = studied.comparison.part, offer.case.quote_entry
            number = f"-{offer.case.item_number + 1}" if " item " in offer.name else ""
            letters.append(
                Letter(
                    name=f"{quote.name}{number}",
                    quote=quote.record.quote,
                    quote_date=quote.record.date,
                    supplier=supplier,
                    supplier_name=offer.supplier_name,
                    buyer=studied.comparison.workshop.record.name,
                    part=part.name,
                    title=part.record.name,
                    revision=part.record.revision,
                    dated=studied.comparison.today,
                    questions=questions,
                )
            )
    return tuple(letters)


def _open(studied: PartStudy, offer: Offer, folder: Path) -> Iterator[Open]:
    name, to = offer.name, offer.supplier_name
    asked = [each for each in studied.advice.questions if each.offer == name and each.to == to]
    silent = {offer.case.at_item(), offer.case.at_quote(), offer.case.quote_entry.places.file}
    for number, question in enumerate(asked, 1):
        is_said = question.place not in silent
        yield Open(
            number=number,
            text=question.text,
            where=_where(question.place) if is_said else "",
            written=written_at(folder, question.place) if is_said else "",
            blocks=question.blocks,
        )


def _where(place: Place) -> str:
    """A place as somebody outside understands it: the name of the file and where in it."""
    name = place.path.rpartition("/")[2]
    kind = "your file" if not name.endswith(".yaml") else "our notes of your quote,"
    if place.path.startswith("parts/"):
        kind = "the drawing, in our form"
    if place.cell is not None:
        return f"{kind} {name}, cell {place.cell}"
    if place.page is not None:
        line = f", line {place.line}" if place.line is not None else ""
        return f"{kind} {name}, page {place.page}{line}"
    return f"{kind} {name}" + (f", line {place.line}" if place.line is not None else "")


def written_at(folder: Path, place: Place) -> str:
    """What stands at a place, on one line; "" where it cannot be shown."""
    try:
        raw = read_file(folder, place.path, most=XLSX_BYTES, record="It")
        text = _in_cell(raw, place) if place.cell is not None else _in_line(raw, place)
    except Refused:
        return ""
    return visible(text.strip())[:LONGEST]


def _in_cell(raw: RawFile, place: Place) -> str:
    if not raw.path.endswith(".xlsx"):
        return ""
    sheet, _, address = (place.cell or "").rpartition("!")
    grid = read_sheets(raw, "It").grids.get(sheet)
    cell = grid.at(address) if grid is not None else None
    return cell.text if cell is not None else ""


def _in_line(raw: RawFile, place: Place) -> str:
    if place.line is None or not raw.path.endswith(TEXTS):
        return ""
    lines = raw.data.decode("utf-8-sig", errors="replace").splitlines()
    return lines[place.line - 1] if place.line <= len(lines) else ""
