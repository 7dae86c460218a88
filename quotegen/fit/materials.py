"""What kind of metal a material is, by the words of a form; its density and casting yields."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from quotegen.fit.tables import Source, number, pair, read, source_of
from quotegen.model.fields import Process

COATED = re.compile(r"\S+[- ](?:plated|coated|plating|coating)", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Yield:
    """The share of the poured metal that is in the castings: worst, mean and best."""

    worst: Fraction
    mean: Fraction
    best: Fraction
    source: Source


def metal_of(*materials: str | None) -> str | None:
    """The kind of metal that the first of these texts to name one names; None in doubt.

    A text that names two kinds, such as steel offered in place of ductile iron, names none.
    """
    for text in materials:
        found = _named_in(text) if text is not None else frozenset()
        if found:
            return next(iter(found)) if len(found) == 1 else None
    return None


@cache
def _named_in(text: str) -> frozenset[str]:
    bare = COATED.sub("", text)
    return frozenset(
        name
        for name, metal in _metals().items()
        if any(re.search(word, bare, re.IGNORECASE) for word in metal["words"])
    )


@cache
def _tree() -> Any:
    return read("metals")


def _metals() -> Mapping[str, Any]:
    metals: Mapping[str, Any] = _tree()["metals"]
    return metals


def density_of(metal: str) -> tuple[Fraction, Source]:
    """Grams of a cubic millimetre of a kind of metal; raises KeyError for none of the table."""
    return number(_metals()[metal]["density"]) / 1000, source_of(_tree()["densities"])


def yield_of(process: Process, metal: str | None) -> Yield | None:
    """What becomes castings of the metal that is poured, as published for the process."""
    for line in _tree()["yields"]:
        metals = line.get("metals")
        if process.value in line["processes"] and (metals is None or metal in metals):
            worst, mean, best = (number(each) for each in line["shares"])
            return Yield(worst=worst, mean=mean, best=best, source=source_of(line))
    return None


def good_yield(casting: Fraction, poured: Fraction, scrap: Fraction) -> Fraction:
    """The share of the poured metal in good castings: the ideal one times (1 - scrap).

    casting and poured are masses in one unit. Source: permanent mould casting data.
    """
    return casting / poured * (1 - scrap)


def usual_tool_life(kind: str) -> tuple[tuple[Fraction, Fraction], Source]:
    """Shots that a kind of tool usually lasts, least and most; only bounds to ask beyond."""
    tree = _tree()["tool life"]
    return pair(tree["rows"][kind]), source_of(tree)
