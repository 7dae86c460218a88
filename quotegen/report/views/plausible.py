"""Is the quote plausible: its times against published ones, its prices against other prices."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import rounded
from quotegen.judge.plausible import Plausibility, Timed, Weighed
from quotegen.judge.steps import ProcessTimes, Step, in_words, process_times
from quotegen.report.views.shape import NONE, Cell, Row, Table, row, words


@dataclass(frozen=True, slots=True, kw_only=True)
class PlausibleView:
    """Plain sentences, one row for each offer, and where the numbers come from."""

    told: tuple[str, ...]
    table: Table
    sources: str


def plausible_view(found: Sequence[Plausibility]) -> PlausibleView | None:
    """None where nothing could be held against anything."""
    shown = [each for each in found if each.times or each.prices]
    if not shown:
        return None
    return PlausibleView(
        told=tuple(_told(shown)),
        table=Table(
            caption="Times and prices as quoted, beside what else is known",
            columns=words("Quote", "Time as quoted", "Fastest published", "Price against others"),
            rows=tuple(_row(each) for each in shown),
        ),
        sources=_sources(shown),
    )


def _told(shown: Sequence[Plausibility]) -> Iterator[str]:
    asking = [each for each in shown if each.questions]
    if not asking:
        yield (
            "No stated time is shorter than the fastest published one, and no price is far from "
            "the others of its kind."
        )
        return
    for each in asking:
        asked = " ".join(question.text for question in each.questions)
        yield f"To ask {each.offer.supplier_name}: {asked}"
    yield (
        "A question is no reproach: it may have a good answer. It stands among the questions "
        "below, without anybody else's price in it."
    )


def _row(each: Plausibility) -> Row:
    return row(
        Cell(
            text=each.offer.supplier_name, small=f"{each.offer.quote}, {each.offer.process.value}"
        ),
        _listed(_time(timed) for timed in each.times),
        _listed(_published(timed) for timed in each.times),
        _listed(_price(weighed) for weighed in each.prices),
    )


def _listed(texts: Iterable[str]) -> str:
    return "; ".join(texts) or NONE


def _time(timed: Timed) -> str:
    return f"{timed.what} {timed.text}"


def _published(timed: Timed) -> str:
    short = ", longer than stated" if timed.is_short else ""
    return f"{in_words(timed.fastest)}{short}"


def _price(weighed: Weighed) -> str:
    far = ", far off" if weighed.is_far else ""
    of = f"the median of {weighed.others} {weighed.measure.of}"
    return f"{weighed.measure.what} {_multiple(weighed.ratio)} {of}{far}"


def _multiple(ratio: Fraction) -> str:
    """A ratio to two digits, such as 0.31 or 12 times."""
    digits = 0 if ratio >= 10 else 1 if ratio >= 1 else 2
    return f"{rounded(ratio, digits):,f} times"


def _sources(shown: Sequence[Plausibility]) -> str:
    """The published times of the processes on offer; what we know no good source for is marked."""
    known = process_times()
    processes = dict.fromkeys(each.offer.process for each in shown)
    told = "; ".join(_of_process(process.value, known[process]) for process in processes)
    return (
        f"Hours around the clock, each step at its fastest: {told}. A star marks low confidence: "
        "common practice, good enough to ask. Far off is beyond 8 times the median or below an "
        "eighth of it (a gram of a print: 4 and a quarter; above, for a casting quoted without "
        "any tool: 3)."
    )


def _of_process(name: str, times: ProcessTimes) -> str:
    steps = ", ".join(_hours(step) for step in times.steps)
    if times.whole is None:
        return f"{name}: {steps}"
    return f"{name}: {steps}; {_hours(times.whole)} as published ({times.whole.source})"


def _hours(step: Step) -> str:
    star = "*" if step.confidence == "low" else ""
    return f"{step.name} {step.hours}{star}"
