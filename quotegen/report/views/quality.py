"""What a page says of a part's deliveries and of whether its quotes can be meant as they were read.

Each part of it is None where there is nothing to say.
"""

from __future__ import annotations

from dataclasses import dataclass

from quotegen.judge.studied import PartStudy
from quotegen.report.views.inspection import InspectionView, inspection_view
from quotegen.report.views.plausible import PlausibleView, plausible_view


@dataclass(frozen=True, slots=True, kw_only=True)
class QualityView:
    """Incoming inspection, and whether each quote is plausible."""

    inspection: InspectionView | None
    plausible: PlausibleView | None


def quality_view(study: PartStudy) -> QualityView:
    return QualityView(
        inspection=inspection_view(study.comparison, study.advice),
        plausible=plausible_view(study.plausible),
    )
