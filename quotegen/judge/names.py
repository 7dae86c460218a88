"""How a part is called inside a sentence."""

from __future__ import annotations


def in_a_sentence(name: str) -> str:
    """A name as it stands inside a sentence: Pawl is pawl, but T-nut and CNC stay."""
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


def short_name(name: str) -> str:
    """The part's name up to the first `of` or comma: the pawl of the brake is the pawl."""
    return in_a_sentence(name.split(" of ", maxsplit=1)[0].split(",", maxsplit=1)[0].strip())
