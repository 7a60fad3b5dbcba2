"""The dated program of a lawn: rules, lawn, events and today give the steps. Dates are computed, never stored.

Rules are data (knowledge/programs). The engine knows no grass: it counts days from an anchor, keeps least gaps, lets
what was done or moved stand, and gives every step the reason for its date.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from assistant.lawn.events import Event
from assistant.lawn.state import LawnState
from assistant.terms import day_words


@dataclass(frozen=True, slots=True)
class Step:
    """One dated step. `day` to `until` is its window; `state` is done, due, coming or dropped."""

    id: str
    title: str
    kind: str
    day: date
    until: date
    state: str
    why: str
    offset: int
    moved_by: str = ""
    amounts: tuple[dict[str, Any], ...] = ()
    source: str = ""
    late: int = 0


@dataclass(frozen=True, slots=True)
class Emergence:
    """When seedlings are up: seen, or taken from a source as days after seeding."""

    days: int
    source: str
    seen: date | None = None

    def after(self, seed_day: date) -> date:
        return self.seen or seed_day + timedelta(days=self.days)


@dataclass(frozen=True, slots=True)
class Closing:
    """After which day no nitrogen goes down before spring, and why."""

    day: date
    why: str
    source: str = ""

    def holds(self, day: date) -> bool:
        """True for a day between the closing and the spring that follows."""
        return self.day < day < date(self.day.year + 1, _SPRING, 1)


_SPRING = 3  # the month from which feeds of a new season are judged by its own dates


def steps_of(
    rules: dict[str, Any],
    seed_day: date,
    today: date,
    emergence: Emergence,
    state: LawnState,
    closing: Closing | None = None,
) -> tuple[Step, ...]:
    """Every step of a program with its date or window and why that date; a feed behind the closing is dropped."""
    made: list[Step] = []
    for rule in rules["steps"]:
        step = _step(rule, seed_day, today, emergence, state, {step.id: step for step in made})
        if closing and step.kind == "feed" and step.state in ("due", "coming") and closing.holds(step.day):
            why = f"{day_words(step.day)} is past {day_words(closing.day)}: {closing.why}"
            step = replace(step, state="dropped", moved_by=why, late=0)
        made.append(step)
    return tuple(made)


def next_of(steps: tuple[Step, ...]) -> Step | None:
    """The step to do next: the first that is neither done nor dropped."""
    return next((step for step in steps if step.state in ("due", "coming")), None)


def _step(
    rule: dict[str, Any], seed_day: date, today: date, emergence: Emergence, state: LawnState, before: dict[str, Step]
) -> Step:
    anchor = emergence.after(seed_day) if rule["counted_from"] == "emergence" else seed_day
    day = anchor + timedelta(days=int(rule["day"]["low"]))
    until = anchor + timedelta(days=int(rule["day"]["high"]))
    moved_by = ""
    moved = state.moved.get(rule["id"])
    if moved:
        day = until = date.fromisoformat(moved.body["day"])
        moved_by = f"you moved it ({_said(moved)})"
    gap = rule.get("least_gap")
    if gap and gap["after"] in before and before[gap["after"]].state != "dropped":
        earlier = before[gap["after"]]
        since = (
            max(earlier.day, today) if earlier.state == "due" else earlier.day
        )  # not done yet: today at the earliest
        soonest = since + timedelta(days=int(gap["low"]))
        if soonest > day:
            moved_by = f"at least {int(gap['low'])} days after the {earlier.title} ({day_words(since)}{' at the earliest' if since > earlier.day else ''}); day {int(rule['day']['low'])} alone would be {day_words(day)}"
            until += soonest - day
            day = soonest
    done = state.applied.get(rule["id"])
    skipped = state.skipped.get(rule["id"])
    if rule["kind"] == "sow" and not done and seed_day <= today:
        status, late = "done", 0
    elif done:
        actual = date.fromisoformat(done.happened_on)
        status, late, day, until, moved_by = "done", (actual - day).days, actual, actual, ""
    elif skipped:
        status, late, moved_by = "dropped", 0, f"skipped ({_said(skipped)})"
    elif day <= today:
        status, late = "due", max(0, (today - until).days)
    else:
        status, late = "coming", 0
    amounts = tuple(rule.get("amounts", ()))
    return Step(
        rule["id"],
        rule["title"],
        rule["kind"],
        day,
        until,
        status,
        rule["why"],
        (day - seed_day).days,
        moved_by,
        amounts,
        rule["day"]["source"],
        late,
    )


def _said(event: Event) -> str:
    return f'you said "{event.text}" on {day_words(date.fromisoformat(event.said_on))}'
