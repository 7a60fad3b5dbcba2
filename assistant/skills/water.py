"""Water that soaks in instead of running off, and how often a lawn of its age wants it."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from assistant.answer import ANSWERED, ASKS, Answer, Ask
from assistant.calculations.water import (
    DAY,
    days_to_next,
    longest_run,
    rain_that_counts,
    runs_for,
    store_of_roots,
    waterings_a_day,
)
from assistant.calculations.weather import day_of_year, hargreaves
from assistant.knowledge_base import row_of
from assistant.skills.turn import Turn
from assistant.skills.worked import whole
from assistant.terms import Range, Row, Slot, capital, high_end, over_range
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
    falls = high_end(precipitation.q)
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
        least = high_end(depth.q)
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
            f"{capital(where)} takes in {takes}; {rate} falls.",
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


def need(
    turn: Turn,
    seed_day: Slot | None = None,
    young: Slot | None = None,
    texture: Slot | None = None,
    temperature: Slot | None = None,
    overnight: Slot | None = None,
    latitude: Slot | None = None,
    precipitation: Slot | None = None,
    rain: Slot | None = None,
    species: Slot | None = None,
    head: Slot | None = None,
    **_: Slot | None,
) -> Answer:
    """How often and how long to water a lawn of its age: a seedbed in short runs, a rooted stand by what its soil holds."""
    said = tuple(
        slot
        for slot in (seed_day, young, texture, temperature, overnight, latitude, precipitation, rain, species, head)
        if slot
    )
    age = (turn.now.day - seed_day.amount.day).days if seed_day else None
    bed = turn.knowledge.rows("watering.seedbed_days")[0]
    seedbed = (age is not None and 0 <= age < bed.amount.low) or (age is None and young is not None)
    et, how = _reference(turn, temperature, overnight, latitude)
    if seedbed:
        return _seedbed(turn, et, how, texture, precipitation, said)
    if et is None:
        ask = (
            Ask("temperature", "What are the high and the low of the day?")
            if latitude or _latitude(turn)
            else Ask("latitude", "Where is the lawn: a ZIP code, or the latitude?")
        )
        printed = turn.knowledge.rows("watering.as_printed")[0]
        new = f"New seed: {printed.amount.low:g} to {printed.amount.high:g} {printed.note} ({turn.short(printed.source)}). "
        headline = f"{new if age is None else ''}An older lawn's need hangs on the day's heat and the sun."
        return Answer(ASKS, headline, asks=ask, inputs=said, sources=turn.cite(printed.source))
    return _rooted(turn, et, how, age, texture, precipitation, rain, species, said)


def _latitude(turn: Turn) -> Slot | None:
    return turn.lawn.facts.get("latitude") if turn.lawn else None


def _reference(turn: Turn, temperature: Slot | None, overnight: Slot | None, latitude: Slot | None) -> tuple[Any, str]:
    """Reference evapotranspiration of the day by its high and low: said, or the record's last day; None where open."""
    where = latitude or _latitude(turn)
    if where is None:
        return None, ""
    high = low = None
    if temperature is not None and overnight is not None:
        high = high_end(temperature.q)
        low = overnight.q.low if isinstance(overnight.q, Range) else overnight.q
    elif temperature is not None and isinstance(temperature.q, Range):
        low, high = temperature.q
    elif turn.weather is not None:
        days = [
            one
            for one in turn.weather.days(turn.now.day - timedelta(days=3))
            if one.day <= turn.now.day and one.mean is not None
        ]
        if days:
            high, low = Q(days[-1].high, "degF"), Q(days[-1].low, "degF")
    if high is None or low is None:
        return None, ""
    et = hargreaves(where.q, day_of_year(turn.now.day), high.to("degC"), low.to("degC"))
    words = f"Reference ET by Hargreaves from {turn.say(high, 'degF')} and {turn.say(low, 'degF')}: {turn.say(et, 'inch / day')}"
    return et, words


def _seedbed(
    turn: Turn, et: Any, how: str, texture: Slot | None, precipitation: Slot | None, said: tuple[Slot, ...]
) -> Answer:
    """Short runs a day that keep the top quarter inch from drying out."""
    printed = turn.knowledge.rows("watering.as_printed")
    lines = [
        f"As printed: {row.amount.low:g}{f' to {row.amount.high:g}' if row.amount.high > row.amount.low else ''} {row.note} ({turn.short(row.source)})."
        for row in printed
    ]
    most = turn.knowledge.rows("watering.runs_a_day")[0].amount
    if et is None or texture is None:
        lines.append("With the day's high and low, the place and the soil's texture I work it out for your seedbed.")
        return Answer(
            ANSWERED,
            f"Keep the top half inch moist: {printed[0].amount.low:g} to {printed[0].amount.high:g} light waterings a day",
            figures=(turn.figure("waterings a day", printed[0].amount.q, ""),),
            lines=tuple(lines),
            inputs=said,
            sources=turn.cite(*(row.source for row in printed)),
        )
    key = str(texture.value).partition(".")[2]
    store, bare = turn.knowledge.rows(f"watering.seedbed_store.{key}")[0], turn.knowledge.rows("watering.bare")[0]
    thin = store.amount.q.low if isinstance(store.amount.q, Range) else store.amount.q
    wanted = whole(waterings_a_day(et, bare.amount.q, thin)).magnitude
    runs = min(max(wanted, most.low), most.high)
    each = (et * DAY * bare.amount.q / runs).to("inch")
    figures = [turn.figure("waterings a day", Q(runs, ""), ""), turn.figure("each", each, "inch")]
    headline = f"{runs:g} short waterings today, {turn.say(each, 'inch')} each"
    if wanted > most.high:
        lines.insert(
            0, f"The bare top would want {wanted:g}; lay straw so that half the soil shows, and keep to {most.high:g}."
        )
    if precipitation is not None:
        fall = precipitation.q.low if isinstance(precipitation.q, Range) else precipitation.q
        figures.append(turn.figure("minutes each", each / fall, "minute"))
        headline += f": about {turn.say(_to_the_minute(each / fall), 'minute')} each"
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=(*lines, "The first at dawn, the last in time to be dry before dark."),
        working=(
            f"{how}.",
            f"{turn.say(et, 'inch / day')} x {bare.amount.low:g} / {turn.say(thin, 'inch')} held in the top quarter inch = {turn.say(waterings_a_day(et, bare.amount.q, thin), '')}",
        ),
        inputs=said,
        sources=turn.cite("fao56", *(row.source for row in printed)),
    )


def _rooted(
    turn: Turn,
    et: Any,
    how: str,
    age: int | None,
    texture: Slot | None,
    precipitation: Slot | None,
    rain: Slot | None,
    species: Slot | None,
    said: tuple[Slot, ...],
) -> Answer:
    """The store in the root zone, what leaves it in a day, and so the days between waterings."""
    key = str(texture.value).partition(".")[2] if texture else "loam"
    held, used = turn.knowledge.rows(f"watering.held.{key}")[0], turn.knowledge.rows("watering.used_up")[0]
    roots = _roots(turn, age)
    warm = species is not None and turn.knowledge.entry(f"{species.value}.season") == "warm"
    factor = turn.knowledge.rows(f"watering.coefficient.{'warm' if warm else 'cool'}")[0]
    store = over_range(lambda water: store_of_roots(roots.amount.q, water, used.amount.q), held.amount.q)
    days = over_range(lambda one: days_to_next(one, et, factor.amount.q), store)
    daily = (et * factor.amount.q).to("inch / day")
    figures = [
        turn.figure("days between waterings", days, "day"),
        turn.figure("each watering", store, "inch"),
        turn.figure("use in a day", daily, "inch / day"),
    ]
    spacing = over_range(lambda one: Q(max(1.0, float(round(one.m_as("day")))), "day"), days)
    headline = f"About every {turn.say(spacing, 'day')}, {turn.say(store, 'inch')} each time"
    lines = []
    if rain is not None:
        counts = rain_that_counts(rain.q.low if isinstance(rain.q, Range) else rain.q)
        gone = (counts / daily).to("day")
        figures.append(turn.figure("rain that counts", counts, "inch"))
        lines.append(f"Of that rain {turn.say(counts, 'inch')} counts: it stands for {turn.say(gone, 'day')}.")
    if precipitation is not None:
        fall = precipitation.q.low if isinstance(precipitation.q, Range) else precipitation.q
        time = over_range(lambda one: one / fall, store)
        figures.append(turn.figure("run time", time, "minute"))
        headline += f": {turn.say(over_range(_to_the_minute, time), 'minute')}"
    if texture is None:
        lines.append("Taken as loam; say the texture to have it otherwise.")
    lines.append("Footprints that stay and a dull blue cast say it sooner than any table.")
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=tuple(lines),
        working=(
            f"{how}; x {factor.amount.low:g} = {turn.say(daily, 'inch / day')}.",
            f"{turn.say(roots.amount.q, 'inch')} of roots x {turn.say(held.amount.q, 'inch', 'ft')} x {turn.say(used.amount.q, 'percent')} = {turn.say(store, 'inch')}",
        ),
        inputs=said,
        sources=turn.cite("fao56", factor.source, held.source, used.source, roots.source),
    )


def _to_the_minute(time: Any) -> Any:
    """As a timer is set: whole minutes, one at least."""
    return Q(max(1.0, float(round(time.m_as("minute")))), "minute")


def _roots(turn: Turn, age: int | None) -> Row:
    """How deep the roots of a stand of that age reach; an old lawn's where no age is known."""
    rows = turn.knowledge.entry("watering.roots")
    found = [row for row in rows if age is not None and row["age"] <= age]
    return row_of((found or rows[:1])[-1] if age is not None else rows[-1])
