"""What orders cost, reckoned from the forms by the numbered rules alone: slow, plain, exact.

Written from the rules and not from the code: it reads the texts of the forms itself, adds
fractions for every order one by one, and tries every way to split a quantity into whole lots and
one order more. Only exchange rates are taken over.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, cached_property
from typing import Any

Values = Mapping[str, Any]
Rates = Mapping[str, Fraction]
NOTHING = "not applicable"


def share(text: str) -> Fraction:
    return Fraction(text.removesuffix("%").strip()) / 100


@dataclass(frozen=True, kw_only=True)
class Best:
    """The least cost for a quantity, and the pieces and good parts that it buys."""

    cost: Fraction
    pieces: int
    good: int


@dataclass(frozen=True, eq=False)
class Bought:
    """One quote of one item from Britain, with the forms that it is reckoned from."""

    workshop: Values
    part: Values
    quote: Values
    rates: Rates

    @cached_property
    def item(self) -> Values:
        item: Values
        (item,) = self.quote["items"]
        return item

    def money(self, text: str) -> Fraction:
        amount, currency = text.split(" ")
        return Fraction(amount) * self.rates[currency]

    @cached_property
    def grams(self) -> Fraction:
        return Fraction(self.part["mass"].removesuffix(" g"))

    def price(self, text: str) -> Fraction:
        """Of one piece."""
        amount, basis = text.split(" per ")
        if basis in ("g", "kg"):
            return self.money(amount) * self.grams / (1000 if basis == "kg" else 1)
        return self.money(amount) / Fraction(basis)

    @property
    def months(self) -> int:
        return int(self.workshop["planning months"])

    @cached_property
    def bad_share(self) -> Fraction:
        return share(self.item["rejects"]["share"])

    @property
    def found(self) -> str:
        return str(self.item["rejects"]["found"])

    @property
    def made_good(self) -> str:
        return str(self.item["rejects"]["made good"])

    def failing(self, pieces: int) -> int:
        return pieces - math.floor(pieces * (1 - self.bad_share))

    def good(self, pieces: int) -> int:
        return pieces if self.made_good == "replaced" else pieces - self.failing(pieces)

    @cached_property
    def tiers(self) -> list[tuple[int, Fraction]]:
        return [(int(each["from"]), self.price(each["price"])) for each in self.item["prices"]]

    def allowed(self, pieces: int) -> bool:
        least = max(int(self.item["minimum"]), self.tiers[0][0])
        most = self.item.get("capacity a month")
        fits = most is None or pieces <= int(most)
        return pieces >= least and pieces % int(self.item["multiple"]) == 0 and fits

    # one order

    @cache  # noqa: B019
    def invoice(self, pieces: int) -> dict[str, Fraction]:
        """What the supplier asks for one order, by name; what is paid once is not in it."""
        tier_price = [price for start, price in self.tiers if start <= pieces][-1]
        lines = {"goods": self.goods(pieces, tier_price), "credit": Fraction(0)}
        if self.made_good == "credited":
            lines["credit"] = -self.failing(pieces) * tier_price
        lines["charges"] = sum(
            (
                self.money(each["amount"]) * self.times(each, pieces)
                for each in self.item["charges"]
                if each["per"] not in ("year", "revision", "once")
            ),
            Fraction(0),
        )
        lines |= self.surcharges(lines, pieces)
        lines["lift"] = self.lift(lines, pieces)
        return lines

    def goods(self, pieces: int, tier_price: Fraction) -> Fraction:
        if self.item["breaks"] == "all-units":
            return pieces * tier_price
        ends = [start - 1 for start, _ in self.tiers[1:]] + [pieces]
        total, before = Fraction(0), 0
        for (_, price), end in zip(self.tiers, ends, strict=True):
            taken = max(0, min(end, pieces) - before)
            total, before = total + taken * price, before + taken
        return total

    def deliveries(self, pieces: int) -> int:
        each = self.part.get("pieces a delivery")
        return 1 if each is None else math.ceil(Fraction(pieces, int(each)))

    def times(self, charge: Values, pieces: int) -> int:
        return {
            "piece": pieces,
            "batch": math.ceil(Fraction(pieces, int(charge.get("batch", 1)))),
            "delivery": self.deliveries(pieces),
            "order": 1,
        }[str(charge["per"])]

    def surcharges(self, lines: Mapping[str, Fraction], pieces: int) -> dict[str, Fraction]:
        """Percentages of goods as they are after credits, of charges, or of one another (R11)."""
        base = {"goods": lines["goods"] + lines["credit"], "charges": lines["charges"]}
        found: dict[str, Fraction] = {}
        for each in self.item["surcharges"]:
            if each.get("counted") == "no":
                continue
            if "price" in each:
                amount = self.price(each["price"]) * pieces
            else:
                amount = share(each["rate"]) * sum(base[name] for name in each["of"])
            found[each["what"]] = base[each["what"]] = (
                -amount if each.get("off") == "yes" else amount
            )
        return found

    def counted(self, lines: Mapping[str, Fraction]) -> Fraction:
        """What counts towards a minimum value: the invoice, which knows of no later credit."""
        kept_back = self.found == "at the supplier"
        counted = lines["goods"] + (lines["credit"] if kept_back else 0)
        if self.item["minimum value"]["counts charges"] == "yes":
            counted += sum(lines[name] for name in lines if name not in ("goods", "credit"))
        return counted

    def lift(self, lines: Mapping[str, Fraction], pieces: int) -> Fraction:
        minimum = self.item.get("minimum value")
        if minimum is None or minimum["per"] == "year":
            return Fraction(0)
        times = self.deliveries(pieces) if minimum["per"] == "delivery" else 1
        return max(Fraction(0), self.money(minimum["value"]) * times - self.counted(lines))

    @cache  # noqa: B019  (a handful of small cases, gone with the test)
    def order(self, pieces: int) -> Fraction:
        """All that one order costs us until it stands on the shelf."""
        lines = self.invoice(pieces)
        total = sum(lines.values(), Fraction(0))
        travels = total if self.found == "at the supplier" else total - lines["credit"]
        way, before_border = self.way(pieces, travels)
        value = travels + (before_border if self.workshop["customs value"] == "CIF" else 0)
        fee = self.workshop.get("bank fee")
        abroad = self.quote["currency"] != "EUR"
        paid = self.money(fee) if fee is not None and abroad else Fraction(0)
        return total + way + value * self.border_share + self.finishing(pieces) + paid

    @property
    def rule(self) -> str:
        return str(self.quote["delivery"]).split(" ")[0]

    def carried(self, pieces: int) -> int:
        """Pieces that travel, replacements of what failed after the way among them."""
        if self.found != "at the supplier":
            return pieces + (self.failing(pieces) if self.made_good == "replaced" else 0)
        return pieces if self.made_good == "replaced" else pieces - self.failing(pieces)

    def way(self, pieces: int, travels: Fraction) -> tuple[Fraction, Fraction]:
        """What the way costs us, and how much of it lies before the border (R6, R7)."""
        legs = self.workshop["delivery"][0]
        deliveries, before = self.deliveries(pieces), Fraction(0)
        kilograms = Fraction(self.item.get("mass shipped", "100 g").removesuffix(" g")) / 1000
        kilograms *= self.carried(pieces)
        total = Fraction(0)
        if self.rule == "EXW":
            before += self.money(legs["export clearance"]) * deliveries
        if self.rule in ("EXW", "FCA"):
            carriage = self.money(legs["carriage"]["per order"]) * deliveries
            carriage += self.money(legs["carriage"].get("per kilogram", "0 EUR")) * kilograms
            insurance = share(legs["insurance"]) * travels
            before += (carriage + insurance) * share(legs["to border"])
            total += (carriage + insurance) * (1 - share(legs["to border"]))
        if self.rule == "CPT":
            insurance = share(legs["insurance"]) * travels
            before += insurance * share(legs["to border"])
            total += insurance * (1 - share(legs["to border"]))
            total += self.money(legs["on carriage"]["per kilogram"]) * kilograms
        if self.rule != "DDP":
            total += self.money(legs["import clearance"]) * deliveries
        if self.rule != "DPU":
            total += self.money(legs["unloading"]) * deliveries
        return total + before, before

    @property
    def border_share(self) -> Fraction:
        """Duty, and import tax on value and duty where it does not come back (R7)."""
        if self.rule == "DDP":
            return Fraction(0)
        duty = share(self.workshop["duty"][0]["rate"])
        tax = share(self.workshop["import tax"]) * (1 + duty)
        return duty + (tax if self.workshop["import tax comes back"] == "no" else 0)

    def finishing(self, pieces: int) -> Fraction:
        """The operation that we do ourselves (R8), on what is worth doing it (R9)."""
        if "deburring" not in self.part["operations"] or "deburring" in self.item["includes"]:
            return Fraction(0)
        ours = self.workshop["completion"][0]
        done = pieces if self.made_good == "replaced" else pieces - self.failing(pieces)
        if self.found == "after completion":
            done = pieces + (self.failing(pieces) if self.made_good == "replaced" else 0)
        per_order = self.money(ours["per order"]) * self.deliveries(pieces)
        return self.price(ours["price"]) * done + per_order

    # all orders together

    def once(self, pieces: int) -> Fraction:
        """Tools and charges that are paid once, with their duty, for so many pieces in all."""
        charged = [
            self.money(each["amount"])
            for each in self.item["charges"]
            if each["per"] in ("revision", "once")
        ]
        total = sum(charged, Fraction(0)) * (1 + self.border_share)
        for tool in self.item["tools"]:
            total += self.tool(tool, pieces)
        return total

    def tool(self, tool: Values, pieces: int) -> Fraction:
        price, dutiable = self.money(tool["price"]), Fraction(0)
        over = tool.get("duty over")
        dutiable += price if over is None else price * min(Fraction(1), Fraction(pieces, int(over)))
        later = Fraction(0)
        if tool["life"] != NOTHING:
            made = Fraction(pieces)
            if self.made_good == "replaced":
                made = made / (1 - self.bad_share)
            used_up = math.ceil(made / (int(tool["life"]) * int(tool.get("cavities", 1)))) - 1
            later += used_up * self.money(tool.get("replacement", tool["price"]))
        if tool["samples"] != NOTHING:
            later += self.money(tool["samples"])
        transfer = self.money(tool.get("transfer", "0 EUR"))
        return price + later + transfer + (dutiable + later) * self.border_share

    def yearly(self) -> Fraction:
        each = [self.money(c["amount"]) for c in self.item["charges"] if c["per"] == "year"]
        each += [self.money(tool.get("storage", "0 EUR")) for tool in self.item["tools"]]
        return sum(each, Fraction(0)) * Fraction(self.months, 12)

    def plan(self, lots: int, lot: int, rest: int) -> Fraction:
        """Whole lots and one order more (0 for none)."""
        pieces = lots * lot + rest
        total = self.once(pieces) + self.yearly()
        total += lots * self.order(lot) + (self.order(rest) if rest else 0)
        minimum = self.item.get("minimum value")
        if minimum is not None and minimum["per"] == "year":
            reached = lots * self.counted(self.invoice(lot)) if lots else Fraction(0)
            reached += self.counted(self.invoice(rest)) if rest else 0
            wanted = self.money(minimum["value"]) * Fraction(self.months, 12)
            total += max(Fraction(0), wanted - reached)
        return total

    def lot(self, wanted: int) -> int | None:
        """The smallest order with a lot's good parts, else with all that one order can bring."""
        most = int(self.item.get("capacity a month", 10_000))
        full: int | None = None
        for pieces in range(1, most + 1):
            if self.allowed(pieces) and self.good(pieces) > (self.good(full) if full else 0):
                full = pieces
            if full is not None and self.good(full) >= wanted:
                return full
        return full

    def best(self, wanted: int, reach: int) -> list[Best | None]:
        """The least cost for at least N good parts, N from 0 to reach; None where there is none."""
        lot = self.lot(wanted)
        found: list[Best | None] = [None] * (reach + 1)
        found[0] = Best(cost=Fraction(0), pieces=0, good=0)
        if lot is None:
            return found
        by_good: dict[int, Best] = {}
        for lots, rest in self.ways_to_order(lot, reach):
            pieces = lots * lot + rest
            good = lots * self.good(lot) + self.good(rest)
            this = Best(cost=self.plan(lots, lot, rest), pieces=pieces, good=good)
            known = by_good.get(min(good, reach))
            if known is None or (this.cost, pieces) < (known.cost, known.pieces):
                by_good[min(good, reach)] = this
        for n in range(1, reach + 1):
            enough = [best for good, best in by_good.items() if good >= n]
            found[n] = min(enough, key=lambda best: (best.cost, best.pieces), default=None)
        return found

    def ways_to_order(self, lot: int, reach: int) -> list[tuple[int, int]]:
        """Every number of whole lots with every order up to a lot, well past what is wanted."""
        yearly, capacity = self.item.get("minimum a year", "0"), self.item.get("capacity a month")
        least = math.ceil(Fraction(int(yearly) * self.months, 12))
        most = math.inf if capacity is None else int(capacity) * self.months
        whole = math.ceil(Fraction(reach, self.good(lot))) + math.ceil(Fraction(least, lot)) + 1
        rests = [0, *(rest for rest in range(1, lot + 1) if self.allowed(rest))]
        return [
            (lots, rest)
            for lots in range(whole + 1)
            for rest in rests
            if lots + rest > 0 and least <= lots * lot + rest <= most
        ]
