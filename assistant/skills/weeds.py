"""Herbicides: what is not given, and what they and seed keep from each other."""

from __future__ import annotations

from assistant.answer import REFUSED, Answer
from assistant.skills.turn import Turn
from assistant.terms import Slot


def rate(turn: Turn, tank: Slot) -> Answer:
    """No rate of a pesticide is ever supplied; with the label's rate the arithmetic is done."""
    words = turn.knowledge.entry("thresholds.cautions")
    return Answer(
        REFUSED,
        f"I give no rate for {turn.knowledge.name(str(tank.value))}: it stands on the label of the jug in your hand.",
        lines=(
            'Read me the label\'s rate and your area and I do the arithmetic, for example "1.5 fl oz per 1,000 on 8k".',
        ),
        inputs=(tank,),
        cautions=(words["label"], words["gear"], words["licence"]),
    )


def before_seed(turn: Turn, **slots: Slot | None) -> Answer:
    """How long seed waits after an ingredient; that file knows the gates."""
    from assistant.skills.gates import before_seed as gate

    return gate(turn, **slots)  # type: ignore[arg-type]


def after_seed(turn: Turn, **slots: Slot | None) -> Answer:
    """How long new grass waits before an ingredient."""
    from assistant.skills.gates import after_seed as gate

    return gate(turn, **slots)
