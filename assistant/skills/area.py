"""Area from pieces."""

from __future__ import annotations

from typing import Any

from assistant.answer import ANSWERED, REFUSED, Answer
from assistant.calculations.area import NothingLeft, rectangle, total
from assistant.skills.turn import Turn
from assistant.terms import SHAPED, Amount, Slot, over_range
from assistant.units import Q, Say


def measure(turn: Turn, area: Slot, asked: Slot | None = None) -> Answer:
    """The area of pieces added and taken off, in the measure that was asked for."""
    try:
        whole = total_of(area)
    except NothingLeft:
        return Answer(
            REFUSED, f"Nothing is left: more is taken off than there is ({pieces(area, turn.say)}). Check the pieces."
        )
    unit = str(asked.value).partition(".")[2] if asked else "sq_ft"
    say = Say(None) if asked else turn.say
    return Answer(
        ANSWERED,
        say(whole, unit),
        figures=(turn.figure("area", whole, unit, say=say),),
        working=working(area, whole, turn.say),
        inputs=(area,),
    )


def total_of(area: Slot) -> Any:
    """The area of a slot: its parts, added and taken off. A Range where one of them is a range."""
    parts = area.amounts
    return over_range(
        lambda *areas: total([(part.sign, one) for part, one in zip(parts, areas, strict=True)]).to("sq_ft"),
        *[_one(part) for part in parts],
    )


def _one(part: Amount) -> Any:
    if part.kind == "size":
        length, width = part.low[0], part.low[1]
        return rectangle(Q(length, part.unit), Q(width, part.unit))
    return part.q


def pieces(area: Slot, say: Say) -> str:
    """The pieces in words: `60 x 80 ft lot = 4,800 sq ft, less 30 x 40 ft house = 1,200 sq ft`."""
    rows = []
    for part in area.amounts:
        what = f" {part.of}" if part.of else ""
        if part.assumed == SHAPED:
            text = f"{part.text} = {say(part.q, 'sq_ft')}"
        elif part.kind == "size":
            sides = " x ".join(f"{side:g}" for side in part.low[:2])
            text = f"{sides} {'in' if part.unit == 'inch' else part.unit}{what} = {say(_one(part), 'sq_ft')}"
        else:
            text = f"{say(part.q, part.unit)}{what}"
            if part.unit not in ("sq_ft", "m**2"):
                text += f" = {say(part.q, 'sq_ft')}"
        rows.append(("less " if part.sign < 0 else "") + text)
    return ", ".join(rows)


def working(area: Slot, whole: Any, say: Say) -> tuple[str, ...]:
    """One line; nothing where a plain number of square feet was said."""
    parts = area.amounts
    if len(parts) == 1 and parts[0].unit in ("sq_ft", "m**2") and parts[0].kind == "area":
        return ()
    text = pieces(area, say)
    return (text if len(parts) == 1 else f"{text}: {say(whole, 'sq_ft')}",)
