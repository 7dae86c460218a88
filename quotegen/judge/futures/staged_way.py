"""The staged way followed through every future: one route until the tool works, then with it (R22).

Up to the order of the tool the first route orders as if there were none; from then on its orders
last until the tool's first pieces.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from quotegen.compare.comparison import Comparison
from quotegen.judge.futures.answer import Answer, InForce, answer_of
from quotegen.judge.futures.buying import Stall
from quotegen.judge.futures.draws import Draws
from quotegen.judge.futures.follow import Followed, follow
from quotegen.judge.futures.knowledge import Knowledge
from quotegen.judge.futures.staging import Staged
from quotegen.plan.plan import Plan


def follow_staged(
    comparison: Comparison,
    plan: Plan,
    staged: Staged,
    stalls: Mapping[str, Stall],
    knowledge: Knowledge,
    draws: Draws,
) -> Followed:
    """plan is that of the route without the tool. Futures that order the tool at one time are
    followed together."""
    found = Followed(cost=np.empty(draws.count), late=np.zeros(draws.count, dtype=np.int32))
    without = answer_of(comparison, plan, stalls, knowledge, scatters=True)
    for time in np.unique(staged.times).tolist():
        answer = without
        if time < len(staged.arrives):
            then = InForce(stall=staged.tooled, month=int(staged.arrives[time]), with_tools=True)
            both = answer_of(comparison, plan, stalls, knowledge, scatters=True, then=then)
            answer = _until(without, both, time)
        places = np.flatnonzero(staged.times == time)
        some = follow(answer, draws.some(places), knowledge.shift)
        found.cost[places], found.late[places] = some.cost, some.late
    return found


def _until(without: Answer, both: Answer, time: int) -> Answer:
    """Orders that are placed before the time are those of the first answer."""
    rule = tuple(
        first if first is not None and first.known < time else then
        for first, then in zip(without.rule, both.rule, strict=True)
    )
    return replace(both, rule=rule)
