"""Bytes from a workshop folder, under limits: no path leads out, every kind has a largest size."""

from __future__ import annotations

import hashlib
import re
import stat
from dataclasses import dataclass
from pathlib import Path

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem

FORM_BYTES = 1_000_000
CSV_BYTES = 5_000_000
XLSX_BYTES = 10_000_000

NAME = re.compile(r"[a-z0-9](?:[a-z0-9._-]{0,62}[a-z0-9])?")
PORTS = {f"{kind}{number}" for kind in ("com", "lpt") for number in range(10)}
DEVICES = {"con", "prn", "aux", "nul"} | PORTS

# How files of a known kind begin; a form begins with none of these.
BEGINNINGS = (
    (b"PK\x03\x04", "a ZIP file such as XLSX"),
    (b"\xd0\xcf\x11\xe0", "an old or locked office file"),
    (b"%PDF-", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x1f\x8b", "a gzip file"),
)


class Refused(Exception):
    """Nothing of a file can be used; problem says why."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.code)
        self.problem = problem


@dataclass(frozen=True, slots=True, kw_only=True)
class RawFile:
    """The bytes of one file and its path below the workshop folder, with forward slashes."""

    path: str
    data: bytes

    @property
    def place(self) -> Place:
        return Place(printable(self.path))

    @property
    def sha256(self) -> str:
        """Of the bytes as received, in hexadecimal."""
        return hashlib.sha256(self.data).hexdigest()


def printable(text: str) -> str:
    """The text with every mark that cannot be shown on one line replaced."""
    if text.isprintable():
        return text
    return "".join(mark if mark.isprintable() else "\N{REPLACEMENT CHARACTER}" for mark in text)


def is_name(text: str) -> bool:
    """Whether the text may name a part, a supplier, a quote or their files.

    Small letters, digits, '-', '_' and '.', at most 64; never a way out of a folder, and
    never a name that Windows keeps for a device.
    """
    fits = NAME.fullmatch(text) is not None and ".." not in text
    return fits and text.partition(".")[0] not in DEVICES


def bad_name(seen: str, place: Place, record: str) -> Problem:
    return Problem.of("bad-name", place, seen=seen, record=record)


def read_file(
    folder: Path,
    path: str,
    *,
    most: int,
    record: str,
    field: str = "file",
    named_at: Place | None = None,
) -> RawFile:
    """The file at a path below the folder; links are followed only inside it.

    named_at is where a form names the file, if one does. Raises Refused: file-missing,
    file-outside, file-kind, file-unreadable, file-too-large, file-empty.
    """
    place = Place(printable(path))
    real = _inside(folder, path, named_at or place, record, field)
    try:
        return _read(real, path, place, most, record)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        problem = Problem.of("file-unreadable", place, seen=reason, record=record)
        raise Refused(problem) from error


def _inside(folder: Path, path: str, place: Place, record: str, field: str) -> Path:
    values = {"field": field, "seen": path, "record": record}
    try:
        real = (folder / path).resolve(strict=True)
    except (OSError, RuntimeError, ValueError) as error:
        raise Refused(Problem.of("file-missing", place, **values)) from error
    if not real.is_relative_to(folder.resolve()):
        raise Refused(Problem.of("file-outside", place, **values))
    return real


def _read(real: Path, path: str, place: Place, most: int, record: str) -> RawFile:
    status = real.stat()
    if not stat.S_ISREG(status.st_mode):
        found = "a folder" if stat.S_ISDIR(status.st_mode) else "a device"
        values = {"seen": found, "expected": "a file", "record": record}
        raise Refused(Problem.of("file-kind", place, **values))
    if status.st_size > most:
        values = {"seen": f"{status.st_size:,}", "expected": f"{most:,}", "record": record}
        raise Refused(Problem.of("file-too-large", place, **values))
    with real.open("rb") as stream:
        data = stream.read(most)
    if not data.strip():
        raise Refused(Problem.of("file-empty", place, record=record))
    return RawFile(path=path, data=data)


def refuse_other_kinds(raw: RawFile, expected: str, record: str) -> None:
    """Raises Refused with file-kind where the bytes begin like another kind of file."""
    for beginning, found in BEGINNINGS:
        if raw.data.startswith(beginning):
            values = {"seen": found, "expected": expected, "record": record}
            raise Refused(Problem.of("file-kind", raw.place, **values))
