"""Tools that the buyer pays for, and tools paid inside the piece price (R5)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from quotegen.basics.place import Key, Place
from quotegen.costing.bill import Assumption, CostLine, Findings, Gap, Kind, Scope
from quotegen.costing.case import Case
from quotegen.costing.schedule import ORDER, PIECES, Steps, batches, flat
from quotegen.model.fields import Absence, MadeGood
from quotegen.model.quote import Tool


def tooling(case: Case) -> Findings:
    """The tools of the item: price, replacement by life, samples, storage, transfer (R5)."""
    found = Findings()
    for index, tool in enumerate(case.item.tools):
        of_tool = _tool(case, tool, ("tools", index))
        lines = tuple(replace(line, tool=tool.tool) for line in of_tool.lines)
        found += replace(of_tool, lines=lines)
    return found + _spread(case)


def _tool(case: Case, tool: Tool, keys: tuple[Key, ...]) -> Findings:
    if tool.tool in case.workshop.record.tools_owned:
        text = (
            f"The {tool.what} ({tool.tool}) is already ours: its price is not counted, and its "
            "value is taken to have been declared to customs with earlier pieces."
        )
        place = case.at_workshop("tools owned")
        owned = Findings(assumptions=(Assumption(text=text, rule="R5", place=place),))
        return owned + _replaced(case, tool, keys) + _kept(case, tool, keys)
    if isinstance(tool.price, Absence):
        return _unpriced(case, tool, keys)
    line = _once(case, tool.what, case.base(tool.price), keys, "price", str(tool.price))
    paid = Findings(lines=(replace(line, dutiable=_at_once(tool)),))
    return paid + _replaced(case, tool, keys) + _samples(case, tool, keys) + _kept(case, tool, keys)


def _at_once(tool: Tool) -> Fraction:
    """A tool joins the customs value at once, unless its duty is spread over pieces (R7)."""
    return Fraction(0 if tool.duty_over is not None else 1)


def _unpriced(case: Case, tool: Tool, keys: tuple[Key, ...]) -> Findings:
    if tool.price is Absence.NOT_APPLICABLE:
        return Findings()
    gap = Gap(
        code="tool-price",
        what=f"price of the {tool.what} not quoted",
        question=f"What does the {tool.what} cost, and what does that include?",
        rule="R5",
        place=case.at_item(*keys),
        blocks=True,
    )
    return Findings(gaps=(gap,))


def _once(
    case: Case, what: str, amount: Fraction, keys: tuple[Key, ...], key: str, written: str
) -> CostLine:
    return CostLine(
        kind=Kind.TOOL,
        what=what,
        per="once",
        rule="R5",
        place=case.at_item(*keys, key),
        schedule=flat(amount, ORDER),
        scope=Scope.ONCE,
        counts=ORDER,
        written=written,
    )


def life_in_pieces(tool: Tool) -> int | None:
    """Pieces poured before the tool is worn out: shots x cavities; None where not stated."""
    return None if isinstance(tool.life, Absence) else tool.life * tool.cavities


def _replaced(case: Case, tool: Tool, keys: tuple[Key, ...]) -> Findings:
    """Further tools when the life is used up, counted over every piece poured, rejects too.

    Where rejects are replaced, more is poured than is ordered.
    """
    life = life_in_pieces(tool)
    if life is None:
        return _unknown_life(case, tool, keys)
    money = tool.price if isinstance(tool.replacement, Absence) else tool.replacement
    if isinstance(money, Absence):
        return Findings()
    amount = case.base(money)
    replaced = case.rejects.made_good is MadeGood.REPLACED
    driver = batches(life, case.rejects.share if replaced else Fraction(0))
    line = CostLine(
        kind=Kind.TOOL,
        what=f"replacement of the {tool.what} after each {life} pieces",
        per="once",
        rule="R5",
        place=case.at_item(*keys, "life"),
        schedule=Steps((1,), (-amount,), (amount,), driver),
        scope=Scope.ONCE,
        counts=driver,
        written=f"{money} after {tool.life} shots of {tool.cavities}",
        dutiable=Fraction(1),
    )
    text = f"A replacement of the {tool.what} costs as much as the first one."
    said = () if money is tool.replacement else (_assumed(text, case.at_item(*keys, "price")),)
    return Findings(lines=(line,), assumptions=said)


def _assumed(text: str, place: Place) -> Assumption:
    return Assumption(text=text, rule="R5", place=place)


def _unknown_life(case: Case, tool: Tool, keys: tuple[Key, ...]) -> Findings:
    if tool.life is Absence.NOT_APPLICABLE:
        return Findings()
    place = case.at_item(*keys)
    gap = Gap(
        code="tool-life",
        what=f"life of the {tool.what} not stated",
        question=f"How many shots does the {tool.what} last, and what does a replacement cost?",
        rule="R5",
        place=place,
        blocks=False,
    )
    text = f"The {tool.what} is taken to last for all pieces of the plan."
    return Findings(gaps=(gap,), assumptions=(_assumed(text, place),))


def _samples(case: Case, tool: Tool, keys: tuple[Key, ...]) -> Findings:
    if tool.samples is Absence.NOT_APPLICABLE:
        return Findings()
    if isinstance(tool.samples, Absence):
        text = f"Samples from the {tool.what} are taken to be in its price."
        return Findings(assumptions=(_assumed(text, case.at_item(*keys)),))
    what = f"samples from the {tool.what}"
    line = _once(case, what, case.base(tool.samples), keys, "samples", str(tool.samples))
    return Findings(lines=(replace(line, dutiable=Fraction(1)),))


def _kept(case: Case, tool: Tool, keys: tuple[Key, ...]) -> Findings:
    """Storage by the year, transfer at the end, and whose the tool is."""
    lines = []
    if tool.storage is not None:
        lines.append(
            CostLine(
                kind=Kind.TOOL,
                what=f"storage of the {tool.what}",
                per="year",
                rule="R5",
                place=case.at_item(*keys, "storage"),
                schedule=flat(case.base(tool.storage), ORDER),
                scope=Scope.YEAR,
                counts=ORDER,
                written=f"{tool.storage} a year",
            )
        )
    if tool.transfer is not None:
        what = f"transfer of the {tool.what} at the end"
        amount = case.base(tool.transfer)
        line = _once(case, what, amount, keys, "transfer", str(tool.transfer))
        lines.append(replace(line, at_end=True))
    return Findings(lines=tuple(lines), gaps=_ownership(case, tool, keys))


def _ownership(case: Case, tool: Tool, keys: tuple[Key, ...]) -> tuple[Gap, ...]:
    if not isinstance(tool.owner, Absence) or tool.owner is Absence.NOT_APPLICABLE:
        return ()
    return (
        Gap(
            code="tool-owner",
            what=f"owner of the {tool.what} not stated",
            question=f"Do we own the {tool.what} once it is paid, and may we take it away?",
            rule="R5",
            place=case.at_item(*keys),
            blocks=False,
        ),
    )


def _spread(case: Case) -> Findings:
    """The balance of a tool that is paid inside the piece price, owed if orders stop (R5)."""
    spread = case.item.spread_tool
    if spread is None:
        return Findings()
    each = case.base(spread.each)
    line = CostLine(
        kind=Kind.TOOL,
        what=f"balance owed on the {spread.what} if orders stop",
        per="once",
        rule="R5",
        place=case.at_item("spread tool"),
        schedule=Steps(
            (1, spread.over + 1), (each * spread.over, Fraction(0)), (-each, Fraction(0)), PIECES
        ),
        scope=Scope.ONCE,
        counts=ORDER,
        written=f"{spread.each} in each of the first {spread.over} pieces",
        at_end=True,
    )
    return Findings(lines=(line,))
