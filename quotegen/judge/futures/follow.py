"""A route's rule followed through every future at once: what it costs and how many come late."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quotegen.judge.futures.answer import Answer, Owing, Worn
from quotegen.judge.futures.draws import Draws
from quotegen.judge.futures.law import Floats
from quotegen.judge.futures.rule import Month
from quotegen.judge.futures.scatter import Counts, Places

Wholes = NDArray[np.int32]

BLOCK = 131_072  # futures followed at once: few enough that their numbers find room, many for speed


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """By future: the present cost, and the pieces that were not there in their month."""

    cost: Floats
    late: Wholes


def follow(answer: Answer, draws: Draws, shift: int) -> Followed:
    """The rule's cost in each future; shift is that of the knowledge that the rule rests on."""
    found = Followed(cost=np.empty(draws.count), late=np.zeros(draws.count, dtype=np.int32))
    steps = tuple(_steps(answer, int(draws.sold[-1].max()), shift))
    for block, struck_in in _blocks(draws):
        some = _Some(answer=answer, steps=steps, sold=draws.sold[:, block])
        for month, struck in enumerate(struck_in):
            some.strike(month, struck)
            some.order(month)
            some.use(month)
        some.close()
        found.cost[block], found.late[block] = some.cost, some.late
    return found


def _blocks(draws: Draws) -> Iterator[tuple[slice, list[Places]]]:
    """Futures that stand together, and by month those of them that get a new drawing, counted
    from the first of the block."""
    starts = np.arange(0, draws.count, BLOCK)
    edges = [np.searchsorted(each, [*starts, draws.count]) for each in draws.struck]
    for number, start in enumerate(starts.tolist()):
        inside = [
            each[edge[number] : edge[number + 1]] - start
            for each, edge in zip(draws.struck, edges, strict=True)
        ]
        yield slice(start, min(start + BLOCK, draws.count)), inside


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """A month of the rule, by the number sold and not by its bin.

    An order is placed where all that ever came, or will, is below `below`, and brings it to
    `top`; on the shelf there is room for `room` in all. good, cost, keeps and worth have by what
    is wanted what comes, what it costs, what storing one piece of it costs for a month and what
    one is worth at the end; the last two are one number where all is from one offer.
    """

    rule: Month
    below: Wholes
    top: Places
    room: Places | None
    good: Wholes
    cost: Floats
    keeps: Floats | float
    worth: Floats | float


def _steps(answer: Answer, most_sold: int, shift: int) -> Iterator[_Step | None]:
    sold = np.arange(most_sold + 1)
    bins = sold >> shift
    for rule in answer.rule:
        if rule is None:
            yield None
            continue
        buying = rule.buying
        yield _Step(
            rule=rule,
            below=(sold + rule.reorder.take(bins)).astype(np.int32),
            top=sold + rule.up_to.take(bins),
            room=sold + rule.room.take(bins) if rule.room is not None else None,
            good=buying.good.astype(np.int32),
            cost=buying.cost,
            keeps=float(buying.keeps[0]) if buying.is_of_one else buying.keeps,
            worth=float(buying.worth[0]) if buying.is_of_one else buying.worth,
        )


def _taken(column: Floats | float, wanted: Places) -> Floats | float:
    return column if isinstance(column, float) else column.take(wanted)


class _Some:
    """Some futures, month by month.

    base is what was on hand at first and came since, less what was scrapped: less what is sold,
    it is the stock, and with it what is on the way. keeps and worth are those of the newest
    pieces. waited are the piece-months on the shelf so far; the cost stands as if the newest
    price had held for all of them.
    """

    def __init__(self, answer: Answer, steps: tuple[_Step | None, ...], sold: Counts) -> None:
        count = sold.shape[1]
        self.answer, self.steps, self.sold = answer, steps, sold
        self.base: Wholes = np.full(count, answer.opening, dtype=np.int32)
        self.cost: Floats = np.full(count, answer.once)
        self.late: Wholes = np.zeros(count, dtype=np.int32)
        self.waited: Wholes = np.zeros(count, dtype=np.int32)
        self.keeps: Floats = np.zeros(count)
        self.worth: Floats = np.zeros(count)
        self.is_worth = any(np.any(step.worth) for step in steps if step is not None)
        self.stock: Wholes = np.empty(count, dtype=np.int32)
        self.made = [np.zeros(count) for _ in answer.worn]
        self.reached = [np.zeros(count) for _ in answer.owing]

    def strike(self, month: int, struck: Places) -> None:
        """A new drawing: what is on the shelf is scrap, and the tools are paid for again."""
        if len(struck):
            stock = self.base[struck] - self.sold[month, struck]
            self.base[struck] -= np.maximum(stock, 0)
            self.cost[struck] += self.answer.again[month]

    def order(self, month: int) -> None:
        step = self.steps[month]
        if step is None:
            return
        known = self.sold[step.rule.known]
        due = (self.base < step.below.take(known)).nonzero()[0]
        if len(due):
            base, sold = self.base.take(due), known.take(due)
            wanted = np.minimum(step.top.take(sold) - base, step.rule.buying.most)
            if step.room is not None and step.rule.fits is not None:
                free = np.clip(step.room.take(sold) - base, 0, len(step.rule.fits) - 1)
                wanted = np.minimum(wanted, step.rule.fits.take(free))
                some = np.flatnonzero(wanted > 0)
                due, base, wanted = due.take(some), base.take(some), wanted.take(some)
            self.base[due] = base + step.good.take(wanted)
            self._pay(month, step, due, wanted)

    def _pay(self, month: int, step: _Step, due: Places, wanted: Places) -> None:
        buying = step.rule.buying
        keeps = _taken(step.keeps, wanted)
        paid = step.cost.take(wanted)
        paid += self.waited.take(due) * (self.keeps.take(due) - keeps)
        np.add.at(self.cost, due, paid)
        self.keeps[due] = keeps
        if self.is_worth:
            self.worth[due] = _taken(step.worth, wanted)
        for worn, made in zip(self.answer.worn, self.made, strict=True):
            self._wear(month, worn, made, due, step.rule, wanted)
        for owing, reached in zip(self.answer.owing, self.reached, strict=True):
            counted = buying.counted if owing.by_value else buying.pieces
            reached[due] += (counted * (buying.source == owing.source)).take(wanted)

    def _wear(
        self, month: int, worn: Worn, made: Floats, due: Places, rule: Month, wanted: Places
    ) -> None:
        """The order that passes a full life of a tool pays for another (R5)."""
        ours = np.isin(rule.buying.source, list(worn.sources))
        before = made[due]
        after = before + (rule.buying.pieces * ours).take(wanted)
        lives = np.ceil(after / worn.life) - np.maximum(1, np.ceil(before / worn.life))
        self.cost[due] += np.maximum(lives, 0) * worn.another[month]
        made[due] = after

    def use(self, month: int) -> None:
        stock = np.subtract(self.base, self.sold[month + 1], out=self.stock)
        short = (stock < 0).nonzero()[0]
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
