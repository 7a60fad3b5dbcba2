"""All lawns together: what is due and where, what is late, and what to load for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from assistant.answer import ANSWERED, Answer, Figure
from assistant.knowledge_base import row_of
from assistant.lawn.program import BEFORE_SEED, DONE, Step, beside
from assistant.lawn.state import LawnState
from assistant.lawn.weather import place_of
from assistant.skills.area import total_of
from assistant.skills.running import Running, each, running, when
from assistant.skills.turn import Turn
from assistant.terms import Slot, high_end, over_range, short_day

_LIQUID = ("floz", "gal", "mL", "L", "pt", "qt")
_YOUNGEST = 12  # lawns whose daily care is listed with what is due
_WEEK = 6  # days behind today that belong to the same week of work


@dataclass(frozen=True, slots=True)
class Due:
    """One step of one lawn."""

    lawn: LawnState
    plan: Running
    step: Step


def plans(turn: Turn) -> Iterator[tuple[LawnState, Running]]:
    """Every lawn that has a program, with the program as it runs there."""
    for state in turn.states():
        plan = _plan_of(turn, state) if state.program is not None else None
        if plan is not None:
            yield state, plan


def _plan_of(turn: Turn, state: LawnState) -> Running | None:
    """The program that runs on a lawn; the first that it could have, where it is seeded and none was begun."""
    if state.day_zero is None:
        return None
    weather = place_of(turn.weather.weather, state.name) if turn.weather else None
    look = replace(turn, lawn=state, weather=weather)
    return running(look, state.day_zero, None) if state.program is not None else each(look, state.day_zero)[0]


def lawns(turn: Turn) -> Answer:
    """Every lawn on record, a line each: its size, its grass, and what comes next on it."""
    states = turn.states()
    if not states:
        words = 'No lawn is on record yet. Tell me of one, for example "the back is 3,100 sq ft of tall fescue".'
        return Answer(ANSWERED, words)
    running_on = {state.name: plan for state, plan in plans(turn)}
    lines = [_of_lawn(turn, state, running_on.get(state.name)) for state in sorted(states, key=lambda one: one.name)]
    count = Figure("lawns", "", len(states), len(states), "")
    return Answer(
        ANSWERED, f"{len(states)} lawn{'' if len(states) == 1 else 's'} on record", figures=(count,), lines=tuple(lines)
    )


def _of_lawn(turn: Turn, state: LawnState, plan: Running | None) -> str:
    facts = state.facts
    known = [turn.say(total_of(facts["area"]), "sq_ft")] if "area" in facts else []
    known += [turn.knowledge.name(str(facts["species"].value))] if "species" in facts else []
    if plan is None:
        return f"{state.name}: {', '.join([*known, 'no program running'])}."
    step = plan.next()
    coming = f"next {step.title}, {when(step)}" if step else "every step is done"
    return f"{state.name}: {', '.join(known)}{'; ' if known else ''}{plan.name}; {coming}."


def due_steps(turn: Turn, until: date) -> Iterator[Due]:
    """The steps of all lawns that are due by a day, in no order."""
    for state, plan in plans(turn):
        for step in plan.steps():
            if step.open and not step.care and step.day <= until:
                yield Due(state, plan, step)


def due(turn: Turn, day: Slot | None = None, stops: Slot | None = None) -> Answer:
    """What is due this week, or by a day, on which lawn, and what to load for it; in the order of the stops given."""
    until = max(day.amount.day, turn.now.day) if day else turn.now.day + timedelta(days=_WEEK)
    found = _in_order(turn, due_by(turn, until), stops)
    until_when = "today" if until == turn.now.day else f"by {short_day(until)}"
    if not found:
        coming = min((one.step.day for one in due_steps(turn, turn.now.day + timedelta(days=366))), default=None)
        words = f"The next step is on {short_day(coming)}." if coming else "No lawn has a program running."
        return Answer(ANSWERED, f"Nothing is due {until_when}", lines=(words, *_going_on(turn)))
    late = [one for one in found if one.step.late]
    count = len({one.lawn.name for one in found})
    headline = (
        f"{len(found)} step{'s' if len(found) > 1 else ''} due {until_when} on {count} lawn{'s' if count > 1 else ''}"
    )
    headline += f", {len(late)} late" if late else ""
    lines = [_line(one) for one in found]
    loads, open_ones = _loads(turn, found)
    lines += [f"Load: {words}." for words, _ in loads]
    lines += [f"Load: {turn.knowledge.name(what)}, by its label." for what in _by_label(found)]
    lines += _tanks(turn, found)
    if open_ones:
        lines.append(f"Without an area, so not in the load: {', '.join(open_ones)}.")
    lines += _going_on(turn)
    return Answer(
        ANSWERED,
        headline,
        figures=(
            *(figure for _, figure in loads),
            *(Figure(f"{one.lawn.name}: {one.step.title}", day=one.step.day, until=one.step.until) for one in found),
        ),
        lines=tuple(lines),
        sources=turn.cite(*dict.fromkeys(one.step.source for one in found)),
    )


def _going_on(turn: Turn) -> list[str]:
    """The care that the youngest lawns want every day until its time is over, such as moist ground; and that a program is still
    to be chosen, where none is."""
    seeded = [(state.seed_day, state) for state in turn.states() if state.seed_day is not None]
    seeded.sort(key=lambda one: one[0], reverse=True)
    lines = []
    for _, state in seeded[:_YOUNGEST]:
        plan = _plan_of(turn, state)
        care = (
            [f"{step.title} to {short_day(step.until)}" for step in beside(plan.steps()) if step.care] if plan else []
        )
        if care and state.program is None:
            care.append("no program is chosen, so no feed is counted")
        if care:
            lines.append(f"Every day: {state.name}, {'; '.join(care)}.")
    if len(lines) == _YOUNGEST < len(seeded):
        lines.append(f"These are the {_YOUNGEST} seeded last; ask of the others by their names.")
    return lines


def ready(turn: Turn, place: Slot | None = None) -> Answer:
    """What must start before seed day, the latest start and the slack of each; what is too late, with the choices.

    Of the lawn in hand, or of all lawns where none is.
    """
    every = [(state, plan) for state, plan in plans(turn) if turn.lawn is None or state.name == turn.lawn.name]
    rows: list[tuple[date, str]] = []
    figures: list[Figure] = []
    late, sources = 0, []
    for state, plan in every:
        for step in plan.steps():
            where = f"{state.name}: " if turn.lawn is None else ""
            if step.kind not in BEFORE_SEED or step.state == DONE or plan.seed_day.amount.day <= turn.now.day:
                continue
            if not step.open:
                rows.append((step.day, f"{where}{step.title}: {step.moved_by}."))
                continue
            slack = (step.until - turn.now.day).days
            words = (
                f"{slack} day{'' if slack == 1 else 's'} of slack"
                if slack >= 0
                else f"too late by {-slack} day{'s' if slack < -1 else ''}: {plan.rule(step).get('too_late', 'do it now')}"
            )
            late += slack < 0
            rows.append((step.until, f"{where}{step.title}, latest start {short_day(step.until)}, {words}."))
            figures.append(Figure(f"{where}{step.title}, latest start", day=step.until))
            sources.append(step.source)
        rows += [(plan.seed_day.amount.day, f"{state.name}: {why}.") for why, _ in plan.against()]
    if not rows:
        return Answer(ANSWERED, "Nothing has to start before seed day" if every else "No lawn has a program running.")
    count = len(figures)
    headline = (
        f"{count} thing{'' if count == 1 else 's'} to start before seed day{f', {late} too late' if late else ''}"
    )
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=tuple(words for _, words in sorted(rows)),
        sources=turn.cite(*dict.fromkeys(sources)),
    )


def _in_order(turn: Turn, found: list[Due], stops: Slot | None) -> list[Due]:
    """Only the lawns that were named, in the order they were named in."""
    if stops is None:
        return found
    places = {name.id: name.span for name in turn.parse.names}
    named = [str(one).partition(".")[2].casefold() for one in sorted(stops.values, key=lambda one: places[str(one)])]

    def place(lawn: str) -> int:
        key = lawn.casefold()
        return next((n for n, name in enumerate(named) if name == key or name in key.split()), -1)

    return sorted((one for one in found if place(one.lawn.name) >= 0), key=lambda one: place(one.lawn.name))


def _tanks(turn: Turn, found: list[Due]) -> list[str]:
    """How many tanks the sprayed steps take, where the sprayer's tank and output are on the shelf."""
    sprayer = turn.shelf.get("tool.backpack")
    facts = sprayer.facts if sprayer else {}
    if "carrier" not in facts:
        return []
    sprayed = [
        one for one in found if any(row["unit"] in _LIQUID for row in one.step.amounts) and "area" in one.lawn.facts
    ]
    areas = {one.lawn.name: total_of(one.lawn.facts["area"]) for one in sprayed}
    if not areas:
        return []
    rate, tank = facts["carrier"].q, facts.get("tank")
    ground = over_range(lambda *each: sum(each[1:], each[0]), *areas.values())
    mix = over_range(lambda one: (one * rate).to("gal"), ground)
    words = f"{turn.say(mix, 'gal')} of mix over {turn.say(ground, 'sq_ft')}"
    if tank is None:
        return [f"Spray: {words}."]
    most = high_end(mix)
    count = (most / tank.q).m_as("")
    return [f"Spray: {words}, {count:.2g} tanks of {turn.say(tank.q, tank.amount.unit)}."]


def due_by(turn: Turn, until: date) -> list[Due]:
    """The steps that are due by a day, the earliest first."""
    return sorted(due_steps(turn, until), key=lambda one: (one.step.day, one.lawn.name))


def load_words(turn: Turn, found: list[Due]) -> list[str]:
    """What to load for those steps, in words."""
    return [words for words, _ in _loads(turn, found)[0]]


def _by_label(found: list[Due]) -> list[str]:
    """The active ingredients that the steps take: their rate is the label's."""
    bought = (what for one in found for what in one.plan.rule(one.step).get("buys", ()))
    return list(dict.fromkeys(what for what in bought if what.startswith("ingredients.")))


def _line(one: Due) -> str:
    late = f", {one.step.late} day{'s' if one.step.late > 1 else ''} late" if one.step.late else ""
    rates = "; ".join(words for _, words in one.plan.rates(one.step))
    return f"{short_day(one.step.day)}: {one.lawn.name}, {one.step.title}{late}{', ' + rates if rates else ''}."


def _loads(turn: Turn, found: list[Due]) -> tuple[list[tuple[str, Figure]], list[str]]:
    """Each product over all those lawns, in the measure of its rate; and the lawns whose area is not known."""
    from assistant.calculations.feed import packs

    totals: dict[tuple[str, str], Any] = {}
    open_ones: dict[str, None] = {}
    for one in found:
        area = one.lawn.facts.get("area")
        if area is None:
            if one.step.amounts or one.step.kind == "sow":
                open_ones[one.lawn.name] = None
            continue
        rates = [
            (row["what"], rate.q, rate.unit) for row in one.step.amounts if (rate := row_of(row).amount).of == "product"
        ]
        rates += [(what, rate, "lb") for what, rate, _ in one.plan.seed()] if one.step.kind == "sow" else []
        for what, rate, unit in rates:
            amount = over_range(lambda ground, one_k: ground * one_k, total_of(area), rate)
            key = (what, unit)
            totals[key] = over_range(lambda a, b: a + b, totals[key], amount) if key in totals else amount
    made = []
    for (what, unit), amount in totals.items():
        name = turn.knowledge.name(what)
        top = high_end(amount)
        hand = turn.say.in_hand(top, unit)
        pack = turn.shelf[what].facts.get("pack") if what in turn.shelf else None
        words = f"{turn.say(amount, unit)} of {name}{f' ({hand} at most)' if hand and top is not amount else f' ({hand})' if hand else ''}"
        if pack:
            words += f", {packs(top, pack.q)} x {turn.say(pack.q, pack.amount.unit)}"
        made.append((words, turn.figure(f"load, {name}", amount, unit, of="product")))
    return made, list(open_ones)
