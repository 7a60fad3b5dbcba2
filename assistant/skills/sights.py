"""What is seen on a lawn or happens to it: kept with its day, and the dates that hang on it move."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from assistant.answer import ASKS, RECORDED, REFUSED, Answer, Ask, amount_words
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import next_of
from assistant.skills.running import SEED_DAY, Changed, Running, days, each, running, running_or_first, when
from assistant.skills.turn import Turn
from assistant.terms import Slot, capital, day_words

_ANY_FEED = "product.fertilizer"
_DIG = "Dig for a few seeds: plump and white inside, wait a week; soft or gone, sow again while the season allows it."
_OF_SEED = {"up", "not_up", "patchy", "washed"}  # these hang on a seed day
# what is held off its days: the words for it, the kinds of step, and what it does to seed
_HOLDS = {
    "heat": ("heat wave", ("feed", "sow", "weed"), "heat dries and burns what has just sprouted"),
    "ban": ("watering ban", ("sow",), "seed that cannot be watered dies"),
}


def seen(turn: Turn, sight: Slot, **slots: Slot | None) -> Answer:
    """Keep a sight and say what it moves; where it calls for a decision, say the choices."""
    key = str(sight.value).partition(".")[2]
    seed_day = slots.get("seed_day")
    if key in _OF_SEED and seed_day is None:
        return Answer(ASKS, "I have no seed day to count from, so nothing is recorded yet.", asks=SEED_DAY)
    plan = _plan(turn, slots)
    said = slots.get("day")
    day = said.amount.day if said else turn.now.day
    if key in _HOLDS:
        return _held(turn, plan, key, said)
    if key == "ban_over":
        event = _event(turn, kinds.LIFTED, turn.now.day, {"what": _HOLDS["ban"][0]})
        return Answer(RECORDED, "Watering is allowed again.", events=(event,))
    if key in ("ran_out", "restocked"):
        return _stock(turn, plan, key, slots.get("product"))
    if key not in ("hard_freeze", "frost") and day > turn.now.day:
        return Answer(REFUSED, f"{day_words(day)} is still to come; tell me when you see it.")
    event = _event(turn, kinds.SEEN, day, {"what": key})
    if plan is None:
        guess = (
            each(turn, seed_day, slots.get("species"))[0]
            if seed_day and key in _OF_SEED and day >= seed_day.amount.day
            else None
        )
        lines = _said_of(turn, guess, key, day) if guess else []
        return Answer(RECORDED, f"Kept: {sight_words(key)}, {day_words(day)}.", lines=tuple(lines), events=(event,))
    if plan.seed_day.amount.day > day and key in _OF_SEED:
        return Answer(
            REFUSED,
            f"{day_words(day)} is before seed day, {day_words(plan.seed_day.amount.day)}. Nothing was recorded.",
        )
    changed = plan.after(event)
    lines = [*_said_of(turn, plan, key, day), *changed.lines]
    return _kept(
        plan,
        changed,
        event,
        f"{capital(sight_words(key))} on {day_words(day)}{_age(plan, day)}.",
        lines,
    )


def sight_words(key: str) -> str:
    """What a sight is called."""
    return {
        "up": "up",
        "not_up": "nothing up yet",
        "patchy": "up in patches",
        "washed": "seed washed out",
        "hard_freeze": "a hard freeze",
        "frost": "a frost",
    }[key]


def resown(
    turn: Turn, job: Slot, seed_day: Slot | None = None, happened_on: Slot | None = None, **_: Slot | None
) -> Answer:
    """A part that was sown again counts from its own day, until it goes with the rest again."""
    if seed_day is None:
        return Answer(ASKS, "I have no seed day of the whole lawn yet.", asks=SEED_DAY)
    part = turn.knowledge.name(str(job.value)).replace("spots", "bare spots")
    held = turn.lawn.parts if turn.lawn else {}
    words = turn.parse.text.lower()
    if any(one in words for one in ("rest", "join", "caught up", "no longer apart")):
        if part not in held:
            return Answer(REFUSED, f"No part called {part} has a day count of its own.")
        event = _event(turn, kinds.JOINED, turn.now.day, {"part": part})
        return Answer(RECORDED, f"The {part} go with the rest again.", events=(event,))
    day = happened_on.amount.day if happened_on else turn.now.day
    if day > turn.now.day or day < seed_day.amount.day:
        return Answer(REFUSED, f"{day_words(day)} is not between seed day and today. Nothing was recorded.")
    event = _event(turn, kinds.RESOWN, day, {"part": part})
    plan = running_or_first(turn, seed_day)
    changed = plan.after(event)
    own = plan.part(part, changed.state)
    lines = [own.line(step) for step in own.steps() if step.open]
    return Answer(
        RECORDED,
        f"The {part} count from {day_words(day)}, their own day 0.",
        lines=(
            *lines,
            f'The feeds stay those of the whole lawn. Say "the {part} go with the rest again" once they match.',
        ),
        figures=days(*(step for step in own.steps() if step.open)),
        events=(event,),
    )


def _plan(turn: Turn, slots: dict[str, Slot | None]) -> Running | None:
    seed_day = slots.get("seed_day")
    return running(turn, seed_day, slots.get("program"), slots.get("species")) if seed_day else None


def _event(turn: Turn, kind: str, day: date, body: dict[str, Any]) -> Event:
    name = turn.lawn.name if turn.lawn else ""
    return Event(kind, name, turn.parse.text, turn.now.day.isoformat(), day.isoformat(), body)


def _age(plan: Running, day: date) -> str:
    age = (day - plan.seed_day.amount.day).days
    return f", day {age}" if 0 <= age <= 120 else ""


def _said_of(turn: Turn, plan: Running, key: str, day: date) -> list[str]:
    """What a sight means: how it compares with what was expected, and what can be done."""
    first, last = plan.expected()
    age = (day - plan.seed_day.amount.day).days
    span = f"day {first}" if first == last else f"day {first} to {last}"
    if key == "up":
        if plan.sleeps_on(day):
            return [
                "That is a winter sprout: hard frost may take it. Most of a dormant sowing wakes in spring, and no date moves."
            ]
        if plan.grass is None:
            return []
        early = "earlier than" if age < first else "later than" if age > last else "within"
        return [f"Expected on {span}; day {age} is {early} that."]
    if key == "not_up" and plan.grass is None:
        return [
            f"Day {age}. Whether that is late hangs on the grass: {_by_grass(turn)}. Tell me which you sowed.",
            _DIG,
        ]
    if key == "not_up":
        until = plan.seed_day.amount.day + timedelta(days=last)
        if day <= until:
            return [f"Nothing is wrong yet: expected on {span}, to {day_words(until)}. Keep it moist."]
        over = (day - until).days
        return [
            f"It is {over} day{'s' if over > 1 else ''} past day {last}, the latest that is printed for it.",
            _DIG,
        ]
    if key == "washed":
        return [
            'Rake the drifts level and sow what lies bare again; tell me "reseeded the bare spots" and that part counts anew.',
            _room_left(turn, plan),
        ]
    if key == "patchy":
        return [
            "Count a few small frames: seedlings per square inch against what was sown. Below a third, sow that part again (from memory, to be confirmed).",
            _room_left(turn, plan),
        ]
    return ["A light frost moves no date: keep off white grass until it has thawed."] if key == "frost" else []


def _by_grass(turn: Turn) -> str:
    """When the quickest and the slowest cool-season grass that we know are up."""
    cool = [key for key, grass in turn.knowledge.section("species").items() if grass["season"] == "cool"]
    first = {key: turn.knowledge.rows(f"species.{key}.days_to_germinate") for key in cool}
    known = {key: rows[0].amount for key, rows in first.items() if rows}
    ends = (min(known, key=lambda key: known[key].low), max(known, key=lambda key: known[key].high))
    return ", ".join(f"{amount_words(known[key])} for {turn.knowledge.name(f'species.{key}')}" for key in ends)


def _room_left(turn: Turn, plan: Running) -> str:
    """Whether the season still lets a part be sown again."""
    from assistant.skills.windows import closes

    last = closes(turn, plan.species or plan.state.facts.get("species"), plan.state.facts.get("state"))
    if last is None:
        return 'Whether the season allows it: ask "is it too late to seed" with your state or first freeze.'
    left = (last - turn.now.day).days
    return (
        f"The window closes on {day_words(last)}: {left} days left."
        if left >= 0
        else f"The window closed on {day_words(last)}: wait for dormant or spring seeding."
    )


def _held(turn: Turn, plan: Running | None, key: str, said: Slot | None) -> Answer:
    """Heat or a ban: steps of those kinds keep off its days."""
    words, held, harm = _HOLDS[key]
    if said is None:
        return Answer(
            ASKS, f"Until when is the {words}?", asks=Ask("day", "Until which day? For example until sep 20.")
        )
    if said.amount.day < turn.now.day:
        return Answer(REFUSED, f"{day_words(said.amount.day)} is over already. Nothing was recorded.")
    body = {"what": words, "kinds": list(held), "until": said.amount.low, "why": harm}
    event = _event(turn, kinds.HELD, turn.now.day, body)
    headline = f"{capital(words)} to {day_words(said.amount.day)}."
    if plan is None:
        return Answer(RECORDED, headline, events=(event,))
    changed = plan.after(event)
    lines = list(changed.lines) or ["It moves no date of the program."]
    seed_day = plan.seed_day.amount.day
    if "sow" in held and turn.now.day <= seed_day <= said.amount.day:
        lines.append(f"Your seed day {day_words(seed_day)} lies in it: {harm}. Tell me a later seed day.")
    return _kept(plan, changed, event, headline, lines)


def _stock(turn: Turn, plan: Running | None, key: str, product: Slot | None) -> Answer:
    """A product ran out, or came in again: steps that need it wait, or go on."""
    if product is None:
        return Answer(
            ASKS, "Of which product?", asks=Ask("product", "Which product: starter, root stimulant, fertilizer?")
        )
    name = turn.knowledge.name(str(product.value))
    products = turn.knowledge.either(str(product.value))
    what = f"{name} ran out"
    kind = kinds.HELD if key == "ran_out" else kinds.LIFTED
    any_feed = {"kinds": ["feed"]} if str(product.value) == _ANY_FEED else {"products": products}
    event = _event(turn, kind, turn.now.day, {"what": what, **any_feed})
    headline = f"{capital(what)}." if kind == kinds.HELD else f"{capital(name)} is there again."
    if plan is None:
        return Answer(RECORDED, headline, events=(event,))
    changed = plan.after(event)
    return _kept(plan, changed, event, headline, list(changed.lines) or ["It moves no date of the program."])


def _kept(plan: Running, changed: Changed, event: Event, headline: str, lines: list[str]) -> Answer:
    upcoming = next_of(changed.steps)
    coming = [f"Next: {upcoming.title}, {when(upcoming)}."] if upcoming else []
    return Answer(
        RECORDED,
        headline,
        lines=(*(line for line in lines if line), *coming),
        figures=days(*(step for step in changed.steps if step.open)),
        inputs=(plan.seed_day,),
        events=(*plan.begun, event),
        why=changed.why or (plan.chain(upcoming, changed.state) if upcoming else ()),
    )
