"""What can be asked, by topic, each with a question to try."""

from __future__ import annotations

from assistant.answer import ANSWERED, Answer
from assistant.skills.turn import Turn


def topics(turn: Turn) -> Answer:
    """Every intent with what it does and one example, straight from the phrasing files."""
    lines = []
    for intent in turn.knowledge.section("intents").values():
        example = f'   "{intent["say"][0]}"' if intent["say"] else ""
        lines.append(f"{intent['does']}{example}")
    return Answer(
        ANSWERED, "I do the arithmetic and keep the dates of seeding a lawn. You can ask:", lines=tuple(lines)
    )
