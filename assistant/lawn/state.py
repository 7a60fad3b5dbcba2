"""A lawn as its events leave it: the fold."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from assistant.lawn import events as kinds
from assistant.lawn.events import Event, fact_from_plain
from assistant.terms import Slot


@dataclass(frozen=True, slots=True)
class LawnState:
    """All that is known of a lawn. `live` are the events that stand, newest last."""

    name: str
    seq: int = 0
    facts: dict[str, Slot] = field(default_factory=dict)
    parts: dict[str, Slot] = field(default_factory=dict)
    applied: dict[str, Event] = field(default_factory=dict)  # step -> the event that did it
    moved: dict[str, Event] = field(default_factory=dict)
    skipped: dict[str, Event] = field(default_factory=dict)
    seen: dict[str, Event] = field(default_factory=dict)
    program: dict[str, Any] | None = None
    live: tuple[Event, ...] = ()

    @property
    def seed_day(self) -> date | None:
        slot = self.facts.get("seed_day")
        return slot.amount.day if slot else None


def fold(name: str, events: Iterable[Event]) -> LawnState:
    """The state that a row of events leaves. What was taken back is as if it had never been said."""
    told = list(events)
    void: set[int] = set()
    for event in reversed(told):
        if event.kind == kinds.UNDONE and event.seq not in void:
            void.update(event.voids)
    state = LawnState(name, seq=told[-1].seq if told else 0)
    live = tuple(event for event in told if event.seq not in void and event.kind != kinds.UNDONE)
    for event in live:
        state = _with(state, event)
    return replace(state, live=live)


def _with(state: LawnState, event: Event) -> LawnState:
    if event.kind == kinds.TOLD:
        facts = dict(state.facts)
        for name, data in event.body["facts"].items():
            facts[name] = Slot(name, fact_from_plain(data), "lawn", why=event.text, said_on=event.said_on)
        return replace(state, facts=facts)
    if event.kind == kinds.STARTED:
        first = state.seed_day.isoformat() if state.seed_day else ""
        stands = {step: done for step, done in state.applied.items() if done.happened_on >= first}
        return replace(state, program=event.body, applied=stands, moved={}, skipped={})
    step = event.body.get("step", "")
    if event.kind == kinds.DONE:
        return replace(
            state,
            applied={**state.applied, step: event},
            skipped=_without(state.skipped, step),
            moved=_without(state.moved, step),
        )
    if event.kind == kinds.MOVED:
        return replace(state, moved={**state.moved, step: event})
    if event.kind == kinds.SKIPPED:
        return replace(state, skipped={**state.skipped, step: event}, applied=_without(state.applied, step))
    return state


def _without(held: dict[str, Event], step: str) -> dict[str, Event]:
    return {name: event for name, event in held.items() if name != step}
