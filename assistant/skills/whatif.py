"""What if: the program as it is beside the program as it would be. Nothing is written."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, Answer, Ask, Figure
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import DROPPED, Step, by_date
from assistant.skills.running import SEED_DAY, Running, days, running, running_or_first, step_named, when
from assistant.skills.turn import Turn
from assistant.skills.windows import closes
from assistant.terms import Amount, Slot, capital, day_words, over_range

_EARLIER = ("earlier", "sooner", "before", "ahead")


def what_if(
    turn: Turn,
    seed_day: Slot | None = None,
    day: Slot | None = None,
    shift: Slot | None = None,
    species: Slot | None = None,
    program: Slot | None = None,
    plan: Slot | None = None,
    job: Slot | None = None,
    place: Slot | None = None,
    step: Slot | None = None,
) -> Answer:
    """The same lawn on another seed day, with another grass, or on another program: every date that differs."""
    if seed_day is None:
        return Answer(ASKS, "To compare I need a seed day first.", asks=SEED_DAY)
    now = running_or_first(turn, seed_day)
    if step is not None:
        return _moved(turn, now, step, day)
    other_day = _day(turn, seed_day, day, shift)
    then = _then(turn, now, other_day, species, program, plan, job)
    if then is None:
        return Answer(ASKS, "I do not have that program.", asks=Ask("program", "With liquid or granular feeds?"))
    rows, figures = differences(now, then)
    changed = ", ".join(_changed(turn, now, then, other_day, species))
    more = [*_seed_needed(turn, species), *_nitrogen(now, then), *_room(turn, now, then, species)]
    return Answer(
        ANSWERED,
        f"With {changed}: {len(rows)} date{'' if len(rows) == 1 else 's'} differ. Nothing is changed by asking."
        if rows
        else f"With {changed} no date differs. Nothing is changed by asking.",
        figures=figures,
        lines=(*rows, *more),
        inputs=tuple(slot for slot in (seed_day, day, shift, species, program) if slot),
        sources=turn.cite(*dict.fromkeys((*now.sources, *then.sources))),
    )


def _moved(turn: Turn, now: Running, named: Slot, day: Slot | None) -> Answer:
    """One step on another day, or left out: what becomes of the others."""
    step = step_named(turn, now.steps(), named)
    if step is None or not step.open:
        return Answer(ANSWERED, f"The {now.name} has no such step open. Nothing is changed by asking.")
    said = turn.now.day.isoformat()
    body = {"step": step.id, "title": step.title}
    if day is None:
        event = Event(kinds.SKIPPED, now.state.name, turn.parse.text, said, said, body)
        head = f"Without the {step.title}"
    else:
        event = Event(kinds.MOVED, now.state.name, turn.parse.text, said, said, {**body, "day": day.amount.low})
        head = f"With the {step.title} on {day_words(day.amount.day)}"
    changed = now.after(event, but=(step.id,))
    after = next(one for one in changed.steps if one.id == step.id)
    lines = list(changed.lines) or ["No other date moves."]
    if day is not None and after.state == DROPPED:
        lines.insert(0, f"It would be dropped: {after.moved_by}.")
    elif day is not None and after.day != day.amount.day:
        lines.insert(0, f"The program would keep it on {when(after)}: {after.moved_by}.")
    choices = now.rule(step).get("too_late", "")
    if day is None and choices:
        lines.append(f"What is left without it: {choices}.")
    return Answer(ANSWERED, f"{head}. Nothing is changed by asking.", lines=tuple(lines), figures=days(after))


def _day(turn: Turn, seed_day: Slot, day: Slot | None, shift: Slot | None) -> Slot:
    """The seed day that is asked about."""
    if day is not None:
        return day
    if shift is None:
        return seed_day
    days = round(shift.q.m_as("day"))
    back = any(word in turn.parse.text.lower() for word in _EARLIER)
    moved = (seed_day.amount.day + timedelta(days=-days if back else days)).isoformat()
    return Slot("seed_day", Amount("date", moved, moved), why=turn.parse.text)


def _then(
    turn: Turn,
    now: Running,
    seed_day: Slot,
    species: Slot | None,
    program: Slot | None,
    plan: Slot | None,
    job: Slot | None,
) -> Running | None:
    """The other program: the rules that run, or those of the other kind, from the other day, with the other grass."""
    if program is None and plan is None and job is None:
        return Running(turn, now.rules, seed_day, now.state, species or now.species)
    form = now.rules.get("form", "liquid")
    chosen = program or Slot("program", f"feeding.{form}")
    if plan is None and job is None and "plan" in now.rules:
        plan = Slot("plan", f"program.{now.rules['plan']}")
    return running(turn, seed_day, chosen, species or now.species, job, plan)


def differences(now: Running, then: Running) -> tuple[list[str], tuple[Figure, ...]]:
    """One row a step whose days differ, and both days as figures."""
    old, new = ({step.id: step for step in one.steps()} for one in (now, then))
    rows, figures = [], []
    for step in by_date([*new.values(), *(step for key, step in old.items() if key not in new)]):
        before, after = old.get(step.id), new.get(step.id)
        if step.care or (before and after and _same(before, after)):
            continue
        title = capital(step.title)
        rows.append(f"{title}: {_in_words(before)}, then {_in_words(after)}{_apart(before, after)}.")
        figures += [
            Figure(f"{step.title}, {label}", day=one.day, until=one.until)
            for label, one in (("as it is", before), ("then", after))
            if one and one.state != "dropped"
        ]
    return rows, tuple(figures)


def _same(one: Step, other: Step) -> bool:
    if one.state == "dropped" or other.state == "dropped":
        return one.state == other.state
    return (one.day, one.until) == (other.day, other.until)


def _in_words(step: Step | None) -> str:
    if step is None:
        return "not in it"
    if step.state == "dropped":
        return f"dropped ({step.moved_by})"
    return day_words(step.day)


def _apart(before: Step | None, after: Step | None) -> str:
    if before is None or after is None or "dropped" in (before.state, after.state):
        return ""
    days = (after.day - before.day).days
    return f", {abs(days)} day{'' if abs(days) == 1 else 's'} {'later' if days > 0 else 'earlier'}" if days else ""


def _changed(turn: Turn, now: Running, then: Running, day: Slot, species: Slot | None) -> list[str]:
    said = []
    if day.amount.day != now.seed_day.amount.day:
        said.append(f"seed day {day_words(day.amount.day)}")
    if species:
        said.append(turn.knowledge.name(str(species.value)))
    if then.rules["name"] != now.rules["name"]:
        said.append(f"the {then.name}")
    return said or ["the same"]


def _seed_needed(turn: Turn, species: Slot | None) -> list[str]:
    """How much seed each grass takes, where another one is asked about and the area is known."""
    known = turn.lawn.facts if turn.lawn else {}
    area, grass = known.get("area"), known.get("species")
    if species is None or area is None or grass is None or grass.value == species.value:
        return []
    from assistant.skills.area import total_of

    size: Any = total_of(area)
    said = []
    for key in (str(grass.value), str(species.value)):
        rows = turn.knowledge.rows(f"{key}.seeding_rate")
        if rows:
            total = over_range(lambda rate: rate * size, rows[0].amount.q)
            said.append(f"{turn.say(total, 'lb')} of {turn.knowledge.name(key)}")
    return [f"Seed for a new lawn of {turn.say(size, 'sq_ft')}: {' against '.join(said)}."] if len(said) == 2 else []


def _nitrogen(now: Running, then: Running) -> list[str]:
    if now.rules["name"] == then.rules["name"]:
        return []
    return [f"{one.title}: {one.put_down()}." for one in (now, then)]


def _room(turn: Turn, now: Running, then: Running, species: Slot | None) -> list[str]:
    """How the other seed day lies in the season."""
    day = then.seed_day.amount.day
    if day == now.seed_day.amount.day:
        return []
    known = turn.lawn.facts if turn.lawn else {}
    last = closes(turn, species or known.get("species"), known.get("state"))
    if last is None:
        return ["How it lies in the season hangs on your state or first freeze; tell me one."]
    left = (last - day).days
    if left < 0:
        return [f"That is {-left} days past the end of the window, {day_words(last)}."]
    return [f"The window closes on {day_words(last)}, {left} days after that seed day."]


def renew(turn: Turn, seed_day: Slot | None = None, place: Slot | None = None) -> Answer:
    """Take the rules of today for a program that was started on older ones; undo brings the old ones back."""
    plan = running(turn, seed_day, None) if seed_day else None
    newer = plan.newer() if plan else None
    if plan is None or newer is None or plan.state.program is None:
        return Answer(ANSWERED, "Its rules are those of today; there is nothing to renew.")
    rows, figures = differences(plan, newer)
    today = turn.now.day.isoformat()
    body = {"program": plan.state.program["program"], "rules": newer.rules, "renews": True}
    event = Event(kinds.STARTED, plan.state.name, turn.parse.text, today, today, body)
    return Answer(
        RECORDED,
        f"{plan.title} runs on the rules of today: {len(rows)} date{'' if len(rows) == 1 else 's'} moved.",
        figures=figures,
        lines=tuple(rows),
        events=(event,),
    )
