"""What is checked between quotes: numbers that stand twice, chains of them, tools of one key."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem, nearest
from quotegen.intake.yaml_tree import Tree
from quotegen.model.entry import QuoteEntry
from quotegen.model.quote import Tool


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbered:
    """A quote form and the number that it states; None where that is not known."""

    supplier: str
    name: str
    number: str | None
    place: Place

    @classmethod
    def of(cls, supplier: str, name: str, tree: Tree) -> Numbered:
        number, place = tree.text("quote"), tree.places.of("quote")
        return cls(supplier=supplier, name=name, number=number, place=place)

    @classmethod
    def unread(cls, supplier: str, name: str, path: str) -> Numbered:
        return cls(supplier=supplier, name=name, number=None, place=Place(path))


def numbers_twice(numbered: Sequence[Numbered]) -> Iterator[tuple[str, str, Problem]]:
    """The supplier and file name of each quote whose number another one bears, and the problem.

    All of them are named: nothing says which one holds.
    """
    alike: dict[tuple[str, str], list[Numbered]] = defaultdict(list)
    for each in numbered:
        if each.number is not None:
            alike[each.supplier, each.number].append(each)
    for (_, number), same in alike.items():
        for each in same if len(same) > 1 else ():
            others = sorted(other.place.path for other in same if other is not each)
            values = {"seen": number, "expected": ", ".join(others)}
            record = f"The quote {each.name}"
            problem = Problem.of("quote-twice", each.place, **values, record=record)
            yield each.supplier, each.name, problem


def chains_end(quotes: Sequence[QuoteEntry]) -> Iterator[tuple[str, str, Problem]]:
    """Quotes that replace one another in a circle; none of them is the last."""
    later = {(each.supplier, each.record.quote): each.record.replaces for each in quotes}
    for entry in quotes:
        if entry.record.quote in _replaced_by(later, entry.supplier, entry.record.replaces):
            place, record = entry.places.of("replaces"), f"The quote {entry.record.quote}"
            values = {"seen": entry.record.replaces or "", "record": record}
            yield entry.supplier, entry.name, Problem.of("replaces-circle", place, **values)


def _replaced_by(
    later: dict[tuple[str, str], str | None], supplier: str, number: str | None
) -> set[str]:
    """The numbers that a chain of replaced quotes goes through, from this one on."""
    seen: set[str] = set()
    while number is not None and number not in seen:
        seen.add(number)
        number = later.get((supplier, number))
    return seen


def replaced_are_known(
    quotes: Sequence[QuoteEntry], numbered: Sequence[Numbered]
) -> Iterator[Problem]:
    """Notices of quotes that replace one which is not here: a slip would let the old one stand.

    Nothing is said of a supplier while the number of one of their quotes is not known.
    """
    for entry in quotes:
        replaces = entry.record.replaces
        here = {each.number for each in numbered if each.supplier == entry.supplier}
        if replaces is not None and None not in here and replaces not in here:
            hint = nearest(replaces, {number for number in here if number} - {entry.record.quote})
            place, record = entry.places.of("replaces"), f"The quote {entry.record.quote}"
            values = {"seen": replaces, "hint": hint, "record": record}
            yield Problem.of("replaces-unknown", place, **values)


def tools_alike(quotes: Sequence[QuoteEntry]) -> Iterator[Problem]:
    """Notices of a tool that quotes of two suppliers name and describe in two ways (R5)."""
    first: dict[str, tuple[Tool, QuoteEntry, Place]] = {}
    for entry in quotes:
        for index, item in enumerate(entry.record.items):
            for number, tool in enumerate(item.tools):
                place = entry.places.of("items", index, "tools", number, "tool")
                before, other, where = first.setdefault(tool.tool, (tool, entry, place))
                if other.supplier != entry.supplier and _described(before) != _described(tool):
                    values = {"seen": tool.tool, "expected": str(where)}
                    yield Problem.of("tool-elsewhere", place, **values)


def _described(tool: Tool) -> tuple[object, ...]:
    return tool.price, tool.cavities, tool.life, tool.replacement
