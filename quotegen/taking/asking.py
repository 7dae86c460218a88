"""The conversation about a draft: a question with the lines around it, an answer, a check of it."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Sequence
from typing import Any

from quotegen.basics.place import Place
from quotegen.intake.answers import with_answers
from quotegen.intake.files import RawFile, Refused
from quotegen.intake.forms import read_form
from quotegen.intake.yaml_tree import in_words, read_tree
from quotegen.model.question import LEAVE_OUT
from quotegen.model.quote import Quote
from quotegen.taking.fact import Ask, Fact, Findings
from quotegen.taking.form import AnsweredAsk, flow, rendered, tree_of
from quotegen.taking.seen import Seen

# Shows lines, asks on the last one, and gives what was typed; None where nobody is there any more.
Talk = Callable[[Sequence[str]], str | None]
AROUND = 2


def lines_around(seen: Seen, place: Place) -> tuple[str, ...]:
    """What stands around a place of the file, the line itself marked."""
    for part in (seen, *seen.parts):
        for sheet in part.sheets:
            for number, row in enumerate(sheet.grid.rows):
                if any(cell.place == place for cell in row):
                    rows = sheet.grid.rows[max(0, number - AROUND) : number + AROUND + 1]
                    first = max(0, number - AROUND)
                    return tuple(
                        _marked(
                            "  |  ".join(cell.text for cell in each if not cell.covered),
                            first + at == number,
                        )
                        for at, each in enumerate(rows)
                    )
        for number, line in enumerate(part.lines):
            if line.place == place:
                first = max(0, number - AROUND)
                near = part.lines[first : number + AROUND + 1]
                return tuple(
                    _marked(each.text, first + at == number) for at, each in enumerate(near)
                )
    return ()


def _marked(text: str, here: bool) -> str:
    return f"  {'>' if here else ' '} {text[:150]}"


def shown(ask: Ask, seen: Seen, number: int, count: int) -> list[str]:
    """A question as a terminal shows it; the last line is where the answer is typed."""
    lines = ["", f"Question {number} of {count}: {in_words(ask.keys)}, at {ask.place}"]
    lines += lines_around(seen, ask.place) or (
        [f"  > {ask.seen[:150]}"] if ask.seen.strip() else []
    )
    lines.append(ask.ask)
    lines += [f"  {at}  {flow(reading)}" for at, reading in enumerate(ask.readings, 1)]
    choice = "a number, " if ask.readings else ""
    lines.append(f"Answer ({choice}your own value, - to leave out, Enter to leave it open): ")
    return lines


def answer_of(typed: str, readings: Sequence[Any]) -> Any:
    """What a person typed, as a value; None for nothing.

    Raises ValueError where it is a group or a list that cannot be read.
    """
    text = typed.strip()
    if not text:
        return None
    if text in ("-", LEAVE_OUT):
        return LEAVE_OUT
    if re.fullmatch(r"[1-9]\d?", text) and int(text) <= len(readings):
        return readings[int(text) - 1]
    if text[0] not in "{[":
        return text
    try:
        tree = read_tree(RawFile(path="answer", data=f"answer: {text}".encode()), "The answer")
    except Refused as refused:
        raise ValueError(refused.problem.message) from refused
    return tree.value["answer"]


def misfits(found: Findings, asks: Sequence[AnsweredAsk]) -> set[str]:
    """What is wrong with a form that says this, beside open questions."""
    text = rendered(tree_of(found), asks, {}, ())
    tree = read_tree(RawFile(path="draft", data=text.encode()), "The draft")
    said = with_answers(tree, "draft")
    _, problems = read_form(Quote, said.tree, "The draft")
    told = [
        each
        for each in (*said.problems, *problems)
        if each.code not in ("question-open", "answer-not-taken")
    ]
    return {each.message for each in told if each.code not in ("missing-field", "list-empty")}


def converse(
    found: Findings, asks: Sequence[AnsweredAsk], seen: Seen, talk: Talk
) -> list[AnsweredAsk]:
    """Every open question, asked until its answer fits or it is left open."""
    done = list(asks)
    waiting = [at for at, each in enumerate(done) if each.answer is None]
    for number, at in enumerate(waiting, 1):
        lines = shown(done[at].ask, seen, number, len(waiting))
        while True:
            typed = talk(lines)
            if typed is None:
                return done
            try:
                answer = answer_of(typed, done[at].ask.readings)
            except ValueError as error:
                lines = [str(error), lines[-1]]
                continue
            tried = [*done[:at], dataclasses.replace(done[at], answer=answer), *done[at + 1 :]]
            wrong = misfits(found, tried) - misfits(found, done) if answer is not None else set()
            if not wrong:
                done = tried
                break
            lines = [*sorted(wrong), lines[-1]]
    return done


def confirm(found: Findings, talk: Talk) -> list[AnsweredAsk]:
    """Shows every fact; a person corrects one by its number. What is corrected is an answer."""
    corrected: list[AnsweredAsk] = []
    while found.facts:
        lines = ["", "Read beyond doubt:"]
        lines += [_fact(at, each) for at, each in enumerate(found.facts, 1)]
        lines.append("Right? (Enter if all are, the number of one to correct): ")
        typed = (talk(lines) or "").strip()
        if not re.fullmatch(r"[1-9]\d{0,3}", typed) or int(typed) > len(found.facts):
            return corrected
        fact = found.facts[int(typed) - 1]
        ask = Ask(
            keys=fact.keys, seen=fact.seen, place=fact.place, readings=(fact.value,),
            ask="Read so, and corrected by a person.",
        )  # fmt: skip
        new = talk([_fact(int(typed), fact), "The right value (- to leave out): "])
        try:
            answer = answer_of(new or "", ())
        except ValueError:
            continue
        if answer is not None:
            made = AnsweredAsk(ask=ask, answer=answer)
            rest = Findings(
                facts=[each for each in found.facts if each is not fact],
                asks=found.asks,
                kept=found.kept,
            )
            if misfits(rest, [*corrected, made]) - misfits(found, corrected):
                continue
            found.facts.remove(fact)
            corrected.append(made)
    return corrected


def _fact(number: int, fact: Fact) -> str:
    where = f"{fact.place}: {fact.seen[:60]}"
    return f"  {number:>3}  {in_words(fact.keys)}: {flow(fact.value)}    ({where})"
