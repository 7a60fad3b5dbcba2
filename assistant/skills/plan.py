"""The program of a lawn: begin it, what is next, the whole of it, and what was done."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, REFUSED, Answer, Ask, Figure, amount_words
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import Step, beside, by_date, next_of
from assistant.lawn.state import fold
from assistant.skills.running import Running, days, each, program_ask, running, short_ask, when
from assistant.skills.turn import Turn
from assistant.terms import Amount, Slot, day_words

_STEPS = {"step.first": "feed.first", "step.second": "feed.second", "step.third": "feed.third", "step.seed": "seed"}
_SEED_DAY = Ask("seed_day", "When did you seed, or when will you? That day is day 0.")
_AREA = Ask("area", "How big is the area? Square feet, or length by width.")
_WITHOUT_SEED = {"program.warm_fall"}
_SPECIES = Ask("species", "Which grass did you sow? For example tall fescue, Kentucky bluegrass or perennial ryegrass.")


def start(
    turn: Turn,
    seed_day: Slot | None = None,
    program: Slot | None = None,
    area: Slot | None = None,
    species: Slot | None = None,
    place: Slot | None = None,
    job: Slot | None = None,
    plan: Slot | None = None,
    state: Slot | None = None,
) -> Answer:
    """Begin a program: its rules as they stand today go into the record and stay with the lawn."""
    if seed_day is None and plan is not None and str(plan.value) in _WITHOUT_SEED:
        day = turn.now.day.isoformat()
        seed_day = Slot("seed_day", Amount("date", day, day), "assumed", "it begins today")
    if seed_day is None:
        return Answer(ASKS, "Everything is counted from seed day.", asks=_SEED_DAY)
    plan_made = running(turn, seed_day, program, species, job, plan)
    if plan_made is None:
        return Answer(ASKS, "", asks=program_ask(turn, seed_day, job, plan), inputs=_inputs(seed_day, area, species))
    before = turn.lawn.program if turn.lawn else None
    steps = by_date(plan_made.steps())
    lines = [plan_made.line(step) for step in steps]
    if plan_made.took:
        lines.insert(0, plan_made.took)
    if before and plan_made.begun:
        lines.insert(0, f"It takes the place of the {before['rules']['name']}.")
    return Answer(
        RECORDED if plan_made.begun else ANSWERED,
        f"{plan_made.title} from {day_words(seed_day.amount.day)}, day 0.",
        lines=tuple(lines),
        figures=days(*steps),
        inputs=_inputs(seed_day, program, area, species),
        cautions=_cautions_of(plan_made),
        sources=turn.cite(*plan_made.sources),
        events=plan_made.begun,
    )


def _cautions_of(plan: Running) -> tuple[str, ...]:
    """What is said with a program that has work in it which can hurt somebody."""
    words = plan.turn.knowledge.entry("thresholds.cautions")
    kinds_in = {step.kind for step in plan.steps() if step.open}
    said = [words[name] for name, found in (("label", {"kill", "weed"}), ("dig", {"call"})) if kinds_in & found]
    return tuple(said)


def next(
    turn: Turn,
    seed_day: Slot | None = None,
    program: Slot | None = None,
    area: Slot | None = None,
    species: Slot | None = None,
    place: Slot | None = None,
    step: Slot | None = None,
) -> Answer:
    """What to do next, or when a named step is. Without a program, what each would have next; it asks one short thing at a time."""
    if seed_day is None:
        return Answer(ASKS, "To tell you what comes next I need four things, one at a time.", asks=_SEED_DAY)
    plan = running(turn, seed_day, program, species)
    if plan is None:
        return _either_next(turn, seed_day, area, species)
    steps = plan.steps()
    coming = _target(steps, step) if step else next_of(steps)
    inputs = _inputs(seed_day, program, area, species)
    if coming is None:
        lines = tuple(plan.line(one) for one in by_date(steps))
        return Answer(ANSWERED, "Every step of the program is done.", lines=lines, inputs=inputs, events=plan.begun)
    late, laws = plan.late_season(coming)
    lines = (
        plan.waiting(coming),
        *plan.amount_lines(coming, area),
        f"Why then: {coming.moved_by or coming.why}.",
        *(f"Beside it: {one.title}, to {day_words(one.until)}; {one.why}." for one in beside(steps) if one != coming),
        *too_late(turn, coming, plan),
    )
    return Answer(
        ANSWERED,
        f"{coming.title.capitalize()}: {when(coming)}.",
        lines=lines,
        figures=days(coming),
        inputs=inputs,
        sources=turn.cite(coming.source, *plan.sources, *laws),
        asks=_AREA if area is None else (_SPECIES if species is None else None),
        events=plan.begun,
        cautions=late,
        why=plan.chain(coming),
    )


def too_late(turn: Turn, step: Step, plan: Running) -> list[str]:
    """What is left where the latest start of a step is past: the choices of its rule, and the seed day that would fit."""
    rule = plan.rule(step)
    if not step.late or "too_late" not in rule:
        return []
    return [f"Too late for it by {step.late} day{'s' if step.late > 1 else ''}: {rule['too_late']}."]


def _either_next(turn: Turn, seed_day: Slot, area: Slot | None, species: Slot | None) -> Answer:
    """No program is chosen: what comes next on each, and the question which."""
    lines: list[str] = []
    figures: list[Figure] = []
    sources: list[str] = []
    for plan in each(turn, seed_day, species):
        step = next_of(plan.steps())
        lines.append(f"On the {plan.name}: {f'{step.title} on {when(step)}' if step else 'all done'}.")
        figures += days(step) if step else ()
        sources += plan.sources
    age = (turn.now.day - seed_day.amount.day).days
    today = f"Seed day is in {-age} days, {day_words(seed_day.amount.day)}." if age < 0 else f"Today is day {age}."
    return Answer(
        ASKS,
        f"{today} What comes next hangs on the program.",
        lines=tuple(lines),
        figures=tuple(figures),
        inputs=_inputs(seed_day, area, species),
        asks=program_ask(turn, seed_day),
        sources=turn.cite(*sources),
    )


def show(
    turn: Turn,
    seed_day: Slot | None = None,
    program: Slot | None = None,
    area: Slot | None = None,
    place: Slot | None = None,
) -> Answer:
    """The whole program with its dates, done and to come."""
    if seed_day is None:
        return Answer(ASKS, "There is no program yet.", asks=_SEED_DAY)
    plan = running(turn, seed_day, program)
    if plan is None:
        return Answer(ASKS, "No program is chosen yet.", asks=short_ask(turn), inputs=_inputs(seed_day))
    steps = by_date(plan.steps())
    return Answer(
        ANSWERED,
        f"{plan.title}, seed day {day_words(seed_day.amount.day)}.",
        lines=tuple(plan.line(step) for step in steps),
        figures=days(*steps),
        inputs=_inputs(seed_day, program, area),
        sources=turn.cite(*plan.sources),
        events=plan.begun,
        why=tuple(line for step in steps if step.moved_by for line in plan.chain(step)),
    )


def log(
    turn: Turn,
    step: Slot | None = None,
    happened_on: Slot | None = None,
    late_by: Slot | None = None,
    early_by: Slot | None = None,
    quantity: Slot | None = None,
    product: Slot | None = None,
    rate: Slot | None = None,
    temperature: Slot | None = None,
    tool: Slot | None = None,
    place: Slot | None = None,
    seed_day: Slot | None = None,
    program: Slot | None = None,
) -> Answer:
    """Record a step as done, late, early or skipped; what moves because of it is said."""
    if seed_day is None:
        return Answer(ASKS, "I have no seed day to count from, so nothing is recorded yet.", asks=_SEED_DAY)
    chosen = running(turn, seed_day, program)
    if chosen is None and (late_by or early_by):
        words = "Which day it was due hangs on the program, and none is chosen yet. Nothing is recorded yet."
        return Answer(ASKS, words, asks=short_ask(turn))
    plan = chosen or each(turn, seed_day)[0]
    target = _target(plan.steps(), step)
    if target is None:
        known = ", ".join(one.title for one in plan.steps())
        return Answer(ASKS, "I do not know which step you mean.", asks=Ask("step", f"Which one: {known}?"))
    body: dict[str, Any] = {"step": target.id, "title": target.title}
    body |= {slot.name: slot.amount.to_plain() for slot in (quantity, rate, temperature) if slot}
    body |= {slot.name: slot.value for slot in (tool, product) if slot}
    today = turn.now.day
    day, offset = _day_of(target, happened_on, late_by, early_by, today)
    lawn, text, said = plan.state.name, turn.parse.text, today.isoformat()
    if _says_skipped(turn):
        event = Event(kinds.SKIPPED, lawn, text, said, said, body)
        words = f"{target.title.capitalize()} skipped."
    elif day > today:
        event = Event(kinds.MOVED, lawn, text, said, said, {**body, "day": day.isoformat()})
        words = f"{day_words(day)} is still to come, so the {target.title} is moved to it and not logged as done."
        kept = _kept_from(plan, event)
        if kept:
            return Answer(REFUSED, f"{kept} Nothing was moved.")
    elif day < seed_day.amount.day:
        first = day_words(seed_day.amount.day)
        return Answer(REFUSED, f"{day_words(day)} is before seed day, {first}. Which is right? Nothing was recorded.")
    else:
        event = Event(kinds.DONE, lawn, text, said, day.isoformat(), body)
        words = f"{target.title.capitalize()} done on {day_words(day)}, day {(day - seed_day.amount.day).days}{offset}."
        if _known(plan, event):
            return Answer(ANSWERED, f"{target.title.capitalize()} on {day_words(day)} is on record already.")
    return _recorded(plan, event, words, chosen is not None)


def facts(
    turn: Turn,
    place: Slot | None = None,
    area: Slot | None = None,
    species: Slot | None = None,
    seed_day: Slot | None = None,
) -> Answer:
    """What is on record of a lawn, each fact with what was said and when."""
    known = turn.lawn.facts if turn.lawn else {}
    if not known:
        return Answer(
            REFUSED,
            "Nothing is on record of that lawn yet. Tell me, for example: the back is 3,100 sq ft of tall fescue.",
        )
    rows = []
    for slot in known.values():
        value = amount_words(slot.amount) if isinstance(slot.value, Amount) else turn.knowledge.name(str(slot.value))
        rows.append(
            f'{slot.name.replace("_", " ").capitalize()}: {value}, said as "{slot.why}" on {day_words(date.fromisoformat(slot.said_on))}'
        )
    name = turn.lawn.name if turn.lawn else ""
    shown = [slot for slot in known.values() if slot.name == "area"]
    figures = tuple(turn.figure("area", slot.q, slot.amount.unit) for slot in shown)
    return Answer(
        ANSWERED, f"{name[:1].upper()}{name[1:]}:", lines=tuple(rows), figures=figures, inputs=tuple(known.values())
    )


def tell(turn: Turn, place: Slot | None = None, area: Slot | None = None, species: Slot | None = None) -> Answer:
    """Facts of a lawn: the dialogue records what was said; there is nothing to work out."""
    return Answer(RECORDED, "", inputs=_inputs(area, species))


def due(turn: Turn, day: Slot | None = None) -> Answer:
    """What is due on all lawns; that file looks at them together."""
    from assistant.skills.lawns import due as of_all

    return of_all(turn, day)


def _target(steps: tuple[Step, ...], step: Slot | None) -> Step | None:
    """The step that was meant: the one named, or the next feed."""
    if step is not None and str(step.value).startswith("step."):
        found = [one for one in steps if one.id == _STEPS.get(str(step.value))]
        return found[0] if found else None
    return next_of(tuple(one for one in steps if one.kind == "feed"))


def _day_of(
    target: Step, happened_on: Slot | None, late_by: Slot | None, early_by: Slot | None, today: date
) -> tuple[date, str]:
    """The day it happened: said, or so many days off the day it was due."""
    off = late_by or early_by
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
    after = plan.steps(fold(plan.state.name, (*plan.state.live, *plan.begun, event)))
    step = next_of(tuple(one for one in after if one.id == event.body["step"]))
    if step and step.day.isoformat() != event.body["day"]:
        return f"The program keeps the {step.title} on {when(step)}: {step.moved_by}."
    return ""


def _too_soon(plan: Running, event: Event) -> list[str]:
    """Said where a step was done closer to the one before it than the program allows."""
    rule = [one for one in plan.rules["steps"] if one["id"] == event.body["step"]][0]
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


def _recorded(plan: Running, event: Event, words: str, program_chosen: bool) -> Answer:
    """The answer to something recorded, with every date that it moved."""
    before = plan.steps()
    state = fold(plan.state.name, (*plan.state.live, *plan.begun, event))
    after = plan.steps(state)
    lines = _too_soon(plan, event)
    why: list[str] = []
    for old, new in zip(before, after, strict=True):
        if new.state in ("due", "coming") and new.day != old.day and new.id != event.body["step"]:
            lines.append(
                f"{new.title.capitalize()} moves from {day_words(old.day)} to {when(new)}: {new.moved_by or new.why}."
            )
            why += plan.chain(new, state)
    upcoming = next_of(after)
    if not program_chosen:
        return Answer(
            RECORDED,
            words,
            inputs=_inputs(plan.seed_day),
            events=(event,),
            asks=short_ask(plan.turn),
        )
    if upcoming:
        lines.append(f"Next: {upcoming.title}, {when(upcoming)}.")
        why += plan.chain(upcoming, state) if not why else ()
    return Answer(
        RECORDED,
        words,
        lines=tuple(lines),
        figures=days(*(step for step in after if step.state in ("due", "coming"))),
        inputs=_inputs(plan.seed_day),
        events=(*plan.begun, event),
        why=tuple(dict.fromkeys(why)),
    )


def compare(
    turn: Turn,
    seed_day: Slot | None = None,
    area: Slot | None = None,
    program: Slot | None = None,
    product: Slot | None = None,
    form: Slot | None = None,
) -> Answer:
    """The programs side by side: feeds, what they put down, and what speaks for and against each."""
    day = turn.now.day.isoformat()
    anchor = seed_day or Slot("seed_day", Amount("date", day, day))
    lines: list[str] = []
    figures: list[Figure] = []
    short: list[str] = []
    sources: list[str] = []
    for plan in each(turn, anchor):
        totals = plan.totals()
        lines.append(f"{plan.title}: {plan.rules['in_short']}; {plan.put_down()}.")
        lines += [f"  {said}" for said in plan.rules["speaks"]]
        figures += [
            turn.figure(f"{which}, {plan.name}", value, "lb", "1000 sq_ft", of=which) for which, value in totals.items()
        ]
        short.append(f"{turn.say(totals['N'], 'lb', '1000 sq_ft')} with the {plan.name}")
        sources.append(plan.rules["source"])
    return Answer(
        ANSWERED,
        f"Nitrogen over the season: {' or '.join(short)}",
        figures=tuple(figures),
        lines=tuple(lines),
        inputs=tuple(slot for slot in (seed_day, area) if slot),
        sources=turn.cite(*sources),
    )


def _inputs(*slots: Slot | None) -> tuple[Slot, ...]:
    return tuple(slot for slot in slots if slot)
