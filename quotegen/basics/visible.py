"""Text of other people on our own terminal: one line, and nothing that a terminal obeys."""

from __future__ import annotations

JOINERS = "\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}"  # parts of words in some scripts


def visible(text: str) -> str:
    """The text on one line: every kind of space becomes a blank, what cannot be seen a mark.

    Control characters, escape sequences and marks that turn the direction of writing could
    hide or forge what stands on the screen.
    """
    return "".join(_shown(mark) for mark in text)


def _shown(mark: str) -> str:
    if mark.isprintable() or mark in JOINERS:
        return mark
    return " " if mark.isspace() else "\N{REPLACEMENT CHARACTER}"
