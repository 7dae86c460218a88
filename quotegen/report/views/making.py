"""How the part is made: whether each process can, and the metal that it takes."""

from __future__ import annotations

from dataclasses import dataclass

from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import Advice
from quotegen.report.views.fit import FitView, fit_view
from quotegen.report.views.metal import MetalView, metal_view


@dataclass(frozen=True, slots=True, kw_only=True)
class MakingView:
    """Fit and metal; None where there is nothing to say."""

    fit: FitView | None
    metal: MetalView | None


def making_view(comparison: Comparison, advice: Advice) -> MakingView:
    return MakingView(fit=fit_view(comparison, advice), metal=metal_view(comparison, advice))
