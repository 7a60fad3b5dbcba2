"""Herbicides: what is not given, and who gives it."""

from __future__ import annotations

from assistant.answer import REFUSED, Answer
from assistant.skills.turn import Turn
from assistant.terms import Slot


def rate(turn: Turn, tank: Slot) -> Answer:
    """No rate of a pesticide is ever supplied; with the label's rate the arithmetic is done."""
    words = turn.knowledge.entry("cautions")
    return Answer(
        REFUSED,
        f"I give no rate for {turn.knowledge.name(str(tank.value))}: it stands on the label of the jug in your hand.",
        lines=(
            'Read me the label\'s rate and your area and I do the arithmetic, for example "1.5 fl oz per 1,000 on 8k".',
        ),
        inputs=(tank,),
        cautions=(words["label"], words["gear"], words["licence"]),
    )
