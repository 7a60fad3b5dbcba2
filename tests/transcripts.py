"""Replays a conversation file: `! today DATE` sets the day, `! lawn NAME` the lawn, `> ` is typed, `#` is a remark."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from assistant.answer import to_text
from assistant.dialogue import Session, turn
from assistant.knowledge_base import load
from assistant.lawn.store import Store
from assistant.terms import Now


def replay(text: str, home: Path, cache: Path) -> str:
    """The file as it would read if it were typed today: every typed line with the answer it gets."""
    knowledge = load(cache)
    session: Session | None = None
    day, lawn = "", ""
    made: list[str] = []
    for line in text.splitlines():
        if line.startswith("! "):
            word, _, value = line[2:].partition(" ")
            day, lawn = (value, lawn) if word == "today" else (day, value)
            session = Session(knowledge, Store(home), Now(datetime.fromisoformat(day)), True, lawn) if day else None
            made.append(line)
        elif line.startswith("#"):
            made.append(line)
        elif line.startswith("> "):
            assert session is not None, "a conversation begins with ! today"
            made.append(line)
            made += [row for _, answer in turn(line[2:], session) for row in to_text(answer).splitlines()]
        elif not line and (not made or made[-1]):
            made.append("")
    return "\n".join(made).rstrip("\n") + "\n"
