"""A file that may be a newer version of one already taken: which, and what is asked about it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from quotegen.basics.place import Place
from quotegen.intake.files import RawFile, Refused
from quotegen.taking.assemble import assemble
from quotegen.taking.fact import Ask, Findings
from quotegen.taking.given import Given
from quotegen.taking.opening import see
from quotegen.taking.spot import Drafted, Spot, drafted_in

REPLACES = ("replaces",)
Words = Sequence[tuple[str, ...]]  # the head words of each table of a file
See = Callable[[Path], Words]


def same_quote(spot: Spot, found: Findings) -> Drafted | None:
    """The form of an earlier file with the same number, for at least one of the same parts."""
    number = next(iter(found.values("quote")), None)
    for each in drafted_in(spot.below):
        if number is not None and each.said.number == number and _share(each, found):
            return each
    return None


def named(spot: Spot, name: str) -> Drafted | None:
    """The form that was drafted from a file of this name, or that bears it."""
    wanted = Path(name).name
    for each in drafted_in(spot.below):
        if wanted in (each.path.name, each.said.file, *each.said.earlier):
            return each
    return None


def looks_newer(
    spot: Spot, form: Path, found: Findings, words: Words, given: Given
) -> Drafted | None:
    """The latest quote of the supplier that this file looks like a newer version of.

    It is for the same parts and not younger, no other quote replaces it, and the heads of its
    tables are the same as far as its file is still there.
    """
    number, day = (next(iter(found.values(key)), None) for key in ("quote", "date"))
    others = [each for each in drafted_in(spot.below) if each.path != form]
    gone = {each.said.said.get("replaces") for each in others}
    fitting = [
        each for each in others
        if each.said.number is not None and each.said.number not in gone
        and each.said.said.get("replaces") != number
        and (day is None or _day(each) <= str(day))
        and each.said.parts and set(each.said.parts) <= set(parts_of(found))
        and _same_head(spot.below / each.said.file, words, given)
    ]  # fmt: skip
    return max(fitting, key=lambda each: (_day(each), each.path.name), default=None)


def _day(each: Drafted) -> str:
    return str(each.said.said.get("date") or "")


def parts_of(found: Findings) -> list[str]:
    return [str(each.value) for each in found.facts if each.keys[2:] == ("part",)]


def _share(each: Drafted, found: Findings) -> bool:
    """Whether a quote is for one of the same parts, as far as both name theirs."""
    before, now = set(each.said.parts), set(parts_of(found))
    return not before or not now or bool(before & now)


def _same_head(path: Path, words: Words, given: Given) -> bool:
    """Whether the tables of an earlier file have the same heads; a file that is gone has none."""
    try:
        seen = see(RawFile(path=path.name, data=path.read_bytes()), "The earlier file")
    except (OSError, Refused):
        return True
    before = assemble(seen, given).words
    return sorted(map(sorted, before)) == sorted(map(sorted, words))


def question(older: Drafted, file: Place) -> Ask:
    """Whether the older quote still stands beside this one."""
    day = f" of {_day(older)}" if _day(older) else ""
    ask = (
        f"The file looks like a newer version of {older.said.file} (quote {older.said.number}"
        f"{day}): the same supplier, part and head. Does it replace that quote? `leave out` if "
        "both stand."
    )
    return Ask(
        keys=REPLACES, seen=older.said.file, place=file, readings=(older.said.number,), ask=ask
    )
