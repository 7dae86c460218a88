"""What is known before a file is read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What is known before a file is read: our parts, the supplier's currency, the layout.

    heads are header words, folded, that a person confirmed, with what each is for.
    """

    parts: tuple[str, ...] = ()
    currency: str | None = None
    heads: Mapping[str, str] = field(default_factory=dict)
    decimal: str | None = None
    per: Fraction | None = None
    day_first: bool | None = None
