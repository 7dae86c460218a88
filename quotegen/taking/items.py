"""The parts that a file quotes: ours by their names, others as a question."""

from __future__ import annotations

import dataclasses
import re
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
    default = _default_part(lines, given)
    for each in prices:
        label = each.part
        if label.startswith("\0"):
            named = our_part(label[1:], given) or labelled_part(label[1:])
            if not named and len({one.table for one in prices}) > 1:
                why = "the part is not named at this table"
                each = dataclasses.replace(each, doubts=(*each.doubts, why))  # noqa: PLW2901
            label = named or default
        name = our_part(label, given)
        item = next((i for i in items if (i.name or i.written) == (name or label)), None)
        if item is None:
            item = ItemSeen(written=label, name=name)
            items.append(item)
        item.tiers.append(each)
    if not items and seen.kind not in ("UBL", "form") and default:
        items.append(ItemSeen(written=default, name=our_part(default, given)))
    for index, item in enumerate(items):
        _part(index, item, seen, given, found)
    return items


def our_part(text: str, given: Given) -> str | None:
    """The one part of ours that a text names."""
    folded = fold(text)
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
