"""Text of other people on our own terminal: one line, and nothing that a terminal obeys."""

from __future__ import annotations

import re

JOINERS = "\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}"  # parts of words in some scripts


def visible(text: str) -> str:
    """The text on one line: every kind of space becomes a blank, what cannot be seen a mark.

    Control characters, escape sequences and marks that turn the direction of writing could
    hide or forge what stands on the screen.
    """
    return "".join(_shown(mark) for mark in text)


# control characters but tab and line feed, and format characters but joiners and soft hyphens
HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u180e\u200b\u200e\u200f\u202a-\u202e"
    "\u2060-\u206f\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)


def on_a_page(text: str) -> str:
    """The text of a page, lines kept, without marks that could turn or forge what is read."""
    return HIDDEN.sub("\N{REPLACEMENT CHARACTER}", text)


def _shown(mark: str) -> str:
    if mark.isprintable() or mark in JOINERS:
        return mark
    return " " if mark.isspace() else "\N{REPLACEMENT CHARACTER}"
