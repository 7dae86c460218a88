"""A form as a tree of groups, lists and texts, with the place of every key and value.

One pass over the events of the C parser: nothing is guessed (`NO` stays the text NO),
nothing is expanded (anchors, aliases and tags are refused), nothing is lost (a key that
stands twice is a problem).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import yaml

from quotegen.basics.place import Key, Place, Places
from quotegen.basics.problem import Problem
from quotegen.intake.files import RawFile, Refused, refuse_other_kinds

DEEPEST = 12
NOTHING = frozenset({"", "~", "null", "Null", "NULL"})

Keys = tuple[Key, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tree:
    """What a form says: dict, list, str, or None where nothing is written.

    keys_at and written are looked up with the full way from the root, as places are.
    problems are those of the tree alone.
    """

    value: Any
    places: Places
    keys_at: Mapping[Keys, Place]
    written: Mapping[Keys, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    def within(self, *keys: Key) -> Tree:
        """The part that these keys lead to, with keys counted from there."""
        value = self.value
        for key in keys:
            value = value[key]
        places = self.places.within(*keys)
        return dataclasses.replace(self, value=value, places=places, problems=())

    def key_at(self, *keys: Key) -> Place:
        """The place of a key itself, where places gives that of its value."""
        return self.keys_at.get(self.places.prefix + keys) or self.places.of(*keys)

    def as_written(self, *keys: Key) -> str | None:
        """What the source shows, where that is not the value's own spelling."""
        return self.written.get(self.places.prefix + keys)

    def without(self, key: str) -> Tree:
        """The same group of keys less one."""
        rest = {each: value for each, value in self.value.items() if each != key}
        return dataclasses.replace(self, value=rest)

    def text(self, key: str) -> str | None:
        """The text under a key, or None where there is none."""
        value = self.value.get(key) if isinstance(self.value, dict) else None
        return value.strip() if isinstance(value, str) else None


def in_words(keys: Keys) -> str:
    """The way to a value as a person counts: `items 2, prices 1, price`."""
    words: list[str] = []
    for key in keys:
        if isinstance(key, int) and words:
            words[-1] += f" {key + 1}"
        else:
            words.append(str(key))
    return ", ".join(words)


def read_tree(raw: RawFile, record: str) -> Tree:
    """The tree of a form.

    Raises Refused where nothing can be used: file-kind, file-not-text, file-empty,
    yaml-broken, yaml-alias, yaml-too-deep, not-a-form. Keys that stand twice are among
    the tree's problems, and the first one counts.
    """
    refuse_other_kinds(raw, "a form in YAML", record)
    text = _decoded(raw, record)
    walk = _Walk(raw.place, record)
    try:
        value = walk.document(yaml.parse(text, Loader=yaml.CLoader))
    except yaml.YAMLError as error:
        raise Refused(_broken(error, text, raw.place, record)) from error
    places = Places(raw.place, walk.values_at)
    return Tree(value=value, places=places, keys_at=walk.keys_at, problems=tuple(walk.problems))


def _decoded(raw: RawFile, record: str) -> str:
    try:
        return raw.data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.data.count(b"\n", 0, error.start) + 1
        seen = f"byte 0x{raw.data[error.start]:02x}"
        place = dataclasses.replace(raw.place, line=line)
        problem = Problem.of("file-not-text", place, seen=seen, record=record)
        raise Refused(problem) from error


def _broken(error: yaml.YAMLError, text: str, place: Place, record: str) -> Problem:
    if isinstance(error, yaml.reader.ReaderError):
        line, column = text.count("\n", 0, error.position) + 1, 1
        seen = "a control character stands in it"
    else:
        mark = getattr(error, "problem_mark", None)
        line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
        seen = getattr(error, "problem", None) or "unknown cause"
        if _indented_by_tab(text, line):
            seen = "a tab stands before the first word; indent with spaces"
    where = dataclasses.replace(place, line=line, column=column)
    return Problem.of("yaml-broken", where, seen=seen, record=record)


def _indented_by_tab(text: str, line: int) -> bool:
    lines = text.splitlines()
    shown = lines[line - 1] if line <= len(lines) else ""
    return "\t" in shown[: len(shown) - len(shown.lstrip())]


class _Walk:
    """Builds the tree from events; depth is bounded, so plain recursion is safe."""

    def __init__(self, file: Place, record: str) -> None:
        self.file = file
        self.record = record
        self.values_at: dict[Keys, Place] = {}
        self.keys_at: dict[Keys, Place] = {}
        self.problems: list[Problem] = []

    def document(self, events: Iterator[yaml.Event]) -> Any:
        found: list[Any] = []
        for event in events:
            if not isinstance(event, yaml.DocumentStartEvent):
                continue
            if found:
                raise self._refused("not-a-form", event, seen="a second", expected="one form")
            found.append(self._value(next(events), events, ()))
        if not found:
            raise Refused(Problem.of("file-empty", self.file, record=self.record))
        return found[0]

    def _value(self, event: yaml.Event, events: Iterator[yaml.Event], keys: Keys) -> Any:
        self._refuse_what_is_not_plain(event)
        self.values_at[keys] = self._place(event)
        if isinstance(event, yaml.ScalarEvent):
            is_plain = event.implicit[0]
            return None if is_plain and event.value in NOTHING else event.value
        if len(keys) >= DEEPEST:
            raise self._refused("yaml-too-deep", event, expected=str(DEEPEST))
        if isinstance(event, yaml.SequenceStartEvent):
            return self._list(events, keys)
        return self._group(events, keys)

    def _list(self, events: Iterator[yaml.Event], keys: Keys) -> list[Any]:
        values: list[Any] = []
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            values.append(self._value(event, events, (*keys, len(values))))
        return values

    def _group(self, events: Iterator[yaml.Event], keys: Keys) -> dict[str, Any]:
        values: dict[str, Any] = {}
        for event in events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            key = self._key(event)
            path = (*keys, key)
            if key in values:
                self._note_twice(event, path)
                path = (*keys, key, "written twice")
            else:
                self.keys_at[path] = self._place(event)
            values.setdefault(key, self._value(next(events), events, path))
        return values

    def _key(self, event: yaml.Event) -> str:
        self._refuse_what_is_not_plain(event)
        if isinstance(event, yaml.ScalarEvent):
            return str(event.value)
        raise self._refused("not-a-form", event, seen="a list or a group", expected="a key")

    def _note_twice(self, event: yaml.Event, path: Keys) -> None:
        values = {"field": in_words(path), "seen": str(path[-1]), "record": self.record}
        self.problems.append(Problem.of("duplicate-key", self._place(event), **values))

    def _refuse_what_is_not_plain(self, event: yaml.Event) -> None:
        anchor, tag = getattr(event, "anchor", None), getattr(event, "tag", None)
        if isinstance(event, yaml.AliasEvent):
            raise self._refused("yaml-alias", event, seen=f"*{anchor}")
        if anchor is not None:
            raise self._refused("yaml-alias", event, seen=f"&{anchor}")
        if tag is not None:
            raise self._refused("yaml-alias", event, seen=str(tag))

    def _refused(self, code: str, event: yaml.Event, **values: str) -> Refused:
        where = {"field": "form"} if code == "not-a-form" else {}
        place = self._place(event)
        return Refused(Problem.of(code, place, **where, **values, record=self.record))

    def _place(self, event: yaml.Event) -> Place:
        mark = event.start_mark
        if mark is None:  # the C parser marks every event
            return self.file
        return Place(self.file.path, mark.line + 1, mark.column + 1)
