"""The conversation about a draft: a question with the lines around it, an answer, a check of it."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from quotegen.intake.answers import with_answers
from quotegen.intake.files import RawFile
from quotegen.intake.forms import read_form
from quotegen.intake.yaml_tree import Keys, read_tree
from quotegen.model.question import LEAVE_OUT
from quotegen.model.quote import Quote
from quotegen.taking.fact import Ask, Fact, Findings
from quotegen.taking.form import AnsweredAsk, rendered, tree_of
from quotegen.taking.screen import WIDTH, again, called, listed, question, said, wrapped
from quotegen.taking.seen import Seen
from quotegen.taking.spelling import YES, Around, in_prose, understood
from quotegen.taking.words import fold

# Shows lines, asks on the last one, and gives what was typed; None where nobody is there any more.
Talk = Callable[[Sequence[str]], str | None]

HELP = (
    "Enter leaves a question for later, - leaves the value out, q stops and keeps what was "
    "answered, ? shows this."
)
AMOUNTS = "Amounts may be typed as 12,50 or 12.50, days as 5 October 2026 or 2026-10-05."
ROOM = 10  # columns for what is typed behind a prompt
FEW_PARTS = 9  # so many parts are offered by number
ORDER = ("layout", "replaces", "quote", "date", "currency", "valid until", "valid for")
ORDER_IN_ITEM = ("part", "revision", "material", "prices")


@dataclass(slots=True, kw_only=True)
class Person:
    """Who is asked, and how far the conversation is.

    has_left says that the person stopped it; passed are the questions that are left for later.
    """

    talk: Talk
    seen: Seen
    around: Around = field(default_factory=Around)
    width: int = WIDTH
    asked: int = 0
    has_left: bool = False
    passed: set[str] = field(default_factory=set)
    told: list[str] = field(default_factory=list)

    def answers(self, lines: Sequence[str]) -> str | None:
        """What is typed behind the last line; None once the person stops."""
        shown = [line for each in self.told for line in wrapped(each, self.width)]
        self.told = []
        *before, prompt = lines
        *head, last = wrapped(prompt, self.width - ROOM)
        typed = None if self.has_left else self.talk([*shown, *before, *head, f"{last} "])
        if typed is None or typed.strip().casefold() in ("q", "quit"):
            self.has_left = True
            return None
        return typed


def identity(ask: Ask) -> str:
    """By what a question is known to be the same in another reading of the file."""
    return f"{ask.keys}|{ask.seen}|{ask.readings}"


def rank(keys: Keys) -> tuple[int, int, int]:
    """What other answers hang on comes first, notes come last."""
    if keys[0] == "items" and len(keys) > 2:
        order = (
            ORDER_IN_ITEM.index(str(keys[2])) if keys[2] in ORDER_IN_ITEM else len(ORDER_IN_ITEM)
        )
        return (len(ORDER), int(keys[1]), order)
    if keys[0] in ORDER:
        return (ORDER.index(str(keys[0])), 0, 0)
    return (len(ORDER) + (2 if keys[0] == "notes" else 1), 0, 0)


def misfits(found: Findings, asks: Sequence[AnsweredAsk]) -> set[str]:
    """What is wrong with a form that says this, beside open questions."""
    text = rendered(tree_of(found), asks, {}, ())
    tree = read_tree(RawFile(path="draft", data=text.encode()), "The draft")
    answered = with_answers(tree, "draft")
    _, problems = read_form(Quote, answered.tree, "The draft")
    told = [
        each
        for each in (*answered.problems, *problems)
        if each.code not in ("question-open", "answer-not-taken")
    ]
    return {each.message for each in told if each.code not in ("missing-field", "list-empty")}


def converse(
    found: Findings, asks: Sequence[AnsweredAsk], person: Person, more: int = 0
) -> list[AnsweredAsk]:
    """Every open question, asked until its answer fits or it is left open; more wait elsewhere."""
    done = list(asks)
    waiting = sorted(
        (at for at, each in enumerate(done) if _is_waiting(each, person)),
        key=lambda at: rank(done[at].ask.keys),
    )
    count = person.asked + len(waiting) + more
    for at in waiting:
        if person.has_left:
            break
        if person.asked == 0:
            person.told += [HELP]
        person.asked += 1
        parts = parts_named(found, done)
        name = called(done[at].ask.keys, parts)
        head = f"Question {person.asked} of {count}: {name}, at {done[at].ask.place}"
        done = _one(found, done, at, head, person)
        if done[at].answer is None:
            person.passed.add(identity(done[at].ask))
    return done


def _is_waiting(each: AnsweredAsk, person: Person) -> bool:
    return each.answer is None and identity(each.ask) not in person.passed


def _one(
    found: Findings, asks: list[AnsweredAsk], at: int, head: str, person: Person,
    later: str = "later",
) -> list[AnsweredAsk]:  # fmt: skip
    """One question, until its answer fits, it is left open or the person stops."""
    ask = asks[at].ask
    choices = _choices(ask, person.around)
    prompt = _prompt(ask, choices, later)
    lines = [*question(ask, person.seen, choices, head, person.width), prompt]
    while True:
        typed = person.answers(lines)
        if typed is None:
            return asks
        lines = [*again(ask, choices, person.width), prompt]
        if typed.strip() == "?":
            person.told += [HELP, AMOUNTS]
            continue
        try:
            answer = _understood(typed, ask, choices, person, found)
        except ValueError as error:
            person.told.append(str(error))
            continue
        tried, wrong = _tried(found, asks, at, answer, typed)
        if not wrong:
            _tell(typed, tried[at].answer, choices, person)
            return tried
        person.told += sorted(wrong)


def _tried(
    found: Findings, asks: list[AnsweredAsk], at: int, answer: Any, typed: str
) -> tuple[list[AnsweredAsk], set[str]]:
    """The questions with this answer, and what then is wrong; a sentence is tried as a file's."""
    wrong: set[str] = set()
    in_words = in_prose(typed, asks[at].ask.keys) if isinstance(answer, str) else None
    for each in (answer, in_words):
        tried = [*asks[:at], dataclasses.replace(asks[at], answer=each), *asks[at + 1 :]]
        new = misfits(found, tried) - misfits(found, asks) if each is not None else set()
        if not new:
            return (tried, set()) if each is not None or answer is None else (asks, wrong)
        wrong = wrong or new
    return asks, wrong


def _tell(typed: str, answer: Any, choices: Sequence[Any], person: Person) -> None:
    """How an answer was taken, where it was not typed so and is no reading by its number."""
    is_number = typed.strip().isdigit() and answer in choices
    if answer is not None and answer != LEAVE_OUT and not is_number and said(answer) != typed:
        person.told.append(f"Taken as: {said(answer)}")


def _choices(ask: Ask, around: Around) -> tuple[Any, ...]:
    """What is offered by number: the readings, or our parts where they are few."""
    is_part = ask.keys[-1] == "part" and not ask.readings
    return around.parts if is_part and len(around.parts) <= FEW_PARTS else ask.readings


def _prompt(ask: Ask, choices: Sequence[Any], later: str = "later") -> str:
    if ask.keys == ("layout", "heads"):
        return f"Columns of quantity, price and part, such as 1 2 3 (Enter: {later}):"
    if not choices:
        return f"Answer (- to leave it out, Enter: {later}):"
    numbers = "1" if len(choices) == 1 else f"1 to {len(choices)}"
    return f"Answer ({numbers}, your own value, - to leave it out, Enter: {later}):"


def _understood(
    typed: str, ask: Ask, choices: Sequence[Any], person: Person, found: Findings
) -> Any:
    around = person.around
    if ask.keys[-1] == "prices":
        around = dataclasses.replace(
            around, currency=_currency_of(found) or around.currency, per=_per_of(found, ask.keys)
        )
    return understood(typed, ask.keys, choices, around)


def _currency_of(found: Findings) -> str | None:
    return next(iter(found.values("currency")), None)


def _per_of(found: Findings, keys: Keys) -> str | None:
    """What the other prices of an item are for, where they agree."""
    shown = {
        " ".join(str(each.get("price", "")).split()[2:])
        for each in found.values(*keys) if isinstance(each, dict)
    } - {""}  # fmt: skip
    return shown.pop() if len(shown) == 1 else None


def parts_named(found: Findings, asks: Sequence[AnsweredAsk]) -> tuple[str, ...]:
    """The part of each item, "" for one that is not known yet."""
    named = {int(f.keys[1]): str(f.value) for f in found.facts if f.keys[2:] == ("part",)}
    for each in asks:
        if each.ask.keys[2:] == ("part",) and each.answer not in (None, LEAVE_OUT):
            named[int(each.ask.keys[1])] = str(each.answer)
    return tuple(named.get(at, "") for at in range(max(named, default=-1) + 1))


# looking over all of it


def look_over(
    found: Findings, asks: Sequence[AnsweredAsk], person: Person
) -> list[AnsweredAsk]:  # fmt: skip
    """Shows the whole draft; a person corrects a value by its number. That becomes an answer."""
    done = list(asks)
    found.facts.sort(key=lambda each: rank(each.keys))
    while not person.has_left:
        spots = [at for at, each in enumerate(done) if _is_shown(each)]
        lines = _overview(found, [done[at] for at in spots], parts_named(found, done), person)
        if not lines:
            return done
        said_so = person.answers([*lines, "Enter if all is right, or the number of one:"])
        typed = "" if said_so is None else said_so.strip()
        if not typed or fold(typed) in YES:
            return done
        number = int(typed) if re.fullmatch(r"\d{1,4}", typed) else 0
        if not 1 <= number <= len(found.facts) + len(spots):
            person.told.append(f"'{typed[:40]}' is no number of this list.")
        elif number <= len(found.facts):
            done = _correct(found, done, found.facts[number - 1], person)
        else:
            at = spots[number - 1 - len(found.facts)]
            done = _answer_again(found, done, at, person)
    return done


def _is_shown(each: AnsweredAsk) -> bool:
    return each.answer is not None and each.ask.keys[0] != "layout"


def _overview(
    found: Findings, answered: Sequence[AnsweredAsk], parts: Sequence[str], person: Person
) -> list[str]:
    entries = [
        *((each.keys, each.value, each.place, each.seen) for each in found.facts),
        *((each.ask.keys, each.answer, None, "") for each in answered),
    ]
    shown = list(listed(entries, parts, person.width))
    return ["", "The quote as it was read and answered:", *shown] if shown else []


def _correct(
    found: Findings, asks: list[AnsweredAsk], fact: Fact, person: Person
) -> list[AnsweredAsk]:
    """A fact that a person corrects becomes a question with an answer."""
    ask = Ask(
        keys=fact.keys, seen=fact.seen, place=fact.place, readings=(fact.value,),
        ask="Corrected by a person; read as:",
    )  # fmt: skip
    rest = Findings(
        facts=[each for each in found.facts if each is not fact], asks=found.asks, kept=found.kept
    )
    tried = _answer_again(rest, [AnsweredAsk(ask=ask), *asks], 0, person)
    if tried[0].answer is None or tried[0].answer == fact.value:
        return asks
    found.facts.remove(fact)
    return tried


def _answer_again(
    found: Findings, asks: list[AnsweredAsk], at: int, person: Person
) -> list[AnsweredAsk]:
    """Another answer, or the one there was where nothing is typed."""
    name = called(asks[at].ask.keys, parts_named(found, asks))
    blank = dataclasses.replace(asks[at], answer=None)
    opened = [*asks[:at], blank, *asks[at + 1 :]]
    tried = _one(found, opened, at, f"Correct {name}, at {blank.ask.place}", person, "as it was")
    return asks if tried[at].answer is None else tried
