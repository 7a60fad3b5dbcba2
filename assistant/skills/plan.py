"""The program of a lawn: begin it, what is next, the whole of it, and what was done."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, REFUSED, Answer, Ask, Figure
from assistant.knowledge_base import row_of
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import Emergence, Step, next_of, steps_of
from assistant.lawn.state import LawnState
from assistant.skills.turn import Turn
from assistant.terms import Analysis, Slot, day_words, over_range

_STEPS = {"step.first": "feed.first", "step.second": "feed.second", "step.third": "feed.third", "step.seed": "seed"}


def start(
    turn: Turn,
    seed_day: Slot,
    program: Slot,
    area: Slot | None = None,
    species: Slot | None = None,
    place: Slot | None = None,
) -> Answer:
    """Begin a program: its rules as they stand today go into the record and stay with the lawn."""
    key = str(program.value).partition(".")[2]
    rules = turn.knowledge.section("programs")[key]
    running = turn.lawn.program if turn.lawn else None
    event = Event(
        kinds.STARTED,
        _lawn(turn),
        turn.parse.text,
        turn.now.day.isoformat(),
        turn.now.day.isoformat(),
        {"program": key, "rules": rules},
    )
    state = turn.lawn or LawnState(_lawn(turn))
    steps = _steps(turn, rules, seed_day, state, species)
    lines = ["It takes the place of the program that ran before."] if running else []
    lines += [_line(turn, step) for step in steps]
    return Answer(
        RECORDED,
        f"{rules['name'].capitalize()} from {day_words(seed_day.amount.day)}, day 0.",
        lines=tuple(lines),
        figures=_days(steps),
        inputs=_inputs(seed_day, program, area, species),
        sources=turn.cite(rules["source"]),
        events=(event,),
    )


def next(
    turn: Turn,
    seed_day: Slot | None = None,
    program: Slot | None = None,
    area: Slot | None = None,
    species: Slot | None = None,
    place: Slot | None = None,
) -> Answer:
    """What to do next. Without a program, what each would have next; it asks one short thing at a time."""
    if seed_day is None:
        ask = Ask("seed_day", "When did you seed, or when will you? That day is day 0.")
        return Answer(
            ASKS, "I can tell you once I know the lawn: seed day, program, area and grass, one at a time.", asks=ask
        )
    state = turn.lawn or LawnState(_lawn(turn))
    if program is None:
        lines, sources = [], []
        for _key, rules in sorted(turn.knowledge.section("programs").items(), reverse=True):
            step = next_of(_steps(turn, rules, seed_day, state, species))
            lines.append(
                f"On the {rules['name']} ({rules['in_short']}): "
                + (f"{step.title} on {_when(step)}." if step else "all done.")
            )
            sources.append(rules["source"])
        return Answer(
            ASKS,
            f"{_age(turn, seed_day)} Two programs go on from there.",
            lines=tuple(lines),
            inputs=_inputs(seed_day, area, species),
            asks=program_ask(turn),
            sources=turn.cite(*sources),
        )
    rules = (
        state.program["rules"]
        if state.program
        else turn.knowledge.section("programs")[str(program.value).partition(".")[2]]
    )
    steps = _steps(turn, rules, seed_day, state, species)
    step = next_of(steps)
    if step is None:
        return Answer(
            ANSWERED,
            "Every step of the program is done.",
            lines=tuple(_line(turn, one) for one in steps),
            inputs=_inputs(seed_day, program),
        )
    headline = f"{step.title.capitalize()}: {_when(step)}."
    lines = [_waiting(turn, step), *_amount_lines(turn, step, area), f"Why then: {step.moved_by or step.why}."]
    why = _chain(turn, step, seed_day, rules)
    further: Ask | None = None
    if area is None:
        further = Ask("area", "How big is the area? Square feet, or length by width.")
    elif species is None:
        further = Ask(
            "species", "Which grass did you sow? For example tall fescue, Kentucky bluegrass or perennial ryegrass."
        )
    return Answer(
        ANSWERED,
        headline,
        lines=tuple(line for line in lines if line),
        figures=_days((step,)),
        inputs=_inputs(seed_day, program, area, species),
        sources=turn.cite(step.source, rules["source"]),
        asks=further,
        why=why,
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
        return Answer(
            ASKS,
            "There is no program yet.",
            asks=Ask("seed_day", "When did you seed, or when will you? That day is day 0."),
        )
    state = turn.lawn or LawnState(_lawn(turn))
    if program is None:
        return Answer(ASKS, "No program is chosen yet.", asks=program_ask(turn), inputs=_inputs(seed_day))
    rules = (
        state.program["rules"]
        if state.program
        else turn.knowledge.section("programs")[str(program.value).partition(".")[2]]
    )
    steps = _steps(turn, rules, seed_day, state, None)
    return Answer(
        ANSWERED,
        f"{rules['name'].capitalize()}, seed day {day_words(seed_day.amount.day)}.",
        lines=tuple(_line(turn, step) for step in steps),
        figures=_days(steps),
        inputs=_inputs(seed_day, program, area),
        sources=turn.cite(rules["source"]),
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
    state = turn.lawn or LawnState(_lawn(turn))
    if seed_day is None:
        return Answer(
            ASKS,
            "I have no seed day to count from, so nothing is recorded yet.",
            asks=Ask("seed_day", "When did you seed? That day is day 0."),
        )
    rules = state.program["rules"] if state.program else None
    if rules is None and (late_by or early_by):
        return Answer(
            ASKS, "Which day it was late on hangs on the program; none is chosen yet.", asks=program_ask(turn)
        )
    plan = rules or turn.knowledge.section("programs")["fall_liquid"]
    before = _steps(turn, plan, seed_day, state, None)
    target = _target(before, step, product)
    if target is None:
        known = ", ".join(one.title for one in before)
        return Answer(ASKS, "I do not know which step you mean.", asks=Ask("step", f"Which one: {known}?"))
    today = turn.now.day
    if _says_skipped(turn):
        event = Event(
            kinds.SKIPPED,
            _lawn(turn),
            turn.parse.text,
            today.isoformat(),
            today.isoformat(),
            {"step": target.id, "title": target.title},
        )
        return _recorded(
            turn,
            plan,
            seed_day,
            state,
            before,
            event,
            f"{target.title.capitalize()} skipped.",
            program_chosen=rules is not None,
        )
    day, how = _day_of(target, happened_on, late_by, early_by, today)
    body: dict[str, Any] = {"step": target.id, "title": target.title}
    if quantity:
        body["quantity"] = quantity.amount.to_plain()
    if temperature:
        body["temperature"] = temperature.amount.to_plain()
    if tool:
        body["tool"] = tool.value
    if day > today:
        event = Event(
            kinds.MOVED,
            _lawn(turn),
            turn.parse.text,
            today.isoformat(),
            today.isoformat(),
            {**body, "day": day.isoformat()},
        )
        words = f"{day_words(day)} is still to come (today is {day_words(today)}), so the {target.title} is moved to it, not logged as done."
    elif day < seed_day.amount.day:
        return Answer(
            REFUSED,
            f"{day_words(day)} is before seed day, {day_words(seed_day.amount.day)}. Which is right? Nothing was recorded.",
        )
    else:
        event = Event(kinds.DONE, _lawn(turn), turn.parse.text, today.isoformat(), day.isoformat(), body)
        words = f"{target.title.capitalize()} done on {day_words(day)}, day {(day - seed_day.amount.day).days}{how}."
    return _recorded(turn, plan, seed_day, state, before, event, words, program_chosen=rules is not None)


def tell(turn: Turn, place: Slot | None = None, area: Slot | None = None, species: Slot | None = None) -> Answer:
    """Facts of a lawn: the dialogue records what was said; there is nothing to work out."""
    return Answer(RECORDED, "", inputs=_inputs(area, species))


# helpers ---------------------------------------------------------------------------------------------------------------


def program_ask(turn: Turn) -> Ask:
    """Which program, each with what it puts down; none is taken without being asked for."""
    choices = []
    for rules in sorted(turn.knowledge.section("programs").values(), key=lambda rules: rules["name"], reverse=True):
        choices.append(
            f"{rules['name']}: {rules['in_short']}; {_put_down(turn, rules)} ({turn.short(rules['source'])})"
        )
    return Ask("program", "Which program?", tuple(choices))


def _put_down(turn: Turn, rules: dict[str, Any]) -> str:
    """Pounds of N and P2O5 per 1,000 sq ft over the whole program, by the stand-in analyses where no label is known."""
    from assistant.calculations.feed import nutrient

    totals: dict[str, Any] = {}
    product = turn.knowledge.entry(f"products.{rules['product']}")
    label = Analysis(*product["example"]["analysis"])
    density = row_of(product["example"]["density"]).amount.q if "density" in product["example"] else None
    for rule in rules["steps"]:
        for row in rule.get("amounts", ()):
            rate = row_of(row).amount
            for which in ("N", "P2O5"):
                if rate.of == which:
                    part = rate.q
                elif row["what"] == f"product.{rules['product']}":
                    part = over_range(lambda amount, which=which: nutrient(amount, label, which, density), rate.q)
                else:
                    continue
                totals[which] = (
                    over_range(lambda one, other: one + other, totals[which], part) if which in totals else part
                )
    words = [f"{turn.say(value, 'lb', '1000 sq_ft').partition(' per')[0]} {which}" for which, value in totals.items()]
    return f"{' and '.join(words)} per 1,000 sq ft in all, taking a {label}"


def _lawn(turn: Turn) -> str:
    return turn.lawn.name if turn.lawn else ""


def _emergence(turn: Turn, species: Slot | None) -> Emergence:
    key = str(species.value).partition(".")[2] if species else ""
    rows = turn.knowledge.rows(f"species.{key}.days_to_germinate") if key else []
    row = rows[0] if rows else turn.knowledge.rows("seeding.emergence")[0]
    return Emergence(int(row.amount.high), row.source)


def _steps(
    turn: Turn, rules: dict[str, Any], seed_day: Slot, state: LawnState, species: Slot | None
) -> tuple[Step, ...]:
    grass = species or state.facts.get("species")
    return steps_of(rules, seed_day.amount.day, turn.now.day, _emergence(turn, grass), state)


def _when(step: Step) -> str:
    window = f" to {day_words(step.until)}" if step.until != step.day else ""
    return f"day {step.offset}, {day_words(step.day)}{window}"


def _age(turn: Turn, seed_day: Slot) -> str:
    age = (turn.now.day - seed_day.amount.day).days
    if age < 0:
        return f"Seed day is in {-age} days, {day_words(seed_day.amount.day)}."
    return f"Today is day {age}; seed day was {day_words(seed_day.amount.day)}."


def _waiting(turn: Turn, step: Step) -> str:
    gap = (step.day - turn.now.day).days
    if step.state == "due":
        return f"{step.late} days late." if step.late > 1 else ("1 day late." if step.late else "Due now.")
    return f"In {gap} days." if gap != 1 else "Tomorrow."


def _line(turn: Turn, step: Step) -> str:
    """One dated line: what, when, state, and what moved it."""
    mark = {"done": "done", "due": "due", "coming": "coming", "dropped": "dropped"}[step.state]
    amounts = "; ".join(_rates(turn, step))
    moved = f" ({step.moved_by})" if step.moved_by else ""
    return f"{_when(step)}  {step.title}, {mark}{': ' + amounts if amounts and step.state != 'dropped' else ''}{moved}"


def _rates(turn: Turn, step: Step) -> list[str]:
    made = []
    for row in step.amounts:
        rate = row_of(row).amount
        what = (
            f"{rate.of} as {turn.knowledge.name(row['what'])}"
            if rate.of not in ("", "product")
            else turn.knowledge.name(row["what"])
        )
        made.append(f"{turn.say(rate.q, rate.unit, rate.per)} of {what}")
    return made


def _amount_lines(turn: Turn, step: Step, area: Slot | None) -> list[str]:
    made = []
    for row, words in zip(step.amounts, _rates(turn, step), strict=True):
        line = words
        if area:
            from assistant.skills.area import total_of

            rate = row_of(row).amount
            total = over_range(lambda one, size: one * size, rate.q, total_of(area))
            line += f": {turn.say(total, rate.unit)} for {turn.say(total_of(area), 'sq_ft')}"
        made.append(line + f" ({turn.short(row['source'])}).")
    return made


def _days(steps: tuple[Step, ...]) -> tuple[Figure, ...]:
    return tuple(Figure(step.title, day=step.day, until=step.until) for step in steps)


def _target(steps: tuple[Step, ...], step: Slot | None, product: Slot | None) -> Step | None:
    """The step that was meant: named, or the next feed."""
    if step is not None and str(step.value) in _STEPS:
        return _step_named(steps, _STEPS[str(step.value)])
    return next_of(tuple(one for one in steps if one.kind == "feed"))


def _step_named(steps: tuple[Step, ...], identifier: str) -> Step | None:
    found = [one for one in steps if one.id == identifier]
    return found[0] if found else None


def _day_of(
    target: Step, happened_on: Slot | None, late_by: Slot | None, early_by: Slot | None, today: date
) -> tuple[date, str]:
    """The day it happened: said, or so many days off the day it was due."""
    if late_by or early_by:
        slot = late_by or early_by
        assert slot is not None
        days = round(slot.q.m_as("day"))
        day = target.day + timedelta(days=days if late_by else -days)
        return day, f", {days} days {'late' if late_by else 'early'}"
    return (happened_on.amount.day if happened_on else today), ""


def _says_skipped(turn: Turn) -> bool:
    words = turn.parse.text.lower()
    return any(one in words for one in ("skip", "miss", "forgot", "never did", "didn't", "didnt", "did not"))


def _recorded(
    turn: Turn,
    rules: dict[str, Any],
    seed_day: Slot,
    state: LawnState,
    before: tuple[Step, ...],
    event: Event,
    words: str,
    program_chosen: bool,
) -> Answer:
    """The answer to something recorded, with every date that it moved."""
    from assistant.lawn.state import fold

    after = _steps(turn, rules, seed_day, fold(state.name, (*state.live, event)), None)
    lines = []
    for old, new in zip(before, after, strict=True):
        if new.id != event.body["step"] and new.day != old.day and new.state in ("due", "coming"):
            lines.append(f"{new.title.capitalize()} moves from {day_words(old.day)} to {_when(new)}: {new.moved_by}.")
    upcoming = next_of(after)
    if program_chosen and upcoming and not lines:
        lines.append(f"Next: {upcoming.title}, {_when(upcoming)}.")
    elif program_chosen and upcoming:
        lines.append(f"Next: {upcoming.title}.")
    figures = _days(tuple(step for step in after if step.state in ("due", "coming"))) if program_chosen else ()
    why = tuple(line for step in after if step.moved_by for line in _chain(turn, step, seed_day, rules))
    return Answer(
        RECORDED,
        words,
        lines=tuple(lines),
        figures=figures,
        inputs=_inputs(seed_day),
        events=(event,),
        why=why,
        asks=None if program_chosen else program_ask(turn),
    )


def _chain(turn: Turn, step: Step, seed_day: Slot, rules: dict[str, Any]) -> tuple[str, ...]:
    """Why this date: the rule, what moved it, and the seed day it hangs on."""
    rule = [one for one in rules["steps"] if one["id"] == step.id][0]
    made = []
    day = rule["day"]
    count = f"{int(day['low'])}" if day["low"] == day["high"] else f"{int(day['low'])} to {int(day['high'])}"
    anchor = {"seed_day": "seed day", "emergence": "the day the seedlings are up"}[rule["counted_from"]]
    made.append(f"{step.title.capitalize()}: {count} days after {anchor} ({turn.short(day['source'])}); {step.why}.")
    if step.moved_by:
        made.append(f"Moved: {step.moved_by}.")
    made.append(f"Seed day {day_words(seed_day.amount.day)}: {turn.input_words(seed_day)}.")
    return tuple(made)


def _inputs(*slots: Slot | None) -> tuple[Slot, ...]:
    return tuple(slot for slot in slots if slot)
