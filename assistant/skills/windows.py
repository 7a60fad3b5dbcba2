"""When to seed: what a state prints, what the record of the place leaves, and what is left when it is too late."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from assistant.answer import ANSWERED, ASKS, Answer, Ask, Figure
from assistant.calculations import season
from assistant.skills.dates import ADD_TABLE, fall_year, normals_of, on
from assistant.skills.gates import residues
from assistant.skills.turn import Turn
from assistant.terms import Slot, short_day


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
    job: Slot | None = None,
) -> Answer:
    """When to seed, whether it is too late, and what is left then."""
    grass = _grass(species)
    if turn.knowledge.entry(f"species.{grass}.season") == "warm":
        return _warm(turn, species)
    found = _printed(turn, grass, state) + _by_frost(turn, grass, first_freeze)
    if not found:
        return _no_window(turn, state)
    name = turn.knowledge.name(str(species.value)) if species else "cool-season grass"
    asked = day.amount.day if day else turn.now.day
    best = _over(found) if len({one.sources for one in found if one.why.startswith("Printed")}) == 1 else found[0]
    lines = [f"{one.why}: {short_day(one.first)} to {short_day(one.last)}." for one in found]
    latest = max(one.closes for one in found)
    late = (asked - latest).days
    figures = [Figure("seeding window", day=best.first, until=best.last)]
    figures += [Figure("seeding window, second reading", day=one.first, until=one.last) for one in found[1:]]
    headline = f"Seed {name} {short_day(best.first)} to {short_day(best.last)}"
    headline += f", {short_day(latest)} at the latest" if latest != best.last else ""
    if late > 0:
        when = "today is" if asked == turn.now.day else f"{short_day(asked)} is"
        headline += f"; {when} {late} day{'' if late == 1 else 's'} too late"
        figures.append(Figure("days too late", low=float(late), high=float(late), unit="day"))
        lines += _what_is_left(turn)
    elif asked >= best.first:
        left = (latest - asked).days
        headline += f"; {left} {'day is' if left == 1 else 'days are'} left" + (
            " until then" if latest != best.last else ""
        )
        figures.append(Figure("days left", low=float(left), high=float(left), unit="day"))
    sources = [source for one in found for source in one.sources]
    held = residues(turn, max(turn.now.day, best.first))
    if held:
        until = max(day for _, day, _ in held)
        headline += f"; on this lawn not before {short_day(until)}, {until.year}"
        lines[:0] = [
            f"On this lawn: {why}, until {short_day(day)}, {day.year}; the label decides." for why, day, _ in held
        ]
        sources += [source for _, _, source in held]
    if late > 0:
        sources += [row["source"] for row in turn.knowledge.entry("season.too_late")]
    inputs = tuple(slot for slot in (species, state, first_freeze, day) if slot)
    return Answer(
        ANSWERED, headline, figures=tuple(figures), lines=tuple(lines), inputs=inputs, sources=turn.cite(*sources)
    )


def _grass(species: Slot | None) -> str:
    """The key of the grass; that of a usual one where none is told."""
    return str(species.value).partition(".")[2] if species else "tall_fescue"


def closes(turn: Turn, species: Slot | None, state: Slot | None) -> date | None:
    """The last day of the fall window of a lawn, by its state or its weather; none where neither is known."""
    grass = _grass(species)
    found = _printed(turn, grass, state) + _by_frost(turn, grass, None)
    return max((one.closes for one in found), default=None)


def against_window(turn: Turn, species: Slot | None, state: Slot | None, seed_day: date) -> list[tuple[str, str]]:
    """(why, source) where a seed day of fall lies behind the days that the state prints for the grass, or the grass is none to
    be sown in fall."""
    grass = _grass(species)
    if turn.knowledge.entry(f"species.{grass}.season") == "warm":
        span, name = turn.knowledge.entry("season.warm_window"), turn.knowledge.name(f"species.{grass}")
        first, last = (short_day(on(seed_day.year, span[end])) for end in ("from", "to"))
        return [(f"{name} is seeded {first} to {last}; what comes up in fall dies in the first winter", span["source"])]
    found = _printed(turn, grass, state)
    best = _over(found) if found else None
    if state is None or best is None or not best.last < seed_day <= date(best.last.year, 12, 31):
        return []
    latest = f", {short_day(best.closes)} at the latest" if best.closes != best.last else ""
    where = turn.knowledge.name(str(state.value))
    why = f"the days printed for {where} are {short_day(best.first)} to {short_day(best.last)}{latest}"
    return [(why, best.sources[0])]


def _over(found: list[Window]) -> Window:
    """The windows that one bulletin prints for the parts of a state, from the first day to the last."""
    printed = [one for one in found if one.why.startswith("Printed")]
    first, last = min(one.first for one in printed), max(one.last for one in printed)
    return Window(first, last, printed[0].why, printed[0].sources, max(one.closes for one in printed))


def _printed(turn: Turn, grass: str, state: Slot | None, kind: str = "fall") -> list[Window]:
    """The windows of a kind that a state's own service prints for a grass; those for cool-season grass serve all."""
    rows = turn.knowledge.entry(f"states.{str(state.value).partition('.')[2]}.windows") if state else None
    year = fall_year(turn) if kind != "spring" else _spring_year(turn)
    made = []
    fitting = [row for row in rows or () if row["grass"] in ("cool", grass) and row["kind"] == kind]
    said = next((name.text.lower() for name in turn.parse.names if name.type == "state"), "")
    part = [row for row in fitting if said and said == row.get("where", "").lower()]
    for row in part or fitting:
        where = row.get("where") or turn.knowledge.name(str(state.value)) if state else ""
        first, last = on(year, row["from"]), on(year, row["to"])
        last = last if last > first else on(year + 1, row["to"])
        note = f" ({row['note']})" if "note" in row else ""
        latest = on(year, row["latest"]) if "latest" in row else None
        made.append(Window(first, last, f"Printed for {where}{note}", (row["source"],), latest))
    return made


def _by_frost(turn: Turn, grass: str, first_freeze: Slot | None) -> list[Window]:
    """The window that is left before growth ends, by the record of the place; else before the freeze that was said."""
    before = turn.knowledge.rows("season.before_freeze")[0]
    later = turn.knowledge.rows("season.bluegrass_later")[0]
    blue = grass == "kentucky_bluegrass"
    days = int(before.amount.high) + (int(later.amount.high) if blue else 0)
    sources = (before.source, *((later.source,) if blue else ()))
    length = timedelta(days=int(turn.knowledge.rows("season.window_length")[0].amount.low))
    begin = turn.say(turn.knowledge.rows("season.soil_to_begin")[0].amount.q, "degF")
    normals, limit = normals_of(turn), turn.knowledge.rows("season.growth_ends")[0]
    ends = season.last_warm_day(normals, limit.amount.low, fall_year(turn)) if normals else None
    if ends:
        last = ends - timedelta(days=days)
        first = min(_cool_enough(turn, ends.year) or last - length, last)
        mean = turn.say(limit.amount.q, "degF")
        why = f"By your weather record, from where soil is down to {begin} until {days} days of growth are left (a normal week of {mean} or more, to {short_day(ends)})"
        return [Window(first, last, why, (*sources, limit.source))]
    if first_freeze is None:
        return []
    freeze = first_freeze.amount.day
    last = freeze - timedelta(days=days)
    risky = int(turn.knowledge.rows("season.risky_before_freeze")[0].amount.low)
    why = f"By the first freeze you told me, {short_day(freeze)}: up to {days} days before it (some risk {risky}, and in the South later sowing is printed)"
    usual = timedelta(
        days=int(before.amount.high)
    )  # a grass that is slower ends sooner, and begins no sooner in the heat
    first = freeze - usual - length
    return [Window(first, last, why, sources, freeze - timedelta(days=risky))]


def _cool_enough(turn: Turn, year: int) -> date | None:
    """The first normal day from August on whose soil, by its eleven-day mean of air, is down to where seeding begins."""
    begin = turn.knowledge.rows("season.soil_to_begin")[0].amount.low
    return _first_day(turn, date(year, 8, 1), 120, lambda day: (_soil_of(turn, day) or 999.0) <= begin)


def _no_window(turn: Turn, state: Slot | None) -> Answer:
    """Asked where nothing is printed or on record for the place; what is on record of the lawn is said all the same."""
    held = residues(turn, turn.now.day)
    lines = [f"{why}: not before {short_day(until)}, {until.year}." for why, until, _ in held]
    sources = turn.cite(*(source for *_, source in held))
    if state:
        words = (
            f"I have no printed seeding window for {turn.knowledge.name(str(state.value))}; the first freeze tells it."
        )
        ask = Ask("first_freeze", "When is your average first freeze? A county extension office knows it.")
    else:
        words = "The window hangs on where you are."
        ask = Ask("state", "Which state is the lawn in, or when is your average first freeze?")
    return Answer(ASKS, words, lines=(*lines, ADD_TABLE), sources=sources, asks=ask)


def _warm(turn: Turn, species: Slot | None) -> Answer:
    name = turn.knowledge.name(str(species.value)) if species else "warm-season grass"
    year = turn.now.day.year + (1 if turn.now.day.month > 7 else 0)
    span = turn.knowledge.entry("season.warm_window")
    first, last = on(year, span["from"]), on(year, span["to"])
    return Answer(
        ANSWERED,
        f"Seed {name} May to July, not in fall",
        figures=(Figure("seeding window", day=first, until=last),),
        lines=("It wants warm soil, 65 to 70 °F and rising; what comes up in fall dies in the first winter.",),
        inputs=(species,) if species else (),
        sources=turn.cite(span["source"], "ok-seed"),
    )


def dormant(turn: Turn, species: Slot | None = None, state: Slot | None = None, area: Slot | None = None) -> Answer:
    """When to sow so late that nothing sprouts before spring."""
    grass = _grass(species)
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
        f"Dormant seeding from {short_day(best.first)}",
        figures=tuple(Figure("dormant seeding", day=one.first, until=one.last) for one in found),
        lines=(*(f"{one.why}: from {short_day(one.first)}." for one in found), *advice),
        inputs=inputs,
        sources=sources,
    )


def spring(turn: Turn, species: Slot | None = None, state: Slot | None = None, area: Slot | None = None) -> Answer:
    """When to seed in spring, against the heat of summer."""
    grass = _grass(species)
    if turn.knowledge.entry(f"species.{grass}.season") == "warm":
        return _warm(turn, species)
    found = _printed(turn, grass, state, "spring")
    opens, before = turn.knowledge.rows("season.spring_soil")[0], turn.knowledge.rows("season.weeks_before_heat")[0]
    heat = turn.knowledge.rows("season.heat_mean")[0]
    first, hot = _soil_above(turn, opens.amount.low), _mean_above(turn, heat.amount.low)
    lines = []
    if first:
        last = hot - timedelta(weeks=int(before.amount.low)) if hot else date(first.year, 5, 31)
        why = f"By your weather record, soil passes {turn.say(opens.amount.q, 'degF')} on {short_day(first)}"
        if hot:
            weeks = (hot - first).days // 7
            why += f"; summer heat comes about {short_day(hot)}, {weeks} weeks later ({before.amount.low:g} to {before.amount.high:g} are wanted)"
        found.append(Window(first, max(first, last), why, (opens.source, before.source)))
    lines = [f"{one.why}: {short_day(one.first)} to {short_day(one.last)}." for one in found]
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
        f"In spring: {short_day(best.first)} to {short_day(best.last)}",
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
    year = fall_year(turn)
    return _first_day(turn, date(year, 9, 1), 150, lambda day: (_soil_of(turn, day) or 99.0) < limit)


def _soil_above(turn: Turn, limit: float) -> date | None:
    return _first_day(turn, date(_spring_year(turn), 2, 1), 120, lambda day: (_soil_of(turn, day) or 0.0) >= limit)


def _mean_above(turn: Turn, limit: float) -> date | None:
    normals = normals_of(turn)
    return _first_day(
        turn, date(_spring_year(turn), 3, 1), 180, lambda day: normals.get((day.month, day.day), 0.0) >= limit
    )


def _what_is_left(turn: Turn) -> list[str]:
    return [
        f"{row['what']}: {row['how']}. Cost: {row['cost']}. Risk: {row['risk']}."
        for row in turn.knowledge.entry("season.too_late")
    ]
