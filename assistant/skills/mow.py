"""Mowing: the one-third rule."""

from __future__ import annotations

from assistant.answer import ANSWERED, Answer
from assistant.calculations.mowing import growth_allowed, tallest_before_cut
from assistant.skills.turn import Turn
from assistant.terms import Slot, over_range


def height(turn: Turn, height: Slot) -> Answer:
    """How tall the grass may get before it is cut back to a height."""
    say, unit = turn.say, height.amount.unit
    row = turn.knowledge.rows("mowing.most_of_leaf")[0]
    share = row.amount.low
    tallest = over_range(lambda cut: tallest_before_cut(cut, share), height.q)
    growth = over_range(lambda cut: growth_allowed(cut, share), height.q)
    return Answer(
        ANSWERED,
        f"Mow by {say(tallest, unit)}, to cut at {say(height.q, unit)}",
        figures=(turn.figure("tallest before a cut", tallest, unit), turn.figure("growth allowed", growth, unit)),
        lines=(f"That is {say(growth, unit)} of growth: {row.note}.",),
        working=(f"{say(height.q, unit)} / (1 - 1/3) = {say(tallest, unit)}",),
        inputs=(height,),
        sources=turn.cite(row.source),
    )
