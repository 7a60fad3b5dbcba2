"""The season of a place on one picture: soil, where seed comes up, frost, and the days of the lawn's program."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from assistant.calculations import season
from assistant.skills.running import running
from assistant.skills.turn import Turn
from assistant.terms import Slot, day_words

COLUMNS = 52
HOTTEST, COLDEST, STEP = 90, 30, 5  # °F on the side of the picture


@dataclass(frozen=True, slots=True)
class Mark:
    """A day on the picture: its letter there, and what it says below."""

    day: date
    letter: str
    words: str


@dataclass(frozen=True, slots=True)
class Season:
    """Soil by day (°F), the band in which cool-season seed comes up, and the days that are marked."""

    place: str
    soil: tuple[tuple[date, float], ...]
    band: tuple[float, float]
    marks: tuple[Mark, ...]

    @property
    def first(self) -> date:
        return self.soil[0][0]

    @property
    def last(self) -> date:
        return self.soil[-1][0]

    def share(self, day: date) -> float:
        """Where a day lies between the first and the last, from 0 to 1."""
        return (day - self.first).days / (self.last - self.first).days


def season_of(turn: Turn, seed_day: Slot | None = None, program: Slot | None = None) -> Season | None:
    """The fall of a place's record, with what is on the lawn's record; None where no daily weather is kept."""
    normals = turn.weather.summary.get("normals", {}) if turn.weather else {}
    if turn.weather is None or len(normals) < 365:
        return None
    year = turn.now.day.year - (1 if turn.now.day.month < 4 else 0)
    days = [date(year, 8, 1) + timedelta(days=step) for step in range(137)]
    soil = [
        (
            day,
            season.soil_from_air(
                [normals[(day - timedelta(days=back)).strftime("%m-%d")] for back in range(10, -1, -1)]
            ),
        )
        for day in days
    ]
    low = min(row["low"] for row in turn.knowledge.entry("thresholds.figures") if _sprouts(row))
    high = turn.knowledge.rows("season.soil_to_begin")[0].amount.high
    marks = [*_frost(turn, year), *_program(turn, seed_day, program)]
    if days[0] <= turn.now.day <= days[-1]:
        marks.append(Mark(turn.now.day, "^", "today"))
    kept = tuple(sorted((mark for mark in marks if days[0] <= mark.day <= days[-1]), key=lambda mark: mark.day))
    return Season(turn.weather.place, tuple(soil), (float(low), high), kept)


def _sprouts(row: dict[str, object]) -> bool:
    return row["job"] == "seeding" and row["measure"] == "soil_temperature" and row["verdict"] == "yes"


def _frost(turn: Turn, year: int) -> list[Mark]:
    assert turn.weather is not None
    made = []
    for threshold, letter in ((32, "F"), (28, "H")):
        dates = season.frost_dates(turn.weather.summary["falls"].get(str(threshold), []), date(year, 8, 1), threshold)
        if dates:
            made.append(Mark(dates.median, letter, f"first {threshold} °F, half of the years"))
    return made


def _program(turn: Turn, seed_day: Slot | None, program: Slot | None) -> list[Mark]:
    if seed_day is None:
        return []
    plan = running(turn, seed_day, program)
    if plan is None:
        return [Mark(seed_day.amount.day, "S", "seed day")]
    feeds = 0
    made = []
    for step in plan.steps():
        feeds += step.kind == "feed"
        letter = {"sow": "S", "feed": str(feeds)}.get(step.kind, "o")
        made.append(Mark(step.day, letter, f"{step.title}, {step.state}"))
    return made


def drawn(picture: Season, columns: int = COLUMNS) -> list[str]:
    """The picture in letters: soil as *, the band as dots, the days under it; so many columns wide."""
    rows = []
    points = [picture.soil[round(column / (columns - 1) * (len(picture.soil) - 1))] for column in range(columns)]
    for degrees in range(HOTTEST, COLDEST - 1, -STEP):
        inside = picture.band[0] <= degrees <= picture.band[1]
        line = "".join("*" if abs(soil - degrees) <= STEP / 2 else "." if inside else " " for _, soil in points)
        rows.append(f"{degrees:>3} {line}".rstrip())
    rows.append("    " + _letters(picture, [(mark.day, mark.letter) for mark in picture.marks], columns))
    months = sorted({day.replace(day=1) for day, _ in picture.soil} | {picture.first})
    names = [(max(month, picture.first), f"{month:%b}") for month in months]
    rows.append("    " + _letters(picture, names, columns))
    rows += [f"  {mark.letter} {day_words(mark.day)}: {mark.words}" for mark in picture.marks]
    rows.append(f"  * soil at 4 inches in a normal year at {picture.place}, °F; dots: where cool-season seed comes up")
    return rows


def _letters(picture: Season, marks: list[tuple[date, str]], columns: int) -> str:
    line = [" "] * (columns + 3)
    for day, words in marks:
        place = round(picture.share(day) * (columns - 1))
        while place < columns and line[place] != " ":
            place += 1
        line[place : place + len(words)] = words
    return "".join(line).rstrip()
