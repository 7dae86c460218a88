"""The same facts as the report, as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from tabulate import tabulate

from quotegen.basics.printed import money, printed
from quotegen.basics.problem import Problem, Severity
from quotegen.basics.visible import visible
from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import Advice
from quotegen.judge.reasons import effect_sentence, headline, reasons_for
from quotegen.judge.studied import PartStudy
from quotegen.plan.plan import Plan

LONGEST_LINE = 160


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """The lines of a plain table: text to the left, figures to the right, nothing cut."""
    aligned = ["right" if _is_figures(rows, index) else "left" for index in range(len(head))]
    shown = [[visible(cell) for cell in row] for row in rows]
    text = tabulate(shown, headers=head, tablefmt="simple", disable_numparse=True, colalign=aligned)
    return tuple(text.split("\n"))


def _is_figures(rows: Sequence[Sequence[str]], index: int) -> bool:
    cells = [row[index] for row in rows if row[index] not in ("", "-")]
    return bool(cells) and all(cell.replace(",", "").replace(".", "").isdigit() for cell in cells)


def problems_as_text(problems: Sequence[Problem], folder: Path) -> Iterator[str]:
    """Each problem as `path:line:column: code: message`, its line, what happens, what to do."""
    for problem in problems:
        mark = "" if problem.severity is Severity.ERROR else " (notice)"
        yield f"{problem.place}: {problem.code}{mark}: {problem.message}"
        line = _line_of(problem, folder)
        if line is not None:
            yield f"    | {line}"
        yield f"    {problem.happens}"
        yield f"    {problem.remedy}"


def _line_of(problem: Problem, folder: Path) -> str | None:
    place = problem.place
    path = folder / place.path
    if place.line is None or not path.resolve().is_relative_to(folder.resolve()):
        return None
    if place.page is not None:  # a line of a page is no line of the file
        return None
    try:
        lines = path.read_text(encoding="utf-8-sig", errors="replace").splitlines()
    except OSError:
        return None
    if place.line > len(lines):
        return None
    return visible(lines[place.line - 1])[:LONGEST_LINE]


def counts(problems: Sequence[Problem]) -> str:
    errors = sum(problem.severity is Severity.ERROR for problem in problems)
    notices = len(problems) - errors
    return f"{_plural(errors, 'error')}, {_plural(notices, 'notice')}"


def _plural(count: int, noun: str) -> str:
    return f"{count or 'no'} {noun}{'' if count == 1 else 's'}"


def part_as_text(found: PartStudy) -> Iterator[str]:
    """A part's comparison: headline, reasons, offers, cheapest by quantity, what to ask."""
    comparison, advice = found.comparison, found.advice
    part = comparison.part.record
    currency = comparison.workshop.record.currency
    yield f"{found.part}, {part.name}, revision {part.revision}"
    yield f"{advice.outcome.value}: {headline(comparison, advice)}"
    yield ""
    yield from (f"  {reason}" for reason in reasons_for(comparison, advice))
    if advice.plan is not None:
        yield from _plan(advice.plan, currency)
    yield from _offers(comparison)
    yield from _cheapest(comparison)
    yield from _effects(comparison, currency)
    yield from _questions(advice)


def _plan(plan: Plan, currency: str) -> Iterator[str]:
    """What to order by which day, what that comes to, and what all of it costs."""
    rows = [
        [
            order.begins.isoformat(),
            order.arrives.isoformat(),
            order.offer.name,
            f"{order.pieces:,}",
            f"{order.good:,}",
            printed(order.total, currency),
        ]
        for order in plan.orders
    ]
    yield ""
    yield f"Plan until {plan.setting.horizon.ends.isoformat()}, amounts in {currency}, landed"
    yield from table(["order by", "arrives", "quote", "pieces", "good", "pieces cost"], rows)
    proven = "no plan costs less" if plan.solution.is_proven else "not proven to cost least"
    yield (
        f"Paid in all {money(plan.paid, currency)}; in today's money, with storage and what may be "
        f"lost, {money(plan.present, currency)} ({proven})."
    )


def _offers(comparison: Comparison) -> Iterator[str]:
    currency = comparison.workshop.record.currency
    rows = []
    for offer in comparison.offers:
        cost = comparison.costs.get(offer.name)
        first = offer.arrival.first_parts
        figures = ["", "", ""]
        if cost is not None:
            figures = [printed(each, currency) for each in (cost.one_off, cost.each, cost.total)]
        rows.append(
            [
                offer.name,
                offer.process.value,
                *figures,
                first.isoformat() if first else "not known",
                offer.standing.value,
            ]
        )
    head = ["quote", "process", "one-off", "each, all in", "total", "first parts", "standing"]
    if rows:
        yield ""
        yield f"Offers for {comparison.needs.likely} good parts, amounts in {currency}, landed"
        yield from table(head, rows)


def _cheapest(comparison: Comparison) -> Iterator[str]:
    rows = [
        [f"{span.first:,}", f"{span.last:,}", span.route.name] for span in comparison.envelope.spans
    ]
    if rows:
        yield ""
        yield "Cheapest route by number of good parts"
        yield from table(["from", "to", "route"], rows)
    if comparison.envelope.beyond:
        yield f"Beyond that {comparison.envelope.beyond.name} stays cheapest."


def _effects(comparison: Comparison, currency: str) -> Iterator[str]:
    if comparison.effects:
        yield ""
        yield "Minimums, multiples and breaks on one order"
    for effect in comparison.effects:
        yield f"  {effect_sentence(effect, currency)}"


def _questions(advice: Advice) -> Iterator[str]:
    if advice.questions:
        yield ""
        yield "To ask"
    for number, question in enumerate(advice.questions, 1):
        mark = " (the answer waits for this)" if question.blocks else ""
        yield f"  {number}. {question.to}, {question.offer}: {question.text}{mark}"
