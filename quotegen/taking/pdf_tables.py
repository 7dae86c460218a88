"""Grids out of words that stand on a page: by drawn rules, or below the words of a head.

A table without rules is known by its head line; a column reaches to the blank that all rows leave
free between it and the next. It ends at the first line that crosses the gaps of its columns.
"""

from __future__ import annotations

import bisect
import dataclasses
import itertools
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from quotegen.basics.place import Place
from quotegen.intake.cells import Cell
from quotegen.taking.figures import NUMBER, Signs, basis_in, quantity_in
from quotegen.taking.heads import role_of
from quotegen.taking.pdf_words import GAP, Phrase, TextLine, Word
from quotegen.taking.words import ON_REQUEST, fold

Row = tuple[Cell, ...]
Blank = tuple[float, float]
LEAST_BLANK = 0.2  # of the size of the letters: what a column leaves free
CROSSED = 0.6  # of the size: words that stand closer together run on across a gap
TIGHT = 1.45  # of the size: lines that stand closer may belong to one row
HEAD_LINES = 3
MOST_ROWS = 2000
MOST_HEAD = 70
MOST_PARTED = 6
NUMERIC = re.compile(rf"\W{{0,3}}{NUMBER}\W{{0,3}}(?:[A-Z]{{3}})?")
NO_SIGNS = Signs()
ENOUGH = {"from", "part", "total", "description"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """The rows of a table, and by which gaps it may go on over the page.

    heads are the texts of its head; last is the last line of it.
    """

    rows: tuple[Row, ...]
    heads: tuple[str, ...] = ()
    gaps: tuple[Blank, ...] = ()
    roles: tuple[str | None, ...] = ()
    last: TextLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The cells of a head, in one line or more, and what each column is for."""

    cells: tuple[tuple[Word, ...], ...]
    lines: tuple[TextLine, ...]
    roles: tuple[str | None, ...]

    @property
    def score(self) -> int:
        return sum(role is not None for role in self.roles)

    def gaps(self) -> list[Blank]:
        edges = [(min(w.x0 for w in cell), max(w.x1 for w in cell)) for cell in self.cells]
        return [(edges[at][0], edges[at + 1][1]) for at in range(len(edges) - 1)]


def is_numeric(text: str) -> bool:
    return NUMERIC.fullmatch(text) is not None


def joined(words: Sequence[Word]) -> str:
    """The text of a cell; numbers that stand apart are never run together."""
    shown = ""
    last: Word | None = None
    for word in sorted(words, key=lambda each: (each.base, each.x0)):
        apart = last is not None and (
            word.x0 - last.x1 > GAP * word.size or abs(word.base - last.base) > 0.3 * word.size
        )
        broken = last is not None and word.base - last.base > 0.3 * word.size
        if broken and re.search(r"\w-$", shown):
            shown = shown[:-1] if word.text[:1].islower() else shown
        elif last is not None:
            both = shown[-1:].isdigit() and re.match(r"\W{0,2}\d", word.text) is not None
            shown += " | " if apart and both else " "
        shown += word.text
        last = word
    return shown


def cell_of(path: str, page: int, line: int, column: int, words: Sequence[Word]) -> Cell:
    return Cell(text=joined(words), place=Place(path, line, column, page=page))


# Heads


def head_at(lines: Sequence[TextLine], at: int) -> Head | None:
    """The head of a table that begins in this line, over as many lines as belong to it."""
    best: Head | None = None
    for count in range(1, HEAD_LINES + 1):
        run = lines[at : at + count]
        if len(run) < count or (count > 1 and not _goes_on(run)):
            break
        head = _head(run)
        if len(head.cells) >= 2 and _is_head(head, lines[at + count :]):
            keeps = best is None or _needed(best) <= _needed(head)
            best = head if keeps else best
    return best


def _needed(head: Head) -> set[str]:
    return {role for role in head.roles if role}


def _goes_on(run: Sequence[TextLine]) -> bool:
    """Whether the last line can still be of a head: close to the one above, without values."""
    line, above = run[-1], run[-2]
    if line.page != above.page or line.base - above.base > TIGHT * max(line.size, above.size):
        return False
    columns = _head(run[:-1]).cells
    return all(_may_go_on(phrase, columns) for phrase in line.phrases)


def _may_go_on(phrase: Phrase, columns: Sequence[Sequence[Word]]) -> bool:
    text = phrase.text
    if ON_REQUEST.match(fold(text)):
        return False
    if not re.search(r"\d", text):
        return True
    over = [joined(each) for each in columns if each[0].x0 < phrase.x1 and phrase.x0 < each[-1].x1]
    begun = any(
        each.count("(") > each.count(")")
        or re.search(r"\b(?:per|je|pro|par|za|voor|for)$|/$", each)
        for each in over
    )
    return begun or (basis_in(text) is not None and not is_numeric(text))


def _head(run: Sequence[TextLine]) -> Head:
    columns: list[list[Phrase]] = []
    for line in run:
        for phrase in line.phrases:
            over = [each for each in columns if _overlap(each, phrase)]
            if over:
                over[0].append(phrase)
                for other in over[1:]:
                    over[0].extend(other)
                    columns.remove(other)
            else:
                columns.append([phrase])
    columns.sort(key=lambda each: min(phrase.x0 for phrase in each))
    cells = tuple(tuple(word for phrase in each for word in phrase.words) for each in columns)
    roles = tuple(role_of(joined(cell), {}) for cell in cells)
    return Head(cells=cells, lines=tuple(run), roles=roles)


def _overlap(column: Sequence[Phrase], phrase: Phrase) -> bool:
    return any(phrase.x0 < each.x1 and each.x0 < phrase.x1 for each in column)


def _is_head(head: Head, below: Sequence[TextLine]) -> bool:
    roles = {role for role in head.roles if role}
    texts = [joined(cell) for cell in head.cells]
    if any(len(text) > MOST_HEAD for text in texts):
        return False
    bare = [t for t, role in zip(texts, head.roles, strict=True) if role is None]
    counts = [found.readings[0] for t in bare if (found := quantity_in(t, NO_SIGNS)) is not None]
    rising = len(counts) >= 2 and all(a < b for a, b in itertools.pairwise(counts))
    if rising and roles & {"part", "price", "description"}:
        return True
    if head.roles[0] == "from" and counts and len(counts) == len(texts) - 1:
        return any(_is_of(line, "price") for line in below[:4])
    return (
        {"price", "total"} & roles != set()
        and ENOUGH & roles != set()
        and len(counts) < 2
        and (head.score >= 2)
    )


def _is_of(line: TextLine, role: str) -> bool:
    return role_of(line.phrases[0].text, {}) == role


# Rows below a head


@dataclass(slots=True)
class Growing:
    """A table to which lines are added as long as all its gaps stay free."""

    path: str
    heads: tuple[str, ...]
    roles: tuple[str | None, ...]
    gaps: list[Blank]
    lines: list[TextLine] = field(default_factory=list)

    def takes(self, line: TextLine) -> bool:
        """Adds a line, unless it crosses a gap; whether it did."""
        if len(self.lines) >= MOST_ROWS:
            return False
        gaps = [_left(gap, line) for gap in self.gaps]
        if any(gap is None for gap in gaps) or _runs_on(line, gaps):
            return False
        self.gaps = [gap for gap in gaps if gap is not None]
        self.lines.append(line)
        return True

    def cells(self, words: Sequence[Word]) -> list[list[Word]]:
        """The words of a line by column."""
        found: list[list[Word]] = [[] for _ in range(len(self.gaps) + 1)]
        for word in words:
            middle = (word.x0 + word.x1) / 2
            found[sum(middle > (low + high) / 2 for low, high in self.gaps)].append(word)
        return found


def _left(gap: Blank, line: TextLine) -> Blank | None:
    """The widest part of a gap that a line leaves free."""
    low, high = gap
    edges = [low]
    for word in line.words:
        if word.x1 > low and word.x0 < high:
            edges += [max(low, word.x0), min(high, word.x1)]
    edges.append(high)
    blanks = [(edges[at], edges[at + 1]) for at in range(0, len(edges), 2)]
    widest = max(blanks, key=lambda each: each[1] - each[0])
    return widest if widest[1] - widest[0] >= LEAST_BLANK * line.size else None


def _runs_on(line: TextLine, gaps: Sequence[Blank | None]) -> bool:
    """Whether words stand so close across a gap that they are one sentence."""
    for gap in gaps:
        if gap is None:
            return True
        middle = (gap[0] + gap[1]) / 2
        left = [word for word in line.words if (word.x0 + word.x1) / 2 <= middle]
        right = [word for word in line.words if (word.x0 + word.x1) / 2 > middle]
        if left and right and right[0].x0 - left[-1].x1 < CROSSED * line.size:
            return True
    return False


def grown(path: str, head: Head, lines: Sequence[TextLine], at: int) -> tuple[Head, Growing]:
    """The table below a head, whose lines begin at a number; the head as its rows part it."""
    for _ in range(MOST_PARTED):
        heads = tuple(joined(cell) for cell in head.cells)
        table = Growing(path=path, heads=heads, roles=head.roles, gaps=head.gaps())
        for line in head.lines:
            table.gaps = [_left(gap, line) or gap for gap in table.gaps]
        _add(table, lines, at)
        parted = _parted(head, table)
        if parted is None:
            break
        head = parted
    return head, table


def _parted(head: Head, table: Growing) -> Head | None:
    """The head with a cell cut in two, where its column holds two numbers in every row."""
    if len(head.lines) > 1:
        return None
    rows = [table.cells(line.words) for line in table.lines]
    for column, words in enumerate(head.cells):
        blank = _between([row[column] for row in rows if row[column]])
        spots = range(1, len(words)) if blank is not None else ()
        for count in sorted(spots, key=lambda at: _away(words[at - 1 : at + 1], blank)):
            roles = [role_of(joined(half), {}) for half in (words[:count], words[count:])]
            if all(roles):
                cells = (*head.cells[:column], words[:count], words[count:],
                         *head.cells[column + 1 :])  # fmt: skip
                known = (*head.roles[:column], *roles, *head.roles[column + 1 :])
                return dataclasses.replace(head, cells=cells, roles=known)
    return None


def _between(cells: Sequence[Sequence[Word]]) -> Blank | None:
    """The blank between two numbers that every cell of a column holds."""
    low, high = 0.0, float("inf")
    for words in cells:
        apart = [at for at in range(1, len(words))
                 if words[at].x0 - words[at - 1].x1 > GAP * words[at].size]  # fmt: skip
        if len(apart) != 1 or not all(map(is_numeric, joined(words).split(" | "))):
            return None
        low, high = max(low, words[apart[0] - 1].x1), min(high, words[apart[0]].x0)
    return (low, high) if cells and low < high else None


def _away(words: Sequence[Word], blank: Blank | None) -> float:
    """How far the blank between two words of a head lies from one of its rows."""
    middle = (words[0].x1 + words[1].x0) / 2
    low, high = blank or (middle, middle)
    return max(low - middle, middle - high, 0.0)


def sides_of(head: Head) -> float | None:
    """Where two tables that stand side by side part: their heads say the same twice."""
    count = len(head.cells) // 2
    twice = len(head.cells) == 2 * count and count >= 2
    if not twice or head.roles[:count] != head.roles[count:] or None in head.roles:
        return None
    left = max(word.x1 for word in head.cells[count - 1])
    right = min(word.x0 for word in head.cells[count])
    return (left + right) / 2


def _add(table: Growing, lines: Sequence[TextLine], at: int) -> None:
    while at < len(lines) and head_at(lines, at) is None and table.takes(lines[at]):
        at += 1
    while table.lines and _is_tail(table, table.lines[-1]):
        table.lines.pop()


def _is_tail(table: Growing, line: TextLine) -> bool:
    """A last line with words in its first column only is a sentence of its own, by its distance."""
    filled = [bool(cell) for cell in table.cells(line.words)]
    if sum(filled) != 1 or len(table.lines) < 2:
        return sum(filled) == 1
    above = table.lines[-2]
    return line.base - above.base > TIGHT * max(line.size, above.size)


def continued(path: str, block: Block, lines: Sequence[TextLine], at: int) -> Growing | None:
    """The table going on at the top of a page without its head; None where it does not."""
    table = Growing(path=path, heads=block.heads, roles=block.roles, gaps=list(block.gaps))
    first = table.cells(lines[at].words)
    shown = [is_numeric(joined(cell)) for cell, role in zip(first, block.roles, strict=True)
             if role in ("price", "from", "total") and cell]  # fmt: skip
    if len(shown) < 2 or not all(shown):
        return None
    _add(table, lines, at)
    return table if table.lines else None


def rows_of(table: Growing, page: int) -> list[Row]:
    """The rows of a grown table; lines that only go on with a cell join the row above."""
    found: list[tuple[TextLine, list[list[Word]]]] = []
    pitch = _pitch(table)
    for line in table.lines:
        cells = table.cells(line.words)
        if found and _is_rest(table, found[-1], line, cells, pitch):
            for here, more in zip(found[-1][1], cells, strict=True):
                here.extend(more)
            found[-1] = (dataclasses.replace(found[-1][0], words=line.words), found[-1][1])
        else:
            found.append((line, [list(cell) for cell in cells]))
    return [
        tuple(
            cell_of(table.path, page, line.number, column, cell)
            for column, cell in enumerate(cells, 1)
        )
        for line, cells in found
    ]


def _pitch(table: Growing) -> float:
    """How far rows with numbers stand from each other, at the least."""
    full = [line.base for line in table.lines if _is_full(table, line)]
    return min((b - a for a, b in itertools.pairwise(full)), default=0.0)


def _is_full(table: Growing, line: TextLine) -> bool:
    cells = table.cells(line.words)
    roles = [role for role, cell in zip(table.roles, cells, strict=True) if cell]
    return any(role in ("price", "from", "total") for role in roles) and len(roles) >= 2


def _is_rest(
    table: Growing, above: tuple[TextLine, list[list[Word]]], line: TextLine,
    cells: Sequence[Sequence[Word]], pitch: float,
) -> bool:  # fmt: skip
    """Whether a line only goes on with words of the row above."""
    step = line.base - above[0].base
    if step > TIGHT * max(line.size, above[0].size) or not _has_row(table, above[1]):
        return False
    for role, here, before in zip(table.roles, cells, above[1], strict=True):
        if here and (role in ("price", "from", "total", "basis") or not before):
            return False
        named = role == "part" and any(re.search(r"\d", word.text) for word in here)
        if here and named and not (pitch and step < 0.85 * pitch):
            return False
    return True


def _has_row(table: Growing, cells: Sequence[Sequence[Word]]) -> bool:
    return any(
        cell and role in ("price", "from", "total")
        for role, cell in zip(table.roles, cells, strict=True)
    )


def block_of(table: Growing, head: Head | None, page: int) -> Block:
    """A grown table as rows, its head first."""
    rows = rows_of(table, page)
    if head is not None:
        number = head.lines[0].number
        shown = tuple(
            cell_of(table.path, page, number, column, cell)
            for column, cell in enumerate(head.cells, 1)
        )
        rows = [shown, *rows]
    return Block(
        rows=tuple(rows), heads=table.heads, gaps=tuple(table.gaps), roles=table.roles,
        last=table.lines[-1],
    )  # fmt: skip


# Ruled tables

Rule = tuple[float, float, float, float]
SNAP = 3.0  # points within which rules are one
MOST_EDGES = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruled:
    """Where the rules of a table stand, and which of its inner ones are drawn."""

    xs: tuple[float, ...]
    ys: tuple[float, ...]
    upright: Mapping[float, tuple[Rule, ...]]

    def holds(self, word: Word) -> bool:
        middle = (word.x0 + word.x1) / 2
        y = word.base - 0.3 * word.size
        return self.xs[0] <= middle <= self.xs[-1] and self.ys[0] <= y <= self.ys[-1]

    def is_parted(self, x: float, low: float, high: float) -> bool:
        """Whether a rule parts two columns of a row."""
        y = (low + high) / 2
        return any(rule[1] - SNAP <= y <= rule[3] + SNAP for rule in self.upright[x])


def ruled_in(rules: Sequence[Rule]) -> Iterator[Ruled]:
    """Tables of two columns or more whose rules touch each other, from the top down."""
    for group in _touching(sorted(set(rules), key=lambda each: (each[1], each[0]))):
        upright = [r for r in group if r[2] - r[0] <= SNAP and r[3] - r[1] > SNAP]
        level = [r for r in group if r[3] - r[1] <= SNAP and r[2] - r[0] > SNAP]
        xs, ys = _snapped([r[0] for r in upright]), _snapped([r[1] for r in level])
        if 3 <= len(xs) <= MOST_EDGES and 2 <= len(ys) <= MOST_ROWS:
            by_x: dict[float, list[Rule]] = {x: [] for x in xs}
            for rule in upright:
                by_x[xs[bisect.bisect_right(xs, rule[0]) - 1]].append(rule)
            known = {x: tuple(each) for x, each in by_x.items()}
            yield Ruled(xs=xs, ys=ys, upright=known)


def _touching(rules: Sequence[Rule]) -> list[list[Rule]]:
    """Rules, sorted by their upper ends, in groups that touch each other."""
    leads = list(range(len(rules)))

    def lead(at: int) -> int:
        while leads[at] != at:
            leads[at] = leads[leads[at]]
            at = leads[at]
        return at

    active: list[int] = []
    for number, rule in enumerate(rules):
        active = [at for at in active if rules[at][3] + SNAP >= rule[1] - SNAP]
        for at in active:
            if _touch(rule, rules[at]):
                leads[lead(at)] = lead(number)
        active.append(number)
    groups: dict[int, list[Rule]] = {}
    for number, rule in enumerate(rules):
        groups.setdefault(lead(number), []).append(rule)
    return list(groups.values())


def _touch(one: Rule, two: Rule) -> bool:
    """Whether two rules meet, a snap allowed for each."""
    across = one[0] - SNAP <= two[2] and two[0] - SNAP <= one[2]
    return across and one[1] - SNAP <= two[3] and two[1] - SNAP <= one[3]


def _snapped(spots: Sequence[float]) -> tuple[float, ...]:
    found: list[float] = []
    for spot in sorted(spots):
        if not found or spot - found[-1] > SNAP:
            found.append(spot)
    return tuple(found)


def ruled_block(path: str, ruled: Ruled, lines: Sequence[TextLine]) -> Block | None:
    """The rows of a ruled table; lines is what stands inside it."""
    rows: list[Row] = []
    for top, low in zip(ruled.ys, ruled.ys[1:], strict=False):
        inside = [line for line in lines if top <= line.base - 0.3 * line.size < low]
        if inside:
            rows += _ruled_rows(path, ruled, inside, (top, low))
    if not rows or max(sum(bool(cell.text) for cell in row) for row in rows) < 2:
        return None
    heads = tuple(cell.text for cell in rows[0])
    roles = tuple(role_of(text, {}) for text in heads)
    gaps = tuple((x - 0.5, x + 0.5) for x in ruled.xs[1:-1])
    return Block(rows=tuple(rows), heads=heads, gaps=gaps, roles=roles, last=lines[-1])


def _ruled_rows(path: str, ruled: Ruled, inside: Sequence[TextLine], band: Blank) -> Iterator[Row]:
    """One row of cells; one for each line where numbers stand below each other in one cell."""
    ends = [x for x in ruled.xs[1:-1] if ruled.is_parted(x, *band)] + [ruled.xs[-1]]
    by_line = [(line, _by_end(line, ends)) for line in inside]
    counts = [
        sum(is_numeric(joined(cells[at])) for _, cells in by_line if cells[at])
        for at in range(len(ends))
    ]
    groups = [by_line]
    if max(counts) >= 2:
        groups = _each_row(by_line)
    for group in groups:
        words = [[word for _, cells in group for word in cells[at]] for at in range(len(ends))]
        yield _spread(path, ruled, ends, words, group[0][0])


ByLine = list[tuple[TextLine, list[list[Word]]]]


def _each_row(by_line: ByLine) -> list[ByLine]:
    """The lines of one tall cell as rows: each that shows a number begins one."""
    groups: list[ByLine] = []
    for line, cells in by_line:
        begins = any(is_numeric(joined(cell)) for cell in cells if cell)
        if begins or not groups:
            groups.append([(line, cells)])
        else:
            groups[-1].append((line, cells))
    return groups


def _by_end(line: TextLine, ends: Sequence[float]) -> list[list[Word]]:
    found: list[list[Word]] = [[] for _ in ends]
    for word in line.words:
        middle = (word.x0 + word.x1) / 2
        found[min(sum(middle > end for end in ends), len(ends) - 1)].append(word)
    return found


def _spread(
    path: str, ruled: Ruled, ends: Sequence[float], words: Sequence[Sequence[Word]], line: TextLine
) -> Row:
    """The cells of a row under all columns; one that spans several is followed by blank ones."""
    row: list[Cell] = []
    for end, cell in zip(ends, words, strict=True):
        first = len(row) + 1
        until = ruled.xs.index(end)
        made = cell_of(path, line.page, line.number, first, cell)
        span = until - len(row)
        row.append(dataclasses.replace(made, spans=(1, span)))
        covered = dataclasses.replace(made, covered=True)
        row += [covered] * (span - 1)
    return tuple(row)
