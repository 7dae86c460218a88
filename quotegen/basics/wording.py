"""Every sentence that tells a person about a problem, keyed by the problem's code.

A sentence names the field, shows the value as written and says what was expected;
then comes what happens now, then what to do. Names in braces are filled in by the
place that found the problem.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Wording:
    """The words of one kind of problem."""

    severity: Literal["error", "notice"]
    message: str
    happens: str
    remedy: str


_LEFT_OUT = "{record} is left out."

WORDINGS: dict[str, Wording] = {
    # files
    "file-empty": Wording(
        "error", "The file is empty.", _LEFT_OUT, "Fill it in, or delete it."
    ),
    "file-too-large": Wording(
        "error",
        "The file has {seen} bytes; at most {expected} are read.",
        _LEFT_OUT,
        "Keep the form small and leave large files beside it.",
    ),
    "file-not-text": Wording(
        "error",
        "The file is not UTF-8 text ({seen}).",
        _LEFT_OUT,
        "Save it as UTF-8 text.",
    ),
    "file-outside": Wording(
        "error",
        "{field}: '{seen}' leads out of the workshop folder.",
        _LEFT_OUT,
        "Name a file inside the folder, without '..' and without links that lead out.",
    ),
    "file-missing": Wording(
        "error",
        "{field}: there is no file '{seen}'.",
        _LEFT_OUT,
        "Put the file there, or correct the name.",
    ),
    "file-kind": Wording(
        "error",
        "The file is not what its name says: expected {expected}, found {seen}.",
        _LEFT_OUT,
        "Save it again as {expected}, or give it the right ending.",
    ),
    "bad-name": Wording(
        "error",
        "'{seen}' cannot be a name here: expected small letters, digits, '-', '_' and '.', "
        "64 at most, none of '..' or '/'.",
        _LEFT_OUT,
        "Rename it.",
    ),
    # YAML
    "yaml-broken": Wording(
        "error", "The form cannot be read as YAML: {seen}.", _LEFT_OUT, "Correct the line."
    ),
    "yaml-alias": Wording(
        "error",
        "The form uses an anchor, an alias or a tag ({seen}); forms are plain.",
        _LEFT_OUT,
        "Write the value out where it is needed.",
    ),
    "yaml-too-deep": Wording(
        "error",
        "The form is nested deeper than {expected} levels.",
        _LEFT_OUT,
        "Write it as the schema shows.",
    ),
    "duplicate-key": Wording(
        "error",
        "{field}: the key '{seen}' stands twice.",
        _LEFT_OUT,
        "Keep one of the two lines.",
    ),
    "not-a-form": Wording(
        "error",
        "{field}: expected {expected}, found {seen}.",
        _LEFT_OUT,
        "Write it as `quotegen schema` shows.",
    ),
    # values
    "format-unknown": Wording(
        "error",
        "format: '{seen}' is not known; expected 1.",
        _LEFT_OUT,
        "Write `format: 1`, or use a newer quotegen.",
    ),
    "unknown-key": Wording(
        "error",
        "{field}: unknown key; {hint}",
        _LEFT_OUT,
        "Correct the key, or move the remark into `note`.",
    ),
    "missing-field": Wording(
        "error", "{field}: missing.", _LEFT_OUT, "Add `{field}`."
    ),
    "wrong-value": Wording(
        "error",
        "{field}: '{seen}' does not fit: {expected}.",
        _LEFT_OUT,
        "Correct the value.",
    ),
    "unknown-word": Wording(
        "error",
        "{field}: '{seen}' is not a word used here; {hint}",
        _LEFT_OUT,
        "Use one of the known words.",
    ),
    "not-a-number": Wording(
        "error",
        "{field}: '{seen}' is not a number here; expected {expected}.",
        _LEFT_OUT,
        "Write the number out.",
    ),
    "two-readings": Wording(
        "error",
        "{field}: '{seen}' can be read as {readings}.",
        _LEFT_OUT,
        "Write it without a thousands sign, or declare the decimal sign of the file.",
    ),
    "not-money": Wording(
        "error",
        "{field}: '{seen}' is not an amount of money; expected {expected}.",
        _LEFT_OUT,
        "Write amount and currency, or `not quoted` if the supplier still owes it.",
    ),
    "price-open": Wording(
        "error",
        "{field}: '{seen}' is not a price; the supplier has not said it yet.",
        _LEFT_OUT,
        "Ask for the price; until then write `not quoted`.",
    ),
    "unknown-currency": Wording(
        "error",
        "{field}: '{seen}' is not a currency code of ISO 4217.",
        _LEFT_OUT,
        "Use the three-letter code, such as EUR or GBP.",
    ),
    "unit-missing": Wording(
        "error",
        "{field}: '{seen}' has no unit; expected {expected}.",
        _LEFT_OUT,
        "Write the unit after the number.",
    ),
    "unit-unknown": Wording(
        "error",
        "{field}: '{seen}' has a unit that is not known here; expected {expected}.",
        _LEFT_OUT,
        "Use one of these units.",
    ),
    "not-positive": Wording(
        "error",
        "{field}: '{seen}' must be {expected}.",
        _LEFT_OUT,
        "Correct the value.",
    ),
    "not-a-date": Wording(
        "error",
        "{field}: '{seen}' is not a date; expected year-month-day, such as 2027-03-15.",
        _LEFT_OUT,
        "Write the date so.",
    ),
    # records of what was decided
    "record-front-missing": Wording(
        "error",
        "The file begins with '{seen}'; expected facts between two lines `---`.",
        _LEFT_OUT,
        "Take the file back from git or a backup; records are written by `quotegen decide`.",
    ),
    "record-edited": Wording(
        "error",
        "fingerprint: expected {expected} for this text, found '{seen}', or the layout was "
        "changed: the record was edited after it was written.",
        "It is listed as edited and does not count as agreed.",
        "Take the file back from git or a backup; to change a decision, write a new one.",
    ),
    "record-misplaced": Wording(
        "error",
        "{field}: the record says '{seen}', its place in the folder says '{expected}'.",
        "It is listed as edited and does not count as agreed.",
        "Put the file back under its own part and number.",
    ),
    "record-gap": Wording(
        "error",
        "{seen}: missing among the records of {part}; expected every number from 0001 on.",
        "The records that are there are shown; what was decided in between is unknown.",
        "Take the missing file back from git or a backup.",
    ),
    "record-fork": Wording(
        "error",
        "previous: the same as in {seen}; two records follow the same one.",
        "Both are shown, and the higher number counts as the later one.",
        "Move the one that was not agreed out of `decisions`, and decide again after the other.",
    ),
    "record-follows-nothing": Wording(
        "error",
        "previous: '{seen}' is not {expected}.",
        "{record} is shown; what it followed is unknown.",
        "Take this record and the one before it back from git or a backup.",
    ),
    "record-name": Wording(
        "error",
        "'{seen}' is not the name of a record; expected a number and .md, such as 0001.md.",
        "It is left out.",
        "Move it out of `decisions`, or give it its own name back.",
    ),
    "record-stray": Wording(
        "error",
        "'{seen}' is not the folder of a part; expected decisions/<part>/0001.md.",
        "It is left out.",
        "Move it out of `decisions`.",
    ),
    "record-part-unknown": Wording(
        "error",
        "part: there are records for '{seen}', but no such part; {hint}",
        "Its records are left out.",
        "Put the file back under parts/, or give the folder the part's present name.",
    ),
    # exchange rates and names
    "rate-missing": Wording(
        "error",
        "currency: no rate for {seen} in {base} at or before {day}.",
        _LEFT_OUT,
        "Add a line under `rates` in workshop.yaml, with its day and source.",
    ),
    "rate-old": Wording(
        "notice",
        "rate: {seen} is of {day}, {age} days before the comparison.",
        "It is used all the same.",
        "Add a newer rate under `rates` in workshop.yaml.",
    ),
    "part-unknown": Wording(
        "error",
        "part: there is no part '{seen}'; {hint}",
        "Nothing is compared for it.",
        "Name a file under parts/, without its ending.",
    ),
}
