"""A tool life that is longer than its kind usually lasts: asked about, never refused."""

from __future__ import annotations

from collections.abc import Iterator

from quotegen.costing.fitting import making_of
from quotegen.costing.offer import Offer
from quotegen.fit.materials import usual_tool_life
from quotegen.model.fields import Absence, Process

KINDS = {
    (Process.INVESTMENT_CASTING, None): "aluminium wax die",
    (Process.PRESSURE_DIE_CASTING, "light metal"): "pressure die, aluminium",
    (Process.PRESSURE_DIE_CASTING, "zinc"): "pressure die, zinc",
    (Process.GRAVITY_DIE_CASTING, "light metal"): "gravity die, aluminium",
}


def long_lives(offer: Offer) -> Iterator[tuple[int, str]]:
    """The number of each tool whose stated life lies above what is usual, and what to ask."""
    metal = None if offer.process is Process.INVESTMENT_CASTING else making_of(offer.case).metal
    kind = KINDS.get((offer.process, metal))
    if kind is None:
        return
    (_, most), _ = usual_tool_life(kind)
    for number, tool in enumerate(offer.case.item.tools):
        if not isinstance(tool.life, Absence) and tool.life > most:
            text = (
                f"Your {tool.what} is to last {tool.life:,} shots; the usual is {int(most):,} at "
                "most. Are these shots or pieces, and before or after repair?"
            )
            yield number, text
