"""What a workbook may not be: swollen when unpacked, or more cells than any price table has.

A kilobyte can say that a merged cell covers the whole sheet, and whoever opens it then makes
every one of its cells; so each part is looked through before the workbook is opened.
"""

from __future__ import annotations

import copy
import io
import struct
import zipfile
import zlib
from collections.abc import Mapping
from xml.parsers import expat

from quotegen.basics.number import Unreadable
from quotegen.basics.problem import Problem
from quotegen.intake.cells import MOST_CELLS, row_and_column
from quotegen.intake.files import RawFile, Refused, refuse_other_kinds

UNPACKED_BYTES = 50_000_000
LARGEST_RATIO = 200
# A workbook of the most cells, each with a text of its own, stays below both.
MOST_ELEMENTS = 1_000_000
MOST_OTHERS = 200_000
MOST_SHEETS = 40
CONTENT = frozenset(("c", "v", "f", "is", "t", "si"))  # cheap to whoever opens the workbook
METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)  # ISO/IEC 29500-2 allows no other
KIND = "an XLSX workbook"
# What the zipfile module raises on damaged, locked or unusual archives.
UNREADABLE = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    ArithmeticError,
    EOFError,
    LookupError,
    OSError,
    RuntimeError,
    ValueError,
)


def refuse_bombs(raw: RawFile, record: str) -> None:
    """Raises Refused: file-kind, file-swells, table-too-large."""
    try:
        archive = zipfile.ZipFile(io.BytesIO(raw.data))
    except UNREADABLE as error:
        if not raw.data.startswith(b"PK"):
            refuse_other_kinds(raw, KIND, record)
        raise not_a_workbook(raw, "something else", record) from error
    with archive:
        parts = archive.infolist()
        _refuse_swollen(raw, sum(part.file_size for part in parts), record)
        counter = _Counter(raw, record)
        for part in parts:
            counter.look_through(archive, part)


def not_a_workbook(raw: RawFile, found: str, record: str) -> Refused:
    values = {"seen": found, "expected": KIND, "record": record}
    return Refused(Problem.of("file-kind", raw.place, **values))


def _refuse_swollen(raw: RawFile, unpacked: int, record: str) -> None:
    most = min(UNPACKED_BYTES, LARGEST_RATIO * len(raw.data))
    if unpacked > most:
        values = {"seen": f"{unpacked:,}", "expected": f"{most:,}", "record": record}
        raise Refused(Problem.of("file-swells", raw.place, **values))


class _Counter:
    """Counts the cells that the parts of a workbook hold or cover, and all that describes them.

    A font or a row of seven bytes becomes an object of a kilobyte once the workbook is opened.
    """

    def __init__(self, raw: RawFile, record: str) -> None:
        self.raw = raw
        self.record = record
        self.cells = self.elements = self.others = self.sheets = 0

    def look_through(self, archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> None:
        try:
            data = _unpacked(archive, part)
        except UNREADABLE as error:
            raise not_a_workbook(self.raw, "a damaged or locked file", self.record) from error
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.StartElementHandler = self._element
        parser.StartDoctypeDeclHandler = self._doctype
        try:
            parser.Parse(data, True)
        except (expat.ExpatError, LookupError, ValueError):
            return  # a picture, or a part that nothing can open

    def _doctype(self, *_: object) -> None:
        raise not_a_workbook(self.raw, "a part with a DOCTYPE", self.record)

    def _element(self, name: str, attributes: Mapping[str, str]) -> None:
        kind = name.rpartition(" ")[2]
        self.elements += 1
        self.others += kind not in CONTENT
        self.sheets += kind == "sheet"
        if kind in ("c", "xf"):
            self.cells += 1
        elif kind in ("mergeCell", "hyperlink"):
            self.cells += _area(attributes.get("ref", ""))
        if self.cells > MOST_CELLS:
            raise self._too_many("cells", MOST_CELLS)
        if self.sheets > MOST_SHEETS:
            raise self._too_many("sheets", MOST_SHEETS)
        if self.elements > MOST_ELEMENTS or self.others > MOST_OTHERS:
            raise self._too_many("formats, rows and notes", MOST_OTHERS)

    def _too_many(self, what: str, most: int) -> Refused:
        values = {"seen": f"more {what}", "expected": f"{most:,} {what}", "record": self.record}
        return Refused(Problem.of("table-too-large", self.raw.place, **values))


def _unpacked(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> bytes:
    """The bytes of a part, which may lie about their number: never more than one beyond it."""
    if part.compress_type not in METHODS:
        raise zipfile.BadZipFile("packed in a way that no workbook is")
    longer = copy.copy(part)
    longer.file_size = part.file_size + 1
    with archive.open(longer) as stream:
        data = stream.read(longer.file_size)
    if len(data) > part.file_size:
        raise zipfile.BadZipFile("longer than it says")
    return data


def _area(reference: str) -> int:
    """The number of cells in a range such as A1:B4; whole rows and columns are beyond any limit."""
    first, _, last = reference.replace("$", "").upper().partition(":")
    try:
        (top, left), (bottom, right) = row_and_column(first), row_and_column(last or first)
    except Unreadable:
        return MOST_CELLS + 1
    return (abs(bottom - top) + 1) * (abs(right - left) + 1)
