"""What is known about a file while its lines are read, and how a line becomes facts."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from quotegen.basics.place import Place
from quotegen.intake.yaml_tree import Keys
from quotegen.taking.fact import Ask, Fact, Findings, Sure, once
from quotegen.taking.figures import Signs
from quotegen.taking.seen import Line
from quotegen.taking.words import fold


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What holds for all lines of a file.

    items are the parts of the quote as written, in order; names gives for a folded text the
    part of the folder that bears it. day_first says how dates such as 03/04/2026 are meant,
    where other dates of the file show it.
    """

    signs: Signs
    currency: tuple[str, ...] = ()
    home: str | None = None
    items: tuple[str, ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)
    day_first: bool | None = None

    def items_in(self, text: str) -> tuple[int, ...]:
        """The items that a text names; all of them where it names none."""
        return self.named_in(text) or tuple(range(max(1, len(self.items))))

    def named_in(self, text: str) -> tuple[int, ...]:
        """The items that a text names."""
        folded = fold(text)
        return tuple(index for index, item in enumerate(self.items) if item and names(folded, item))


def names(folded: str, item: str) -> bool:
    """Whether a text names a part, as a word of its own."""
    word = fold(item)
    if word not in folded:
        return False
    return re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", folded) is not None


class Reader:
    """Gathers what one line says; whatever it claims is not asked about again."""

    def __init__(self, line: Line, context: Context, *, is_draft: bool) -> None:
        self.line = line
        self.context = context
        self.is_draft = is_draft
        self.folded = fold(line.text)
        self.found = Findings()
        self.claimed: list[tuple[int, int]] = []
        self.spans_claimed: set[int] = set()

    def place(self, seen: str) -> Place:
        """Where a value of the line stands: its cell, where the line is a row of a sheet."""
        wanted = seen.strip()
        for cell in self.line.cells:
            if wanted and wanted in cell.text:
                return cell.place
        return self.line.place

    def fact(self, keys: Keys, value: Any, seen: str, sure: Sure = Sure.SAID) -> None:
        if self.line.hidden:
            self.ask(keys, (value,), seen, "It stands where a person does not see it.")
            return
        made = Fact(keys=keys, value=value, seen=seen, place=self.place(seen), sure=sure)
        self.found.facts.append(made)

    def ask(self, keys: Keys, readings: tuple[Any, ...], seen: str, ask: str) -> None:
        made = Ask(keys=keys, seen=seen, place=self.place(seen), readings=once(readings), ask=ask)
        self.found.asks.append(made)

    def either(self, keys: Keys, readings: tuple[Any, ...], seen: str, why: str) -> None:
        """A fact where there is one reading, a question where there are more."""
        if len(readings) == 1:
            self.fact(keys, readings[0], seen)
        else:
            self.ask(keys, readings, seen, why)

    def each_item(self) -> Iterator[int]:
        yield from self.context.items_in(self.line.text)

    @property
    def has_found(self) -> bool:
        return bool(self.found.facts or self.found.asks)


Catcher = Callable[[Reader], None]
