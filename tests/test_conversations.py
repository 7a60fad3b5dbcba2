"""Conversations of several turns: each answer holds the words and figures that its remark in the file derives."""

from datetime import date, datetime
from pathlib import Path

import pytest
import yaml

from assistant.answer import to_text
from assistant.dialogue import Session, turn
from assistant.knowledge_base import load
from assistant.lawn.store import Store
from assistant.terms import Now

FILE = Path(__file__).parent / "corpus" / "conversations.yaml"
CONVERSATIONS = yaml.safe_load(FILE.read_text(encoding="utf-8"))
KNOWLEDGE = load()


@pytest.mark.parametrize("talk", CONVERSATIONS, ids=[talk["about"] for talk in CONVERSATIONS])
def test_a_conversation_goes_as_written(talk, tmp_path):
    store = Store(tmp_path)
    session, on = None, None
    for step in talk["turns"]:
        day = str(step.get("day", on))
        if session is None or day != on:  # another day is another sitting: only the record goes over
            clock = datetime.fromisoformat(day)
            session = Session(KNOWLEDGE, store, Now(clock, clock.hour > 0), True, talk.get("lawn", "back lawn"))
            on = day
        answers = [answer for _, answer in turn(step["say"], session)]
        printed = "\n".join(to_text(answer) for answer in answers)
        for words in step.get("has", []):
            assert words in printed, f"{step['say']!r} printed:\n{printed}"
        for words in step.get("not", []):
            assert words not in printed, f"{step['say']!r} printed:\n{printed}"
        if "intent" in step:
            assert answers[0].intent == step["intent"], printed
        if "status" in step:
            assert answers[0].status == step["status"], printed


def test_every_day_of_the_file_is_a_day():
    for talk in CONVERSATIONS:
        days = [date.fromisoformat(str(step["day"])[:10]) for step in talk["turns"] if "day" in step]
        assert days, talk["about"]
        assert days == sorted(days), talk["about"]
