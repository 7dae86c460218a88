"""Which of our parts a name means, and how the findings of two files become those of one."""

from __future__ import annotations

import dataclasses
import difflib
import re
from collections.abc import Sequence
from typing import Any

from quotegen.taking.fact import Findings
from quotegen.taking.words import fold


def part_guesses(written: str, parts: Sequence[str]) -> tuple[str, ...]:
    """Our parts that a name may mean; where no part is known, the name as a file would bear it."""
    slug = re.sub(r"[^a-z0-9._-]+", "-", fold(written)).strip("-._")[:64]
    if not parts:
        return (slug,) if slug else ()
    close = difflib.get_close_matches(slug, parts, n=2, cutoff=0.7)
    return tuple(close) or (tuple(parts) if len(parts) == 1 else ())


def joined(first: Findings, second: Findings) -> Findings:
    """Two files of one message: items of the same part are the same item."""
    found = Findings()
    found.add(first)
    parts = _parts(first)
    moved: dict[int, int] = {}
    for index, part in _parts(second).items():
        same = next((at for at, other in parts.items() if fold(other) == fold(part)), None)
        moved[index] = same if same is not None else max([*parts, *moved.values()], default=-1) + 1
    if not parts or not _parts(second):
        moved = moved if parts else {}
    if len(parts) == 1 and set(_parts(second).values()) == {""}:
        moved = dict.fromkeys(_parts(second), next(iter(parts)))  # the letter says which part it is
        second = _without_part_asks(second)
    found.facts += [_moved(each, moved) for each in second.facts]
    found.asks += [_moved(each, moved) for each in second.asks]
    found.kept += second.kept
    return found


def _without_part_asks(found: Findings) -> Findings:
    asks = [each for each in found.asks if not (len(each.keys) == 3 and each.keys[2] == "part")]
    return Findings(facts=found.facts, asks=asks, kept=found.kept)


def _parts(found: Findings) -> dict[int, str]:
    named = {}
    for each in found.facts:
        if len(each.keys) == 3 and each.keys[2] == "part":
            named[int(each.keys[1])] = str(each.value)
    for ask in found.asks:
        if len(ask.keys) == 3 and ask.keys[2] == "part":
            named.setdefault(int(ask.keys[1]), ask.seen)
    return named


def _moved(each: Any, moved: dict[int, int]) -> Any:
    if each.keys[0] != "items" or each.keys[1] not in moved:
        return each
    return dataclasses.replace(each, keys=("items", moved[each.keys[1]], *each.keys[2:]))
