"""Seed: how much an area takes, for a new lawn, an overseeding or bare spots."""

from __future__ import annotations

from typing import Any

from assistant.answer import ANSWERED, Answer, Figure
from assistant.calculations.feed import packs
from assistant.calculations.seed import for_stand_lost, seed_for
from assistant.skills.area import total_of
from assistant.skills.area import working as area_working
from assistant.skills.turn import Turn
from assistant.terms import Row, Slot, over_range

_JOB_WORDS = {"new": "a new lawn", "overseed": "overseeding", "spots": "bare spots"}


def amount(
    turn: Turn,
    area: Slot,
    species: Slot,
    seed_rate: Slot,
    job: Slot | None = None,
    lost: Slot | None = None,
    pack: Slot | None = None,
) -> Answer:
    """Seed for an area: rate x area; half the new-lawn rate on living turf, or the share of grass lost."""
    say, size = turn.say, total_of(area)
    grass = turn.knowledge.name(species.value)
    inputs = [area, species, seed_rate]
    cited = [seed_rate.source]
    wanted = job.value.partition(".")[2] if job else ""
    if job:
        inputs.append(job)
    rates: dict[str, Any] = {}
    notes: list[str] = []
    if lost:
        inputs.append(lost)
        rule = turn.knowledge.rows("seeding.share_of_stand_lost")[0]
        share = _fraction(lost)
        rates[f"for {share:.0%} of the grass lost"] = over_range(lambda rate: for_stand_lost(rate, share), seed_rate.q)
        cited.append(rule.source)
        notes.append(f"New-lawn rate x share lost ({turn.short(rule.source)}).")
    elif seed_rate.origin != "practice":
        rates["at that rate"] = seed_rate.q
    else:
        for name in [wanted] if wanted else ["new", "overseed"]:
            row = turn.knowledge.rows(f"seeding.share_of_new_rate.{name}")[0]
            factor = row.amount.q.m_as("")
            rates[f"for {_JOB_WORDS[name]}"] = over_range(lambda rate, factor=factor: rate * factor, seed_rate.q)
            if row.source != "common practice":
                cited.append(row.source)
                notes.append(f"{_JOB_WORDS[name].capitalize()}: {row.note} ({turn.short(row.source)}).")
        if not wanted:
            notes.append(
                "Bare ground takes the first; a living lawn the second. Say which it is, or how much of the grass is gone."
            )
        elif wanted == "overseed":
            notes.append("The share of grass lost would sharpen it: say for example 40 % lost.")
    figures: list[Figure] = []
    parts: list[str] = []
    rows: list[str] = list(area_working(area, size, say))
    unit, per = seed_rate.amount.unit, seed_rate.amount.per
    for label, rate in rates.items():
        needed = over_range(seed_for, rate, size)
        figures.append(turn.figure(f"seed {label}", needed, unit, of="seed"))
        parts.append(f"{say(needed, unit)} {label}")
        rows.append(f"{say(size, 'sq_ft')} x {say(rate, unit, per)} = {say(needed, unit)}")
        if pack:
            count = packs(needed.high if hasattr(needed, "high") else needed, pack.q)
            figures.append(Figure("bags", "seed", count, count))
            rows.append(f"{count} {'bag' if count == 1 else 'bags'} of {say(pack.q, pack.amount.unit)} cover that")
    if pack:
        inputs.append(pack)
    lines = [*_rate_line(turn, species, seed_rate), *notes]
    headline = f"{parts[0].partition(' for ')[0]} of {grass} seed" + (
        f" {parts[0].partition(' ')[2][parts[0].partition(' ')[2].find('for ') :]}" if " for " in parts[0] else ""
    )
    if len(parts) > 1:
        headline += f", or {parts[1]}"
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=tuple(lines),
        working=tuple(rows),
        inputs=tuple(inputs),
        sources=turn.cite(*cited),
    )


def _fraction(lost: Slot) -> float:
    value = float(lost.amount.low)
    return value / 100 if lost.amount.kind == "percent" else value


def _rate_line(turn: Turn, species: Slot, seed_rate: Slot) -> list[str]:
    """The new-lawn rate taken, and that others print other rates."""
    if seed_rate.origin != "practice":
        return []
    rows: list[Row] = turn.knowledge.rows(f"species.{species.value.partition('.')[2]}.seeding_rate")
    line = f"New-lawn rate {turn.row_words(rows[0])}."
    others = [row for row in rows[1:] if row.source != "from memory"]
    if others:
        low, high = (
            min(row.amount.q.low if hasattr(row.amount.q, "low") else row.amount.q for row in others),
            max(row.amount.q.high if hasattr(row.amount.q, "high") else row.amount.q for row in others),
        )
        line += f" Other sources print {turn.say(low, 'lb', '1000 sq_ft').partition(' ')[0]} to {turn.say(high, 'lb', '1000 sq_ft')}."
    return [line]
