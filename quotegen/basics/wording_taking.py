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
    "pdf-encrypted": Wording(
        "error",
        "The PDF opens only with {seen}.",
        "Nothing of it is read.",
        "Open it, print it into a new PDF without a password, and take that one.",
    ),
    "pdf-no-text": Wording(
        "error",
        "The PDF holds no text: its pages are pictures, as those of a scan, or empty.",
        "Nothing of it is read.",
        "Ask the supplier for the PDF as it was written, or type its values into a text file.",
    ),
    "pdf-pages": Wording(
        "error",
        "The PDF has {seen} pages; at most 20 are read.",
        "Nothing of it is read.",
        "Print the pages of the quote into a PDF of their own.",
    ),
    "pdf-too-long": Wording(
        "error",
        "The PDF holds more than {seen}.",
        "Nothing of it is read.",
        "Print the pages of the quote into a PDF of their own.",
    ),
    "pdf-memory": Wording(
        "error",
        "The PDF needs more than 1 GiB of memory to be opened.",
        "Nothing of it is read.",
        "A quote is small: ask the supplier for another file, and do not open this one.",
    ),
    "pdf-time": Wording(
        "error",
        "The PDF takes more than 10 seconds to be read.",
        "Nothing of it is read.",
        "A quote is quick: ask the supplier for a simpler file, such as a new print of it.",
    ),
    "pdf-broken": Wording(
        "error",
        "The PDF is damaged: {seen}.",
        "Nothing of it is read.",
        "If it opens elsewhere, print it into a new PDF and take that one.",
    ),
}
