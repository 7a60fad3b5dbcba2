"""What can be asked, by topic, each with questions to try; how the record gets out, and how a lawn gets another name."""

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


def export(turn: Turn) -> Answer:
    """The commands that print what is on record, or write it to a file."""
    return Answer(
        ANSWERED,
        "The record gets out by these commands, typed in the shell; each prints, or writes with --to FILE:",
        lines=(
            "ligule calendar: the dated steps as iCalendar (.ics), for any calendar",
            "ligule sheet: this week's work on one page (.html to print, else Markdown); --card for the owner of the lawn",
            "ligule records: the journal as CSV, for a spreadsheet",
            "ligule export: a lawn, whole, as YAML; ligule import FILE takes it in again",
            'Each takes --lawn NAME. In this talk, "show the program" prints the dates here.',
        ),
    )


def renamed(turn: Turn) -> Answer:
    """The journal keeps what it was told: a lawn gets a new name by being taken in under it, and none is deleted."""
    return Answer(
        ANSWERED,
        "A lawn keeps the name it was told under, and the journal deletes nothing.",
        lines=(
            'Under another name, in the shell: ligule export --lawn "OLD NAME" --to lawn.yaml, then ligule import lawn.yaml --lawn "NEW NAME".',
            'What was told by mistake is taken back with "undo", the last thing first.',
        ),
    )
