"""When: frost, the last feed, state law, germination, growth, soil. The windows for seeding stand in windows.py.

What the record of a place says comes first, then what the user said, then what a state prints; each is named.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, Answer, Ask, Figure
from assistant.calculations import season
from assistant.knowledge_base import row_of
from assistant.skills.dates import ADD_TABLE, fall_year, falls_of, feed_ends, law_rows, limit_rows
from assistant.skills.turn import Turn
from assistant.skills.windows import dormant as dormant
from assistant.skills.windows import spring as spring
from assistant.skills.windows import window as window
from assistant.terms import Range, Slot, capital, high_end, over_range, short_day
from assistant.units import Q

# frost --------------------------------------------------------------------------------------------------------------


def frost(
    turn: Turn, threshold: Slot | None = None, first_freeze: Slot | None = None, state: Slot | None = None
) -> Answer:
    """When the first freeze of fall comes, in one, five and nine years of ten."""
    dates = falls_of(turn, _whole_degree(threshold) or 32)
    if dates is None:
        return _no_record(turn, first_freeze, "first freeze")
    hard = falls_of(turn, 28)
    lines = [_spread(dates, "earlier", "later")]
    figures = _frost_figures(dates, f"first {dates.threshold:g} °F")
    if hard and hard.threshold != dates.threshold:
        lines.append(
            f"First {hard.threshold:g} °F: {short_day(hard.median)} ({short_day(hard.early)} to {short_day(hard.late)})."
        )
        figures += _frost_figures(hard, f"first {hard.threshold:g} °F")
    return Answer(
        ANSWERED,
        f"First {dates.threshold:g} °F: about {short_day(dates.median)}",
        figures=tuple(figures),
        lines=(*lines, _record_words(turn, dates.years)),
        inputs=tuple(slot for slot in (threshold,) if slot),
        sources=turn.cite("mrcc"),
    )


def last_frost(turn: Turn, threshold: Slot | None = None, state: Slot | None = None) -> Answer:
    """When the last freeze of spring comes."""
    key = str(_whole_degree(threshold) or 32)
    events = turn.weather.summary.get("springs", {}).get(key, []) if turn.weather else []
    dates = season.frost_dates(events, date(turn.now.day.year, 1, 1), float(key))
    if dates is None:
        return _no_record(turn, None, "last freeze")
    return Answer(
        ANSWERED,
        f"Last {dates.threshold:g} °F of spring: about {short_day(dates.median)}",
        figures=tuple(_frost_figures(dates, f"last {dates.threshold:g} °F")),
        lines=(_spread(dates, "over by then", "later"), _record_words(turn, dates.years, "springs")),
        inputs=tuple(slot for slot in (threshold,) if slot),
        sources=turn.cite("mrcc"),
    )


def _spread(dates: season.FrostDates, early: str, late: str) -> str:
    return f"One year in ten it is {early} than {short_day(dates.early)}, one in ten {late} than {short_day(dates.late)}." if late == "later" and early == "earlier" else f"In one year of ten it is over by {short_day(dates.early)}, in nine of ten by {short_day(dates.late)}."  # fmt: skip


def _frost_figures(dates: season.FrostDates, label: str) -> list[Figure]:
    return [Figure(label, day=dates.median), Figure(f"{label}, 8 years in 10", day=dates.early, until=dates.late)]


def _record_words(turn: Turn, years: int, what: str = "falls") -> str:
    assert turn.weather is not None
    wanted = int(turn.knowledge.rows("season.years_wanted")[0].amount.low)
    first, last = turn.weather.summary["first"][:4], turn.weather.summary["last"][:4]
    few = f" Under {wanted} years it is a guess; thirty are the standard." if years < wanted else ""
    return f"From {years} {what} on record at {turn.weather.place}, {first} to {last}.{few}"


def _no_record(turn: Turn, said: Slot | None, what: str) -> Answer:
    if said is not None:
        day = said.amount.day
        words = f"You told me {short_day(day)} for the average {what}; I have no record to check it by."
        return Answer(ANSWERED, words, figures=(Figure(what, day=day),), lines=(ADD_TABLE,), inputs=(said,))
    ask = Ask("first_freeze", f"When is your average {what}? A county extension office knows it.")
    return Answer(ASKS, f"I have no weather on record, so I cannot tell the {what}. {ADD_TABLE}", asks=ask)


def _whole_degree(slot: Slot | None) -> int:
    if slot is None or isinstance(slot.q, Range):
        return 0
    degree = round(slot.q.m_as("degF"))
    return degree if degree in (36, 32, 28, 24) else 0


# the last feed ------------------------------------------------------------------------------------------------------


def last_feed(
    turn: Turn, state: Slot | None = None, first_freeze: Slot | None = None, hard_freeze: Slot | None = None
) -> Answer:
    """The last day for nitrogen before winter: the earliest of law, the end of growth and the hard freeze."""
    bounds = feed_ends(turn, state, fall_year(turn), hard_freeze.amount.day if hard_freeze else None)
    if not bounds:
        ask = Ask("state", "Which state is the lawn in?")
        return Answer(ASKS, "That hangs on where you are.", lines=(ADD_TABLE,), asks=ask)
    last, why, _ = bounds[0]
    gone = (turn.now.day - last).days
    headline = f"Last nitrogen by {short_day(last)}" + (f"; that was {gone} days ago" if gone > 0 else "")
    return Answer(
        ANSWERED,
        headline,
        figures=(Figure("last feed", day=last), *(Figure(words, day=day) for day, words, _ in bounds[1:])),
        lines=(
            f"{why}.",
            *(f"{words}: {short_day(day)}." for day, words, _ in bounds[1:]),
            "It binds nitrogen and phosphate. Potash and lime are not bound by it.",
        ),
        cautions=check_law(turn, state),
        inputs=tuple(slot for slot in (state, first_freeze, hard_freeze) if slot),
        sources=turn.cite(*(source for _, _, source in bounds)),
    )


def place(turn: Turn, **told: Slot | None) -> Answer:
    """Where the lawn lies: what was told is kept by the dialogue."""
    return Answer(RECORDED, "", inputs=tuple(slot for slot in told.values() if slot))


def check_law(turn: Turn, state: Slot | None) -> tuple[str, ...]:
    rows = [*law_rows(turn, state), *limit_rows(turn, state)]
    if not rows:
        return ("State and county law may end it earlier: check before you spread.",)
    return (f"Law as we read it on {rows[0]['checked']}; it changes. Check again before you spread.",)


# germination, growth, soil -------------------------------------------------------------------------------------------


def germination(turn: Turn, species: Slot, soil: Slot | None = None, seed_day: Slot | None = None) -> Answer:
    """Days until a grass sprouts at a soil temperature, on the bench and in the yard."""
    key, name = str(species.value).partition(".")[2], turn.knowledge.name(str(species.value))
    custom = turn.knowledge.rows(f"species.{key}.days_to_germinate")
    warm, whence = _soil(turn, soil)
    lines, figures, sources = [], [], []
    tested = turn.knowledge.rows("season.bench_tested")[0].amount.q
    if warm is not None and not _inside(warm, tested):
        lines.append(
            f"At that soil temperature it is slow and poor, or fails: {turn.say(tested, 'degF')} is what was tested."
        )
    elif warm is not None:
        bench, source = _bench(turn, key, warm)
        if bench is not None:
            over = turn.knowledge.rows("season.field_over_bench")[0].amount
            low, high = (bench.low, bench.high) if isinstance(bench, Range) else (bench, bench)
            yard = Range(_whole_days(low), _whole_days(high * over.high))
            figures.append(turn.figure("days to show", yard, "day"))
            lines.append(
                f"On a bench at {turn.say(warm, 'degF')}: {turn.say(bench, 'day')}; in the yard up to {over.low:g} to {over.high:g} times that."
            )
            sources += [source, "gfs-tt"]
    rows = [row for row in custom if row.amount.unit == "day"]
    if rows:
        figures.append(turn.figure("days as printed", rows[0].amount.q, "day"))
        lines.append(f"As printed: {turn.row_words(rows[0], 'day')}.")
        sources.append(rows[0].source)
    if not figures:
        return Answer(ASKS, "", asks=Ask("soil", f"How warm is the soil, for {name}?"), inputs=(species,))
    if whence:
        lines.append(whence)
    shown = turn.say(Range(*_ends(figures[0])), "day")
    return Answer(
        ANSWERED,
        f"{capital(name)} shows after {shown}",
        figures=tuple(figures),
        lines=tuple(lines),
        inputs=tuple(slot for slot in (species, soil) if slot),
        sources=turn.cite(*sources),
    )


def _inside(value: Any, limits: Any) -> bool:
    ends = value if isinstance(value, Range) else Range(value, value)
    return bool(limits.low <= ends.low and ends.high <= limits.high)


def _whole_days(days: Any) -> Any:
    """Nobody sees a tenth of a day."""
    return Q(float(round(days.m_as("day"))), "day")


def _ends(figure: Figure) -> tuple[Any, Any]:
    return Q(figure.low, "day"), Q(figure.high, "day")


def _bench(turn: Turn, key: str, warm: Any) -> tuple[Any, str]:
    """Days on a bench at a soil temperature: by heat sum, or from a printed table."""
    heat, base = (
        turn.knowledge.rows(f"species.{key}.germination_heat"),
        turn.knowledge.rows(f"species.{key}.germination_base"),
    )
    if heat and base:
        return over_range(lambda one: season.days_to_germinate(heat[0].amount.q, base[0].amount.q, one), warm), heat[
            0
        ].source
    rows = turn.knowledge.entry(f"species.{key}.bench_days") or []
    at = warm.low.m_as("degF") if isinstance(warm, Range) else warm.m_as("degF")
    below = [row for row in rows if row["soil"] <= at] or rows[:1]
    return (row_of(below[-1]).amount.q, below[-1]["source"]) if below else (None, "")


def _soil(turn: Turn, soil: Slot | None) -> tuple[Any, str]:
    """The soil as it was said; else as the record of the last days makes it, with its error."""
    if soil is not None:
        return soil.q, ""
    estimate = _estimated_soil(turn)
    if estimate is None:
        return None, ""
    error = turn.knowledge.rows("season.soil_error")[0].amount
    return Q(
        estimate, "degF"
    ), f"Soil of about {estimate:.0f} °F from your record's last days, give or take {error.low:g}."


def _estimated_soil(turn: Turn) -> float | None:
    """Soil today from the air of the last eleven days on record; None where they are not there."""
    if turn.weather is None:
        return None
    days = turn.weather.days(turn.now.day - timedelta(days=11))
    means = [one.mean for one in days if one.day <= turn.now.day and one.mean is not None]
    return season.soil_from_air(means) if len(means) >= 9 else None


def soil_now(turn: Turn, temperature: Slot | None = None) -> Answer:
    """The soil at 4 inches, estimated from the air."""
    estimate = _estimated_soil(turn)
    error = turn.knowledge.rows("season.soil_error")[0].amount
    if estimate is None:
        ask = Ask("temperature", "What was the daily mean of the air over the last ten days or so?")
        if temperature is None:
            return Answer(ASKS, f"I have no weather of the last days on record. {ADD_TABLE}", asks=ask)
        ends = temperature.q if isinstance(temperature.q, Range) else Range(temperature.q, temperature.q)
        estimate = (ends.low.m_as("degF") + ends.high.m_as("degF")) / 2
    value = Q(estimate, "degF")
    return Answer(
        ANSWERED,
        f"About {turn.say(Q(round(estimate), 'degF'), 'degF')} at 4 inches, give or take {error.low:g} °F",
        figures=(turn.figure("soil at 4 in", value, "degF"),),
        lines=(
            "An estimate: the mean of the air over the last eleven days. A soil thermometer costs little and knows.",
        ),
        inputs=(temperature,) if temperature else (),
        sources=turn.cite("soil93"),
    )


def growth(turn: Turn, temperature: Slot, species: Slot | None = None) -> Answer:
    """How much of its best growth a grass has at a mean temperature."""
    key = str(species.value).partition(".")[2] if species else ""
    warm = turn.knowledge.entry(f"species.{key}.season") == "warm" if key else False
    value = over_range(lambda one: season.growth_potential(one, warm), _mean_of(temperature))
    kind = "warm-season" if warm else "cool-season"
    high = high_end(value)
    says = "nearly nil" if high.m_as("") <= 0.1 else "slow" if high.m_as("") < 0.5 else "good"
    return Answer(
        ANSWERED,
        f"Growth potential {turn.say(value, 'percent')} for {kind} grass: {says}",
        figures=(turn.figure("growth potential", value, "percent"),),
        lines=("Half and more is good growth; a tenth or less is nearly none.",),
        inputs=tuple(slot for slot in (temperature, species) if slot),
        sources=turn.cite("gp-14", "gp-use"),
    )


def _mean_of(temperature: Slot) -> Any:
    return (
        Range(*(end.to("degC") for end in temperature.q))
        if isinstance(temperature.q, Range)
        else temperature.q.to("degC")
    )


def degree_days_since(turn: Turn, since: Slot, base: Slot) -> Answer:
    """Growing degree days of the record from a day on."""
    if turn.weather is None or not turn.weather.summary:
        return Answer(
            ASKS, f"I have no weather on record to add up. {ADD_TABLE}", asks=Ask("since", "Since which day?")
        )
    start = since.amount.day
    start = start.replace(year=start.year - 1) if start > turn.now.day else start  # a day gone by is meant
    days = [one for one in turn.weather.days(start) if one.day <= turn.now.day]
    floor = base.q.m_as("degF")
    if not days:
        last = turn.weather.summary["last"]
        return Answer(
            ASKS,
            f"The record ends on {last}, before that. Add newer weather, or say another day.",
            asks=Ask("since", "Since which day?"),
        )
    total = season.degree_days_of(days, floor)
    return Answer(
        ANSWERED,
        f"{total:,.0f} growing degree days since {short_day(start)}, base {floor:g} °F",
        figures=(turn.figure("growing degree days", Q(total, "delta_degF * day"), "delta_degF * day"),),
        lines=(
            f"{len(days)} days on record, to {days[-1].day.isoformat()}. Sums with another base or start are no match.",
        ),
        inputs=(since, base),
        sources=turn.cite("nrcc-gdd"),
    )


def season_picture(turn: Turn, seed_day: Slot | None = None, program: Slot | None = None) -> Answer:
    """The fall of the place on one picture."""
    from assistant.skills.chart import drawn, season_of

    picture = season_of(turn, seed_day, program)
    if picture is None:
        return Answer(ASKS, f"I have no year of daily weather to draw. {ADD_TABLE}", asks=Ask("weather", "Which file?"))
    return Answer(
        ANSWERED,
        f"The fall at {picture.place}, in a normal year",
        figures=tuple(Figure(mark.words, day=mark.day) for mark in picture.marks),
        lines=tuple(drawn(picture)),
        inputs=tuple(slot for slot in (seed_day, program) if slot),
        sources=turn.cite("soil93", "mrcc"),
    )


def _and(names: list[str]) -> str:
    return " and ".join(names) if len(names) < 3 else f"{', '.join(names[:-1])} and {names[-1]}"
