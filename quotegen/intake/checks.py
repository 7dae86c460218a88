"""What every check of a record shares: what it looks at, what it may know, what it finds.

A check is a plain function that yields findings. It looks at a record as written, before
anything is left out, so that its fields carry the numbers that a person counts.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from quotegen.basics.money import Money, Price
from quotegen.basics.place import Places
from quotegen.basics.problem import Problem, nearest
from quotegen.intake.yaml_tree import Keys, Tree, in_words
from quotegen.model.fields import Form, with_spaces
from quotegen.model.operations import OPERATIONS
from quotegen.model.workshop import Workshop

Record = TypeVar("Record", bound=Form)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A problem and what it leaves out: () for the whole record, a way for one line of it.

    None leaves nothing out; then the problem is a notice.
    """

    problem: Problem
    leaves_out: Keys | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """The names that a quote may refer to; a broken record has a name but no content."""

    parts: frozenset[str] = frozenset()
    broken_parts: frozenset[str] = frozenset()
    suppliers: frozenset[str] = frozenset()
    broken_suppliers: frozenset[str] = frozenset()
    operations: frozenset[str] | None = frozenset(OPERATIONS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """A form that is checked: its tree, and how a person calls its record."""

    tree: Tree
    record: str

    def called(self, line: Keys) -> str:
        """How a person calls a line of the record: `Completion 2 of workshop.yaml`."""
        if not line:
            return self.record
        words = in_words(line)
        return f"{words[0].upper()}{words[1:]} of {self.record[0].lower()}{self.record[1:]}"

    def seen(self, *keys: str | int) -> str:
        """The value as it is written, or "" where it is not a text."""
        value: Any = self.tree.value
        for key in keys:
            value = value[key]
        written = self.tree.as_written(*keys)
        return written or (value if isinstance(value, str) else "")

    def finding(
        self, code: str, keys: Keys, leaves_out: Keys | None = None, **values: str
    ) -> Finding:
        """A finding at the value that the keys lead to."""
        record = self.called(leaves_out or ())
        values = {"field": in_words(keys), **values, "record": record}
        problem = Problem.of(code, self.tree.places.of(*keys), **values)
        return Finding(problem=problem, leaves_out=leaves_out)


def operations_of(workshop: Workshop | None) -> frozenset[str] | None:
    """The usual operations and those for which the workshop has a completion price.

    None without a workshop: nobody knows then which words are its own.
    """
    if workshop is None:
        return None
    return frozenset(OPERATIONS) | {each.operation for each in workshop.completion}


def unknown_operations(
    subject: Subject,
    keys: Keys,
    words: Sequence[str],
    known: frozenset[str] | None,
    leaves_out: Keys,
) -> Iterator[Finding]:
    """Words in a list of operations that are not in the vocabulary (R8), where that is known."""
    if known is None:
        return
    hints = {word: nearest(word, known) for word in sorted(set(words) - known)}
    for index, word in enumerate(words):
        if word in hints:
            where = (*keys, index)
            yield subject.finding("unknown-word", where, leaves_out, seen=word, hint=hints[word])


def repeated(values: Iterable[Hashable]) -> Iterator[tuple[int, int]]:
    """Each later value that stood before, with the number of its first appearance."""
    first: dict[Hashable, int] = {}
    for number, value in enumerate(values):
        before = first.setdefault(value, number)
        if before != number:
            yield number, before


def amounts_in(value: object, keys: Keys = ()) -> Iterator[tuple[Keys, Money]]:
    """Every amount and price inside a record, with the way that leads to it."""
    if isinstance(value, Money):
        yield keys, value
    elif isinstance(value, Price):
        yield keys, value.money
    elif isinstance(value, tuple):
        for index, inner in enumerate(value):
            yield from amounts_in(inner, (*keys, index))
    elif isinstance(value, Form):
        for name, info in type(value).model_fields.items():
            key = info.alias or with_spaces(name)
            yield from amounts_in(getattr(value, name), (*keys, key))


def without_lines(
    record: Record, places: Places, findings: Iterable[Finding]
) -> tuple[Record, Places] | None:
    """The record less the lines that the findings leave out; None where it is left out itself."""
    gone = {each.leaves_out for each in findings if each.leaves_out is not None}
    if () in gone:
        return None
    for key in sorted({str(line[0]) for line in gone if line}):
        name = key.replace(" ", "_")
        lines = getattr(record, name)
        kept = [index for index in range(len(lines)) if (key, index) not in gone]
        record = record.model_copy(update={name: tuple(lines[index] for index in kept)})
        places = renumbered(places, key, kept)
    return record, places


def renumbered(places: Places, key: str, kept: Sequence[int]) -> Places:
    """The places after some lines of a list went: the lines kept count from 0 again."""
    depth = len(places.prefix) + 1
    list_at = (*places.prefix, key)
    number = {old: new for new, old in enumerate(kept)}
    moved = {}
    for path, place in places.by_keys.items():
        if path[:depth] != list_at or len(path) == depth:
            moved[path] = place
        elif path[depth] in number:
            moved[(*list_at, number[int(path[depth])], *path[depth + 1 :])] = place
    return Places(places.file, moved, places.prefix)
