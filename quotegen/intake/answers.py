"""Questions in a form: an answer becomes the value it is for, an open one leaves something out.

Whoever reads a quote sees only facts: what the file said beyond doubt, and what a person said.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from quotegen.basics.place import Place, Places
from quotegen.basics.problem import Problem
from quotegen.intake.draft import item_called, item_of, quote_called
from quotegen.intake.forms import read_form
from quotegen.intake.yaml_tree import Keys, Tree
from quotegen.model.question import LEAVE_OUT, Layouts, Question, Taken

QUESTIONS, TAKEN = "questions", "taken"
# What a form says beside the quote itself.
BESIDE = frozenset({QUESTIONS, TAKEN})
LISTS = frozenset(
    "payment charges tools surcharges includes excludes certificates terms notes prices".split()
)
# By what a line of a list is known; an answer for the same takes its place.
IDENTITY = {"prices": "from", "tools": "tool"}
GROUPS = frozenset({"payment", "charges", "tools", "surcharges", "terms", "prices"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A quote form whose answers stand in their places.

    asked are the fields that wait for an answer; broken and is_sound say what they leave out, as
    in draft.Filled. received is the file that the form was taken from.
    """

    tree: Tree
    problems: tuple[Problem, ...] = ()
    asked: tuple[str, ...] = ()
    broken: frozenset[int] = frozenset()
    is_sound: bool = True
    received: Taken | None = None


def keys_of(field: str) -> Keys:
    """The way that a field's words name: `items 1, prices` is items, 0, prices."""
    keys: list[str | int] = []
    for words in field.split(", "):
        match = re.fullmatch(r"(.+?)(?: (\d{1,4}))?", words.strip())
        if match is not None:
            keys.append(match[1])
            keys += [int(match[2]) - 1] if match[2] else []
    return tuple(keys)


def with_answers(tree: Tree, name: str) -> Answered:
    """The quote that a form and the answers in it say; a form without questions is as it was."""
    if not isinstance(tree.value, dict) or not BESIDE & set(tree.value):
        return Answered(tree=tree)
    record = quote_called(tree, name)
    walk = _Walk(tree, record)
    walk.read()
    taken, told = _taken(tree, record)
    asked = tuple(dict.fromkeys(walk.asked))
    return Answered(
        tree=walk.tree,
        problems=(*walk.problems, *told),
        asked=asked,
        broken=frozenset(walk.broken),
        is_sound=walk.is_sound,
        received=taken,
    )


def _taken(tree: Tree, record: str) -> tuple[Taken | None, tuple[Problem, ...]]:
    if not isinstance(tree.value.get(TAKEN), dict):
        return None, ()
    return read_form(Taken, tree.within(TAKEN), record, (TAKEN,))


def is_layouts(tree: Tree) -> bool:
    """Whether a form among the quotes says how a supplier's files are read."""
    return isinstance(tree.value, dict) and "layouts" in tree.value


def read_layouts(tree: Tree, record: str) -> tuple[Layouts | None, tuple[Problem, ...]]:
    return read_form(Layouts, tree, record)


def is_waiting(problem: Problem, asked: Iterable[str]) -> bool:
    """Whether a problem only says that something lacks about which a question is open."""
    if problem.code not in ("missing-field", "list-empty", "value-empty"):
        return False
    field, asked = dict(problem.values).get("field", ""), tuple(asked)
    if any(each.startswith("layout, ") for each in asked):
        return True
    return any(field == each or field.startswith(f"{each},") for each in (*asked, QUESTIONS))


class _Walk:
    """Puts the answers of a form into its tree, one after the other."""

    def __init__(self, tree: Tree, record: str) -> None:
        self.whole = tree
        self.record = record
        rest = {key: value for key, value in tree.value.items() if key not in BESIDE}
        self.value: dict[str, Any] = _copied(rest)
        self.places = dict(tree.places.by_keys)
        self.problems: list[Problem] = []
        self.asked: list[str] = []
        self.broken: set[int] = set()
        self.is_sound = True

    @property
    def tree(self) -> Tree:
        places = Places(self.whole.places.file, self.places, self.whole.places.prefix)
        return dataclasses.replace(self.whole, value=self.value, places=places)

    def read(self) -> None:
        listed = self.whole.value.get(QUESTIONS)
        for index, each in enumerate(listed if isinstance(listed, list) else ()):
            self._question(index, each)

    def _question(self, index: int, written: Any) -> None:
        keys: Keys = (QUESTIONS, index)
        empty = isinstance(written, dict) and written.get("answer") is None
        tree = self.whole.within(*keys)
        bare = tree.without("answer") if empty else tree
        question, problems = read_form(Question, bare, self.record, keys)
        if question is None:
            self.problems += problems
            self.is_sound = False
            return
        field = keys_of(question.field)
        if question.answer is None:
            self._open(question, field, self.whole.places.of(*keys))
        elif question.answer != LEAVE_OUT:
            self._answer(question, field, (*keys, "answer"))

    def _open(self, question: Question, field: Keys, place: Place) -> None:
        self.asked.append(question.field)
        values = {
            "field": question.field,
            "seen": f"'{question.seen}'" if question.seen else "nothing",
            "ask": question.ask,
        }
        at = f" ({question.at})" if question.at else ""
        problem = Problem.of(
            "question-open", place, **values, at=at, record=self._leaves_out(field)
        )
        self.problems.append(problem)

    def _leaves_out(self, field: Keys) -> str:
        """Notes what cannot be used without an answer, and how a person calls it."""
        item = item_of(field)
        if item is None:
            self.is_sound = False
            return self.record
        self.broken.add(item)
        try:
            return item_called(self.tree, item, self.record)
        except (KeyError, IndexError, TypeError):
            return self.record

    def _answer(self, question: Question, field: Keys, at: Keys) -> None:
        place = self.whole.places.of(*at)
        if field[:1] == ("layout",):
            values = {"field": question.field, "record": self.record}
            self.problems.append(Problem.of("answer-not-taken", place, **values))
            self.asked.append(question.field)
            self.is_sound = False
            return
        try:
            self._put(field, question.answer, at)
        except (KeyError, IndexError, TypeError, ValueError):
            values = {"field": question.field, "record": self._leaves_out(field)}
            self.problems.append(Problem.of("answer-astray", place, **values))

    def _put(self, field: Keys, answer: Any, at: Keys) -> None:
        holder: Any = self.value
        for position, key in enumerate(field[:-1]):
            holder = _entered(holder, key, field[position + 1])
        last = field[-1]
        if last in LISTS and isinstance(holder, dict):
            lines = holder.setdefault(last, [])
            if isinstance(answer, list):
                lines.clear()
            for offset, line in enumerate(answer if isinstance(answer, list) else [answer]):
                _refuse_bare(last, line)
                source = (*at, offset) if isinstance(answer, list) else at
                self._line(field, lines, line, source)
            return
        if isinstance(holder, list):
            raise TypeError("a line of a list is answered through the list")
        holder[last] = _copied(answer)
        self._move(at, field)

    def _line(self, field: Keys, lines: list[Any], line: Any, source: Keys) -> None:
        """Puts one line where it belongs: a price by its quantity, anything else at the end."""
        spot = len(lines)
        known = IDENTITY.get(str(field[-1]))
        same = [n for n, each in enumerate(lines) if known and _same(each, line, known)]
        if same:
            lines[same[0]] = _copied(line)
            self._move(source, (*field, same[0]))
            return
        if field[-1] == "prices":
            start = _start(line)
            spot = next((n for n, each in enumerate(lines) if _start(each) > start), spot)
        lines.insert(spot, _copied(line))
        root = (*self.whole.places.prefix, *field)
        moved = {}
        for path, place in self.places.items():
            is_later = path[: len(root)] == root and len(path) > len(root)
            number = path[len(root)] if is_later else None
            if isinstance(number, int) and number >= spot:
                moved[(*root, number + 1, *path[len(root) + 1 :])] = place
            else:
                moved[path] = place
        self.places = moved
        self._move(source, (*field, spot))

    def _move(self, source: Keys, target: Keys) -> None:
        """What an answer says keeps its place in the form."""
        start, goal = (*self.whole.places.prefix, *source), (*self.whole.places.prefix, *target)
        found = {
            (*goal, *path[len(start) :]): place
            for path, place in self.places.items()
            if path[: len(start)] == start
        }
        self.places |= found


def _same(one: Any, other: Any, key: str) -> bool:
    """Whether two lines of a list are for the same: then the answer stands in its place."""
    shown = [str(each.get(key, "")) if isinstance(each, dict) else "" for each in (one, other)]
    return shown[0] == shown[1] != ""


def _refuse_bare(key: str | int, line: Any) -> None:
    """A charge, a tool or a price is a group of keys; a text alone cannot be one."""
    if (key in GROUPS) != isinstance(line, dict):
        raise TypeError("an answer of another shape than the field's")


def _entered(holder: Any, key: str | int, following: str | int) -> Any:
    if isinstance(holder, list):
        if not isinstance(key, int):
            raise TypeError("a line of a list is called by its number")
        if key == len(holder):
            holder.append({})
        return holder[key]
    return holder.setdefault(key, [] if isinstance(following, int) else {})


def _start(line: Any) -> int:
    text = str(line.get("from", "")) if isinstance(line, dict) else ""
    digits = text.split(" ")[0]
    return int(digits) if digits.isascii() and digits.isdigit() and len(digits) < 12 else 0


def _copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copied(inner) for key, inner in value.items()}
    return [_copied(inner) for inner in value] if isinstance(value, (list, tuple)) else value
