"""Brings the quotes for a workshop's parts to one footing and recommends a route."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime
    from pathlib import Path

    from quotegen.notebook import Workbench

__version__ = "0.1.0"


def open(folder: str | Path, today: datetime.date | None = None) -> Workbench:  # noqa: A001
    """A workshop folder in a notebook: `quotegen.open("my-workshop").offers()`.

    Raises NotADirectoryError where there is no such folder.
    """
    from pathlib import Path

    from quotegen.notebook import Workbench

    if not Path(folder).is_dir():
        raise NotADirectoryError(f"there is no folder {folder}")
    return Workbench(Path(folder), today)
