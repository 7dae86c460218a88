"""A form that was drafted before meets the file as it is now: answers stay, changes are shown."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from quotegen.basics.place import Place
from quotegen.intake.answers import LISTS, QUESTIONS, TAKEN, keys_of, with_answers
from quotegen.intake.yaml_tree import Keys, Tree, in_words
from quotegen.taking.fact import Ask, Fact, Findings
from quotegen.taking.form import AnsweredAsk, draft_sha256, flow


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What another reading of the file says of a field; "" stands for nothing."""

    field: str
    before: str
    now: str
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What a form says now: its facts, its questions, and whether a person changed a fact.

    said are the facts with the answers in their places.
    """

    facts: Mapping[str, Any]
    said: Mapping[str, Any]
    questions: tuple[Mapping[str, Any], ...]
    is_touched: bool

    @property
    def answered(self) -> tuple[Mapping[str, Any], ...]:
        return tuple(each for each in self.questions if each.get("answer") is not None)

    def layout_answer(self, key: str) -> Any:
        """What a person said about how the whole file is read."""
        field = f"layout, {key}"
        found = [each["answer"] for each in self.answered if each.get("field") == field]
        return found[-1] if found else None


def before(tree: Tree) -> Before | None:
    """What an earlier draft says; None where the form is a person's own."""
    value = tree.value
    if not isinstance(value, dict) or not isinstance(value.get(TAKEN), dict):
        return None
    facts = {key: each for key, each in value.items() if key not in (QUESTIONS, TAKEN, "format")}
    drafted = value[TAKEN].get("draft sha256")
    listed = value.get(QUESTIONS)
    questions = tuple(each for each in listed or () if isinstance(each, dict))
    return Before(
        facts=facts,
        said=said_by(tree),
        questions=questions,
        is_touched=draft_sha256(facts) != drafted,
    )


def said_by(tree: Tree) -> Mapping[str, Any]:
    """The facts of a form with its answers in their places."""
    value = with_answers(tree, "draft").tree.value
    return {key: each for key, each in value.items() if key != "format"}


def with_former(found: Findings, former: Before) -> tuple[Findings, tuple[AnsweredAsk, ...]]:
    """The findings as the form takes them, with every answer that a person gave before.

    Where a person changed facts, the form keeps these, and what the file says otherwise is asked.
    """
    asks = [_answered(each, former) for each in found.asks]
    known = {(in_words(each.ask.keys), each.ask.seen) for each in asks}
    extra = [_kept(each, found) for each in former.answered if _is_gone(each, known)]
    asks += [each for each in extra if each is not None]
    if not former.is_touched:
        return found, tuple(asks)
    shown = {(_name(each), flow(each.value)): each for each in found.facts}
    facts = [
        shown.get((_name(each), flow(each.value)), each) for each in _facts_of(former.facts, ())
    ]
    held = Findings(facts=facts, asks=found.asks, kept=[])
    asks += [AnsweredAsk(ask=each) for each in _differing(found, former)]
    return held, tuple(asks)


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
    now = [each.value for each in found.facts if each.keys == keys]
    if keys[0] == "layout" or not keys:
        return AnsweredAsk(ask=ask, answer=answer)
    if answer in now or answer == "leave out":
        return None
    if keys[-1] in LISTS and not _same_line(answer, now):
        return AnsweredAsk(ask=ask, answer=answer)
    if not now:
        return AnsweredAsk(ask=ask, answer=answer)
    told = (
        f"You answered {flow(answer)} before; the file now says "
        f"{'; '.join(flow(n) for n in now)}. Which holds?"
    )
    found.facts[:] = [
        each for each in found.facts if each.keys != keys or _start(each.value) != _start(answer)
    ]
    now = [each for each in now if _start(each) == _start(answer)]
    return AnsweredAsk(ask=dataclasses.replace(ask, readings=(*now, answer), ask=told))


def _same_line(answer: Any, now: Sequence[Any]) -> bool:
    """Whether the file now has a line for the same: a price for the same quantity, or one cost."""
    return any(_start(each) == _start(answer) and _start(answer) for each in now)


def _start(value: Any) -> str:
    if isinstance(value, dict):
        return str(value.get("from") or value.get("what") or "")
    return ""


def _facts_of(value: Any, keys: Keys) -> Iterator[Fact]:
    """A person's form as facts, without places: they keep their words."""
    here = Place("this form")
    if isinstance(value, dict) and (not keys or (keys[0] == "items" and len(keys) == 2)):
        for key, inner in value.items():
            yield from _facts_of(inner, (*keys, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            if keys == ("items",):
                yield from _facts_of(inner, (*keys, index))
            else:
                yield Fact(keys=keys, value=inner, seen="", place=here)
    else:
        yield Fact(keys=keys, value=value, seen="", place=here)


def _differing(found: Findings, former: Before) -> Iterator[Ask]:
    """What the file says otherwise than the form of a person who changed it."""
    for was, fact in _other_facts(former, found):
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


def _other_facts(former: Before, found: Findings) -> Iterator[tuple[str, Fact]]:
    """The facts of a file that the form of a person does not say, with what it says instead."""
    old = {_name(each): flow(each.value) for each in _facts_of(former.said, ())}
    for fact in found.facts:
        was = old.get(_name(fact), "")
        if was != flow(plain(fact.value)) and fact.keys != ("notes",):
            yield was, fact


def plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def _name(fact: Fact) -> str:
    """A field, and of a list the line by its quantity or by what it is."""
    name = in_words(fact.keys)
    if fact.keys[-1] not in LISTS:
        return name
    line = _start(fact.value) or flow(fact.value)
    return f"{name}, from {line}" if fact.keys[-1] == "prices" else f"{name}, {line}"
