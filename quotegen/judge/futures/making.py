"""From a part's plans to its outlook: the futures are drawn once and every route follows them."""

from __future__ import annotations

from collections.abc import Mapping

from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import plans_of
from quotegen.judge.futures.answer import answer_of, stalls_of
from quotegen.judge.futures.draws import SEED, draw
from quotegen.judge.futures.follow import Followed, follow
from quotegen.judge.futures.knowledge import Knowledge
from quotegen.judge.futures.law import law_of, mean_of
from quotegen.judge.futures.outlook import Outlook, routes_over
from quotegen.judge.futures.staged_way import follow_staged
from quotegen.judge.futures.staging import staged_of
from quotegen.plan.plan import Plan
from quotegen.plan.planning import Planning
from quotegen.plan.sources import Borne

FUTURES = 65_536
STAGED = ""  # the name of the staged way among the routes, which none of them has


def planned_outlook(
    comparison: Comparison, planning: Planning | None, *, seed: int = SEED
) -> Outlook | None:
    """The outlook of a part's plans; None where there is no plan that keeps every limit."""
    if planning is None or planning.plan is None:
        return None
    plans = plans_of(comparison, planning)
    names = [route.name for route in comparison.routes if route.name in plans]
    kept = {name: plans[name] for name in names}
    return outlook_of(comparison, kept, seed=seed, borne=planning.borne)


def outlook_of(
    comparison: Comparison,
    plans: Mapping[str, Plan],
    futures: int = FUTURES,
    *,
    seed: int = SEED,
    borne: tuple[Borne, ...] = (),
) -> Outlook | None:
    """What each planned route costs over the futures that the part's form allows.

    plans has them by the route's name. None where there is no plan, or where the form leaves no
    doubt about the demand: low, likely and high are one number.
    """
    demand = comparison.part.record.demand
    law = law_of(demand)
    if not plans or law.least == law.most:
        return None
    setting = next(iter(plans.values())).setting
    months = setting.horizon.demand
    draws = draw(law, months, setting.change, futures, seed=seed)
    knowledge = Knowledge(law=law, demand=months, most_sold=int(draws.sold.max()))
    offers = [offer for plan in plans.values() for offer in plan.offers]
    stalls = stalls_of(offers, setting, law.most, borne)
    by_plan: dict[str, Followed] = {}
    for plan in plans.values():
        if plan.name not in by_plan:
            answer = answer_of(comparison, plan, stalls, knowledge, scatters=True)
            by_plan[plan.name] = follow(answer, draws, knowledge.shift)
    followed = {name: by_plan[plan.name] for name, plan in plans.items()}
    means = {name: float(each.cost.mean()) for name, each in followed.items()}
    staged = staged_of(plans, means, stalls, knowledge, draws)
    if staged is not None and staged.trigger.waits:
        first = plans[staged.trigger.plain]
        followed[STAGED] = follow_staged(comparison, first, staged, stalls, knowledge, draws)
    routes = {each.name: each for each in routes_over(followed)}
    return Outlook(
        staged=routes.pop(STAGED, None),
        routes=routes,
        futures=futures,
        months=len(months),
        level_mean=float(mean_of(demand) / demand.likely),
        trigger=staged.trigger if staged is not None else None,
    )
