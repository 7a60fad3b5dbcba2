"""Dated work along a tape measure: one row a step, a stroke for a day, a bar for a window, a tick every so many days.

Where each lies is drawn from the dates of the answer; the dates themselves are worked out elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from assistant.answer import Figure
from assistant.interfaces.ink import PLAIN, QUIET, STRONG, Row, wide
from assistant.terms import short_day

_TICK = 7  # columns between two ticks: a week, where a column is a day
_FAR = 130  # days behind the first beyond which a step is named by its date alone
_ROOM = 22  # columns that the tape has at least; longer names end in dots
LEAST = 4  # dated steps that make a tape


def tape(figures: Sequence[Figure], width: int, today: date, states: dict[str, str] | None = None) -> list[Row]:
    """The steps along the tape, in the order given; nothing where there are too few to need one.

    What is done is ticked off with an x and stands back, what is due stands out, what is dropped is named so.
    """
    dated = [one for one in figures if one.day is not None]
    if len(dated) < LEAST:
        return []
    first = min(_from(one) for one in dated)
    near = [one for one in dated if (_from(one) - first).days <= _FAR] or dated
    last = max(min(_until(one), first + timedelta(days=_FAR)) for one in near)
    if first < today <= last + timedelta(days=_TICK):
        last = max(last, today)
    names = min(max(wide(one.label) for one in dated), max(width - 6 - _ROOM, 12))
    room = width - names - 6
    each = -(-((last - first).days + 1) // room)  # days a column, so that the whole of it fits
    long = (last - first).days // each + 1
    rows = _edge(first, each, long, names)
    for one in dated:
        state = (states or {}).get(one.label, "")
        ink = {"done": QUIET, "dropped": QUIET, "due": STRONG}.get(state, PLAIN)
        rows.append(((ink, f"  {_fit(one.label, names)}  "), *_stroke(one, first, each, long, state)))
    if first <= today <= last:
        under = (today - first).days // each
        words = f"^ today, {short_day(today)}"
        left = under if under + len(words) <= room else max(under - len(words) + 1, 0)
        words = words if left == under else f"today, {short_day(today)} ^"
        rows.append(((QUIET, " " * (names + 4 + left) + words),))
    return rows


def _from(one: Figure) -> date:
    assert one.day is not None
    return one.day


def _until(one: Figure) -> date:
    return one.until or _from(one)


def _fit(label: str, room: int) -> str:
    if wide(label) > room:
        while wide(label) > room - 2:
            label = label[:-1]
        label += ".."
    return label + " " * (room - wide(label))


def _edge(first: date, each: int, long: int, names: int) -> list[Row]:
    """The edge of the tape: a day over every second tick, and the ticks."""
    days = ""
    for place in range(0, long, 2 * _TICK):
        days = f"{days:<{place}}{short_day(first + timedelta(days=place * each))}"
    ticks = "".join("|" if place % _TICK == 0 else "'" for place in range(long))
    left = " " * (names + 4)
    return [((QUIET, left + days),), ((QUIET, left + ticks),)]


def _stroke(one: Figure, first: date, each: int, long: int, state: str) -> Row:
    begin, end = ((day - first).days // each for day in (_from(one), _until(one)))
    if begin >= long:
        return ((QUIET, f"after it, {short_day(_from(one))} {_from(one).year}"),)
    if state == "dropped":
        return ((QUIET, " " * min(begin, max(long - len(state), 0)) + state),)
    cut = end >= long
    mark = "=" * (min(end, long - 1) - begin + 1)
    if _until(one) == _from(one):
        mark = "x" if state == "done" else "o"
    elif cut and len(mark) > 1:
        mark = mark[:-1] + ">"
    return ((PLAIN, " " * begin), (QUIET if state == "done" else STRONG, mark))
