"""Water that soaks in instead of running off: how long a run, how long a rest, how many."""

from __future__ import annotations

from typing import Any

from assistant.answer import ANSWERED, Answer
from assistant.calculations.water import longest_run, runs_for
from assistant.knowledge_base import row_of
from assistant.skills.turn import Turn
from assistant.skills.worked import whole
from assistant.terms import Range, Row, Slot
from assistant.units import Q

_LIKE = {"loam": "silt_loam", "clay_loam": "clay"}  # a texture that the table does not print


def soak(
    turn: Turn,
    precipitation: Slot,
    texture: Slot,
    slope: Slot | None = None,
    cover: Slot | None = None,
    depth: Slot | None = None,
    head: Slot | None = None,
    **_: Slot | None,
) -> Answer:
    """The longest run before runoff on a soil and slope, the rest between two, and how many runs a depth takes."""
    falls = precipitation.q.high if isinstance(precipitation.q, Range) else precipitation.q
    row, where = _intake(turn, texture, slope, cover)
    storage, rest = turn.knowledge.rows("sprinklers.surface_storage")[0], turn.knowledge.rows("sprinklers.soak")[0]
    inputs = tuple(one for one in (precipitation, texture, slope, cover, depth, head) if one)
    sources = turn.cite(row.source, precipitation.source, storage.source, rest.source)
    rate, takes = turn.say(falls, "inch / hour"), turn.say(row.amount.q, "inch / hour")
    if falls <= row.amount.q:
        return Answer(
            ANSWERED,
            f"Run it in one go: {rate} falls, and {where} takes in {takes}",
            figures=(turn.figure("intake", row.amount.q, "inch / hour"),),
            inputs=inputs,
            sources=sources,
        )
    run = longest_run(falls, row.amount.q, storage.amount.q)
    figures = [turn.figure("longest run", run, "minute"), turn.figure("rest", rest.amount.q, "minute")]
    working = [f"{turn.say(storage.amount.q, 'inch')} / ({rate} - {takes}) = {turn.say(run, 'minute')}"]
    headline = f"Runs of at most {_whole_minutes(turn, run)}, {turn.say(rest.amount.q, 'minute')} apart"
    if depth is not None:
        least = depth.q.high if isinstance(depth.q, Range) else depth.q
        count = whole(runs_for(least, falls, run))
        each = least / falls / count.magnitude
        figures += [turn.figure("runs", count, ""), turn.figure("each run", each, "minute")]
        working.append(
            f"{turn.say(least, 'inch')} / {rate} = {turn.say(least / falls, 'minute')}, in {count.magnitude:g} runs"
        )
        headline = f"{count.magnitude:g} runs of {turn.say(each, 'minute')}, {turn.say(rest.amount.q, 'minute')} apart"
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=(
            f"{where[:1].upper()}{where[1:]} takes in {takes}; {rate} falls.",
            "A start only: a compacted lot takes less. Watch it once, and stop when water stands or runs.",
        ),
        working=tuple(working),
        inputs=inputs,
        sources=sources,
    )


def _whole_minutes(turn: Turn, run: Any) -> str:
    """A run as a timer is set: down to the minute, from two minutes on."""
    minutes = run.to("minute")
    return str(turn.say(minutes // Q(1, "minute") * Q(1, "minute") if minutes >= Q(2, "minute") else minutes, "minute"))


def _intake(turn: Turn, texture: Slot, slope: Slot | None, cover: Slot | None) -> tuple[Row, str]:
    """What the soil takes in on that slope, and what it was taken for, in words."""
    soil = str(texture.value).partition(".")[2]
    ground = str(cover.value).partition(".")[2] if cover else "bare"
    like = _LIKE.get(soil, soil)
    rows: list[dict[str, Any]] = turn.knowledge.entry(f"sprinklers.intake.{like}.{ground}")
    steep = slope.q.to("percent").magnitude if slope and not isinstance(slope.q, Range) else 0.0
    found = next((row for row in rows if steep <= row["slope"]), rows[-1])
    words = f"{'bare' if ground == 'bare' else 'grassed'} {soil.replace('_', ' ')}"
    words += f" (as {like.replace('_', ' ')})" if like != soil else ""
    words += (
        f" on a slope up to {found['slope']:g} %" if steep <= found["slope"] else f" steeper than {found['slope']:g} %"
    )
    return row_of(found), words
