"""Is today the day: conditions against rows of thresholds. The rows come in as data, with their sources."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

VERDICTS = ("yes", "care", "no")


@dataclass(frozen=True)
class Threshold:
    """One line of a table of conditions: from `low` up to `high` the verdict holds."""

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
    `over` tells whether the value lies above that edge. `limit` is where a care becomes a no.
    """

    measure: str
    job: str
    verdict: str
    value: Any
    edge: Any
    margin: Any
    over: bool
    limit: Any
    row: Any
    close: str = ""  # the verdict on the other side of an edge that the value is nearer to than can be measured


def judge(measure: str, job: str, value: Any, table: list[Threshold], within: Any = None) -> Finding | None:
    """The finding for one value: the band of the table that it lies in. A value on an edge belongs to the milder band.

    A value nearer to an edge than `within` is close: its finding names the verdict on the other side as well. None
    where the table has nothing for this job and measure. Source: common practice (the worst row decides; the label and
    the law stand above all rows).
    """
    bands = [row for row in table if row.measure == measure and row.job == job]
    bands.sort(key=lambda row: VERDICTS.index(row.verdict))
    for band in bands:
        if band.low <= value <= band.high:
            edge, over = _edge(value, band, bands)
            close = next((other for other in bands if _is_close(value, band, other, within)), None)
            return Finding(
                measure,
                job,
                band.verdict,
                value,
                edge,
                abs(value - edge),
                over,
                _limit(band, bands, over),
                band.row,
                close.verdict if close else "",
            )
    return None


def _is_close(value: Any, band: Threshold, other: Threshold, within: Any) -> bool:
    """True where a band of another verdict begins less than `within` away from a value."""
    if within is None or other.verdict == band.verdict:
        return False
    shared = [edge for edge in (band.low, band.high) if edge in (other.low, other.high)]
    return any(abs(value - edge) < within for edge in shared)


def _edge(value: Any, band: Threshold, bands: list[Threshold]) -> tuple[Any, bool]:
    """For a yes, the nearer end of its band; else the end at which the milder bands stop."""
    if band.verdict == "yes":
        nearest = min((band.low, band.high), key=lambda end: abs(value - end))
        return nearest, bool(value > nearest)
    milder = [row for row in bands if VERDICTS.index(row.verdict) < VERDICTS.index(band.verdict)]
    above = any(row.high <= band.low for row in milder) or not milder
    return (band.low, True) if above else (band.high, False)


def _limit(band: Threshold, bands: list[Threshold], over: bool) -> Any:
    """Behind a care band the end at which it becomes a no, on the same side; None where there is none."""
    if band.verdict != "care":
        return None
    worse = [row for row in bands if row.verdict == "no"]
    ends = (
        [row.low for row in worse if row.low >= band.high]
        if over
        else [row.high for row in worse if row.high <= band.low]
    )
    return ends[0] if ends else None


def both_sides(finding_verdict: str, close: str) -> tuple[str, str]:
    """The milder and the worse of what a condition may mean.

    >>> both_sides("no", "care"), both_sides("yes", "")
    (('care', 'no'), ('yes', 'yes'))

    Source: common practice (near an edge both sides are said).
    """
    sides = sorted({finding_verdict, close or finding_verdict}, key=VERDICTS.index)
    return sides[0], sides[-1]


def worst(verdicts: list[str]) -> str:
    """The worst of several verdicts; `care` where there are none, because nothing was checked.

    Source: common practice (one no stops the job).
    """
    return max(verdicts, key=VERDICTS.index) if verdicts else "care"
