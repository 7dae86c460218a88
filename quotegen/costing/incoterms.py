"""Who pays which leg under each rule of Incoterms 2020 (ICC publication 723), as facts (R6)."""

from __future__ import annotations

from dataclasses import dataclass

from quotegen.model.fields import Incoterm


@dataclass(frozen=True, slots=True, kw_only=True)
class Duties:
    """What the seller does under a rule; what he does not is the buyer's.

    insures: the seller must insure for the buyer. unloads: at the named place.
    sea_only: the rule is meant for sea and inland waterway only.
    """

    clears_export: bool
    carries: bool
    insures: bool
    clears_import: bool
    unloads: bool
    sea_only: bool


def _rule(code: str) -> Duties:
    """export clearance, main carriage, insurance, import clearance and duty, unloading, sea."""
    marks = [mark == "s" for mark in code]
    return Duties(
        clears_export=marks[0],
        carries=marks[1],
        insures=marks[2],
        clears_import=marks[3],
        unloads=marks[4],
        sea_only=marks[5],
    )


# s: the seller (in the last column: sea only); from memory of the published rules
RULES: dict[Incoterm, Duties] = {
    Incoterm.EXW: _rule("------"),
    Incoterm.FCA: _rule("s-----"),
    Incoterm.CPT: _rule("ss----"),
    Incoterm.CIP: _rule("sss---"),
    Incoterm.DAP: _rule("ss----"),
    Incoterm.DPU: _rule("ss--s-"),
    Incoterm.DDP: _rule("ss-s--"),
    Incoterm.FAS: _rule("s----s"),
    Incoterm.FOB: _rule("s----s"),
    Incoterm.CFR: _rule("ss---s"),
    Incoterm.CIF: _rule("sss--s"),
}

# under these the goods travel at the seller's risk, so that the buyer insures nothing
SELLERS_RISK = frozenset({Incoterm.DAP, Incoterm.DPU, Incoterm.DDP})
