"""What the deliveries so far say of rejects, joined to what the quote says (R9).

The reject share is a Beta variable whose mean before any delivery is the stated share and which
weighs as much as one lot of pieces. So many pieces received, so many of them rejected, give the
mean (share x lot + rejected) / (lot + received). Where no share was ever stated, one good and one
rejected piece stand in for it, Laplace's rule of succession: (rejected + 1) / (received + 2).
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.place import Place
from quotegen.basics.printed import counted, listed, per_cent
from quotegen.model.entry import Entry
from quotegen.model.fields import Process
from quotegen.model.orders import Order, Orders
from quotegen.model.supplier import Supplier


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Whose deliveries count: of one supplier, for one revision, by one process, until a day."""

    name: str
    supplier: Supplier
    revision: str
    process: Process
    today: datetime.date

    def is_of(self, order: Order) -> bool:
        """An order without a process counts where the supplier has no other than this one."""
        process = order.process or (
            self.supplier.processes[0] if len(self.supplier.processes) == 1 else None
        )
        same = (order.supplier, order.revision, process)
        return same == (self.name, self.revision, self.process) and order.day <= self.today


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """Pieces received and rejected over some orders, and where the first of them is written."""

    orders: tuple[str, ...]
    pieces: int
    rejected: int
    place: Place

    def share(self, stated: Fraction | None, lot: int) -> Fraction:
        """The mean of the reject share after these deliveries."""
        if stated is None:
            return Fraction(self.rejected + 1, self.pieces + 2)
        return (stated * lot + self.rejected) / (lot + self.pieces)

    def told(self, stated: Fraction | None, lot: int, of_quote: str) -> str:
        """The same in a sentence; of_quote says whose stated share it is."""
        seen = (
            f"of {counted(self.pieces, 'piece')} received so far "
            f"({listed(self.orders)}) {self.rejected:,} were rejected"
        )
        share = per_cent(self.share(stated, lot))
        if stated is None:
            return (
                f"Nobody stated a reject share; {seen}. With one good and one rejected piece "
                f"beside them for what is not known, that is {share}."
            )
        return (
            f"{of_quote} {per_cent(stated)} rejects; {seen}. Together that is {share}: what was "
            f"stated weighs as much as one lot of {counted(lot, 'piece')}."
        )


def received_from(orders: Entry[Orders] | None, source: Source) -> Received | None:
    """What came from a source so far; None where no delivery of it was counted and looked at."""
    if orders is None:
        return None
    known = tuple(_counted(orders, source))
    if not known:
        return None
    return Received(
        orders=tuple(order.order for order, _ in known),
        pieces=sum(order.received or 0 for order, _ in known),
        rejected=sum(order.rejected or 0 for order, _ in known),
        place=known[0][1],
    )


def _counted(orders: Entry[Orders], source: Source) -> Iterator[tuple[Order, Place]]:
    for number, order in enumerate(orders.record.orders):
        if source.is_of(order) and order.received and order.rejected is not None:
            yield order, orders.places.of("orders", number)
