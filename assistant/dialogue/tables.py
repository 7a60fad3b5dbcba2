"""`weather add FILE`: a station's or a forecast's table into a place's record. From the command line and from the talk."""

from __future__ import annotations

from pathlib import Path

from assistant.answer import RECORDED, REFUSED, Answer
from assistant.lawn.station import Table, Unreadable, read_table
from assistant.lawn.weather import Weather

HOME_PLACE = "home"


def add_weather(path: Path, weather: Weather, place: str = "", units: str = "") -> Answer:
    """Reads a table and keeps it for a place; says what was kept and what was left out."""
    held = weather.places()
    name = place or (held[0] if len(held) == 1 else HOME_PLACE)
    try:
        table = read_table(path, units)
    except Unreadable as problem:
        return Answer(REFUSED, str(problem), topic="timing", intent="timing.add")
    kept = weather.keep(name, table.kind, table.rows)
    when = "day" if table.kind == "daily" else "hour"
    moments = sorted(str(row[when]) for row in table.rows)
    counted = f"{kept:,} {when}{'' if kept == 1 else 's'}"
    headline = f"Kept {counted} of weather for {name}, {moments[0][:16]} to {moments[-1][:16]}."
    return Answer(RECORDED, headline, lines=tuple(_said(table)), topic="timing", intent="timing.add")


def _said(table: Table) -> list[str]:
    lines = []
    if table.guessed:
        taken = {"us": "°F, inches and mph", "metric": "°C, mm and km/h", "tenths": "tenths of °C and of mm"}
        lines.append(f"Taken as {taken[table.units]}, by the figures. If that is wrong, add it again with --units.")
    if table.left_out:
        more = f", and {table.left_out - len(table.named):,} more" if table.left_out > len(table.named) else ""
        lines.append(f"Left out {table.left_out:,}: {'; '.join(table.named)}{more}. The rest is kept.")
    return lines
