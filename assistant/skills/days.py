"""Days counted: between two, to today, and on from one."""

from __future__ import annotations

from dataclasses import replace

from assistant.answer import ANSWERED, Answer, Figure, amount_words
from assistant.calculations import season
from assistant.skills.turn import Turn
from assistant.terms import Slot, day_words
from assistant.wording import written


def between(turn: Turn, day: Slot, until: Slot | None = None) -> Answer:
    """How many days lie between two, or between one and today."""
    return _between(turn, day, until, "")


def since_seed(turn: Turn, seed_day: Slot, until: Slot | None = None) -> Answer:
    """How many days after seed day it is, or will be on another day."""
    return _between(turn, seed_day, until, "seed day ")


def after(turn: Turn, day: Slot, span: Slot | None = None) -> Answer:
    """The day so many days, weeks or months after another; `3 weeks from today` was read as its day already."""
    if span is None:
        found = day.amount.day
        return Answer(ANSWERED, day_words(found), figures=(Figure("day", day=found),), inputs=(day,))
    return _counted_on(turn, span, day, 1, "")


def before(turn: Turn, span: Slot, day: Slot) -> Answer:
    """The day so many days, weeks or months before another."""
    return _counted_on(turn, span, day, -1, "")


def after_seed(turn: Turn, span: Slot, seed_day: Slot) -> Answer:
    """The day so many days, weeks or months after seed day, which is day 0."""
    return _counted_on(turn, span, seed_day, 1, "seed day, ")


def _counted_on(turn: Turn, span: Slot, day: Slot, way: int, called: str) -> Answer:
    amount, start = span.amount, day.amount.day
    if amount.kind == "count":  # `day 42` of the program
        amount = replace(amount, kind="duration", units=("day",), of="")
    found = sorted(season.later(start, way * count, amount.unit) for count in (float(amount.low), float(amount.high)))
    words = day_words(found[0]) if amount.single else f"{day_words(found[0])} to {day_words(found[1])}"
    side = "after" if way > 0 else "before"
    return Answer(
        ANSWERED,
        f"{words}: {amount_words(amount)} {side} {called}{day_words(start)}",
        figures=(Figure("day", day=found[0], until=None if amount.single else found[1]),),
        inputs=(span, day),
    )


def _between(turn: Turn, day: Slot, until: Slot | None, called: str) -> Answer:
    first, last = day.amount.day, until.amount.day if until else turn.now.day
    days = abs((last - first).days)
    weeks, rest = divmod(days, 7)
    in_weeks = f", {written(weeks, weeks, 'week')}" if weeks else ""
    in_weeks += f" and {written(rest, rest, 'day')}" if weeks and rest else ""
    ends = [f"{called}{day_words(first)}", f"{'' if until else 'today, '}{day_words(last)}"]
    ends = ends if first <= last else ends[::-1]
    return Answer(
        ANSWERED,
        f"{written(days, days, 'day')}{in_weeks}: from {ends[0]} to {ends[1]}",
        figures=(Figure("days", low=float(days), high=float(days), unit="day"),),
        inputs=tuple(slot for slot in (day, until) if slot),
    )
