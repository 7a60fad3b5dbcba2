"""Is today fit for the job: each condition against its threshold, the worst decides, and what was not said is named."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from assistant.answer import ANSWERED, ASKS, Answer, Ask
from assistant.calculations.timing import VERDICTS, Finding, Threshold, both_sides, judge, worst
from assistant.knowledge_base import row_of
from assistant.skills.turn import Turn
from assistant.terms import YOUNG_DAYS, Amount, Range, Slot, capital, day_words, high_end
from assistant.units import Say

# measure -> the unit it is told in, the unit of a difference, and what it is called
_MEASURES = {
    "temperature": ("degF", "delta_degF", "Temperature"),
    "wind": ("mph", "mph", "Wind"),
    "gust": ("mph", "mph", "Gusts"),
    "delta_t": ("delta_degC", "delta_degC", "Delta T"),
    "overnight": ("degF", "delta_degF", "Low"),
    "soil_temperature": ("degF", "delta_degF", "Soil"),
    "water_distance": ("ft", "ft", "Open water"),
    "rain_fell": ("inch", "inch", "Rain of the last day"),
}
BORDERLINE = "borderline"
_WORDS = {"yes": "yes", "care": "with care", BORDERLINE: BORDERLINE, "no": "no"}
_ORDER = ("yes", "care", BORDERLINE, "no")
_HERBICIDES = ("auxin", "herbicide")
_SOURCED = ("feed", "herbicide")  # whose rules a sign's source prints, where the sign says no other
_FEEDS = ("liquid_feed", "granular_feed")
_OF_RAIN = {"of", "rain", "on", "for", "expected", "coming", "forecast"}  # between a weather and its day


@dataclass(frozen=True)
class Conditions:
    """What was said of the weather, the tool and the grass."""

    measured: dict[str, Slot] = field(default_factory=dict)
    humidity: Slot | None = None
    species: Slot | None = None
    weather: Slot | None = None
    tool: Slot | None = None
    seed_day: Slot | None = None
    young: Slot | None = None
    day: Slot | None = None
    rain_ahead: Slot | None = None

    @classmethod
    def of(cls, slots: dict[str, Slot | None]) -> Conditions:
        measured = {name: slot for name in _MEASURES if (slot := slots.get(name)) is not None}
        rest = ("humidity", "species", "weather", "tool", "seed_day", "young", "day", "rain_ahead")
        return cls(measured, *(slots.get(name) for name in rest))

    @property
    def inputs(self) -> tuple[Slot, ...]:
        rest = (self.humidity, self.weather, self.rain_ahead, self.tool, self.seed_day, self.young)
        return (*self.measured.values(), *(slot for slot in rest if slot))

    def signs(self, turn: Turn) -> set[str]:
        """The weather that was named, and what the rain to come makes of it."""
        seen = {str(name) for name in self.weather.value} if self.weather else set()
        if self.rain_ahead:
            seen.add(rain_to_come(turn, high_end(self.rain_ahead.q).m_as("inch")))
        return {name.partition(".")[2] for name in seen}


def rain_to_come(turn: Turn, inches: float) -> str:
    """So much rain of the day to come, as the weather that it is."""
    heavy, some = (
        turn.knowledge.rows(f"thresholds.forecast.{key}")[0].amount.low for key in ("heavy_rain", "any_rain")
    )
    return f"weather.{'heavy_rain_coming' if inches >= heavy else 'rain_coming' if inches > some else 'no_rain'}"


@dataclass(frozen=True)
class Word:
    """One line of a verdict: what was looked at, what it says, and on whose word. `close` is the verdict that holds as
    well where the value lies too near an edge to tell."""

    verdict: str
    text: str
    source: str
    close: str = ""
    short: str = ""  # the rule in few words: `wind over 10 mph`

    @property
    def says(self) -> str:
        return BORDERLINE if self.close else self.verdict


def together(words: list[Word]) -> str:
    """The verdict of all conditions: the worst decides; borderline where it hangs on one that lies on its edge."""
    mild, hard = zip(*(both_sides(word.verdict, word.close) for word in words), strict=True) if words else ((), ())
    low, high = worst(list(mild)), worst(list(hard))
    return low if low == high else BORDERLINE


def spray(turn: Turn, tank: Slot | None = None, **said: Slot | None) -> Answer:
    """May I spray: what is in the tank comes first, because feed and herbicide have different rules."""
    seen = Conditions.of(said)
    job = job_of(turn, tank)
    if job:
        return _answer(turn, (job,), tank, seen)
    jobs = ("liquid_feed", *_HERBICIDES)
    found = {one: words_on(turn, one, seen) for one in jobs}
    rows = [f"{name_of(turn, one).capitalize()}: {_short(words)}" for one, words in found.items()]
    sources = turn.cite(*(word.source for words in found.values() for word in words))
    cautions = (turn.knowledge.entry("cautions.label"),)
    if all(together(words) == "no" for words in found.values() if words) and all(found.values()):
        headline = f"No, not {_when(turn, seen)}, whatever is in the tank."
        return Answer(
            ANSWERED, headline, verdict="no", lines=tuple(rows), inputs=seen.inputs, cautions=cautions, sources=sources
        )
    ask = Ask("tank", "What is in the tank: a liquid feed or starter, or a herbicide (which active ingredient)?")
    headline = "That hangs on what is in the tank."
    return Answer(ASKS, headline, lines=tuple(rows), inputs=seen.inputs, cautions=cautions, sources=sources, asks=ask)


def feed(turn: Turn, product: Slot | None = None, **said: Slot | None) -> Answer:
    """May I put feed down: liquid or granular by the product or the tool; both where neither says."""
    seen = Conditions.of(said)
    return _answer(turn, _feed_jobs(turn, product, seen.tool), product, seen)


def seed(turn: Turn, species: Slot | None = None, **said: Slot | None) -> Answer:
    """May I seed today."""
    return _answer(turn, ("seeding",), None, Conditions.of({**said, "species": species}))


def aerate(turn: Turn, **said: Slot | None) -> Answer:
    """May I aerate today."""
    return _answer(turn, ("aerating",), None, Conditions.of(said))


def mow(turn: Turn, **said: Slot | None) -> Answer:
    """May I mow today."""
    return _answer(turn, ("mowing",), None, Conditions.of(said))


def water(turn: Turn, **said: Slot | None) -> Answer:
    """May I water today: whether the weather is against it."""
    return _answer(turn, ("watering",), None, Conditions.of(said))


def job_of(turn: Turn, tank: Slot | None) -> str:
    if tank is None:
        return ""
    kind, _, key = str(tank.value).partition(".")
    return str(turn.knowledge.entry(f"ingredients.{key}.group")) if kind == "ingredients" else "liquid_feed"


def _feed_jobs(turn: Turn, product: Slot | None, tool: Slot | None) -> tuple[str, ...]:
    key = str(product.value).partition(".")[2] if product else ""
    form = turn.knowledge.entry(f"products.{key}.form") if key else None
    if not form and tool:
        form = {"tool.backpack": "liquid", "tool.hose_end": "liquid", "tool.spreader": "dry"}.get(str(tool.value))
    return {"liquid": ("liquid_feed",), "dry": ("granular_feed",)}.get(str(form), ("liquid_feed", "granular_feed"))


def _answer(turn: Turn, jobs: tuple[str, ...], tank: Slot | None, seen: Conditions) -> Answer:
    """The verdict on one job, or on the two forms that a feed may have."""
    found = {job: words_on(turn, job, seen) for job in jobs}
    words = [word for each in found.values() for word in each]
    checks = turn.knowledge.entry("thresholds.checks")
    settled = _settled(turn, seen)
    wanted = {check for job in jobs for check in turn.knowledge.entry(f"thresholds.jobs.{job}.checks")}
    not_checked = [text for name, text in checks.items() if name in wanted - settled]
    not_checked += _law_unknown(turn, jobs, seen)
    inputs = (*((tank,) if tank else ()), *seen.inputs)
    if not words:
        ask = Ask("temperature", f"What of: {'; '.join(not_checked)}?")
        return Answer(ASKS, "Tell me the weather and I can say.", asks=ask, inputs=inputs)
    verdict = together(words)
    apart = {job: together(each) for job, each in found.items() if each}
    open_end = verdict == "yes" and bool(not_checked)
    rows = _rows(turn, found)
    if not_checked:
        rows.append(f"Not checked: {'; '.join(not_checked)}.")
    name = turn.knowledge.name(str(tank.value)) if tank else name_of(turn, jobs[0]) if len(jobs) == 1 else "feeding"
    when = _when(turn, seen)
    headline = {
        "no": f"No, not {when} for {name}.",
        "care": f"With care {when}, for {name}.",
        BORDERLINE: f"Borderline {when}, for {name}: measure again right before.",
        "yes": f"Yes, {when} is fit for {name}.",
    }[verdict]
    if len(apart) > 1 and len(set(apart.values())) > 1:
        headline = (
            f"{'; '.join(f'{name_of(turn, job).capitalize()}: {_WORDS[one]}' for job, one in apart.items())}, {when}."
        )
        verdict = "care"
    if open_end:
        headline = f"So far nothing against {name}, but not all of it is checked."
    return Answer(
        ANSWERED,
        headline,
        verdict="care" if open_end or verdict == BORDERLINE else verdict,
        lines=tuple(rows),
        inputs=inputs,
        cautions=tuple(_cautions(turn, jobs, seen.tool, verdict)),
        sources=turn.cite(*(word.source for word in words)),
    )


def _rows(turn: Turn, found: dict[str, list[Word]]) -> list[str]:
    """One row a condition, the worst first; what both forms share is said once."""
    rows: list[tuple[int, str]] = []
    for job, words in found.items():
        shared = [other for other in found if other != job]
        for word in words:
            both = all(word in found[other] for other in shared)
            prefix = "" if both else f"{name_of(turn, job).capitalize()}: "
            row = (-_ORDER.index(word.says), f"{prefix}{word.text}: {_WORDS[word.says]}.")
            if row not in rows:
                rows.append(row)
    return [text for _, text in sorted(rows, key=lambda row: row[0])]


def name_of(turn: Turn, job: str) -> str:
    return str(turn.knowledge.entry(f"thresholds.jobs.{job}.name"))


def _when(turn: Turn, seen: Conditions) -> str:
    """today, or the day that was asked about."""
    ahead = (_day_meant(turn, seen) - turn.now.day).days
    if not ahead:
        return "today"
    return "tomorrow" if ahead == 1 else f"on {day_words(_day_meant(turn, seen))}"


def _day_meant(turn: Turn, seen: Conditions) -> date:
    """The day of the job: today, or one to come; neither a day gone by, such as the night it rained, nor where the line names
    another the day that it will rain."""
    if not seen.day:
        return turn.now.day
    said = seen.day.amount
    sown = seen.seed_day.amounts if seen.seed_day else ()
    dates = [one for one in turn.parse.amounts if one.kind == "date" and one not in sown]
    others = [one for one in dates if one.day >= turn.now.day]
    if said in turn.parse.amounts:
        said = next((one for one in others if not _of_the_weather(turn, seen, one)), said)
    return max(said.day, turn.now.day)


def _of_the_weather(turn: Turn, seen: Conditions, day: Amount) -> bool:
    """True for the day of `rain tomorrow`, `2 inches of rain tomorrow`."""
    skies = [name.span for name in turn.parse.names if name.type == "weather"]
    skies += [one.span for one in seen.rain_ahead.amounts] if seen.rain_ahead else []
    return any(
        start <= day.span[0] and set(turn.parse.text[end : day.span[0]].lower().split()) <= _OF_RAIN
        for start, end in skies
    )


def _short(words: list[Word]) -> str:
    if not words:
        return "say the temperature, wind and rain."
    return f"{'; '.join(word.text for word in words)}: {_WORDS[together(words)]}."


# what each condition says ------------------------------------------------------------------------------------------------


def words_on(turn: Turn, job: str, seen: Conditions) -> list[Word]:
    found = [_young_grass(turn, job, seen)]
    found += [_measured(turn, job, measure, slot, seen) for measure, slot in seen.measured.items()]
    found.append(_dryness(turn, job, seen))
    found.append(_law(turn, job, seen))
    found.append(_out_of_season(turn, job, seen))
    found += [_sign(turn, job, sign) for sign in _signs(turn, seen) if job in sign["verdict"]]
    return [word for word in found if word]


def _settled(turn: Turn, seen: Conditions) -> set[str]:
    """The checks that what was said settles."""
    return set(seen.measured) | {sign["answers"] for sign in _signs(turn, seen)}


def _not_for(turn: Turn, job: str, measure: str, seen: Conditions | None) -> bool:
    """The bands for seeding are those of cool-season grass."""
    grass = str(seen.species.value) if seen and seen.species else ""
    warm = bool(grass) and turn.knowledge.entry(f"{grass}.season") == "warm"
    return warm and job == "seeding" and measure in ("temperature", "soil_temperature")


def _measured(turn: Turn, job: str, measure: str, slot: Slot, seen: Conditions | None = None) -> Word | None:
    """A measured condition; a range, such as now and the high to come, is judged by its worse end."""
    table = [] if _not_for(turn, job, measure, seen) else _table(turn, job)
    ends = slot.q if isinstance(slot.q, Range) else (slot.q,)
    within = turn.knowledge.rows(f"thresholds.bands.{measure}")[0].amount.q
    findings = [finding for finding in (judge(measure, job, end, table, within) for end in ends) if finding]
    if not findings:
        return None
    finding = max(findings, key=lambda one: VERDICTS.index(one.verdict))
    unit, _, label = _MEASURES[finding.measure]
    edge = (Say(None) if finding.measure == "delta_t" else turn.say)(finding.edge, unit)
    short = f"{label[:1].lower()}{label[1:]} {'over' if finding.over else 'under'} {edge}"
    return Word(finding.verdict, _finding_words(turn, finding), finding.row["source"], finding.close, short)


def _out_of_season(turn: Turn, job: str, seen: Conditions) -> Word | None:
    """Warm-season grass is seeded into the heat, not in fall."""
    grass = str(seen.species.value) if seen.species and isinstance(seen.species.value, str) else ""
    if job != "seeding" or not grass or turn.knowledge.entry(f"{grass}.season") != "warm":
        return None
    span = turn.knowledge.entry("season.warm_window")
    if _within(_day_meant(turn, seen), span["from"], span["to"]):
        return None
    name = turn.knowledge.name(grass)
    words = f"{capital(name)} goes down from seed {_month_day(span['from'])} to {_month_day(span['to'])} ({turn.short(span['source'])})"
    return Word("no", words, span["source"], short="out of season")


def _law(turn: Turn, job: str, seen: Conditions) -> Word | None:
    """What the law of the lawn's state says of feeding on that day."""
    own = turn.lawn.facts.get("state") if turn.lawn else None
    if job not in _FEEDS or own is None:
        return None
    day = _day_meant(turn, seen)
    for row in turn.knowledge.entry(f"states.{str(own.value).partition('.')[2]}.law") or ():
        if "N" in row["nutrients"] and _within(day, row["from"], row["to"]):
            name = turn.knowledge.name(str(own.value))
            words = f"The law of {name}, {_month_day(row['from'])} to {_month_day(row['to'])}: {row['who']} ({turn.short(row['source'])}, as read {row['checked']})"
            return Word("care" if "most" in row else "no", words, row["source"], short=f"the law of {name}")
    return None


def _law_unknown(turn: Turn, jobs: tuple[str, ...], seen: Conditions) -> list[str]:
    """What is not checked of the law, where no state is known and some states forbid feeding on that day."""
    if not set(jobs) & set(_FEEDS) or (turn.lawn and "state" in turn.lawn.facts):
        return []
    day = _day_meant(turn, seen)
    laws = [row for entry in turn.knowledge.section("states").values() for row in entry.get("law", ())]
    some = any("N" in row["nutrients"] and _within(day, row["from"], row["to"]) for row in laws)
    return ["the law: some states forbid feeding on this day; tell me yours, such as: i'm in Maryland"] if some else []


def _month_day(month_day: str) -> str:
    return f"{date(2000, *map(int, month_day.split('-'))):%-d %B}"


def _within(day: date, first: str, last: str) -> bool:
    """True where a day lies in a span of the year that may run over New Year."""
    at = f"{day:%m-%d}"
    last = "02-29" if last == "02-28" else last  # before 1 March, in a leap year too
    return first <= at <= last if first <= last else at >= first or at <= last


def _dryness(turn: Turn, job: str, seen: Conditions) -> Word | None:
    """Delta T, where temperature and humidity were said: how fast a drop dries up in the air."""
    warm = seen.measured.get("temperature")
    if warm is None or seen.humidity is None or isinstance(warm.q, Range) or isinstance(seen.humidity.q, Range):
        return None
    from assistant.calculations.weather import delta_t

    value = delta_t(warm.q.to("degC"), seen.humidity.q)
    amount = Amount("temperature", value.magnitude, value.magnitude, ("delta_degC",))
    return _measured(turn, job, "delta_t", Slot("delta_t", amount))


def _table(turn: Turn, job: str) -> list[Threshold]:
    made = []
    for data in turn.knowledge.entry("thresholds.figures"):
        if data["job"] == job:
            ends = row_of(data).amount.q
            made.append(Threshold(data["measure"], job, data["verdict"], ends.low, ends.high, data))
    return made


def _finding_words(turn: Turn, finding: Finding) -> str:
    """`Temperature 86 °F, 1 °F over the limit of 85 °F (...; quick nitrogen burns leaves in heat)`."""
    unit, gap_unit, label = _MEASURES[finding.measure]
    say = Say(None) if finding.measure == "delta_t" else turn.say  # its thresholds are in °C everywhere
    place = "over" if finding.over else "under"
    if finding.verdict == "yes" and finding.close:
        edge = say(finding.edge, unit)
        away = f"{say(finding.margin, gap_unit)} from the edge at {edge}"
        words = away if finding.margin.magnitude else f"right at the edge of {edge}"
    elif finding.verdict == "yes":
        words = f"within {say(row_of(finding.row).amount.q, unit)}"
    elif finding.margin.magnitude == 0:
        words = f"right at {say(finding.edge, unit)}"
    else:
        limit = "the limit of " if finding.verdict == "no" else ""
        words = f"{say(finding.margin, gap_unit)} {place} {limit}{say(finding.edge, unit)}"
    if finding.limit is not None:
        gap = abs(finding.limit - finding.value)
        short = f"{words}, {say(gap, gap_unit)} short of" if gap.magnitude else "right at"
        words = f"{short} the limit of {say(finding.limit, unit)}"
    why = f"; {finding.row['why']}" if "why" in finding.row else ""
    return f"{label} {say(finding.value, unit)}, {words} ({turn.short(finding.row['source'])}{why})"


def _signs(turn: Turn, conditions: Conditions) -> list[dict[str, Any]]:
    seen = conditions.signs(turn)
    if "heavy_rain_coming" in seen:
        seen.discard("rain_coming")
    if seen & {"rain_coming", "heavy_rain_coming", "raining"}:
        seen.discard("no_rain")
    return [sign for sign in turn.knowledge.entry("thresholds.signs") if sign["sign"] in seen]


def _sign(turn: Turn, job: str, sign: dict[str, Any]) -> Word:
    group = turn.knowledge.entry(f"thresholds.jobs.{job}.group")
    reason, source = sign[group], sign["source"] if group in sign.get("of", _SOURCED) else "common practice"
    says = capital(sign["says"])
    text = f"{says}: {reason} ({turn.short(source)})"
    return Word(sign["verdict"][job], text, source, short=sign["says"])


def _young_grass(turn: Turn, job: str, seen: Conditions) -> Word | None:
    """What seedlings on the ground mean for a herbicide; seed day comes from the record or from the question."""
    age = (turn.now.day - seen.seed_day.amount.day).days if seen.seed_day else None
    if job not in _HERBICIDES or not (seen.young or (age is not None and 0 <= age <= YOUNG_DAYS)):
        return None
    row = turn.knowledge.rows("thresholds.young_grass.herbicide_mowings")[0]
    what = f"Seeded {age} days ago" if age is not None else "Young grass"
    return Word("no", f"{what}: {row.note} ({turn.short(row.source)})", row.source)


def _cautions(turn: Turn, jobs: tuple[str, ...], tool: Slot | None, verdict: str) -> Iterable[str]:
    words = turn.knowledge.entry("cautions")
    if jobs[0] in _HERBICIDES:
        yield words["label"]
        yield words["herbicide_water"]
        yield words["gear"]
        yield words["licence"]
    elif "liquid_feed" in jobs and verdict != "no":
        yield words["feed_water"]
    if jobs[0] in _HERBICIDES or (verdict != "no" and jobs[0] in _FEEDS):
        yield words["water_nearby"]
    if tool and tool.value in ("tool.hose_end", "tool.backpack"):
        yield words[str(tool.value).partition(".")[2]]
