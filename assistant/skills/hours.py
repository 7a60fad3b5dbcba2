"""Which hours of an hourly table are fit for a job, and which rule closes the others."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from assistant.answer import ANSWERED, ASKS, Answer, Ask
from assistant.calculations.weather import day_length, day_of_year
from assistant.skills.today import BORDERLINE, Conditions, Word, job_of, name_of, rain_to_come, together, words_on
from assistant.skills.turn import Turn
from assistant.terms import Amount, Slot

_UNITS = {"temperature": "degF", "wind": "mph", "gust": "mph"}
_RANK = {"yes": 0, "care": 1, BORDERLINE: 2, "no": 3}
_SHOWS = 4  # windows that are told


@dataclass(frozen=True, slots=True)
class Stretch:
    """Hours in a row with one verdict, and the word that decides."""

    start: datetime
    end: datetime
    verdict: str
    deciding: str
    source: str = ""


def fit_hours(
    turn: Turn, tank: Slot | None = None, day: Slot | None = None, work: Slot | None = None, **_: Slot | None
) -> Answer:
    """The fit hours of today and tomorrow, the best first, and what closes the rest."""
    job = _job(turn, tank, work)
    if not job:
        ask = Ask("tank", "What is in the tank: a liquid feed or starter, or a herbicide (which active ingredient)?")
        return Answer(ASKS, "The hours hang on what is in the tank.", asks=ask)
    start = (
        datetime.combine(day.amount.day, datetime.min.time())
        if day
        else turn.now.moment.replace(minute=0, second=0, microsecond=0)
    )
    if not day and not turn.now.has_hour:
        start = start.replace(hour=0)
    end = datetime.combine(start.date(), datetime.min.time()) + timedelta(days=1 if day else 2)
    rows = turn.weather.hours(start, end + timedelta(days=1)) if turn.weather else []
    told = [_hour(row) for row in rows]
    if not [one for one in told if one["hour"] < end]:
        ask = Ask("temperature", "How warm will it be, how much wind, and is rain coming?")
        return Answer(ASKS, "I have no hourly table for that day. Keep one: ligule weather add FILE (CSV with time, temperature, humidity, wind, gust, rain).", asks=ask)  # fmt: skip
    stretches = _stretches(turn, job, told, end)
    open_ones = sorted(
        (one for one in stretches if one.verdict != "no"),
        key=lambda one: (_RANK[one.verdict], one.start - one.end, one.start),
    )
    closed = [one for one in stretches if one.verdict == "no"]
    name = turn.knowledge.name(str(tank.value)) if tank else name_of(turn, job)
    if not open_ones:
        return Answer(
            ANSWERED,
            f"No hour is fit for {name}",
            verdict="no",
            lines=tuple(_closed(closed, start)),
            sources=turn.cite(*(one.source for one in closed)),
        )
    best = open_ones[0]
    lines = [
        f"{_span(one, start)}: {_WORDS[one.verdict]}{f', {one.deciding}' if one.verdict != 'yes' else ''}."
        for one in open_ones[1:_SHOWS]
    ]
    lines += _closed(closed, start)
    return Answer(
        ANSWERED,
        f"Best for {name}: {_span(best, start)}{'' if best.verdict == 'yes' else f', {_WORDS[best.verdict]}: {best.deciding}'}",
        verdict="yes" if best.verdict == "yes" else "care",
        lines=tuple(lines),
        inputs=tuple(slot for slot in (tank, day) if slot),
        cautions=tuple(turn.knowledge.entry(f"cautions.{key}") for key in ("label",) if tank),
        sources=turn.cite(*(one.source for one in stretches)),
    )


_WORDS = {"yes": "yes", "care": "with care", BORDERLINE: "borderline", "no": "no"}


def _job(turn: Turn, tank: Slot | None, work: Slot | None) -> str:
    if work is not None:
        return str(work.value).partition(".")[2]
    return job_of(turn, tank) if tank else ""


def _hour(row: tuple[Any, ...]) -> dict[str, Any]:
    hour, *rest = row
    return {
        "hour": datetime.fromisoformat(hour),
        **dict(zip(("temperature", "humidity", "wind", "gust", "rain"), rest, strict=True)),
    }


def _stretches(turn: Turn, job: str, told: list[dict[str, Any]], end: datetime) -> list[Stretch]:
    made: list[Stretch] = []
    for place, one in enumerate(told):
        if one["hour"] >= end:
            break
        words = words_on(turn, job, _conditions(turn, job, told, place))
        verdict = together(words) if words else "care"
        deciding, source = _deciding(words, verdict)
        last = made[-1] if made else None
        if (
            last
            and last.verdict == verdict
            and last.end == one["hour"]
            and (verdict == "yes" or last.deciding == deciding)
        ):
            made[-1] = Stretch(last.start, one["hour"] + timedelta(hours=1), verdict, deciding, source)
        else:
            made.append(Stretch(one["hour"], one["hour"] + timedelta(hours=1), verdict, deciding, source))
    return made


def _conditions(turn: Turn, job: str, told: list[dict[str, Any]], place: int) -> Conditions:
    """One hour as if it had been said, with the rain of the day that follows it."""
    one = told[place]
    ahead = [later for later in told[place:] if later["hour"] < one["hour"] + timedelta(hours=24)]
    measured = {name: _slot(name, one[name], _UNITS[name]) for name in _UNITS if one[name] is not None}
    rain = sum(later["rain"] or 0.0 for later in ahead)
    light = turn.knowledge.rows("thresholds.forecast.light_wind")[0].amount.low
    signs = []
    if (one["rain"] or 0) > 0:
        signs.append("weather.raining")
    elif any(later["rain"] is not None for later in ahead):
        signs.append(rain_to_come(turn, rain))
    if _low_sun(turn, one["hour"]) and (one["wind"] or 0) < light:
        signs.append("weather.dawn_dusk")
    humid = (
        Slot("humidity", Amount("percent", one["humidity"], one["humidity"], ("percent",)))
        if one["humidity"] is not None
        else None
    )
    return Conditions(measured, humid, weather=Slot("weather", tuple(signs)) if signs else None)


def _slot(name: str, value: float, unit: str) -> Slot:
    return Slot(name, Amount("temperature" if unit == "degF" else "speed", value, value, (unit,)))


def _low_sun(turn: Turn, hour: datetime) -> bool:
    """Near sunrise or sunset, where the latitude is known: from an hour before sunrise to one after, and two before dark."""
    latitude = turn.lawn.facts.get("latitude") if turn.lawn else None
    if latitude is None:
        return False
    half = day_length(latitude.q, day_of_year(hour.date())).m_as("hour") / 2
    noon = 13.2 if 4 <= hour.month <= 10 else 12.2  # clocks of the zones, summer time
    at = hour.hour + 0.5
    return abs(at - (noon - half)) <= 1 or 0 <= (noon + half) - at <= 2


def _deciding(words: list[Word], verdict: str) -> tuple[str, str]:
    """The condition that the verdict hangs on, and its source."""
    worst = [word for word in words if word.says == verdict] or words
    return (worst[0].short, worst[0].source) if worst else ("", "")


def _closed(closed: list[Stretch], start: datetime) -> list[str]:
    return [f"Closed {_span(one, start)}: {one.deciding}." for one in closed[:6]]


def _span(one: Stretch, start: datetime) -> str:
    day = (
        ""
        if one.start.date() == start.date()
        else "tomorrow "
        if (one.start.date() - start.date()).days == 1
        else f"{one.start:%b %-d} "
    )
    last = "24:00" if one.end.hour == 0 else f"{one.end:%H:%M}"
    return f"{day}{one.start:%H:%M} to {last}"
