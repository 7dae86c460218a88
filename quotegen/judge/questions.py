"""What to ask: the gaps of each offer and the terms that a careful buyer wants in writing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from quotegen.basics.days import in_words
from quotegen.basics.place import Key, Place
from quotegen.basics.printed import counted
from quotegen.compare.comparison import Comparison
from quotegen.costing.offer import Offer, Standing
from quotegen.judge.tool_life import long_lives
from quotegen.model.fields import Absence


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question, to whom, about which offer; blocks says whether the answer waits for it."""

    to: str
    offer: str
    text: str
    code: str
    place: Place
    blocks: bool


def questions_for(comparison: Comparison) -> tuple[Question, ...]:
    """All questions, those that block first, by offer; a replaced quote is not asked about."""
    found = [
        question
        for offer in comparison.offers
        if offer.standing is not Standing.REPLACED
        for question in _of_offer(offer, comparison)
    ]
    return tuple(sorted(found, key=lambda each: (not each.blocks, each.offer, each.place.order)))


def cancelling(offers: Iterable[Offer]) -> tuple[Question, ...]:
    """What to ask before signing where a quote does not say what can still be cancelled (R20)."""
    text = "What can still be cancelled after the order, and what does it cost?"
    return tuple(
        _ask(offer, "cancelling", text) for offer in offers if not told_of_cancelling(offer)
    )


def told_of_cancelling(offer: Offer) -> tuple[str, ...]:
    """What the quote says of cancelling, in its own words."""
    terms = (*offer.case.quote.terms, *offer.case.item.terms)
    return tuple(each.text for each in terms if "cancel" in f"{each.term} {each.text}".lower())


def _of_offer(offer: Offer, comparison: Comparison) -> Iterator[Question]:
    yield from _standing(offer)
    for gap in offer.bill.gaps:
        ours = gap.asked_of == "workshop"
        yield Question(
            to="ourselves" if ours else offer.supplier_name,
            offer=offer.name,
            text=gap.question,
            code=gap.code,
            place=gap.place,
            blocks=gap.blocks,
        )
    yield from _missing_terms(offer)
    yield from _beyond_breaks(offer, comparison)


def _ask(offer: Offer, code: str, text: str, *keys: Key, blocks: bool = False) -> Question:
    return Question(
        to=offer.supplier_name,
        offer=offer.name,
        text=text,
        code=code,
        place=offer.case.at_item(*keys),
        blocks=blocks,
    )


def _standing(offer: Offer) -> Iterator[Question]:
    part = offer.case.part.record
    if offer.standing is Standing.WRONG_REVISION:
        text = (
            f"Please quote revision {part.revision}; your quote is for {offer.case.item.revision}."
        )
        yield _ask(offer, "revision", text, "revision", blocks=True)
    if offer.standing is Standing.EXPIRED:
        ended = f" on {in_words(offer.last_day)}" if offer.last_day is not None else ""
        text = f"Your quote {offer.quote} ended{ended}: at which prices do you renew it?"
        yield _ask(offer, "expired", text, blocks=True)


def _missing_terms(offer: Offer) -> Iterator[Question]:
    item, quote = offer.case.item, offer.case.quote
    if item.revision is Absence.NOT_QUOTED:
        text = f"Is your quote for revision {offer.case.part.record.revision} of the drawing?"
        yield _ask(offer, "revision-silent", text)
    if quote.last_day() is None:
        yield _ask(offer, "validity", f"Until which day can quote {quote.quote} be signed?")
    if "run" in offer.arrival.unknown:
        yield _ask(
            offer, "lead-time", "How many working days do the pieces take, from which event?"
        )
    for tool in item.tools:
        if tool.what in offer.arrival.unknown:
            text = f"How long does the {tool.what} take, from which event?"
            yield _ask(offer, "tool-time", text, "tools")
    for number, text in long_lives(offer):
        yield _ask(offer, "tool-life-long", text, "tools", number)
    if not quote.payment:
        yield _ask(offer, "payment", "How and when is the invoice to be paid?")
    if offer.case.part.record.certificates and not item.certificates:
        asked = ", ".join(offer.case.part.record.certificates)
        yield _ask(offer, "certificates", f"Do you supply {asked}, and at what price?")


def _beyond_breaks(offer: Offer, comparison: Comparison) -> Iterator[Question]:
    """An order beyond twice the last break is asked about (R1)."""
    last = max((tier.from_ for tier in offer.case.item.prices), default=0)
    cost = comparison.costs.get(offer.name)
    if cost is None or not last:
        return
    largest = max((size for leg in cost.legs for size in leg.orders.sizes), default=0)
    if largest > 2 * last and largest > 1:
        text = f"Your last price is from {counted(last, 'piece')} on: what is it for {largest}?"
        yield _ask(offer, "beyond-breaks", text, "prices")
