"""Days of the season that several skills need: the fall that is meant, frost and normal days of the record, in words."""

from __future__ import annotations

from datetime import date

from assistant.calculations import season
from assistant.skills.turn import Turn

ADD_TABLE = "Or keep a station's daily file: ligule weather add FILE (CSV with DATE, TMAX, TMIN)."
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def falls_of(turn: Turn, threshold: int) -> season.FrostDates | None:
    """The fall dates of a threshold in this season's year; before August those of the coming fall."""
    events = turn.weather.summary.get("falls", {}).get(str(threshold), []) if turn.weather else []
    return season.frost_dates(events, date(fall_year(turn), 8, 1), float(threshold))


def fall_year(turn: Turn) -> int:
    """In winter the fall that is over is last year's; from April on people mean the one to come."""
    day = turn.now.day
    return day.year - 1 if day.month < 4 else day.year


def normals_of(turn: Turn) -> dict[tuple[int, int], float]:
    held = turn.weather.summary.get("normals", {}) if turn.weather else {}
    return {(int(key[:2]), int(key[3:])): mean for key, mean in held.items()}


def on(year: int, month_day: str) -> date:
    return date(year, int(month_day[:2]), int(month_day[3:]))


def short(day: date) -> str:
    return f"{_MONTHS[day.month - 1]} {day.day}"
