"""Where a value was written: the answer to "where does this come from?"."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping
from dataclasses import dataclass

Key = str | int


@dataclass(frozen=True, slots=True)
class Place:
    """A spot in a file: line and column of a text or of a page, a cell of a sheet, or a page.

    path is relative to the workshop folder and uses forward slashes; lines,
    columns and pages count from 1. On a page a column is a group of words that stand together.
    """

    path: str
    line: int | None = None
    column: int | None = None
    cell: str | None = None
    page: int | None = None

    def __str__(self) -> str:
        if self.cell is not None:
            return f"{self.path}:{self.cell}"
        path = self.path if self.page is None else f"{self.path}:page {self.page}"
        return path if self.line is None else f"{path}:{self.line}:{self.column or 1}"

    @property
    def order(self) -> tuple[str, str, int, int, int]:
        """A sort key: by file, then sheet, then downwards, then across."""
        cell = re.fullmatch(r"(.*)!([A-Z]+)(\d+)", self.cell or "", re.DOTALL)
        if cell is None:
            return (self.path, self.cell or "", self.page or 0, self.line or 0, self.column or 0)
        across = functools.reduce(lambda so_far, mark: so_far * 26 + ord(mark) - 64, cell[2], 0)
        return (self.path, cell[1], 0, int(cell[3]), across)


@dataclass(frozen=True, slots=True)
class Places:
    """The place of every value of one record, looked up by the keys that lead to it.

    A value that was not written has no place of its own; it gets the place of the
    nearest thing around it, at last the file.
    """

    file: Place
    by_keys: Mapping[tuple[Key, ...], Place]
    prefix: tuple[Key, ...] = ()

    def of(self, *keys: Key) -> Place:
        """The place of the value that these keys lead to."""
        path = self.prefix + keys
        while path:
            if path in self.by_keys:
                return self.by_keys[path]
            path = path[:-1]
        return self.by_keys.get((), self.file)

    def within(self, *keys: Key) -> Places:
        """The same places, seen from inside the value that these keys lead to."""
        return Places(self.file, self.by_keys, self.prefix + keys)
