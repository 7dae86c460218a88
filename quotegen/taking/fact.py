"""A fact found in a file, a question where it can be read in two ways, and what was only kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from quotegen.basics.place import Place
from quotegen.intake.yaml_tree import Keys


class Sure(StrEnum):
    """How sure a reading is; only what is said or shown stands in a form as a fact."""

    SAID = "said"  # the file names the field itself: a label, a header, an element
    SHOWN = "shown"  # by its kind and its neighbours there is one reading
    BY_LAYOUT = "by layout"  # a person confirmed the layout before
    BY_HAND = "by hand"  # a person wrote the value; place and text are what the file says


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A value in the words of a form, and where it was written.

    keys lead to it; of a list they end with the list's key, and the value is one line of it.
    value is a text or a group of texts.
    """

    keys: Keys
    value: Any
    seen: str
    place: Place
    sure: Sure = Sure.SHOWN


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """A question to a person: what was seen, how it can be read, and what hangs on it.

    readings are values as the field takes them, the likeliest first; none where the file says
    nothing. Keys that begin with `layout` concern how the whole file is read.
    """

    keys: Keys
    seen: str
    place: Place
    readings: tuple[Any, ...]
    ask: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A text that no field holds."""

    text: str
    place: Place


@dataclass(slots=True, kw_only=True)
class Findings:
    """What was found so far, in the order of the file."""

    facts: list[Fact] = field(default_factory=list)
    asks: list[Ask] = field(default_factory=list)
    kept: list[Kept] = field(default_factory=list)

    def add(self, other: Findings) -> None:
        self.facts += other.facts
        self.asks += other.asks
        self.kept += other.kept

    def values(self, *keys: str | int) -> list[Any]:
        return [each.value for each in self.facts if each.keys == keys]


def once(values: Sequence[Any]) -> tuple[Any, ...]:
    """Each reading once, in order."""
    found: list[Any] = []
    for value in values:
        if value not in found:
            found.append(value)
    return tuple(found)
