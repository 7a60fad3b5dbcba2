"""Which lawn a line is about."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.lawn.events import standing
from assistant.lawn.state import is_of
from assistant.terms import Name, Parse, capital

if TYPE_CHECKING:
    from assistant.dialogue.session import Session
    from assistant.parsing import Vocabulary

HOME_LAWN = "home lawn"
_OF_ALL = {"plan.due"}  # questions about every lawn
_OF_ALL_UNNAMED = {
    "plan.ready",
    "plan.shelf",
    "plan.stock",
    "plan.tool",
    "plan.buy",
    "plan.seed_used",
}  # of all lawns where none is named
_ON_EACH = {"plan.log"}  # told of several lawns in one line, it is recorded on each
_MOST_AT_ONCE = 6  # lawns that a question is answered for one by one
_RECORDS = {"plan.log", "plan.seen", "plan.resown"}  # what these tell must not land on a lawn that was not meant
_OF_THE_RECORD = {"plan.was_done", "plan.history", "plan.account", "plan.facts"}  # what these ask is asked of a lawn
_OF_OURS = re.compile(  # `hubby seeded the lawn`: the first word is somebody, and no lawn
    r"\b(?:the|my|our|a|new) (?:lawn|yard|grass|seed|turf|place)\b|\bit\b", re.IGNORECASE
)
_CALLED = re.compile(
    r"\b(?:called|named)\s+(?P<name>[A-Za-z][A-Za-z' ]{1,30}?)(?=\s*(?:[,:]|\d|$)|\s+(?:is|at|has)\b)", re.I
)
_AT_A_PLACE = r"\b(?:on|at|for|over at)\s+(?:the\s+)?{}\b"
_SOWN = re.compile(r"\b(?:(?:over|re)?seeded|sowed|sown|planted)\s+(?P<name>[A-Za-z][a-z']+)\b")
_PLACE_LAWNS = {"strip": "street strip", "side": "side yard"}


def lawn_named(said: str, lawns: tuple[str, ...]) -> str:
    """The lawn on record that a name means, whatever its capitals, blanks and articles; else the name, tidied."""
    tidy = " ".join(mark for mark in "".join(one if one.isprintable() else " " for one in said).split())
    key = tidy.casefold().removeprefix("the ")
    same = [lawn for lawn in lawns if lawn.casefold() == key] or [
        lawn for lawn in lawns if set(key.split()) <= set(lawn.casefold().split())
    ]
    return same[0] if key and len(same) == 1 else tidy.removeprefix("the ")


def lawn_called(keys: Container[str], lawns: Iterable[str]) -> str:
    """The one lawn on record that a name, or a word of it, is of; empty where none is, or several are."""
    found = [one for one in lawns if one in keys or any(word in keys for word in one.lower().split())]
    return found[0] if len(found) == 1 else ""


def lawn_meant(parse: Parse, session: Session) -> tuple[str, tuple[str, ...]]:
    """The lawn of a reading, or the lawns between which it is not clear.

    A lawn that is named, then the one the talk is about, then the only one there is. A statement about a place that
    has no lawn yet, or headed by a name, begins one of that name.
    """
    if parse.intent == "other.undo":
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
    begins = tells or (parse.intent in _RECORDS and HOME_LAWN not in session.lawns)
    meant = _lawns_named(parse, session, begins=begins)
    if len(meant) > 1 and (parse.intent in _RECORDS or _is_one_of_several(parse)):
        return "", meant
    named = meant[0] if meant else _begun_by_name(parse, session) if tells and not places else ""
    if places and not named:
        return "", ()  # a lawn that is not on record: what is known of another one is not taken for it
    if named:
        if begins or named in session.lawns:
            session.lawn = named
        return named, ()
    elsewhere = _in_another_state(parse, session, session.lawn)
    if elsewhere:
        return "", elsewhere
    if session.lawn:
        parts = _parts_of(session.lawn, session.lawns)
        told = any(slot in parse.slots for slot in entry["keeps"]) if entry else False
        if parts and not told and parse.intent.startswith("plan.") and not _runs(session):
            return ("", parts) if len(parts) > 1 else (parts[0], ())
        return session.lawn, ()
    if len(session.lawns) == 1:
        return session.lawns[0], ()
    if parse.intent in _OF_ALL_UNNAMED:
        return "", ()
    if session.lawns and parse.intent.startswith("plan."):
        return "", session.lawns
    return (HOME_LAWN if tells or parse.intent.startswith("plan.") else ""), ()


def _begun_by_name(parse: Parse, session: Session) -> str:
    """The name that a statement gives a lawn of which nothing is on record: `Fern Street: 8.8k`, `a lawn called Creek Side`."""
    called = _CALLED.search(parse.text)
    own = called and set(called["name"].lower().split()) & {*parse.unread, *session.vocabulary.streets}
    sown = _sown_at(parse)
    own_name = sown if sown.istitle() and not parse.text.istitle() else ""
    name = _site(parse) or (called["name"] if called and own else "") or own_name or _worked_at(parse, session)
    return lawn_named(name, session.lawns) if name else ""


def _worked_at(parse: Parse, session: Session) -> str:
    """`seed on the ballfield`: a word that is no English one of every day, where a place is named."""
    places = (word for word in parse.unread if word not in session.vocabulary.ordinary)
    return next((word for word in places if re.search(_AT_A_PLACE.format(re.escape(word)), parse.text, re.I)), "")


def _sown_at(parse: Parse) -> str:
    """`seeded Henderson sept 2`: the word right behind the sowing, where it is none of ours."""
    found = _SOWN.search(parse.text)
    return found["name"] if found and found["name"].lower() in parse.unread else ""


def _site(parse: Parse) -> str:
    """The name of somebody's own in a line, such as no word of ours is: `elm 12`; empty where there is none."""
    return next((name.text for name in parse.names if name.type == "site"), "")


def _parts_of(lawn: str, lawns: tuple[str, ...]) -> tuple[str, ...]:
    """The lawns that were told as parts of another: `Elm 12, front`."""
    return tuple(one for one in lawns if one != lawn and is_of(one, lawn))


def _runs(session: Session) -> bool:
    """True where the lawn of the talk has a program of its own."""
    state = session.state(session.lawn)
    return state is not None and state.program is not None


def _last_spoken_of(session: Session) -> str:
    """The lawn of the newest event that stands: the one that `undo` takes back; of a lawn that was given, or a part of it."""
    mine = (session.given, *_parts_of(session.given, session.lawns)) if session.given else None
    lawns = (event.lawn for event in reversed(standing(session.store.events())))
    return next((lawn for lawn in lawns if mine is None or lawn in mine), "")


def by_lawn(parse: Parse, session: Session) -> tuple[Parse, ...]:
    """`mowed Elm 4, Oak 9 and the front`, `how much seed for both`: one reading a lawn, where it tells of the same work on
    each of them, or asks for the area of each."""
    tells = parse.intent in _ON_EACH and "quantity" not in parse.slots
    if not (tells or _asks_for_area(parse, session)) or _is_one_of_several(parse):
        return (parse,)
    lawns = _lawns_named(parse, session, begins=tells and HOME_LAWN not in session.lawns)
    if not lawns and "of_all" in parse.terms and not tells:
        lawns = session.lawns
    if not 1 < len(lawns) <= _MOST_AT_ONCE:
        return (parse,)
    others = tuple(name for name in parse.names if name.type not in ("lawn", "place"))
    return tuple(replace(parse, names=(*others, Name(f"lawn.{lawn}", lawn, (0, 0)))) for lawn in lawns)


def _asks_for_area(parse: Parse, session: Session) -> bool:
    """True for a question that wants an area, where the line gives none: those on record serve."""
    entry = session.vocabulary.intents.get(parse.intent)
    return bool(entry and "area" in entry["needs"] and "area" not in parse.slots)


def _is_one_of_several(parse: Parse) -> bool:
    """True where one name may be that of several lawns: `oak`, of 14 Oak St and 22 Oak St."""
    spans = [name.span for name in parse.names if name.type == "lawn"]
    return len(set(spans)) < len(spans)


def stranger(parse: Parse, vocabulary: Vocabulary) -> str:
    """A word that stands where a lawn is named and that nobody told of: `put it down on elm`; empty where there is none."""
    told, asked = parse.intent in (*_RECORDS, "plan.start"), parse.intent in _OF_THE_RECORD
    if not (told or asked) or any(name.type == "lawn" for name in parse.names):
        return ""
    street = next((word for word in parse.unread if word in vocabulary.street_names), "")
    if not street and (site := _site(parse)) and parse.intent != "plan.start":
        return site
    first = parse.text.split()[:1]
    begins = bool(first) and first[0].lower().strip(",:") in parse.unread and told and not street
    if begins and not any(name.type == "place" for name in parse.names) and not _OF_OURS.search(parse.text):
        return first[0].strip(",:")
    if not street and parse.intent == "plan.start" and (sown := _sown_at(parse)):
        return "" if sown.istitle() or sown in vocabulary.ordinary else sown
    if street or parse.intent == "plan.start":
        return street
    if any(name.type == "place" for name in parse.names):
        return ""
    for word in parse.unread:
        if re.search(_AT_A_PLACE.format(re.escape(word)), parse.text, re.IGNORECASE):
            return word
    return ""


def _lawns_named(parse: Parse, session: Session, begins: bool) -> tuple[str, ...]:
    """The lawns that a line names, in its order: on record, or begun by a statement about a place."""
    found: list[str] = []
    site = _site(parse)
    for name in sorted(parse.names, key=lambda one: one.span):
        key = name.id.partition(".")[2]
        if name.type == "lawn":
            found.append(key)
        elif name.type == "place" and key != "home":
            if key in session.given.lower().split():
                found.append(session.given)
                continue
            whole = session.given or (lawn_named(capital(site), session.lawns) if site else "")
            held = [lawn for lawn in session.lawns if key in lawn.lower().split() and lawn.startswith(whole)]
            if begins and not held and not whole and ", " in session.lawn:  # another part of the lawn that is talked of
                whole = session.lawn.partition(", ")[0]
            if len(held) == 1:
                found.append(held[0])
            elif begins and not held:
                found.append(f"{whole}, {key}" if whole else _PLACE_LAWNS.get(key, f"{key} lawn"))
    return tuple(dict.fromkeys(found))


def _in_another_state(parse: Parse, session: Session, lawn: str) -> tuple[str, ...]:
    """The lawns of the state that is named, where the lawn in hand lies in another one."""
    said = next((name.id for name in parse.names if name.type == "state"), "")
    if parse.intent not in _RECORDS or not said:
        return ()
    where = {state.name: state.facts["state"].value for state in session.states() if "state" in state.facts}
    if where.get(lawn, said) == said:
        return ()
    return tuple(name for name, held in where.items() if held == said) or (lawn,)
