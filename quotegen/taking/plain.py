"""Plain text as seen: lines, and blocks of columns that are tables in all but name."""

from __future__ import annotations

import re

from quotegen.basics.place import Place
from quotegen.intake.cells import MOST_ROWS, Cell, Grid
from quotegen.intake.csv_table import decoded
from quotegen.intake.files import RawFile, refuse_other_kinds
from quotegen.taking.seen import Line, Remark, Seen, Sheet

MOST_LINES = MOST_ROWS
LONGEST_LINE = 2000
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
    shown = text.splitlines()
    remarks = []
    if len(shown) > MOST_LINES:
        told = f"Only the first {MOST_LINES:,} lines are read."
        remarks.append(Remark(text=told, place=file, is_matter=True))
    sheets: list[Sheet] = []
    lines: list[Line] = []
    block: list[tuple[int, str]] = []
    for number, line in enumerate([*shown[:MOST_LINES], ""], 1):
        if _is_row(line):
            block.append((number, line))
            continue
        _close(block, file, sheets, lines)
        block = []
        if line.strip():
            lines.append(_line(line, number, file))
    return tuple(sheets), tuple(lines), tuple(remarks)


def _is_row(line: str) -> bool:
    return len(_cells(line)) >= 2 and not line.lstrip().startswith(">")


def _cells(line: str) -> list[str]:
    return [part.strip(" *") for part in _GAPS.split(line.strip().strip("|").strip())]


def _close(
    block: list[tuple[int, str]], file: Place, sheets: list[Sheet], lines: list[Line]
) -> None:
    rows = [(number, line) for number, line in block if not re.fullmatch(r"[\s|:+=-]*", line)]
    if len(rows) < 2:
        lines += [_line(line, number, file) for number, line in rows]
        return
    cells = tuple(
        tuple(
            Cell(
                text=text[:LONGEST_LINE],
                place=Place(file.path, number, max(1, line.find(text) + 1)),
            )
            for text in _cells(line)
        )
        for number, line in rows
    )
    sheets.append(Sheet(title="", grid=Grid(place=file, rows=cells, is_typed=False)))


def _line(text: str, number: int, file: Place) -> Line:
    quoted = text.lstrip().startswith(">")
    shown = re.sub(r"^\s*(?:[-*#\u2022]+\s+)", "", text).strip()
    return Line(text=shown[:LONGEST_LINE], place=Place(file.path, number, 1), quoted=quoted)
