"""Days of the season that several skills need: the fall that is meant, frost and normal days of the record, in words."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from assistant.calculations import season
from assistant.skills.turn import Turn
from assistant.terms import Slot, short_day

ADD_TABLE = "A station's daily file answers it: ligule weather add FILE (CSV with DATE, TMAX, TMIN)."


def falls_of(turn: Turn, threshold: int, year: int = 0) -> season.FrostDates | None:
    """The fall dates of a threshold in a year; without one in this season's, before April those of the fall gone by."""
    events = turn.weather.summary.get("falls", {}).get(str(threshold), []) if turn.weather else []
    return season.frost_dates(events, date(year or fall_year(turn), 8, 1), float(threshold))


def fall_year(turn: Turn) -> int:
    """In winter the fall that is over is last year's; from April on people mean the one to come."""
    day = turn.now.day
    return day.year - 1 if day.month < 4 else day.year


def normals_of(turn: Turn) -> dict[tuple[int, int], float]:
    held = turn.weather.summary.get("normals", {}) if turn.weather else {}
    return {(int(key[:2]), int(key[3:])): mean for key, mean in held.items()}


def on(year: int, month_day: str) -> date:
    return date(year, int(month_day[:2]), int(month_day[3:]))


def feed_ends(
    turn: Turn, state: Slot | None, year: int, hard_freeze: date | None = None
) -> list[tuple[date, str, str]]:
    """What ends nitrogen in the fall of a year, the earliest first: the day, why, and the source.

    The law of the state, the last normal week in which grass grows, and so long before the hard freeze.
    """
    bounds = []
    for row in law_rows(turn, state):
        if "N" in row["nutrients"] and "most" not in row:
            name = turn.knowledge.name(str(state.value)) if state else ""
            bounds.append((on(year, row["from"]) - timedelta(days=1), f"The law of {name} ends it", row["source"]))
    ends = turn.knowledge.rows("season.growth_ends")[0]
    normals = normals_of(turn)
    grows = season.last_warm_day(normals, ends.amount.low, year) if normals else None
    if grows:
        mean = turn.say(ends.amount.q, "degF")
        bounds.append((grows, f"Growth ends: the last week with a normal mean of {mean} or more", ends.source))
    before = turn.knowledge.rows("season.before_hard_freeze")[0]
    hard = falls_of(turn, 28, year)
    freeze = hard.median if hard else hard_freeze
    if freeze:
        days = int(before.amount.low)
        why = f"{days} days before the median 28 °F of {short_day(freeze)}"
        bounds.append((freeze - timedelta(days=days), why, before.source))
    return sorted(bounds)


def law_rows(turn: Turn, state: Slot | None) -> list[dict[str, Any]]:
    """The closed dates of a state's law; none where no state is known."""
    return _of_state(turn, state, "law")


def limit_rows(turn: Turn, state: Slot | None) -> list[dict[str, Any]]:
    """What a state's law limits all year; none where no state is known."""
    return _of_state(turn, state, "limits")


def _of_state(turn: Turn, state: Slot | None, field: str) -> list[dict[str, Any]]:
    return list(turn.knowledge.entry(f"states.{str(state.value).partition('.')[2]}.{field}") or ()) if state else []
