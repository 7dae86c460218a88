"""Whether each process makes the part: one table, raw faces for the drawing, the sources."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.printed import listed
from quotegen.compare.comparison import Comparison
from quotegen.costing.fitting import making_of
from quotegen.costing.offer import Offer, Standing
from quotegen.fit.judging import Judged, Verdict
from quotegen.fit.raw_casting import RawFace, raw_faces_of
from quotegen.fit.required import Aspect, Required
from quotegen.fit.tables import Confidence, Source
from quotegen.judge.advice import Advice
from quotegen.judge.cautions import fit_sentences
from quotegen.report.views.shape import NONE, Cell, Column, Row, Table, figures, row, words

SMOOTHED = "to be smoothed after"  # tumbling and the like cut nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class FitView:
    """Plain sentences, requirements by offers, metal to leave, and where it all comes from."""

    told: tuple[str, ...]
    table: Table
    faces: Table | None
    sources: str


def fit_view(comparison: Comparison, advice: Advice) -> FitView | None:
    """None where no offer is left to judge, or nothing can be judged."""
    offers = tuple(o for o in comparison.offers if o.standing is not Standing.REPLACED)
    rows = _judged_rows(offers)
    if not rows:
        return None
    faces = _raw_rows(comparison, offers)
    return FitView(
        told=tuple(_told(offers, advice, rows)),
        table=_table(offers, rows),
        faces=_raw_table(faces) if faces else None,
        sources=_sources(rows, [each for _, each in faces]),
    )


def judged_offers(comparison: Comparison) -> tuple[tuple[Offer, tuple[RawFace, ...]], ...]:
    """Every offer with the faces that its raw casting needs, for tables of data."""
    part = comparison.part.record
    return tuple((o, raw_faces_of(part, making_of(o.case), o.fit)) for o in comparison.offers)


def _judged_rows(offers: Sequence[Offer]) -> list[tuple[Required, tuple[Judged, ...]]]:
    """Each requirement with its verdict by offer; one without any number has no row."""
    by_offer = zip(*(offer.fit for offer in offers), strict=True)
    found = [(each[0].required, tuple(each)) for each in by_offer]
    return [each for each in found if any(j.verdict is not Verdict.NO_NUMBER for j in each[1])]


def _told(
    offers: Sequence[Offer], advice: Advice, rows: list[tuple[Required, tuple[Judged, ...]]]
) -> Iterator[str]:
    """How much comes as it is by process, and what the recommended route leaves open."""
    by_process: dict[str, Judged | None] = {}
    for index, offer in enumerate(offers):
        if offer.process.value not in by_process:
            by_process[offer.process.value] = None
            judged = [each[1][index] for each in rows]
            yield f"{offer.process.value.capitalize()}: {_counts(judged)}."
    if advice.route is not None:
        yield from fit_sentences(advice.cost)


def _counts(judged: Sequence[Judged]) -> str:
    names = {
        Verdict.AS_IT_COMES: "as it comes",
        Verdict.AFTER: "to be machined after",
        Verdict.ASK: "to be asked",
        Verdict.NOT: "not made by it",
        Verdict.NO_NUMBER: "without a published number",
    }
    said = [SMOOTHED if each.is_smoothed else names[each.verdict] for each in judged]
    found = [(said.count(each), each) for each in (*names.values(), SMOOTHED)]
    return listed([f"{number} {each}" for number, each in found if number])


def _table(offers: Sequence[Offer], rows: list[tuple[Required, tuple[Judged, ...]]]) -> Table:
    heads = tuple(Column(head=f"{o.supplier_name}, {o.process.value}") for o in offers)
    return Table(
        caption="What the drawing asks for, and what becomes of it by each offer",
        columns=(Column(head="The drawing asks for", term="fit"), *heads),
        rows=tuple(_row(required, judged) for required, judged in rows),
    )


def _row(required: Required, judged: Sequence[Judged]) -> Row:
    what = Cell(text=required.name, small=required.text)
    return row(what, *(_cell(each) for each in judged))


def _cell(judged: Judged) -> Cell:
    if judged.verdict is Verdict.NO_NUMBER:
        return Cell(text=NONE, small="no number")
    if judged.is_smoothed:
        return Cell(text="smooth after", small=judged.why)
    lacking = ", left out" if judged.lacks_machining else ""
    return Cell(text=f"{judged.verdict.value}{lacking}", small=judged.why)


def _raw_rows(comparison: Comparison, offers: Sequence[Offer]) -> list[tuple[Offer, RawFace]]:
    kept = {offer.name for offer in offers}
    return [(o, each) for o, faces in judged_offers(comparison) if o.name in kept for each in faces]


def _raw_table(faces: list[tuple[Offer, RawFace]]) -> Table:
    return Table(
        caption="For the drawing of the raw casting: metal to leave where it is machined, in mm",
        columns=(
            *words("Feature", "Cast by"),
            Column(head="Allowance", is_figure=True, term="allowance"),
            Column(head="Casting tolerance", is_figure=True, term="casting-tolerance"),
            *figures("To leave on a face", "Cast size"),
        ),
        rows=tuple(_raw_row(offer, each) for offer, each in faces),
    )


def _raw_row(offer: Offer, face: RawFace) -> Row:
    return row(
        Cell(text=face.required.name, small=face.required.text),
        Cell(text=offer.supplier_name, small=offer.process.value),
        Cell(text=_mm(face.allowance), small=f"grade {face.grade}"),
        Cell(text=_mm(face.band), small="in all"),
        Cell(text=_mm(face.on_face), small=face.note),
        _raw(face),
    )


def _raw(face: RawFace) -> Cell:
    if face.raw is None:
        return Cell(text=NONE)
    return Cell(text=_mm(face.raw) if face.raw else "solid")


def _mm(length: Fraction) -> str:
    return f"{float(length):.2f}"


def _sources(rows: list[tuple[Required, tuple[Judged, ...]]], faces: Sequence[RawFace]) -> str:
    """Every source once, those to be trusted first."""
    found = dict.fromkeys(
        source for _, judged in rows for each in judged for source in each.sources
    )
    found |= dict.fromkeys(each.source for each in faces)
    by_trust = {level: _named(found, level) for level in Confidence}
    told = [f"{level.value} confidence: {names}." for level, names in by_trust.items() if names]
    wanted = any(required.aspect is Aspect.TOLERANCE for required, _ in rows)
    table = "Tolerances are read by ISO 286-1 and ISO 2768-1, as whole bands. " if wanted else ""
    return f"{table}Sources of {' Of '.join(told)}" if told else table


def _named(found: dict[Source, None], level: Confidence) -> str:
    return "; ".join(source.text for source in found if source.confidence is level)
