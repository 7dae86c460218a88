"""What the part or its process requires and the quote leaves out, at our own prices (R8)."""

from __future__ import annotations

from fractions import Fraction

from quotegen.basics.money import Money
from quotegen.basics.place import Place
from quotegen.basics.printed import listed
from quotegen.costing.bill import Assumption, CostLine, Findings, Gap, Kind
from quotegen.costing.case import Case
from quotegen.costing.fitting import machining_left_out, to_machine
from quotegen.costing.goods import deliveries
from quotegen.costing.schedule import PIECES, Driver, flat, good_pieces, rejected_pieces
from quotegen.model.fields import Found, MadeGood
from quotegen.model.workshop import Completion, Labour


def completion(case: Case) -> Findings:
    """What each left-out operation costs us, or a gap where we have no price for it."""
    found = Findings()
    for number, operation in enumerate(case.part.record.operations):
        if operation not in case.item.includes:
            found += _left_out(case, operation, case.at_part("operations", number))
    for operation in machining_left_out(case):
        found += _needed(case, operation)
    return found


def left_out(case: Case) -> tuple[Completion, ...]:
    """Our completion prices for the operations that this quote leaves out, as the part has them."""
    ours = {each.operation: each for each in reversed(case.workshop.record.completion)}
    wanted = (*case.part.record.operations, *machining_left_out(case))
    missing = (each for each in wanted if each not in case.item.includes)
    return tuple(ours[each] for each in missing if each in ours)


def _needed(case: Case, operation: str) -> Findings:
    """An operation that the drawing does not name, and the process makes necessary."""
    features = to_machine(case)
    told = listed([each.required.told for each in features])
    place = case.at_part(*features[0].required.keys)
    text = f"After {case.process.value}, {told} {'needs' if len(features) == 1 else 'need'} "
    said = Assumption(text=f"{text}{operation}.", rule="R8", place=place)
    return _left_out(case, operation, place) + Findings(assumptions=(said,))


def _left_out(case: Case, operation: str, place: Place) -> Findings:
    for index, ours in enumerate(case.workshop.record.completion):
        if ours.operation == operation:
            return _at_our_price(case, ours, index)
    asked = "" if operation in case.item.excludes else f"Is {operation} in your price? "
    gap = Gap(
        code="operation",
        what=f"{operation} is required, left out of the quote, and we have no price for it",
        question=f"{asked}What do you charge for {operation}?",
        rule="R8",
        place=place,
        blocks=True,
    )
    return Findings(gaps=(gap,))


def _at_our_price(case: Case, ours: Completion, index: int) -> Findings:
    place = case.at_workshop("completion", index)
    by_piece = ours.price is not None or ours.minutes is not None
    lines = [_by_piece(case, ours, place)] if by_piece else []
    if by_piece and _repeated(case):
        lines.append(_again(case, ours, place))
    if ours.per_order is not None:
        lines.append(_per_order(case, ours, ours.per_order, place))
    said = Assumption(
        text=f"{ours.operation.capitalize()} is added at our own price ({ours.source}).",
        rule="R8",
        place=place,
    )
    silent = ours.operation not in case.item.excludes and not ours.done_here
    gaps = (_is_it_included(case, ours.operation),) if silent else ()
    return Findings(lines=tuple(lines), gaps=gaps, assumptions=(said,))


def _by_piece(case: Case, ours: Completion, place: Place) -> CostLine:
    driver = completed(case)
    return CostLine(
        kind=Kind.COMPLETION,
        what=ours.operation,
        per="piece",
        rule="R8",
        place=place,
        schedule=flat(price_each(case, ours), driver),
        counts=driver,
        written=_as_written(case, ours),
    )


def _repeated(case: Case) -> bool:
    """Whether replacements of rejects have to be completed as well (R9)."""
    rejects = case.rejects
    after = rejects.found is Found.AFTER_COMPLETION
    return after and rejects.made_good is MadeGood.REPLACED and rejects.share > 0


def _again(case: Case, ours: Completion, place: Place) -> CostLine:
    driver = rejected_pieces(case.rejects.share)
    return CostLine(
        kind=Kind.COMPLETION,
        what=f"{ours.operation}, again for replaced pieces",
        per="piece",
        rule="R9",
        place=place,
        schedule=flat(price_each(case, ours), driver),
        counts=driver,
        written=_as_written(case, ours),
    )


def _per_order(case: Case, ours: Completion, money: Money, place: Place) -> CostLine:
    return CostLine(
        kind=Kind.COMPLETION,
        what=f"{ours.operation}, each delivery",
        per="delivery",
        rule="R8",
        place=place,
        schedule=flat(case.base(money), deliveries(case)),
        counts=deliveries(case),
        written=f"{money} per delivery",
    )


def _is_it_included(case: Case, operation: str) -> Gap:
    return Gap(
        code="operation-silent",
        what=f"the quote does not say whether {operation} is in the price",
        question=f"Is {operation} in your price?",
        rule="R8",
        place=case.at_item("includes"),
        blocks=False,
    )


def completed(case: Case) -> Driver:
    """The pieces that are completed: all, where rejects show only afterwards, else the good."""
    rejects = case.rejects
    replaced = rejects.made_good is MadeGood.REPLACED
    if rejects.found is Found.AFTER_COMPLETION or replaced or not rejects.share:
        return PIECES
    return good_pieces(rejects.share)


def price_each(case: Case, ours: Completion) -> Fraction:
    """Our price for one piece: as stated, by mass, or by minutes of our own labour."""
    each = Fraction(0)
    if ours.price is not None:
        price = case.base(ours.price.each)
        each += price if ours.price.unit == "piece" else price * case.part.record.mass.grams
    labour = _labour(case, ours)
    if ours.minutes is not None and labour is not None:
        each += case.base(labour.rate) * ours.minutes / 60
    return each


def _labour(case: Case, ours: Completion) -> Labour | None:
    """The labour that an operation is reckoned by."""
    known = case.workshop.record.labour
    return next((labour for labour in known if labour.work == ours.labour), None)


def _as_written(case: Case, ours: Completion) -> str:
    parts = [str(ours.price)] if ours.price is not None else []
    labour = _labour(case, ours)
    if ours.minutes is not None and labour is not None:
        parts.append(f"{ours.minutes} min at {labour.rate} an hour")
    return " and ".join(parts)
