"""A lawn as its events leave it: the fold."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from assistant.lawn import events as kinds
from assistant.lawn.events import Event, fact_from_plain
from assistant.terms import Amount, Slot


@dataclass(frozen=True, slots=True)
class LawnState:
    """All that is known of a lawn. `live` are the events that stand, newest last."""

    name: str
    seq: int = 0
    facts: dict[str, Slot] = field(default_factory=dict)
    parts: dict[str, Event] = field(default_factory=dict)  # part -> the event that gave it its own seed day
    applied: dict[str, Event] = field(default_factory=dict)  # step -> the event that did it
    moved: dict[str, Event] = field(default_factory=dict)
    skipped: dict[str, Event] = field(default_factory=dict)
    seen: dict[str, Event] = field(default_factory=dict)  # what -> the last time it was seen
    mowed: tuple[Event, ...] = ()
    held: tuple[Event, ...] = ()  # what keeps steps off their days
    used: tuple[Event, ...] = ()  # what went down besides the steps, and what was in the tank of a step
    program: dict[str, Any] | None = None
    began: str = ""  # the day on which that program was started
    live: tuple[Event, ...] = ()

    @property
    def seed_day(self) -> date | None:
        slot = self.facts.get("seed_day")
        return slot.amount.day if slot else None

    @property
    def day_zero(self) -> Slot | None:
        """What a program counts from: seed day, or the day on which one that sows nothing was started."""
        if "seed_day" in self.facts or self.program is None or sows(self.program["rules"]):
            return self.facts.get("seed_day")
        return Slot("seed_day", Amount("date", self.began, self.began), "program", why="the day it was started")


def sows(rules: dict[str, Any]) -> bool:
    """False for a program of a lawn that stands: no seed goes down in it."""
    return any(step["kind"] == "sow" for step in rules["steps"])


def is_of(name: str, lawn: str) -> bool:
    """True for a lawn, and for what was told as a part of it: `Elm 12` and `Elm 12, front`. No lawn means all of them."""
    return not lawn or name == lawn or name.startswith(f"{lawn}, ")


def fold(name: str, events: Iterable[Event]) -> LawnState:
    """The state that a row of events leaves. What was taken back is as if it had never been said."""
    told = list(events)
    state = LawnState(name, seq=told[-1].seq if told else 0)
    live = tuple(kinds.standing(told))
    for event in live:
        state = _with(state, event)
    mowed = tuple(event for event in live if event.kind == kinds.MOWED)  # a cut is added to no other: there are many
    return replace(state, live=live, mowed=mowed)


def fold_on(before: LawnState, events: tuple[Event, ...]) -> LawnState:
    """The same as the fold of all `events`, the first of which left the state `before`: only what is newer is folded.

    Where something newer takes back what was said, all of it is folded afresh.
    """
    newer = events[bisect_right(events, before.seq, key=lambda event: event.seq) :]
    if any(event.kind == kinds.UNDONE for event in newer):
        return fold(before.name, events)
    state = before
    for event in newer:
        state = _with(state, event)
    cuts = tuple(event for event in newer if event.kind == kinds.MOWED)
    seq = newer[-1].seq if newer else before.seq
    return replace(state, seq=seq, live=before.live + newer, mowed=before.mowed + cuts)


def _with(state: LawnState, event: Event) -> LawnState:
    change = _CHANGES.get(event.kind)
    return change(state, event) if change else state


def _told(state: LawnState, event: Event) -> LawnState:
    facts = dict(state.facts)
    for name, data in event.body["facts"].items():
        facts[name] = Slot(name, fact_from_plain(data), "lawn", why=event.text, said_on=event.said_on)
    return replace(state, facts=facts)


def _started(state: LawnState, event: Event) -> LawnState:
    """A program begun: what was done since seed day counts for it, what was moved or skipped in another does not."""
    if event.body.get("renews"):  # newer rules of the same program: nothing that was said is let go
        return replace(state, program=event.body)
    first = state.seed_day.isoformat() if state.seed_day else ""
    stands = {step: done for step, done in state.applied.items() if done.happened_on >= first}
    return replace(state, program=event.body, began=event.happened_on, applied=stands, moved={}, skipped={})


def _done(state: LawnState, event: Event) -> LawnState:
    step = event.body.get("step", "")
    used = (*state.used, event) if "tank" in event.body else state.used  # what was in the tank waits, step or not
    return replace(
        state,
        used=used,
        applied={**state.applied, step: event},
        skipped=_without(state.skipped, step),
        moved=_without(state.moved, step),
    )


def _moved(state: LawnState, event: Event) -> LawnState:
    return replace(state, moved={**state.moved, event.body.get("step", ""): event})


def _skipped(state: LawnState, event: Event) -> LawnState:
    step = event.body.get("step", "")
    return replace(state, skipped={**state.skipped, step: event}, applied=_without(state.applied, step))


def _lifted(state: LawnState, event: Event) -> LawnState:
    return replace(state, held=tuple(one for one in state.held if one.body["what"] != event.body["what"]))


_CHANGES: dict[str, Callable[[LawnState, Event], LawnState]] = {
    kinds.TOLD: _told,
    kinds.STARTED: _started,
    kinds.DONE: _done,
    kinds.MOVED: _moved,
    kinds.SKIPPED: _skipped,
    kinds.LIFTED: _lifted,
    kinds.SEEN: lambda state, event: replace(state, seen={**state.seen, event.body["what"]: event}),
    kinds.HELD: lambda state, event: replace(state, held=(*state.held, event)),
    kinds.USED: lambda state, event: replace(state, used=(*state.used, event)),
    kinds.RESOWN: lambda state, event: replace(state, parts={**state.parts, event.body["part"]: event}),
    kinds.JOINED: lambda state, event: replace(state, parts=_without(state.parts, event.body["part"])),
}


def _without(held: dict[str, Event], step: str) -> dict[str, Event]:
    return {name: event for name, event in held.items() if name != step}
