"""What a line tells of a lawn, as an event: only from questions whose file says so (`keeps`, `keeps_first`)."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from assistant.lawn import events as kinds
from assistant.lawn.events import Event, fact_to_plain
from assistant.terms import Amount, Parse, Slot

if TYPE_CHECKING:
    from assistant.dialogue.session import Session


def facts_told(parse: Parse, session: Session, lawn: str, in_doubt: str = "") -> Event | None:
    """One event with every fact that this line said of the lawn, but the one that is asked back; None where it said none that
    is new."""
    entry = session.vocabulary.intents.get(parse.intent)
    said = {name: slot for name, slot in parse.slots.items() if slot.origin == "said" and name != in_doubt}
    told = [name for name in (*entry["keeps"], *entry["keeps_first"]) if name in said] if entry else []
    if entry is None or not told:  # most lines: their lawn's journal is not read again
        return None
    state = session.state(lawn)
    known = state.facts if state else {}
    facts: dict[str, Any] = {}
    for name in told:
        slot = said[name]
        value = _canonical(slot)
        if name in known and (name not in entry["keeps"] or _same(known[name].value, value)):
            continue
        facts[name] = fact_to_plain(value, "" if isinstance(value, Amount) else session.knowledge.name(value))
    if not facts:
        return None
    today = session.now.day.isoformat()
    return Event(kinds.TOLD, lawn, parse.text, today, today, {"facts": facts})


def _same(held: Any, new: Any) -> bool:
    if isinstance(held, Amount) and isinstance(new, Amount):
        return (held.low, held.high, held.units) == (new.low, new.high, new.units)
    return bool(held == new)


def _canonical(slot: Slot) -> Any:
    """Areas in square feet, whatever they were measured in; the words as said stay with the event."""
    if slot.name == "area":
        from assistant.skills.area import total_of
        from assistant.units import plain

        total = total_of(slot)
        low, high = (total.low, total.high) if hasattr(total, "low") else (total, total)
        return Amount("area", round(plain(low, "sq_ft"), 6), round(plain(high, "sq_ft"), 6), ("sq_ft",))
    value = slot.values[0]
    return replace(value, span=(0, 0), text="", assumed="") if isinstance(value, Amount) else value
