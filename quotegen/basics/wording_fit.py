"""The words about tolerances, surfaces and what a supplier says it holds."""

from __future__ import annotations

from quotegen.basics.sentences import LEFT_OUT, Wording

FIT: dict[str, Wording] = {
    "tolerance-nominal": Wording(
        "error",
        "{field}: '{seen}' has no size: a tolerance says nothing without its nominal.",
        LEFT_OUT,
        "Add `size`, such as `size: 10 mm`.",
    ),
    "tolerance-two-readings": Wording(
        "error",
        "{field}: '{seen}' can be read in two ways; expected {expected}.",
        LEFT_OUT,
        "Write it so that it has one meaning.",
    ),
    "tolerance-grade": Wording(
        "error",
        "{field}: '{seen}' names a grade that the table lacks; it has {expected}.",
        LEFT_OUT,
        "Correct the grade, or write the limits, such as `+0.02 -0.01 mm`.",
    ),
    "tolerance-size": Wording(
        "error",
        "{field}: '{seen}' has no value at {size}; the table has {expected}.",
        LEFT_OUT,
        "Correct the size, or write the limits, such as `+0.2 -0.1 mm`.",
    ),
    "tolerance-unread": Wording(
        "notice",
        "{field}: '{seen}' is no tolerance that can be judged; expected {expected}.",
        "It is shown as written, and no process is held against it.",
        "Write it in one of these forms, if it is a tolerance of a size.",
    ),
    "tolerance-not-judged": Wording(
        "notice",
        "{field}: '{seen}' is not judged; expected {expected}.",
        "No process is held against it.",
        "Write a class that the table has at {size}, or tolerate that size by itself.",
    ),
    "roughness-unread": Wording(
        "notice",
        "{field}: '{seen}' is not judged; expected {expected}.",
        "No process is held against the surfaces of this line.",
        "Write Ra in um or in uin.",
    ),
    "ability-empty": Wording(
        "notice",
        "{field}: the line says nothing that is held.",
        "It is not counted.",
        "Write `tolerance`, `surface`, `wall`, `heaviest` or `longest`.",
    ),
    "ability-unread": Wording(
        "notice",
        "{field}: '{seen}' cannot be held against a drawing; expected {expected}.",
        "It is not counted; published numbers stand in its place.",
        "Correct it, or ask the supplier.",
    ),
}
