"""A route's rule followed through one future with plain numbers: the oracle of the arrays."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from quotegen.judge.futures.answer import Answer


@dataclass(kw_only=True)
class One:
    """What became of one future: orders as month, number of the offer, pieces."""

    cost: float
    late: int = 0
    orders: list[tuple[int, int, int]] = field(default_factory=list)


def one_future(  # noqa: C901  # one loop, as a person would write it down
    answer: Answer, wanted: Sequence[int], shift: int = 0, struck: Collection[int] = ()
) -> One:
    """wanted are the pieces of each month; struck the months in which a new drawing comes."""
    found = One(cost=answer.once)
    shelf, coming, keeps, worth = answer.opening, 0, 0.0, 0.0
    counted = [0.0] * len(answer.owing)
    worn = [0.0] * len(answer.worn)
    for month, pieces in enumerate(wanted):
        if month in struck:
            coming -= max(0, shelf)
            shelf = min(shelf, 0)
            found.cost += answer.again[month]
        rule = answer.rule[month]
        if rule is not None:
            known = sum(wanted[: rule.known])
            have = answer.opening + coming - known
            place = min(known >> shift, len(rule.up_to) - 1)
            order = min(int(rule.up_to[place]) - have, rule.buying.most)
            if rule.room is not None and rule.fits is not None:
                free = min(max(0, int(rule.room[place]) - have), len(rule.fits) - 1)
                order = min(order, int(rule.fits[free]))
            if have < rule.reorder[place] and order > 0:
                source, made = int(rule.buying.source[order]), int(rule.buying.pieces[order])
                found.orders.append((month, source, made))
                found.cost += float(rule.buying.cost[order])
                shelf += int(rule.buying.good[order])
                coming += int(rule.buying.good[order])
                keeps, worth = float(rule.buying.keeps[order]), float(rule.buying.worth[order])
                for number, owing in enumerate(answer.owing):
                    if owing.source == source:
                        value = float(rule.buying.counted[order])
                        counted[number] += value if owing.by_value else made
                for number, tool in enumerate(answer.worn):
                    if source in tool.sources:
                        before, worn[number] = worn[number], worn[number] + made
                        lives = math.ceil(worn[number] / tool.life)
                        lives -= max(1, math.ceil(before / tool.life))
                        found.cost += max(0, lives) * tool.another[month]
        shelf -= pieces
        if shelf < 0:
            found.late += min(pieces, -shelf) if month < len(wanted) - 1 else 0
            found.cost += -shelf * answer.late[month] if answer.late is not None else 0
            if answer.lost:
                coming, shelf = coming - shelf, 0
        found.cost += max(0, shelf) * keeps
    found.cost -= max(0, shelf) * worth
    found.cost += max(0, -shelf) * answer.short
    for owing, reached in zip(answer.owing, counted, strict=True):
        found.cost += max(0.0, owing.amount - reached) * owing.each if reached else 0
    return found
