"""The demo's report, written once for all tests that look at it; they run in one xdist group."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from pathlib import Path

import pytest

from quotegen import __version__
from quotegen.judge.studied import Study
from quotegen.report.output.writing import SiteResult
from quotegen.study import study

DEMO = Path(__file__).parents[2] / "quotes_demo"
DAY = datetime.date(2026, 11, 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoSite:
    """The study of the demo, the folder its site was written to, and what writing it told."""

    study: Study
    folder: Path
    result: SiteResult

    def paper(self, part: str, kind: str) -> Path:
        return self.folder / "parts" / f"{part}-{kind}.pdf"


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> DemoSite:
    from quotegen.report.output.site import write_site
    from quotegen.report.views.report import report_of

    studied = study(DEMO, DAY)
    folder = tmp_path_factory.mktemp("demo") / "site"
    report = report_of(studied, __version__)
    result = write_site(report, studied, DEMO, folder, lambda *_: None)
    return DemoSite(study=studied, folder=folder, result=result)
