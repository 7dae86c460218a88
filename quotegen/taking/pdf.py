"""A text PDF as seen: its tables, its lines, and what of it cannot be read or is not shown.

The file is opened by a child process (pdf_child.py) with little memory and time; what comes back
are words and where they stand.
"""

from __future__ import annotations

import bisect
import json
import re
import signal
import subprocess
import sys
import threading
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem
from quotegen.intake.files import BEGINNINGS, RawFile, Refused, printable
from quotegen.taking.figures import amounts_in
from quotegen.taking.pdf_pages import Reading, without_repeats
from quotegen.taking.pdf_tables import Rule, ruled_in
from quotegen.taking.pdf_words import TextLine, Word, lines_of, without_raised, word_of
from quotegen.taking.seen import Line, Remark, Seen
from quotegen.taking.words import PIECES, fold

PDF_BYTES = 10_000_000
LONGEST = 40.0  # seconds by the clock; the child's own limit is 10 of the processor
MOST_SAID = 60_000_000  # bytes of the child's answer
PICTURE = 0.12  # of a page: a larger picture may show a table
WHOLE = 0.85  # of a page: a picture under all of its text is its paper
LONGEST_SHOWN = 120
MOST_MARKS = 12  # raised marks of a page that are each asked about

# The child sees the modules that we see and no more, whatever lies in its working folder.
START = "import sys; sys.path[:] = sys.argv[1:]; "
START += "import quotegen.taking.pdf_child as here; here.serve()"


def see_pdf(raw: RawFile, record: str) -> Seen:
    """Raises Refused: file-kind, pdf-encrypted, pdf-no-text, pdf-pages, pdf-too-long, pdf-memory,
    pdf-time, pdf-broken."""
    _refuse_others(raw, record)
    said = _said(raw, record)
    pages = [_Page(number, each) for number, each in enumerate(said["pages"], 1)]
    if not any(page.words or page.hidden for page in pages):
        raise Refused(Problem.of("pdf-no-text", raw.place, record=record))
    kept, repeated, stamps = without_repeats([(page.high, page.lines) for page in pages])
    reading = Reading(raw.place.path)
    for page, left in zip(pages, kept, strict=True):
        reading.page(left, list(ruled_in(page.rules)))
    reading.beside(repeated)
    for page in pages:
        reading.beside(page.aside)
    sheets, lines = reading.made(raw.place)
    hidden = tuple(line for page in pages for line in page.unseen(raw.place.path))
    remarks = (
        *(each for page in pages for each in page.remarks(raw.place.path)),
        *(_stamp(each, raw.place.path) for each in stamps),
        *_beside_pages(said["told"], raw.place),
    )
    return Seen(
        kind="PDF", place=raw.place, sheets=sheets, lines=(*lines, *hidden), remarks=remarks,
        is_draft=any(page.is_recognised for page in pages),
    )  # fmt: skip


def _refuse_others(raw: RawFile, record: str) -> None:
    if b"%PDF-" in raw.data[:1024]:
        return
    found = (seen for begins, seen in BEGINNINGS if raw.data.startswith(begins))
    values = {"seen": next(found, "something else"), "expected": "a PDF", "record": record}
    raise Refused(Problem.of("file-kind", raw.place, **values))


# The child


def _said(raw: RawFile, record: str) -> Mapping[str, Any]:
    """What the child tells of a file; raises Refused where it tells nothing that can be used."""
    data, code, late = _asked(raw.data)
    problem = ""
    said: Any = None
    if late or code in (-signal.SIGXCPU, -signal.SIGKILL):
        problem = "pdf-time"
    elif len(data) > MOST_SAID:
        problem = "pdf-too-long"
    else:
        try:
            said = json.loads(data)
        except ValueError:
            problem = "pdf-memory" if code else "pdf-broken"
    seen = ""
    if isinstance(said, dict) and "refused" in said:
        problem, seen = str(said["refused"]), str(said["seen"])
    if problem:
        shown = printable(seen) or f"its reader ended with {code}"
        raise Refused(Problem.of(problem, raw.place, seen=shown, record=record))
    assert isinstance(said, dict)  # noqa: S101  # JSON of our own child
    return said


def _asked(data: bytes) -> tuple[bytes, int, bool]:
    """The answer of a child that read these bytes, how it ended, and whether it was too slow."""
    process = subprocess.Popen(  # noqa: S603  # our own interpreter, nothing from outside
        [sys.executable, "-I", "-B", "-c", START, *sys.path],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        env={},
    )  # fmt: skip
    assert process.stdin is not None and process.stdout is not None  # noqa: S101, PT018
    late = threading.Event()

    def stop() -> None:
        late.set()
        process.kill()

    clock = threading.Timer(LONGEST, stop)
    clock.start()
    try:
        try:
            process.stdin.write(data)
            process.stdin.close()
        except BrokenPipeError:
            pass
        answer = process.stdout.read(MOST_SAID + 1)
    finally:
        clock.cancel()
        process.stdout.close()
        if len(answer) > MOST_SAID:
            process.kill()
        code = process.wait()
    return answer, code, late.is_set()


# Pages


class _Page:
    """The words of a page in the direction in which most are written, and what else it has."""

    def __init__(self, number: int, raw: Mapping[str, Any]) -> None:
        self.number = number
        self.picture = float(raw["picture"])
        self.told = raw["told"]
        words = list(_without_leaders(raw["words"]))
        unseen = [each for each in words if each["hidden"]]
        drawn = [each for each in unseen if each["hidden"] == "drawn invisibly"]
        self.is_recognised = self.picture > 0.5 and len(drawn) > 0.8 * max(1, len(words))
        if self.is_recognised:
            unseen = [each for each in unseen if each not in drawn]
        seen = [e for e in words if not e["hidden"] or (self.is_recognised and e in drawn)]
        self.turn = _usual(seen)
        self.rules = _turned(raw["rules"], self.turn)
        main = [word_of(each) for each in seen if each["turn"] == self.turn]
        main, struck = _without_struck(main, self.rules)
        self.words, self.marks = without_raised(main)
        self.struck = struck
        self.hidden = unseen
        wide, high = raw["size"]
        self.high = float(high if self.turn in (0, 180) else wide)
        self.lines = lines_of(number, self.words)
        others = [each for each in seen if each["turn"] != self.turn]
        self.aside = [
            line
            for turn in sorted({each["turn"] for each in others})
            for line in lines_of(number, [word_of(e) for e in others if e["turn"] == turn])
        ]

    def unseen(self, path: str) -> Iterator[Line]:
        """Lines that a person who looks at the page does not see."""
        for _, words in self._by_reason():
            for line in lines_of(self.number, words):
                yield Line(text=line.text, place=self._at(path, line), hidden=True)

    def _by_reason(self) -> Iterator[tuple[str, list[Word]]]:
        for why in sorted({each["hidden"] for each in self.hidden}):
            for turn in sorted({each["turn"] for each in self.hidden}):
                words = [e for e in self.hidden if e["hidden"] == why and e["turn"] == turn]
                if words:
                    yield why, [word_of(each) for each in words]
        if self.struck:
            yield "struck out", self.struck

    def _at(self, path: str, line: TextLine) -> Place:
        """The line of the page at the height of another, for want of one of its own."""
        near = min(self.lines, key=lambda each: abs(each.base - line.base), default=None)
        return Place(path, near.number if near is not None else 1, 1, page=self.number)

    def remarks(self, path: str) -> Iterator[Remark]:
        place = Place(path, page=self.number)
        for why, words in self._by_reason():
            text = " ".join(line.text for line in lines_of(self.number, words))
            told = f"Page {self.number} holds text that is {why}: {text[:LONGEST_SHOWN]}"
            yield Remark(text=told, place=place, is_matter=_may_cost(text))
        if len(self.marks) > MOST_MARKS:
            told = f"Page {self.number} has {len(self.marks)} raised marks that lead to notes."
            yield Remark(text=told, place=place, is_matter=True)
        for word, mark in self.marks if len(self.marks) <= MOST_MARKS else ():
            told = f"A raised {mark} stands behind {word.text}: it leads to a note."
            line = next((each for each in self.lines if word in each.words), None)
            at = self._at(path, line) if line is not None else place
            yield Remark(text=told, place=at, is_matter=any(m.isdigit() for m in word.text))
        yield from self._of_pictures(place)
        lost = sum(LOST in word.text and word.text != LOST for word in self.words)  # but bullets
        if lost:
            told = f"Page {self.number} has {lost} words with letters that cannot be read."
            yield Remark(text=told, place=place, is_matter=True)
        for each in self.told:
            yield _told(each, place)

    def _of_pictures(self, place: Place) -> Iterator[Remark]:
        if self.is_recognised:
            told = (
                f"Page {self.number} is a scan; its text was recognised by a machine and may be "
                "wrong. Each value is asked about."
            )
            yield Remark(text=told, place=place, is_matter=True)
        elif self.picture > 0 and not self.words:
            told = f"Page {self.number} is a picture without text; nothing of it is read."
            yield Remark(text=told, place=place, is_matter=True)
        elif self.picture > PICTURE:
            told = f"Page {self.number} shows a picture; what stands in it is not read."
            yield Remark(text=told, place=place, is_matter=self.picture < WHOLE)
        elif not self.words:
            yield Remark(text=f"Page {self.number} shows no text.", place=place, is_matter=True)


def _usual(words: Sequence[Mapping[str, Any]]) -> int:
    counts = Counter(int(each["turn"]) for each in words if int(each["turn"]) != 360)
    return max(counts, key=lambda turn: counts[turn], default=0)


def _turned(rules: Sequence[Sequence[float]], turn: int) -> list[Rule]:
    """Rules in the frame of writing that runs in another direction."""
    made: list[Rule] = []
    for x0, top, x1, low in rules:
        made.append(
            {
                0: (x0, top, x1, low),
                90: (-low, x0, -top, x1),
                180: (-x1, -low, -x0, -top),
                270: (top, -x1, low, -x0),
            }[turn]
        )
    return made


LEADERS = 4
LOST = "\N{REPLACEMENT CHARACTER}"


def _may_cost(text: str) -> bool:
    """Whether a text names money, a share or a number of pieces."""
    figures = re.search(rf"\d[.,]\d|%|\d\s*{PIECES}(?!\w)", fold(text))
    return figures is not None or any(amounts_in(text))


def _without_leaders(words: Sequence[Mapping[str, Any]]) -> Iterator[dict[str, Any]]:
    """Words without the rows of dots that lead the eye to a figure."""
    for each in words:
        text = str(each["text"])
        for match in re.finditer(rf"(?:(?![._\u2026]{{{LEADERS},}}|\u2026{{2,}}).)+", text):
            if match[0].strip("._\u2026"):
                step = (each["x1"] - each["x0"]) / max(1, len(text))
                x0 = each["x0"] + step * match.start()
                yield {**each, "text": match[0], "x0": x0, "x1": each["x0"] + step * match.end()}


def _without_struck(words: Sequence[Word], rules: Sequence[Rule]) -> tuple[list[Word], list[Word]]:
    """Words apart from those that a short rule strikes out."""
    level = sorted(
        (rule for rule in rules if rule[3] - rule[1] <= 2 < rule[2] - rule[0]),
        key=lambda each: each[1],
    )
    tops = [rule[1] for rule in level]
    struck = []
    for word in words:
        first = bisect.bisect_left(tops, word.base - 0.6 * word.size - 2)
        last = bisect.bisect_right(tops, word.base)
        if any(_strikes(rule, word) for rule in level[first:last]):
            struck.append(word)
    gone = {id(word) for word in struck}
    return [word for word in words if id(word) not in gone], struck


def _strikes(rule: Rule, word: Word) -> bool:
    y = (rule[1] + rule[3]) / 2
    over = min(rule[2], word.x1) - max(rule[0], word.x0)
    long = rule[2] - rule[0] > 3 * (word.x1 - word.x0) + 60
    high = 0.12 * word.size < word.base - y < 0.55 * word.size
    return high and not long and over > 0.7 * (word.x1 - word.x0)


def _told(each: Mapping[str, Any], place: Place) -> Remark:
    text = " ".join(printable(str(each["text"])).split())
    if each["kind"] == "file":
        name = f" {text[:LONGEST_SHOWN]}" if text else ""
        told = f"A file is attached inside it and not read{name}."
        return Remark(text=told, place=place, is_matter=True)
    return Remark(text=f"Comment: {text}", place=place, is_matter=True)


BESIDE = {
    "file": ("It carries another file inside, which is not read.", True),
    "script": ("It carries a script; nothing of it is run.", False),
    "xfa": ("It is a form of the kind XFA; what was typed into it is not read.", True),
}


def _stamp(line: TextLine, path: str) -> Remark:
    place = Place(path, line.number, 1, page=line.page)
    return Remark(text=f"Printed at the edge of the page: {line.text}", place=place)


def _beside_pages(told: Sequence[Mapping[str, Any]], place: Place) -> Iterator[Remark]:
    for each in told:
        text, is_matter = BESIDE[str(each["kind"])]
        yield Remark(text=text, place=place, is_matter=is_matter)
