"""The entries of the form without a screen: how each is read while it is typed, and the line that records it."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.answer import ANSWERED, ASKS, RECORDED, REFUSED, amount_words
from assistant.dialogue.lawns import lawn_named
from assistant.interfaces.walk.desk import Desk
from assistant.terms import Amount

_LONGEST_NAME = 40


@dataclass(frozen=True, slots=True)
class Read:
    """How an entry was read: in words, and the line that puts it on the record; or what is wrong with it."""

    words: str = ""
    line: str = ""
    wrong: str = ""


def read_name(desk: Desk, text: str) -> Read:
    """A name for a lawn: anything that can be printed; one on record brings that lawn up."""
    name = lawn_named(text, desk.lawns)
    if not any(mark.isalnum() for mark in name):
        return Read(wrong="A lawn needs a name: the street, the owner, or front and back.")
    if len(name) > _LONGEST_NAME:
        return Read(wrong=f"That name has {len(name)} letters; {_LONGEST_NAME} are room enough.")
    return Read("on record" if name in desk.lawns else "a new lawn", name)


def read_fact(desk: Desk, fact: str, text: str) -> Read:
    """A fact of the lawn, read by asking; nothing is kept by that."""
    entry = desk.session.knowledge.entry(f"walk.form.{fact}")
    found = desk.try_out(entry["check"].format(text.strip()))
    parse, answer = found[0]
    if len(found) == 1 and answer.status == REFUSED:
        return Read(wrong=answer.headline)
    said = {name for name, slot in parse.slots.items() if slot.origin == "said"}
    sound = len(found) == 1 and answer.status in (ANSWERED, RECORDED, ASKS) and not parse.unread
    if not sound or said - {"place", "step"} != {fact}:
        return Read(wrong=f'"{text.strip()}" is no {entry["label"]} that I can read; for example {entry["like"]}.')
    value = parse.slots[fact].value
    words = desk.session.knowledge.name(str(value)) if isinstance(value, str) else ""
    if fact == "area":
        words = answer.headline
    elif isinstance(value, Amount):
        words = amount_words(value)
    return Read(
        words,
        entry["says"].format(words if isinstance(value, str) else text.strip(), result=answer.headline.rstrip(".")),
    )


def start_line(desk: Desk, job: str, fed: str, day: str) -> str:
    """The line that begins a program."""
    entry = desk.session.knowledge.entry
    return f"start the {entry(f'walk.jobs.{job}.says')} on {day} with the {entry(f'walk.fed.{fed}.says')}"
