"""Everything that the page and the full report of one part say."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.printed import counted, day, listed
from quotegen.basics.problem import Problem
from quotegen.compare.comparison import Comparison
from quotegen.costing.bill import Assumption
from quotegen.costing.offer import Offer
from quotegen.judge.advice import Advice
from quotegen.judge.questions import Question
from quotegen.judge.reasons import headline, lead, reasons_for
from quotegen.judge.studied import PartStudy
from quotegen.model.part import Part, Sheet
from quotegen.report.views.agree import Agreement, agreement_of
from quotegen.report.views.bill import RULE_COLUMN, MoneyView, money_view
from quotegen.report.views.brief import Brief, brief_of
from quotegen.report.views.change import chance_that_it_stands, changes
from quotegen.report.views.figures import figures_of
from quotegen.report.views.futures import FuturesView, futures_view
from quotegen.report.views.making import MakingView, making_view
from quotegen.report.views.names import (
    Pages,
    currency_of,
    outcome_of,
    paper_files,
    part_page,
)
from quotegen.report.views.payback import PaybackView, payback_view
from quotegen.report.views.plan import PlanView, plan_view
from quotegen.report.views.quality import QualityView, quality_view
from quotegen.report.views.quantity import QuantityView, quantity_view
from quotegen.report.views.routes import routes_of
from quotegen.report.views.shape import Chart, Fact, Figure, Sourced, Table
from quotegen.report.views.sure import Sureness, sureness_of
from quotegen.report.views.time import timeline
from quotegen.report.views.turning import TurningView, turning_view


@dataclass(frozen=True, slots=True, kw_only=True)
class Records:
    """What is on record about a part, empty for nothing, and what the next record is called.

    holds says whether the last one does; it is empty where that is not known.
    """

    last: str
    holds: str
    next_name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One question as it can be sent, with the quote and the place that it is about."""

    text: str
    quote: str
    href: str
    place: str
    blocks: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionsTo:
    """The questions to one supplier, or to ourselves."""

    to: str
    questions: tuple[Asked, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartView:
    """One part, ready to print; page is its place in the site, files what its report rests on.

    Empty tuples and None mean that there is nothing to say, and the page leaves the section out.
    """

    part: str
    name: str
    revision: str
    currency: str
    today: str
    is_settled: bool
    outcome: str
    headline: str
    lead: str
    figures: tuple[Figure, ...]
    reasons: tuple[str, ...]
    facts: tuple[Fact, ...]
    money: MoneyView
    making: MakingView
    quality: QualityView
    routes: Table | None
    quantity: QuantityView
    payback: PaybackView
    plan: PlanView | None
    timeline: Chart | None
    sure: Sureness
    futures: FuturesView | None
    turning: TurningView | None
    changes: tuple[Fact, ...]
    agree: Agreement
    assumed: tuple[Sourced, ...]
    questions: tuple[QuestionsTo, ...]
    cautions: tuple[str, ...]
    left_out: tuple[str, ...]
    problems: tuple[Problem, ...]
    unread: str
    files: tuple[str, ...]
    brief: Brief

    @property
    def number(self) -> str:
        return self.part.upper()

    @property
    def page(self) -> str:
        return part_page(self.part)

    @property
    def paper(self) -> Mapping[str, str]:
        return paper_files(self.part)

    @property
    def rules(self) -> tuple[str, ...]:
        """The rules that the page names, in their own order, so that paper can print them."""
        tables = [table for bill in self.money.bills for table in bill.tables]
        named = {row.cells[RULE_COLUMN].text for table in tables for row in table.rows}
        named |= {each.rule for each in self.assumed}
        named |= self.plan.rules if self.plan is not None else frozenset()
        named |= {"R21", "R22"} if self.futures is not None else frozenset()
        named |= {"R23"} if self.turning is not None else frozenset()
        named |= {"R12", "R14", "R15", "R16", "R18"}
        return tuple(sorted(named, key=lambda rule: int(rule[1:])))


def part_view(
    study: PartStudy, pages: Pages, problems: tuple[Problem, ...], records: Records, version: str
) -> PartView:
    """problems are those of the whole folder, whether they are about this part or not."""
    comparison, advice = study.comparison, study.advice
    entry = comparison.part
    return PartView(
        part=study.part,
        name=entry.record.name,
        revision=entry.record.revision,
        currency=currency_of(comparison),
        today=day(comparison.today),
        is_settled=advice.route is not None,
        outcome=outcome_of(comparison, advice),
        headline=headline(comparison, advice),
        lead=lead(comparison, advice),
        figures=figures_of(comparison, advice),
        reasons=reasons_for(comparison, advice),
        facts=(*_facts(entry.record, comparison), *_on_record(records)),
        money=money_view(comparison, advice, pages),
        making=making_view(comparison, advice),
        quality=quality_view(study),
        routes=routes_of(comparison, advice).table,
        quantity=quantity_view(comparison, advice),
        payback=payback_view(comparison, advice),
        plan=plan_view(study),
        timeline=timeline(comparison, advice, others=True) if comparison.offers else None,
        sure=sureness_of(comparison, advice),
        futures=futures_view(comparison, advice),
        turning=turning_view(comparison, advice, study.turned),
        changes=changes(comparison, advice, study.turned),
        agree=agreement_of(comparison, advice),
        assumed=tuple(_assumed(comparison, advice)),
        questions=_questions(comparison, advice, pages),
        cautions=advice.cautions,
        left_out=tuple(_left_out(comparison, advice)),
        problems=tuple(_problems_near(comparison, problems)),
        unread=_unread(problems),
        files=files_of(comparison),
        brief=_brief(study, records, version),
    )


def _brief(study: PartStudy, records: Records, version: str) -> Brief:
    return brief_of(
        study.comparison,
        study.advice,
        record=records.next_name,
        version=version,
        turned=study.turned,
    )


def files_of(comparison: Comparison) -> tuple[str, ...]:
    """The files of every quote for the part and of its orders so far, below the folder."""
    found = {path for offer in comparison.offers for path in offer.case.quote_entry.files}
    orders = (offer.case.orders for offer in comparison.offers)
    found |= {path for entry in orders if entry is not None for path in entry.files}
    return tuple(sorted(found))


def _facts(part: Part, comparison: Comparison) -> Iterator[Fact]:
    needs = comparison.needs
    yield Fact(label="Revision", text=part.revision)
    if part.drawings:
        told = [_drawing(each, part) for each in part.drawings]
        yield Fact(label="Drawings", text=", ".join(told))
    yield Fact(label="Material", text=part.material)
    yield Fact(label="Mass", text=f"{float(part.mass.grams):,.6g} g")
    if part.operations:
        yield Fact(label="Operations required", text=", ".join(part.operations))
    if part.certificates:
        yield Fact(label="Certificates", text=", ".join(part.certificates))
    yield Fact(label="Load", text=_load(part))
    yield Fact(label="Demand a year", text=_low_to_high(part))
    yield Fact(
        label=f"To buy in {needs.months} months",
        text=f"{needs.likely:,} likely, {needs.low:,} at least, {needs.high:,} at most",
    )
    if part.on_hand:
        yield Fact(label="On hand, taken off", text=counted(part.on_hand, "piece"))
    yield Fact(label="Ordered in lots of", text=counted(needs.lot, "good part"))
    if part.needed_by is not None:
        yield Fact(label="Needed by", text=day(part.needed_by))


def _drawing(sheet: Sheet, part: Part) -> str:
    return f"{sheet.number} {sheet.revision or part.revision} ({sheet.title})"


def _on_record(records: Records) -> Iterator[Fact]:
    if records.last:
        holds = f", {records.holds}" if records.holds else ""
        yield Fact(label="On record", text=f"{records.last}{holds}", href="decisions.html")


def _load(part: Part) -> str:
    if part.relied_on_for is None:
        return part.load.value
    return f"{part.load.value}: {part.relied_on_for}"


def _low_to_high(part: Part) -> str:
    demand = part.demand
    return f"{demand.likely:,} likely, {demand.low:,} at least, {demand.high:,} at most"


def _assumed(comparison: Comparison, advice: Advice) -> Iterator[Sourced]:
    """What the recommended figure rests on; where nothing is recommended, what any offer does."""
    found: Iterable[Assumption] = advice.assumptions
    if advice.cost is None:
        found = dict.fromkeys(
            each for offer in comparison.offers for each in offer.bill.assumptions
        )
    for each in found:
        yield Sourced(text=each.text, rule=each.rule, place=str(each.place))


def _questions(comparison: Comparison, advice: Advice, pages: Pages) -> tuple[QuestionsTo, ...]:
    """By whom to ask, in the order in which the advice weighs them."""
    by_offer = {offer.name: offer for offer in comparison.offers}
    found: dict[str, list[Asked]] = {}
    for question in advice.questions:
        asked = asked_of(question, by_offer[question.offer], pages)
        found.setdefault(question.to, []).append(asked)
    return tuple(QuestionsTo(to=to, questions=tuple(asked)) for to, asked in found.items())


def asked_of(question: Question, offer: Offer, pages: Pages) -> Asked:
    return Asked(
        text=question.text,
        quote=offer.quote,
        href=pages.offer(offer),
        place=str(question.place),
        blocks=question.blocks,
    )


def _left_out(comparison: Comparison, advice: Advice) -> Iterator[str]:
    """What the plain comparison does not reckon, with the figures that a reader needs to judge."""
    workshop = comparison.workshop.record
    yield (
        "Time: nothing is discounted. A payment in three years counts as much as one today; "
        f"money costs this workshop {_rate(workshop.cost_of_capital.share)} a year."
    )
    yield (
        "Stock: no storage is charged for parts that wait on the shelf, though it costs "
        f"{_rate(workshop.storage.share)} of their value a year."
    )
    chance = chance_that_it_stands(comparison)
    if chance:
        yield (
            f"Change of design: the chance that the drawing stands is {chance}. A new revision "
            "can make tool and stock worthless."
        )
    if advice.cost is not None and advice.cost.surplus > 0:
        yield (
            f"Surplus: the {advice.cost.surplus:,} good parts left at the end are worth nothing "
            "here, though they may still be used."
        )
    yield "Later prices: every order of the plan is counted at the prices quoted now."


def _rate(share: Fraction) -> str:
    return f"{float(share * 100):.4g} %"


def _problems_near(comparison: Comparison, problems: tuple[Problem, ...]) -> Iterator[Problem]:
    """Problems in the files that this part's answer rests on, of rates only those in use."""
    used = {rate.place for rate in comparison.rates.rates.values()}
    files = {*files_of(comparison), *comparison.part.files, *comparison.workshop.files}
    files |= {path for offer in comparison.offers for path in offer.case.supplier.files}
    return (
        each
        for each in problems
        if each.place.path in files and (each.code != "rate-old" or each.place in used)
    )


def _unread(problems: tuple[Problem, ...]) -> str:
    """A warning that something may be missing here: an unread quote belongs to no part."""
    files = sorted({each.place.path for each in problems if each.severity.value == "error"})
    if not files:
        return ""
    verb = "has" if len(files) == 1 else "have"
    return (
        f"{counted(len(files), 'file')} {verb} errors and may be missing from this report: "
        f"{listed(files[:5])}{' and more' if len(files) > 5 else ''}."
    )
