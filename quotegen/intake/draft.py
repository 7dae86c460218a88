"""A quote form while a supplier's file is being read into it."""

from __future__ import annotations

import copy
import dataclasses
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from quotegen.basics.money import minor_digits
from quotegen.basics.place import Place, Places
from quotegen.basics.problem import Problem
from quotegen.intake.cells import Cell
from quotegen.intake.yaml_tree import Keys, Tree, in_words
from quotegen.model.fields import NOT_QUOTED
from quotegen.model.reading import Reading

UNREAD = NOT_QUOTED  # stands for a value that could not be read; what holds it is left out
NO_CURRENCY = "XXX"  # ISO 4217: no currency involved; a quote that names none is left out


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """The tree of a quote form, what was wrong on the way, and what may not be used.

    Every value keeps the place where it stands: in the file as received, or in the reading
    form. broken are the items, counted from 0 as written, that could not be filled; is_sound
    is False where something outside the items could not be. asked are fields that wait for a
    person's answer.
    """

    tree: Tree
    problems: tuple[Problem, ...] = ()
    broken: frozenset[int] = frozenset()
    is_sound: bool = True
    asked: tuple[str, ...] = ()


def quote_called(tree: Tree, name: str) -> str:
    """How a person calls a quote: by its number, or by its file where that is not readable."""
    return f"The quote {tree.text('quote') or name}"


def item_called(tree: Tree, index: int, quote: str) -> str:
    """How a person calls an item: `Item 2 (part pawl) of the quote AF-2291`."""
    part = tree.within("items", index).text("part")
    of_part = f" (part {part[:70]})" if part else ""
    return f"Item {index + 1}{of_part} of {quote[0].lower()}{quote[1:]}"


def item_of(keys: Keys) -> int | None:
    """The item that a way through a quote form leads into, or None where it leads elsewhere."""
    if len(keys) > 1 and keys[0] == "items" and isinstance(keys[1], int):
        return keys[1]
    return None


class Draft:
    """Gathers values, places and problems; ways are counted from the quote form's root."""

    def __init__(self, tree: Tree, form: Reading, name: str) -> None:
        """tree is the whole reading form's; name is the quote's file name without ending."""
        self.form = form
        self.reading = tree
        self.name = name
        self.values: dict[str, Any] = {"format": "1", **copy.deepcopy(tree.value["quote"])}
        self.places = dict(tree.places.by_keys)
        self.written: dict[Keys, str] = {}
        self.problems: list[Problem] = []
        self.broken: set[int] = set()
        self.is_sound = True

    @property
    def decimal_sign(self) -> str | None:
        return self.form.decimal.mark if self.form.decimal is not None else None

    @property
    def currency(self) -> str:
        """The currency that the quote states, where that is one."""
        stated = self.tree.text("currency") or ""
        return stated if minor_digits(stated) is not None else NO_CURRENCY

    @property
    def tree(self) -> Tree:
        places = Places(self.reading.places.file, self.places, ("quote",))
        return dataclasses.replace(
            self.reading, value=self.values, places=places, written=self.written, problems=()
        )

    def called(self, keys: Keys = ()) -> str:
        """How a person calls what the keys lead into: the item, or the whole quote."""
        quote, item = quote_called(self.tree, self.name), item_of(keys)
        return quote if item is None else item_called(self.tree, item, quote)

    def put(self, keys: Keys, value: object, cell: Cell) -> None:
        """Notes where a value came from, and hands it to the group or list that takes it."""
        self.places["quote", *keys] = cell.place
        self.written["quote", *keys] = cell.text
        holder: Any = self.values
        for key in keys[:-1]:
            holder = holder[key]
        if isinstance(holder, list) and keys[-1] == len(holder):
            holder.append(value)
        else:
            holder[keys[-1]] = value

    def wrong(self, code: str, place: Place, keys: Keys, **values: str) -> None:
        """Notes an error and what it leaves out: the item that the keys lead into, or all."""
        values = {"field": in_words(keys), **values, "record": self.called(keys)}
        self.problems.append(Problem.of(code, place, **values))
        item = item_of(keys)
        if item is None:
            self.is_sound = False
        else:
            self.broken.add(item)

    def refuse_items(self, problem: Problem, items: Iterable[int]) -> None:
        """Notes what leaves the whole quote out because these items cannot get their prices."""
        self.problems.append(problem)
        self.is_sound = False
        for index in items:
            self.values["items"][index].setdefault("prices", [])
            self.broken.add(index)

    def tell(self, code: str, place: Place, **values: str) -> None:
        """Notes something that leaves nothing out."""
        self.problems.append(Problem.of(code, place, **values, record=self.called()))

    def filled(self) -> Filled:
        return Filled(
            tree=self.tree,
            problems=tuple(self.problems),
            broken=frozenset(self.broken),
            is_sound=self.is_sound,
        )
