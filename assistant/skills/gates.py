"""What must be over before seed may go down, and before a herbicide may go on new grass: each with its day and reason.

An interval of the knowledge base is a check; the label in the user's hand stands above it, and every answer says so.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from assistant.answer import ANSWERED, Answer, Figure
from assistant.calculations.season import later
from assistant.knowledge_base import row_of
from assistant.lawn.state import LawnState
from assistant.skills.turn import Turn
from assistant.terms import Row, Slot, capital, day_words

_ANY = "ingredients.any_herbicide"


def waits_after(turn: Turn, tank: Slot, day: date) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """When seed may go down after an ingredient, in words, with the sources."""
    rows = _rows(turn, str(tank.value), "before_seed")
    lines = [f"Seed after it: {_words(turn, row)}: {_span(row, day)}." for row in rows]
    if not rows:
        lines = ["How long seed must wait after it stands on its label; I have no printed interval."]
    return (*lines, "The label's own wait decides."), tuple(row.source for row in rows)


def before_seed(turn: Turn, tank: Slot, day: Slot | None = None, seed_day: Slot | None = None) -> Answer:
    """How long seed must wait after an ingredient, and the earliest day where the day of the spray is known."""
    name = turn.knowledge.name(str(tank.value))
    rows = _rows(turn, str(tank.value), "before_seed")
    cautions = (turn.knowledge.entry("cautions.label"),)
    used = day.amount.day if day else _last_use(turn.lawn, str(tank.value))
    if not rows:
        words = f"How long to wait after {name} before seeding stands on its label; I have no printed interval for it."
        pot = (
            "Without a label: sow a pot of that soil and a pot of clean soil, and compare (common practice, no source)."
        )
        return Answer(ANSWERED, words, lines=(pot,), inputs=(tank,), cautions=cautions)
    first = rows[0]
    headline = f"After {name}, seed waits {_words(turn, first)}"
    figures: tuple[Figure, ...] = (
        turn.figure("wait before seeding", first.amount.q, first.amount.unit)
        if first.amount.unit != "month"
        else Figure("wait before seeding", "", first.amount.low, first.amount.high, "month"),
    )
    if used:
        headline = f"Seed from {day_words(_on(first, used))}: {name} on {day_words(used)}, then {_words(turn, first)}"
        figures = (Figure("earliest seed day", day=_on(first, used, low=True), until=_on(first, used)), *figures)
    others = [f"Also printed: {_words(turn, row)}{f', so {_span(row, used)}' if used else ''}." for row in rows[1:]]
    planned = _planned(seed_day, used, first)
    return Answer(
        ANSWERED,
        headline,
        verdict="no" if planned else None,
        figures=figures,
        lines=(*planned, *others, "The label's own wait decides; where it is longer, it stands."),
        inputs=(tank, *((day,) if day else ()), *((seed_day,) if seed_day else ())),
        cautions=cautions,
        sources=turn.cite(*(row.source for row in rows)),
    )


def after_seed(turn: Turn, tank: Slot | None = None, seed_day: Slot | None = None, young: Slot | None = None) -> Answer:
    """What new grass must have behind it before an ingredient may go on, counted on this lawn where it has a record."""
    key = str(tank.value) if tank else _ANY
    name = turn.knowledge.name(key)
    rows = _after_seed(turn, key)
    row = rows[0]
    cautions = tuple(turn.knowledge.entry(f"cautions.{one}") for one in ("label", "herbicide_water"))
    unit = row.amount.unit
    least = row.amount.high
    lines: list[str] = []
    figures: list[Figure] = []
    verdict = None
    if unit in ("mowing", ""):
        headline = f"{capital(name)} on new grass: after {_count(row)} mowings"
        figures.append(Figure("mowings before it", "", row.amount.low, row.amount.high, ""))
        if turn.lawn and seed_day:
            cuts = _cuts(turn, seed_day)
            verdict = "no" if cuts < least else "care"
            lines.append(
                f"On record since seed day: {cuts} mowing{'' if cuts == 1 else 's'}"
                + (f"; {least - cuts:g} more." if cuts < least else ".")
            )
    else:
        headline = f"{capital(name)} on new grass: after {_words(turn, row)}"
        figures.append(turn.figure("wait after seeding", row.amount.q, unit))
        if seed_day:
            lines.append(f"Seed day {day_words(seed_day.amount.day)}: {_span(row, seed_day.amount.day)}.")
    if not _rows(turn, key, "after_seed"):
        lines.append(f"I have no printed interval for it; in general: {row.note}.")
    lines.append("The label's words on new grass decide.")
    return Answer(
        ANSWERED,
        headline,
        verdict=verdict,
        figures=tuple(figures),
        lines=tuple(lines),
        inputs=tuple(slot for slot in (tank, seed_day) if slot),
        cautions=cautions,
        sources=turn.cite(*(one.source for one in rows)),
    )


def too_young(turn: Turn, tank: Slot, seed_day: Slot | None, day: date) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Said where an ingredient goes on new grass before what is printed for it, with the sources; empty where it may."""
    if seed_day is None or day < seed_day.amount.day:
        return (), ()
    row = _after_seed(turn, str(tank.value))[0]
    age = (day - seed_day.amount.day).days
    if row.amount.unit in ("mowing", ""):
        early = _cuts(turn, seed_day) < row.amount.high
        wait = f"{_count(row)} mowings ({turn.short(row.source)})"
    else:
        early = day < _on(row, seed_day.amount.day)
        wait = _words(turn, row)
    if not early:
        return (), ()
    words = f"New grass, day {age}: {turn.knowledge.name(str(tank.value))} on it waits {wait}. It may be harmed; the label decides."
    return (words,), (row.source,)


def against_seed(turn: Turn, state: LawnState, seed_day: date) -> list[tuple[str, str]]:
    """(why, source) of everything on record that speaks against a seed day: residues, and a ban on watering."""
    found = []
    for why, last_day, source in residues(replace(turn, lawn=state), seed_day):
        found.append((f"{why}, until {day_words(last_day)} to be safe; the label decides", source))
    for event in state.held:
        until = event.body.get("until")
        if "sow" in event.body.get("kinds", ()) and until and event.happened_on <= seed_day.isoformat() <= until:
            last = day_words(date.fromisoformat(until))
            found.append((f"{event.body['what']} to {last}: {event.body['why']}", "common practice"))
    return found


def residues(turn: Turn, since: date) -> list[tuple[str, date, str]]:
    """(why, until, source) of what went down on this lawn and still keeps seed off it on a day."""
    found = []
    for event in turn.lawn.used if turn.lawn else ():
        key = event.went_down
        rows = _rows(turn, key, "before_seed")
        used = date.fromisoformat(event.happened_on)
        if rows and used <= since < _on(rows[0], used):
            words = f"{turn.knowledge.name(key)} on {day_words(used)}: seed waits {_words(turn, rows[0])}"
            found.append((words, _on(rows[0], used), rows[0].source))
    return found


def _planned(seed_day: Slot | None, used: date | None, row: Row) -> list[str]:
    """Said where a seed day is known that comes too early."""
    if seed_day is None or used is None or seed_day.amount.day >= _on(row, used):
        return []
    if seed_day.amount.day < used:
        return []
    early = (_on(row, used) - seed_day.amount.day).days
    by = f"{early} day{'s' if early > 1 else ''}"
    return [f"Your seed day {day_words(seed_day.amount.day)} is too early for it by {by}."]


def _rows(turn: Turn, key: str, field: str) -> list[Row]:
    section, _, entry = key.partition(".")
    if section != "ingredients":
        return []
    held: Any = turn.knowledge.entry(f"ingredients.{entry}.{field}") or ()
    return [row_of(row) for row in held]


def _after_seed(turn: Turn, key: str) -> list[Row]:
    """What is printed of an ingredient on new grass; where nothing is, what holds of any herbicide."""
    return _rows(turn, key, "after_seed") or turn.knowledge.rows("thresholds.young_grass.herbicide_mowings")[:1]


def _cuts(turn: Turn, seed_day: Slot) -> int:
    """The mowings on record since seed day."""
    from assistant.skills.running import running_or_first  # running looks at what stands against a seed day

    return running_or_first(turn, seed_day).cuts()


def _on(row: Row, day: date, low: bool = False) -> date:
    return later(day, row.amount.low if low else row.amount.high, row.amount.unit)


def _span(row: Row, day: date) -> str:
    early, late = _on(row, day, low=True), _on(row, day)
    return (
        f"from {day_words(late)}"
        if early == late
        else f"from {day_words(early)} at the earliest, {day_words(late)} to be safe"
    )


def _words(turn: Turn, row: Row) -> str:
    beside = ", ".join(one for one in (row.where, row.note) if one)
    plural = "" if row.amount.high == 1 else "s"
    return f"{_count(row)} {row.amount.unit}{plural} ({f'{beside}; ' if beside else ''}{turn.short(row.source)})"


def _count(row: Row) -> str:
    low, high = row.amount.low, row.amount.high
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _last_use(state: LawnState | None, key: str) -> date | None:
    days = [event.happened_on for event in state.used if event.went_down == key] if state else []
    return date.fromisoformat(max(days)) if days else None
