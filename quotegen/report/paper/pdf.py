"""What is printed as a PDF: one file that is both PDF/A-3a and PDF/UA-1, with its evidence inside.

A document says all that goes into its PDF, so that the same document has the same bytes on
every run. It is printed by presses.py; WeasyPrint is not loaded here.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from quotegen import __version__
from quotegen.report.charts.letters import FILES, REGULAR, face
from quotegen.templates_folder import templates_folder

MEDIA_TYPES = {
    ".yaml": "application/yaml",  # RFC 9512
    ".csv": "text/csv",  # RFC 4180
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ".pdf": "application/pdf",
    ".md": "text/markdown",  # RFC 7763
    ".txt": "text/plain",
}
ABSENT = "?"


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """A file inside the PDF.

    path is where it stood in the workshop folder; relationship is an AFRelationship of
    ISO 32000-2, 7.11.3: Source for what the figures were read from, Data for what else is known.
    """

    path: str
    data: bytes
    description: str
    relationship: str

    @property
    def name(self) -> str:
        """The path without slashes, which a reader of PDFs would take for folders of its own."""
        return self.path.replace("/", " - ")

    @property
    def media_type(self) -> str:
        """By our own table: the one of the system differs between machines."""
        return MEDIA_TYPES.get(Path(self.path).suffix.lower(), "application/octet-stream")


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """What is printed: a whole page of HTML, the files to carry, and the day they are dated."""

    html: str
    attachments: tuple[Attachment, ...]
    dated: datetime.date

    @property
    def in_order(self) -> tuple[Attachment, ...]:
        """Attachments by name, as the name tree of a PDF wants them (ISO 32000-2, 7.9.6)."""
        return tuple(sorted(self.attachments, key=lambda each: each.name))

    @property
    def key(self) -> str:
        """The same for the same PDF: sha256 over all that goes into it, and over what prints it."""
        facts = [
            [each.name, each.media_type, each.description, each.relationship, _sha256(each.data)]
            for each in self.in_order
        ]
        text = _sha256(self.html.encode())
        return _sha256(json.dumps([text, facts, self.dated.isoformat(), printer()]).encode())


@dataclass(frozen=True, slots=True, kw_only=True)
class Unprinted:
    """Why there is no PDF; code is that of the problem which tells it."""

    code: str
    why: str


def document_of(
    html: str, attachments: tuple[Attachment, ...], dated: datetime.date
) -> tuple[Document, str]:
    """The document with only letters that the font has, and the letters that it lacks.

    PDF/A and PDF/UA forbid a letter without a glyph: it is printed as "?"; marks that show
    nothing, such as those that turn the direction of a text, are left out.
    """
    text = unicodedata.normalize("NFC", html)
    lacking = sorted(set(text) - known_letters())
    shown: dict[str, str | int | None] = {
        letter: "" if is_hidden(letter) else ABSENT for letter in lacking
    }
    document = Document(
        html=text.translate(str.maketrans(shown)), attachments=attachments, dated=dated
    )
    return document, "".join(letter for letter in lacking if shown[letter])


def is_hidden(letter: str) -> bool:
    """Whether it shows nothing by itself: a control or a formatting character of Unicode."""
    return unicodedata.category(letter) in {"Cc", "Cf"}


@cache
def known_letters() -> frozenset[str]:
    drawn = face(templates_folder() / "fonts" / FILES[REGULAR]).advances
    return frozenset(drawn) | frozenset("\n\r\t")


@cache
def printer() -> str:
    """Versions and fonts, and our own code around them: another printer gives other bytes."""
    own = [Path(__file__), Path(__file__).with_name("press.py")]
    fonts = sorted((templates_folder() / "fonts").glob("*.ttf"))
    read = [f"{path.name} {_sha256(path.read_bytes())}" for path in (*fonts, *own)]
    return json.dumps([__version__, weasyprint_version(), *read])


def weasyprint_version() -> str:
    """Without importing it, which takes most of a second."""
    try:
        return version("weasyprint")
    except PackageNotFoundError:
        return "none"


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
