"""Whether a quote can be meant as it was read: its times and prices against what else is known.

A price is far off where it is more than a stated factor above or below the median of the others
of its kind; with too few others nothing is said. What is far off is asked about and never judged.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from quotegen.basics.place import Place
from quotegen.compare.comparison import Comparison
from quotegen.costing.bill import Kind
from quotegen.costing.case import Case
from quotegen.costing.goods import goods, slices_of
from quotegen.costing.offer import Offer, Standing
from quotegen.judge.advice import Advice
from quotegen.judge.questions import Question
from quotegen.judge.steps import ProcessTimes, in_words, longest_reading, process_times
from quotegen.model.fields import Absence, Process
from quotegen.model.quote import Tool

PRINTS = frozenset({Process.METAL_PRINTING, Process.BINDER_JETTING})
CASTINGS = frozenset(
    {
        Process.INVESTMENT_CASTING,
        Process.SAND_CASTING,
        Process.GRAVITY_DIE_CASTING,
        Process.PRESSURE_DIE_CASTING,
    }
)
TOOLED = CASTINGS | {Process.FORGING, Process.STAMPING}
# Our own choice, wide enough that a dear small part or a raw casting beside finished pieces is not
# asked about, and a decimal point that moved still is.
PART_FACTOR, PRINT_FACTOR, CASTING_FACTOR, TOOL_FACTOR = 8, 4, 8, 8
NO_TOOL_FACTOR = 3  # above the others, where a process that needs a tool is quoted without one
FEWEST_QUOTES, FEWEST_PARTS = 2, 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A price as it can be held against others: for what, of whom, and when it is far off."""

    what: str
    of: str
    code: str
    factor: int
    fewest: int


OF_PART = Measure(
    what="a piece",
    of="other quotes for this part",
    code="price-of-part",
    factor=PART_FACTOR,
    fewest=FEWEST_QUOTES,
)
OF_GRAM = Measure(
    what="a gram",
    of="other prints",
    code="price-of-gram",
    factor=PRINT_FACTOR,
    fewest=FEWEST_PARTS,
)
OF_KILOGRAM = Measure(
    what="a kilogram",
    of="other castings of this process",
    code="price-of-kilogram",
    factor=CASTING_FACTOR,
    fewest=FEWEST_PARTS,
)
OF_TOOL = Measure(
    what="a cavity and square centimetre",
    of="other tools of this process",
    code="price-of-tool",
    factor=TOOL_FACTOR,
    fewest=FEWEST_PARTS,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """One price against the median of others, in the workshop's currency.

    text is the price as quoted; ratio is price over median. lacks_tool marks a price of a process
    that needs a tool, in a quote that states none: it is asked about sooner.
    """

    measure: Measure
    text: str
    value: Fraction
    median: Fraction
    others: int
    place: Place
    lacks_tool: bool = False

    @property
    def ratio(self) -> Fraction:
        return self.value / self.median

    @property
    def is_far(self) -> bool:
        most = NO_TOOL_FACTOR if self.lacks_tool else self.measure.factor
        return not Fraction(1, self.measure.factor) <= self.ratio <= most


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed:
    """A stated time against the fastest published one, both in hours around the clock.

    stated is the longest that the words can mean.
    """

    what: str
    text: str
    stated: int
    fastest: int
    place: Place
    is_tool: bool = False

    @property
    def is_short(self) -> bool:
        return self.stated < self.fastest


@dataclass(frozen=True, slots=True, kw_only=True)
class Plausibility:
    """What was held against what for one offer, and the questions that come of it."""

    offer: Offer
    times: tuple[Timed, ...]
    prices: tuple[Weighed, ...]
    questions: tuple[Question, ...]


def plausibility_of(comparison: Comparison, known: Sequence[Case]) -> tuple[Plausibility, ...]:
    """Each offer that is not replaced, held against published times and the other known cases.

    known are the items of the whole folder that are not replaced; those of the offer's own quote
    for the part are left aside.
    """
    return tuple(
        _of_offer(offer, known)
        for offer in comparison.offers
        if offer.standing is not Standing.REPLACED
    )


def with_questions(advice: Advice, found: Iterable[Plausibility]) -> Advice:
    """The advice with these questions behind its own; none of them blocks."""
    asked = tuple(question for each in found for question in each.questions)
    return replace(advice, questions=(*advice.questions, *asked))


def _of_offer(offer: Offer, known: Sequence[Case]) -> Plausibility:
    case = offer.case
    times = tuple(_times(case))
    prices = tuple(_prices(case, known))
    questions = [_too_short(offer, each) for each in times if each.is_short]
    far = {each.place: each for each in reversed(prices) if each.is_far}
    questions += [_far_off(offer, each) for each in reversed(far.values())]
    return Plausibility(offer=offer, times=times, prices=prices, questions=tuple(questions))


# times


def _times(case: Case) -> Iterator[Timed]:
    """The run as for a repeat order, and the making of each tool that is still to be paid."""
    published = process_times()[case.process]
    lead = case.item.lead_time
    if not isinstance(lead, Absence):
        yield Timed(
            what="run",
            text=str(lead),
            stated=longest_reading(lead),
            fastest=published.fastest,
            place=case.at_item("lead time"),
        )
    for number, tool in enumerate(case.item.tools):
        if published.tool is None or isinstance(tool.takes, Absence) or _is_ours(case, tool):
            continue
        yield Timed(
            what=tool.what,
            text=str(tool.takes),
            stated=longest_reading(tool.takes),
            fastest=published.tool.hours,
            place=case.at_item("tools", number, "takes"),
            is_tool=True,
        )


def _is_ours(case: Case, tool: Tool) -> bool:
    return tool.tool in case.workshop.record.tools_owned


def _too_short(offer: Offer, timed: Timed) -> Question:
    published = process_times()[offer.process]
    if timed.is_tool:
        text = (
            f"You make the {timed.what} in {timed.text}; published times begin at "
            f"{in_words(timed.fastest)}. Is the tool there already, or does the time count from "
            "another day?"
        )
        return _asked(offer, "tool-time-short", text, timed.place)
    text = f"{_of_repeat(offer, timed, published)} {published.ask}"
    return _asked(offer, "lead-time-short", text, timed.place)


def _of_repeat(offer: Offer, timed: Timed, published: ProcessTimes) -> str:
    """The slowest step is named where it alone takes longer than the whole stated time."""
    slowest = published.slowest_step
    if timed.stated < slowest.hours:
        return (
            f"You state {timed.text} for a repeat order; the {slowest.name} alone takes at least "
            f"{in_words(slowest.hours)} by the fastest published times."
        )
    return (
        f"You state {timed.text} for a repeat order; the fastest published way through the steps "
        f"of {offer.process.value} takes {in_words(published.fastest)}."
    )


# prices


def _prices(case: Case, known: Sequence[Case]) -> Iterator[Weighed]:
    others = [each for each in known if not _is_same(each, case)]
    same_part = [each for each in others if each.part.name == case.part.name]
    same_process = [each for each in others if each.process is case.process]
    yield from _weighed(OF_PART, case, same_part, each_at_lot)
    if case.process in PRINTS:
        yield from _weighed(OF_GRAM, case, same_process, _a_gram)
    if case.process in CASTINGS:
        yield from _weighed(OF_KILOGRAM, case, same_process, _a_kilogram)
    yield from _tools(case, same_process)


def _is_same(one: Case, other: Case) -> bool:
    """Whether two cases are of one quote for one part, its other items among them."""
    mine = (one.quote_entry.supplier, one.quote.quote, one.part.name)
    return mine == (other.quote_entry.supplier, other.quote.quote, other.part.name)


def each_at_lot(case: Case) -> Fraction | None:
    """The quoted price of a piece for one lot, or for the first tier where that begins later."""
    found = [line for line in goods(case).lines if line.kind is Kind.GOODS]
    if not found:
        return None
    pieces = max(case.lot, slices_of(case)[0].start)
    return found[0].schedule.at(pieces) / pieces or None


def _a_gram(case: Case) -> Fraction | None:
    each = each_at_lot(case)
    return each / case.mass_priced.grams if each is not None else None


def _a_kilogram(case: Case) -> Fraction | None:
    each = each_at_lot(case)
    return each / case.mass_priced.kilograms if each is not None else None


def _weighed(
    measure: Measure,
    case: Case,
    others: Iterable[Case],
    value_of: Callable[[Case], Fraction | None],
) -> Iterator[Weighed]:
    own = value_of(case)
    against = [value for each in others if (value := value_of(each)) is not None]
    if own is None or len(against) < measure.fewest:
        return
    number = _tier_at_lot(case)
    yield Weighed(
        measure=measure,
        text=str(case.item.prices[number].price),
        value=own,
        median=statistics.median(against),
        others=len(against),
        place=case.at_item("prices", number, "price"),
        lacks_tool=_lacks_tool(case),
    )


def _lacks_tool(case: Case) -> bool:
    return case.process in TOOLED and not case.item.tools and case.item.spread_tool is None


def _tier_at_lot(case: Case) -> int:
    """The number of the tier that holds for one lot."""
    slices = slices_of(case)
    reached = [each for each in slices if each.start <= case.lot]
    return (reached or slices)[-1 if reached else 0].number


def _tools(case: Case, others: Sequence[Case]) -> Iterator[Weighed]:
    against = [value for each in others for _, value in _tool_values(each)]
    if len(against) < OF_TOOL.fewest:
        return
    for number, value in _tool_values(case):
        yield Weighed(
            measure=OF_TOOL,
            text=str(case.item.tools[number].price),
            value=value,
            median=statistics.median(against),
            others=len(against),
            place=case.at_item("tools", number, "price"),
        )


def _tool_values(case: Case) -> Iterator[tuple[int, Fraction]]:
    """What each tool costs for a cavity and a square centimetre of the part's largest face."""
    box = case.part.record.envelope
    if box is None:
        return
    longest, second, _ = sorted((side.millimetres for side in box), reverse=True)
    for number, tool in enumerate(case.item.tools):
        if not isinstance(tool.price, Absence) and tool.price.amount:
            yield number, case.base(tool.price) / tool.cavities / (longest * second / 100)


def _far_off(offer: Offer, weighed: Weighed) -> Question:
    """No price of anybody else is told, since the question goes to a supplier."""
    way = "above" if weighed.ratio > 1 else "below"
    text = (
        f"Your price of {weighed.text} lies far {way} what we know of comparable ones. "
        f"{likely_slip(weighed)}"
    )
    return _asked(offer, weighed.measure.code, text, weighed.place)


def likely_slip(weighed: Weighed) -> str:
    """The slip that would bring the price near the others, as a question."""
    ratio = weighed.ratio
    off = ratio if ratio > 1 else 1 / ratio
    if weighed.measure is OF_TOOL:
        return _slip_of_tool(off)
    if _near(off, 100) or _near(off, 1000):
        many = 100 if _near(off, 100) else 1000
        return (
            f"Is it for {many:,} pieces and not for each?"
            if ratio > 1
            else f"Is it for each piece and not for {many:,}?"
        )
    if ratio > 1 and weighed.lacks_tool:
        return "Is a tool in the price of the piece, or has a decimal point moved?"
    if _near(off, 10):
        return "Has a decimal point moved?"
    return "Is it for one piece, in the right currency, and for the same work?"


def _slip_of_tool(off: Fraction) -> str:
    if _near(off, 10) or _near(off, 100) or _near(off, 1000):
        return "Has a decimal point moved?"
    return "How many cavities has it, and what else is in its price?"


def _near(off: Fraction, power: int) -> bool:
    return Fraction(power, 2) <= off <= 2 * power


def _asked(offer: Offer, code: str, text: str, place: Place) -> Question:
    return Question(
        to=offer.supplier_name, offer=offer.name, text=text, code=code, place=place, blocks=False
    )
