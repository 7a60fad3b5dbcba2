"""Whole bags, jugs and bottles of what an answer comes to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from assistant.answer import Figure
from assistant.calculations.feed import packs
from assistant.skills.turn import Turn
from assistant.terms import Slot, high_end
from assistant.wording import written

_PACKS = ("bag", "sack", "bale", "jug", "bottle")
_BULK = ("cu_ft", "cu_yd")  # bags of compost are told in cubic feet


@dataclass(frozen=True)
class Packs:
    """How many packs an amount takes, in words, and how that was found. `asked`: it is what the question asks for."""

    words: str
    figure: Figure
    working: str
    asked: bool


def in_packs(turn: Turn, needed: Any, pack: Slot | None, asked: Slot | None, of: str = "product") -> Packs | None:
    """Whole packs of an amount; None where no pack was told, or one that is measured otherwise."""
    if pack is None:
        return None
    most = high_end(needed)
    units = pack.amount.units
    held = pack.amount.as_unit("floz" if most.check("[volume]") else units[-1]).q if len(units) > 1 else pack.q
    if not held.is_compatible_with(most):
        return None
    count = packs(most, held)
    bulk = pack.amount.unit in _BULK
    unit = "lb" if most.check("[mass]") else "cu_ft" if bulk else "floz"
    called = asks_for_packs(asked) or ("jug" if unit == "floz" and not turn.metric else "bag")
    words = written(count, count, called)
    row = f"{turn.say(most, unit)} / {turn.say(held, pack.amount.unit)} each = {words}, rounded up"
    return Packs(words, Figure(f"{called}s", of, count, count), row, bool(asks_for_packs(asked)))


def asks_for_packs(asked: Slot | None) -> str:
    """The pack that a question counts: `how many jugs`; empty where it counts none."""
    called = str(asked.value).partition(".")[2] if asked else ""
    return called if called in _PACKS else ""
