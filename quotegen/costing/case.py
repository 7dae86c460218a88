"""One item of one quote with everything that its bill is reckoned from."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import Money, Price
from quotegen.basics.place import Key, Place, Places
from quotegen.basics.quantity import Mass
from quotegen.costing.rates import RateTable
from quotegen.costing.received import Received, Source, received_from
from quotegen.model.entry import Entry, QuoteEntry
from quotegen.model.fields import Process
from quotegen.model.orders import Orders
from quotegen.model.part import Part
from quotegen.model.quote import Item, Quote, Rejects
from quotegen.model.supplier import Supplier
from quotegen.model.workshop import Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """The records behind one offer, and the day it is reckoned for.

    workshop_places and the like answer where a value was written; rates must know every
    currency of the case (check with missing_currencies first).
    """

    workshop: Entry[Workshop]
    part: Entry[Part]
    supplier: Entry[Supplier]
    quote_entry: QuoteEntry
    item_number: int
    rates: RateTable
    today: datetime.date
    orders: Entry[Orders] | None = None

    @property
    def quote(self) -> Quote:
        return self.quote_entry.record

    @property
    def item(self) -> Item:
        return self.quote.items[self.item_number]

    @property
    def process(self) -> Process:
        """As quoted, else the supplier's first one."""
        return self.item.process or self.supplier.record.processes[0]

    @property
    def item_places(self) -> Places:
        return self.quote_entry.places.within("items", self.item_number)

    def at_item(self, *keys: Key) -> Place:
        return self.item_places.of(*keys)

    def at_quote(self, *keys: Key) -> Place:
        return self.quote_entry.places.of(*keys)

    def at_part(self, *keys: Key) -> Place:
        return self.part.places.of(*keys)

    def at_workshop(self, *keys: Key) -> Place:
        return self.workshop.places.of(*keys)

    def base(self, money: Money) -> Fraction:
        """The amount in the workshop's currency, exact (R10)."""
        return self.rates.convert(money)

    def each(self, price: Price) -> Fraction:
        """A price as money for one piece; a price by mass uses the mass that is priced."""
        one = self.base(price.each)
        return one if price.unit == "piece" else one * self.mass_priced.grams

    @property
    def mass_priced(self) -> Mass:
        return self.item.mass_priced or self.part.record.mass

    @property
    def mass_shipped(self) -> Mass:
        return self.item.mass_shipped or self.part.record.mass

    @property
    def rejects_stated(self) -> Fraction | None:
        """The reject share that the quote states, else the one seen of this supplier."""
        if self.item.rejects is not None:
            return self.item.rejects.share
        return self.supplier.record.rejects_seen

    @property
    def received(self) -> Received | None:
        """What came of this part so far, by the same supplier, revision and process (R9)."""
        source = Source(
            name=self.quote_entry.supplier,
            supplier=self.supplier.record,
            revision=self.part.record.revision,
            process=self.process,
            today=self.today,
        )
        return received_from(self.orders, source)

    @property
    def rejects(self) -> Rejects:
        """What was stated of rejects, or nothing, joined to what was received so far (R9)."""
        stated, received = self.rejects_stated, self.received
        said = self.item.rejects or Rejects(share=stated or Fraction(0))
        if received is None:
            return said
        return said.model_copy(update={"share": received.share(stated, self.lot)})

    @property
    def lot(self) -> int:
        """The part's lot, else one year's likely demand, in pieces."""
        return self.part.record.lot or self.part.record.demand.likely

    @property
    def years(self) -> Fraction:
        return Fraction(self.workshop.record.planning_months, 12)

    @property
    def origin(self) -> str:
        return self.item.origin or self.supplier.record.country
