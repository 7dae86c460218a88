"""The words about requests for quotes: whom to ask, and what an answered form says."""

from __future__ import annotations

from quotegen.basics.sentences import LEFT_OUT, Wording

QUESTION = "It is no fact before a person has settled it."

ASKING: dict[str, Wording] = {
    "ask-supplier-unknown": Wording(
        "error",
        "supplier: there is no supplier '{seen}'; {hint}",
        "Nothing is written for it.",
        "Name a file under suppliers/, without its ending.",
    ),
    "ask-nobody": Wording(
        "error",
        "processes: no supplier quoted {part} before, and none has a process that makes it.",
        "No request is written.",
        "Name one with --supplier, or add a form under suppliers/.",
    ),
    "ask-no-quantity": Wording(
        "error",
        "on hand: {seen} cover all that {part} needs over the planning months.",
        "There is no quantity to ask for, and no request is written.",
        "Correct `on hand` or `demand` in the part's form.",
    ),
    "answer-not-ours": Wording(
        "error",
        "form: it bears the mark of our answer form, but {seen}.",
        LEFT_OUT,
        "Ask for the form as it was sent, filled in, or type the quote into a form of your own.",
    ),
    "answer-cell-lost": Wording(
        "error",
        "{field}: the cell for it is gone from the form.",
        "Nothing is read for it.",
        "Look for the answer in the file, and write it into the quote's form.",
    ),
    "answer-empty": Wording(
        "error",
        "{field}: nothing is filled in.",
        "There is no quote without it.",
        "Ask the supplier, and write it into the quote's form.",
    ),
    "answer-no-price": Wording(
        "error",
        "prices: not one is filled in.",
        "It counts as not quoted.",
        "Ask the supplier for the prices.",
    ),
    "answer-row": Wording(
        "error",
        "{field}: empty, although other cells of its line are filled in.",
        "The line is left out.",
        "Ask what the line means, and write it into the quote's form.",
    ),
    "answer-one-of": Wording(
        "error",
        "{field}: expected a percentage or an amount a kg, one of the two.",
        "The surcharge is left out.",
        "Ask which of them is meant, and write it into the quote's form.",
    ),
    "answer-both": Wording(
        "error",
        "{field}: 'none' is chosen, and a tool stands below.",
        "The tool is taken in. " + QUESTION,
        "Ask which is meant; where no tool is to be paid for, take it out of the form.",
    ),
    "answer-hidden": Wording(
        "error",
        "{field}: '{seen}' stands in a hidden row or column.",
        "It is not read, since whoever looks at the form does not see it.",
        "Show the row or column and ask whether it is meant.",
    ),
    "answer-beside": Wording(
        "error",
        "remark: '{seen}' stands beside the cells that the form asks for.",
        "It is kept in the note of the quote. " + QUESTION,
        "Read it, and write what it means into the field that it is about.",
    ),
    "answer-not-held": Wording(
        "notice",
        "{field}: the answer is no for {seen}.",
        "The comparison goes by published numbers for it.",
        "Agree who makes it, or add the work at your own price.",
    ),
}
