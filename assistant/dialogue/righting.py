"""What was recorded a moment ago, told anew with what was wrong put right: `no wait, that was the front`, `sorry, 20 lb`."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from assistant.dialogue.following import AGAIN, ASKING, TAKEN_UP
from assistant.dialogue.lawns import lawn_called
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.parsing import changed, dates
from assistant.terms import Name, Parse, Slot

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
_DENIES = re.compile(r"(?:no|not)\b,? ?(?:\d|the |it |on |at |just )", re.IGNORECASE)


def righted(parse: Parse, session: Session) -> tuple[Parse, tuple[Event, ...]] | None:
    """The last line that recorded something with what this one puts right in it, and the events that it takes the place of;
    None where this line puts nothing right."""
    if session.last is None or not session.keep or not _puts_right(parse):
        return None
    before, answer = session.last
    told = [event for event in answer.events if event.kind != kinds.UNDONE]
    if before.intent not in _TOLD_BY or not told or _names_another(parse, before):
        return None
    found = changed(parse.text, before.intent, session.filled, session.vocabulary, session.now)
    found = {name: slot for name, slot in found.items() if name != "place" and session.filled.get(name) != slot}
    found |= _other_day(parse.text, session.filled)
    where = [name for name in parse.names if name.type in _WHERE and not _NOT_IT.search(parse.text[: name.span[0]])]
    open_one = session.open_question
    if open_one is not None and set(found) == {open_one.slot}:
        return None  # it answers what was asked
    if len(where) > 1 or not (where or found) or (parse.amounts and not found):
        return None
    of_lawn = _told_of(where[0], told[-1], session) if where else ()
    if where and bool(of_lawn) != bool(found):
        return None  # both the lawn and a figure are other, or neither is
    names = before.names
    if where:
        names = (*(name for name in names if name.type not in _WHERE), where[0])
    made = replace(
        before,
        text=f"{before.text} ({parse.text})",
        names=names,
        slots={**{name: slot for name, slot in before.slots.items() if name != "place" or not where}, **found},
        confidence=TAKEN_UP,
    )
    return made, of_lawn or tuple(told)


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
    said = "put_right" in parse.terms or bool(_DENIES.match(parse.text))
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
