"""Fit and metal as JSON values: lengths in mm, Ra in um and masses in g as decimal strings."""

from __future__ import annotations

from typing import Any

from quotegen.compare.comparison import Comparison
from quotegen.costing.offer import Offer
from quotegen.fit.judging import Judged
from quotegen.fit.raw_casting import RawFace
from quotegen.judge.advice import Advice
from quotegen.judge.metal import RouteMetal, metal_of_route
from quotegen.report.json_values import amount
from quotegen.report.views.fit import judged_offers


def fit_as_json(comparison: Comparison) -> list[dict[str, Any]]:
    """Each offer with its verdict for every requirement, and the faces for the raw casting."""
    return [_offer(offer, faces) for offer, faces in judged_offers(comparison)]


def _offer(offer: Offer, faces: tuple[RawFace, ...]) -> dict[str, Any]:
    return {
        "quote": offer.name,
        "process": offer.process.value,
        "requirements": [_judged(offer, each) for each in offer.fit],
        "faces": [_raw_face(each) for each in faces],
    }


def _judged(offer: Offer, judged: Judged) -> dict[str, Any]:
    required = judged.required
    return {
        "kind": required.aspect.value,
        "what": required.told,
        "verdict": judged.verdict.value,
        "why": judged.why,
        "by": judged.by or None,
        "left_out": judged.lacks_machining,
        "asked": bool(judged.ask),
        "place": str(offer.case.at_part(*required.keys)),
        "sources": [
            {"source": each.text, "confidence": each.confidence.value} for each in judged.sources
        ],
    }


def _raw_face(face: RawFace) -> dict[str, Any]:
    return {
        "what": face.required.told,
        "allowance_grade": face.grade,
        "allowance_mm": amount(face.allowance),
        "casting_tolerance_mm": amount(face.band),
        "metal_to_leave_mm": amount(face.on_face),
        "cast_size_mm": amount(face.raw),
    }


def metal_as_json(advice: Advice) -> list[dict[str, Any]]:
    """Each ranked route's metal over all good parts that it buys; null where it is not known."""
    return [_metal(metal_of_route(cost)) for cost in advice.ranking]


def _metal(metal: RouteMetal) -> dict[str, Any]:
    return {
        "route": metal.cost.route.name,
        "good_parts": metal.good,
        "in_parts_g": amount(metal.in_parts),
        "bought_g": amount(metal.bought),
        "goes_back_g": amount(metal.goes_back),
        "from": [each.how for each in metal.legs],
    }
