"""How wide a text is in the bundled font, and how it is wrapped or shortened to fit."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import accumulate
from pathlib import Path

from quotegen.templates_folder import templates_folder

REGULAR, SEMIBOLD = 400, 600
FILES = {REGULAR: "SourceSans3-Regular.ttf", SEMIBOLD: "SourceSans3-Semibold.ttf"}
# From the tip of an accent over a capital to the tail of a g, as shares of the size.
ABOVE, BELOW = 0.90, 0.25
ELLIPSIS = "\N{HORIZONTAL ELLIPSIS}"
ABSENT = "?"
LONGEST = 300


@dataclass(frozen=True, slots=True)
class Face:
    """The advance width of every character a font has, in shares of the size."""

    advances: Mapping[str, float]

    def width(self, text: str) -> float:
        """Width at size 1, without kerning, which only brings letters closer."""
        absent = self.advances[ABSENT]
        return sum(self.advances.get(letter, absent) for letter in text)


@cache
def font_folder() -> Path:
    """Where the bundled fonts lie; raises FileNotFoundError where they are missing."""
    return templates_folder() / "fonts"


@lru_cache(maxsize=8)
def face(path: Path) -> Face:
    """The widths from a TrueType file: its tables cmap, hmtx and head (ISO/IEC 14496-22)."""
    from fontTools.ttLib import TTFont

    with TTFont(path, lazy=True) as font:
        names, widths = font.getBestCmap(), font["hmtx"]
        em = font["head"].unitsPerEm
        return Face({chr(code): widths[name][0] / em for code, name in names.items()})


@lru_cache(maxsize=4096)
def width(text: str, size: float, weight: int = REGULAR) -> float:
    """Width of a text in drawing units; weight is 400 or 600."""
    return size * _bundled(weight).width(text)


def shown(text: str) -> str:
    """The text as it can be drawn: on one line, composed, with "?" for a letter we have not.

    PDF/A and PDF/UA forbid a glyph that is missing from the font. A hostile text is cut.
    """
    line = " ".join(unicodedata.normalize("NFC", text[: 10 * LONGEST]).split())[:LONGEST]
    return "".join(mark if _drawable(mark) else ABSENT for mark in line)


def shortened(text: str, room: float, size: float, weight: int = REGULAR) -> str:
    """The text, cut with an ellipsis where it is wider than the room; "" if not even that fits."""
    if width(text, size, weight) <= room:
        return text
    for end in range(len(text) - 1, -1, -1):
        cut = text[:end].rstrip() + ELLIPSIS
        if width(cut, size, weight) <= room:
            return cut
    return ""


def wrapped(
    text: str, room: float, size: float, weight: int = REGULAR, most: int = 2
) -> tuple[str, ...]:
    """The text as shown, on at most so many lines of like length, none wider than room.

    A word that is wider than the room is cut through; the last line is shortened if need be.
    No text gives no line.
    """
    whole = shown(text)
    lines = _filled(whole, room, size, weight, most)
    if len(lines) < 2 or " ".join(lines) != whole:
        return lines
    narrow, wide = room / len(lines), room
    for _ in range(6):
        middle = (narrow + wide) / 2
        trial = _filled(whole, middle, size, weight, len(lines))
        if " ".join(trial) == whole:
            lines, wide = trial, middle
        else:
            narrow = middle
    return lines


def _filled(text: str, room: float, size: float, weight: int, most: int) -> tuple[str, ...]:
    """Lines that each take as many words as they hold, the last one shortened."""
    lines: list[str] = []
    while text and len(lines) < most - 1:
        line, text = _first_line(text, room, size, weight)
        lines.append(line)
    last = shortened(text, room, size, weight)
    return (*lines, last) if last else tuple(lines)


def _first_line(text: str, room: float, size: float, weight: int) -> tuple[str, str]:
    """The words that fit, at least one letter, and what is left."""
    ends = accumulate(width(letter, size, weight) for letter in text)
    fits = max(sum(1 for end in ends if end <= room), 1)
    if fits == len(text):
        return text, ""
    space = text.rfind(" ", 0, fits + 1)
    end = space if space > 0 else fits
    return text[:end].rstrip(), text[end:].lstrip()


def _drawable(mark: str) -> bool:
    return mark.isprintable() and all(mark in _bundled(each).advances for each in FILES)


@cache
def _bundled(weight: int) -> Face:
    return face(font_folder() / FILES[weight])
