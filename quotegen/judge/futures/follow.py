"""A route's rule followed through every future at once: what it costs and how many come late."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quotegen.judge.futures.answer import Answer, Owing, Worn
from quotegen.judge.futures.draws import Counts, Draws, Places
from quotegen.judge.futures.law import Floats
from quotegen.judge.futures.rule import Month

Wholes = NDArray[np.int32]

BLOCK = 32_768  # futures followed at once, so that what belongs to them stays in the cache


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """By future: the present cost, and the pieces that were not there in their month."""

    cost: Floats
    late: Wholes


def follow(answer: Answer, draws: Draws, shift: int) -> Followed:
    """The rule's cost in each future; shift is that of the knowledge that the rule rests on."""
    found = Followed(cost=np.empty(draws.count), late=np.zeros(draws.count, dtype=np.int32))
    for start in range(0, draws.count, BLOCK):
        block = slice(start, min(start + BLOCK, draws.count))
        some = _Some(answer=answer, sold=draws.sold[:, block], shift=shift)
        for month, struck in enumerate(_inside(draws, block)):
            some.strike(month, struck)
            some.order(month)
            some.use(month)
        some.close()
        found.cost[block], found.late[block] = some.cost, some.late
    return found


def _inside(draws: Draws, block: slice) -> Iterator[Places]:
    """By month the futures of a block that get a new drawing, counted from its first."""
    for struck in draws.struck:
        first, after = np.searchsorted(struck, (block.start, block.stop))
        yield struck[first:after] - block.start


class _Some:
    """Some futures, month by month.

    base is what was on hand at first and came since, less what was scrapped: less what is sold,
    it is the stock, and with it what is on the way. waited are the piece-months on the shelf that
    are not yet charged.
    """

    def __init__(self, answer: Answer, sold: Counts, shift: int) -> None:
        count = sold.shape[1]
        self.answer, self.sold, self.shift = answer, sold, shift
        self.base: Wholes = np.full(count, answer.opening, dtype=np.int32)
        self.cost: Floats = np.full(count, answer.once)
        self.late: Wholes = np.zeros(count, dtype=np.int32)
        self.waited: Wholes = np.zeros(count, dtype=np.int32)
        self.keeps: Floats = np.zeros(count)
        self.worth: Floats = np.zeros(count)
        self.made = [np.zeros(count) for _ in answer.worn]
        self.reached = [np.zeros(count) for _ in answer.owing]

    def strike(self, month: int, struck: Places) -> None:
        """A new drawing: what is on the shelf is scrap, and the tools are paid for again."""
        if len(struck):
            stock = self.base[struck] - self.sold[month, struck]
            self.base[struck] -= np.maximum(stock, 0)
            self.cost[struck] += self.answer.again[month]

    def order(self, month: int) -> None:
        rule = self.answer.rule[month]
        if rule is None:
            return
        known = self.sold[rule.known]
        bins = known >> self.shift if self.shift else known
        have = self.base - known
        due = np.flatnonzero(have < rule.reorder.take(bins))
        if len(due):
            here, bins = have.take(due), bins.take(due)
            wanted = np.minimum(rule.up_to.take(bins) - here, rule.buying.most)
            if rule.room is not None and rule.fits is not None:
                free = np.clip(rule.room.take(bins) - here, 0, len(rule.fits) - 1)
                wanted = np.minimum(wanted, rule.fits.take(free))
                some = np.flatnonzero(wanted > 0)
                due, wanted = due.take(some), wanted.take(some)
            self._place(month, rule, due, wanted)

    def _place(self, month: int, rule: Month, due: Places, wanted: Wholes) -> None:
        buying = rule.buying
        self.cost[due] += buying.cost.take(wanted) + self.waited.take(due) * self.keeps.take(due)
        self.waited[due] = 0
        self.base[due] += buying.good.take(wanted)
        if buying.is_of_one:
            self.keeps[due], self.worth[due] = buying.keeps[0], buying.worth[0]
        else:
            self.keeps[due] = buying.keeps.take(wanted)
            self.worth[due] = buying.worth.take(wanted)
        for worn, made in zip(self.answer.worn, self.made, strict=True):
            self._wear(month, worn, made, due, rule, wanted)
        for owing, reached in zip(self.answer.owing, self.reached, strict=True):
            counted = buying.counted if owing.by_value else buying.pieces
            reached[due] += (counted * (buying.source == owing.source)).take(wanted)

    def _wear(
        self, month: int, worn: Worn, made: Floats, due: Places, rule: Month, wanted: Wholes
    ) -> None:
        """The order that passes a full life of a tool pays for another (R5)."""
        ours = np.isin(rule.buying.source, list(worn.sources))
        before = made[due]
        after = before + (rule.buying.pieces * ours).take(wanted)
        lives = np.ceil(after / worn.life) - np.maximum(1, np.ceil(before / worn.life))
        self.cost[due] += np.maximum(lives, 0) * worn.another[month]
        made[due] = after

    def use(self, month: int) -> None:
        stock = self.base - self.sold[month + 1]
        short = np.flatnonzero(stock < 0)
        if len(short):
            self._owe(month, short, -stock[short])
            stock[short] = 0
        self.waited += stock

    def _owe(self, month: int, short: Places, owed: Wholes) -> None:
        last = month == len(self.answer.rule) - 1
        sold = self.sold[month + 1, short] - self.sold[month, short]
        if not last:
            self.late[short] += np.minimum(owed, sold)
        if self.answer.late is not None:
            self.cost[short] += owed * self.answer.late[month]
        if self.answer.lost:
            self.base[short] += owed

    def close(self) -> None:
        """What is left over is worth its salvage, what lacks is bought, what is owed is paid."""
        stock = self.base - self.sold[-1]
        self.cost += self.waited * self.keeps
        self.cost -= np.maximum(stock, 0) * self.worth
        self.cost += np.maximum(-stock, 0) * self.answer.short
        for owing, reached in zip(self.answer.owing, self.reached, strict=True):
            self.cost += _owed(owing, reached)


def _owed(owing: Owing, reached: Floats) -> Floats:
    missing = np.maximum(owing.amount - reached, 0) * owing.each
    found: Floats = np.where(reached > 0, missing, 0.0)
    return found
