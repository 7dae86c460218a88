"""What must be said before anybody signs: load, duty, and the supplier's trained work.

On a part that bears load the certificate, the first article and the engineer come first, and then
what to test by each process, so that no page that is cut short shows a change of process without
them.
"""

from __future__ import annotations

from collections.abc import Iterator

from quotegen.basics.printed import listed
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt
from quotegen.costing.bill import Kind
from quotegen.costing.offer import Offer
from quotegen.fit.judging import Verdict
from quotegen.fit.operations import SMOOTHING
from quotegen.judge.names import short_name
from quotegen.model.fields import Load, Process
from quotegen.model.part import Part

METALS = (
    "A cast, a printed and a machined part of one drawing are not the same metal: they differ "
    "in strength, ductility, defects and fatigue."
)
TESTS = (
    "Before a process is chosen or changed: a material certificate (EN 10204), a first-article "
    "inspection, and tests agreed with a qualified engineer."
)
CODES = (
    "The codes that apply where the machine is sold come first; this report does not replace them."
)
CAST = "tensile bars poured from the same melt, and first castings looked into for holes and cracks"
WHAT_TO_TEST = {
    Process.INVESTMENT_CASTING: CAST,
    Process.SAND_CASTING: CAST,
    Process.GRAVITY_DIE_CASTING: CAST,
    Process.PRESSURE_DIE_CASTING: CAST,
    Process.METAL_PRINTING: "tensile bars built beside them in the same direction, and density",
    Process.BINDER_JETTING: "tensile bars from the same furnace load, and density",
    Process.MACHINING: "hardness, and the grain direction of the bar or plate",
    Process.SHEET: "bends looked at for cracks, and the rolling direction",
    Process.FORGING: "hardness, a crack test, and the grain flow of a first forging cut open",
    Process.STAMPING: "edges and bends looked at for cracks, and the rolling direction",
}


def cautions_for(comparison: Comparison, cost: CostAt | None) -> tuple[str, ...]:
    """The cautions that belong to this part and its route, the most serious first."""
    part = comparison.part.record
    found: list[str] = []
    if part.load is not Load.NONE:
        found += [_who_relies(part), TESTS, *_of_load(comparison, cost)]
    found += fit_sentences(cost)
    if any(line.kind is Kind.CUSTOMS for o in comparison.offers for line in o.bill.lines):
        found.append(
            "Duty and tax are estimates until a customs broker or an accountant confirms them."
        )
    found.append("Terms of contract are ours to read; where much hangs on one, ask a lawyer.")
    return tuple(found)


def _who_relies(part: Part) -> str:
    name = short_name(part.name)
    if part.load is Load.PERSON_RELIES:
        return f"A person relies on the {name}."
    return f"The {name} bears load."


def _of_load(comparison: Comparison, cost: CostAt | None) -> Iterator[str]:
    """What to test by each process in question, what is relied on, and how the metals differ."""
    part = comparison.part.record
    offers = _in_question(comparison, cost)
    processes = tuple(dict.fromkeys(offer.process for offer in offers))
    if len(processes) > 1 and cost is not None:
        steps = listed([each.value for each in processes])
        yield f"This route changes the process: {steps}. Each is tested by itself."
    for process in processes:
        yield f"To agree with the engineer for {process.value}: {WHAT_TO_TEST[process]}."
    if part.relied_on_for:
        yield f"The {short_name(part.name)} is relied on for {part.relied_on_for}."
    if len({offer.process for offer in comparison.offers}) > 1:
        yield METALS
    if part.load is Load.PERSON_RELIES:
        yield (
            "Let the engineer set a proof load for the first article, and say whether a "
            "certificate 3.1 is enough or an inspector must sign (3.2)."
        )
    yield from _certificates(part, offers)
    yield CODES


def _in_question(comparison: Comparison, cost: CostAt | None) -> tuple[Offer, ...]:
    """The offers of the route, or without one all that could still be chosen."""
    return cost.route.offers if cost is not None else comparison.offers


def _certificates(part: Part, offers: tuple[Offer, ...]) -> Iterator[str]:
    """Whose quote names no certificate, though the drawing asks for one or a load does."""
    asked = listed(part.certificates) if part.certificates else "EN 10204 3.1"
    silent = [offer.supplier_name for offer in offers if not offer.case.item.certificates]
    if silent:
        names = listed(tuple(dict.fromkeys(silent)))
        yield f"No certificate is quoted by {names}: {asked} belongs in the order."


def fit_sentences(cost: CostAt | None) -> tuple[str, ...]:
    """What the recommended route leaves to be machined, and what its suppliers must confirm."""
    if cost is None:
        return ()
    machined: dict[str, dict[str, None]] = {}
    asked: dict[str, None] = {}
    for offer in cost.route.offers:
        for each in offer.fit:
            if each.verdict is Verdict.AFTER:
                machined.setdefault(each.by, {})[each.required.name] = None
            if each.ask:
                asked[each.ask] = None
    smoothed = [_after(by, tuple(names)) for by, names in machined.items() if by in SMOOTHING]
    cut = [_after(by, tuple(names)) for by, names in machined.items() if by not in SMOOTHING]
    found = [f"Machined after the process: {'; '.join(cut)}."] if cut else []
    found += [f"Smoothed after the process: {'; '.join(smoothed)}."] if smoothed else []
    found += [f"To be confirmed in writing: {listed(list(asked))}."] if asked else []
    return tuple(found)


def _after(by: str, names: tuple[str, ...]) -> str:
    return f"{listed(names)} ({by})" if by else listed(names)
