"""Whole bags, jugs and bottles of what an answer comes to."""

from __future__ import annotations

from typing import Any

from assistant.answer import Figure
from assistant.calculations.feed import packs
from assistant.skills.turn import Turn
from assistant.terms import Range, Slot

PACKS_ASKED = ("asked.bag", "asked.jug", "asked.sack", "asked.bottle", "asked.bale")
_BULK = ("cu_ft", "cu_yd")  # bags of compost are told in cubic feet


def in_packs(turn: Turn, needed: Any, pack: Slot, of: str = "product") -> tuple[Figure | None, list[str]]:
    """How many packs an amount takes, with the working; nothing where a pack is measured otherwise."""
    most = needed.high if isinstance(needed, Range) else needed
    units = pack.amount.units
    held = pack.amount.as_unit("floz" if most.check("[volume]") else units[-1]).q if len(units) > 1 else pack.q
    if not held.is_compatible_with(most):
        return None, []
    count = packs(most, held)
    unit = "lb" if most.check("[mass]") else "cu_ft" if pack.amount.unit in _BULK else "floz"
    row = f"{turn.say(most, unit)} / {turn.say(held, pack.amount.unit)} each = {packs_words(count)}, rounded up"
    return Figure("bags", of, count, count), [row]


def packs_words(count: float) -> str:
    """`1 bag`, `12 bags`."""
    return f"{count:,.0f} {'bag' if count == 1 else 'bags'}"
