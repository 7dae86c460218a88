"""A form that was drafted before meets the file as it is now: answers stay, changes are shown."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from quotegen.basics.place import Place
from quotegen.intake.answers import LISTS, QUESTIONS, TAKEN, keys_of, with_answers
from quotegen.intake.yaml_tree import Keys, Tree, in_words
from quotegen.model.question import LEAVE_OUT
from quotegen.model.text import LONGEST_TEXT
from quotegen.taking.comments import name_of, seen_in
from quotegen.taking.fact import Ask, Fact, Findings, Kept, Sure, once
from quotegen.taking.form import HERE, AnsweredAsk, flow


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What another reading of the file says of a field; "" stands for nothing."""

    field: str
    before: str
    now: str
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """The beginnings of the sha256, in base64, of every fact and note that a file said.

    They tell, without the file, what in a form is a person's own, and what was taken out of it.
    """

    shown: frozenset[str] = frozenset()

    def of(self, entry: str) -> str:
        length = max((len(each) for each in self.shown), default=6)
        return _sum(entry)[:length]

    def has(self, entry: str) -> bool:
        return self.of(entry) in self.shown


def _sum(entry: str) -> str:
    return base64.urlsafe_b64encode(hashlib.sha256(entry.encode()).digest()).decode()


def sums_of(entries: Iterable[str]) -> str:
    """The sums as a form keeps them: as long as a text of a form may be, and all of them."""
    whole = [_sum(each) for each in dict.fromkeys(entries)]
    length = max(4, min(6, LONGEST_TEXT // max(1, len(whole)) - 1))
    return " ".join(each[:length] for each in whole[: LONGEST_TEXT // (length + 1)]) or "none"


def entry_of(fact: Fact) -> str:
    """A fact as its sum is made."""
    return f"{_name(fact)}={flow(fact.value)}"


def entry_of_note(text: str) -> str:
    return f"notes={flow(text)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """A form and the file as it is now: facts as they stand, questions with their answers.

    settled are statements of the file that a person overruled with them before their eyes.
    """

    found: Findings
    asks: tuple[AnsweredAsk, ...]
    settled: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What a form says now: its facts, its questions, and which facts a person changed.

    said are the facts with the answers in their places. file, sha256 and earlier are what it was
    drafted from. written gives, by field, the place and the text of the file behind a value.
    read_as is what a person said about how the whole file is read. sums stand for what the file
    said when the form was last written.
    """

    tree: Tree
    facts: Mapping[str, Any]
    said: Mapping[str, Any]
    questions: tuple[Mapping[str, Any], ...]
    file: str
    sha256: str
    earlier: tuple[str, ...] = ()
    written: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    read_as: Mapping[str, Any] = field(default_factory=dict)
    sums: Sums = field(default_factory=Sums)

    @property
    def answered(self) -> tuple[Mapping[str, Any], ...]:
        return tuple(each for each in self.questions if each.get("answer") is not None)

    @property
    def number(self) -> str | None:
        return _text(self.said.get("quote"))

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts that the quote is for, as far as they are known."""
        items = self.said.get("items")
        named = [_text(each.get("part")) for each in items or () if isinstance(each, dict)]
        return tuple(each for each in named if each)

    def answer(self, name: str) -> Any:
        """What a person said about a field; the last answer counts."""
        found = [each["answer"] for each in self.answered if each.get("field") == name]
        kept = self.read_as.get(name.removeprefix("layout, "))
        return found[-1] if found else kept if name.startswith("layout, ") else None


def _text(value: Any) -> str | None:
    return value.strip() if isinstance(value, str) and value.strip() else None


def before(tree: Tree, text: str = "") -> Before | None:
    """What an earlier draft says; None where the form is a person's own."""
    value = tree.value
    if not isinstance(value, dict) or not isinstance(value.get(TAKEN), dict):
        return None
    facts = {key: each for key, each in value.items() if key not in (QUESTIONS, TAKEN, "format")}
    taken, listed = value[TAKEN], value.get(QUESTIONS)
    questions = tuple(each for each in listed or () if isinstance(each, dict))
    earlier = taken.get("instead of")
    names = (str(taken.get("file")), *(earlier if isinstance(earlier, list) else ()))
    return Before(
        tree=tree,
        facts=facts,
        said=said_by(tree),
        questions=questions,
        file=names[0],
        sha256=str(taken.get("file sha256")),
        earlier=tuple(str(each) for each in names[1:]),
        written=seen_in(text, names),
        read_as=read_as if isinstance(read_as := taken.get("read as"), dict) else {},
        sums=Sums(shown=frozenset(str(taken.get("draft sha256")).split())),
    )


def said_by(tree: Tree) -> Mapping[str, Any]:
    """The facts of a form with its answers in their places."""
    value = with_answers(tree, "draft").tree.value
    return {key: each for key, each in value.items() if key != "format"}


def with_former(found: Findings, former: Before) -> Met:
    """The findings as the form takes them, with every answer that a person gave before.

    What a person changed in the form or took out of it stays so. Where the file says something
    else by now than it said then, it is asked.
    """
    hand = _by_hand(former)
    changed = {_name(each) for each in hand}
    gone = _taken_out(former)
    differing = list(_differing(found, hand, gone, former))
    asks = [_answered(each, former) for each in (*found.asks, *differing)]
    known = {(in_words(each.ask.keys), each.ask.seen) for each in asks}
    extra = [_kept(each, found) for each in former.answered if _is_gone(each, known)]
    asks += [each for each in extra if each is not None]
    asked = {(each.keys, each.seen, each.place) for each in differing}
    is_out = {
        entry_of(each) for each in found.facts if former.sums.of(entry_of(each)) in gone
    }  # fmt: skip
    settled = [
        entry_of(each) for each in found.facts
        if (_name(each) in changed or entry_of(each) in is_out)
        and (each.keys, each.seen, each.place) not in asked
    ]  # fmt: skip
    facts = [
        each for each in found.facts
        if entry_of(each) not in is_out and (each.keys, each.seen, each.place) not in asked
    ]  # fmt: skip
    merged = Findings(facts=_merged(facts, hand), asks=found.asks, kept=_notes(found, former))
    left_out = [entry_of_note(each.text) for each in found.kept if each not in merged.kept]
    return Met(found=merged, asks=tuple(asks), settled=(*settled, *left_out))


def _by_hand(former: Before) -> list[Fact]:
    """The facts of a form that are a person's own: changed, or written into it."""
    return [
        each for each in _facts_of(former.facts, (), former)
        if each.keys != ("notes",) and not former.sums.has(entry_of(each))
    ]  # fmt: skip


def _taken_out(former: Before) -> frozenset[str]:
    """The sums of what a file said and its form no longer does."""
    facts = [entry_of(each) for each in _facts_of(former.facts, ()) if each.keys != ("notes",)]
    listed = former.facts.get("notes")
    notes = [entry_of_note(str(each)) for each in listed or () if isinstance(listed, list)]
    return former.sums.shown - {former.sums.of(each) for each in (*facts, *notes)}


def _merged(facts: Sequence[Fact], hand: Sequence[Fact]) -> list[Fact]:
    """The facts of the file with a person's in their places; prices by their quantity."""
    own = {_name(each): each for each in hand}
    made = []
    for fact in facts:
        mine = own.pop(_name(fact), None)
        if mine is None or flow(mine.value) == flow(fact.value):
            made.append(fact)
        elif mine.seen:
            made.append(mine)
        else:
            made.append(dataclasses.replace(fact, value=mine.value, sure=Sure.BY_HAND))
    made += own.values()
    prices = [each for each in made if each.keys[-1] == "prices"]
    rest = [each for each in made if each.keys[-1] != "prices"]
    return rest + sorted(prices, key=lambda each: (each.keys[1], _count(each)))


def _count(fact: Fact) -> int:
    digits = _start(fact.value).split(" ")[0]
    return int(digits) if digits.isascii() and digits.isdigit() and len(digits) < 12 else 0


def _notes(found: Findings, former: Before) -> list[Kept]:
    """The notes of the file less those that a person took out, and a person's own."""
    gone = _taken_out(former)
    listed = former.facts.get("notes")
    said = [str(each) for each in listed] if isinstance(listed, list) else []
    now = [each for each in found.kept if former.sums.of(entry_of_note(each.text)) not in gone]
    texts = {flow(each.text) for each in now}
    own = [
        Kept(text=each, place=Place(HERE)) for each in said
        if flow(each) not in texts and not former.sums.has(entry_of_note(each))
    ]  # fmt: skip
    return [*now, *own]


def carried(asks: Sequence[Ask], older: Before) -> list[AnsweredAsk]:
    """The questions of a quote that replaces another, with the answers given to the same ones."""
    return [_answered(each, older) for each in asks]


def _answered(ask: Ask, former: Before) -> AnsweredAsk:
    """The question with the answer that was given to the same one."""
    for each in former.answered:
        same = each.get("field") == in_words(ask.keys) and _seen(each) == _squeezed(ask.seen)
        if same and _same_readings(each, ask):
            return AnsweredAsk(ask=ask, answer=each["answer"])
    return AnsweredAsk(ask=ask)


def _same_readings(written: Mapping[str, Any], ask: Ask) -> bool:
    return [flow(each) for each in written.get("readings") or ()] == [
        flow(each) for each in ask.readings
    ]


def _seen(written: Mapping[str, Any]) -> str:
    return _squeezed(str(written.get("seen") or ""))


def _squeezed(text: str) -> str:
    return " ".join(text.split())[:1990]


def _is_gone(written: Mapping[str, Any], known: set[tuple[str, str]]) -> bool:
    field = str(written.get("field"))
    return not any(field == name and _squeezed(seen) == _seen(written) for name, seen in known)


def _kept(written: Mapping[str, Any], found: Findings) -> AnsweredAsk | None:
    """An answer whose question the file no longer raises; None where the file now agrees.

    Where the file says something else by now, both are asked about.
    """
    keys, answer = keys_of(str(written.get("field"))), written["answer"]
    readings = tuple(written.get("readings") or ())
    at = Place(str(written.get("at") or "an earlier file"))
    ask = Ask(
        keys=keys,
        seen=str(written.get("seen") or ""),
        place=at,
        readings=readings,
        ask=str(written.get("ask")),
    )
    if not keys or keys[0] == "layout":
        return AnsweredAsk(ask=ask, answer=answer)
    start = next((_start(each) for each in (answer, *readings) if _start(each)), "")
    now = [
        each for each in found.facts
        if each.keys == keys and (keys[-1] not in LISTS or _start(each.value) == start != "")
    ]  # fmt: skip
    shown = [flow(each) for each in readings]
    if (not now and answer == LEAVE_OUT) or answer in [each.value for each in now]:
        return None
    found.facts[:] = [each for each in found.facts if each not in now]
    if all(flow(each.value) in shown for each in now):  # the file says what it said then
        return AnsweredAsk(ask=ask, answer=answer)
    said = "; ".join(flow(each.value) for each in now)
    told = f"You answered {flow(answer)} before; the file now says {said}. Which holds?"
    both = once([*(each.value for each in now), *([answer] if answer != LEAVE_OUT else [])])
    return AnsweredAsk(ask=dataclasses.replace(ask, readings=both, ask=told))


def _start(value: Any) -> str:
    if isinstance(value, dict):
        return str(value.get("from") or value.get("what") or "")
    return ""


def _facts_of(value: Any, keys: Keys, former: Before | None = None) -> Iterator[Fact]:
    """A form as facts; former gives the place and text that stood behind them in the file."""
    if isinstance(value, dict) and (not keys or (keys[0] == "items" and len(keys) == 2)):
        for key, inner in value.items():
            yield from _facts_of(inner, (*keys, key), former)
    elif isinstance(value, list) and keys == ("items",):
        for index, inner in enumerate(value):
            yield from _facts_of(inner, (*keys, index), former)
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield _fact(keys, inner, (*keys, index), former)
    else:
        yield _fact(keys, value, keys, former)


def _fact(keys: Keys, value: Any, at: Keys, former: Before | None) -> Fact:
    way = (*at, next(iter(value))) if isinstance(value, dict) and value else at
    name = name_of(former.tree, way) if former is not None else ""
    place, seen = former.written.get(name, (HERE, "")) if former is not None else (HERE, "")
    sure = Sure.BY_HAND if seen else Sure.SAID
    return Fact(keys=keys, value=value, seen=seen, place=Place(place), sure=sure)


def _differing(
    found: Findings, hand: Sequence[Fact], gone: frozenset[str], former: Before
) -> Iterator[Ask]:
    """What the file says otherwise by now than a person who changed the form could see."""
    own = {_name(each): flow(each.value) for each in hand}
    said = {_name(each): flow(each.value) for each in _facts_of(former.facts, ())}
    changed = sum(1 for each in hand if each.seen)
    for fact in found.facts:
        if former.sums.has(entry_of(fact)):
            continue  # the file said so when the person changed it
        was = own.get(_name(fact), "")
        is_new = _name(fact) not in said
        if was == flow(fact.value) or not (was or (is_new and len(gone) > changed)):
            continue
        readings = (fact.value, *_former_value(former, fact)) if was else (fact.value,)
        ask = f"The file says {flow(fact.value)}, the form {was or 'nothing'}. Which holds?"
        yield Ask(keys=fact.keys, seen=fact.seen, place=fact.place, readings=readings, ask=ask)


def _former_value(former: Before, fact: Fact) -> tuple[Any, ...]:
    values = [each.value for each in _facts_of(former.facts, ()) if each.keys == fact.keys]
    return tuple(
        each for each in values if fact.keys[-1] not in LISTS or _start(each) == _start(fact.value)
    )


def changes(former: Before, now: Mapping[str, Any], found: Findings) -> tuple[Change, ...]:
    """What the form says now and did not before, field by field, answers counted."""
    places = {_name(each): str(each.place) for each in (*found.facts,)}
    old = {
        _name(each): flow(each.value)
        for each in _facts_of(former.said, ())
        if each.keys != ("notes",)
    }
    new = {_name(each): flow(each.value) for each in _facts_of(now, ()) if each.keys != ("notes",)}
    return tuple(
        Change(
            field=name, before=old.get(name, ""), now=new.get(name, ""), place=places.get(name, "")
        )
        for name in dict.fromkeys([*new, *old])
        if old.get(name) != new.get(name)
    )


def _name(fact: Fact) -> str:
    """A field, and of a list the line by its quantity or by what it is."""
    name = in_words(fact.keys)
    if fact.keys[-1] not in LISTS:
        return name
    line = _start(fact.value) or flow(fact.value)
    return f"{name}, from {line}" if fact.keys[-1] == "prices" else f"{name}, {line}"
