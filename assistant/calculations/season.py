"""The season from a record of daily weather: frost dates, the end of growth, soil, germination. Series are plain numbers
in °F and inches, one entry a day; what a single question gives are quantities."""

from __future__ import annotations

import math
import statistics
from calendar import monthrange
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from assistant.units import Q

_ALMOST = 0.95  # of the days that count, so many must be there


@dataclass(frozen=True, slots=True)
class Day:
    """One day of a station: high and low in °F, rain in inches; None where it was not measured."""

    day: date
    high: float | None = None
    low: float | None = None
    rain: float | None = None

    @property
    def mean(self) -> float | None:
        return None if self.high is None or self.low is None else (self.high + self.low) / 2


@dataclass(frozen=True, slots=True)
class FrostDates:
    """The dates by which the first (or after which the last) low at a threshold comes in 1, 5 and 9 years of 10."""

    threshold: float
    early: date
    median: date
    late: date
    years: int


def first_falls(days: Iterable[Day], threshold: float) -> list[int]:
    """Days after 1 August of the first low at or below a threshold (°F), one a season that has it.

    A low is rounded to whole degrees first, as records are kept. A season that lacks more than a twentieth of its days
    from August to December is left out.

    Source: mrcc (first date in fall that the minimum reaches the threshold).
    """
    seasons: dict[int, list[tuple[int, float]]] = {}
    for one in days:
        if one.low is not None and one.day.month >= 8:
            seasons.setdefault(one.day.year, []).append(((one.day - date(one.day.year, 8, 1)).days, one.low))
    return _events(seasons, threshold, whole=153, first=True)


def last_springs(days: Iterable[Day], threshold: float) -> list[int]:
    """Days after 1 January of the last low at or below a threshold (°F) before August, one a year that has it.

    Source: mrcc.
    """
    years: dict[int, list[tuple[int, float]]] = {}
    for one in days:
        if one.low is not None and one.day.month <= 7:
            years.setdefault(one.day.year, []).append(((one.day - date(one.day.year, 1, 1)).days, one.low))
    return _events(years, threshold, whole=212, first=False)


def _events(groups: dict[int, list[tuple[int, float]]], threshold: float, whole: int, first: bool) -> list[int]:
    found = []
    for group in groups.values():
        if len(group) < _ALMOST * whole:
            continue
        cold = [place for place, low in group if round(low) <= threshold]
        if cold:
            found.append(min(cold) if first else max(cold))
    return found


def frost_dates(events: Sequence[int], start: date, threshold: float) -> FrostDates | None:
    """The 10, 50 and 90 % dates of events given in days after a start; None where there are fewer than two.

    Quantiles run on a straight line between the years. Source: mrcc (early is the 10th percentile, late the 90th).

    >>> frost_dates([90, 95, 100], date(2026, 8, 1), 32).median
    datetime.date(2026, 11, 4)
    """
    if len(events) < 2:
        return None
    tenths = statistics.quantiles(events, n=10, method="inclusive")
    early, median, late = (start + timedelta(days=round(days)) for days in (tenths[0], tenths[4], tenths[8]))
    return FrostDates(threshold, early, median, late, len(events))


def growth_potential(mean: Any, warm: bool = False) -> Any:
    """How much of its best growth a grass has at a mean temperature: exp(-0.5 ((t - best) / spread)^2).

    Best 20 °C and spread 5.5 for cool-season, 31 and 7 for warm-season grass, which keeps its best above.

    >>> round(growth_potential(Q(10, "degC")).m_as(""), 3), round(growth_potential(Q(20, "degC")).m_as(""), 3)
    (0.191, 1.0)

    Source: gp-14.
    """
    t = mean.m_as("degC")
    best, spread = (31.0, 7.0) if warm else (20.0, 5.5)
    if warm and t >= best:
        return Q(1.0, "")
    return Q(math.exp(-0.5 * ((t - best) / spread) ** 2), "")


def soil_from_air(means: Sequence[float]) -> float:
    """Soil at 4 in under bare ground, °F, from the daily mean air temperatures of the last days, the newest last.

    The mean of eleven days, and a quarter of the last day's change. Without a local fit it is good to about 5 °F.

    >>> soil_from_air([60.0] * 11)
    60.0

    Source: soil93 (standard error 2.7 to 5.2 °F over 19 places).
    """
    last = list(means)[-11:]
    change = last[-1] - last[-2] if len(last) > 1 else 0.0
    return statistics.fmean(last) + 0.25 * change


def days_to_germinate(heat: Any, base: Any, soil: Any) -> Any:
    """Days to half of the germination on a bench: heat sum above a base / (soil temperature - base).

    Raises ValueError where the soil is at or below the base.

    >>> round(days_to_germinate(Q(115.6, "delta_degC * day"), Q(2.6, "degC"), Q(60, "degF")).m_as("day"), 1)
    8.9

    Source: cs-tt.
    """
    above = soil.m_as("degC") - base.m_as("degC")
    if above <= 0:
        raise ValueError("At that soil temperature it does not germinate.")
    return Q(heat.m_as("delta_degC * day") / above, "day")


def normal_means(days: Iterable[Day]) -> dict[tuple[int, int], float]:
    """The mean of each day of the calendar over all years of a record, °F; 29 February is left out.

    Source: noaa-supp (daily normals are means over the years).
    """
    sums: dict[tuple[int, int], list[float]] = {}
    for one in days:
        if one.mean is not None and (one.day.month, one.day.day) != (2, 29):
            sums.setdefault((one.day.month, one.day.day), []).append(one.mean)
    return {key: statistics.fmean(values) for key, values in sums.items()}


def last_warm_day(normals: dict[tuple[int, int], float], limit: float, year: int) -> date | None:
    """The last day of fall whose normal mean of seven days is at or above a limit (°F).

    Source: ndsu-n (growth ends where it stays below 50 °F; a week is seven days).
    """
    found = None
    for step in range((date(year, 12, 31) - date(year, 8, 1)).days + 1):
        day = date(year, 8, 1) + timedelta(days=step)
        week = [
            normals.get(((day - timedelta(days=back)).month, (day - timedelta(days=back)).day)) for back in range(7)
        ]
        known = [one for one in week if one is not None]
        if len(known) == 7 and statistics.fmean(known) >= limit:
            found = day
    return found


def degree_days_of(days: Iterable[Day], base: float) -> float:
    """Growing degree days of a row of days: mean less base, never below zero (°F days).

    >>> degree_days_of([Day(date(2026, 5, 1), 74, 52), Day(date(2026, 5, 2), 50, 40)], 50)
    13.0

    Source: nrcc-gdd.
    """
    return sum(max(0.0, one.mean - base) for one in days if one.mean is not None)


def public_holidays(year: int, fixed: Iterable[str], moving: Iterable[dict[str, int]]) -> frozenset[date]:
    """The public holidays of a year. `fixed` are month-days (`07-04`; on a Saturday kept on Friday, on a Sunday on
    Monday), `moving` the nth weekday of a month (`{"month": 9, "weekday": 0, "nth": 1}` is Labor Day; -1 is the last).

    >>> sorted(public_holidays(2026, ["07-04"], [{"month": 9, "weekday": 0, "nth": 1}]))
    [datetime.date(2026, 7, 3), datetime.date(2026, 9, 7)]

    Source: usc-5-6103.
    """
    made = set()
    for month_day in fixed:
        day = date(year, int(month_day[:2]), int(month_day[3:]))
        made.add(day + timedelta(days={5: -1, 6: 1}.get(day.weekday(), 0)))
    for rule in moving:
        month, weekday, nth = rule["month"], rule["weekday"], rule["nth"]
        first = date(year, month, 1)
        days = [first + timedelta(days=n) for n in range((weekday - first.weekday()) % 7, 31, 7)]
        made.add([day for day in days if day.month == month][nth - 1 if nth > 0 else nth])
    return frozenset(made)


def working_days_before(day: date, count: int, free: Container[date]) -> date:
    """The day that leaves so many whole working days before another; weekends and the days in `free` do not count.

    >>> working_days_before(date(2026, 9, 9), 3, {date(2026, 9, 7)})
    datetime.date(2026, 9, 2)

    Source: common practice.
    """
    left = count + 1  # the day of the call is not counted
    while left:
        day -= timedelta(days=1)
        if day.weekday() < 5 and day not in free:
            left -= 1
    return day


def later(day: date, count: float, unit: str) -> date:
    """A day so many days, weeks or calendar months after another; a month that is too short ends on its last day.

    >>> later(date(2026, 5, 1), 4, "month"), later(date(2026, 10, 31), 4, "month")
    (datetime.date(2026, 9, 1), datetime.date(2027, 2, 28))

    Source: common practice.
    """
    if unit != "month":
        return day + timedelta(days=math.ceil(count * {"day": 1, "week": 7}[unit]))
    months = day.month - 1 + math.ceil(count)
    year, month = day.year + months // 12, months % 12 + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))
