"""Incoming inspection: what is taken of each delivery, and what a bad one's chances are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import rounded
from quotegen.basics.printed import counted, listed, per_cent
from quotegen.compare.comparison import Comparison
from quotegen.costing.inspection import sees_every_piece, work_of
from quotegen.judge.advice import Advice
from quotegen.judge.inspecting import (
    Inspected,
    bad_share,
    inspected_by_operation,
    inspected_offers,
)
from quotegen.judge.names import short_name
from quotegen.report.views.shape import NONE, Cell, Row, Table, figures, row, words

TABLES = (
    "Sample sizes and acceptance numbers of ISO 2859-1:1999, Tables 1 and 2-A: single sampling, "
    "normal inspection, general inspection level II."
)
AIM = (
    "Samples by limiting quality are reckoned to the aim of ISO 2859-2, with no bad piece allowed; "
    "its own tables may ask for a few more or fewer."
)
CHANCES = "Chances are exact for pieces drawn at random without putting them back (hypergeometric)."


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionView:
    """Plain sentences, one row for each offer, and where the numbers come from."""

    told: tuple[str, ...]
    table: Table
    sources: str


def inspection_view(comparison: Comparison, advice: Advice) -> InspectionView | None:
    """None where the part asks for no sample, or nothing can be delivered."""
    found = inspected_offers(comparison)
    if not found:
        return None
    shown = _shown(found, advice)
    return InspectionView(
        told=tuple(_told(comparison, shown)),
        table=_table(comparison, found, advice),
        sources=" ".join(_sources(comparison, found)),
    )


def _shown(found: Sequence[Inspected], advice: Advice) -> Inspected:
    """The offer that the sentences speak of: the main one of the route, else the first."""
    main = advice.cost.route.main.name if advice.cost is not None else ""
    return next((each for each in found if each.offer.name == main), found[0])


def _told(comparison: Comparison, shown: Inspected) -> Iterator[str]:
    case = shown.offer.case
    if sees_every_piece(case):
        yield _every_piece(comparison)
    else:
        yield _how(comparison, shown)
        if shown.plan.is_whole_lot:
            yield "That is every piece of the delivery, so that no bad one gets by unseen."
        else:
            yield _slips_through(comparison, shown)
    yield _cost(comparison, shown)


def _every_piece(comparison: Comparison) -> str:
    part = comparison.part.record
    features = listed([each.name for each in part.features])
    what = f": {features}" if features else ""
    return (
        f"A person relies on the {short_name(part.name)}, so every piece of every delivery is "
        f"checked{what}. No sampling plan takes its place."
    )


def _how(comparison: Comparison, shown: Inspected) -> str:
    acceptance, plan = comparison.part.record.acceptance_quality, shown.plan
    quality = str(acceptance) if acceptance is not None else ""
    allowed = (
        "none of them may be bad"
        if not plan.accept
        else f"{plan.accept} of them may be bad, with {plan.reject} it fails"
    )
    series = (
        "as one of a series"
        if shown.is_series
        else "as a lot by itself, since too few are expected for a series"
    )
    return (
        f"A delivery of {counted(plan.lot, 'piece')} from {shown.offer.supplier_name} is judged "
        f"by {quality}, {series}: {plan.sample:,} are taken, and {allowed}."
    )


def _slips_through(comparison: Comparison, shown: Inspected) -> str:
    acceptance, plan = comparison.part.record.acceptance_quality, shown.plan
    text = (
        f"With {counted(shown.bad, 'bad piece')} among the {plan.lot:,} it still passes "
        f"{_times(shown.passes)}."
    )
    if acceptance is None or acceptance.lq is not None or shown.surer <= plan.sample:
        return text
    share = per_cent(bad_share(comparison))
    return (
        f"{text} To let so bad a delivery ({share}, our own measure since the part states no "
        f"limiting quality) pass at most 10 times in 100, {shown.surer:,} would have to be taken "
        "and none be bad."
    )


def _times(chance: Fraction) -> str:
    times = int(rounded(chance * 100, 0))
    if not chance:
        return "never"
    if not times:
        return "less than once in 100"
    return f"{times} {'time' if times == 1 else 'times'} in 100"


def _cost(comparison: Comparison, shown: Inspected) -> str:
    work, operation = work_of(shown.offer.case), inspected_by_operation(comparison)
    if work is not None and work.labour is not None:
        sorting = (
            ""
            if shown.plan.is_whole_lot
            else ", with the sorting of deliveries that fail, as far as the reject share lets us "
            "expect it"
        )
        return (
            f"Looking at a piece takes {float(work.minutes):g} minutes at {work.labour.rate} an "
            f"hour; each bill has it as a line{sorting}."
        )
    if operation:
        return f"What it costs stands in the bills as {operation}, at our own price."
    return "What it costs is not counted: nobody stated the minutes for a piece and whose they are."


def _table(comparison: Comparison, found: Sequence[Inspected], advice: Advice) -> Table:
    destroyed = any(each.destroyed for each in found)
    columns = (
        *words("Quote"),
        *figures("Delivery", "Taken", "Passes with", "Fails from", "Bad lot", "It passes"),
        *figures("Minutes", "Sorted on average"),
        *(figures("Destroyed") if destroyed else ()),
    )
    main = _shown(found, advice) if advice.route is not None else None
    return Table(
        caption=(
            f"Pieces of one delivery; a bad lot has {per_cent(bad_share(comparison))} bad ones"
        ),
        columns=columns,
        rows=tuple(_row(each, destroyed=destroyed, marked=each is main) for each in found),
    )


def _row(each: Inspected, *, destroyed: bool, marked: bool) -> Row:
    plan = each.plan
    cells = (
        Cell(text=each.offer.supplier_name, small=each.offer.quote),
        f"{plan.lot:,}",
        f"{plan.sample:,}",
        f"{plan.accept} bad",
        f"{plan.reject} bad",
        f"{each.bad} bad",
        _times(each.passes),
        f"{float(each.minutes):,.6g}" if each.minutes is not None else NONE,
        f"{rounded(each.to_sort, 1):,f}" if each.to_sort is not None else NONE,
    )
    last = (str(each.destroyed or 0),) if destroyed else ()
    return row(*cells, *last, marked=marked)


def _sources(comparison: Comparison, found: Sequence[Inspected]) -> Iterator[str]:
    acceptance = comparison.part.record.acceptance_quality
    sampled = [each for each in found if not sees_every_piece(each.offer.case)]
    if acceptance is None or not sampled:
        return
    by_lq = acceptance.lq is not None and not all(each.is_series for each in sampled)
    if acceptance.aql is not None and not (by_lq and not any(e.is_series for e in sampled)):
        yield TABLES
    if by_lq or acceptance.aql is None:
        yield AIM
    yield CHANCES
