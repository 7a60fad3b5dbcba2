"""Seed: how much an area takes, for a new lawn, an overseeding or bare spots."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from assistant.answer import ANSWERED, ASKS, Answer, Ask, Figure
from assistant.calculations.feed import spread_at
from assistant.calculations.seed import for_stand_lost, parts_of_mix, seed_for
from assistant.skills.area import total_of
from assistant.skills.area import working as area_working
from assistant.skills.packs import in_packs
from assistant.skills.turn import Turn
from assistant.terms import UNSOURCED, Amount, Range, Row, Slot, capital, high_end, low_end, over_range
from assistant.units import Q

_SHARES = Ask("shares", "What share has each part? For example 60% and 40%.")
_WEIGHTS = ("lb", "oz", "kg", "g", "ton")
_JOB_WORDS = {"new": "a new lawn", "overseed": "overseeding", "spots": "bare spots"}


def amount(
    turn: Turn,
    area: Slot,
    seed_rate: Slot,
    species: Slot | None = None,
    job: Slot | None = None,
    lost: Slot | None = None,
    pack: Slot | None = None,
    asked: Slot | None = None,
) -> Answer:
    """Seed for an area: rate x area; half the new-lawn rate on living turf, or the share of grass lost."""
    say, size = turn.say, total_of(area)
    grass = turn.knowledge.name(str(species.value)) if species else ""
    if len(seed_rate.amount.units) > 1:  # seed is weighed
        seed_rate = replace(seed_rate, value=seed_rate.amount.as_unit("oz"))
    per = seed_rate.amount.per
    rates, shares, notes = _rates(turn, species, seed_rate, job, lost)
    least = over_range(seed_for, list(rates.values())[-1], size)
    unit = _unit_asked(asked) or say.weighed_in(least, seed_rate.amount.unit)
    figures: list[Figure] = []
    parts: list[tuple[str, str]] = []
    rows: list[str] = list(area_working(area, size, say))
    for purpose, rate in rates.items():
        needed = over_range(seed_for, rate, size)
        figures.append(turn.figure(f"seed {purpose}".strip(), needed, unit, of="seed"))
        rows.append(f"{say(size, 'sq_ft')} x {say(rate, seed_rate.amount.unit, per)} = {say(needed, unit)}")
        words = say(needed, unit)
        if packs := in_packs(turn, needed, pack, asked, "seed"):
            rows.append(packs.working)
            figure = replace(packs.figure, label=f"{packs.figure.label} {purpose}".strip())
            figures.insert(0 if packs.asked and len(figures) == 1 else len(figures), figure)
            words = f"{words} ({packs.words})" if packs.asked else words
        parts.append((words, purpose))
    amount_words, purpose = parts[0]
    headline = " ".join(f"{amount_words} of {grass} seed {purpose}".split())
    headline += "".join(f", or {words} {purpose}" for words, purpose in parts[1:])
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=(*_rate_line(turn, species, seed_rate), *notes),
        working=tuple(rows),
        inputs=tuple(slot for slot in (area, species, seed_rate, job, lost, *shares, pack) if slot),
        sources=turn.cite(seed_rate.source, *(share.source for share in shares if share.source != "common practice")),
    )


def fiber(turn: Turn, area: Slot, fiber_rate: Slot, pack: Slot | None = None, asked: Slot | None = None) -> Answer:
    """Fiber mulch for a seeding that is sprayed on: rate x area, and the bales that makes."""
    say, size = turn.say, total_of(area)
    rate, per = fiber_rate.amount.unit, fiber_rate.amount.per
    needed = over_range(spread_at, fiber_rate.q, size)
    unit = say.weighed_in(needed, rate)
    working = f"{say(size, 'sq_ft')} x {say(fiber_rate.q, rate, per)} = {say(needed, unit)}"
    rows = [*area_working(area, size, say), working]
    figures = [turn.figure("fiber mulch", needed, unit, of="mulch")]
    headline = f"{say(needed, unit)} of fiber mulch"
    if packs := in_packs(turn, needed, pack, asked, "mulch"):
        rows.append(packs.working)
        figures.insert(0 if packs.asked else 1, packs.figure)
        headline += f", {packs.words}"
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=("The bag states the rate for a slope; a steep one takes more, or a bonded matrix.",),
        working=tuple(rows),
        inputs=tuple(slot for slot in (area, fiber_rate, pack) if slot),
        sources=turn.cite(fiber_rate.source),
    )


def _unit_asked(asked: Slot | None) -> str:
    """The weight that the question asks for: `how many kg`; empty where it asks for none."""
    unit = str(asked.value).partition(".")[2] if asked else ""
    return unit if unit in _WEIGHTS else ""


def _rates(
    turn: Turn, species: Slot | None, seed_rate: Slot, job: Slot | None, lost: Slot | None
) -> tuple[dict[str, Any], list[Slot], list[str]]:
    """The rate for each purpose, the shares of the new-lawn rate behind them, and what is to be said of them."""
    if lost:
        row = turn.knowledge.rows("seeding.share_of_stand_lost")[0]
        share = _fraction(lost)
        rate = over_range(lambda one: for_stand_lost(one, share), seed_rate.q)
        return (
            {f"for {share:.0%} of the grass lost": rate},
            [],
            [f"New-lawn rate x share lost ({turn.short(row.source)})."],
        )
    if seed_rate.origin != "practice" or species is None:
        return {"": seed_rate.q}, [], []
    wanted = str(job.value).partition(".")[2] if job else ""
    warm = turn.knowledge.entry(f"{species.value}.season") == "warm"
    names = [wanted] if wanted else ["new"] if warm else ["new", "overseed"]
    rates, shares, notes = {}, [], []
    for name in names:
        row = turn.knowledge.rows(f"seeding.share_of_new_rate.{name}")[0]
        factor = row.amount.q.m_as("")
        rates[f"for {_JOB_WORDS[name]}"] = over_range(lambda one, factor=factor: one * factor, seed_rate.q)
        shares.append(Slot("share_of_new_rate", row.amount, "practice", why=row.where, source=row.source))
        if row.source != "common practice":
            notes.append(f"{_JOB_WORDS[name].capitalize()}: {row.note} ({turn.short(row.source)}).")
    if warm and wanted == "overseed":
        notes.append("The half rate is published for cool-season lawns; I know none for a warm-season grass.")
    if len(names) > 1:
        notes.append(
            "Bare ground takes the first; a living lawn the second. Say which it is, or how much of the grass is gone."
        )
    elif wanted == "overseed":
        notes.append("The share of grass lost would sharpen it: say for example 40 % of it is gone.")
    return rates, shares, notes


def _fraction(lost: Slot) -> float:
    value = float(lost.amount.low)
    return value / 100 if lost.amount.kind == "percent" else value


def _rate_line(turn: Turn, species: Slot | None, seed_rate: Slot) -> list[str]:
    """The new-lawn rate taken, and what others print; or, where the rate was said, whether it is far off them."""
    rows = turn.knowledge.rows(f"{species.value}.seeding_rate") if species else []
    if not rows:
        return []
    if seed_rate.origin != "practice":
        most = max(high_end(row.amount.q) for row in rows)
        if high_end(seed_rate.q) > 1.5 * most:
            return [f"That is far above the published new-lawn rate, {turn.row_words(rows[0])}."]
        return []
    line = f"New-lawn rate {turn.row_words(rows[0])}."
    others = [row for row in rows[1:] if row.source != "from memory"]
    if others:
        line += f" Other sources print {turn.say(spread_of(others), 'lb', '1000 sq_ft')}."
    return [line]


def rate_known(
    turn: Turn, species: Slot | None = None, seed_rate: Slot | None = None, job: Slot | None = None, **rest: Slot | None
) -> tuple[str, list[str], list[str]]:
    """The rate of a grass before it is known over what area it goes: headline, lines and sources. Empty where it was said."""
    if species is None or seed_rate is None or seed_rate.origin != "practice":
        return "", [], []
    rates, shares, notes = _rates(turn, species, seed_rate, job, None)
    unit, per = seed_rate.amount.unit, seed_rate.amount.per
    said = ", or ".join(f"{turn.say(rate, unit, per)} {purpose}".strip() for purpose, rate in rates.items())
    sources = [seed_rate.source, *(share.source for share in shares if share.source not in UNSOURCED)]
    return (
        f"{capital(turn.knowledge.name(str(species.value)))}: {said}",
        [*_rate_line(turn, species, seed_rate), *notes],
        sources,
    )


def spread_of(rows: Sequence[Row]) -> Range:
    """From the lowest to the highest figure of rows."""
    return Range(min(low_end(row.amount.q) for row in rows), max(high_end(row.amount.q) for row in rows))


def parts_on_area(turn: Turn, area: Slot, rate: Slot, shares: Slot, asked: Slot | None = None) -> Answer:
    """The weight of each part of a mix that goes on an area."""
    size, unit = total_of(area), rate.amount.unit
    whole = over_range(spread_at, rate.q, size)
    if isinstance(whole, Range):
        whole = whole.high
    amount = Amount("mass", whole.m_as(unit), whole.m_as(unit), (unit,), of="seed")
    answer = parts(turn, Slot("quantity", amount), shares, asked)
    row = f"{turn.say(size, 'sq_ft')} x {turn.say(rate.q, unit, rate.amount.per)} = {turn.say(whole, unit)}"
    return replace(answer, working=(row, *answer.working), inputs=(area, rate, shares))


def parts(turn: Turn, quantity: Slot, shares: Slot, asked: Slot | None = None) -> Answer:
    """The weight of each part of a mix."""
    if isinstance(quantity.q, Range) or not all(one.single or isinstance(one.low, tuple) for one in shares.amounts):
        return Answer(ASKS, "Parts of a mix need one figure each.", asks=_SHARES, inputs=(quantity, shares))
    said = [share for one in shares.amounts for share in (one.qs if isinstance(one.low, tuple) else [one.q])]
    unit = str(asked.value).partition(".")[2] if asked else quantity.amount.unit
    rest = 100 - sum(share.m_as("percent") for share in said)
    if rest >= 0.5:
        said.append(Q(rest, "percent"))
    weights = parts_of_mix(quantity.q, said)
    called = _called(turn, shares, said)
    order = sorted(range(len(said)), key=lambda place: called[place] != _asked_grass(turn, called))
    each = [f"{turn.say(weights[place], unit)} of {called[place]}" for place in order]
    return Answer(
        ANSWERED,
        "; ".join(each),
        figures=tuple(turn.figure(called[place], weights[place], unit, of="seed") for place in order),
        lines=("By weight. Small seed counts for far more plants: ask for the shares by seed count.",),
        working=tuple(
            f"{turn.say(quantity.q, unit)} x {turn.say(share, 'percent')} = {turn.say(weight, unit)}"
            for share, weight in zip(said, weights, strict=True)
        ),
        inputs=(quantity, shares),
        sources=turn.cite("common practice"),
    )


def _called(turn: Turn, shares: Slot, said: list[Any]) -> list[str]:
    """What each share is of: the grass that is named behind it, else its percent; what no share names is the rest."""
    ends = [one.span[1] for one in shares.amounts]
    starts = [*(one.span[0] for one in shares.amounts[1:]), len(turn.parse.text)]
    grasses = [name for name in turn.parse.names if name.type == "species"]
    each = list(dict.fromkeys(name.id for name in grasses))
    if len(each) == len(said):  # in the order of their shares, whichever of the two is said first
        return [turn.knowledge.name(one) for one in each]
    called = []
    for end, start in zip(ends, starts, strict=True):
        grass = next((name for name in grasses if end <= name.span[0] < start), None)
        called.append(turn.knowledge.name(grass.id) if grass else "")
    if len(shares.amounts) != len(said):  # 80/10/10, or a rest that no share names
        called = called if len(called) == len(said) - 1 and len(shares.amounts) > 0 and not _in_one(shares) else []
        called += ["the rest"] if called else [""] * len(said)
    return [name or str(turn.say(share, "percent")) for name, share in zip(called, said, strict=True)]


def _in_one(shares: Slot) -> bool:
    return any(one.kind == "percents" for one in shares.amounts)


def _asked_grass(turn: Turn, called: list[str]) -> str:
    """The grass that the question names last, where it names one twice: `how many pounds are bluegrass`."""
    grasses = [turn.knowledge.name(name.id) for name in turn.parse.names if name.type == "species"]
    return grasses[-1] if grasses and grasses.count(grasses[-1]) > 1 else called[0]
