"""Turning values in words: what a figure would have to be, and what to do then."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from quotegen.basics.money import rounded
from quotegen.basics.printed import listed, per_cent
from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import Outcome
from quotegen.judge.reasons import DOING, verb_of
from quotegen.judge.turning import changes
from quotegen.judge.turning.answer import Answer
from quotegen.judge.turning.figure import Figure, Sort, Stretch, Turn, Turning, joined
from quotegen.judge.turning.listing import STANDS

CONDITIONS = {
    Sort.DEMAND: "{value} are wanted",
    Sort.PRICE: "{subject} asks {value}",
    Sort.TOOL: "{subject} costs {value}",
    Sort.LIFE: "{subject} lasts {value}",
    Sort.MINIMUM: "the minimum of {subject} is {value}",
    Sort.MINIMUM_VALUE: "the minimum value of {subject} is {value}",
    Sort.REJECTS: "the reject share of {subject} is {value}",
    Sort.FREIGHT: "carriage from {subject} costs {value}",
    Sort.DUTY: "duty on goods from {subject} is {value}",
    Sort.RATE: "one {subject} is worth {value}",
    Sort.COMPLETION: "{subject} costs us {value}",
    Sort.LEAD: "{subject} takes {value}",
    Sort.MONEY: "money costs {value} a year",
    Sort.DESIGN: "the chance that the drawing stands is {value}",
}
NAMES = {
    Sort.DEMAND: "demand a year",
    Sort.PRICE: "piece price of {subject}",
    Sort.TOOL: "price of {subject}",
    Sort.LIFE: "life of {subject}",
    Sort.MINIMUM: "minimum of {subject}",
    Sort.MINIMUM_VALUE: "minimum value of {subject}",
    Sort.REJECTS: "reject share of {subject}",
    Sort.FREIGHT: "carriage from {subject}",
    Sort.DUTY: "duty on goods from {subject}",
    Sort.RATE: "exchange rate of {subject}",
    Sort.COMPLETION: "our price for {subject}",
    Sort.LEAD: "lead time of {subject}",
    Sort.MONEY: "cost of money",
    Sort.DESIGN: "chance that the drawing stands",
}


def name_of(figure: Figure) -> str:
    return NAMES[figure.sort].format(subject=figure.subject)


def value_of(figure: Figure, value: Fraction, *, up: bool | None = None) -> str:
    """A value with its unit, to the step in which the figure is told; up or down to it, or near."""
    if figure.unit == STANDS:
        return f"{per_cent(changes.yearly(value))} a year"
    step = figure.step / 10 if figure.is_share else figure.step
    steps = value / step
    count = round(steps) if up is None else math.ceil(steps) if up else math.floor(steps)
    if figure.is_share:
        return per_cent(count * step)
    digits = 0 if step >= 1 else -math.floor(math.log10(step))
    return f"{rounded(count * step, digits):,f} {figure.unit}"


def step_of(figure: Figure) -> str:
    """One step of the figure, with its unit."""
    text = value_of(figure, figure.step)
    return text.removesuffix("s") if text.startswith("1 ") else text


def condition(figure: Figure, turn: Turn) -> str:
    """Such as: the wax die of Aldring costs more than 2,117 GBP."""
    text = value_of(figure, turn.value, up=turn.upwards)
    upwards = turn.upwards if figure.unit != STANDS else not turn.upwards
    if turn.is_beyond:
        text = f"{'more' if upwards else 'less'} than {text}"
    else:
        text = f"{text} or {'more' if upwards else 'fewer' if _is_counted(figure) else 'less'}"
    return CONDITIONS[figure.sort].format(subject=figure.subject, value=text)


def _is_counted(figure: Figure) -> bool:
    return figure.sort in (Sort.DEMAND, Sort.MINIMUM, Sort.LIFE)


class Namer:
    """Calls families by what is done and where; a family is known by its main offer."""

    def __init__(self, comparison: Comparison) -> None:
        self._offers = {offer.name: offer for offer in comparison.offers}

    def doing(self, family: str) -> str:
        offer = self._offers[family]
        return f"{DOING[verb_of(offer)]} at {offer.supplier_name}"

    def order(self, family: str) -> str:
        offer = self._offers[family]
        return f"{verb_of(offer)} at {offer.supplier_name}"

    def short(self, answer: Answer) -> str:
        """The same in a picture."""
        if answer.outcome is Outcome.UNKNOWN:
            return "ask first"
        if answer.outcome is Outcome.TIE:
            return "too close to call"
        return self.order(answer.cheapest) if answer.cheapest is not None else "no route"

    def told(self, answer: Answer) -> str:
        """What is advised then, after a comma or a colon."""
        if answer.outcome is Outcome.UNKNOWN:
            return "ask before you order: an offer that cannot be signed yet could cost less"
        if answer.outcome is Outcome.NO_ROUTE or answer.cheapest is None:
            return "there is no route"
        if answer.outcome is Outcome.CHOSEN:
            return self.order(answer.cheapest)
        first = answer.cheapest
        names = [first, *sorted(answer.ties - {first})]
        return f"it is too close to call between {listed([self.doing(each) for each in names])}"


def sentences(turning: Turning, namer: Namer, *, instead: bool = True) -> Iterator[tuple[str, str]]:
    """For each side on which the advice turns: the nearest condition, and all that follows."""
    turns = turning.turns(of_advice=True)
    for upwards in (True, False):
        side = [turn for turn in turns if turn.upwards is upwards]
        if side:
            first, *later = side
            told = [namer.told(first.answer)]
            if later and first.answer.outcome is Outcome.TIE:
                told = ["it is too close to call"]
            told += [
                f"{_further(turning.figure, turn)}, {namer.told(turn.answer)}" for turn in later
            ]
            text = "; ".join(told)
            if instead and len(side) == 1 and first.answer.outcome is Outcome.CHOSEN:
                text += " instead"
            yield condition(turning.figure, first), text


def _further(figure: Figure, turn: Turn) -> str:
    value = value_of(figure, turn.value, up=turn.upwards)
    upwards = turn.upwards if figure.unit != STANDS else not turn.upwards
    if not turn.is_beyond:
        return f"from {value} {'up' if upwards else 'down'}"
    return f"{'above' if upwards else 'below'} {value}"


def stretch_text(figure: Figure, stretch: Stretch, namer: Namer) -> str:
    """One stretch of a figure with its answer: 1,936 to 2,117 GBP: too close to call ..."""
    first, last = sorted((stretch.first, stretch.last), reverse=figure.unit == STANDS)
    ends = _end(figure, first), _end(figure, last)
    shown = ends[0] if ends[0] == ends[1] else f"{_bare(ends[0], ends[1])} to {ends[1]}"
    return f"{shown}: {namer.short(stretch.answer)}"


def _end(figure: Figure, value: Fraction) -> str:
    """Away from the present value, as the sentences have it."""
    if value in (figure.low, figure.value, figure.high):
        return value_of(figure, value)
    return value_of(figure, value, up=value > figure.value)


def _bare(first: str, last: str) -> str:
    """The first value without a unit that the last one names again."""
    number, _, unit = first.partition(" ")
    return number if unit and last.endswith(f" {unit}") else first


def by_advice(turning: Turning) -> tuple[Stretch, ...]:
    return joined(turning.stretches, lambda answer: answer.advice)


def range_text(figure: Figure) -> str:
    first, last = value_of(figure, figure.low), value_of(figure, figure.high)
    if figure.unit == STANDS:
        first, last = last, first
    return f"{_bare(first, last)} to {last}"
