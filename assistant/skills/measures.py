"""An amount said in another unit."""

from __future__ import annotations

from assistant.answer import ANSWERED, Answer, amount_words
from assistant.skills.turn import Turn
from assistant.terms import Slot

_BY_WEIGHT = {"floz": "oz"}  # one word for a volume and a weight


def in_unit(turn: Turn, turned: Slot, asked: Slot) -> Answer:
    """An amount in the unit that is asked for. `how many ounces` are fluid ones of a volume, ounces by weight of a weight."""
    from assistant.units import Say, quantity_of

    unit = str(asked.value).partition(".")[2]
    readings = [turned.amount.as_unit(one) for one in turned.amount.units]
    pairs = [(one, to) for one in readings for to in (unit, _BY_WEIGHT.get(unit, unit))]
    taken, to = next((one, to) for one, to in pairs if quantity_of(one.unit).is_compatible_with(to))
    say = Say(None)
    words = say(taken.q, to)
    return Answer(
        ANSWERED,
        words,
        figures=(turn.figure(taken.kind, taken.q, to, say=say),),
        working=(f"{amount_words(taken)} = {words}",),
        inputs=(turned,),
    )
