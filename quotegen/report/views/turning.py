"""What would change the answer: sentences, a picture of every figure, a map of two, a table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from quotegen.basics.printed import counted, listed
from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.turning.figure import Exact, Figure, Sort, Turning
from quotegen.judge.turning.over_two import Column, OverTwo, Turned
from quotegen.judge.turning.turning import Turnings
from quotegen.report.charts.turning import FigureRow, Part, TurningRows
from quotegen.report.charts.winners import Bar, Winners, Won
from quotegen.report.views.names import capital
from quotegen.report.views.shape import Cell, Chart, Fact, Row, Table, drawn, row, words
from quotegen.report.views.turning_words import (
    Namer,
    by_advice,
    name_of,
    range_text,
    sentences,
    step_of,
    stretch_text,
    value_of,
)

MOST_TOLD, MOST_DRAWN, SHORT_NAMES = 6, 8, 5
LETTERS = "ABCDEFGH"
HOW = {
    Exact.EXACT: "exact",
    Exact.STEP: "every step",
    Exact.LOOKED: "looked at",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningView:
    """told are the nearest turnings as sentences. Every figure that was examined stands in the
    table of the chart; where none turns the answer there is no chart, and the table stands alone.
    """

    intro: str
    told: tuple[str, ...]
    nothing: str
    chart: Chart | None
    over_two: Chart | None
    table: Table | None
    notes: tuple[str, ...]


def turning_view(
    comparison: Comparison, advice: Advice, turned: Turned | None
) -> TurningView | None:
    """None where nothing is planned to the piece, so that nothing can be ranked."""
    turnings = turned.turnings if turned is not None else None
    if turned is None or turnings is None:
        return None
    namer = Namer(comparison)
    chart = _chart(turnings, namer)
    return TurningView(
        intro=_intro(comparison, advice, turnings, namer),
        told=tuple(f"If {when}, {then}." for when, then in _nearest(turnings, namer)),
        nothing=_nothing(turnings),
        chart=chart,
        over_two=_map(turned.over_two, namer, comparison),
        table=_table(turnings, namer) if chart is None else None,
        notes=tuple(_notes(turnings)),
    )


def turning_facts(
    comparison: Comparison, turned: Turned | None, most: int = MOST_TOLD
) -> tuple[Fact, ...]:
    """The nearest turnings as a condition and what follows, and all of the prices of tools."""
    turnings = turned.turnings if turned is not None else None
    if turnings is None:
        return ()
    namer = Namer(comparison)
    pairs = list(_nearest(turnings, namer))[:most]
    tools = [each for each in turnings.figures if each.figure.sort is Sort.TOOL]
    pairs += [pair for each in tools for pair in sentences(each, namer) if pair not in pairs]
    return tuple(Fact(label=when, text=then) for when, then in pairs)


def _nearest(turnings: Turnings, namer: Namer) -> Iterator[tuple[str, str]]:
    for each in turnings.figures[:MOST_TOLD]:
        yield from sentences(each, namer)


def _intro(comparison: Comparison, advice: Advice, turnings: Turnings, namer: Namer) -> str:
    months = counted(comparison.needs.months, "month")
    text = (
        f"At the likely demand over {months}, one figure changed and all others kept: "
        f"{namer.told(turnings.here)}."
    )
    own = advice.cost.route.main.name if advice.cost is not None else None
    settled = advice.outcome in (Outcome.CHOSEN, Outcome.TIE)
    if settled and own is not None and own not in turnings.here.ties:
        text += (
            f" Over all futures {namer.doing(own)} costs less on average; these values are those "
            "of the likely demand alone."
        )
    return text


def _nothing(turnings: Turnings) -> str:
    """The figures of which no value in their range changes the answer."""
    names = [name_of(each.figure) for each in turnings.figures if each.nearest is None]
    if not names:
        return ""
    shown = names[:SHORT_NAMES]
    more = f" and {len(names) - len(shown)} more" if len(names) > len(shown) else ""
    text = ", ".join(shown) + more if more else listed(shown)
    return f"No value in its range changes the answer: {text}."


def _chart(turnings: Turnings, namer: Namer) -> Chart | None:
    shown = [each for each in turnings.figures if each.nearest is not None][:MOST_DRAWN]
    if not shown:
        return None
    nearest = shown[0]
    title = f"The answer turns first with the {name_of(nearest.figure).removeprefix('the ')}"
    chart = TurningRows(
        prefix="turning",
        title=title,
        description="A line for each figure over the range that was looked at, heavy where the "
        "answer stays, with the values at which it turns. The table holds the same numbers.",
        rows=tuple(_figure_row(each, namer) for each in shown),
    )
    note = "Heavy: the answer holds. The ring is the present value. Each row has its own scale."
    found = drawn(title, chart.svg(), (("Figure",), ()), note=note)
    return replace(found, table=_table(turnings, namer))


def _figure_row(turning: Turning, namer: Namer) -> FigureRow:
    figure, stretches = turning.figure, by_advice(turning)
    turns = {turn.value: turn for turn in turning.turns(of_advice=True)}
    here = next(n for n, each in enumerate(stretches) if each.first <= figure.value <= each.last)
    return FigureRow(
        name=capital(name_of(figure)),
        present=float(figure.value),
        present_text=value_of(figure, figure.value),
        parts=tuple(
            Part(
                first=float(each.first),
                last=float(each.last),
                text=namer.short(each.answer),
                holds=number == here,
            )
            for number, each in enumerate(stretches)
        ),
        ends=tuple(
            (float(value), value_of(figure, value, up=turn.upwards))
            for value, turn in sorted(turns.items())
        ),
    )


def _table(turnings: Turnings, namer: Namer) -> Table:
    return Table(
        caption="Every figure that was examined, the nearest turning first",
        columns=words("Figure", "As written", "What the answer is", "Cheapest route turns", "How"),
        rows=tuple(_row(each, namer) for each in turnings.figures),
    )


def _row(turning: Turning, namer: Namer) -> Row:
    figure, stretches = turning.figure, by_advice(turning)
    said = "; ".join(stretch_text(figure, each, namer) for each in stretches)
    if len(stretches) == 1:
        said = "no value changes it"
    cheapest = [
        f"{value_of(figure, turn.value)}: {namer.order(turn.answer.cheapest)}"
        for turn in turning.turns(of_advice=False)
        if turn.answer.cheapest is not None
    ]
    return row(
        Cell(text=capital(name_of(figure)), small=f"range: {range_text(figure)}"),
        Cell(text=figure.written, small=str(figure.place)),
        said,
        "; ".join(cheapest) or "no value does",
        _how(turning),
    )


def _how(turning: Turning) -> str:
    """How well the values are known, for steps of so much each."""
    figure, how = turning.figure, HOW[turning.exact]
    if turning.exact is Exact.EXACT:
        return how
    if turning.exact is Exact.LOOKED:
        return f"{how}, {turning.looked_at} values"
    return f"{how}, {step_of(figure)}"


def _notes(turnings: Turnings) -> Iterator[str]:
    yield (
        "Exact: every value of the range is settled, the plan of each route found anew where it "
        "changes. Every step: every step of the range is settled, by plans made at it or by bounds "
        "from plans on either side of it. Looked at: so many values were planned, and all steps "
        "between two that differ; between two that agree nothing was. Prices of one offer move "
        "together, in proportion; the low and the high demand move with the likely one. Routes are "
        "those of this report."
    )
    yield from turnings.not_examined


def _map(found: OverTwo | None, namer: Namer, comparison: Comparison) -> Chart | None:
    columns = [each for each in found.columns if each.stretches] if found is not None else []
    if found is None or not columns:
        return None
    tool, likely = found.tool, comparison.part.record.demand.likely
    groups = _groups(columns, namer)
    title = f"Cheapest route by demand and {name_of(tool)}"
    chart = Winners(
        prefix="winners",
        title=title,
        description="A bar for each demand a year; along it the price of the tool, in the fill "
        "and with the letter of the route that costs least there.",
        unit=f"{name_of(tool)} in {tool.unit}",
        foot="likely demand a year",
        groups=tuple(groups.values()),
        bars=tuple(_bar(each, groups, is_present=each.demand == likely) for each in columns),
        high=float(tool.high),
        present=float(tool.value),
        present_text=f"now {value_of(tool, tool.value)}",
    )
    rows = tuple((f"{each.demand:,}", _column_text(each, tool, namer)) for each in columns)
    table = ("Demand a year", "Cheapest, by the price of the tool"), rows
    return drawn(title, chart.svg(), table, words_from=(1,), note=_read(columns, tool, namer))


def _groups(columns: list[Column], namer: Namer) -> dict[str, str]:
    """A letter and words for each family that is cheapest somewhere."""
    cheapest = [each.answer.cheapest for column in columns for each in column.stretches]
    families = dict.fromkeys(each for each in cheapest if each is not None)
    pairs = zip(families, LETTERS, strict=False)
    return {family: f"{letter} {namer.order(family)}" for family, letter in pairs}


def _bar(column: Column, groups: dict[str, str], *, is_present: bool) -> Bar:
    won = [
        Won(first=float(s.first), last=float(s.last), group=groups[s.answer.cheapest])
        for s in column.stretches
        if s.answer.cheapest in groups
    ]
    return Bar(text=f"{column.demand:,}", won=tuple(won), is_present=is_present)


def _column_text(column: Column, tool: Figure, namer: Namer) -> str:
    parts = [
        f"{value_of(tool, each.first)} to {value_of(tool, each.last)}: "
        f"{namer.order(each.answer.cheapest) if each.answer.cheapest else 'no route'}"
        for each in column.stretches
    ]
    return "; ".join(parts)


def _read(columns: list[Column], tool: Figure, namer: Namer) -> str:
    """How to read it: the column of the present price, from the lowest demand up."""
    here = [
        (each.demand, s.answer.cheapest)
        for each in columns
        for s in each.stretches
        if s.first <= tool.value <= s.last
    ]
    texts: list[str] = []
    last: str | None = None
    for demand, family in here:
        if family is not None and family != last:
            texts.append(f"from {demand:,} a year {namer.order(family)}")
            last = family
    return f"At the present price: {listed(texts)}, of the demands looked at." if texts else ""
