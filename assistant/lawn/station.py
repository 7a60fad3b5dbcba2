"""Weather tables of the user: a station's daily file, or an hourly forecast. Read row by row; what makes no sense is
left out and named, the rest is kept. Kept in °F, inches, mph and percent."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path

LARGEST = 64_000_000  # bytes: two centuries of days are three
_NAMED = 3  # rows left out that are named

_DAILY = {
    "day": ("date", "day", "datum"),
    "high": ("tmax", "max", "high", "maxtemp", "temperaturemax", "temp_max", "hightemp", "maximumtemperature"),
    "low": ("tmin", "min", "low", "mintemp", "temperaturemin", "temp_min", "lowtemp", "minimumtemperature"),
    "rain": ("prcp", "precip", "precipitation", "rain", "rainfall", "ppt"),
}
_HOURLY = {
    "hour": ("time", "datetime", "dateandtime", "validtime", "hour", "timestamp"),
    "temperature": ("temperature", "temp", "air", "airtemp", "t"),
    "humidity": ("humidity", "rh", "relhum", "relativehumidity", "humid"),
    "wind": ("wind", "windspeed", "wspd", "windspeedmean"),
    "gust": ("gust", "windgust", "gusts", "windgusts"),
    "rain": ("rain", "precip", "precipitation", "prcp", "rainfall"),
}
_UNIT = re.compile(
    r"(?:^|[\s_(\[./-])(°?f|°?c|degf|degc|fahrenheit|celsius|in|inch|inches|mm|mph|kmh|km/h|kph|m/s|ms|knots|kt|%|pct|percent|tenths)[\])]?$"
)
_DATES = ("%Y-%m-%d", "%Y%m%d", "%m/%d/%Y", "%d.%m.%Y", "%Y/%m/%d")
_HOURS = (
    "%Y-%m-%dT%H:%M:%S",
    "%Y-%m-%d %H:%M:%S",
    "%Y-%m-%dT%H:%M",
    "%Y-%m-%d %H:%M",
    "%m/%d/%Y %H:%M",
    "%Y-%m-%dT%H",
    "%Y-%m-%d %H",
)
_BELIEVED = {"high": (-80, 135), "low": (-90, 120), "rain": (0, 45), "temperature": (-80, 135), "humidity": (0, 100), "wind": (0, 200), "gust": (0, 250)}  # fmt: skip


class Unreadable(Exception):
    """A file that cannot be used, in one sentence."""


@dataclass
class Table:
    """What a file held: `kind` daily or hourly, its rows by the names of their columns, and what was left out."""

    kind: str
    rows: list[dict[str, object]] = field(default_factory=list)
    left_out: int = 0
    named: list[str] = field(default_factory=list)
    units: str = "us"
    guessed: bool = False

    def leave_out(self, line: int, why: str) -> None:
        self.left_out += 1
        if len(self.named) < _NAMED:
            self.named.append(f"line {line}: {why}")


def read_table(path: Path, units: str = "") -> Table:
    """Reads a table of weather. `units` (us, metric or tenths) settles what the file does not say.

    Raises Unreadable with one sentence where the file cannot be used.
    """
    if not path.exists():
        raise Unreadable(f"There is no file {path}. Check the name; nothing was kept.")
    if path.is_dir():
        raise Unreadable(f"{path} is a folder; give the CSV file in it. Nothing was kept.")
    if path.stat().st_size > LARGEST:
        raise Unreadable(
            f"{path} has {path.stat().st_size / 1e6:,.0f} MB and I read up to {LARGEST / 1e6:.0f}: "
            "cut it down to one station's DATE, TMAX, TMIN and PRCP. Nothing was kept."
        )
    with path.open(encoding="utf-8-sig", errors="replace", newline="") as stream:
        lines = (line.replace("\0", "") for line in stream)
        return _read(lines, path, units)


def _read(lines: Iterator[str], path: Path, units: str) -> Table:
    head = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    mark = max(",;\t", key=head.count)
    columns = next(csv.reader([head], delimiter=mark), [])
    kind, places, said = _columns(columns)
    if not kind:
        raise Unreadable(
            f"{path} has no columns that I know: a daily file needs DATE, TMAX and TMIN, an hourly one time and temperature. Nothing was kept."
        )
    table = Table(kind)
    raw = _rows(csv.reader(lines, delimiter=mark), places, table)
    try:
        found = list(raw)
    except csv.Error as problem:
        raise Unreadable(f"{path} breaks off as a table ({problem}). Nothing was kept.") from problem
    table.units, table.guessed = _units(kind, said, found, units)
    if not table.units:
        raise Unreadable(
            f"{path} does not say whether it is in °F or °C, and its figures could be either. Say --units us or --units metric; nothing was kept."
        )
    _turn_over(table, found, said)
    if not table.rows:
        why = f" The first: {table.named[0]}." if table.named else ""
        raise Unreadable(f"{path} holds no day that can be used.{why} Nothing was kept.")
    return table


def _plain(name: str) -> tuple[str, str]:
    """A column's name without its unit, and the unit it names."""
    low = name.strip().strip('"').lower()
    unit = _UNIT.search(low)
    base = low[: unit.start()] if unit and unit.start() > 0 else low
    return re.sub(r"[^a-z]", "", base), unit.group(1).strip("°") if unit and unit.start() > 0 else ""


def _columns(names: list[str]) -> tuple[str, dict[str, int], dict[str, str]]:
    for kind, known in (("daily", _DAILY), ("hourly", _HOURLY)):
        places: dict[str, int] = {}
        said: dict[str, str] = {}
        for place, name in enumerate(names):
            base, unit = _plain(name)
            column = next(
                (key for key, spelled in known.items() if base in {re.sub("[^a-z]", "", one) for one in spelled}), ""
            )
            if column and column not in places:
                places[column], said[column] = place, unit
        if {"day", "high", "low"} <= places.keys() or {"hour", "temperature"} <= places.keys():
            return kind, places, said
    return "", {}, {}


def _rows(reader: Iterator[list[str]], places: dict[str, int], table: Table) -> Iterator[tuple[int, dict[str, object]]]:
    when = "day" if table.kind == "daily" else "hour"
    read = _day_of if table.kind == "daily" else _hour_of
    line = 1
    for cells in reader:
        line += 1
        if not any(cell.strip() for cell in cells):
            continue
        moment = read(cells[places[when]].strip()) if places[when] < len(cells) else None
        if moment is None:
            table.leave_out(line, "its date cannot be read")
            continue
        values: dict[str, object] = {when: moment}
        for column, place in places.items():
            if column != when:
                values[column] = _number(cells[place]) if place < len(cells) else None
        yield line, values


def _day_of(text: str) -> date | None:
    moment = _moment(text[:10], _DATES)
    return moment.date() if moment else None


def _hour_of(text: str) -> datetime | None:
    return _moment(text.removesuffix("Z")[:19], _HOURS)


def _moment(text: str, forms: tuple[str, ...]) -> datetime | None:
    for form in forms:
        try:
            moment = datetime.strptime(text, form)
        except ValueError:
            continue
        return moment if 1700 <= moment.year <= 2200 else None
    return None


def _number(text: str) -> float | None:
    clean = text.strip().strip('"').removesuffix("%")
    if clean.upper() in ("T", "TRACE"):
        return 0.0
    try:
        value = float(clean) if len(clean) < 30 else None
    except ValueError:
        return None
    return value if value is not None and abs(value) < 1e6 and value not in (-999, -9999, 9999, 99999) else None


def _units(kind: str, said: dict[str, str], rows: list[tuple[int, dict[str, object]]], given: str) -> tuple[str, bool]:
    """us, metric or tenths (of °C and mm): said in the header, given, or told from the figures; empty where open."""
    warm = said.get("high") or said.get("temperature") or ""
    if warm in ("f", "degf", "fahrenheit"):
        return "us", False
    if warm in ("c", "degc", "celsius"):
        return "metric", False
    if given:
        return given, False
    tops = [
        value for _, row in rows if isinstance(value := row.get("high" if kind == "daily" else "temperature"), float)
    ]
    if not tops:
        return "us", True
    top = sorted(tops)[int(0.99 * (len(tops) - 1))]
    if top > 140:
        return "tenths", True
    if top > 55:
        return "us", True
    return ("metric", True) if len(tops) >= 200 else ("", True)  # half a year without a day above 55 °F is no lawn


_TURN: dict[str, dict[str, Callable[[float], float]]] = {
    "us": {},
    "metric": {"temperature": lambda c: c * 9 / 5 + 32, "rain": lambda mm: mm / 25.4, "speed": lambda k: k / 1.609344},
    "tenths": {
        "temperature": lambda c: c / 10 * 9 / 5 + 32,
        "rain": lambda mm: mm / 254,
        "speed": lambda m: m / 4.4704,
    },
}
_BY_UNIT: dict[str, Callable[[float], float]] = {
    "mm": lambda mm: mm / 25.4, "in": lambda one: one, "inch": lambda one: one, "inches": lambda one: one,
    "mph": lambda one: one, "kmh": lambda k: k / 1.609344, "km/h": lambda k: k / 1.609344, "kph": lambda k: k / 1.609344,
    "m/s": lambda m: m / 0.44704, "ms": lambda m: m / 0.44704, "knots": lambda k: k * 1.150779, "kt": lambda k: k * 1.150779,
    "%": lambda one: one, "pct": lambda one: one, "percent": lambda one: one,
}  # fmt: skip
_SORT = {"high": "temperature", "low": "temperature", "temperature": "temperature", "rain": "rain", "wind": "speed", "gust": "speed"}  # fmt: skip


def _turn_over(table: Table, rows: list[tuple[int, dict[str, object]]], said: dict[str, str]) -> None:
    """Every value in the units of the record; rows that make no sense are left out, a day twice is taken once."""
    when = "day" if table.kind == "daily" else "hour"
    wanted = ("high", "low") if table.kind == "daily" else ("temperature",)
    seen: set[object] = set()
    for line, row in rows:
        made: dict[str, object] = {when: row[when]}
        for column, value in row.items():
            if column == when or not isinstance(value, float):
                continue
            turn = _BY_UNIT.get(said.get(column, "")) or _TURN[table.units].get(_SORT.get(column, ""))
            made[column] = turn(value) if turn else value
        wrong = _wrong(made)
        if wrong or not any(column in made for column in wanted):
            table.leave_out(
                line,
                wrong or "it has neither high nor low" if table.kind == "daily" else wrong or "it has no temperature",
            )
        elif row[when] in seen:
            table.leave_out(line, f"{row[when]} stands twice")
        else:
            seen.add(row[when])
            table.rows.append(made)


def _wrong(row: dict[str, object]) -> str:
    for column, (least, most) in _BELIEVED.items():
        value = row.get(column)
        if isinstance(value, float) and not least <= value <= most:
            return f"{column} {value:.0f} cannot be"
    high, low = row.get("high"), row.get("low")
    if isinstance(high, float) and isinstance(low, float) and low > high:
        return f"its low {low:.0f} is above its high {high:.0f}"
    return ""
