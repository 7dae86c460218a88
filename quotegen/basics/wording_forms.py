"""The words about files and forms: what cannot be read, and what does not say a value."""

from __future__ import annotations

from quotegen.basics.sentences import LEFT_OUT, Wording

FORMS: dict[str, Wording] = {
    # files
    "file-empty": Wording("error", "The file is empty.", LEFT_OUT, "Fill it in, or delete it."),
    "file-too-large": Wording(
        "error",
        "The file has {seen} bytes; at most {expected} are read.",
        LEFT_OUT,
        "Keep the form small and leave large files beside it.",
    ),
    "file-not-text": Wording(
        "error",
        "The file is not UTF-8 text ({seen}).",
        LEFT_OUT,
        "Save it as UTF-8 text.",
    ),
    "file-outside": Wording(
        "error",
        "{field}: '{seen}' leads out of the workshop folder.",
        LEFT_OUT,
        "Name a file inside the folder, without '..' and without links that lead out.",
    ),
    "file-missing": Wording(
        "error",
        "{field}: there is no file '{seen}'.",
        LEFT_OUT,
        "Put the file there, or correct the name.",
    ),
    "file-kind": Wording(
        "error",
        "The file is not what its name says: expected {expected}, found {seen}.",
        LEFT_OUT,
        "Save it again as {expected}, or give it the right ending.",
    ),
    "bad-name": Wording(
        "error",
        "'{seen}' cannot be a name here: expected small letters, digits, '-', '_' and '.', "
        "64 at most, no '..' and no '/', and not what Windows keeps for a device, such as con.",
        LEFT_OUT,
        "Rename it.",
    ),
    "file-unreadable": Wording(
        "error",
        "The file cannot be read: {seen}.",
        LEFT_OUT,
        "Allow reading it, or put it there again.",
    ),
    "file-swells": Wording(
        "error",
        "The file unpacks to {seen} bytes; at most {expected} are unpacked.",
        LEFT_OUT,
        "Save the sheet that matters alone, without pictures.",
    ),
    "file-kind-unknown": Wording(
        "error",
        "{field}: '{seen}' is of a kind that is not read; known here: {expected}.",
        LEFT_OUT,
        "Save it as one of these kinds, or write its values into a quote form.",
    ),
    "form-ending": Wording(
        "error",
        "'{seen}' is not read: a form ends in .yaml, in small letters.",
        LEFT_OUT,
        "Rename it.",
    ),
    "names-collide": Wording(
        "notice",
        "'{seen}' and '{expected}' differ in capitals alone.",
        "On many machines only one of the two can exist.",
        "Rename one of them.",
    ),
    "file-not-read": Wording(
        "notice",
        "No reading form reads '{seen}'.",
        "Nothing of it counts.",
        "Write a form beside it that begins `reads: {seen}`, or move it away.",
    ),
    "folder-not-read": Wording(
        "notice",
        "The folder '{seen}' is not looked into; forms are read from '{expected}' alone.",
        "Nothing in it counts.",
        "Move the forms into '{expected}', or the folder away.",
    ),
    "folder-missing": Wording(
        "error",
        "There is no folder '{seen}'.",
        "Nothing is compared.",
        "Name a workshop folder, or make one with `quotegen new`.",
    ),
    "workshop-missing": Wording(
        "error",
        "There is no workshop.yaml that can be used.",
        "Nothing is compared.",
        "Write it as `quotegen new` shows, or correct it.",
    ),
    "quote-loose": Wording(
        "error",
        "'{seen}' does not lie in the folder of a supplier.",
        LEFT_OUT,
        "Move it to quotes/ and there into the supplier's folder.",
    ),
    # YAML
    "yaml-broken": Wording(
        "error", "The form cannot be read as YAML: {seen}.", LEFT_OUT, "Correct the line."
    ),
    "yaml-alias": Wording(
        "error",
        "The form uses an anchor, an alias or a tag ({seen}); forms are plain.",
        LEFT_OUT,
        "Write the value out where it is needed.",
    ),
    "yaml-too-deep": Wording(
        "error",
        "The form is nested deeper than {expected} levels.",
        LEFT_OUT,
        "Write it as the schema shows.",
    ),
    "duplicate-key": Wording(
        "error",
        "{field}: the key '{seen}' stands twice.",
        LEFT_OUT,
        "Keep one of the two lines.",
    ),
    "not-a-form": Wording(
        "error",
        "{field}: expected {expected}, found {seen}.",
        LEFT_OUT,
        "Write it as `quotegen schema` shows.",
    ),
    # values
    "format-unknown": Wording(
        "error",
        "format: '{seen}' is not known; expected 1.",
        LEFT_OUT,
        "Write `format: 1`, or use a newer quotegen.",
    ),
    "value-empty": Wording(
        "error",
        "{field}: nothing is written.",
        LEFT_OUT,
        "Write the value, `not quoted` or `not applicable`, or take the key out.",
    ),
    "stray-words": Wording(
        "error",
        "{field}: no such key, and nothing is written behind it.",
        LEFT_OUT,
        "If a comma cuts a value in two here, write the value in quotation marks.",
    ),
    "list-empty": Wording(
        "error",
        "{field}: expected at least one line, found none.",
        LEFT_OUT,
        "Write the lines.",
    ),
    "more-problems": Wording(
        "notice",
        "There are more than {seen} problems in this file.",
        "The others are not shown.",
        "Correct those that are shown first.",
    ),
    "unknown-key": Wording(
        "error",
        "{field}: unknown key; {hint}",
        LEFT_OUT,
        "Correct the key, or move the remark into `note`.",
    ),
    "missing-field": Wording("error", "{field}: missing.", LEFT_OUT, "Add `{key}`."),
    "wrong-value": Wording(
        "error",
        "{field}: '{seen}' does not fit; expected {expected}.",
        LEFT_OUT,
        "Correct the value.",
    ),
    "unknown-word": Wording(
        "error",
        "{field}: '{seen}' is not a word used here; {hint}",
        LEFT_OUT,
        "Use one of the known words.",
    ),
    "not-a-number": Wording(
        "error",
        "{field}: '{seen}' is not a number here; expected {expected}.",
        LEFT_OUT,
        "Write the number out.",
    ),
    "two-readings": Wording(
        "error",
        "{field}: '{seen}' can be read as {readings}.",
        LEFT_OUT,
        "Write it without a thousands sign, or declare the decimal sign of the file.",
    ),
    "not-money": Wording(
        "error",
        "{field}: '{seen}' is not an amount of money; expected {expected}.",
        LEFT_OUT,
        "Write amount and currency, or `not quoted` if the supplier still owes it.",
    ),
    "price-open": Wording(
        "error",
        "{field}: '{seen}' is not a price; the supplier has not said it yet.",
        LEFT_OUT,
        "Ask for the price; until then write `not quoted`.",
    ),
    "unknown-currency": Wording(
        "error",
        "{field}: '{seen}' is not a currency code of ISO 4217.",
        LEFT_OUT,
        "Use the three-letter code, such as EUR or GBP.",
    ),
    "unit-missing": Wording(
        "error",
        "{field}: '{seen}' has no unit; expected {expected}.",
        LEFT_OUT,
        "Write the unit after the number.",
    ),
    "unit-unknown": Wording(
        "error",
        "{field}: '{seen}' has a unit that is not known here; expected {expected}.",
        LEFT_OUT,
        "Use one of these units.",
    ),
    "not-positive": Wording(
        "error",
        "{field}: '{seen}' must be {expected}.",
        LEFT_OUT,
        "Correct the value.",
    ),
    "not-a-date": Wording(
        "error",
        "{field}: '{seen}' is not a date; expected year-month-day, such as 2027-03-15.",
        LEFT_OUT,
        "Write the date so.",
    ),
}
