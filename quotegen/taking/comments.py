"""A person's own remarks in a form outlive another reading of the file.

A form is written anew each time. What the tool wrote into it by itself is known by its shape: a
place, and the text as written in quotation marks. Every other comment is a person's: it goes to
where the same value stands now, and to the end of the form where there is none.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import yaml

from quotegen.basics.visible import visible
from quotegen.intake.answers import IDENTITY, QUESTIONS
from quotegen.intake.files import RawFile
from quotegen.intake.yaml_tree import Keys, Tree, read_tree
from quotegen.taking.form import BY_HAND, HEAD, HERE, QUESTIONS_HEAD, flow

KEPT = "Kept from the form before:"
SEEN = re.compile(r"(?::[^\"#]*)?: (?P<seen>\"(?:[^\"\\]|\\.)*\")")
SPOT = re.compile(r"(?::(?:\d+:\d+|page \d+(?::\d+){0,2}|[^\"#]*?![A-Z]{1,3}\d+))?")
END = "the end"


@dataclass(frozen=True, slots=True, kw_only=True)
class Comment:
    """A person's words; field names the value that they belong to; line says they stand above."""

    field: str
    text: str
    is_above: bool


def comments_in(text: str, own: Sequence[str]) -> tuple[Comment, ...]:
    """A person's comments in a form. own are the names of files that the tool's remarks name."""
    lines = text.splitlines()
    found = dict(_found(text, lines))
    fields = _fields_by_line(_tree(text))
    made = []
    for number, (column, words) in found.items():
        is_above = not lines[number][:column].strip()
        left = (
            "" if _is_own_line(words) and is_above else _without_own(words, own, is_above=is_above)
        )
        if not left:
            continue
        at = next((fields[n] for n in range(number, len(lines)) if n in fields), END)
        field = at if is_above else fields.get(number, END)
        made.append(Comment(field=field, text=left, is_above=is_above))
    return tuple(made)


def _found(text: str, lines: Sequence[str]) -> Iterator[tuple[int, tuple[int, str]]]:
    """The comments of a form by line, counted from 0: where each begins, and its words."""
    inside = _within_values(text, lines)
    for number, line in enumerate(lines):
        for match in re.finditer(r"(?:^|(?<=\s))#", line):
            at = match.start()
            if not any(first <= at < last for first, last in inside.get(number, ())):
                yield number, (at, visible(line[at + 1 :]).strip())
                break


def _within_values(text: str, lines: Sequence[str]) -> dict[int, list[tuple[int, int]]]:
    """The columns of each line that belong to keys and values."""
    inside: dict[int, list[tuple[int, int]]] = {}
    for token in yaml.scan(text, Loader=yaml.SafeLoader):
        if not isinstance(token, yaml.ScalarToken):
            continue
        start, end = token.start_mark, token.end_mark
        for line in range(start.line, min(end.line + 1, len(lines))):
            first = start.column if line == start.line else 0
            last = end.column if line == end.line else len(lines[line])
            inside.setdefault(line, []).append((first, last))
    return inside


def _tree(text: str) -> Tree:
    return read_tree(RawFile(path="form", data=text.encode()), "The form")


def _is_own_line(words: str) -> bool:
    return words in (*HEAD, KEPT) or words.startswith("Drafted by quotegen take from ")


def _without_own(words: str, own: Sequence[str], *, is_above: bool) -> str:
    """The words of a person in a comment, without what the tool wrote before them."""
    if is_above:
        return words
    if words.startswith(QUESTIONS_HEAD):
        return words.removeprefix(QUESTIONS_HEAD).lstrip(" #")
    rest = _behind_name(words, own)
    if rest is None:
        return words
    said = SEEN.match(rest) or SPOT.match(rest)
    return rest[said.end() :].lstrip(" #") if said is not None else words


def _behind_name(words: str, own: Sequence[str]) -> str | None:
    """What follows the name of a file in a remark of the tool; None where it is a person's."""
    bare = words.removeprefix(BY_HAND)
    named = [each for each in (HERE, *own) if each and bare.startswith(each)]
    rest = bare.removeprefix(max(named, key=len)) if named else None
    return rest if rest is not None and (not rest or rest[0] in ": ") else None


def seen_in(text: str, own: Sequence[str]) -> Mapping[str, tuple[str, str]]:
    """By field its place in the file and the text as written, as the tool's remarks say them."""
    fields, shown = _fields_by_line(_tree(text)), {}
    for number, (_, words) in _found(text, text.splitlines()):
        rest = _behind_name(words, own)
        said = SEEN.match(rest) if rest is not None else None
        if number in fields and said is not None:
            place = words.removeprefix(BY_HAND).partition(': "')[0]
            shown[fields[number]] = (place, str(json.loads(said["seen"])))
    return shown


def _fields_by_line(tree: Tree) -> dict[int, str]:
    """For each line, counted from 0, the name of the first value that is written on it."""
    named: dict[int, tuple[int, int, Keys]] = {}
    for keys, place in {**tree.places.by_keys, **tree.keys_at}.items():
        if keys and place.line is not None:
            known = named.get(place.line - 1)
            rank = (place.column or 1, len(keys), keys)
            if known is None or (rank[0], -rank[1]) < (known[0], -known[1]):
                named[place.line - 1] = rank
    return {line: name_of(tree, keys) for line, (_, _, keys) in named.items()}


def name_of(tree: Tree, keys: Keys) -> str:
    """A value by what it is, so that it is found again where lines were added before it."""
    words: list[str] = []
    holder = tree.value
    for at, key in enumerate(keys):
        holder = holder[key] if _has(holder, key) else None
        if isinstance(key, int):
            words.append(_line_name(holder, keys[:at], key))
        else:
            words.append(str(key))
    return " > ".join(words)


def _has(holder: object, key: str | int) -> bool:
    if isinstance(holder, dict):
        return key in holder
    return isinstance(holder, list) and isinstance(key, int) and key < len(holder)


def _line_name(value: object, above: Keys, number: int) -> str:
    """A line of a list: a price by its quantity, a question by its field, an item by its part."""
    if isinstance(value, dict):
        list_of = str(above[-1]) if above else ""
        if list_of == QUESTIONS:
            return f"{value.get('field')}, {value.get('seen')}"
        known = value.get(IDENTITY.get(list_of, "part" if list_of == "items" else "what"))
        return str(known) if known is not None else f"line {number + 1}"
    return flow(value) if value is not None else f"line {number + 1}"


def with_comments(text: str, comments: Sequence[Comment]) -> str:
    """The form with a person's comments where they belong; those without a place at its end."""
    if not comments:
        return text
    lines = text.splitlines()
    at = {
        name: number for number, name in sorted(_fields_by_line(_tree(text)).items(), reverse=True)
    }
    above: dict[int, list[str]] = {}
    lost: list[str] = []
    for each in comments:
        number = at.get(each.field)
        if number is None:
            lost.append(each.text if each.field == END else f"{_short(each.field)}: {each.text}")
        elif each.is_above:
            above.setdefault(number, []).append(each.text)
        elif each.text not in lines[number]:
            lines[number] += f"  # {each.text}"
    made = []
    for number, line in enumerate(lines):
        indent = line[: len(line) - len(line.lstrip())]
        made += [f"{indent}# {words}" for words in above.get(number, ())]
        made.append(line)
    if lost:
        made += [f"# {KEPT}", *(f"# {words}" for words in lost)]
    return "\n".join(made) + "\n"


def _short(field: str) -> str:
    return ", ".join(field.split(" > "))[:120]
