"""The program of a lawn: begin it, what is next, the whole of it, and what was done."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime, time
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, REFUSED, Answer, Ask, Figure, amount_words
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import Step, beside, by_date, due_as_well, next_of
from assistant.skills.account import weight_in_doubt
from assistant.skills.area import total_of
from assistant.skills.running import SEED_DAY, Running, days, each, program_ask, running, short_ask, step_named, when
from assistant.skills.turn import Turn
from assistant.terms import Amount, Now, Slot, capital, day_words

_AREA = Ask("area", "How big is the area? Square feet, or length by width.")
_OF_THE_LAWN = re.compile(r"\b(lawn|yard|whole|property|place|all of it)\b", re.IGNORECASE)
_WITHOUT_SEED = {"program.warm_fall"}
_SPECIES = Ask("species", "Which grass did you sow? For example tall fescue, Kentucky bluegrass or perennial ryegrass.")

_NO_DEEDS = (kinds.TOLD, kinds.STARTED)  # what was told of a lawn, and the program it runs
_SHOWN = 5  # entries of its history that stand below the facts of a lawn


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
    seeded_with: Slot | None = None,
    seeded_at: Slot | None = None,
) -> Answer:
    """Begin a program: its rules as they stand today go into the record and stay with the lawn."""
    doubt = weight_in_doubt(turn, seeded_with, area, species)
    if doubt is not None:
        return Answer(ASKS, "", asks=doubt, inputs=_inputs(seed_day, area, species))
    if seed_day is None and plan is not None and str(plan.value) in _WITHOUT_SEED:
        day = turn.now.day.isoformat()
        seed_day = Slot("seed_day", Amount("date", day, day), "assumed", "it begins today")
    if seed_day is None:
        return Answer(ASKS, "Everything is counted from seed day.", asks=SEED_DAY)
    plan_made = running(turn, seed_day, program, species, job, plan)
    if plan_made is None:
        ask = program_ask(turn, seed_day, job, plan)
        return Answer(ASKS, "", lines=_still_to_come(turn, seed_day), asks=ask, inputs=_inputs(seed_day, area, species))
    before = turn.lawn.program if turn.lawn else None
    seed = {"quantity": seeded_with.amount.to_plain()} if seeded_with else {}
    plan_made = replace(plan_made, begun=tuple(replace(one, body={**one.body, **seed}) for one in plan_made.begun))
    sown = _sown_as_planned(turn, plan_made, seed)
    if sown:
        plan_made = replace(plan_made, state=plan_made.after(*sown).state)
    steps = by_date(plan_made.steps())
    day_before = turn.lawn.day_zero if turn.lawn and not plan_made.begun else None
    if day_before and day_before.amount.day != seed_day.amount.day:
        return _recounted(plan_made, day_before)
    lines = [plan_made.line(step) for step in steps]
    against = plan_made.against()
    lines += [f"{part.title}: {part.line(step)}" for part in plan_made.parts() for step in part.steps() if step.open]
    lines[:0] = [f"Against this seed day: {why}." for why, _ in against]
    if plan_made.took:
        lines.insert(0, plan_made.took)
    lines[:0] = _still_to_come(turn, seed_day)
    if before and plan_made.begun:
        lines.insert(0, f"It takes the place of the {before['rules']['name']}.")
    return Answer(
        RECORDED if plan_made.begun or sown else ANSWERED,
        f"{plan_made.title} from {day_words(seed_day.amount.day)}, day 0.",
        lines=tuple(lines),
        figures=days(*steps),
        inputs=_inputs(seed_day, program, area, species, seeded_with, seeded_at),
        cautions=(*plan_made.over_cap(*steps)[0], *_cautions_of(plan_made)),
        sources=turn.cite(*plan_made.sources, *plan_made.over_cap(*steps)[1], *(source for _, source in against)),
        events=(*plan_made.begun, *sown),
    )


def _still_to_come(turn: Turn, seed_day: Slot) -> tuple[str, ...]:
    """`seeded on october 10`, told in September: the year may be the one before."""
    terms, day = turn.parse.terms, seed_day.amount.day
    if day <= turn.now.day or "seeded" not in terms or "seeding" in terms:
        return ()
    return (f"{day_words(day)} is still to come. If it was a year ago, say so with its year: {day.year - 1}.",)


def _recounted(plan: Running, day_before: Slot) -> Answer:
    """A program that goes on from another seed day: what moves, and what is next."""
    against = [f"Against this seed day: {why}." for why, _ in plan.against()]
    following = plan.next()
    ahead = [f"Next: {plan.line(following)}."] if following else []
    return Answer(
        RECORDED if plan.seed_day.origin == "said" else ANSWERED,
        f"{plan.title}: it counts from {day_words(plan.seed_day.amount.day)} now, not from {day_words(day_before.amount.day)}.",
        lines=(*against, *plan.recounted(day_before), *ahead),
        figures=days(*by_date(plan.steps())),
        inputs=_inputs(plan.seed_day),
        sources=plan.turn.cite(*plan.sources, *(source for _, source in plan.against())),
    )


def _sown_as_planned(turn: Turn, plan: Running, seed: dict[str, Any]) -> tuple[Event, ...]:
    """Seed that went down on the very day that was planned: the day is on record, that it was done is not."""
    seed_day = plan.seed_day
    known = turn.lawn.facts.get("seed_day") if turn.lawn else None
    step = next_of(one for one in plan.steps() if one.kind == "sow")
    day = seed_day.amount.low
    if seed_day.origin != "said" or step is None or known is None or known.amount.low != day:
        return ()
    if seed_day.amount.day > turn.now.day:
        return ()
    body = {"step": step.id, "title": step.title, **seed}
    return (Event(kinds.DONE, plan.state.name, turn.parse.text, turn.now.day.isoformat(), day, body),)


def _cautions_of(plan: Running) -> tuple[str, ...]:
    """What is said with a program that has work in it which can hurt somebody."""
    words = plan.turn.knowledge.entry("cautions")
    kinds_in = {step.kind for step in plan.steps() if step.open}
    said = [words[name] for name, found in (("label", {"kill", "weed"}), ("utilities", {"call"})) if kinds_in & found]
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
        return Answer(ASKS, "To tell you what comes next I need four things, one at a time.", asks=SEED_DAY)
    plan = running(turn, seed_day, program, species)
    if plan is None:
        return _either_next(turn, seed_day, area, species, step)
    steps = plan.steps()
    coming = _asked_for(turn, steps, step) if step else next_of(steps)
    inputs = _inputs(seed_day, program, area, species)
    if coming is None and step and not str(step.value).startswith("step."):
        upcoming = next_of(steps)
        coming_up = (f"What comes next: {upcoming.title}, {when(upcoming)}.",) if upcoming else ()
        return Answer(ANSWERED, "No feed is left to put down.", lines=coming_up, inputs=inputs)
    if coming is None and step:
        known = ", ".join(one.title for one in steps)
        return Answer(ANSWERED, f"The {plan.name} has no such step.", lines=(f"It has: {known}.",), inputs=inputs)
    if coming is None:
        lines = tuple(plan.line(one) for one in by_date(steps))
        return Answer(ANSWERED, "Every step of the program is done.", lines=lines, inputs=inputs, events=plan.begun)
    late, laws = plan.late_season(coming)
    over, caps = plan.over_cap(coming)
    lines = (
        plan.waiting(coming),
        *plan.amount_lines(coming, area),
        f"Why then: {coming.moved_by or coming.why}.",
        *too_late(coming, plan),
        *(_due_line(plan, one) for one in due_as_well(steps, coming)),
        *(f"Beside it: {one.title}, to {day_words(one.until)}; {one.why}." for one in beside(steps) if one != coming),
        *(f"Against this seed day: {why}." for why, _ in plan.against()),
        *(_part_line(part) for part in plan.parts()),
    )
    return Answer(
        ANSWERED,
        f"{coming.title.capitalize()}: {when(coming)}.",
        lines=lines,
        figures=days(coming),
        inputs=inputs,
        sources=turn.cite(coming.source, *plan.sources, *laws, *caps),
        asks=_AREA if area is None else (_SPECIES if species is None else None),
        events=plan.begun,
        cautions=(*late, *over),
        why=plan.chain(coming),
    )


def _asked_for(turn: Turn, steps: tuple[Step, ...], step: Slot) -> Step | None:
    """The step that is named; a product means the next feed."""
    if str(step.value).startswith("step."):
        return step_named(turn, steps, step)
    return next_of(one for one in steps if one.kind == "feed")


def _due_line(plan: Running, step: Step) -> str:
    late = f", {step.late} day{'s' if step.late > 1 else ''} late" if step.late else ""
    choices = plan.rule(step).get("too_late", "") if step.late else ""
    return f"Due as well: {step.title}, {when(step)}{late}{f': {choices}' if choices else ''}."


def _part_line(part: Running) -> str:
    """What comes next on a part that counts its own days."""
    steps = part.steps()
    step = next_of(steps)
    age = (part.turn.now.day - part.seed_day.amount.day).days
    return f"{part.title}, day {age}: {f'{step.title}, {when(step)}' if step else 'nothing more'}."


def too_late(step: Step, plan: Running) -> list[str]:
    """What is left where the latest start of a step is past: the choices of its rule, and the seed day that would fit."""
    rule = plan.rule(step)
    if not step.late or "too_late" not in rule:
        return []
    return [f"Too late for it by {step.late} day{'s' if step.late > 1 else ''}: {rule['too_late']}."]


def _as_planned(turn: Turn, seed_day: Slot) -> Turn:
    """The turn as of seed day, where nothing is on record of what was done since: the dates as each program has them."""
    if (turn.lawn and turn.lawn.applied) or seed_day.amount.day >= turn.now.day:
        return turn
    return replace(turn, now=Now(datetime.combine(seed_day.amount.day, time())))


def _either_next(turn: Turn, seed_day: Slot, area: Slot | None, species: Slot | None, asked: Slot | None) -> Answer:
    """No program is chosen: what comes next on each, or when the step asked for is, and the question which."""
    lines: list[str] = []
    figures: list[Figure] = []
    sources: list[str] = []
    fed = bool(turn.lawn and turn.lawn.applied)  # which of their steps that was is not known before one is chosen
    for plan in each(_as_planned(turn, seed_day), seed_day, species):
        steps = plan.steps()
        ahead = next_of(one for one in steps if one.until >= turn.now.day)
        step = _asked_for(turn, steps, asked) if asked else ahead
        down = [one.title for one in steps if one.kind == "feed" and one.until < turn.now.day and not (asked or fed)]
        words = f"{step.title} on {when(step)}" if step else "it has no such step" if asked else "all done"
        words += f"; {' and '.join(down)} should be down by now" if down else ""
        lines.append(f"On the {plan.name}: {words}.")
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
        return Answer(ASKS, "There is no program yet.", asks=SEED_DAY)
    plan = running(turn, seed_day, program)
    if plan is None:
        return Answer(ASKS, "No program is chosen yet.", asks=short_ask(turn), inputs=_inputs(seed_day))
    steps = by_date(plan.steps())
    return Answer(
        ANSWERED,
        f"{plan.title}, {plan.first_day}.",
        lines=(
            *(f"Against this seed day: {why}." for why, _ in plan.against()),
            *(plan.line(step) for step in steps),
            *(f"{part.title}: {part.line(step)}" for part in plan.parts() for step in part.steps() if step.open),
            *_newer(plan),
        ),
        figures=days(*steps),
        inputs=_inputs(seed_day, program, area),
        sources=turn.cite(*plan.sources),
        events=plan.begun,
        why=tuple(line for step in steps if step.moved_by for line in plan.chain(step)),
    )


def _newer(plan: Running) -> list[str]:
    """Newer rules are offered with the dates that they would move; they are taken only when that is said."""
    from assistant.skills.whatif import differences

    newer = plan.newer()
    if newer is None:
        return []
    rows, _ = differences(plan, newer)
    if not rows:
        return ['Newer rules of this program are there; they move no date. To take them say "take the new rules".']
    head = f'Newer rules of this program would move {len(rows)} date{"" if len(rows) == 1 else "s"}; to take them say "take the new rules":'
    return [head, *(f"  {row}" for row in rows)]


def facts(
    turn: Turn,
    place: Slot | None = None,
    area: Slot | None = None,
    species: Slot | None = None,
    seed_day: Slot | None = None,
) -> Answer:
    """What is on record of a lawn, each fact with what was said and when."""
    known = turn.lawn.facts if turn.lawn else {}
    done = [event for event in turn.lawn.live if event.kind not in _NO_DEEDS] if turn.lawn else []
    if not known and not done:
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
    rows += _last_done(done)
    name = turn.lawn.name if turn.lawn else ""
    shown = [slot for slot in known.values() if slot.name == "area"]
    figures = tuple(turn.figure("area", slot.q, slot.amount.unit) for slot in shown)
    return Answer(ANSWERED, f"{capital(name)}:", lines=tuple(rows), figures=figures, inputs=tuple(known.values()))


def _last_done(done: list[Event]) -> list[str]:
    """What was done last on a lawn, the newest first, and how to see all of it."""
    if not done:
        return []
    from assistant.skills.account import entry_of  # with the units, which the facts alone do without

    newest = sorted(done, key=lambda event: (event.happened_on, event.seq), reverse=True)
    more = [f'{len(newest) - _SHOWN} more; say "show the record" for all of it.'] if len(newest) > _SHOWN else []
    return [*(entry_of(event) for event in newest[:_SHOWN]), *more]


def tell(
    turn: Turn,
    place: Slot | None = None,
    area: Slot | None = None,
    species: Slot | None = None,
    state: Slot | None = None,
    site: Slot | None = None,
) -> Answer:
    """Facts of a lawn: the dialogue records what was said, on the lawn that place or site names; nothing is worked out."""
    if area is not None and _is_of_a_part(turn, place):
        said = turn.say(total_of(area), "sq_ft")
        return Answer(
            REFUSED,
            f"Is {said} the lawn, or the part that was spoken of last? Nothing was recorded: say for example the lawn is {said}.",
        )
    return Answer(RECORDED, "", inputs=_inputs(area, species, state))


def _is_of_a_part(turn: Turn, place: Slot | None) -> bool:
    """True for a size that is told right after something that was seen on a part of a lawn, and names no lawn."""
    seen = turn.last.events if turn.last else ()
    known = turn.lawn.facts.get("area") if turn.lawn else None
    of_part = any(event.kind in (kinds.SEEN, kinds.RESOWN) for event in seen)
    return bool(of_part and known and place is None and not _OF_THE_LAWN.search(turn.parse.text))


def limit(turn: Turn, nitrogen_limit: Slot, place: Slot | None = None) -> Answer:
    """The limit of nitrogen a year at this place: a fact of the lawn."""
    return Answer(RECORDED, "", inputs=(nitrogen_limit,))


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
