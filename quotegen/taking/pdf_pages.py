"""The pages of a PDF in the order of reading: tables as sheets, everything else as lines."""

from __future__ import annotations

import dataclasses
import itertools
import re
from collections import defaultdict
from collections.abc import Iterator, Sequence

from quotegen.basics.place import Place
from quotegen.intake.cells import Cell, Grid
from quotegen.taking.heads import role_of
from quotegen.taking.pdf_tables import (
    Block,
    Head,
    Row,
    Ruled,
    block_of,
    cell_of,
    continued,
    grown,
    head_at,
    is_numeric,
    ruled_block,
    sides_of,
)
from quotegen.taking.pdf_words import Phrase, TextLine, Word, in_columns
from quotegen.taking.seen import Line, Sheet
from quotegen.taking.words import PIECES, fold

ABOVE = 3  # lines above a head that may say what the table is for
EDGE = 0.15  # of the height of a page: where its head and foot stand
PAGED = re.compile(
    r"\W*(?:page|seite|blad|blz|pagina|strona|str|p)?\W{0,2}\d{1,3}"
    r"(?:\s*(?:of|von|van|sur|de|z|/)\s*\d{1,3})?\W*"
)
LABEL = re.compile(
    r"(?:quot\w*|offer\w*|angebot\w*|offerte\w*|devis|oferta|our ref\w*|date|datum|data|valid\w*|"
    r"gult\w*|geldig\w*|wazn\w*|currency|wahrung|valuta|waluta|lead|deliver\w*|liefer\w*|lever\w*|"
    r"delai|termin\w*|pay\w*|zahl\w*|betal\w*|paiement|platn\w*|part|drawing|zeichnung\w*|"
    r"tekening\w*|plan|rysunek|rev\w*|index|material\w*|werkstoff|set-?up|tool\w*|incoterm\w*)\b"
)
CONNECTS = re.compile(
    r"(?:[,\u2013-]|\b(?:after|of|until|within|and|or|the|a|an|to|in|on|by|for|from|per|is|are|at|"
    r"nach|bis|innerhalb|und|oder|der|die|das|des|dem|den|ein|eine|von|vom|zu|zur|zum|im|auf|ab|"
    r"fur|je|pro|mit|bei|ist|sind|betragt|na|binnen|en|of|het|de|van|tot|voor|met|is|zijn|apres|"
    r"jusqu'au|et|ou|la|le|les|du|dans|sous|par|pour|est|po|do|od|i|lub|w|za|dla|jest))$"
)
BEGINS = re.compile(rf"\d[\d.,' ]*{PIECES}(?!\w)|\d{{1,2}}(?:\.\d)*[.)]\s")  # a line of a list
# What a browser prints at the edge of a page: when, and from which address.
STAMP = re.compile(
    r"(?i)\d{1,4}[./-]\d{1,2}[./-]\d{2,4},?\s+\d{1,2}:\d{2}(?::\d{2})?(?:\s?[ap]m)?(?!\w).*|"
    r"(?:file|https?)://.*"
)
SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[^\W\d_a-z])")
SHORTENED = re.compile(
    r"(?:\b(?:nr|no|ca|abs|art|pos|stk|st|inkl|incl|excl|zzgl|max|min|tel|approx|ref|mwst|ust|szt|"
    r"bzw|ggf|fig|dr|mr|zb|eg|ie|vat|pcs|ex)|\b\w)\.$"
)


class Reading:
    """Goes through the pages and gathers sheets and lines; a table may go on over a page."""

    def __init__(self, path: str) -> None:
        self.path = path
        self.sheets: list[list[Row]] = []
        self.lines: list[Line] = []
        self.waiting: list[TextLine] = []
        self.open: Block | None = None  # the table that was last, while nothing stood below it

    def page(self, lines: Sequence[TextLine], tables: Sequence[Ruled]) -> None:
        """One page: ruled tables at their height, and what stands between them."""
        left = list(lines)
        parts: list[tuple[float, Block | list[TextLine]]] = []
        for ruled in tables:
            inside, left = _inside(ruled, left)
            block = ruled_block(self.path, ruled, inside) if inside else None
            if block is not None and len(block.rows) >= 2 and _is_table(block):
                parts.append((ruled.ys[0], block))
            elif block is not None and not _head_alone(block) and _is_boxed(ruled, inside):
                parts.append((ruled.ys[0], list(_of_boxes(ruled, inside))))
            else:
                left = sorted([*left, *inside], key=lambda each: each.base)
        self._in_order(_merged(left), parts)
        self._flush()

    def _in_order(
        self, left: list[TextLine], parts: list[tuple[float, Block | list[TextLine]]]
    ) -> None:
        for top, part in sorted(parts, key=lambda each: each[0]):
            above = [line for line in left if line.base <= top + 2]
            left = left[len(above) :]
            self._run(above)
            if isinstance(part, Block):
                self._block(part)
            else:
                self._flush()
                self.open = None
                for line in part:
                    self._line(line)
        self._run(left)

    def beside(self, lines: Sequence[TextLine]) -> None:
        """Lines that belong to no run of text, such as the foot of all pages."""
        for line in lines:
            self._line(line)

    def _run(self, lines: Sequence[TextLine]) -> None:
        """Lines of which some make tables without rules."""
        at = 0
        while at < len(lines):
            done = self._goes_on(lines, at)
            if not done:
                done = self._table(lines, at)
            if not done:
                self.waiting.append(lines[at])
                self.open = None
                done = 1
            at += done

    def _goes_on(self, lines: Sequence[TextLine], at: int) -> int:
        """How many lines go on with the table of the page before."""
        block = self.open
        if block is None or block.last is None or block.last.page == lines[at].page:
            return 0
        table = continued(self.path, block, lines, at) if block.heads else None
        if table is None:
            return 0
        more = block_of(table, None, lines[at].page)
        self.sheets[-1] += more.rows
        self.open = more
        return len(table.lines)

    def _table(self, lines: Sequence[TextLine], at: int) -> int:
        head = head_at(lines, at) or self._bare_head(lines, at)
        if head is None:
            return 0
        count = len(head.lines)
        middle = sides_of(head)
        head, table = grown(self.path, head, lines, at + count)
        if not table.lines:
            return 0
        if middle is not None:
            self._sides(middle, lines[at : at + count + len(table.lines)])
        else:
            self._block(block_of(table, head, lines[at].page))
        return count + len(table.lines)

    def _sides(self, middle: float, lines: Sequence[TextLine]) -> None:
        """Two tables side by side, one after the other, each with its part of the line above."""
        above, self.waiting = self.waiting[-1:], self.waiting[:-1]
        self._flush()
        for side in (0, 1):
            run = [
                line.part(words)
                for line in (*above, *lines)
                if (words := [w for w in line.words if (w.x0 > middle) == bool(side)])
            ]
            self.open = None
            self._run(run)
            self._flush()

    def _bare_head(self, lines: Sequence[TextLine], at: int) -> Head | None:
        """The first line of rows of numbers that no known word stands over."""
        rows = lines[at : at + 3]
        if len(rows) < 3 or any(_numbers(line) < 2 for line in rows[1:]):
            return None
        if len({len(line.phrases) for line in rows}) > 1:
            return None
        phrases = rows[0].phrases
        cells = tuple(phrase.words for phrase in phrases)
        return Head(cells=cells, lines=(rows[0],), roles=(None,) * len(cells))

    def _block(self, block: Block) -> None:
        """A table goes on with the one before, or begins below the lines that name it."""
        before = self.open
        again = before is not None and before.last is not None and block.last is not None
        if again and before is not None and not self.waiting and _is_same(before, block):
            self.sheets[-1] += block.rows[1:] if before.heads == block.heads else block.rows
            self.open = dataclasses.replace(block, heads=before.heads, roles=before.roles)
            return
        above = list(_in_paragraphs(list(in_columns(list(_under_labels(self.waiting))))))
        self.waiting = []
        for line in above[:-ABOVE]:
            self._say(line)
        rows = [self._row(line) for line in above[-ABOVE:]]
        self.sheets.append([*rows, *block.rows])
        self.open = block

    def _row(self, lines: Sequence[TextLine]) -> Row:
        first = lines[0]
        if len(lines) > 1:
            place = Place(self.path, first.number, 1, page=first.page)
            return (Cell(text=_paragraph(lines), place=place),)
        return tuple(
            cell_of(self.path, first.page, first.number, column, phrase.words)
            for column, phrase in enumerate(first.phrases, 1)
        )

    def _flush(self) -> None:
        """What waited above a table that did not come."""
        for each in _in_paragraphs(list(in_columns(list(_under_labels(self.waiting))))):
            self._say(each)
        self.waiting = []

    def _say(self, lines: Sequence[TextLine]) -> None:
        if len(lines) == 1:
            self._line(lines[0])
            return
        text = _paragraph(lines)
        starts = [len(_paragraph(lines[:count])) for count in range(1, len(lines))]
        for at, sentence in _sentences(text):
            line = lines[sum(at >= start for start in starts)]
            place = Place(self.path, line.number, 1, page=line.page)
            self.lines.append(Line(text=sentence, place=place))

    def _line(self, line: TextLine) -> None:
        """A line; phrases that stand apart and name something of their own are lines each."""
        groups: list[list[tuple[int, Phrase]]] = []
        for column, phrase in enumerate(line.phrases, 1):
            if groups and not _is_of_its_own(groups[-1], phrase):
                groups[-1].append((column, phrase))
            else:
                groups.append([(column, phrase)])
        for group in groups:
            cells = tuple(
                cell_of(self.path, line.page, line.number, column, phrase.words)
                for column, phrase in group
            )
            text = "  ".join(cell.text for cell in cells)
            if PAGED.fullmatch(fold(text)) and not text.strip().isdigit():
                continue
            shown = cells if len(cells) > 1 else ()
            self.lines.append(Line(text=text, place=cells[0].place, cells=shown))

    def made(self, file: Place) -> tuple[tuple[Sheet, ...], tuple[Line, ...]]:
        sheets = tuple(
            Sheet(title="", grid=Grid(place=file, rows=tuple(rows), is_typed=False))
            for rows in self.sheets
        )
        return sheets, tuple(self.lines)


def _inside(ruled: Ruled, lines: Sequence[TextLine]) -> tuple[list[TextLine], list[TextLine]]:
    """The words of each line inside a ruled table, and the others."""
    inside, others = [], []
    for line in lines:
        held = [word for word in line.words if ruled.holds(word)]
        rest = [word for word in line.words if not ruled.holds(word)]
        inside += [line.part(held)] if held else []
        others += [line.part(rest)] if rest else []
    return inside, others


def _merged(lines: Sequence[TextLine]) -> list[TextLine]:
    """Parts of one line that belong to no table are one line again."""
    found: dict[tuple[int, int], TextLine] = {}
    for line in lines:
        key = (line.page, line.number)
        words = (*found[key].words, *line.words) if key in found else line.words
        found[key] = line.part(sorted(words, key=lambda each: each.x0))
    return sorted(found.values(), key=lambda each: each.base)


def _is_table(block: Block) -> bool:
    """Whether a grid has a head that is known, or rows of numbers."""
    rows = [[cell.text for cell in row if not cell.covered] for row in block.rows]
    numbers = sum(sum(is_numeric(text) for text in row) >= 2 for row in rows)
    return numbers >= 2 or any(_is_head_row(row) for row in rows)


def _is_head_line(line: TextLine) -> bool:
    return sum(role_of(phrase.text, {}) is not None for phrase in line.phrases) >= 2


def _is_head_row(texts: Sequence[str]) -> bool:
    roles = {role_of(text, {}) for text in texts} - {None}
    return bool({"price", "total"} & roles) and len(roles) >= 2


def _head_alone(block: Block) -> bool:
    """A head in boxes of its own, whose rows stand below without rules."""
    return len(block.rows) == 1 and _is_head_row(block.heads)


def _is_boxed(ruled: Ruled, lines: Sequence[TextLine]) -> bool:
    """Whether some box holds several lines, so that it must be read box by box."""
    bands = zip(ruled.ys, ruled.ys[1:], strict=False)
    return any(
        sum(top <= line.base - 0.3 * line.size < low for line in lines) > 1 for top, low in bands
    )


def _of_boxes(ruled: Ruled, lines: Sequence[TextLine]) -> Iterator[TextLine]:
    """The lines of boxes, box by box; a label stands together with the value below it."""
    for top, low in zip(ruled.ys, ruled.ys[1:], strict=False):
        band = [line for line in lines if top <= line.base - 0.3 * line.size < low]
        ends = [x for x in ruled.xs[1:-1] if ruled.is_parted(x, top, low)] + [ruled.xs[-1]]
        start = ruled.xs[0]
        for end in ends:
            box = [
                line.part(words)
                for line in band
                if (words := [w for w in line.words if start <= (w.x0 + w.x1) / 2 < end])
            ]
            yield from _labelled(box)
            start = end


def _labelled(box: Sequence[TextLine]) -> Iterator[TextLine]:
    at = 0
    while at < len(box):
        line = box[at]
        below = box[at + 1] if at + 1 < len(box) else None
        if below is not None and _is_label(line.text) and re.search(r"\d", below.text):
            yield _beside(line, line.words, below.words)
            at += 2
        else:
            yield line
            at += 1


def _beside(line: TextLine, label: Sequence[Word], value: Sequence[Word]) -> TextLine:
    """A line of a label and what stands below it, as if it stood behind it."""
    move = label[-1].x1 + 0.3 * line.size - value[0].x0
    moved = [dataclasses.replace(word, x0=word.x0 + move, x1=word.x1 + move) for word in value]
    return line.part([*label, *moved])


def _under_labels(lines: Sequence[TextLine]) -> Iterator[TextLine]:
    """Lines, of which a row of labels and the row of values below it become one for each pair."""
    at = 0
    while at < len(lines):
        pairs = _pairs(lines[at], lines[at + 1]) if at + 1 < len(lines) else []
        if pairs:
            yield from pairs
            at += 2
        else:
            yield lines[at]
            at += 1


def _pairs(line: TextLine, below: TextLine) -> list[TextLine]:
    labels, values = line.phrases, below.phrases
    near = line.page == below.page and below.base - line.base <= 2.5 * line.size
    if not near or len(labels) < 2 or not all(_is_label(each.text) for each in labels):
        return []
    if not any(LABEL.match(fold(each.text)) for each in labels):
        return []
    if sum(bool(re.search(r"\d", each.text)) for each in values) * 2 < len(values):
        return []
    over: dict[int, list[Word]] = {}
    for value in values:
        spots = [n for n, each in enumerate(labels) if each.x0 < value.x1 and value.x0 < each.x1]
        if len(spots) != 1:
            return []
        over.setdefault(spots[0], []).extend(value.words)
    alone = [label for n, label in enumerate(labels) if n not in over]
    pairs = [_beside(below, labels[n].words, words) for n, words in sorted(over.items())]
    return [*pairs, *(line.part(label.words) for label in alone)]


def _is_label(text: str) -> bool:
    return not re.search(r"\d", text) and len(text) <= 40 and len(text.split()) <= 5


def _numbers(line: TextLine) -> int:
    return sum(is_numeric(phrase.text) for phrase in line.phrases)


def _is_same(before: Block, block: Block) -> bool:
    """Whether a table on a new page is the one before it: the same head, or the same columns."""
    if before.last is None or block.last is None or before.last.page >= block.last.page:
        return False
    if before.heads == block.heads:
        return True
    alike = len(before.gaps) == len(block.gaps) and all(
        abs(a[0] - b[0]) < 4 and abs(a[1] - b[1]) < 4
        for a, b in zip(before.gaps, block.gaps, strict=True)
    )
    shown = [
        is_numeric(cell.text)
        for cell, role in zip(block.rows[0], before.roles, strict=False)
        if role in ("price", "from", "total")
    ]
    return alike and len(shown) >= 2 and all(shown)


def _is_of_its_own(group: Sequence[tuple[int, Phrase]], phrase: Phrase) -> bool:
    """Whether a phrase begins a statement beside one that is complete."""
    text = "  ".join(each.text for _, each in group)
    complete = re.search(r"\d", text) is not None
    named = LABEL.match(fold(phrase.text)) is not None and re.search(r"\d|:", phrase.text)
    labelled = re.match(r"[^\W\d][^:]{0,30}:(?:\s|$)", phrase.text) is not None
    return complete and (bool(named) or labelled)


# Sentences over several lines


def _in_paragraphs(lines: Sequence[TextLine]) -> Iterator[list[TextLine]]:
    """Lines that were broken only because the page ended at the right, together."""
    for block in _columns(lines):
        right = max(line.words[-1].x1 for line in block)
        full = [_is_full(one, two, right) for one, two in itertools.pairwise(block)]
        is_prose = len(block) >= 3 and sum(full) >= 0.6 * len(full)
        run = [block[0]]
        for line, is_full in zip(block[1:], full, strict=True):
            if is_full and _is_broken(run[-1], line, is_prose=is_prose):
                run.append(line)
            else:
                yield run
                run = [line]
        yield run


def _columns(lines: Sequence[TextLine]) -> Iterator[list[TextLine]]:
    """Runs of lines with one phrase that begin at the same edge, and all others alone."""
    run: list[TextLine] = []
    for line in lines:
        fits = (
            run
            and abs(line.words[0].x0 - run[-1].words[0].x0) <= 3
            and 0 < line.base - run[-1].base <= 1.6 * max(line.size, run[-1].size)
            and abs(line.size - run[-1].size) <= 1
            and len(line.phrases) == len(run[-1].phrases) == 1
        )
        if run and not fits:
            yield run
            run = []
        run.append(line)
    if run:
        yield run


def _is_full(line: TextLine, below: TextLine, right: float) -> bool:
    """Whether the first word of the line below had no room on this one."""
    first = below.words[0]
    return line.words[-1].x1 + 0.25 * line.size + (first.x1 - first.x0) > right - 0.1 * line.size


def _is_broken(line: TextLine, below: TextLine, *, is_prose: bool) -> bool:
    text, start = line.text.rstrip(), below.words[0].text[:1]
    goes_on = CONNECTS.search(fold(text)) is not None
    if text.endswith((".", ":", ";", "!", "?")) and not SHORTENED.search(fold(text)):
        return is_prose and not BEGINS.match(fold(below.text)) and text.endswith(".")
    if start in "-\u2013\u2022*" or _names(below.text) or BEGINS.match(fold(below.text)):
        return goes_on
    if start.isdigit():
        return goes_on or is_prose
    return goes_on or start.islower() or is_prose


def _names(text: str) -> bool:
    """Whether a line begins with a label, such as `Payment:`."""
    labelled = re.match(r"[^\W\d][^:.,]{0,30}:(?:\s|$)", text) is not None
    return labelled or (text[:1].isupper() and LABEL.match(fold(text)) is not None)


def _paragraph(lines: Sequence[TextLine]) -> str:
    text = lines[0].text
    for line in lines[1:]:
        if text.endswith("-") and line.text[:1].islower():
            text = text[:-1] + line.text
        else:
            text = f"{text} {line.text}"
    return text


def _sentences(text: str) -> Iterator[tuple[int, str]]:
    """Each sentence and where it begins."""
    start = 0
    for match in SENTENCE.finditer(text):
        if not SHORTENED.search(fold(text[start : match.start()])):
            yield start, text[start : match.start()]
            start = match.end()
    yield start, text[start:]


# Heads and feet of pages


def without_repeats(
    pages: Sequence[tuple[float, Sequence[TextLine]]],
) -> tuple[list[list[TextLine]], list[TextLine], list[TextLine]]:
    """The lines of each page without those that all pages repeat, these once, and the stamps.

    pages are the height of each and its lines.
    """
    stamps = [
        line
        for high, lines in pages
        for line in lines
        if _at_edge(line, high) and STAMP.fullmatch(line.text)
    ]
    drop = {id(line) for line in stamps}
    seen: dict[tuple[int, str], list[TextLine]] = defaultdict(list)
    for high, lines in pages:
        for line in lines:
            repeats = _numbers(line) < 2 and not _is_head_line(line) and id(line) not in drop
            if repeats and _at_edge(line, high):
                text = PAGED.sub(" ", fold(line.text))
                for spot in {round(line.base / 4), round((line.base + 2) / 4)}:
                    seen[spot, text].append(line)
    again = [lines for lines in seen.values() if len({line.page for line in lines}) >= 2]
    drop |= {id(line) for lines in again for line in lines}
    once: dict[str, TextLine] = {}
    for lines in again:
        once.setdefault(PAGED.sub(" ", fold(lines[0].text)), lines[0])
    kept = [[line for line in lines if id(line) not in drop] for _, lines in pages]
    return kept, list(once.values()), stamps


def _at_edge(line: TextLine, high: float) -> bool:
    return not EDGE * high < line.base < (1 - EDGE) * high
