"""The records of what was decided: read, held against their fingerprints and their order.

Nothing on disk is changed. A record that cannot be read is left out; one that was edited
is kept and marked, since its absence would hide that there was a decision.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem, in_order, nearest
from quotegen.intake.files import (
    FORM_BYTES,
    RawFile,
    Refused,
    bad_name,
    is_name,
    printable,
    read_file,
)
from quotegen.intake.forms import read_form
from quotegen.intake.listing import is_shown
from quotegen.intake.record_file import (
    BYTE_ORDER_MARK,
    fingerprint_of,
    rendered,
    split,
)
from quotegen.intake.yaml_tree import Tree, read_tree
from quotegen.model.decision import FIRST, DecisionFacts
from quotegen.model.entry import Decision

FOLDER = "decisions"
NUMBER = re.compile(r"(?!0000\.)(\d{4}|[1-9]\d{4,8})\.md", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbered:
    """A file that bears a record's name: what it says, if it can be read.

    followed_by holds the fingerprint that it states and the one that its text gives; a
    record that follows it names one of them.
    """

    number: int
    path: str
    decision: Decision | None
    followed_by: frozenset[str]
    problems: tuple[Problem, ...]


def read_decisions(
    root: Path, only: str | None = None
) -> tuple[tuple[Decision, ...], tuple[Problem, ...]]:
    """Every record below root/decisions by part and number, and every problem with them.

    only limits the reading to the records of one part.
    """
    decisions: list[Decision] = []
    problems: list[Problem] = []
    try:
        parts, stray = _part_folders(root, only)
    except Refused as refused:
        return (), (refused.problem,)
    for part in parts:
        numbered, other = read_numbered(root, part)
        decisions += [each.decision for each in numbered if each.decision is not None]
        problems += other
    return tuple(decisions), in_order([*stray, *problems])


def read_numbered(root: Path, part: str) -> tuple[tuple[Numbered, ...], tuple[Problem, ...]]:
    """The files of one part that bear a record's name, by number, and all that is wrong."""
    numbered: list[Numbered] = []
    problems: list[Problem] = []
    try:
        names = _listed(root, f"{FOLDER}/{part}")
    except Refused as refused:
        return (), (refused.problem,)
    for name in names:
        if NUMBER.fullmatch(name):
            numbered.append(_read_numbered(root, part, name))
        else:
            problems.append(_not_a_record(part, name))
    numbered.sort(key=lambda each: each.number)
    for each in numbered:
        problems += each.problems
    return tuple(numbered), (*problems, *_chain_problems(part, numbered))


def record_name(number: int) -> str:
    """The file's name: 0001.md, with at least four digits."""
    return f"{number:04d}.md"


def called(part: str, number: int) -> str:
    """How a person calls a record."""
    return f"The record {number:04d} of {part}"


def _listed(root: Path, path: str) -> list[str]:
    """The names in a folder that do not begin with a point; none where there is no folder."""
    folder, place = root / path, Place(printable(path))
    values = {"record": f"What stands in {path}"}
    if not folder.is_dir():
        if folder.is_symlink() or folder.exists():
            raise Refused(
                Problem.of("file-kind", place, seen="a file", expected="a folder", **values)
            )
        return []
    if not folder.resolve().is_relative_to(root.resolve()):
        raise Refused(Problem.of("file-outside", place, field="folder", seen=path, **values))
    try:
        return sorted(each.name for each in folder.iterdir() if is_shown(each.name))
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise Refused(Problem.of("file-unreadable", place, seen=reason, **values)) from error


def _part_folders(root: Path, only: str | None) -> tuple[list[str], list[Problem]]:
    known = sorted(path.stem for path in (root / "parts").glob("*.yaml"))
    parts: list[str] = []
    problems: list[Problem] = []
    for name in _listed(root, FOLDER):
        problem = _stray(root, name, known)
        if problem is None and only in (None, name):
            parts.append(name)
        elif problem is not None:
            problems.append(problem)
    return parts, problems


def _stray(root: Path, name: str, known: Sequence[str]) -> Problem | None:
    """Why a name in the decisions folder is not that of a part with records, if it is not."""
    place = Place(printable(f"{FOLDER}/{name}"))
    if not (root / FOLDER / name).is_dir():
        return Problem.of("record-stray", place, seen=name)
    if not is_name(name):
        return bad_name(name, place, "What stands in the folder")
    if name not in known:
        return Problem.of("record-part-unknown", place, seen=name, hint=nearest(name, known))
    return None


def _not_a_record(part: str, name: str) -> Problem:
    place = Place(printable(f"{FOLDER}/{part}/{name}"))
    return Problem.of("record-name", place, seen=name, record="The file")


def _read_numbered(root: Path, part: str, name: str) -> Numbered:
    path, number = f"{FOLDER}/{part}/{name}", int(name.removesuffix(".md"))
    record = called(part, number)
    try:
        raw = read_file(root, path, most=FORM_BYTES, record=record)
        return read_record(raw, part, number)
    except Refused as refused:
        return _unread(number, path, (refused.problem,))


def _unread(number: int, path: str, problems: tuple[Problem, ...]) -> Numbered:
    return Numbered(
        number=number, path=path, decision=None, followed_by=frozenset(), problems=problems
    )


def read_record(raw: RawFile, part: str, number: int) -> Numbered:
    """One record from its bytes; part and number are what its place on disk says.

    Raises Refused where its front matter cannot be read as a tree.
    """
    record = called(part, number)
    halves = split(raw.data)
    if halves is None:
        return _unread(number, raw.path, (_no_front_matter(raw, record),))
    tree = read_tree(RawFile(path=raw.path, data=halves[0]), record)
    body = _body(raw, halves, record)
    facts, wrong = read_form(DecisionFacts, tree, record)
    touched = tuple(_touched(raw, tree, body, record))
    moved = tuple(_moved(facts, tree, part, number, record)) if facts is not None else ()
    problems = (*tree.problems, *wrong, *touched, *moved)
    if facts is None:
        return _unread(number, raw.path, problems)
    return Numbered(
        number=number,
        path=raw.path,
        decision=_decision(facts, tree, body, part, number, intact=not problems),
        followed_by=frozenset({facts.fingerprint, fingerprint_of(tree.value, body)}),
        problems=problems,
    )


def _decision(
    facts: DecisionFacts, tree: Tree, body: str, part: str, number: int, *, intact: bool
) -> Decision:
    return Decision(
        part=part,
        number=number,
        state=facts.state,
        decided_on=facts.decided_on,
        outcome=facts.outcome or "",
        route=facts.route,
        facts=facts,
        reasons=body,
        files=facts.files,
        previous=None if facts.previous == FIRST else facts.previous,
        fingerprint=facts.fingerprint,
        path=tree.places.file.path,
        intact=intact,
        places=tree.places,
    )


def _no_front_matter(raw: RawFile, record: str) -> Problem:
    first = raw.data.splitlines()[0].decode("utf-8", errors="replace")[:60]
    place = Place(raw.place.path, 1, 1)
    return Problem.of("record-front-missing", place, seen=first, record=record)


def _body(raw: RawFile, halves: tuple[bytes, bytes], record: str) -> str:
    """The prose between the one empty line after the front matter and the last line end."""
    front, rest = halves
    try:
        return rest.decode("utf-8").removeprefix("\n").removesuffix("\n")
    except UnicodeDecodeError as error:
        line = (front + rest[: error.start]).count(b"\n") + 2
        seen = f"byte 0x{rest[error.start]:02x}"
        place = Place(raw.place.path, line, 1)
        raise Refused(Problem.of("file-not-text", place, seen=seen, record=record)) from error


def _touched(raw: RawFile, tree: Tree, body: str, record: str) -> Iterator[Problem]:
    """The problem of a file that is not as it was written; a later format is not judged."""
    facts: Any = tree.value
    if not isinstance(facts, dict) or facts.get("format") != "1":
        return
    text = raw.data.removeprefix(BYTE_ORDER_MARK).replace(b"\r\n", b"\n")
    stated, found = facts.get("fingerprint"), fingerprint_of(facts, body)
    if stated != found or rendered(facts, body).encode("utf-8") != text:
        place = tree.places.of("fingerprint")
        yield Problem.of("record-edited", place, seen=str(stated), expected=found, record=record)


def _moved(
    facts: DecisionFacts, tree: Tree, part: str, number: int, record: str
) -> Iterator[Problem]:
    """A record says itself which it is; a file that was copied or renamed no longer agrees."""
    for key, seen, expected in (
        ("part", facts.part, part),
        ("number", str(facts.number), str(number)),
    ):
        if seen != expected:
            values = {"field": key, "seen": seen, "expected": expected, "record": record}
            yield Problem.of("record-misplaced", tree.places.of(key), **values)


def _chain_problems(part: str, numbered: Sequence[Numbered]) -> Iterator[Problem]:
    yield from _gaps(part, numbered)
    forked = {}
    for each, other in _forks(numbered):
        forked[each.number] = each
        yield _fork(part, each, other)
    by_number = {each.number: each for each in numbered}
    for each in numbered:
        if each.number not in forked and not _follows(each, by_number):
            yield _follows_nothing(part, each)


def _gaps(part: str, numbered: Iterable[Numbered]) -> Iterator[Problem]:
    """One problem for each run of missing numbers, at the record that comes after it."""
    expected = 1
    for each in numbered:
        if each.number > expected:
            last = f" to {each.number - 1:04d}" if each.number - 1 > expected else ""
            seen = f"{expected:04d}{last}"
            yield Problem.of("record-gap", Place(each.path), seen=seen, part=part)
        expected = each.number + 1


def _forks(numbered: Iterable[Numbered]) -> Iterator[tuple[Numbered, Numbered]]:
    """Each record that follows one which an earlier-numbered record follows already."""
    followers: dict[str | None, Numbered] = {}
    for each in numbered:
        if each.decision is not None:
            first = followers.setdefault(each.decision.previous, each)
            if first is not each:
                yield each, first


def _fork(part: str, each: Numbered, other: Numbered) -> Problem:
    values = {"seen": record_name(other.number), "record": called(part, each.number)}
    return Problem.of("record-fork", _previous_place(each), **values)


def _follows(each: Numbered, by_number: dict[int, Numbered]) -> bool:
    """Whether a record names the one before it; unknown where that is missing or unreadable."""
    if each.decision is None:
        return True
    if each.number == 1:
        return each.decision.previous is None
    before = by_number.get(each.number - 1)
    if before is None or not before.followed_by:
        return True
    return each.decision.previous in before.followed_by


def _follows_nothing(part: str, each: Numbered) -> Problem:
    seen = each.decision.previous if each.decision is not None else None
    before = f"the fingerprint of {record_name(each.number - 1)}" if each.number > 1 else FIRST
    values = {"seen": seen or FIRST, "expected": before, "record": called(part, each.number)}
    return Problem.of("record-follows-nothing", _previous_place(each), **values)


def _previous_place(each: Numbered) -> Place:
    if each.decision is None:
        return Place(each.path)
    return each.decision.places.of("previous")
