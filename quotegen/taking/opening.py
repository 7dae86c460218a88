"""Which kind a file is, and the module that sees it. A further kind is one line."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

from quotegen.basics.problem import Problem
from quotegen.intake.files import CSV_BYTES, FORM_BYTES, XLSX_BYTES, RawFile, Refused
from quotegen.taking.mail import see_mail
from quotegen.taking.own_form import see_own_form
from quotegen.taking.pdf import PDF_BYTES, see_pdf
from quotegen.taking.plain import see_plain
from quotegen.taking.seen import Seen
from quotegen.taking.table_text import see_table
from quotegen.taking.ubl import see_ubl
from quotegen.taking.workbook import see_workbook

MAIL_BYTES = 20_000_000
XML_BYTES = 5_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """How a kind of file is seen, and how many bytes of it at most."""

    see: Callable[[RawFile, str], Seen]
    most: int


def _mail(raw: RawFile, record: str) -> Seen:
    return see_mail(raw, record, _see_inside)


KINDS: Mapping[str, Kind] = {
    ".xlsx": Kind(see=see_workbook, most=XLSX_BYTES),
    ".csv": Kind(see=see_table, most=CSV_BYTES),
    ".tsv": Kind(see=see_table, most=CSV_BYTES),
    ".pdf": Kind(see=see_pdf, most=PDF_BYTES),
    ".eml": Kind(see=_mail, most=MAIL_BYTES),
    ".txt": Kind(see=see_plain, most=FORM_BYTES),
    ".md": Kind(see=see_plain, most=FORM_BYTES),
    ".xml": Kind(see=see_ubl, most=XML_BYTES),
    ".yaml": Kind(see=see_own_form, most=FORM_BYTES),
}


def see(raw: RawFile, record: str) -> Seen:
    """All that a file shows; raises Refused where nothing of it can be used."""
    return kind_of(raw.path, raw, record).see(raw, record)


def kind_of(path: str, raw: RawFile, record: str) -> Kind:
    """The kind by the ending of the name; raises Refused: file-kind-unknown, file-too-large."""
    kind = KINDS.get(PurePosixPath(path).suffix.lower())
    if kind is None:
        values = {"field": "file", "seen": PurePosixPath(path).name, "expected": ", ".join(KINDS)}
        raise Refused(Problem.of("file-kind-unknown", raw.place, **values, record=record))
    if len(raw.data) > kind.most:
        values = {"seen": f"{len(raw.data):,}", "expected": f"{kind.most:,}", "record": record}
        raise Refused(Problem.of("file-too-large", raw.place, **values))
    return kind


def _see_inside(raw: RawFile, record: str) -> Seen | None:
    """An attachment, which may be of any kind but a mail."""
    ending = PurePosixPath(raw.path).suffix.lower()
    if ending not in KINDS or ending in (".eml", ".yaml"):
        return None
    return see(raw, record)
