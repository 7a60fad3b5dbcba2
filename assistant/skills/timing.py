"""When: first and last frost, the seeding window and what is left when it is over, the last feed, germination, growth.

What the record of a place says comes first, then what the user said, then what a state prints; each is named.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, Answer, Ask, Figure
from assistant.calculations import season
from assistant.knowledge_base import row_of
from assistant.skills.turn import Turn
from assistant.terms import Range, Slot, over_range
from assistant.units import Q

_ADD = "Or keep a station's daily file: ligule weather add FILE (CSV with DATE, TMAX, TMIN)."
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


# frost --------------------------------------------------------------------------------------------------------------


def frost(
    turn: Turn, threshold: Slot | None = None, first_freeze: Slot | None = None, state: Slot | None = None
) -> Answer:
    """When the first freeze of fall comes, in one, five and nine years of ten."""
    dates = _falls(turn, _whole_degree(threshold) or 32)
    if dates is None:
        return _no_record(turn, first_freeze, "first freeze")
    hard = _falls(turn, 28)
    lines = [_spread(dates, "earlier", "later")]
    figures = _frost_figures(dates, f"first {dates.threshold:g} °F")
    if hard and hard.threshold != dates.threshold:
        lines.append(
            f"First {hard.threshold:g} °F: {_short(hard.median)} ({_short(hard.early)} to {_short(hard.late)})."
        )
        figures += _frost_figures(hard, f"first {hard.threshold:g} °F")
    return Answer(
        ANSWERED,
        f"First {dates.threshold:g} °F: about {_short(dates.median)}",
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
        f"Last {dates.threshold:g} °F of spring: about {_short(dates.median)}",
        figures=tuple(_frost_figures(dates, f"last {dates.threshold:g} °F")),
        lines=(_spread(dates, "over by then", "later"), _record_words(turn, dates.years, "springs")),
        inputs=tuple(slot for slot in (threshold,) if slot),
        sources=turn.cite("mrcc"),
    )


def _falls(turn: Turn, threshold: int) -> season.FrostDates | None:
    """The fall dates of a threshold in this season's year; before August those of the coming fall."""
    events = turn.weather.summary.get("falls", {}).get(str(threshold), []) if turn.weather else []
    return season.frost_dates(events, date(_fall_year(turn), 8, 1), float(threshold))


def _fall_year(turn: Turn) -> int:
    """In winter the fall that is over is last year's; from April on people mean the one to come."""
    day = turn.now.day
    return day.year - 1 if day.month < 4 else day.year


def _spread(dates: season.FrostDates, early: str, late: str) -> str:
    return f"One year in ten it is {early} than {_short(dates.early)}, one in ten {late} than {_short(dates.late)}." if late == "later" and early == "earlier" else f"In one year of ten it is over by {_short(dates.early)}, in nine of ten by {_short(dates.late)}."  # fmt: skip


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
        words = f"You told me {_short(day)} for the average {what}; I have no record to check it by."
        return Answer(ANSWERED, words, figures=(Figure(what, day=day),), lines=(_ADD,), inputs=(said,))
    ask = Ask("first_freeze", "When is your average first freeze? A county extension office knows it.")
    return Answer(ASKS, f"I have no weather on record, so I cannot tell the {what}. {_ADD}", asks=ask)


def _whole_degree(slot: Slot | None) -> int:
    if slot is None or isinstance(slot.q, Range):
        return 0
    degree = round(slot.q.m_as("degF"))
    return degree if degree in (36, 32, 28, 24) else 0


# the window ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Window:
    """From when to when seed goes down, why, and on whose word."""

    first: date
    last: date
    why: str
    sources: tuple[str, ...]
    latest: date | None = None  # the last sensible day, where one is printed besides the best window

    @property
    def closes(self) -> date:
        return self.latest or self.last


def window(
    turn: Turn,
    species: Slot | None = None,
    state: Slot | None = None,
    first_freeze: Slot | None = None,
    day: Slot | None = None,
    area: Slot | None = None,
) -> Answer:
    """When to seed, whether it is too late, and what is left then."""
    grass = str(species.value).partition(".")[2] if species else "tall_fescue"
    if turn.knowledge.entry(f"species.{grass}.season") == "warm":
        return _warm(turn, species)
    found = _printed(turn, grass, state) + _by_frost(turn, grass, first_freeze)
    if not found:
        ask = Ask("state", "Which state is the lawn in, or when is your average first freeze?")
        return Answer(ASKS, "The window hangs on where you are.", lines=(_ADD,), asks=ask)
    name = turn.knowledge.name(str(species.value)) if species else "cool-season grass"
    asked = day.amount.day if day else turn.now.day
    best = _over(found) if len({one.sources for one in found if one.why.startswith("Printed")}) == 1 else found[0]
    lines = [f"{one.why}: {_short(one.first)} to {_short(one.last)}." for one in found]
    latest = max(one.closes for one in found)
    late = (asked - latest).days
    figures = [Figure("seeding window", day=best.first, until=best.last)]
    figures += [Figure("seeding window, second reading", day=one.first, until=one.last) for one in found[1:]]
    headline = f"Seed {name} {_short(best.first)} to {_short(best.last)}"
    if late > 0:
        when = "today is" if asked == turn.now.day else f"{_short(asked)} is"
        headline += f"; {when} {late} days too late"
        figures.append(Figure("days too late", low=float(late), high=float(late), unit="day"))
        lines += _what_is_left(turn)
    elif asked >= best.first:
        left = (latest - asked).days
        headline += f"; {left} days are left"
        figures.append(Figure("days left", low=float(left), high=float(left), unit="day"))
    sources = [source for one in found for source in one.sources]
    if late > 0:
        sources += [row["source"] for row in turn.knowledge.entry("season.too_late")]
    inputs = tuple(slot for slot in (species, state, first_freeze, day) if slot)
    return Answer(
        ANSWERED, headline, figures=tuple(figures), lines=tuple(lines), inputs=inputs, sources=turn.cite(*sources)
    )


def _over(found: list[Window]) -> Window:
    """The windows that one bulletin prints for the parts of a state, from the first day to the last."""
    printed = [one for one in found if one.why.startswith("Printed")]
    first, last = min(one.first for one in printed), max(one.last for one in printed)
    return Window(first, last, printed[0].why, printed[0].sources, max(one.closes for one in printed))


def _printed(turn: Turn, grass: str, state: Slot | None, kind: str = "fall") -> list[Window]:
    """The windows of a kind that a state's own service prints for a grass; those for cool-season grass serve all."""
    rows = turn.knowledge.entry(f"states.{str(state.value).partition('.')[2]}.windows") if state else None
    year = _fall_year(turn) if kind != "spring" else _spring_year(turn)
    made = []
    fitting = [row for row in rows or () if row["grass"] in ("cool", grass) and row["kind"] == kind]
    said = next((name.text.lower() for name in turn.parse.names if name.type == "state"), "")
    part = [row for row in fitting if said and said == row.get("where", "").lower()]
    for row in part or fitting:
        where = row.get("where") or turn.knowledge.name(str(state.value)) if state else ""
        first, last = _on(year, row["from"]), _on(year, row["to"])
        last = last if last > first else _on(year + 1, row["to"])
        note = f" ({row['note']})" if "note" in row else ""
        latest = _on(year, row["latest"]) if "latest" in row else None
        made.append(Window(first, last, f"Printed for {where}{note}", (row["source"],), latest))
    return made


def _by_frost(turn: Turn, grass: str, first_freeze: Slot | None) -> list[Window]:
    """The window that is left before growth ends, by the record of the place; else before the freeze that was said."""
    before = turn.knowledge.rows("season.before_freeze")[0]
    later = turn.knowledge.rows("season.bluegrass_later")[0]
    blue = grass == "kentucky_bluegrass"
    days = int(before.amount.high) + (int(later.amount.high) if blue else 0)
    sources = (before.source, *((later.source,) if blue else ()))
    normals, limit = _normals(turn), turn.knowledge.rows("season.growth_ends")[0]
    ends = season.last_warm_day(normals, limit.amount.low, _fall_year(turn)) if normals else None
    if ends:
        last = ends - timedelta(days=days)
        first = min(_cool_enough(turn, ends.year) or last - timedelta(days=30), last)
        mean = turn.say(limit.amount.q, "degF")
        why = f"By your weather record, from where soil is down to 70 °F until {days} days of growth are left (a normal week of {mean} or more, to {_short(ends)})"
        return [Window(first, last, why, (*sources, limit.source))]
    if first_freeze is None:
        return []
    freeze = first_freeze.amount.day
    last = freeze - timedelta(days=days)
    why = f"By the first freeze you told me, {days} days before {_short(freeze)}; in the South later sowing is printed too"
    return [Window(last - timedelta(days=30), last, why, sources)]


def _cool_enough(turn: Turn, year: int) -> date | None:
    """The first normal day from August on whose soil, by its eleven-day mean of air, is down to where seeding begins."""
    begin = turn.knowledge.rows("season.soil_to_begin")[0].amount.low
    return _first_day(turn, date(year, 8, 1), 120, lambda day: (_soil_of(turn, day) or 999.0) <= begin)


def _warm(turn: Turn, species: Slot | None) -> Answer:
    name = turn.knowledge.name(str(species.value)) if species else "warm-season grass"
    year = turn.now.day.year + (1 if turn.now.day.month > 7 else 0)
    first, last = date(year, 5, 1), date(year, 7, 31)
    return Answer(
        ANSWERED,
        f"Seed {name} May to July, not in fall",
        figures=(Figure("seeding window", day=first, until=last),),
        lines=("It wants warm soil, 65 to 70 °F and rising; what comes up in fall dies in the first winter.",),
        inputs=(species,) if species else (),
        sources=turn.cite("ncsu-quick", "ok-seed"),
    )


def dormant(turn: Turn, species: Slot | None = None, state: Slot | None = None, area: Slot | None = None) -> Answer:
    """When to sow so late that nothing sprouts before spring."""
    grass = str(species.value).partition(".")[2] if species else "tall_fescue"
    found = _printed(turn, grass, state, "dormant")
    rows = turn.knowledge.rows("season.dormant_soil")
    for row in rows:
        day = _soil_below(turn, row.amount.low)
        if day:
            why = f"By your weather record, soil below {turn.say(row.amount.q, 'degF')} in a normal year ({turn.short(row.source)})"
            found.append(Window(day, date(day.year + 1, 2, 28), why, (row.source,)))
    more = turn.knowledge.rows("season.dormant_more_seed")[0]
    never = turn.weather is not None and found and _soil_below(turn, rows[0].amount.low) is None
    advice = (
        *(
            (
                f"In a normal year your soil does not stay below {rows[0].amount.low:g} °F: seed may sprout in a warm spell. Spring or sod is safer here.",
            )
            if never
            else ()
        ),
        f"Sow when soil stays below {rows[0].amount.low:g} °F ({turn.short(rows[0].source)}; below {rows[1].amount.low:g} is printed too), on ground that is not frozen hard or under snow.",
        f"A quarter more seed is usual ({turn.short(more.source)}). No feed and no preventer until it is up in spring; not on slopes that wash.",
        "A warm spell is the danger: what sprouts in November dies. Ryegrass sprouts first; bluegrass and fescue wait longer.",
    )
    sources = turn.cite(
        *(source for one in found for source in one.sources),
        *(row.source for row in rows),
        more.source,
        "purdue-late",
        "purdue-late-opt",
    )
    inputs = tuple(slot for slot in (species, state) if slot)
    if not found:
        return Answer(
            ANSWERED,
            f"Dormant seeding: when soil stays below {rows[0].amount.low:g} °F",
            lines=advice,
            inputs=inputs,
            sources=sources,
        )
    best = found[0]
    return Answer(
        ANSWERED,
        f"Dormant seeding from {_short(best.first)}",
        figures=tuple(Figure("dormant seeding", day=one.first, until=one.last) for one in found),
        lines=(*(f"{one.why}: from {_short(one.first)}." for one in found), *advice),
        inputs=inputs,
        sources=sources,
    )


def spring(turn: Turn, species: Slot | None = None, state: Slot | None = None, area: Slot | None = None) -> Answer:
    """When to seed in spring, against the heat of summer."""
    grass = str(species.value).partition(".")[2] if species else "tall_fescue"
    if turn.knowledge.entry(f"species.{grass}.season") == "warm":
        return _warm(turn, species)
    found = _printed(turn, grass, state, "spring")
    opens, before = turn.knowledge.rows("season.spring_soil")[0], turn.knowledge.rows("season.weeks_before_heat")[0]
    heat = turn.knowledge.rows("season.heat_mean")[0]
    first, hot = _soil_above(turn, opens.amount.low), _mean_above(turn, heat.amount.low)
    lines = []
    if first:
        last = hot - timedelta(weeks=int(before.amount.low)) if hot else date(first.year, 5, 31)
        why = f"By your weather record, soil passes {turn.say(opens.amount.q, 'degF')} on {_short(first)}"
        if hot:
            weeks = (hot - first).days // 7
            why += f"; summer heat comes about {_short(hot)}, {weeks} weeks later ({before.amount.low:g} to {before.amount.high:g} are wanted)"
        found.append(Window(first, max(first, last), why, (opens.source, before.source)))
    lines = [f"{one.why}: {_short(one.first)} to {_short(one.last)}." for one in found]
    lines.append(
        "Spring is the second choice: over three times the weeds of a September sowing, and no preventer until the grass is mowed, by label."
    )
    sources = turn.cite(
        *(source for one in found for source in one.sources), opens.source, before.source, "purdue-late"
    )
    inputs = tuple(slot for slot in (species, state) if slot)
    if not found:
        lines.insert(
            0,
            f"As early as soil holds {opens.amount.low:g} °F, {before.amount.low:g} to {before.amount.high:g} weeks before steady 85 °F ({turn.short(before.source)}).",
        )
        return Answer(
            ANSWERED,
            f"Spring seeding: from where soil passes {opens.amount.low:g} °F",
            lines=tuple(lines),
            inputs=inputs,
            sources=sources,
        )
    best = found[0]
    return Answer(
        ANSWERED,
        f"In spring: {_short(best.first)} to {_short(best.last)}",
        figures=tuple(Figure("spring seeding", day=one.first, until=one.last) for one in found),
        lines=tuple(lines),
        inputs=inputs,
        sources=sources,
    )


def _spring_year(turn: Turn) -> int:
    """The spring to come; that of this year until June."""
    day = turn.now.day
    return day.year if day.month < 7 else day.year + 1


def _soil_of(turn: Turn, day: date) -> float | None:
    """The soil of a day in a normal year, from the record's means; None where they are not there."""
    normals = turn.weather.summary.get("normals", {}) if turn.weather else {}
    means = [normals.get((day - timedelta(days=back)).strftime("%m-%d")) for back in range(10, -1, -1)]
    known = [mean for mean in means if mean is not None]
    return season.soil_from_air(known) if len(known) >= 10 else None


def _first_day(turn: Turn, start: date, days: int, fits: Callable[[date], bool]) -> date | None:
    return next((day for day in (start + timedelta(days=step) for step in range(days)) if fits(day)), None)


def _soil_below(turn: Turn, limit: float) -> date | None:
    year = _fall_year(turn)
    return _first_day(turn, date(year, 9, 1), 150, lambda day: (_soil_of(turn, day) or 99.0) < limit)


def _soil_above(turn: Turn, limit: float) -> date | None:
    return _first_day(turn, date(_spring_year(turn), 2, 1), 120, lambda day: (_soil_of(turn, day) or 0.0) >= limit)


def _mean_above(turn: Turn, limit: float) -> date | None:
    normals = _normals(turn)
    return _first_day(
        turn, date(_spring_year(turn), 3, 1), 180, lambda day: normals.get((day.month, day.day), 0.0) >= limit
    )


def _what_is_left(turn: Turn) -> list[str]:
    return [
        f"{row['what']}: {row['how']}. Cost: {row['cost']}. Risk: {row['risk']}."
        for row in turn.knowledge.entry("season.too_late")
    ]


# the last feed ------------------------------------------------------------------------------------------------------


def last_feed(
    turn: Turn, state: Slot | None = None, first_freeze: Slot | None = None, hard_freeze: Slot | None = None
) -> Answer:
    """The last day for nitrogen before winter: the earliest of law, the end of growth and the hard freeze."""
    year = _fall_year(turn)
    bounds: list[tuple[date, str, str]] = []
    for row in law_rows(turn, state):
        if "N" in row["nutrients"]:
            last = _on(year, row["from"]) - timedelta(days=1)
            bounds.append(
                (last, f"The law of {turn.knowledge.name(str(state.value)) if state else ''} ends it", row["source"])
            )
    ends = turn.knowledge.rows("season.growth_ends")[0]
    normals = _normals(turn)
    grows = season.last_warm_day(normals, ends.amount.low, year) if normals else None
    if grows:
        bounds.append(
            (
                grows,
                f"Growth ends: the last week with a normal mean of {turn.say(ends.amount.q, 'degF')} or more",
                ends.source,
            )
        )
    before = turn.knowledge.rows("season.before_hard_freeze")[0]
    hard = _falls(turn, 28)
    freeze = hard.median if hard else hard_freeze.amount.day if hard_freeze else None
    if freeze:
        days = int(before.amount.low)
        bounds.append(
            (freeze - timedelta(days=days), f"{days} days before the median 28 °F of {_short(freeze)}", before.source)
        )
    if not bounds:
        ask = Ask("state", "Which state is the lawn in?")
        return Answer(ASKS, "That hangs on where you are.", lines=(_ADD,), asks=ask)
    bounds.sort(key=lambda bound: bound[0])
    last, why, _ = bounds[0]
    gone = (turn.now.day - last).days
    headline = f"Last nitrogen by {_short(last)}" + (f"; that was {gone} days ago" if gone > 0 else "")
    return Answer(
        ANSWERED,
        headline,
        figures=(Figure("last feed", day=last), *(Figure(words, day=day) for day, words, _ in bounds[1:])),
        lines=(
            f"{why}.",
            *(f"{words}: {_short(day)}." for day, words, _ in bounds[1:]),
            "It binds nitrogen and phosphate. Potash and lime are not bound by it.",
        ),
        cautions=_check_law(turn, state),
        inputs=tuple(slot for slot in (state, first_freeze, hard_freeze) if slot),
        sources=turn.cite(*(source for _, _, source in bounds)),
    )


def place(turn: Turn, **told: Slot | None) -> Answer:
    """Where the lawn lies: what was told is kept by the dialogue."""
    return Answer(RECORDED, "", inputs=tuple(slot for slot in told.values() if slot))


def law(turn: Turn, state: Slot) -> Answer:
    """What a state's law says of feeding lawns, as far as we have read it."""
    rows, name = law_rows(turn, state), turn.knowledge.name(str(state.value))
    caps = [row for row in turn.knowledge.rows("feeding.nitrogen_cap") if row.where == name]
    if not rows and not caps:
        return Answer(
            ANSWERED,
            f"I have read no lawn fertilizer law of {name}",
            lines=(
                "That does not mean there is none: counties and towns have their own. Ask the county extension office.",
            ),
            inputs=(state,),
        )
    year = _fall_year(turn)
    lines = [
        f"{_and(row['nutrients'])} {'held down' if 'most' in row else 'not'} from {_short(_on(year, row['from']))} to {_short(_on(year + 1, row['to']))}: {row['who']}."
        for row in rows
    ]
    lines += [f"At most {turn.say(cap.amount.q, 'lb', cap.amount.per)} of N in one application." for cap in caps]
    figures = tuple(Figure("no feeding", day=_on(year, row["from"]), until=_on(year + 1, row["to"])) for row in rows)
    return Answer(
        ANSWERED,
        f"{name}: {lines[0]}",
        figures=figures,
        lines=tuple(lines[1:]),
        cautions=_check_law(turn, state),
        inputs=(state,),
        sources=turn.cite(*(row["source"] for row in rows), *(cap.source for cap in caps)),
    )


def law_rows(turn: Turn, state: Slot | None) -> list[dict[str, Any]]:
    """The rows of a state's law; none where no state is known."""
    return list(turn.knowledge.entry(f"states.{str(state.value).partition('.')[2]}.law") or ()) if state else []


def _check_law(turn: Turn, state: Slot | None) -> tuple[str, ...]:
    rows = law_rows(turn, state)
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
    if warm is not None:
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
        f"{name[:1].upper()}{name[1:]} shows after {shown}",
        figures=tuple(figures),
        lines=tuple(lines),
        inputs=tuple(slot for slot in (species, soil) if slot),
        sources=turn.cite(*sources),
    )


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
            return Answer(ASKS, f"I have no weather of the last days on record. {_ADD}", asks=ask)
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
    high = value.high if isinstance(value, Range) else value
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
        return Answer(ASKS, f"I have no weather on record to add up. {_ADD}", asks=Ask("since", "Since which day?"))
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
        f"{total:,.0f} growing degree days since {_short(start)}, base {floor:g} °F",
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
        return Answer(ASKS, f"I have no year of daily weather to draw. {_ADD}", asks=Ask("weather", "Which file?"))
    return Answer(
        ANSWERED,
        f"The fall at {picture.place}, in a normal year",
        figures=tuple(Figure(mark.words, day=mark.day) for mark in picture.marks),
        lines=tuple(drawn(picture)),
        inputs=tuple(slot for slot in (seed_day, program) if slot),
        sources=turn.cite("soil93", "mrcc"),
    )


# days ---------------------------------------------------------------------------------------------------------------


def _normals(turn: Turn) -> dict[tuple[int, int], float]:
    held = turn.weather.summary.get("normals", {}) if turn.weather else {}
    return {(int(key[:2]), int(key[3:])): mean for key, mean in held.items()}


def _on(year: int, month_day: str) -> date:
    return date(year, int(month_day[:2]), int(month_day[3:]))


def _short(day: date) -> str:
    return f"{_MONTHS[day.month - 1]} {day.day}"


def _and(names: list[str]) -> str:
    return " and ".join(names) if len(names) < 3 else f"{', '.join(names[:-1])} and {names[-1]}"
