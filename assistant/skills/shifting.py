"""What is still to come of a program, moved by so many days: one step, or all of it."""

from __future__ import annotations

from datetime import timedelta

from assistant.answer import ANSWERED, ASKS, RECORDED, REFUSED, Answer, Ask
from assistant.lawn import events as kinds
from assistant.lawn.events import Event, fact_to_plain
from assistant.lawn.program import Step, next_of
from assistant.skills.running import SEED_DAY, Running, days, running, short_ask, stays, step_named, when
from assistant.skills.turn import Turn
from assistant.terms import Amount, Slot, capital, day_words


def shift(
    turn: Turn,
    shift: Slot,
    seed_day: Slot | None = None,
    step: Slot | None = None,
    program: Slot | None = None,
    place: Slot | None = None,
) -> Answer:
    """Move the next step, one that is named, or all that is open, by so many days; later, unless earlier is said."""
    if seed_day is None:
        return Answer(ASKS, "I have no seed day to count from, so nothing is moved.", asks=SEED_DAY)
    if not shift.amount.single:
        return Answer(ASKS, "I can move it by one number of days.", asks=Ask("shift", "By how many days?"))
    count = round(shift.q.m_as("day")) * (-1 if "earlier_word" in turn.parse.terms else 1)
    everything = "everything" in turn.parse.terms and step is None
    if everything and seed_day.amount.day > turn.now.day:
        return _seed_day(turn, seed_day, count)
    plan = running(turn, seed_day, program)
    if plan is None:
        return Answer(ASKS, "Which steps there are hangs on the program, and none is chosen yet.", asks=short_ask(turn))
    if everything:
        return _moved(plan, [one for one in plan.steps() if _goes_along(plan, one)], count)
    named = step is not None and str(step.value).startswith("step.")
    one = step_named(turn, plan.steps(), step) if named else _next(turn, plan)
    if one is None:
        return Answer(ANSWERED, f"The {plan.name} has no such step open, so nothing is moved.")
    if not one.open:
        return Answer(REFUSED, f"{capital(one.title)} is {one.state} already; nothing was moved.")
    return _moved(plan, [one], count)


def _next(turn: Turn, plan: Running) -> Step | None:
    """The next step that is work; the next feed where the line speaks of feeding."""
    feed = "feed" in turn.parse.terms
    return next_of(one for one in plan.steps() if not one.care and (one.kind == "feed" or not feed))


def _goes_along(plan: Running, step: Step) -> bool:
    """True for work that is open and hangs on no date of the year, nor on what stands there."""
    return step.open and not step.care and not step.by_sight and plan.rule(step)["counted_from"] != "calendar"


def _seed_day(turn: Turn, seed_day: Slot, count: int) -> Answer:
    """All of it counts from seed day: while that is still to come it is what moves."""
    day = seed_day.amount.day + timedelta(days=count)
    if day < turn.now.day:
        return Answer(REFUSED, f"That would put seed day on {day_words(day)}, which is past. Nothing was moved.")
    on, said = day.isoformat(), turn.now.day.isoformat()
    facts = {"seed_day": fact_to_plain(Amount("date", on, on))}
    event = Event(kinds.TOLD, turn.lawn.name if turn.lawn else "", turn.parse.text, said, said, {"facts": facts})
    words = f"Seed day moves from {day_words(seed_day.amount.day)} to {day_words(day)}, and every date with it."
    return Answer(RECORDED, words, events=(event,))


def _moved(plan: Running, steps: list[Step], count: int) -> Answer:
    """Each of the steps so many days off: what is due already counts from today."""
    today, by = plan.turn.now.day, timedelta(days=count)
    said, events = today.isoformat(), []
    for step in steps:
        day = max(step.day, today) + by
        if day < today:
            words = f"That would put the {step.title} on {day_words(day)}, which is past. Nothing was moved."
            return Answer(REFUSED, words)
        body = {
            "step": step.id,
            "title": step.title,
            "day": day.isoformat(),
            "until": max(day, step.until + by).isoformat(),
        }
        events.append(Event(kinds.MOVED, plan.state.name, plan.turn.parse.text, said, said, body))
    if not events:
        return Answer(ANSWERED, f"Nothing of the {plan.name} is open that could be moved.")
    changed = plan.after(*events, but=[step.id for step in steps])
    after = {one.id: one for one in changed.steps}
    held = [event.body["step"] for event in events if after[event.body["step"]].day.isoformat() != event.body["day"]]
    if len(held) == len(events):
        return Answer(REFUSED, f"{stays(after[held[0]])} Nothing was moved.")
    moved = [f"{capital(one.title)}: {when(after[one.id])}." for one in steps if one.id not in held]
    far = f"{abs(count)} day{'' if abs(count) == 1 else 's'} {'later' if count > 0 else 'earlier'}"
    words = f"All that is open, {far}."
    if len(steps) == 1:
        words, moved = f"{capital(steps[0].title)} moved to {when(after[steps[0].id])}, {far}.", []
    return Answer(
        RECORDED,
        words,
        lines=(*moved, *(stays(after[one]) for one in held), *changed.lines),
        figures=days(*(after[one.id] for one in steps)),
        inputs=(plan.seed_day,),
        events=(*plan.begun, *events),
        why=changed.why,
    )
