"""Which request a form answers: the facts inside it, read back and believed only as written."""

from __future__ import annotations

import json
from typing import NoReturn

from quotegen.asking.form import (
    ABILITIES,
    FACTS,
    FORM,
    FORM_NAME,
    MOST_LINES,
    Facts,
    Held,
    seal_of,
)
from quotegen.basics.place import Place
from quotegen.basics.problem import Problem
from quotegen.intake.files import RawFile, Refused, is_name
from quotegen.intake.xlsx_table import NamedSheets
from quotegen.model.text import MOST

LONGEST = 2000
Rows = list[tuple[str, str]]


def form_in(sheets: NamedSheets) -> str | None:
    """What our defined name says of the form's kind; None in a workbook of somebody else."""
    if FORM_NAME not in sheets.names or FACTS not in sheets.grids:
        return None
    return next((value for key, value in _rows(sheets) if key == "form"), "")


def facts_in(raw: RawFile, sheets: NamedSheets) -> Facts:
    """Raises Refused, answer-not-ours, where a line was changed or is none that we would write."""
    rows = _rows(sheets)
    told, seal = rows[:-1], rows[-1] if rows else ("", "")
    if len(rows) > 4 * MOST_LINES + 10:
        _refuse(raw, "more lines than a form has")
    if seal != ("seal", seal_of(told)):
        _refuse(raw, "a line of its hidden sheet was changed or is missing")
    try:
        return _believed(told)
    except (ValueError, KeyError, TypeError, RecursionError):
        _refuse(raw, "its hidden sheet says what no form of ours says")


def _rows(sheets: NamedSheets) -> Rows:
    grid = sheets.grids[FACTS]
    return [(row[0].text, row[1].text) for row in grid.rows if len(row) > 1 and row[0].text]


def _refuse(raw: RawFile, why: str) -> NoReturn:
    place = Place(raw.place.path, cell=f"{FACTS}!A1")
    record = f"The answer {raw.path}"
    raise Refused(Problem.of("answer-not-ours", place, seen=why, record=record))


def _believed(rows: Rows) -> Facts:
    """Raises ValueError, KeyError or TypeError for anything that we would not have written."""
    single = dict(rows)
    if single["form"] != FORM or not (is_name(single["part"]) and is_name(single["supplier"])):
        raise ValueError("another form")
    facts = Facts(
        request=_text(single["request"]),
        part=single["part"],
        revision=_text(single["revision"]),
        supplier=single["supplier"],
        quantities=tuple(_quantity(each) for each in _all("quantity", rows)),
        operations=tuple(_text(each) for each in _all("operation", rows)),
        certificates=tuple(_text(each) for each in _all("certificate", rows)),
        held=tuple(_held(each) for each in _all("held", rows)),
    )
    if list(facts.rows[:-1]) != rows:
        raise ValueError("other lines")
    return facts


def _all(key: str, rows: Rows) -> list[str]:
    found = [value for name, value in rows if name == key]
    if len(found) > MOST_LINES:
        raise ValueError("too many lines")
    return found


def _text(value: str) -> str:
    if not value or len(value) > LONGEST:
        raise ValueError("no text of ours")
    return value


def _quantity(value: str) -> int:
    if not value.isdecimal() or not 1 <= int(value[:10]) <= MOST:
        raise ValueError("no quantity of ours")
    return int(value)


def _held(value: str) -> Held:
    label, ability = json.loads(_text(value))
    if not isinstance(label, str) or not set(ability) <= set(ABILITIES):
        raise ValueError("no ability of ours")
    if not all(isinstance(each, str) for each in ability.values()):
        raise ValueError("no ability of ours")
    return Held(label=_text(label), ability=tuple(ability.items()))
