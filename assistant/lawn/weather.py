"""The weather of places: one SQLite file beside the journal. A day or an hour told again replaces the old one."""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Iterable
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.lawn.store import StoreError

if TYPE_CHECKING:
    from assistant.calculations.season import Day

_VERSION = 1
_MAKE = """
CREATE TABLE IF NOT EXISTS daily (place TEXT NOT NULL, day TEXT NOT NULL, high REAL, low REAL, rain REAL,
  PRIMARY KEY (place, day)) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS summary (place TEXT PRIMARY KEY, body TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS hourly (place TEXT NOT NULL, hour TEXT NOT NULL, temperature REAL, humidity REAL, wind REAL,
  gust REAL, rain REAL, PRIMARY KEY (place, hour)) WITHOUT ROWID;
"""
THRESHOLDS = (36, 32, 28, 24)  # °F: frost, freeze, hard freeze, and what is harder
_DAILY = ("high", "low", "rain")
_HOURLY = ("temperature", "humidity", "wind", "gust", "rain")


class Weather:
    """Daily records and hourly forecasts by place. Nothing is made before the first table is kept."""

    def __init__(self, home: Path) -> None:
        self.path = home / "weather.sqlite"

    def places(self) -> tuple[str, ...]:
        """The places with a record, in the order of their names."""
        rows = self._rows("SELECT place FROM daily UNION SELECT place FROM hourly ORDER BY 1")
        return tuple(row[0] for row in rows)

    def daily(self, place: str, since: str = "") -> list[tuple[Any, ...]]:
        """(ISO day, high, low, rain) of a place, oldest first."""
        return self._rows(
            "SELECT day, high, low, rain FROM daily WHERE place = ? AND day >= ? ORDER BY day", (place, since)
        )

    def hourly(self, place: str, since: str, until: str) -> list[tuple[Any, ...]]:
        """(ISO hour, temperature, humidity, wind, gust, rain) of a place between two hours, oldest first."""
        query = (
            f"SELECT hour, {', '.join(_HOURLY)} FROM hourly WHERE place = ? AND hour >= ? AND hour < ? ORDER BY hour"
        )
        return self._rows(query, (place, since, until))

    def summary(self, place: str) -> dict[str, Any]:
        """What the daily record of a place comes to: frost days by threshold, normal means, first and last day."""
        rows = self._rows("SELECT body FROM summary WHERE place = ?", (place,))
        return json.loads(rows[0][0]) if rows else {}

    def keep(self, place: str, kind: str, rows: Iterable[dict[str, object]]) -> int:
        """Writes the rows of a table in one transaction; gives how many."""
        when, columns = ("day", _DAILY) if kind == "daily" else ("hour", _HOURLY)
        made = [(place, _iso(row[when]), *(row.get(column) for column in columns)) for row in rows]
        marks = ", ".join("?" * (2 + len(columns)))
        try:
            with self._writable() as opened:
                opened.executemany(f"INSERT OR REPLACE INTO {kind} VALUES ({marks})", made)
                if kind == "daily":
                    told = opened.execute(
                        "SELECT day, high, low, rain FROM daily WHERE place = ? ORDER BY day", (place,)
                    )
                    body = json.dumps(_summed(days_of(told)))
                    opened.execute("INSERT OR REPLACE INTO summary VALUES (?, ?)", (place, body))
        except (sqlite3.Error, OSError) as problem:
            raise StoreError(
                f"The weather {self.path} could not be written; make room or choose another folder with --home ({problem})."
            ) from problem
        return len(made)

    def _rows(self, query: str, values: tuple[str, ...] = ()) -> list[tuple[Any, ...]]:
        if not self.path.exists():
            return []
        try:
            return (
                sqlite3.connect(self.path.absolute().as_uri() + "?mode=ro", uri=True).execute(query, values).fetchall()
            )
        except sqlite3.Error as problem:
            raise StoreError(
                f"The weather {self.path} could not be read; move it away and add the files again ({problem})."
            ) from problem

    def _writable(self) -> sqlite3.Connection:
        self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not self.path.exists():
            os.close(os.open(self.path, os.O_CREAT | os.O_RDWR, 0o600))
        opened = sqlite3.connect(self.path, timeout=30)
        version = opened.execute("PRAGMA user_version").fetchone()[0]
        if version > _VERSION:
            raise StoreError(
                f"The weather {self.path} was written by a newer ligule, use that one; nothing was touched."
            )
        opened.executescript(f"PRAGMA journal_mode = WAL; {_MAKE} PRAGMA user_version = {_VERSION};")
        return opened


class PlaceWeather:
    """The weather of one place, read when it is looked at."""

    def __init__(self, weather: Weather, place: str) -> None:
        self.weather, self.place = weather, place

    @cached_property
    def summary(self) -> dict[str, Any]:
        return self.weather.summary(self.place)

    def days(self, since: date) -> list[Day]:
        """The daily record from a day on, oldest first."""
        return days_of(self.weather.daily(self.place, since.isoformat()))

    def hours(self, since: datetime, until: datetime) -> list[tuple[Any, ...]]:
        """The hourly table between two moments."""
        return self.weather.hourly(self.place, _iso(since), _iso(until))


def place_of(weather: Weather | None, lawn: str) -> PlaceWeather | None:
    """The place whose weather a lawn has: one of the lawn's name, else the only one, else `home`."""
    places = weather.places() if weather else ()
    if weather is None or not places:
        return None
    same = [place for place in places if place.casefold() == lawn.casefold()]
    name = same[0] if same else places[0] if len(places) == 1 else "home" if "home" in places else ""
    return PlaceWeather(weather, name) if name else None


def days_of(rows: Iterable[tuple[Any, ...]]) -> list[Day]:
    """Rows of the daily record as days."""
    from assistant.calculations.season import Day

    return [Day(date.fromisoformat(day), high, low, rain) for day, high, low, rain in rows]


def _summed(days: list[Day]) -> dict[str, Any]:
    """Worked out once when a table is kept, so that a question about frost reads one row."""
    from assistant.calculations.season import first_falls, last_springs, normal_means

    return {
        "first": days[0].day.isoformat(),
        "last": days[-1].day.isoformat(),
        "days": len(days),
        "falls": {str(threshold): first_falls(days, threshold) for threshold in THRESHOLDS},
        "springs": {str(threshold): last_springs(days, threshold) for threshold in THRESHOLDS},
        "normals": {f"{month:02}-{day:02}": mean for (month, day), mean in normal_means(days).items()},
    }


def _iso(moment: object) -> str:
    if isinstance(moment, datetime):
        return moment.strftime("%Y-%m-%dT%H:%M")
    assert isinstance(moment, date)
    return moment.isoformat()
