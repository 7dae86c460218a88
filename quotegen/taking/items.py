"""The parts that a file quotes: ours by their names, others as a question."""

from __future__ import annotations

import dataclasses
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from quotegen.taking.context import names
from quotegen.taking.fact import Ask, Fact, Findings, once
from quotegen.taking.given import Given
from quotegen.taking.joining import part_guesses
from quotegen.taking.pricing import Priced
from quotegen.taking.seen import Line, Seen
from quotegen.taking.words import fold


@dataclass(slots=True)
class ItemSeen:
    """One part of the quote: as written, our name for it where there is one, and its prices."""

    written: str
    name: str | None
    tiers: list[Priced] = field(default_factory=list)


def names_of(items: Sequence[ItemSeen], seen: Seen) -> Iterator[str]:
    if items:
        yield from (item.name or item.written for item in items)
    else:
        yield from (fact.value for fact in seen.found.facts if fact.keys[-1] == "part")


PART_LABEL = re.compile(
    r"(?i)\b(?:part|drawing|drg|dwg|zeichnung\w*|teil|tekening|onderdeel|plan|rysunek|"
    r"nr rysunku)\s*"
    r"(?:no|nr|number|nummer)?[.:#\s]{1,3}(?P<part>[A-Z0-9][A-Z0-9/._-]*\d[A-Z0-9._-]*)"
)


def items_of(
    prices: Sequence[Priced], seen: Seen, given: Given, found: Findings, lines: Sequence[Line]
) -> list[ItemSeen]:
    """The parts of the quote in the order of the file; a part that is not ours is asked about."""
    items: list[ItemSeen] = []
    known: dict[str, ItemSeen] = {}
    is_one_table = len({each.table for each in prices}) <= 1
    default = _default_part(lines, given)
    called: dict[int, set[str]] = defaultdict(set)
    for each in prices:
        called[each.table].add(fold(each.called))
    for each in prices:
        label = each.part
        if label.startswith("\0"):
            own = our_part(each.called, given) or labelled_part(each.called)
            named = own or our_part(label[1:], given) or labelled_part(label[1:])
            why = "" if named or is_one_table else "the part is not named at this table"
            if not own and len(called[each.table]) > 1:
                why = f"the row is called {each.called!r}, others of its table are called otherwise"
            if why:
                each = dataclasses.replace(each, doubts=(*each.doubts, why))  # noqa: PLW2901
            label = named or default
        label, behind = _apart(label, given)
        if behind and not each.revision:
            each = dataclasses.replace(each, revision=behind)  # noqa: PLW2901
        name = our_part(label, given)
        item = known.get(name or label)
        if item is None:
            item = known[name or label] = ItemSeen(written=label, name=name)
            items.append(item)
        item.tiers.append(each)
    if not items and seen.kind not in ("UBL", "form") and default:
        items.append(ItemSeen(written=default, name=our_part(default, given)))
    for index, item in enumerate(items):
        _part(index, item, seen, given, found)
    return items


_BEHIND = re.compile(
    r"\s*(?:/\s*(?P<bare>[A-Z]\d?|0\d)|"
    r"[,(/]?\s*(?i:rev(?:ision)?|index|ind|indice|issue|uitgave|rew)\.?\s*[:.]?\s*"
    r"(?P<mark>[A-Za-z]{1,2}\d?|\d{1,2}))\)?\s*"
)


def _apart(label: str, given: Given) -> tuple[str, str]:
    """A part of ours and the revision behind it, such as `FL-021 / B` or `FL-021 Rev. B`."""
    name = our_part(label, given)
    if name is None or fold(label) == fold(name):
        return label, ""
    behind = label.casefold().rfind(name.casefold()) + len(name)
    match = _BEHIND.fullmatch(label, behind) if behind >= len(name) else None
    if match is None:
        return label, ""
    return label[:behind], (match["bare"] or match["mark"]).upper()


def our_part(text: str, given: Given) -> str | None:
    """The one part of ours that a text names, or that a person said its words to be."""
    folded = fold(text)
    if folded in given.names:
        return given.names[folded]
    named = [part for part in given.parts if names(folded, part)]
    longest = [
        part for part in named if not any(part != other and part in other for other in named)
    ]
    return longest[0] if len(longest) == 1 else None


def labelled_part(text: str) -> str:
    match = PART_LABEL.search(text)
    return match["part"].rstrip(".-") if match is not None else ""


def _default_part(lines: Iterable[Line], given: Given) -> str:
    """The part of a file that has only one: named in a line, or after a label such as Drawing."""
    ours: list[str] = []
    labels: list[str] = []
    for line in lines:
        if line.quoted:
            continue
        named = our_part(line.text, given)
        ours += [named] if named else []
        labels += [labelled_part(line.text)] if labelled_part(line.text) else []
    if len(set(ours)) == 1:
        return ours[0]
    return labels[0] if len({fold(each) for each in labels}) == 1 and not ours else ""


def _part(index: int, item: ItemSeen, seen: Seen, given: Given, found: Findings) -> None:
    tier = item.tiers[0] if item.tiers else None
    place = tier.place if tier is not None else seen.place
    keys = ("items", index, "part")
    if item.name is not None:
        found.facts.append(Fact(keys=keys, value=item.name, seen=item.written, place=place))
    else:
        guesses = part_guesses(item.written, given.parts)
        ask = "Which of our parts is this? Its name is that of a file under parts/."
        found.asks.append(Ask(keys=keys, seen=item.written, place=place, readings=guesses, ask=ask))
    for key in ("revision", "material"):
        said = once([getattr(each, key) for each in item.tiers if getattr(each, key)])
        if len(said) == 1:
            found.facts.append(
                Fact(keys=("items", index, key), value=said[0], seen=said[0], place=place)
            )
        elif said:
            ask = "Several stand in the table. Which do the prices hold for?"
            found.asks.append(
                Ask(
                    keys=("items", index, key),
                    seen=", ".join(said),
                    place=place,
                    readings=said,
                    ask=ask,
                )
            )
