"""From a workshop folder to the files of its report."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from quotegen import __version__
from quotegen.basics.problem import Problem, in_order
from quotegen.report.output.site import update_site
from quotegen.study import study

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """Every problem met on the way, and what to tell in a line or two."""

    problems: tuple[Problem, ...]
    told: tuple[str, ...]


RECORDS = ("parts", "suppliers", "quotes", "decisions", "orders")


def why_not_to(folder: Path, target: Path) -> str:
    """Why a report may not be written to a folder; nothing where it may.

    The records it is made from are not to be mixed with what is made of them.
    """
    home, there = folder.resolve(), target.resolve()
    if there == home or home.is_relative_to(there):
        return f"{target} holds the workshop folder itself; name a folder of its own, such as site"
    if any(there.is_relative_to(home / name) for name in RECORDS):
        return f"{target} is for records; name a folder of its own, such as site"
    return ""


def publish(
    folder: Path,
    target: Path,
    today: datetime.date | None,
    clock: datetime.date,
    progress: Progress,
) -> Published:
    """Study every part and write site, PDFs and tables to target.

    A report is written for the parts that are sound, whatever is wrong with the others.
    """
    found = study(folder, today, clock=clock)
    written = update_site(found, __version__, folder, target, progress)
    told = (
        f"{target / 'index.html'}: {len(written.written)} files written, "
        f"{len(written.unchanged)} as they were, {len(written.removed)} removed"
    )
    return Published(problems=in_order([*found.problems, *written.problems]), told=(told,))
