"""What was done: pounds of nutrients this year against the budget, the history, and what was known on a day."""

from __future__ import annotations

from datetime import date
from typing import Any

from assistant.answer import ANSWERED, REFUSED, Answer, Figure, amount_words, describe
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.shelf import used_of
from assistant.lawn.state import LawnState, fold
from assistant.skills.area import total_of
from assistant.skills.labels import NUTRIENTS, label_of
from assistant.skills.running import PER
from assistant.skills.turn import Turn
from assistant.terms import Amount, Range, Slot, day_words, over_range
from assistant.units import Q


def account(
    turn: Turn,
    nutrient: Slot | None = None,
    area: Slot | None = None,
    species: Slot | None = None,
    place: Slot | None = None,
) -> Answer:
    """N, P2O5 and K2O per 1,000 sq ft that went down since 1 January, against the year's budget and the limit of the place."""
    if turn.lawn is None or not turn.lawn.live:
        return Answer(REFUSED, "Nothing is on record of that lawn yet.")
    ground = total_of(area) if area else None
    totals, rows, sources = _put_down(turn, turn.lawn, ground)
    if not rows:
        return Answer(ANSWERED, f"Nothing is on record as put down in {turn.now.day.year}.")
    if ground is None:
        return Answer(ANSWERED, "Per 1,000 sq ft I need the area of the lawn.", lines=tuple(rows))
    wanted = (str(nutrient.value).partition(".")[2],) if nutrient else NUTRIENTS
    figures = [turn.figure(which, totals[which], "lb", PER, of=which) for which in wanted if which in totals]
    lines = [*rows, *_against_budget(turn, totals.get("N"), species, figures, sources)]
    said = ", ".join(f"{turn.say(totals[which], 'lb', PER)} of {which}" for which in wanted if which in totals)
    return Answer(
        ANSWERED,
        f"In {turn.now.day.year} so far: {said or 'no nutrients that I can work out'}",
        figures=tuple(figures),
        lines=tuple(lines),
        inputs=tuple(slot for slot in (area, species) if slot),
        sources=turn.cite(*dict.fromkeys(sources)),
    )


def _put_down(turn: Turn, state: LawnState, ground: Any) -> tuple[dict[str, Any], list[str], list[str]]:
    """Totals per area, a row a product a day, and sources; rows without an analysis are named, not guessed."""
    totals: dict[str, Any] = {}
    rows, sources = [], []
    for day, row in used_of(state.live):
        if day[:4] != str(turn.now.day.year):
            continue
        name = turn.knowledge.name(row["what"])
        amount = _ends(row)
        when = day_words(date.fromisoformat(day))
        guessed = "" if row["said"] else ", by the program's rate"
        label = label_of(turn, row["what"])
        whose = ""
        if row.get("of") in NUTRIENTS:
            parts = {row["of"]: amount}
        elif label is None:
            rows.append(
                f"{when}: {turn.say(amount, row['unit'])} of {name}{guessed}; without an analysis, so not counted."
            )
            continue
        else:
            parts = label.nutrients(amount)
            whose = f" ({label.analysis}, {label.words})" if label.words else ""
        words = ", ".join(f"{turn.say(part, 'lb')} of {which}" for which, part in parts.items())
        rows.append(f"{when}: {turn.say(amount, row['unit'])} of {name}{guessed}{whose}: {words}.")
        if ground is not None:
            for which, part in parts.items():
                each = over_range(lambda one: one / ground, part)
                totals[which] = over_range(lambda a, b: a + b, totals[which], each) if which in totals else each
        sources.append(row.get("source", ""))
    return totals, rows, sources


def _ends(row: dict[str, Any]) -> Any:
    low, high = Q(row["low"], row["unit"]), Q(row["high"], row["unit"])
    return low if row["low"] == row["high"] else Range(low, high)


def _against_budget(
    turn: Turn, nitrogen: Any, species: Slot | None, figures: list[Figure], sources: list[str]
) -> list[str]:
    """Nitrogen against what the grass takes in a year, and against a limit that was told for the place."""
    if nitrogen is None:
        return []
    lines = []
    rows = turn.knowledge.rows(f"{species.value}.nitrogen_per_year") if species else []
    row = rows[0] if rows else turn.knowledge.rows("mowing.yearly_nitrogen")[0]
    name = turn.knowledge.name(str(species.value)) if species else "a cool-season lawn"
    lines.append(f"{name[:1].upper()}{name[1:]} takes {turn.row_words(row, 'lb', PER)} of nitrogen in a year.")
    sources.append(row.source)
    limit = turn.lawn.facts.get("nitrogen_limit") if turn.lawn else None
    if limit:
        cap = limit.amount.q if limit.amount.per else Q(limit.amount.low, "lb") / Q(1000, "sq_ft")
        most = nitrogen.high if isinstance(nitrogen, Range) else nitrogen
        left = cap - most
        figures.append(turn.figure("left to the limit", left, "lb", PER, of="N"))
        over = left.magnitude < 0
        lines.append(
            f"Your limit of {turn.say(cap, 'lb', PER)} a year: "
            + (f"over it by {turn.say(-left, 'lb', PER)}." if over else f"{turn.say(left, 'lb', PER)} left.")
        )
    return lines


def history(turn: Turn, place: Slot | None = None) -> Answer:
    """Everything that stands on the record of a lawn, by the day it happened."""
    if turn.lawn is None or not turn.lawn.live:
        return Answer(REFUSED, "Nothing is on record of that lawn yet.")
    live = sorted(turn.lawn.live, key=lambda event: (event.happened_on, event.seq))
    return Answer(
        ANSWERED,
        f"{turn.lawn.name[:1].upper()}{turn.lawn.name[1:]}: {len(live)} entries",
        lines=tuple(_entry(event) for event in live),
    )


def _entry(event: Event) -> str:
    words = describe(event).partition(": ")[2]
    if event.kind == kinds.NOTE:
        words = f"note: {event.text}"
    put = ", ".join(f"{row['high']:g} {row['unit']}" for row in event.body.get("put", ()) if row["said"])
    return f"{day_words(date.fromisoformat(event.happened_on))}: {words}{f' ({put})' if put else ''}."


def known(turn: Turn, day: Slot, place: Slot | None = None) -> Answer:
    """What was on record of a lawn on the evening of an earlier day, as it had been said until then."""
    if turn.lawn is None:
        return Answer(REFUSED, "Which lawn? Nothing is on record of it.")
    meant = day.amount.day
    if meant > turn.now.day:  # of a day of the year the one gone by
        meant = meant.replace(year=meant.year - 1, day=min(meant.day, 28) if meant.month == 2 else meant.day)
    until = meant.isoformat()
    told = [event for event in turn.events(turn.lawn.name) if event.said_on <= until]
    state = fold(turn.lawn.name, told)
    if not state.live:
        return Answer(ANSWERED, f"On {day_words(meant)} nothing was on record of {turn.lawn.name}.")
    lines = []
    for slot in state.facts.values():
        value = amount_words(slot.amount) if isinstance(slot.value, Amount) else turn.knowledge.name(str(slot.value))
        since = day_words(date.fromisoformat(slot.said_on))
        lines.append(f'{slot.name.replace("_", " ").capitalize()}: {value}, said as "{slot.why}" on {since}.')
    lines += [f"{_entry(event)}" for event in state.live if event.kind not in (kinds.TOLD,)]
    return Answer(
        ANSWERED,
        f"{turn.lawn.name[:1].upper()}{turn.lawn.name[1:]}, as known on {day_words(meant)}:",
        lines=tuple(lines),
    )
