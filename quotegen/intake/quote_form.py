"""A quote form becomes a quote: a bad item is left out alone, a bad head takes all with it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

from quotegen.basics.problem import Problem
from quotegen.intake.answers import is_waiting
from quotegen.intake.checks import Finding, Known, renumbered
from quotegen.intake.draft import Filled, item_called, quote_called
from quotegen.intake.fit_checks import what_the_quote_holds
from quotegen.intake.forms import read_form
from quotegen.intake.item_checks import ITEM_CHECKS, ItemCase
from quotegen.intake.quote_checks import QUOTE_CHECKS, QuoteCase
from quotegen.intake.yaml_tree import Tree
from quotegen.model.entry import QuoteEntry
from quotegen.model.quote import Item, Quote


def read_quote(
    filled: Filled, *, name: str, supplier: str, files: tuple[str, ...], known: Known
) -> tuple[QuoteEntry | None, tuple[Problem, ...]]:
    """The quote that a form says, with its sound items, and every problem of it.

    None where the head is not sound or no item is left. What was left out while the form was
    filled from a file stays out.
    """
    tree = filled.tree
    record = quote_called(tree, name)
    head, in_head = _read_head(tree, record)
    items, in_items = _read_items(filled, record)
    case = QuoteCase(
        tree=tree, record=record, supplier=supplier, head=head, items=items, known=known
    )
    findings = tuple(_findings(case)) if isinstance(tree.value, dict) else ()
    problems = (
        *tree.problems,
        *filled.problems,
        *in_head,
        *in_items,
        *(each.problem for each in findings),
    )
    problems = tuple(each for each in problems if not is_waiting(each, filled.asked))
    gone = {each.leaves_out for each in findings}
    sound = {index: item for index, item in items.items() if ("items", index) not in gone}
    is_sound = filled.is_sound and not tree.problems and () not in gone
    if head is None or not is_sound or not sound:
        return None, problems
    entry = QuoteEntry(
        name=name,
        record=head.model_copy(update={"items": tuple(sound.values())}),
        places=renumbered(tree.places, "items", list(sound)),
        files=files,
        supplier=supplier,
    )
    return entry, problems


def _read_head(tree: Tree, record: str) -> tuple[Quote | None, tuple[Problem, ...]]:
    """The quote without its items, which are read one by one."""
    value = tree.value
    if isinstance(value, dict) and isinstance(value.get("items"), list):
        value = {**value, "items": []}
    return read_form(Quote, dataclasses.replace(tree, value=value), record)


def _read_items(filled: Filled, record: str) -> tuple[dict[int, Item], tuple[Problem, ...]]:
    """The readable items by their number as written, less those that a file spoilt."""
    tree, items = filled.tree, {}
    problems: list[Problem] = []
    listed = tree.value.get("items") if isinstance(tree.value, dict) else None
    for index in range(len(listed) if isinstance(listed, list) else 0):
        called = item_called(tree, index, record)
        item, wrong = read_form(Item, tree.within("items", index), called, ("items", index))
        problems.extend(wrong)
        if item is not None and index not in filled.broken:
            items[index] = item
    return items, tuple(problems)


def _findings(case: QuoteCase) -> Iterator[Finding]:
    for check in QUOTE_CHECKS:
        yield from check(case)
    for index, item in case.items.items():
        for check_item in (*ITEM_CHECKS, what_the_quote_holds):
            yield from check_item(ItemCase(quote=case, index=index, item=item))
