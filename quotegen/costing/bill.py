"""The bill of one item: the cost lines that make up every figure, and what is missing from it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from quotegen.basics.place import Place
from quotegen.costing.schedule import PIECES, Driver, Schedule


class Kind(StrEnum):
    """What a cost line pays for; the parts of the stacked bar."""

    GOODS = "goods"
    CHARGE = "charges"
    SURCHARGE = "surcharges"
    MINIMUM = "minimum value"
    REJECTS = "rejects credited"
    TOOL = "tool"
    COMPLETION = "completion"
    DELIVERY = "delivery"
    CUSTOMS = "customs"
    FEE = "fees"
    TAX = "tax"
    TERM = "terms"


class Scope(StrEnum):
    """What a line's schedule is a function of."""

    ORDER = "each order"
    ONCE = "all orders together"
    YEAR = "each year"


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One line of a bill, in the workshop's currency.

    schedule gives the amount for the pieces of one order (Scope.ORDER), for the pieces
    of all orders together (Scope.ONCE) or for a year (Scope.YEAR, the pieces do not
    matter). counts is the driver of its `per`; scale turns that count into the unit of
    per, such as kilograms a piece. written is the amount as the source has it. dutiable is
    the share that belongs to the customs value of goods from abroad beside the invoice (R7).
    at_end marks what falls due only when orders stop. tool is the key of the tool that it
    belongs to, so that what several quotes share is paid once in a plan.
    """

    kind: Kind
    what: str
    per: str
    rule: str
    place: Place
    schedule: Schedule
    scope: Scope = Scope.ORDER
    counts: Driver = PIECES
    scale: Fraction = Fraction(1)
    written: str = ""
    dutiable: Fraction = Fraction(0)
    at_end: bool = False
    tool: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Something that is not known; where it blocks, the offer cannot be signed or trusted.

    question is what to ask, and asked_of says whom: the supplier, or the workshop itself.
    """

    code: str
    what: str
    question: str
    rule: str
    place: Place
    blocks: bool
    asked_of: str = "supplier"


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A named assumption that fills what a quote leaves open, or how a silence was read."""

    text: str
    rule: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """What one rule adds to a bill."""

    lines: tuple[CostLine, ...] = ()
    gaps: tuple[Gap, ...] = ()
    assumptions: tuple[Assumption, ...] = ()

    def __add__(self, other: Findings) -> Findings:
        return Findings(
            lines=self.lines + other.lines,
            gaps=self.gaps + other.gaps,
            assumptions=self.assumptions + other.assumptions,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """Which quantities may be ordered (R2): from least on, in multiples, up to most an order.

    most_in_all is what the supplier can make over the planning months; at_least_in_all
    is a yearly minimum over them. None means no such limit.
    """

    least: int
    multiple: int
    most: int | None = None
    most_in_all: int | None = None
    at_least_in_all: int = 0

    def rounded_up(self, pieces: int) -> int:
        """The smallest allowed order of at least so many pieces, the capacity left aside."""
        wanted = max(pieces, self.least, 1)
        return -(-wanted // self.multiple) * self.multiple


@dataclass(frozen=True, slots=True, kw_only=True)
class YearlyMinimum:
    """A value that the goods of a year must reach (R3); charges count where the quote says so."""

    value: Fraction
    base: Schedule
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """The cost lines of one good part on our shelf, and what bounds them.

    rejects is the share that is paid for and not usable; years is the length of the plan.
    each and tooling are the textbook's two figures: the landed price of one good piece at
    each step of quantity, and what is paid once before the first.
    """

    lines: tuple[CostLine, ...]
    gaps: tuple[Gap, ...]
    assumptions: tuple[Assumption, ...]
    allowed: Allowed
    rejects: Fraction
    years: Fraction
    yearly_minimum: YearlyMinimum | None = None

    def good(self, pieces: int) -> int:
        """Good parts of one order: floor(pieces x (1 - reject share)) (R9)."""
        return int(Driver("good", rejects=self.rejects).of(pieces))

    def in_scope(self, scope: Scope) -> tuple[CostLine, ...]:
        return tuple(line for line in self.lines if line.scope is scope)

    @property
    def blocking(self) -> tuple[Gap, ...]:
        return tuple(gap for gap in self.gaps if gap.blocks)
