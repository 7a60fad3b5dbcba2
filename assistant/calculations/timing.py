"""Is today the day: conditions against rows of thresholds. The rows come in as data, with their sources."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

VERDICTS = ("yes", "care", "no")


@dataclass(frozen=True)
class Threshold:
    """One line of a table of conditions: from `low` up to `high` the verdict holds. Either end may be open (None)."""

    measure: str
    job: str
    verdict: str
    low: Any
    high: Any
    row: Any = None


@dataclass(frozen=True)
class Finding:
    """What one condition says for one job: the verdict, the threshold that decided, and how far the value is from it.

    `margin` is the distance to the edge that was crossed, or for a yes to the nearest edge; None where it has none.
    `over` tells whether the value lies above that edge.
    """

    measure: str
    job: str
    verdict: str
    value: Any
    edge: Any
    margin: Any
    over: bool
    row: Any


def judge(measure: str, job: str, value: Any, table: list[Threshold]) -> Finding | None:
    """The finding for one value: the band of the table that it lies in. A value on an edge belongs to the milder band.

    None where the table has nothing for this job and measure. Source of the order: the worst row decides; the label and
    the law stand above all rows (weather_timing rule order, common practice).
    """
    bands = [row for row in table if row.measure == measure and row.job == job]
    bands.sort(key=lambda row: VERDICTS.index(row.verdict))
    for band in bands:
        if (band.low is None or value >= band.low) and (band.high is None or value <= band.high):
            edge, over = _edge(value, band, bands)
            margin = None if edge is None else abs(_gap(value, edge))
            return Finding(measure, job, band.verdict, value, edge, margin, over, band.row)
    return None


def _gap(value: Any, edge: Any) -> Any:
    return value - edge


def _edge(value: Any, band: Threshold, bands: list[Threshold]) -> tuple[Any, bool]:
    """For a yes, the nearest end of its band; else the end of the yes band that the value has passed."""
    reference = band if band.verdict == "yes" else next((row for row in bands if row.verdict == "yes"), band)
    if band.verdict == "no":
        reference = band
    ends = [end for end in (reference.low, reference.high) if end is not None]
    if not ends:
        return None, False
    nearest = min(ends, key=lambda end: abs(_gap(value, end)))
    return nearest, bool(value > nearest)


def worst(verdicts: list[str]) -> str:
    """The worst of several verdicts; `care` where there are none, because nothing was checked."""
    return max(verdicts, key=VERDICTS.index) if verdicts else "care"


def day_after(start: date, days: int) -> date:
    """The day that lies so many days after another.

    Source: the calendar.
    """
    return start + timedelta(days=days)
