"""The words of a PDF with where they stand; it runs in a child process with little memory and time.

serve() reads the bytes of a file from standard input and writes JSON to standard output. Nothing
else of ours is loaded, and pdfminer.six only here, behind the limits.
"""

from __future__ import annotations

import json
import resource
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

MEMORY = 1 << 30
SECONDS = 10
MOST_PAGES = 20
MOST_LETTERS = 200_000  # of one file; a page of small print has 6,000
MOST_WORDS = 25_000
MOST_RULES = 2000  # of one page; of a drawing with more, none are taken for a table's
MOST_RULES_OF_ALL = 6000
MOST_TOLD = 200
LONGEST_TOLD = 2000
TINY = 2.0  # points; smaller letters are not read by eye
APART = 0.18  # of the size: a wider blank parts two words
FAINT = 0.08  # of 1, the least difference of brightness between a letter and its ground
BLANKS = " \t\r\n\u3000\u2003\u2002"
THIN = "\u00a0\u202f\u2009\u2007\u2006\u200a"  # blanks that may stand inside a number
LIGATURES = {0xFB00: "ff", 0xFB01: "fi", 0xFB02: "fl", 0xFB03: "ffi", 0xFB04: "ffl", 0xFB05: "st",
             0xFB06: "st", 0xAD: None, 0x200B: None, 0x200C: None, 0x200D: None,
             0xFEFF: None}  # fmt: skip


SLANTED = 360  # the turn of what is written neither level nor upright


@dataclass(slots=True)
class Letter:
    """A letter in the frame of its writing: x along the line, base down the page, in points."""

    text: str
    x0: float
    x1: float
    base: float
    size: float
    turn: int
    number: int
    hidden: str
    light: float | None


@dataclass(slots=True)
class Shape:
    """A filled area in the upright frame of the page; light is None where it cannot be told.

    covers says that nothing is seen through it.
    """

    box: tuple[float, float, float, float]
    light: float | None
    number: int
    covers: bool


@dataclass(slots=True)
class Drawn:
    """What one page draws, in the order in which it does."""

    letters: list[Letter] = field(default_factory=list)
    shapes: list[Shape] = field(default_factory=list)
    rules: list[tuple[float, float, float, float]] = field(default_factory=list)
    picture: float = 0.0


class TooMuch(Exception):
    """A limit of ours is passed; code says which."""

    def __init__(self, code: str, seen: str = "") -> None:
        super().__init__(code)
        self.code, self.seen = code, seen


def serve() -> None:
    """The child: bytes in, JSON out; it ends by itself or by its limits."""
    limit()
    try:
        said = read(sys.stdin.buffer.read())
    except TooMuch as error:
        said = {"refused": error.code, "seen": error.seen}
    except MemoryError:
        said = {"refused": "pdf-memory", "seen": ""}
    except Exception as error:  # noqa: BLE001  # a damaged file makes pdfminer raise anything
        said = {"refused": "pdf-broken", "seen": _why(error)}
    sys.stdout.write(json.dumps(said))


def limit() -> None:
    """Little memory, little time, and no file can be written."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 1))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _why(error: BaseException) -> str:
    return f"{type(error).__name__}: {error}"[:200] if str(error) else type(error).__name__


def read(data: bytes) -> dict[str, Any]:
    """What a PDF shows, page by page; raises TooMuch, and whatever pdfminer does."""
    import logging

    from pdfminer.pdfdocument import PDFDocument, PDFEncryptionError, PDFPasswordIncorrect
    from pdfminer.pdfpage import PDFPage
    from pdfminer.pdfparser import PDFParser

    logging.disable(logging.CRITICAL)
    try:
        document = PDFDocument(PDFParser(BytesIO(data)))
    except PDFPasswordIncorrect as error:
        raise TooMuch("pdf-encrypted", "a password") from error
    except PDFEncryptionError as error:
        raise TooMuch("pdf-encrypted", "a kind of encryption that is not known") from error
    pages = []
    for page in PDFPage.create_pages(document):
        pages.append(page)
        if len(pages) > MOST_PAGES:
            raise TooMuch("pdf-pages", _count(document))
    letters = words = rules = 0
    shown = []
    for page in pages:
        seen = _page(document, page)
        letters, words = letters + seen.pop("letters"), words + len(seen["words"])
        if letters > MOST_LETTERS:
            raise TooMuch("pdf-too-long", f"{MOST_LETTERS:,} letters")
        if words > MOST_WORDS:
            raise TooMuch("pdf-too-long", f"{MOST_WORDS:,} words")
        rules += len(seen["rules"])
        shown.append(seen if rules <= MOST_RULES_OF_ALL else {**seen, "rules": []})
    return {"pages": shown, "told": list(_of_document(document))[:MOST_TOLD]}


def _count(document: Any) -> str:
    from pdfminer.pdftypes import dict_value, int_value

    try:
        return str(int_value(dict_value(document.catalog["Pages"])["Count"]))
    except Exception:  # noqa: BLE001  # the number is only told
        return f"more than {MOST_PAGES}"


def _page(document: Any, page: Any) -> dict[str, Any]:
    """One page: its words, rules and notes; y counts down from its upper edge."""
    from quotegen.taking.pdf_drawing import drawn_on

    drawn, (wide, high), place = drawn_on(document, page)
    if len(drawn.rules) > MOST_RULES:
        drawn.rules = []
    words = list(_words(drawn))
    told = list(_notes(page, place, words))
    return {
        "letters": len(drawn.letters),
        "size": [round(wide, 1), round(high, 1)],
        "words": words,
        "rules": [[round(each, 1) for each in rule] for rule in drawn.rules],
        "picture": round(drawn.picture, 3),
        "told": told[:MOST_TOLD],
    }


def _words(drawn: Drawn) -> Iterator[dict[str, Any]]:
    """Letters that stand together, line by line in each direction of writing."""
    count = 0
    by_turn: dict[int, list[Letter]] = {}
    for letter in drawn.letters:
        by_turn.setdefault(letter.turn, []).append(letter)
    for turn, letters in by_turn.items():
        for line in _slanted(letters) if turn == SLANTED else _lines(letters):
            for word in _in_words(_once(line)):
                count += 1
                if count > MOST_WORDS:
                    raise TooMuch("pdf-too-long", f"{MOST_WORDS:,} words")
                yield _as_word(word, turn, drawn.shapes)


def _lines(letters: list[Letter]) -> Iterator[list[Letter]]:
    """Letters on one base line, a fifth of their size allowed, from left to right."""
    line: list[Letter] = []
    for letter in sorted(letters, key=lambda each: each.base):
        if line and letter.base - line[0].base > 0.2 * min(letter.size, line[0].size):
            yield sorted(line, key=lambda each: (each.x0, each.number))
            line = []
        line.append(letter)
    yield sorted(line, key=lambda each: (each.x0, each.number))


def _slanted(letters: list[Letter]) -> Iterator[list[Letter]]:
    """Letters across a page, such as a stamp, in the order in which they were drawn."""
    line: list[Letter] = []
    for letter in letters:
        if line and letter.number != line[-1].number + 1:
            yield _set_out(line)
            line = []
        line.append(letter)
    yield _set_out(line)


def _set_out(line: list[Letter]) -> list[Letter]:
    """The letters side by side, as if they had been drawn level."""
    first, x = line[0], line[0].x0
    for letter in line:
        wide = 0.5 * letter.size
        letter.x0, letter.x1, letter.base = x, x + wide, first.base
        letter.size, x = first.size, x + wide
    return line


def _once(line: list[Letter]) -> Iterator[Letter]:
    """Letters that are drawn twice, a little apart, to look bold, count once."""
    last: list[Letter] = []
    for letter in line:
        last = [each for each in last if each.x1 > letter.x0]
        twice = any(
            each.text == letter.text and abs(each.x0 - letter.x0) < 0.15 * letter.size
            and letter.text not in BLANKS
            for each in last
        )  # fmt: skip
        if not twice:
            last.append(letter)
            yield letter


def _in_words(line: Iterator[Letter]) -> Iterator[list[Letter]]:
    word: list[Letter] = []
    for letter in line:
        blank = letter.text in BLANKS
        thin = letter.text in THIN and not (word and word[-1].text.isdigit())
        if word and (blank or thin or _is_apart(word[-1], letter)):
            yield word
            word = []
        if not blank and not thin:
            word.append(letter)
    if word:
        yield word


def _is_apart(last: Letter, letter: Letter) -> bool:
    size = min(last.size, letter.size)
    away = letter.x0 - last.x1 > APART * max(last.size, letter.size)
    back = letter.x1 < last.x0 - size
    other = max(last.size, letter.size) > 1.35 * size
    return away or back or other or last.hidden != letter.hidden or last.light != letter.light


def _as_word(word: list[Letter], turn: int, shapes: list[Shape]) -> dict[str, Any]:
    text = "".join(each.text for each in word).translate(LIGATURES).rstrip(THIN)
    first, last = word[0], word[-1]
    size = max(each.size for each in word)
    hidden = first.hidden
    if not hidden and turn == 0:
        box = (first.x0, first.base - 0.7 * size, last.x1, first.base)
        hidden = _covered(box, first, shapes)
    return {
        "text": text, "x0": round(first.x0, 2), "x1": round(max(each.x1 for each in word), 2),
        "base": round(first.base, 2), "size": round(size, 2), "turn": turn, "hidden": hidden,
    }  # fmt: skip


def _covered(box: tuple[float, float, float, float], first: Letter, shapes: list[Shape]) -> str:
    """Whether what is drawn behind or over a word hides it."""
    ground: float | None = 1.0
    for shape in shapes:
        if not _holds(shape.box, box):
            continue
        if shape.number > first.number:
            if shape.covers:
                return "covered"
        else:
            ground = shape.light
    if ground is None or first.light is None:
        return ""
    return "of the colour of its ground" if abs(ground - first.light) < FAINT else ""


def _holds(outer: tuple[float, ...], inner: tuple[float, ...]) -> bool:
    return (
        outer[0] <= inner[0] + 1 and outer[1] <= inner[1] + 1
        and outer[2] >= inner[2] - 1 and outer[3] >= inner[3] - 1
    )  # fmt: skip


# Notes, fields and what else the file carries


def _notes(page: Any, place: Any, words: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """Comments, and fields of a form, whose values become words of the page."""
    from pdfminer.pdftypes import dict_value, list_value, resolve1

    for entry in list_value(page.annots or [])[: MOST_TOLD * 5]:
        note = resolve1(entry)
        if not isinstance(note, dict):
            continue
        kind = _name(note.get("Subtype"))
        box = _box(note.get("Rect"), place)
        if kind == "Widget":
            words += _typed(note, box, dict_value)
        elif kind == "FileAttachment":
            yield {"kind": "file", "text": _said(note.get("Contents")), "y": box[1]}
        elif kind not in ("Link", "Popup") and _said(note.get("Contents")).strip():
            yield {"kind": "comment", "text": _said(note["Contents"]), "y": box[1]}


def _typed(note: Any, box: tuple[float, ...], dict_value: Any) -> Iterator[dict[str, Any]]:
    """What somebody typed into a field, as words at its place."""
    field_of, depth = note, 0
    while "V" not in field_of and "Parent" in field_of and depth < 20:
        field_of, depth = dict_value(field_of["Parent"]), depth + 1
    flags = note.get("F", 0)
    hidden = "a hidden field" if isinstance(flags, int) and flags & 0b100010 else ""
    text = _said(field_of.get("V"))[:LONGEST_TOLD]
    size = max(4.0, min(10.0, (box[3] - box[1]) * 0.7))
    for number, line in enumerate(text.splitlines()):
        x, base = box[0] + 2, box[1] + (number + 1) * size * 1.15 + 1
        if len(text.splitlines()) == 1:
            base = (box[1] + box[3]) / 2 + size * 0.35
        for word in line.split():
            end = x + len(word) * size * 0.5
            yield {
                "text": word, "x0": round(x, 2), "x1": round(end, 2), "base": round(base, 2),
                "size": round(size, 2), "turn": 0, "hidden": hidden,
            }  # fmt: skip
            x = end + size * 0.28


def _box(rect: Any, place: Any) -> tuple[float, ...]:
    from pdfminer.pdftypes import list_value, resolve1

    try:
        x0, y0, x1, y1 = (float(resolve1(each)) for each in list_value(rect)[:4])
    except (TypeError, ValueError):
        return (0.0, 0.0, 0.0, 0.0)
    return tuple(place((x0, y0, x1, y1)))


def _name(value: Any) -> str:
    from pdfminer.psparser import PSLiteral

    return str(value.name) if isinstance(value, PSLiteral) else ""


def _said(value: Any) -> str:
    """A text string of PDF (ISO 32000-2, 7.9.2.2); a name, such as that of a ticked box, too."""
    from pdfminer.pdftypes import resolve1
    from pdfminer.utils import decode_text

    value = resolve1(value)
    if isinstance(value, bytes):
        return str(decode_text(value))[:LONGEST_TOLD]
    return "" if _name(value) == "Off" else _name(value)


def _of_document(document: Any) -> Iterator[dict[str, Any]]:
    """What the file carries beside its pages."""
    from pdfminer.pdftypes import resolve1

    catalog = document.catalog
    names = resolve1(catalog.get("Names")) or {}
    form = resolve1(catalog.get("AcroForm")) or {}
    if isinstance(names, dict) and "EmbeddedFiles" in names:
        yield {"kind": "file", "text": "", "y": 0}
    action = resolve1(catalog.get("OpenAction"))
    scripted = isinstance(action, dict) and _name(action.get("S")) == "JavaScript"
    if scripted or (isinstance(names, dict) and "JavaScript" in names):
        yield {"kind": "script", "text": "", "y": 0}
    if isinstance(form, dict) and "XFA" in form:
        yield {"kind": "xfa", "text": "", "y": 0}
