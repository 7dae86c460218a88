"""Older messages below an answer that no mark sets apart, only the lines of their head."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable
from itertools import pairwise

from quotegen.taking.seen import Line
from quotegen.taking.words import fold

_FROM = re.compile(r"\W*(?:from|von|van|de|od|da|fra|expediteur|nadawca|mittente|afzender) ?:")
_SENT = re.compile(
    r"\W*(?:sent|gesendet|datum|date|verzonden|envoye|wyslano|data|inviato|to|an|aan|a|do|"
    r"subject|betreff|onderwerp|objet|temat|oggetto|cc) ?:"
)


def set_apart(lines: Iterable[Line]) -> tuple[Line, ...]:
    """The lines of a mail; from two lines such as `From: ...` and `Sent: ...` on they are older."""
    found = tuple(lines)
    folded = [fold(line.text) for line in found]
    heads = (
        at for at, (one, two) in enumerate(pairwise(folded))
        if _FROM.match(one) and _SENT.match(two)
    )  # fmt: skip
    start = next(heads, len(found))
    return found[:start] + tuple(dataclasses.replace(line, quoted=True) for line in found[start:])
