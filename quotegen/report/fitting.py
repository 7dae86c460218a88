"""Texts that must not grow: cut to so many lines by one stated rule, never set smaller.

The rule: whole sentences are kept as long as they fit; if not even the first one fits, it is
cut after a word. Either way an ellipsis shows that something is missing, and the brief says
that the report has it whole.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from quotegen.report.charts.letters import ELLIPSIS, REGULAR, width

SENTENCE_END = re.compile(r"(?<=[.!?])\s+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """A column of text: its width and type size in points, and how many lines it may take."""

    width: float
    size: float
    lines: int
    weight: int = REGULAR


def lines_of(text: str, space: Space) -> int:
    """How many lines the text takes in such a column; a word too long for one is broken."""
    lines, used = 1, 0.0
    gap = width(" ", space.size, space.weight)
    for word in text.split():
        wide = width(word, space.size, space.weight)
        if used and used + gap + wide > space.width:
            lines, used = lines + 1, 0.0
        elif used:
            used += gap
        if used + wide > space.width:
            more, used = _broken(word, space)
            lines += more
        else:
            used += wide
    return lines


def _broken(word: str, space: Space) -> tuple[int, float]:
    """How often a word is broken that is wider than a line, and what its last line takes."""
    breaks, used = 0, 0.0
    for letter in word:
        wide = width(letter, space.size, space.weight)
        if used and used + wide > space.width:
            breaks, used = breaks + 1, 0.0
        used += wide
    return breaks, used


def fitted(text: str, space: Space) -> str:
    """The text, or as much of it as the space holds, marked with an ellipsis where cut."""
    text = " ".join(text.split())
    if lines_of(text, space) <= space.lines:
        return text
    sentences = SENTENCE_END.split(text)
    for end in range(len(sentences) - 1, 0, -1):
        kept = f"{' '.join(sentences[:end])} {ELLIPSIS}"
        if lines_of(kept, space) <= space.lines:
            return kept
    return _cut(text, space)


def _cut(text: str, space: Space) -> str:
    """The longest beginning that fits, found by halving, ended after a word if there is one."""
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if lines_of(text[:middle].rstrip() + ELLIPSIS, space) <= space.lines:
            low = middle
        else:
            high = middle - 1
    kept = text[:low].rstrip()
    word_end = kept.rfind(" ")
    if low < len(text) and not text[low].isspace() and word_end > low // 2:
        kept = kept[:word_end]
    return kept.rstrip(" ,;:") + ELLIPSIS


def is_cut(text: str) -> bool:
    return text.endswith(ELLIPSIS)
