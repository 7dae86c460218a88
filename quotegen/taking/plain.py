"""Plain text as seen: lines, and blocks of columns that are tables in all but name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from quotegen.basics.place import Place
from quotegen.intake.cells import MOST_COLUMNS, MOST_ROWS, Cell, Grid
from quotegen.intake.csv_table import decoded
from quotegen.intake.files import RawFile, refuse_other_kinds
from quotegen.taking.seen import Line, Remark, Seen, Sheet

MOST_LINES = MOST_ROWS
MOST_LETTERS = 400_000
LONGEST_LINE = 2000
LEAD_IN = 3  # so many lines above a table may say what it is of
_GAPS = re.compile(r"\t+| {2,}|\s*\|\s*")


def see_plain(raw: RawFile, record: str) -> Seen:
    """Raises Refused: file-kind, charset-wrong."""
    refuse_other_kinds(raw, "plain text", record)
    text, notices = decoded(raw, None, record)
    sheets, lines, remarks = tables_and_lines(text, raw.place)
    told = [Remark(text=each.message, place=each.place) for each in notices]
    return Seen(
        kind="notes", place=raw.place, sheets=sheets, lines=lines, remarks=(*told, *remarks)
    )


def tables_and_lines(
    text: str, file: Place
) -> tuple[tuple[Sheet, ...], tuple[Line, ...], tuple[Remark, ...]]:
    """Blocks of two rows or more with two gaps or more become sheets, the rest lines."""
    shown = text[:MOST_LETTERS].splitlines()
    remarks = list(_beyond(text, shown, file))
    sheets: list[Sheet] = []
    lines: list[Line] = []
    block: list[tuple[int, str]] = []
    for number, whole in enumerate([*shown[:MOST_LINES], ""], 1):
        line = whole[:LONGEST_LINE]
        if _is_row(line):
            block.append((number, line))
            continue
        _close(block, file, sheets, lines)
        block = []
        if line.strip():
            lines.append(_line(line, number, file))
    return tuple(sheets), tuple(lines), tuple(remarks)


def _beyond(text: str, shown: Sequence[str], file: Place) -> Iterator[Remark]:
    """What of a text is not read: nobody should believe that it was."""
    if len(text) > MOST_LETTERS:
        told = f"Only the first {MOST_LETTERS:,} letters are read."
        yield Remark(text=told, place=file, is_matter=True)
    if len(shown) > MOST_LINES:
        told = f"Only the first {MOST_LINES:,} lines are read."
        yield Remark(text=told, place=file, is_matter=True)
    longer = [number for number, line in enumerate(shown, 1) if len(line) > LONGEST_LINE]
    if longer:
        told = (
            f"{len(longer):,} lines are longer than {LONGEST_LINE:,} letters, of which only the "
            f"first are read; line {longer[0]} is one."
        )
        yield Remark(text=told, place=Place(file.path, longer[0], 1), is_matter=True)


def _is_row(line: str) -> bool:
    return 2 <= len(_cells(line)) <= MOST_COLUMNS and not line.lstrip().startswith(">")


def _cells(line: str) -> list[str]:
    return [part.strip(" *") for part in _GAPS.split(line.strip().strip("|").strip())]


def _close(
    block: list[tuple[int, str]], file: Place, sheets: list[Sheet], lines: list[Line]
) -> None:
    first = block[0][0] if block else 0
    above = " ".join(each.text for each in lines[-2:] if first - (each.place.line or 0) <= LEAD_IN)
    rows = [(number, line) for number, line in block if not re.fullmatch(r"[\s|:+=-]*", line)]
    if len(rows) < 2:
        lines += [_line(line, number, file) for number, line in rows]
        return
    cells = tuple(
        tuple(
            Cell(
                text=text,
                place=Place(file.path, number, max(1, line.find(text) + 1)),
            )
            for text in _cells(line)
        )
        for number, line in rows
    )
    sheets.append(Sheet(title=above, grid=Grid(place=file, rows=cells, is_typed=False)))


def _line(text: str, number: int, file: Place) -> Line:
    quoted = text.lstrip().startswith(">")
    shown = re.sub(r"^\s*(?:[-*#\u2022]+\s+)", "", text).strip()
    return Line(text=shown, place=Place(file.path, number, 1), quoted=quoted)
