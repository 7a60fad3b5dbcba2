"""What was recorded a moment ago, told anew with what was wrong put right: `no wait, that was the front`, `sorry, 20 lb`."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

from assistant.answer import Answer
from assistant.dialogue.following import AGAIN, ASKING, TAKEN_UP
from assistant.dialogue.lawns import lawn_called
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.parsing import changed, dates
from assistant.terms import SEED_RATE, SEED_TOLD, SEED_WEIGHT, Name, Parse, Slot, high_end

if TYPE_CHECKING:
    from assistant.dialogue.session import Session

_TOLD_BY = {"plan.log", "plan.seen", "plan.tell", "plan.start", "plan.resown"}  # what these tell is put right
_WHAT = ("deed", "sight", "step", "product", "tank", "ingredients")  # names of what was done
_A_FEED = "product.fertilizer"  # `that feed was the 12th` names no other one
_WHERE = ("lawn", "place")
_OTHERWISE = AGAIN | ASKING - {"first_cut"}  # it is told of another lawn too, or it asks; of the first cut it may tell
_NOT_IT = re.compile(r"\b(?:not|wasn'?t|isn'?t|instead of) (?:(?:on|in|at) )?(?:the )?$", re.IGNORECASE)
_DAY_OFF = re.compile(r"\b(?P<day>day|week|[a-z]+day) (?P<way>before|after|earlier|later)\b", re.IGNORECASE)
_DAYS = ("happened_on", "seed_day")  # slots with the day of what was told
_WORKS = {"mow", "water", "feed", "spray", "lime", "seed"}  # words for work that may be put right
_OF_NAMES = {"product": "feed", "ingredients": "spray", "tank": "spray"}
_OF_EVENTS = {"feed": "feed", "product": "feed", "ingredients": "spray", "tank": "spray", "kill": "spray", "weed": "spray",
    "deed.limed": "lime", "deed.aerate": "aerate", "aerate": "aerate", "cut": "mow", "seed": "seed"}  # fmt: skip
_BEGUN = {"program", "plan", "job"}  # slots that choose a program
_BACK = 4  # lines that recorded something back, which a day may be of
_WAS = re.compile(r"\b(?:was|were)\b", re.IGNORECASE)
_DENIES = re.compile(r"(?:no|not)\b,? ?(?:\d|the |it |on |at |just )", re.IGNORECASE)


class Telling(NamedTuple):
    """A line that recorded something, its answer, and the slots it was worked out with."""

    parse: Parse
    answer: Answer
    filled: dict[str, Slot]


def righted(parse: Parse, session: Session) -> tuple[Parse, tuple[Event, ...]] | None:
    """What was told with what this line puts right in it, and the events that it takes the place of; None where this line puts
    nothing right."""
    if session.last is None or not session.keep or not _puts_right(parse):
        return None
    elsewhere = _told_of_named(parse, session)
    if elsewhere:
        without = replace(parse, names=tuple(name for name in parse.names if name.type not in _WHERE))
        return _told_anew(without, elsewhere, session, of_it=True)
    works = _works_named(parse)
    if works:
        of_it = (one for one in reversed(session.told) if works & _works_told(one))
        return next((_told_anew(parse, one, session, of_it=True) for one in of_it), None)
    if session.last[1].events:
        latest = Telling(*session.last, session.filled)
        if not _was_to_come(parse, latest, session):
            return _told_anew(parse, latest, session)
    elif _asks_of_a_day(session) or not _says_a_day_that_was(parse):
        return None
    over = (one for one in reversed(session.told[-_BACK:]) if not _was_to_come(parse, one, session))
    before = next((one for one in over if _days_of(one)), None)
    if before is None and session.told and session.last[1].events:
        before = session.told[-1]  # nothing that is over was told: a day that was taken for one to come
    return _told_anew(parse, before, session) if before else None


def _told_of_named(parse: Parse, session: Session) -> Telling | None:
    """`no, tannery was 6 lb not 8`, behind a line about another lawn: what was told last of the lawn that is named, with a figure
    to put right in it."""
    named = {name.id.partition(".")[2] for name in parse.names if name.type == "lawn"}
    lawn = lawn_called(named, session.lawns) if named and parse.amounts else ""
    if not lawn or (session.told and _is_of(session.told[-1], lawn)):
        return None
    return next((one for one in reversed(session.told) if _is_of(one, lawn)), None)


def _is_of(telling: Telling, lawn: str) -> bool:
    return any(event.lawn == lawn for event in telling.answer.events)


def _works_named(parse: Parse) -> set[str]:
    """The work that a line names: `sorry, the mowing was on the 4th` is of no feed."""
    found = parse.terms & _WORKS
    found |= {_OF_NAMES[name.type] for name in parse.names if name.type in _OF_NAMES}
    found |= {"aerate" for name in parse.names if name.id == "step.aeration"}
    return set(found) if len(found) == 1 else set()


def _works_told(telling: Telling) -> set[str]:
    """The work that what was recorded is of."""
    found = set()
    for event in telling.answer.events:
        what = str(event.body.get("step", "")) or event.went_down
        found |= {"mow"} if event.kind == kinds.MOWED else set()
        found |= {"seed"} if event.tells_seed_day or event.kind == kinds.RESOWN else set()
        found |= {work for start, work in _OF_EVENTS.items() if what.startswith(start)}
    return found


def _told_anew(
    parse: Parse, telling: Telling, session: Session, of_it: bool = False
) -> tuple[Parse, tuple[Event, ...]] | None:
    """One line that recorded something with what another puts right in it, and its events that give way."""
    before, answer, filled = telling
    told = [event for event in answer.events if event.kind != kinds.UNDONE]
    if before.intent not in _TOLD_BY or not told or (not of_it and _names_another(parse, before)):
        return None
    found = changed(parse.text, before.intent, filled, session.vocabulary, session.now)
    found = {name: slot for name, slot in found.items() if name != "place" and filled.get(name) != slot}
    found |= _other_day(parse.text, filled)
    found, filled = _as_seed_was_told(found, filled)
    where = [name for name in parse.names if name.type in _WHERE and not _NOT_IT.search(parse.text[: name.span[0]])]
    open_one = session.open_question
    if open_one is not None and set(found) == {open_one.slot}:
        return None  # it answers what was asked
    if len(where) > 1 or not (where or found) or (parse.amounts and not found):
        return None
    of_lawn = _told_of(where[0], told[-1], session) if where else ()
    if where and bool(of_lawn) != bool(found):
        return None  # both the lawn and a figure are other, or neither is
    slots = {name: slot for name, slot in before.slots.items() if name in filled and (name != "place" or not where)}
    if not where and _BEGUN.isdisjoint(found):  # a program that was begun goes on, with what was moved in it
        begun = [event for event in told if event.kind == kinds.STARTED]
        told = [event for event in told if event not in begun]
        slots = {name: slot for name, slot in slots.items() if not begun or name not in _BEGUN}
    names = before.names
    if where:
        names = (*(name for name in names if name.type not in _WHERE), where[0])
    elif told and not any(name.type in _WHERE for name in names) and told[-1].lawn in session.lawns:
        of = told[-1].lawn  # the talk may have gone to another since
        names = (*names, Name(f"lawn.{of}", of, (0, 0)))
    slots |= found
    given_way = {one.span for name, slot in before.slots.items() if slots.get(name) != slot for one in slot.amounts}
    made = replace(
        before,
        text=f"{before.text} ({parse.text})",
        amounts=tuple(one for one in before.amounts if one.span not in given_way),
        names=names,
        slots=slots,
        confidence=TAKEN_UP,
    )
    return made, of_lawn or tuple(told)


def _as_seed_was_told(found: dict[str, Slot], filled: dict[str, Slot]) -> tuple[dict[str, Slot], dict[str, Slot]]:
    """`no, 6 lb`, of seed that was told at 8 lb per 1,000: the rate, where it is nearer to that than to what went down in all.
    What was told of the seed before gives way."""
    seed, rate, area = found.get(SEED_WEIGHT), filled.get(SEED_RATE), filled.get("area")
    if seed is not None and rate is not None and len(rate.amount.units) == len(seed.amount.units) == 1:
        from assistant.skills.account import as_seed_rate, seed_in_all

        told, before = seed.amount.low, rate.amount.low
        whole = high_end(seed_in_all(rate.q, area)).m_as(rate.amount.unit) if area else None
        if whole is None or abs(told - before) < abs(told - whole):
            found = {**_without_seed(found), SEED_RATE: as_seed_rate(seed)}
    given_way = not found.keys().isdisjoint(SEED_TOLD)
    return found, _without_seed(filled) if given_way else filled


def _without_seed(slots: dict[str, Slot]) -> dict[str, Slot]:
    return {name: slot for name, slot in slots.items() if name not in SEED_TOLD}


def _days_of(telling: Telling) -> list[date]:
    """The days that a line told."""
    held = (telling.filled[name] for name in _DAYS if name in telling.filled)
    return [one.day for slot in held if slot.origin == "said" for one in slot.amounts if one.kind == "date"]


def _says_a_day_that_was(parse: Parse) -> bool:
    """`no wait it was friday`: a day that is over, of what was told some lines before."""
    return bool(parse.amounts) and all(one.kind == "date" for one in parse.amounts) and bool(_WAS.search(parse.text))


def _was_to_come(parse: Parse, telling: Telling, session: Session) -> bool:
    """True where a day that was is said, and what was told is still to come: it is of something told before."""
    days = _days_of(telling)
    return _says_a_day_that_was(parse) and bool(days) and min(days) > session.now.day


def _asks_of_a_day(session: Session) -> bool:
    """True where the last question was told a day that is over, which this line may be about."""
    days = [
        one for slot in session.filled.values() if slot.origin == "said" for one in slot.amounts if one.kind == "date"
    ]
    return any(one.day < session.now.day for one in days)


def _other_day(text: str, held: dict[str, Slot]) -> dict[str, Slot]:
    """`the Saturday before that`, `the day after`: counted from the day that was told."""
    told = _DAY_OFF.search(text)
    slot = next((held[name] for name in _DAYS if name in held and len(held[name].amounts) == 1), None)
    if told is None or slot is None:
        return {}
    day, back = slot.amount.day, told["way"] in ("before", "earlier")
    name = told["day"].lower()
    if name in dates.DAYS:
        apart = ((day.weekday() - dates.DAYS[name]) if back else (dates.DAYS[name] - day.weekday())) % 7 or 7
    else:
        apart = 7 if name == "week" else 1
    other = (day - timedelta(days=apart) if back else day + timedelta(days=apart)).isoformat()
    return {slot.name: Slot(slot.name, replace(slot.amount, low=other, high=other, assumed=""))}


def _puts_right(parse: Parse) -> bool:
    """True for a line that says of what was told that it was otherwise, and asks nothing."""
    corrects = parse.intent == "plan.correct" and bool(parse.amounts)
    said = corrects or "put_right" in parse.terms or bool(_DENIES.match(parse.text))
    return said and parse.terms.isdisjoint(_OTHERWISE)


def _names_another(parse: Parse, before: Parse) -> bool:
    """True where another deed is named than the one that was told: a line of its own."""
    known = {name.id for name in before.names}
    return any(name.type in _WHAT and name.id not in {*known, _A_FEED} for name in parse.names)


def _told_of(lawn: Name, last: Event, session: Session) -> tuple[Event, ...]:
    """What the line of the last event told of a lawn: of several lawns told in one line only this one was wrong."""
    state = session.state(lawn_called({lawn.id.partition(".")[2]}, session.lawns))
    same = [event for event in state.live if event.text == last.text] if state else []
    return tuple(event for event in same if event.turn == same[-1].turn)
