"""Mowing: the one-third rule, from the height of cut and from the grass as it stands."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from assistant.answer import ANSWERED, Answer
from assistant.calculations.mowing import growth_allowed, lowest_cut, tallest_before_cut
from assistant.skills.turn import Turn
from assistant.terms import Row, Slot, capital, day_words, high_end, low_end, over_range


def height(turn: Turn, height: Slot) -> Answer:
    """How tall the grass may get before it is cut back to a height."""
    say, unit, row, share = turn.say, height.amount.unit, _rule(turn), _rule(turn).amount.low
    tallest = over_range(lambda cut: tallest_before_cut(cut, share), height.q)
    growth = over_range(lambda cut: growth_allowed(cut, share), height.q)
    return Answer(
        ANSWERED,
        f"Mow by {say(tallest, unit)}, to cut at {say(height.q, unit)}",
        figures=(turn.figure("tallest before a cut", tallest, unit), turn.figure("growth allowed", growth, unit)),
        lines=(f"That is {say(growth, unit)} of growth: {row.note}.",),
        working=(f"{say(height.q, unit)} / (1 - 1/3) = {say(tallest, unit)}",),
        inputs=(height,),
        sources=turn.cite(row.source),
    )


def lowest(turn: Turn, standing: Slot, height: Slot | None = None, third: Slot | None = None) -> Answer:
    """How low grass of a height may be cut, and whether a wanted height is too low for one cut."""
    say, unit, row = turn.say, standing.amount.unit, _rule(turn)
    share = row.amount.low
    low = over_range(lambda now: lowest_cut(now, share), standing.q)
    headline = f"Not below {say(low, unit)} in one cut"
    lines = [f"From {say(standing.q, unit)}: {row.note}."]
    kept, sources = _kept_at(turn), [row.source]
    if height is None and kept is None:
        lines.append("Whether it wants a cut hangs on the grass: each kind is kept at a height of its own. Name it.")
    elif height is None and kept is not None and low_end(low) < low_end(kept[1].amount.q):
        grass, at = kept
        words = f"{grass} is kept at {turn.row_words(at, unit)}"
        short = high_end(standing.q) <= low_end(at.amount.q)
        headline = f"Not yet: it stands at {say(standing.q, unit)}, and {words}" if short else headline
        lines += [] if short else [f"Nor below its own height: {words}."]
        sources.append(at.source)
    if height is not None and height.q > standing.q:
        return Answer(
            ANSWERED,
            f"Nothing to cut: it stands at {say(standing.q, unit)}, below {say(height.q, unit)}",
            figures=(turn.figure("lowest cut", low, unit),),
            inputs=tuple(slot for slot in (standing, height) if slot),
            sources=turn.cite(row.source),
        )
    if height is not None:
        enough = height.q >= low
        headline = (
            f"Yes, {say(height.q, unit)} takes a third or less"
            if enough
            else f"No, not to {say(height.q, unit)} in one cut; {say(low, unit)} is the lowest"
        )
        if not enough:
            lines.append("Cut to that now, and lower again in a few days.")
    return Answer(
        ANSWERED,
        headline,
        figures=(turn.figure("lowest cut", low, unit),),
        lines=tuple(lines),
        working=(f"{say(standing.q, unit)} x (1 - 1/3) = {say(low, unit)}",),
        inputs=tuple(slot for slot in (standing, height) if slot),
        sources=turn.cite(*sources),
    )


def _kept_at(turn: Turn) -> tuple[str, Row] | None:
    """The grass of the line or of the lawn, and the height that it is kept at; None where no grass is told."""
    held = turn.lawn.facts.get("species") if turn.lawn else None
    grass = next((name.id for name in turn.parse.names if name.type == "species"), str(held.value) if held else "")
    rows = turn.knowledge.rows(f"{grass}.mowing_height") if grass else []
    return (turn.knowledge.name(grass), rows[0]) if rows else None


def first(
    turn: Turn,
    height: Slot | None = None,
    seed_day: Slot | None = None,
    species: Slot | None = None,
    standing: Slot | None = None,
) -> Answer:
    """When a new stand is cut the first time: by how tall it stands, and about how long after seeding that is. Where it is
    told how tall it stands, whether that is enough, and how low it may be cut."""
    stands = turn.knowledge.rows("mowing.first_cut_stand")
    working: tuple[str, ...] = ()
    after = turn.knowledge.rows("mowing.first_cut_after")[0]
    row, share = _rule(turn), _rule(turn).amount.low
    if standing is not None:
        unit = standing.amount.unit
        low = over_range(lambda now: lowest_cut(now, share), standing.q)
        enough = high_end(standing.q) >= low_end(stands[0].amount.q)
        headline = _standing_words(turn, standing, low, stands[0])
        figures = [turn.figure("lowest cut", low, unit)]
        working = (f"{turn.say(standing.q, unit)} x (1 - 1/3) = {turn.say(low, unit)}",) if enough else ()
    elif height is not None:
        unit = height.amount.unit
        tall = over_range(lambda cut: tallest_before_cut(cut, share), height.q)
        headline = f"The first time at {turn.say(tall, unit)}, to cut at {turn.say(height.q, unit)}"
        figures = [turn.figure("tallest before the first cut", tall, unit)]
        working = (f"{turn.say(height.q, unit)} / (1 - 1/3) = {turn.say(tall, unit)}",)
    else:
        headline = f"The first time at {turn.say(stands[0].amount.q, 'inch')}, {stands[0].note}"
        figures = [turn.figure("stand at the first cut", stands[0].amount.q, "inch")]
    lines = [f"{turn.row_words(one)}: {one.note}." for one in stands]
    when = f"About {turn.say(after.amount.q, after.amount.unit)} {after.note} ({turn.short(after.source)})"
    if seed_day is not None:
        day = seed_day.amount.day + timedelta(weeks=after.amount.low)
        when += f": near {day_words(day)}"
    rows = turn.knowledge.rows(f"{species.value}.days_to_germinate") if species else []
    slow = rows and high_end(rows[0].amount.q) >= after.amount.q
    lines += [
        when + "; slower grasses later. Go by the height.",
        *([_slow_words(turn, species, rows[0])] if slow and species else []),
        f"However tall: {row.note}. A sharp blade, firm ground, no sharp turns (common practice, no source).",
    ]
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=tuple(lines),
        working=working,
        inputs=tuple(slot for slot in (standing, height, seed_day, species) if slot),
        sources=turn.cite(*(one.source for one in (*stands, after, row))),
    )


def _standing_words(turn: Turn, standing: Slot, low: Any, row: Row) -> str:
    """Whether a stand so tall may be cut the first time, by the span in which that is done."""
    now, stand, say = high_end(standing.q), row.amount.q, turn.say
    stands, lowest = say(standing.q, standing.amount.unit), say(low, standing.amount.unit)
    if now >= high_end(stand):
        return f"Yes, at {stands} it may be cut: to {lowest} or higher"
    if now >= low_end(stand):
        return f"Only just, at {stands}: better when it stands {say(high_end(stand), 'inch')}; never below {lowest}"
    return f"Not yet at {stands}: the first time at {say(stand, 'inch')}"


def _slow_words(turn: Turn, species: Slot, row: Row) -> str:
    """Of a grass that may only just be up when others are cut."""
    grass = capital(turn.knowledge.name(str(species.value)))
    shows = turn.say(row.amount.q, row.amount.unit)
    return f"{grass} shows only after {shows} ({turn.short(row.source)}), so its first cut comes weeks later than that."


def _rule(turn: Turn) -> Row:
    return turn.knowledge.rows("mowing.most_of_leaf")[0]
