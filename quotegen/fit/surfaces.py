"""The roughness that a drawing asks for, out of the words about its surfaces."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.number import Unreadable, read_number

MICROMETRES = {"um": Fraction(1), "\N{MICRO SIGN}m": Fraction(1), "uin": Fraction("0.0254")}
UNREAD = "roughness-unread"
WANTED = "Ra with its unit, such as Ra 3.2 um"
ROUGHNESS = re.compile(
    r"\bR(?P<kind>[a-z]+) ?(?P<value>\d[\d.,]*)(?: ?(?P<unit>um|\N{MICRO SIGN}m|uin)\b)?"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Roughness:
    """Ra in micrometres, and where the drawing wants it."""

    name: str
    ra: Fraction


def read_surface(text: str) -> tuple[Roughness, ...]:
    """Every roughness in a text such as `blasted, working faces Ra 3.2 um`; none is no problem.

    The words before a roughness say where it is. Raises Unreadable with roughness-unread for
    another measure than Ra, and for one without unit: 3.2 um and 125 uin are both in use.
    """
    found, clause = [], ""
    for part in re.split(r"[,;](?!\d)", text):
        for match in ROUGHNESS.finditer(part):
            name = part[: match.start()].strip() or clause or "surface"
            found.append(Roughness(name=name, ra=_ra(match)))
        clause = part.strip()
    return tuple(found)


def _ra(match: re.Match[str]) -> Fraction:
    if match["kind"] != "a" or match["unit"] is None:
        raise Unreadable(UNREAD, match[0], WANTED)
    try:
        value = read_number(match["value"].rstrip(".,"), None) * MICROMETRES[match["unit"]]
    except Unreadable as problem:
        raise Unreadable(UNREAD, match[0], WANTED) from problem
    if value <= 0:
        raise Unreadable(UNREAD, match[0], WANTED)
    return value
