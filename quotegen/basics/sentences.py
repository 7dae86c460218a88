"""The words of one kind of problem; the tables of them are gathered in wording.py."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Wording:
    """The words of one kind of problem."""

    severity: Literal["error", "notice"]
    message: str
    happens: str
    remedy: str


LEFT_OUT = "{record} is left out."
