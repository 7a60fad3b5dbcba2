"""Mowing: the one-third rule, from the height of cut and from the grass as it stands."""

from __future__ import annotations

from assistant.answer import ANSWERED, Answer
from assistant.calculations.mowing import growth_allowed, lowest_cut, tallest_before_cut
from assistant.skills.turn import Turn
from assistant.terms import Row, Slot, over_range


def height(turn: Turn, height: Slot) -> Answer:
    """How tall the grass may get before it is cut back to a height."""
    say, unit, row, share = turn.say, height.amount.unit, _rule(turn), _rule(turn).amount.low
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


def lowest(turn: Turn, standing: Slot, height: Slot | None = None, third: Slot | None = None) -> Answer:
    """How low grass of a height may be cut, and whether a wanted height is too low for one cut."""
    say, unit, row = turn.say, standing.amount.unit, _rule(turn)
    share = row.amount.low
    low = over_range(lambda now: lowest_cut(now, share), standing.q)
    headline = f"Not below {say(low, unit)} in one cut"
    lines = [f"From {say(standing.q, unit)}: {row.note}."]
    if height is not None:
        enough = height.q >= low
        headline = (
            f"Yes, {say(height.q, unit)} takes a third or less"
            if enough
            else f"No, not to {say(height.q, unit)} in one cut; {say(low, unit)} is the lowest"
        )
        if not enough:
            lines.append("Cut to that now, and lower again in a few days.")
    return Answer(
        ANSWERED,
        headline,
        figures=(turn.figure("lowest cut", low, unit),),
        lines=tuple(lines),
        working=(f"{say(standing.q, unit)} x (1 - 1/3) = {say(low, unit)}",),
        inputs=tuple(slot for slot in (standing, height) if slot),
        sources=turn.cite(row.source),
    )


def _rule(turn: Turn) -> Row:
    return turn.knowledge.rows("mowing.most_of_leaf")[0]
