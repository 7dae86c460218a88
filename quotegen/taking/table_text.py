"""A CSV or TSV file as seen: its character set by a ladder, its delimiter by a score."""

from __future__ import annotations

from collections import Counter

from quotegen.basics.problem import Problem
from quotegen.intake.csv_table import Rows, decoded, grid_of, split
from quotegen.intake.files import RawFile, Refused, refuse_other_kinds
from quotegen.model.fields import Delimiter
from quotegen.taking.seen import Remark, Seen, Sheet

SAMPLE = 400  # lines that tell the delimiter of a long file


def see_table(raw: RawFile, record: str, charset: str | None = None) -> Seen:
    """Raises Refused: file-kind, charset-wrong, csv-broken, table-too-large."""
    refuse_other_kinds(raw, "a CSV file", record)
    text, notices = decoded(raw, charset, record)
    rows = best_rows(raw, text, record)
    remarks = [Remark(text=each.message, place=each.place) for each in notices]
    remarks += [Remark(text=told, place=raw.place, is_matter=True) for told in _unsure(rows, text)]
    sheet = Sheet(title="", grid=grid_of(raw, rows))
    return Seen(kind="table", place=raw.place, sheets=(sheet,), remarks=tuple(remarks))


def best_rows(raw: RawFile, text: str, record: str) -> Rows:
    """The rows under the delimiter that gives most rows of one width, of two cells or more.

    A first line `sep=;` decides. Raises Refused where no delimiter leaves the text whole.
    """
    first = text.partition("\n")[0].strip()
    if len(first) == len("sep=;") and first.startswith("sep="):
        rows, problem = split(raw, text, first[-1], record)
        return _whole(rows, problem)[1:]
    sample = _first_lines(text)
    if sample != text:
        marks = [each.mark for each in Delimiter]
        best = max(marks, key=lambda mark: score(split(raw, sample, mark, record)[0]))
        return _whole(*split(raw, text, best, record))
    tried = [split(raw, text, each.mark, record) for each in Delimiter]
    whole = [rows for rows, problem in tried if problem is None]
    if not whole:
        return _whole(*max(tried, key=lambda each: score(each[0])))
    return max(whole, key=score)


def _first_lines(text: str) -> str:
    """Enough of a text to tell its delimiter by: all of a short one."""
    at = -1
    for _ in range(SAMPLE):
        at = text.find("\n", at + 1)
        if at < 0:
            return text
    return text[: at + 1]


def _whole(rows: Rows, problem: Problem | None) -> Rows:
    if problem is not None:
        raise Refused(problem)
    return rows


def score(rows: Rows) -> float:
    """The share of rows of the commonest width, times that width less one."""
    widths = Counter(len(cells) for _, cells in rows if any(cells))
    if not widths:
        return 0
    width, count = max(widths.items(), key=lambda each: (each[1] * (each[0] - 1), each[0]))
    return count / sum(widths.values()) * (width - 1)


def _unsure(rows: Rows, text: str) -> list[str]:
    """What a person should look at: one column of numbers with commas may be two."""
    widths = Counter(len(cells) for _, cells in rows if any(cells))
    told = []
    if "\N{REPLACEMENT CHARACTER}" in text:
        told.append("Some letters of the file are lost; compare it with the original.")
    common = max(widths, key=lambda width: widths[width], default=1)
    wide = [
        line
        for line, cells in rows
        if len(cells) > common > 2 and len([c for c in cells if c]) > common
    ]
    told += [
        f"Line {line} has more cells than the other rows: a delimiter may stand inside a number."
        for line in wide[:5]
    ]
    return told
