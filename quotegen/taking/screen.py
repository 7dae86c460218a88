"""What a person sees in a terminal: lines of the file around a place, questions, facts."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from typing import Any

from quotegen.basics.place import Place
from quotegen.basics.visible import visible
from quotegen.intake.cells import Cell
from quotegen.intake.yaml_tree import Keys, in_words
from quotegen.taking.fact import Ask
from quotegen.taking.form import flow
from quotegen.taking.seen import Seen

WIDTH = 80
AROUND = 2
SHORTEST = 30  # columns of the screen; fewer cannot show a question
LONGEST_CELL = 24
CUT = "\N{HORIZONTAL ELLIPSIS}"

Row = tuple[str, tuple[str, ...], int]  # its number in the file, its texts, which one is meant


def lines_around(seen: Seen, place: Place, width: int = WIDTH) -> tuple[str, ...]:
    """What stands around a place of the file, each row with its number, the place marked."""
    rows, here = _rows_around(seen, place)
    longest = max((len(label) for label, _, _ in rows), default=0)
    shown = []
    for at, (label, texts, meant) in enumerate(rows):
        mark = ">" if at == here else " "
        head = f"  {mark} {label:>{longest}}  " if longest else f"  {mark} "
        shown.append(head + _row(texts, meant if at == here else -1, width - len(head)))
    return tuple(shown)


def _rows_around(seen: Seen, place: Place) -> tuple[list[Row], int]:
    for part in (seen, *seen.parts):
        for sheet in part.sheets:
            for number, row in enumerate(sheet.grid.rows):
                if any(cell.place == place for cell in row):
                    first = max(0, number - AROUND)
                    near = sheet.grid.rows[first : number + AROUND + 1]
                    return [_of_cells(each, place) for each in near], number - first
        for number, line in enumerate(part.lines):
            if line.place == place:
                first = max(0, number - AROUND)
                lines = part.lines[first : number + AROUND + 1]
                return [(_label(each.place), (each.text,), -1) for each in lines], number - first
    return [], 0


def _of_cells(row: Sequence[Cell], place: Place) -> Row:
    """A row less the cells that a merged one covers; of several columns the one that is meant."""
    cells = [cell for cell in row if not cell.covered]
    while cells and cells[-1].is_blank and cells[-1].place != place:
        cells.pop()
    meant = next((at for at, cell in enumerate(cells) if cell.place == place), -1)
    label = _label(cells[0].place) if cells else ""
    return label, tuple(cell.text for cell in cells), meant if len(cells) > 1 else -1


def _label(place: Place) -> str:
    """The number of a row, a line or a page."""
    if place.cell is not None:
        return "".join(re.findall(r"\d+$", place.cell))
    if place.page is not None:
        return f"page {place.page}" + (f", line {place.line}" if place.line is not None else "")
    return str(place.line) if place.line is not None else ""


def _row(texts: Sequence[str], meant: int, width: int) -> str:
    """The cells of a row on one line of the screen, the one that is meant in brackets."""
    plain = [" ".join(visible(text).split()) for text in texts]
    if meant >= 0:
        plain[meant] = f"[{plain[meant]}]"
    whole = " | ".join(plain)
    if wide(whole) <= width:
        return whole
    if len(plain) == 1:
        return cut(whole, width)
    short = [cut(text, LONGEST_CELL) for text in plain]
    first, last = max(meant, 0), max(meant, 0) + 1
    while first > 0 or last < len(short):
        before, after = max(0, first - 1), min(len(short), last + 1)
        grown = next(
            (
                (low, high)
                for low, high in ((before, after), (first, after), (before, last))
                if (low, high) != (first, last) and wide(_part(short, low, high)) <= width
            ),
            None,
        )
        if grown is None:
            break
        first, last = grown
    return cut(_part(short, first, last), width)


def _part(texts: Sequence[str], first: int, last: int) -> str:
    shown = [CUT] if first else []
    return " | ".join([*shown, *texts[first:last], *([CUT] if last < len(texts) else [])])


def wide(text: str) -> int:
    """The columns of a terminal that a text takes."""
    return sum(
        2 if unicodedata.east_asian_width(mark) in "WF" else 0 if unicodedata.combining(mark) else 1
        for mark in text
    )


def cut(text: str, width: int) -> str:
    """The text, or its beginning and a mark that it goes on."""
    if wide(text) <= width:
        return text
    while text and wide(text) > width - 1:
        text = text[:-1]
    return text + CUT


def wrapped(
    text: str, width: int = WIDTH, indent: str = "", *, breaks_words: bool = True
) -> list[str]:
    """A text on as many lines as it needs; further ones are indented."""
    lines: list[str] = []
    line = ""
    for word in re.findall(r"\s*\S+", visible(text)):
        if line.strip() and wide(line + word) > width:
            lines.append(line)
            line = indent + word.lstrip()
        else:
            line += word
        while breaks_words and wide(line) > width:
            head = cut(line, width)[:-1]
            lines.append(head)
            line = indent + line[len(head) :]
    return [*lines, line]


def called(keys: Keys, parts: Sequence[str]) -> str:
    """How a person calls a field: an item by its part, where the part is known."""
    if keys[0] == "items" and len(keys) > 2 and isinstance(keys[1], int):
        part = parts[keys[1]] if keys[1] < len(parts) else ""
        return f"{part or f'item {keys[1] + 1}'}: {in_words(keys[2:])}"
    if keys[0] == "layout":
        return f"how the file is read: {in_words(keys[1:])}"
    return in_words(keys)


def said(value: Any) -> str:
    """A value as a person reads it: a price by its quantity, a group without its brackets."""
    if isinstance(value, dict) and set(value) == {"from", "price"}:
        return f"from {value['from']}: {value['price']}"
    if isinstance(value, dict):
        return ", ".join(f"{key}: {inner}" for key, inner in value.items())
    if isinstance(value, (list, tuple)):
        return "; ".join(said(each) for each in value)
    return flow(value).strip('"')


def question(ask: Ask, seen: Seen, choices: Sequence[Any], head: str, width: int) -> list[str]:
    """A question with the lines around it, without the line on which it is answered."""
    around = lines_around(seen, ask.place, width)
    shown = " ".join(visible(ask.seen).split())
    if shown and not any(cut(shown, LONGEST_CELL - 1).rstrip(CUT) in line for line in around):
        around = (*around, cut(f"  > {shown}", width))
    return ["", *wrapped(head, width, "  "), *around, *again(ask, choices, width)]


def again(ask: Ask, choices: Sequence[Any], width: int) -> list[str]:
    """What is asked and the readings there are."""
    lines = wrapped(ask.ask, width)
    for number, choice in enumerate(choices, 1):
        lines += wrapped(f"  {number}  {said(choice)}", width, "     ")
    return lines


def _spot(place: Place) -> str:
    """A place without its file."""
    if place.cell is not None:
        return place.cell
    if place.line is not None and place.page is None:
        return f"line {place.line}"
    return str(place).removeprefix(f"{place.path}:") if str(place) != place.path else ""


def listed(
    entries: Sequence[tuple[Keys, Any, Place | None, str]], parts: Sequence[str], width: int
) -> Iterator[str]:
    """Numbered values, each with its place and the text as written; no place for an answer."""
    names = [called(keys, parts) for keys, *_ in entries]
    for number, ((_, value, place, seen), name) in enumerate(zip(entries, names, strict=True), 1):
        where = "as you answered"
        if place is not None:
            text = " ".join(visible(seen).split())
            where = ", ".join(
                each
                for each in (_spot(place), cut(text, 40) if text != said(value) else "")
                if each
            )
        where = f"  ({where})" if where else ""
        yield from wrapped(f"{number:>3}  {name}: {said(value)}{where}", width, "       ")
