"""Words on a page become lines, and lines become phrases: words that stand close together."""

from __future__ import annotations

import bisect
import dataclasses
import itertools
import re
import statistics
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from quotegen.intake.files import printable

GAP = 0.7  # of the size of the letters: a wider blank parts two phrases
RAISED = re.compile(r"[\dA-Za-z*]{1,2}\)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """A word in the frame of its writing: x along the line, base down the page, in points."""

    text: str
    x0: float
    x1: float
    base: float
    size: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase:
    words: tuple[Word, ...]

    @property
    def text(self) -> str:
        return " ".join(word.text for word in self.words)

    @property
    def x0(self) -> float:
        return self.words[0].x0

    @property
    def x1(self) -> float:
        return self.words[-1].x1


def _stretched(words: Sequence[Word]) -> float:
    """How wide a blank may be in a sentence that was stretched to fill its line; 0 in others."""
    blanks = [two.x0 - one.x1 for one, two in itertools.pairwise(words)]
    if len(blanks) < 4 or not _wordy(words):
        return 0.0
    usual, size = statistics.median(blanks), words[0].size
    return min(1.6 * usual, 1.4 * size) if 0.4 * size < usual < 0.9 * size else 0.0


def _wordy(words: Sequence[Word]) -> bool:
    named = sum(bool(re.search(r"[^\W\d_]{2,}", word.text)) for word in words)
    return named > 0.7 * len(words)


@dataclass(frozen=True, slots=True, kw_only=True)
class TextLine:
    """The words on one base line, from left to right; number counts the lines of its page."""

    page: int
    number: int
    words: tuple[Word, ...]

    @property
    def base(self) -> float:
        return self.words[0].base

    @property
    def size(self) -> float:
        return max(word.size for word in self.words)

    @property
    def phrases(self) -> tuple[Phrase, ...]:
        found: list[list[Word]] = []
        wide = _stretched(self.words)
        for word in self.words:
            last = found[-1][-1] if found else word
            if found and word.x0 - last.x1 <= max(wide, GAP * max(word.size, last.size)):
                found[-1].append(word)
            else:
                found.append([word])
        return tuple(Phrase(words=tuple(each)) for each in found)

    @property
    def text(self) -> str:
        return "  ".join(phrase.text for phrase in self.phrases)

    def part(self, words: Iterable[Word]) -> TextLine:
        return dataclasses.replace(self, words=tuple(words))


def word_of(raw: dict[str, object]) -> Word:
    """A word as the child told it."""
    x0, x1, base, size = (float(str(raw[key])) for key in ("x0", "x1", "base", "size"))
    text = printable(" ".join(re.split(r"\s", str(raw["text"]))))
    return Word(text=text, x0=x0, x1=x1, base=base, size=size)


def lines_of(page: int, words: Iterable[Word]) -> tuple[TextLine, ...]:
    """The lines of a page from its upper edge down."""
    found: list[list[Word]] = []
    for word in sorted(words, key=lambda each: each.base):
        near = found and word.base - found[-1][0].base <= 0.3 * min(word.size, found[-1][0].size)
        if near:
            found[-1].append(word)
        else:
            found.append([word])
    return tuple(
        TextLine(page=page, number=at, words=tuple(sorted(line, key=lambda each: each.x0)))
        for at, line in enumerate(found, 1)
    )


def without_raised(words: Sequence[Word]) -> tuple[list[Word], list[tuple[Word, str]]]:
    """The words without small raised marks, and each mark with the word it stands behind.

    Behind a unit it is a power and joins it; two digits behind a whole number may be its cents,
    which is left for a person to say; behind anything else it leads to a note.
    """
    usual = statistics.median(word.size for word in words) if words else 0
    small = [word for word in words if word.size < 0.8 * usual and RAISED.fullmatch(word.text)]
    gone = {id(word) for word in small}
    kept = sorted((w for w in words if id(w) not in gone), key=lambda each: each.base)
    bases = [word.base for word in kept]
    marks: list[tuple[Word, str]] = []
    alone: list[Word] = []
    for mark in small:
        first, last = (bisect.bisect(bases, mark.base + away) for away in (0, usual))
        at = next((n for n in range(first, last) if _is_behind(kept[n], mark)), None)
        if at is None:
            alone.append(mark)
        elif re.search(r"(?:^|/|\d)(?:[mcdk]?m|in|ft)$", kept[at].text) and mark.text in "23":
            power = {"2": "\u00b2", "3": "\u00b3"}[mark.text]
            kept[at] = dataclasses.replace(kept[at], text=kept[at].text + power, x1=mark.x1)
        elif len(mark.text) == 2 and mark.text.isdigit() and kept[at].text.isdigit():
            kept[at] = dataclasses.replace(kept[at], text=f"{kept[at].text}^{mark.text}")
        else:
            marks.append((kept[at], mark.text))
    return [*kept, *alone], marks


def _is_behind(word: Word, mark: Word) -> bool:
    above = 0.15 * word.size <= word.base - mark.base <= 0.75 * word.size
    return above and word.size > 1.2 * mark.size and -1 <= mark.x0 - word.x1 <= 0.4 * word.size


def in_columns(lines: Sequence[TextLine]) -> Iterator[TextLine]:
    """Lines in the order of reading: where text runs in two columns, the left one first."""
    at = 0
    while at < len(lines):
        end, gutter = _beside(lines, at)
        if gutter is None:
            yield lines[at]
            at += 1
            continue
        run = lines[at:end]
        for side in (0, 1):
            for line in run:
                words = [word for word in line.words if (word.x0 > gutter) == bool(side)]
                if words:
                    yield line.part(words)
        at = end


LEAST_LINES = 3
MOST_BESIDE = 200  # lines of two columns
LEAST_WORDS = 3


def _beside(lines: Sequence[TextLine], at: int) -> tuple[int, float | None]:
    """Where a run of two columns of sentences that begins here ends, and where they part."""
    if len(lines[at].phrases) < 2:
        return at, None
    for one, two in itertools.pairwise(lines[at].phrases):
        end, low, high = _as_far(lines, at, one.x1, two.x0)
        middle = (low + high) / 2
        if high - low >= lines[at].size * 0.8 and _are_sentences(lines[at:end], middle):
            return end, middle
    return at, None


def _as_far(
    lines: Sequence[TextLine], at: int, low: float, high: float
) -> tuple[int, float, float]:
    """Where the lines end that leave a blank free and stand together, and what is left of it."""
    end = at
    while end < len(lines) and end - at < MOST_BESIDE:
        step = lines[end].base - lines[end - 1].base if end > at else 0.0
        left, right = _parted(lines[end], low, high)
        if right <= left or step > 3 * lines[end].size:
            break
        low, high, end = left, right, end + 1
    return end, low, high


def _parted(line: TextLine, low: float, high: float) -> tuple[float, float]:
    """The blank between low and high that a line leaves; none where it runs across."""
    for word in line.words:
        if word.x1 <= low or word.x0 >= high:
            continue
        if word.x0 - low > high - word.x1:
            high = word.x0
        else:
            low = max(low, word.x1)
    return low, high


def _are_sentences(run: Sequence[TextLine], middle: float) -> bool:
    """Whether both sides hold lines of words, most of them full, and not columns of a table."""
    sides: tuple[list[int], list[int]] = ([], [])
    for line in run:
        for side in (0, 1):
            count = sum((word.x0 > middle) == bool(side) for word in line.words)
            if count:
                sides[side].append(count)
    return all(
        len(side) >= LEAST_LINES and statistics.median(side) >= LEAST_WORDS for side in sides
    ) and _wordy([word for line in run for word in line.words])
