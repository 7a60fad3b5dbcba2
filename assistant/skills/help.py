"""What can be asked, by topic, each with questions to try."""

from __future__ import annotations

from assistant.answer import ANSWERED, Answer
from assistant.skills.turn import Turn

_TRIED = 3  # questions a topic
_ABOUT_ITSELF = ("other", "help")


def topics(turn: Turn) -> Answer:
    """Each topic with the first questions of its phrasing files."""
    found: dict[str, list[str]] = {}
    for name, intent in turn.knowledge.section("intents").items():
        topic = name.partition(".")[0]
        if topic not in _ABOUT_ITSELF:
            found.setdefault(topic, []).extend(intent["say"][:1])
    lines = []
    for topic, questions in found.items():
        lines.append(f"{topic} ({len(questions)} kinds of question)")
        lines += [f"   {question}" for question in questions[:_TRIED]]
    return Answer(
        ANSWERED, "I do the arithmetic and keep the dates of seeding a lawn. You can ask:", lines=tuple(lines)
    )
