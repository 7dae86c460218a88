"""The words about files that are taken in: what is open, and what an answer does not fit."""

from __future__ import annotations

from quotegen.basics.sentences import LEFT_OUT, Wording

TAKING: dict[str, Wording] = {
    "question-open": Wording(
        "error",
        "{field}: {ask} Seen: {seen}{at}; it waits for an answer.",
        LEFT_OUT,
        "Write one of its `readings`, the right value or `leave out` behind `answer:`, or run "
        "`quotegen take` in a terminal.",
    ),
    "answer-astray": Wording(
        "error",
        "{field}: the answer does not fit this field.",
        LEFT_OUT,
        "Write it as one of the `readings` is written: one value, or a group of keys.",
    ),
    "answer-not-taken": Wording(
        "error",
        "{field}: the answer says how the file is read, and it has not been read again since.",
        LEFT_OUT,
        "Run `quotegen take` on the file again.",
    ),
    "taken-changed": Wording(
        "error",
        "taken: '{seen}' is not the file that this form was drafted from.",
        LEFT_OUT,
        "Run `quotegen take` on it again; it shows what changed and keeps your answers.",
    ),
}
