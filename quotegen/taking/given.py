"""What is known before a file is read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What is known before a file is read: our parts, the supplier's currency, the layout.

    heads are header words, folded, that a person confirmed, with what each is for. decimal, per
    and currency_said are what a person answered about this very file, and decide. layout_decimal
    and layout_per hold for files of this layout, until something in the file speaks against them.
    home is the workshop's own currency: what a file without one is asked about in. names are
    words of the supplier, folded, that a person said to be a part of ours.
    """

    parts: tuple[str, ...] = ()
    currency: str | None = None
    currency_said: str | None = None
    home: str | None = None
    heads: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    decimal: str | None = None
    layout_decimal: str | None = None
    per: Fraction | None = None
    layout_per: Fraction | None = None
    day_first: bool | None = None
