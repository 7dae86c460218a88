"""Whether the process of an offer makes the part, and what its quote leaves out for that (R8)."""

from __future__ import annotations

from collections.abc import Iterator

from quotegen.basics.printed import listed
from quotegen.costing.bill import Findings, Gap
from quotegen.costing.case import Case
from quotegen.fit.judging import Judged, Making, Verdict, fit_of
from quotegen.fit.materials import metal_of
from quotegen.fit.operations import FINISH_MACHINING
from quotegen.model.fields import Absence


def making_of(case: Case) -> Making:
    """How the offer makes the part: what the quote says, else what its supplier is."""
    part, item, supplier = case.part.record, case.item, case.supplier.record
    quoted = None if isinstance(item.material, Absence) else item.material
    return Making(
        process=case.process,
        metal=metal_of(quoted, part.material),
        operations=(*part.operations, *item.includes),
        abilities=(*item.can_hold, *supplier.can_hold),
    )


def fit_of_offer(case: Case) -> tuple[Judged, ...]:
    """Every requirement of the part, judged for this offer."""
    return fit_of(case.part.record, making_of(case))


def to_machine(case: Case) -> tuple[Judged, ...]:
    """What this process leaves to be machined, and nothing asked for or quoted so far does."""
    return tuple(each for each in fit_of_offer(case) if each.lacks_machining)


def machining_left_out(case: Case) -> tuple[str, ...]:
    """The operation that the process makes necessary, where drawing and quote leave it out."""
    return (FINISH_MACHINING,) if to_machine(case) else ()


def fit_said(case: Case) -> Findings:
    """Questions where some hold it and some do not; a gap where the process does not make it."""
    return Findings(gaps=tuple(_gaps(case, fit_of_offer(case))))


def _gaps(case: Case, fit: tuple[Judged, ...]) -> Iterator[Gap]:
    refused = [each for each in fit if each.verdict is Verdict.NOT]
    asked = [each for each in fit if each.ask and each.verdict is not Verdict.NOT]
    process = case.process.value
    if refused:
        what = listed([f"{each.required.told} ({each.why})" for each in refused])
        yield Gap(
            code="fit",
            what=f"{process} is not known to make {what}",
            question=f"How do you make {listed([each.ask for each in refused])}?",
            rule="R8",
            place=case.at_part(*refused[0].required.keys),
            blocks=True,
        )
    if asked:
        yield Gap(
            code="fit-asked",
            what=f"not every supplier holds {listed([each.ask for each in asked])} as it comes",
            question=f"Do you hold {listed([each.ask for each in asked])}, and is it in the price?",
            rule="R8",
            place=case.at_part(*asked[0].required.keys),
            blocks=False,
        )
