"""`ligule calendar`: the dated steps of the lawns as iCalendar (RFC 5545). Brought in again, entries move and do not double."""

from __future__ import annotations

from datetime import timedelta
from uuid import NAMESPACE_URL, uuid5

from icalendar import Calendar, Event

from assistant.lawn.program import Step
from assistant.lawn.state import LawnState
from assistant.skills.running import Running
from assistant.terms import Now


def calendar_of(lawns: list[tuple[LawnState, Running]], now: Now) -> str:
    """One all-day entry a step. The UID hangs on lawn, seed year and step alone, so that a moved step keeps it."""
    made = Calendar()
    made.add("prodid", "-//ligule//dated steps of lawns//EN")
    made.add("version", "2.0")
    for state, plan in lawns:
        for step in plan.steps():
            entry = Event()
            year = plan.seed_day.amount.day.year
            entry.add("uid", f"{uuid5(NAMESPACE_URL, f'ligule:{state.name}:{year}:{step.id}')}@ligule")
            entry.add("dtstamp", now.moment)
            entry.add("sequence", state.seq)
            entry.add("dtstart", step.day)
            entry.add("dtend", step.until + timedelta(days=1))
            entry.add("summary", f"{state.name}: {step.title}")
            entry.add("status", "CANCELLED" if step.state == "dropped" else "CONFIRMED")
            entry.add("description", "\n".join(_said(plan, step)))
            made.add_component(entry)
    return str(made.to_ical().decode("utf-8"))


def _said(plan: Running, step: Step) -> list[str]:
    """What goes down, how the step stands, and why then."""
    lines = [words for _, words in plan.rates(step)]
    lines.append(f"State: {step.state}.")
    lines.append(f"Why then: {step.moved_by or step.why}.")
    lines.append("The product label is the law; check the weather on the day.")
    return lines
