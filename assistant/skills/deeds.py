"""What was done on a lawn: a step of its program, a cut, or something else that went down. Recorded, and what moves is said."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, REFUSED, Answer, Ask, amount_words
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import BEFORE_SEED, DROPPED, DUE, Step, next_of
from assistant.lawn.state import LawnState, fold
from assistant.skills.labels import NUTRIENTS, amount_put, label_put
from assistant.skills.running import PER, SEED_DAY, Running, days, each, running, short_ask, stays, step_named, when
from assistant.skills.turn import Turn
from assistant.terms import Amount, Range, Slot, capital, day_words, high_end, over_range

_KEPT = ("quantity", "rate", "temperature", "wind")  # amounts that go into the record as they were said
_ON_SEED_DAY = re.compile(r"\b(on|at) seed(ing)?( day)?\b|\bthe day (i|we) (seeded|sowed)\b", re.IGNORECASE)
_LIMED = "deed.limed"
_NAMED = ("tool", "product", "tank")


def log(turn: Turn, **slots: Slot | None) -> Answer:
    """Record a step as done, late, early or skipped; what moves because of it is said."""
    slots = _on_one_day(_with_lime(slots))
    seed_day, program = slots.get("seed_day"), slots.get("program")
    deed, tank, on = slots.get("deed"), slots.get("tank"), slots.get("happened_on")
    if on is not None and len(on.amounts) > 1 and not (deed and deed.value == "deed.mowed"):
        told = " and ".join(day_words(amount.day) for amount in on.amounts)
        return Answer(REFUSED, f"Two days in one line: {told}. Say them one a line; nothing was recorded.")
    if deed is not None and deed.value == "deed.mowed":
        return _mowed(turn, slots)
    if not _says_what(turn, slots) and "spray" in turn.parse.terms:
        words = "What was sprayed? For example: 2,4-D, glyphosate, or a liquid feed."
        return Answer(ASKS, "Nothing is recorded yet.", asks=Ask("tank", words))
    if not _says_what(turn, slots):
        words = "I do not know what was done, so nothing is recorded. A cut, a feed, a spray or a step of the program I keep."
        return Answer(ASKS, words, asks=Ask("deed", "What was done? Anything else: begin the line with note:"))
    if seed_day is None and (deed or tank or _is_a_feed(slots) or _is_a_product(slots)):
        return _used(turn, slots)
    if seed_day is None:
        return Answer(ASKS, "I have no seed day to count from, so nothing is recorded yet.", asks=SEED_DAY)
    chosen = running(turn, seed_day, program)
    if chosen is None and (slots.get("late_by") or slots.get("early_by")):
        words = "Which day it was due hangs on the program, and none is chosen yet. Nothing is recorded yet."
        return Answer(ASKS, words, asks=short_ask(turn))
    plan = chosen or each(turn, seed_day)[0]
    told_before = _said_before(plan, slots, turn.now.day)
    if told_before:
        return Answer(ANSWERED, told_before)
    target = _target(turn, plan, slots)
    step = slots.get("step")
    if target is not None and not (step and str(step.value).startswith("step.")):
        again = _told_again(plan, target, slots, turn.now.day)
        if again and _is_a_feed(slots):
            return _used(turn, slots)  # a second one, with what went down
        if again:
            return Answer(ASKS, again, asks=Ask("step", f"If it is another, say so: put the {target.title} down."))
    if target is None and (deed or tank):
        return _used(turn, slots)
    if target is None:
        known = ", ".join(one.title for one in plan.steps())
        return Answer(ASKS, "I do not know which step you mean.", asks=Ask("step", f"Which one: {known}?"))
    return _step(turn, plan, target, slots, chosen is not None)


def _on_one_day(slots: dict[str, Slot | None]) -> dict[str, Slot | None]:
    """`aerated and overseeded on september 10`: the one day that is told is that of both."""
    seed_day, deed = slots.get("seed_day"), slots.get("deed")
    same = deed is not None and not slots.get("happened_on") and seed_day is not None and seed_day.origin == "said"
    return {**slots, "happened_on": replace(seed_day, name="happened_on")} if same and seed_day else slots


def _with_lime(slots: dict[str, Slot | None]) -> dict[str, Slot | None]:
    """`put 120 lb of lime on the front`: the amount tells what was done."""
    quantity = slots.get("quantity")
    of_lime = quantity is not None and quantity.amount.of == "lime" and not slots.get("deed")
    return {**slots, "deed": Slot("deed", _LIMED)} if of_lime else slots


def not_done(turn: Turn, **slots: Slot | None) -> Answer:
    """What was told as not done: the record stays as it is, and what is open is said."""
    seed_day = slots.get("seed_day")
    plan = running(turn, seed_day, slots.get("program")) if seed_day else None
    named = slots.get("deed") or slots.get("step")
    step = step_named(turn, plan.steps(), named) if plan and named else None
    lines: tuple[str, ...] = ()
    if plan and step and step.open:
        lines = (f"Still open: {step.title}, {when(step)}. {plan.waiting(step)}",)
    elif plan:
        lines = _next_line(plan.steps())
    return Answer(ANSWERED, "Then nothing is recorded as done.", lines=lines, inputs=(seed_day,) if seed_day else ())


def correct(turn: Turn, **slots: Slot | None) -> Answer:
    """The record is not changed in part: what is wrong is taken back and told anew."""
    newest = max((state.live[-1] for state in turn.states() if state.live), key=lambda event: event.seq, default=None)
    last = f' The last thing on record is "{newest.text}".' if newest else ""
    words = f"To put something right, take it back with undo and tell it as it was; nothing was recorded now.{last}"
    return Answer(ANSWERED, words)


def _says_what(turn: Turn, slots: dict[str, Slot | None]) -> bool:
    """True where the line says what was done: `watered it this morning` is no feed."""
    named = any(
        slots.get(name) for name in ("step", "deed", "tank", "product", "quantity", "rate", "late_by", "early_by")
    )
    return named or bool(turn.parse.terms & {"feed", "seeded", "skipped"})


def _step(turn: Turn, plan: Running, target: Step, slots: dict[str, Slot | None], chosen: bool) -> Answer:
    """One step, on its day."""
    seed_day, today = plan.seed_day.amount.day, turn.now.day
    day, offset = _day_of(turn, target, slots, today)
    body = {"step": target.id, "title": target.title, **_body(slots)}
    lawn, text, said = plan.state.name, turn.parse.text, today.isoformat()
    title = capital(target.title)
    if _says_skipped(turn):
        return _recorded(plan, Event(kinds.SKIPPED, lawn, text, said, said, body), f"{title} skipped.", chosen)
    held = plan.state.applied.get(target.id)
    if day > today and held is not None:
        on = day_words(date.fromisoformat(held.happened_on))
        words = (
            f"{title} is on record as done on {on}; nothing was moved. If it was not done, say undo, or what it was."
        )
        return Answer(REFUSED, words)
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
    cautions, sources = _against_law(turn, plan, target, event)
    told = [row for row in event.body["put"] if row["said"]]
    down = _went_down(slots, _area(slots, plan.state)) if told else None
    words = f"{title} done on {day_words(day)}, {since}{offset}{f': {_feed_words(down, slots)}' if down else ''}."
    answer = _recorded(plan, event, words, chosen, (*_uncounted(event, slots), *_too_early(plan, target)))
    return replace(answer, cautions=cautions, sources=(*answer.sources, *turn.cite(*sources)))


def _uncounted(event: Event, slots: dict[str, Slot | None]) -> tuple[str, ...]:
    """Said where a feed was told by its analysis alone: how much of it went down is not known, so nothing is counted."""
    if not slots.get("analysis") or event.body.get("put"):
        return ()
    return ("How much of it went down was not told, or the area is not on record, so it is counted in no sum.",)


def _each_thousand(turn: Turn, event: Event, area: Slot | None) -> tuple[str, ...]:
    """What N, P2O5 and K2O a feed put on each 1,000 sq ft, where its analysis and the area are known."""
    row = next(iter(event.body.get("put", ())), None)
    label = label_put(turn, row) if row and "analysis" in row and not row.get("of") else None
    if label is None or row is None or area is None:
        return ()
    from assistant.skills.area import total_of

    put = label.nutrients(amount_put(row))
    parts = {which: over_range(lambda one, each: one / each, part, total_of(area)) for which, part in put.items()}
    said = [f"{turn.say(part, 'lb', PER)} of {which}" for which, part in parts.items() if high_end(part).magnitude > 0]
    return (f"That is {', '.join(said)}.",) if said else ()


def _mowed(turn: Turn, slots: dict[str, Slot | None]) -> Answer:
    """A cut is counted: what may go down after so many mowings hangs on it."""
    happened, seed_day = slots.get("happened_on"), slots.get("seed_day")
    told = sorted({amount.day for amount in happened.amounts}) if happened else [turn.now.day]
    times = next((int(one.high) for one in turn.parse.amounts if one.kind == "count" and one.of == "time"), len(told))
    if times > len(told):
        words = f"{times} cuts, and a day for {len(told) if happened else 'none'} of them; nothing is recorded yet."
        return Answer(ASKS, words, asks=Ask("happened_on", "On which days? For example: mowed on Sep 4 and Sep 11."))
    if told[-1] > turn.now.day:
        return Answer(REFUSED, f"{day_words(told[-1])} is still to come; a cut is recorded once it is made.")
    name = turn.lawn.name if turn.lawn else ""
    held = {one.happened_on for one in turn.lawn.mowed} if turn.lawn else set()
    on = [day for day in told if day.isoformat() not in held]
    if not on:
        return Answer(ANSWERED, f"The cut of {day_words(told[0])} is on record already; one is counted a day.")
    said = turn.now.day.isoformat()
    events = tuple(Event(kinds.MOWED, name, turn.parse.text, said, day.isoformat()) for day in on)
    when_cut = " and ".join(day_words(day) for day in on)
    plan = running(turn, seed_day, slots.get("program")) if seed_day else None
    if plan is None or seed_day is None or on[-1] < seed_day.amount.day:
        return Answer(RECORDED, f"Mowed on {when_cut}.", events=events)
    count = plan.cuts(*events)
    changed = plan.after(*events)
    lines = list(changed.lines)
    for step in changed.steps:
        rule = plan.rule(step)
        if step.open and "after_mowings" in rule and count == int(rule["after_mowings"]["low"]):
            lines.append(f"{capital(step.title)}: the mowings for it are there; {when(step)}.")
    return Answer(
        RECORDED,
        f"Mowed on {when_cut}: cut {count} since seed day."
        if count
        else f"Mowed on {when_cut}. Nothing new can be up by then, so it counts as no cut of the new grass.",
        lines=(*lines, *_next_line(changed.steps)),
        events=events,
        why=changed.why,
    )


def _is_a_feed(slots: dict[str, Slot | None]) -> bool:
    """True for a feed that says what went down: it is kept of a lawn that nothing was sown on, too."""
    return bool(slots.get("analysis")) and _says_how_much(slots)


def _is_a_product(slots: dict[str, Slot | None]) -> bool:
    """True where a product is named with how much of it went down."""
    product = slots.get("product")
    return product is not None and product.origin == "said" and _says_how_much(slots)


def _says_how_much(slots: dict[str, Slot | None]) -> bool:
    return bool(slots.get("quantity") or slots.get("rate"))


def _used(turn: Turn, slots: dict[str, Slot | None]) -> Answer:
    """Something went down, or was done, that is no step of this lawn's program: kept with its day."""
    slot = slots.get("tank") or slots.get("deed") or slots.get("product") or Slot("product", "product.fertilizer")
    day = _day_told(slots, turn.now.day)
    if day > turn.now.day:
        return Answer(REFUSED, f"{day_words(day)} is still to come; it is recorded once it is done.")
    title = turn.knowledge.name(str(slot.value))
    body = {"what": str(slot.value), "title": title, **_body(slots)}
    down = _went_down(slots, _area(slots, turn.lawn))
    if slots.get("analysis"):
        body["put"] = [_told_amount(str(slot.value), down, slots)] if down else []
        title = body["title"] = _feed_words(down, slots)
    name = turn.lawn.name if turn.lawn else ""
    event = Event(kinds.USED, name, turn.parse.text, turn.now.day.isoformat(), day.isoformat(), body)
    lines = _uncounted(event, slots) or _each_thousand(turn, event, _area(slots, turn.lawn))
    sources: tuple[str, ...] = ()
    if slot.name == "tank":
        from assistant.skills.gates import too_young, waits_after

        young, of_young = too_young(turn, slot, slots.get("seed_day"), day)
        lines, sources = waits_after(turn, slot, day)
        lines = (*young, *lines, *_planned_seed(turn, event, slots.get("seed_day")))
        sources = (*of_young, *sources)
    return Answer(
        RECORDED,
        f"{capital(title)} on {day_words(day)}{f': {amount_words(down)}' if down and not slots.get('analysis') else ''}.",
        lines=lines,
        sources=turn.cite(*sources),
        events=(event,),
    )


def _planned_seed(turn: Turn, event: Event, seed_day: Slot | None) -> list[str]:
    """Said where a seed day that is still to come lies inside of the wait."""
    from assistant.skills.gates import against_seed

    if seed_day is None or turn.lawn is None or seed_day.amount.day < turn.now.day:
        return []
    day = seed_day.amount.day
    after = fold(turn.lawn.name, (*turn.lawn.live, event))
    return [f"Against your seed day {day_words(day)}: {why}." for why, _ in against_seed(turn, after, day)]


def _body(slots: dict[str, Slot | None]) -> dict[str, Any]:
    """What was said of it; what the program would have is not taken for said."""
    said = {name: slot for name, slot in slots.items() if slot and slot.origin == "said"}
    body = {name: said[name].amount.to_plain() for name in _KEPT if name in said}
    return body | {name: said[name].value for name in _NAMED if name in said}


def _put(plan: Running, target: Step, slots: dict[str, Slot | None]) -> list[dict[str, Any]]:
    """What the step put down: the amount that was told, of its first product; else the program's rate over the lawn."""
    from assistant.knowledge_base import row_of

    area = _area(slots, plan.state)
    told, product = _went_down(slots, area), slots.get("product")
    if slots.get("analysis") and told is None:
        return []  # another product than the program's, and nobody said how much of it
    made: list[dict[str, Any]] = []
    named = plan.turn.knowledge.either(str(product.value)) if product and product.origin == "said" else []
    rows = [row for row in target.amounts if row["what"] in named] or list(target.amounts)
    for row in rows[:1] if told is not None or named else rows:  # beside what was named nothing is taken for put down
        rate = row_of(row).amount
        first = not made
        if first and told is not None:
            made.append(_told_amount(_told_product(plan, product, row["what"], told, slots), told, slots))
        elif area is not None:
            amount = _over_area(rate, area)
            of = {} if rate.of in ("", "product") else {"of": rate.of}
            ends = {"low": round(amount.low, 6), "high": round(amount.high, 6)}
            made.append({"what": row["what"], **ends, "unit": rate.unit, "said": False, "source": row["source"], **of})
    return made


def _went_down(slots: dict[str, Slot | None], area: Slot | None) -> Amount | None:
    """How much was told to have gone down: an amount, or a rate over the lawn; None where neither was told, or no area."""
    quantity, rate = slots.get("quantity"), slots.get("rate")
    of_seed = quantity is not None and quantity.amount.of == "seed" and bool(slots.get("analysis"))
    if quantity is not None and not of_seed:  # `28 lb of seed with 18-24-12 at 4 lb per 1000`
        return quantity.amount
    if rate is None or rate.origin != "said" or area is None:
        return None
    return _over_area(rate.amount, area)


def _area(slots: dict[str, Slot | None], lawn: LawnState | None) -> Slot | None:
    """The ground that it went on: told with it, else all of the lawn."""
    return slots.get("area") or (lawn.facts.get("area") if lawn else None)


def _over_area(rate: Amount, area: Slot) -> Amount:
    """What a rate comes to over the lawn."""
    from assistant.skills.area import total_of

    total = over_range(lambda one, each: (one * each).to(rate.unit), total_of(area), rate.q)
    low, high = (total.low, total.high) if isinstance(total, Range) else (total, total)
    kind = "mass" if low.check("[mass]") else "volume"
    return Amount(kind, low.magnitude, high.magnitude, (rate.unit,), of=rate.of)


def _told_amount(what: str, amount: Amount, slots: dict[str, Slot | None]) -> dict[str, Any]:
    """An amount of a product as it is kept, with the analysis that was told beside it; of a nutrient as that."""
    analysis = slots.get("analysis")
    made = {"what": what, "low": round(amount.low, 6), "high": round(amount.high, 6), "unit": amount.unit, "said": True}
    of = {"of": amount.of} if amount.of in NUTRIENTS else {}
    return made | of | ({"analysis": list(analysis.amount.low)} if analysis else {})


def _feed_words(amount: Amount | None, slots: dict[str, Slot | None]) -> str:
    """`20.8 lb of 18-24-12`, `0.5 lb of N from 46-0-0`."""
    analysis = slots.get("analysis")
    grade = str(analysis.amount.analysis) if analysis else ""
    if amount is None:
        return grade
    of = f" of {amount.of} from" if amount.of in NUTRIENTS else " of"
    return f"{amount_words(amount)}{of} {grade}" if grade else amount_words(amount)


def _told_product(
    plan: Running, product: Slot | None, of_step: str, told: Amount, slots: dict[str, Slot | None]
) -> str:
    """The product that was named, in the form that the step takes, or in the one that the amount tells: pounds are granules.
    What only its analysis tells is a fertilizer."""
    if product is None:
        return "product.fertilizer" if slots.get("analysis") else of_step
    knowledge = plan.turn.knowledge
    named = knowledge.either(str(product.value))
    forms = {"mass": "dry", "volume": "liquid"}
    told_form = [one for one in named if knowledge.entry(f"{_entry_of(one)}.form") == forms.get(told.kind)]
    if len(named) > 1 and len(told_form) == 1:
        return told_form[0]
    return of_step if of_step in named or len(named) > 1 else named[0]


def _entry_of(product: str) -> str:
    """`product.urea` where the knowledge holds it."""
    return f"products.{product.partition('.')[2]}"


def _target(turn: Turn, plan: Running, slots: dict[str, Slot | None]) -> Step | None:
    """The step that was meant: one named, the one a deed ticks off, a kill spray for glyphosate, or the next feed."""
    steps, deed, tank, step = plan.steps(), slots.get("deed"), slots.get("tank"), slots.get("step")
    if tank is not None:
        takes = [one for one in steps if _takes(turn, plan, one, str(tank.value))]
        dropped = (one for one in takes if one.state == DROPPED and one.id not in plan.state.skipped)
        return next_of(takes) or min(dropped, key=lambda one: one.day, default=None)
    if deed is not None or (step is not None and str(step.value).startswith("step.")):
        return step_named(turn, steps, deed or step)
    if _says_skipped(turn) and turn.parse.terms.isdisjoint({"feed", "next"}):
        return None
    return next_of(one for one in steps if one.kind == "feed")


def _takes(turn: Turn, plan: Running, step: Step, tank: str) -> bool:
    """True where a step is done with that active ingredient: it is named there, or is of the kind that the step takes."""
    rule = plan.rule(step)
    if tank in rule.get("buys", ()):
        return True
    kind = turn.knowledge.entry(f"{tank}.kind")
    return kind is not None and kind == rule.get("takes") and turn.now.day > plan.seed_day.amount.day


def _day_of(turn: Turn, target: Step, slots: dict[str, Slot | None], today: date) -> tuple[date, str]:
    """The day it happened: said, or so many days off the day it was due; `when I seeded on Aug 22` and `on seed day` are that
    day."""
    late_by = slots.get("late_by")
    off = late_by or slots.get("early_by")
    if off is not None:
        count = round(off.q.m_as("day"))
        day = target.day + timedelta(days=count if late_by else -count)
        return day, f", {count} days {'late' if late_by else 'early'}"
    sown = slots.get("seed_day")
    told = sown is not None and sown.origin == "said" and "when" in turn.parse.terms
    if sown and slots.get("happened_on") is None and (told or _ON_SEED_DAY.search(turn.parse.text)):
        return sown.amount.day, ""
    return _day_told(slots, today), ""


def _known(plan: Running, event: Event) -> bool:
    """True where the record already says that this step was done on this day."""
    held = plan.state.applied.get(event.body["step"])
    return held is not None and held.happened_on == event.happened_on


def _day_told(slots: dict[str, Slot | None], today: date) -> date:
    """The day that was told, or today."""
    happened = slots.get("happened_on")
    return happened.amount.day if happened else today


def _told_again(plan: Running, target: Step, slots: dict[str, Slot | None], today: date) -> str:
    """Said where a feed without a name comes so close behind the last one that it may be that one told again."""
    gap = plan.rule(target).get("least_gap") if target.kind == "feed" else None
    earlier = plan.state.applied.get(gap["after"]) if gap else None
    if gap is None or earlier is None or slots.get("late_by") or slots.get("early_by"):
        return ""
    apart = (_day_told(slots, today) - date.fromisoformat(earlier.happened_on)).days
    if apart * 2 >= gap["low"]:
        return ""
    on = day_words(date.fromisoformat(earlier.happened_on))
    return f"The {earlier.body['title']} is on record on {on}. To correct it, say undo and tell it again. Nothing was recorded."


def _said_before(plan: Running, slots: dict[str, Slot | None], today: date) -> str:
    """Said where the record holds the same tank on the same day already: it is one spray, told twice."""
    tank = slots.get("tank")
    if tank is None:
        return ""
    day = _day_told(slots, today).isoformat()
    for event in plan.state.used:
        if event.went_down == tank.value and event.happened_on == day:
            name = plan.turn.knowledge.name(str(tank.value))
            return f"{capital(name)} on {day_words(date.fromisoformat(day))} is on record already; it is counted once."
    return ""


def _kept_from(plan: Running, event: Event) -> str:
    """Why a step cannot be moved to a day, where the program's spacing holds it back."""
    after = plan.after(event).steps
    step = next_of(one for one in after if one.id == event.body["step"])
    if step and step.day.isoformat() != event.body["day"]:
        return stays(step)
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


def _against_law(turn: Turn, plan: Running, target: Step, event: Event) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What the law of the lawn's state says of a feed on its day, and of the nitrogen in it."""
    if target.kind != "feed" or plan.where is None:
        return (), ()
    from assistant.skills.account import nitrogen_of
    from assistant.skills.feed import against_caps

    day = date.fromisoformat(event.happened_on)
    late, laws = plan.late_season(replace(target, day=day, until=day, state=DUE))
    nitrogen = nitrogen_of(turn, plan.state, event)
    over, caps = against_caps(turn, [nitrogen]) if nitrogen else ((), ())
    return (*late, *over), (*laws, *caps)


def _too_early(plan: Running, target: Step) -> tuple[str, ...]:
    """Said where a step was done before what it waits for: the mowings it asks for, or the call before digging."""
    rule = plan.rule(target)
    said = []
    cut, wanted = plan.cuts(), int(rule.get("after_mowings", {}).get("low", 0))
    if cut < wanted:
        said.append(
            f"That was early: it waits for {wanted} mowings since seed day, and {cut or 'none'} {'is' if cut < 2 else 'are'} on record."
        )
    for one in plan.steps():
        if one.open and plan.rule(one).get("before") == target.id:
            said.append(
                f"No {one.title} is on record before it. If the lines are not marked, stop: private ones never are."
            )
    return tuple(said)


def _recorded(plan: Running, event: Event, words: str, program_chosen: bool, warned: tuple[str, ...] = ()) -> Answer:
    """The answer to something recorded, with every date that it moved."""
    inputs = (plan.seed_day,)
    if not program_chosen:
        return Answer(RECORDED, words, inputs=inputs, events=(event,), asks=short_ask(plan.turn))
    changed = plan.after(event, but=(event.body["step"],))
    upcoming = next_of(changed.steps)
    why = changed.why or (plan.chain(upcoming, changed.state) if upcoming else ())
    return Answer(
        RECORDED,
        words,
        lines=(*warned, *_too_soon(plan, event), *changed.lines, *_next_line(changed.steps)),
        figures=days(*(step for step in changed.steps if step.open)),
        inputs=inputs,
        events=(*plan.begun, event),
        why=tuple(dict.fromkeys(why)),
    )
