"""Which lawn a line is about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from assistant.lawn.events import UNDONE
from assistant.terms import Parse

if TYPE_CHECKING:
    from assistant.dialogue.session import Session

HOME_LAWN = "home lawn"
_OF_ALL = {"plan.due"}  # questions about every lawn
_OF_ALL_UNNAMED = {
    "plan.ready",
    "plan.shelf",
    "plan.stock",
    "plan.tool",
    "plan.buy",
}  # of all lawns where none is named
_PLACE_LAWNS = {"strip": "street strip", "side": "side yard"}


def lawn_named(said: str, lawns: tuple[str, ...]) -> str:
    """The lawn on record that a name means, whatever its capitals, blanks and articles; else the name, tidied."""
    tidy = " ".join(mark for mark in "".join(one if one.isprintable() else " " for one in said).split())
    key = tidy.casefold().removeprefix("the ")
    same = [lawn for lawn in lawns if lawn.casefold() == key] or [
        lawn for lawn in lawns if set(key.split()) <= set(lawn.casefold().split())
    ]
    return same[0] if key and len(same) == 1 else tidy.removeprefix("the ")


def lawn_meant(parse: Parse, session: Session) -> tuple[str, tuple[str, ...]]:
    """The lawn of a reading, or the lawns between which it is not clear.

    A lawn that is named, then the one the talk is about, then the only one there is. A statement about a place that
    has no lawn yet begins one of that name.
    """
    if parse.intent == "other.undo" and not session.given:
        return _last_spoken_of(session), ()
    if parse.intent in _OF_ALL:
        return "", ()
    entry = session.vocabulary.intents.get(parse.intent)
    tells = bool(entry and entry["keeps"])
    places = {name.id for name in parse.names if name.type in ("place", "lawn") and name.id != "place.home"}
    if tells and len(places) > 1:
        return "", tuple(sorted(place.partition(".")[2] for place in places))
    if any(name.type == "others" for name in parse.names):
        return "", ()  # somebody else's lawn: nothing of the record fits it
    named = _named(parse, session, begins=tells)
    if places and not named:
        return "", ()  # a lawn that is not on record: what is known of another one is not taken for it
    if named:
        if tells or named in session.lawns:
            session.lawn = named
        return named, ()
    if session.lawn:
        return session.lawn, ()
    if len(session.lawns) == 1:
        return session.lawns[0], ()
    if parse.intent in _OF_ALL_UNNAMED:
        return "", ()
    if session.lawns and parse.intent.startswith("plan."):
        return "", session.lawns
    return (HOME_LAWN if tells or parse.intent.startswith("plan.") else ""), ()


def _last_spoken_of(session: Session) -> str:
    """The lawn of the newest event that stands: the one that `undo` takes back."""
    void: set[int] = set()
    for event in reversed(session.store.events()):
        if event.kind == UNDONE and event.seq not in void:
            void.update(event.voids)
        elif event.seq not in void:
            return event.lawn
    return ""


def _named(parse: Parse, session: Session, begins: bool) -> str:
    for name in parse.names:
        if name.type == "lawn":
            return name.id.partition(".")[2]
    for name in parse.names:
        if name.type == "place":
            place = name.id.partition(".")[2]
            if place == "home":
                continue
            if place in session.given.lower().split():
                return session.given
            found = [lawn for lawn in session.lawns if place in lawn.lower().split() and lawn.startswith(session.given)]
            if len(found) == 1:
                return found[0]
            if begins and not found:
                return f"{session.given}, {place}" if session.given else _PLACE_LAWNS.get(place, f"{place} lawn")
    return ""
