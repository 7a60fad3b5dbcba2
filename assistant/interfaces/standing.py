"""How the lawns stand: the bottom line of the chat, and what is said at its start."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from assistant.interfaces.actions import beside
from assistant.lawn.state import is_of

if TYPE_CHECKING:  # the first prompt is on the screen before any of this is loaded
    from assistant.dialogue import Session
    from assistant.lawn.program import Step
    from assistant.lawn.state import LawnState
    from assistant.skills.running import Running
    from assistant.skills.turn import Turn

FIRST = "I do the sums and keep the dates of seeding a lawn. What are you at?"
_TOLD = 3  # steps named at the start; more of them are counted
_MANY = 60  # lawns beyond which all of them are looked at only where that is asked for


@dataclass(frozen=True, slots=True)
class Standing:
    """The lawn in hand and what comes next on it; with no lawn in hand, the first step of all of them."""

    lawn: str = ""
    step: str = ""
    day: date | None = None
    late: int = 0
    note: str = ""

    def words(self, today: date) -> tuple[str, ...]:
        """`Elm 12  |  next: second feed, Sep 26`, and the same in fewer words for a narrow terminal."""
        from assistant.terms import short_day

        lawn = (self.lawn,) if self.lawn else ()
        if self.day is None:
            return ("  |  ".join([*lawn, *([self.note] if self.note else [])]), self.note)
        when = "today" if self.day == today else short_day(self.day)
        year = f" {self.day.year}" if self.day.year != today.year else ""
        late = f", {self.late} day{'s' if self.late > 1 else ''} late" if self.late else ""
        step = f"next: {self.step}, {when}{year}{late}"
        return ("  |  ".join([*lawn, step]), step, step.removeprefix("next: "))


def standing(session: Session) -> Standing:
    """Read from the record, on the day that it is."""
    lawn = in_hand(session)
    if not session.lawns:
        return Standing(note="no lawn on record yet")
    if not lawn and len(session.lawns) > _MANY:
        return Standing(f"{len(session.lawns)} lawns", note=beside("due"))
    found = [(step, state.name) for state, plan in _plans(session, lawn) if (step := plan.next())]
    if not found:
        names = lawn or f"{len(session.lawns)} lawn{'' if len(session.lawns) == 1 else 's'}"
        return Standing(names, note="no program running")
    step, name = min(found, key=lambda one: (one[0].day, one[1]))
    whose = "" if name == lawn else f"{name}, "
    return Standing(lawn or f"{len(session.lawns)} lawns", f"{whose}{step.title}", step.day, step.late)


def _plans(session: Session, lawn: str) -> Iterator[tuple[LawnState, Running]]:
    """The programs of the lawn in hand and its parts, or of all lawns; only their events are read."""
    from assistant.skills.lawns import plans

    return plans(_look(session, lawn))


def _look(session: Session, lawn: str) -> Turn:
    look = session.look(lawn)
    if not lawn:
        return look
    names = [name for name in session.lawns if is_of(name, lawn)]
    return replace(look, states=lambda: tuple(state for name in names if (state := session.state(name))))


def in_hand(session: Session) -> str:
    """The lawn that the talk is about; the only one, where there is no other."""
    return session.lawn or (session.lawns[0] if len(session.lawns) == 1 else "")


def due_words(session: Session) -> list[str]:
    """What is due by today, a line each; nothing where nothing is."""
    from assistant.skills.lawns import due_by

    lawn = in_hand(session)
    if not lawn and len(session.lawns) > _MANY:
        return []
    found = due_by(_look(session, lawn), session.now.day)
    lines = [f"{one.lawn.name}: {one.step.title}, {_how(one.step)}" for one in found[:_TOLD]]
    if len(found) > _TOLD:
        lines.append(f"and {len(found) - _TOLD} more: {beside('due')}")
    return lines


def _how(step: Step) -> str:
    if step.by_sight:
        return "from now on, by what you see"
    return f"{step.late} day{'s' if step.late > 1 else ''} late" if step.late else "due now"
