"""Incoming inspection and plausibility as JSON values; chances and ratios are decimal strings."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from quotegen.compare.comparison import Comparison
from quotegen.judge.inspecting import Inspected, inspected_offers
from quotegen.judge.plausible import Plausibility, Timed, Weighed
from quotegen.report.json_values import amount


def inspection_as_json(comparison: Comparison) -> list[dict[str, Any]]:
    """Each offer's usual delivery, how it is looked at and what slips through."""
    return [_inspected(each) for each in inspected_offers(comparison)]


def _inspected(each: Inspected) -> dict[str, Any]:
    plan = each.plan
    return {
        "quote": each.offer.name,
        "delivery": plan.lot,
        "series": each.is_series,
        "taken": plan.sample,
        "accept": plan.accept,
        "reject": plan.reject,
        "bad": each.bad,
        "bad_passes": amount(each.passes),
        "minutes": amount(each.minutes),
        "sorted_on_average": amount(each.to_sort),
        "destroyed": each.destroyed,
        "rejects_counted": amount(each.offer.case.rejects.share),
    }


def plausible_as_json(found: Iterable[Plausibility]) -> list[dict[str, Any]]:
    """Each offer's times and prices with what they were held against."""
    return [
        {
            "quote": each.offer.name,
            "times": [_timed(timed) for timed in each.times],
            "prices": [_weighed(weighed) for weighed in each.prices],
        }
        for each in found
    ]


def _timed(timed: Timed) -> dict[str, Any]:
    return {
        "what": timed.what,
        "written": timed.text,
        "hours_at_most": timed.stated,
        "hours_fastest_published": timed.fastest,
        "asked": timed.is_short,
        "place": str(timed.place),
    }


def _weighed(weighed: Weighed) -> dict[str, Any]:
    return {
        "what": weighed.measure.what,
        "written": weighed.text,
        "value": amount(weighed.value),
        "median": amount(weighed.median),
        "others": weighed.others,
        "ratio": amount(weighed.ratio),
        "asked": weighed.is_far,
        "place": str(weighed.place),
    }
