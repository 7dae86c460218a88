"""What would change the answer, as JSON values."""

from __future__ import annotations

from typing import Any

from quotegen.judge.turning.answer import Answer
from quotegen.judge.turning.figure import Stretch, Turning
from quotegen.judge.turning.over_two import OverTwo, Turned
from quotegen.report.json_values import amount


def turning_as_json(turned: Turned | None) -> dict[str, Any] | None:
    """Every figure with every stretch of its range, the nearest turning first; null without plan.

    Values are in the unit of the figure, shares as fractions of one. exactness says whether each
    end is exact, settled to the step, or the neighbours that were looked at.
    """
    turnings = turned.turnings if turned is not None else None
    if turned is None or turnings is None:
        return None
    return {
        "at": "likely demand",
        "figures": [_figure(each) for each in turnings.figures],
        "not_examined": list(turnings.not_examined),
        "over_demand_and_tool_price": _over_two(turned.over_two),
    }


def _figure(found: Turning) -> dict[str, Any]:
    figure = found.figure
    return {
        "figure": figure.sort.value,
        "of": figure.subject or None,
        "place": str(figure.place),
        "written": figure.written,
        "value": amount(figure.value),
        "unit": figure.unit,
        "from": amount(figure.low),
        "to": amount(figure.high),
        "step": amount(figure.step),
        "exactness": found.exact.value,
        "looked_at": found.looked_at,
        "nearest": amount(found.nearest),
        "stretches": [_stretch(each) for each in found.stretches],
    }


def _stretch(each: Stretch) -> dict[str, Any]:
    return {"from": amount(each.first), "to": amount(each.last), **_answer(each.answer)}


def _answer(answer: Answer) -> dict[str, Any]:
    ties = sorted(answer.ties) if len(answer.ties) > 1 else []
    return {"outcome": answer.outcome.value, "cheapest": answer.cheapest, "too_close": ties}


def _over_two(found: OverTwo | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "tool": found.tool.subject,
        "unit": found.tool.unit,
        "demands": [
            {
                "demand": each.demand,
                "stretches": [
                    {
                        "from": amount(s.first),
                        "to": amount(s.last),
                        "cheapest": s.answer.cheapest,
                    }
                    for s in each.stretches
                ],
            }
            for each in found.columns
        ],
    }
