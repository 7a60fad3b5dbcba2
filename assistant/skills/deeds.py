"""What was done on a lawn: a step of its program, a cut, or something else that went down. Recorded, and what moves is said."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, REFUSED, Answer, Ask
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import BEFORE_SEED, Step, next_of
from assistant.skills.running import SEED_DAY, Running, days, each, running, short_ask, step_named, when
from assistant.skills.turn import Turn
from assistant.terms import Range, Slot, day_words, over_range

_KEPT = ("quantity", "rate", "temperature", "wind")  # amounts that go into the record as they were said
_NAMED = ("tool", "product", "tank")


def log(turn: Turn, **slots: Slot | None) -> Answer:
    """Record a step as done, late, early or skipped; what moves because of it is said."""
    seed_day, program = slots.get("seed_day"), slots.get("program")
    deed, tank = slots.get("deed"), slots.get("tank")
    if deed is not None and deed.value == "deed.mowed":
        return _mowed(turn, slots)
    if seed_day is None and (deed or tank):
        return _used(turn, slots)
    if seed_day is None:
        return Answer(ASKS, "I have no seed day to count from, so nothing is recorded yet.", asks=SEED_DAY)
    chosen = running(turn, seed_day, program)
    if chosen is None and (slots.get("late_by") or slots.get("early_by")):
        words = "Which day it was due hangs on the program, and none is chosen yet. Nothing is recorded yet."
        return Answer(ASKS, words, asks=short_ask(turn))
    plan = chosen or each(turn, seed_day)[0]
    target = _target(turn, plan, slots)
    if target is None and (deed or tank):
        return _used(turn, slots)
    if target is None:
        known = ", ".join(one.title for one in plan.steps())
        return Answer(ASKS, "I do not know which step you mean.", asks=Ask("step", f"Which one: {known}?"))
    return _step(turn, plan, target, slots, chosen is not None)


def _step(turn: Turn, plan: Running, target: Step, slots: dict[str, Slot | None], chosen: bool) -> Answer:
    """One step, on its day."""
    seed_day, today = plan.seed_day.amount.day, turn.now.day
    day, offset = _day_of(target, slots, today)
    body = {"step": target.id, "title": target.title, **_body(slots)}
    lawn, text, said = plan.state.name, turn.parse.text, today.isoformat()
    title = target.title[:1].upper() + target.title[1:]
    if _says_skipped(turn):
        return _recorded(plan, Event(kinds.SKIPPED, lawn, text, said, said, body), f"{title} skipped.", chosen)
    if day > today:
        event = Event(kinds.MOVED, lawn, text, said, said, {**body, "day": day.isoformat()})
        kept = _kept_from(plan, event)
        if kept:
            return Answer(REFUSED, f"{kept} Nothing was moved.")
        words = f"{day_words(day)} is still to come, so the {target.title} is moved to it and not logged as done."
        return _recorded(plan, event, words, chosen)
    if day < seed_day and target.kind not in (*BEFORE_SEED, "check"):
        first = day_words(seed_day)
        return Answer(REFUSED, f"{day_words(day)} is before seed day, {first}. Which is right? Nothing was recorded.")
    event = Event(kinds.DONE, lawn, text, said, day.isoformat(), {**body, "put": _put(plan, target, slots)})
    if _known(plan, event):
        return Answer(ANSWERED, f"{title} on {day_words(day)} is on record already.")
    age = (day - seed_day).days
    since = f"day {age}" if age >= 0 else f"{-age} day{'s' if age < -1 else ''} before seed day"
    return _recorded(plan, event, f"{title} done on {day_words(day)}, {since}{offset}.", chosen)


def _mowed(turn: Turn, slots: dict[str, Slot | None]) -> Answer:
    """A cut is counted: what may go down after so many mowings hangs on it."""
    happened, seed_day = slots.get("happened_on"), slots.get("seed_day")
    day = happened.amount.day if happened else turn.now.day
    if day > turn.now.day:
        return Answer(REFUSED, f"{day_words(day)} is still to come; a cut is recorded once it is made.")
    name = turn.lawn.name if turn.lawn else ""
    event = Event(kinds.MOWED, name, turn.parse.text, turn.now.day.isoformat(), day.isoformat())
    plan = running(turn, seed_day, slots.get("program")) if seed_day else None
    if plan is None or seed_day is None or day < seed_day.amount.day:
        return Answer(RECORDED, f"Mowed on {day_words(day)}.", events=(event,))
    cuts = [*plan.state.mowed, event]
    count = sum(one.happened_on > seed_day.amount.day.isoformat() for one in cuts)
    changed = plan.after(event)
    lines = list(changed.lines)
    for step in changed.steps:
        rule = plan.rule(step)
        if step.open and "after_mowings" in rule and count == int(rule["after_mowings"]["low"]):
            lines.append(f"{step.title[:1].upper()}{step.title[1:]}: the mowings for it are there; {when(step)}.")
    return Answer(
        RECORDED,
        f"Mowed on {day_words(day)}: cut {count} since seed day.",
        lines=(*lines, *_next_line(changed.steps)),
        events=(event,),
        why=changed.why,
    )


def _used(turn: Turn, slots: dict[str, Slot | None]) -> Answer:
    """Something went down, or was done, that is no step of this lawn's program: kept with its day."""
    slot = slots.get("tank") or slots.get("deed")
    assert slot is not None
    happened = slots.get("happened_on")
    day = happened.amount.day if happened else turn.now.day
    if day > turn.now.day:
        return Answer(REFUSED, f"{day_words(day)} is still to come; it is recorded once it is done.")
    title = turn.knowledge.name(str(slot.value))
    body = {"what": str(slot.value), "title": title, **_body(slots)}
    name = turn.lawn.name if turn.lawn else ""
    event = Event(kinds.USED, name, turn.parse.text, turn.now.day.isoformat(), day.isoformat(), body)
    lines: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    if slot.name == "tank":
        from assistant.skills.gates import waits_after

        lines, sources = waits_after(turn, slot, day)
    return Answer(
        RECORDED,
        f"{title[:1].upper()}{title[1:]} on {day_words(day)}.",
        lines=lines,
        sources=turn.cite(*sources),
        events=(event,),
    )


def _body(slots: dict[str, Slot | None]) -> dict[str, Any]:
    """What was said of it; what the program would have is not taken for said."""
    said = {name: slot for name, slot in slots.items() if slot and slot.origin == "said"}
    body = {name: said[name].amount.to_plain() for name in _KEPT if name in said}
    return body | {name: said[name].value for name in _NAMED if name in said}


def _put(plan: Running, target: Step, slots: dict[str, Slot | None]) -> list[dict[str, Any]]:
    """What the step put down: the amount that was told, of its first product; else the program's rate over the lawn."""
    from assistant.knowledge_base import row_of

    told, product = slots.get("quantity"), slots.get("product")
    area = plan.state.facts.get("area")
    made: list[dict[str, Any]] = []
    for row in target.amounts:
        rate = row_of(row).amount
        first = not made
        if first and told is not None:
            what = _told_product(plan, product, row["what"])
            amount = told.amount
            made.append({"what": what, "low": amount.low, "high": amount.high, "unit": amount.unit, "said": True})
        elif area is not None:
            from assistant.skills.area import total_of

            total = over_range(lambda one, each, unit=rate.unit: (one * each).to(unit), total_of(area), rate.q)
            low, high = (total.low, total.high) if isinstance(total, Range) else (total, total)
            of = {} if rate.of in ("", "product") else {"of": rate.of}
            ends = {"low": round(low.magnitude, 6), "high": round(high.magnitude, 6)}
            made.append({"what": row["what"], **ends, "unit": rate.unit, "said": False, "source": row["source"], **of})
    return made


def _told_product(plan: Running, product: Slot | None, of_step: str) -> str:
    """The product that was named, in the form that the step takes."""
    if product is None:
        return of_step
    named = plan.turn.knowledge.either(str(product.value))
    return of_step if of_step in named or len(named) > 1 else named[0]


def _target(turn: Turn, plan: Running, slots: dict[str, Slot | None]) -> Step | None:
    """The step that was meant: one named, the one a deed ticks off, a kill spray for glyphosate, or the next feed."""
    steps, deed, tank, step = plan.steps(), slots.get("deed"), slots.get("tank"), slots.get("step")
    if tank is not None:
        kills = [one for one in steps if one.kind == "kill" and tank.value in plan.rule(one).get("buys", ())]
        return next_of(kills)
    if deed is not None or (step is not None and str(step.value).startswith("step.")):
        return step_named(turn, steps, deed or step)
    return next_of(one for one in steps if one.kind == "feed")


def _day_of(target: Step, slots: dict[str, Slot | None], today: date) -> tuple[date, str]:
    """The day it happened: said, or so many days off the day it was due."""
    late_by, happened_on = slots.get("late_by"), slots.get("happened_on")
    off = late_by or slots.get("early_by")
    if off is None:
        return (happened_on.amount.day if happened_on else today), ""
    count = round(off.q.m_as("day"))
    day = target.day + timedelta(days=count if late_by else -count)
    return day, f", {count} days {'late' if late_by else 'early'}"


def _known(plan: Running, event: Event) -> bool:
    """True where the record already says that this step was done on this day."""
    held = plan.state.applied.get(event.body["step"])
    return held is not None and held.happened_on == event.happened_on


def _kept_from(plan: Running, event: Event) -> str:
    """Why a step cannot be moved to a day, where the program's spacing holds it back."""
    after = plan.after(event).steps
    step = next_of(one for one in after if one.id == event.body["step"])
    if step and step.day.isoformat() != event.body["day"]:
        return f"The program keeps the {step.title} on {when(step)}: {step.moved_by}."
    return ""


def _too_soon(plan: Running, event: Event) -> list[str]:
    """Said where a step was done closer to the one before it than the program allows."""
    rule = next(one for one in plan.rules["steps"] if one["id"] == event.body["step"])
    gap = rule.get("least_gap")
    earlier = plan.state.applied.get(gap["after"]) if gap else None
    if not earlier or event.kind != kinds.DONE:
        return []
    apart = (date.fromisoformat(event.happened_on) - date.fromisoformat(earlier.happened_on)).days
    if apart >= gap["low"]:
        return []
    return [
        f"That is {apart} days after the {earlier.body['title']}; the program keeps at least {gap['low']}. Say undo if it is not so."
    ]


def _says_skipped(turn: Turn) -> bool:
    words = turn.parse.text.lower()
    return any(one in words for one in ("skip", "miss", "forgot", "never did", "didn't", "didnt", "did not"))


def _next_line(steps: tuple[Step, ...]) -> tuple[str, ...]:
    upcoming = next_of(steps)
    return (f"Next: {upcoming.title}, {when(upcoming)}.",) if upcoming else ()


def _recorded(plan: Running, event: Event, words: str, program_chosen: bool) -> Answer:
    """The answer to something recorded, with every date that it moved."""
    inputs = (plan.seed_day,)
    if not program_chosen:
        return Answer(RECORDED, words, inputs=inputs, events=(event,), asks=short_ask(plan.turn))
    changed = plan.after(event, but=event.body["step"])
    upcoming = next_of(changed.steps)
    why = changed.why or (plan.chain(upcoming, changed.state) if upcoming else ())
    return Answer(
        RECORDED,
        words,
        lines=(*_too_soon(plan, event), *changed.lines, *_next_line(changed.steps)),
        figures=days(*(step for step in changed.steps if step.open)),
        inputs=inputs,
        events=(*plan.begun, event),
        why=tuple(dict.fromkeys(why)),
    )
