"""A lawn's program as it runs: rules, seed day and record give dated steps, and this is how they are worded."""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from assistant.answer import Ask, Figure
from assistant.knowledge_base import row_of
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import (
    DROPPED,
    DUE,
    Closing,
    Emergence,
    Notice,
    Step,
    mowings_of,
    next_day,
    next_of,
    steps_of,
)
from assistant.lawn.state import LawnState, fold, sows
from assistant.skills.dates import feed_ends
from assistant.skills.labels import label_of
from assistant.skills.turn import Turn
from assistant.terms import Amount, Row, Slot, capital, day_words, high_end, over_range

PER = "1000 sq_ft"
SEED_DAY = Ask("seed_day", "When did you seed, or when will you? That day is day 0.")


_COUNTED = ("N", "P2O5")
_OF_PART = {"sow", "check", "cut", "water", "guard"}  # kinds of step that a part has of its own
_FALL_BEGINS = 7  # a seed day from July on leads into the fall of its year


@dataclass(frozen=True)
class Changed:
    """What events leave: the record, the steps, what is said of the dates that move, and why they do."""

    state: LawnState
    steps: tuple[Step, ...]
    lines: tuple[str, ...]
    why: tuple[str, ...]


@dataclass(frozen=True)
class Running:
    """One program on one lawn, on one day. `begun` is the event that starts it, where this line is what started it."""

    turn: Turn
    rules: dict[str, Any]
    seed_day: Slot
    state: LawnState
    species: Slot | None = None
    begun: tuple[Event, ...] = ()
    took: str = ""  # what was taken for granted in choosing it

    @property
    def name(self) -> str:
        return str(self.rules["name"])

    @property
    def title(self) -> str:
        return capital(self.name)

    def rule(self, step: Step) -> dict[str, Any]:
        """The rule that a step was made from."""
        return next(one for one in self.rules["steps"] if one["id"] == step.id)

    @property
    def sows(self) -> bool:
        """Whether seed goes down in it."""
        return sows(self.rules)

    @property
    def first_day(self) -> str:
        """`seed day Sat 12 September 2026`, or `day 0 ...` where nothing is sown."""
        return f"{'seed day' if self.sows else 'day 0'} {day_words(self.seed_day.amount.day)}"

    @property
    def sources(self) -> tuple[str, ...]:
        return (self.rules["source"],)

    def steps(self, state: LawnState | None = None) -> tuple[Step, ...]:
        """Every step with its date; for another state of the record, what would become of them."""
        held = state or self.state
        day = self.seed_day.amount.day
        emergence = self._emergence(held)
        return steps_of(self.rules, day, self.turn.now.day, emergence, held, self._closing(held), self._notice())

    def _closing(self, state: LawnState) -> Closing | None:
        """The last day for nitrogen in the fall that seed day leads into: state and record, or a hard freeze foretold."""
        day = self.seed_day.amount.day
        if day.month < _FALL_BEGINS:
            return None
        frost = state.seen.get("hard_freeze")
        ends = feed_ends(self.turn, self.where, day.year)
        found = [Closing(last, why[:1].lower() + why[1:], source) for last, why, source in ends[:1]]
        if frost:
            why = f'a hard freeze ends growth: you said "{frost.text}"'
            found.append(Closing(date.fromisoformat(frost.happened_on), why))
        return min(found, key=lambda one: one.day, default=None)

    def _notice(self) -> Notice:
        """Working days to call before digging: those of the lawn's state, else the rule's own."""
        where = self.where
        row = self.turn.knowledge.rows(f"states.{str(where.value).partition('.')[2]}.notice") if where else []
        return Notice(int(row[0].amount.high) if row else 0, row[0].source if row else "", self._working_days_before)

    def _working_days_before(self, day: date, count: int) -> date:
        from assistant.calculations.season import public_holidays, working_days_before

        held = self.turn.knowledge.entry("season.public_holidays")
        free = {
            one for year in (day.year, day.year - 1) for one in public_holidays(year, held["fixed"], held["moving"])
        }
        return working_days_before(day, count, free)

    def cuts(self, *more: Event) -> int:
        """How many cuts of the new grass are on record, with those that are just told."""
        state = replace(self.state, mowed=(*self.state.mowed, *more))
        return len(mowings_of(state, self.seed_day.amount.day, self._emergence()))

    def sleeps_on(self, day: date) -> bool:
        """True where the seed lies dormant on a day."""
        wakes = self.rules.get("emergence", {}).get("from")
        return bool(wakes) and day < next_day(wakes, self.seed_day.amount.day)

    def next(self) -> Step | None:
        return next_of(self.steps())

    def after(self, *events: Event, but: Container[str] = ()) -> Changed:
        """What becomes of the program with those events: its steps, and every date that moves, except those of `but`."""
        state = fold(self.state.name, (*self.state.live, *self.begun, *events))
        before, after = self.steps(), self.steps(state)
        lines, why = self._moves(before, after, state, but)
        return Changed(state, after, lines, why)

    def recounted(self, seed_day: Slot) -> tuple[str, ...]:
        """The dates that move because they are counted from this seed day, and no longer from that one."""
        lines, _ = self._moves(replace(self, seed_day=seed_day).steps(), self.steps(), self.state)
        return lines

    def _moves(
        self, before: tuple[Step, ...], after: tuple[Step, ...], state: LawnState, but: Container[str] = ()
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """What is said of every date that moves or is dropped, and why they do."""
        lines: list[str] = []
        why: list[str] = []
        for old, new in zip(before, after, strict=True):
            if new.id in but or new.care:
                continue
            if new.open and new.day != old.day:
                reason = new.moved_by or new.why
                lines.append(f"{capital(new.title)} moves from {day_words(old.day)} to {when(new)}: {reason}.")
                why += self.chain(new, state)
            elif old.open and new.state == DROPPED:
                lines.append(f"{capital(new.title)} is dropped: {new.moved_by}.")
        return tuple(lines), tuple(why)

    def _emergence(self, state: LawnState | None = None) -> Emergence:
        """When seedlings are up: as seen since seed day, else the longest that the grass is said to take."""
        held = state or self.state
        row = self._days_to_germinate(held)
        lying = self.rules.get("emergence", {})
        up, not_up = (self._seen(held, what) for what in ("up", "not_up"))
        source = lying.get("source", row.source)
        return Emergence(int(row.amount.high), source, up, not_up, lying.get("from", ""), int(row.amount.low))

    def expected(self) -> tuple[int, int]:
        """From which day to which the grass is said to come up."""
        row = self._days_to_germinate(self.state)
        return int(row.amount.low), int(row.amount.high)

    @property
    def grass(self) -> Slot | None:
        """The grass that was sown, said or on record; None where nothing is known of it."""
        return self._grass_in(self.state)

    def _grass_in(self, state: LawnState) -> Slot | None:
        return self.species or state.facts.get("species")

    def _days_to_germinate(self, state: LawnState) -> Row:
        grass = self._grass_in(state)
        key = str(grass.value).partition(".")[2] if grass else ""
        rows = self.turn.knowledge.rows(f"species.{key}.days_to_germinate") if key else []
        return rows[0] if rows else self.turn.knowledge.rows("seeding.emergence")[0]

    def part(self, part: str, state: LawnState | None = None) -> Running:
        """A part of the lawn that was sown again: the same rules without the feeds, from its own day."""
        held = state or self.state
        event = held.parts[part]
        day = Slot(
            "seed_day", Amount("date", event.happened_on, event.happened_on), "lawn", event.text, "", event.said_on
        )
        kept = [rule for rule in self.rules["steps"] if rule["kind"] in _OF_PART]
        own = replace(held, applied={}, moved={}, skipped={}, program=None)
        return Running(self.turn, {**self.rules, "name": part, "steps": kept}, day, own, self.species)

    def newer(self) -> Running | None:
        """The same program by the rules of today, where they differ from those it was started on."""
        held = self.state.program
        rules = self.turn.knowledge.section("programs").get(held["program"]) if held else None
        if rules is None or rules == self.rules:
            return None
        return replace(self, rules=rules)

    def parts(self) -> list[Running]:
        """The parts with a day count of their own."""
        return [self.part(part) for part in self.state.parts]

    def against(self) -> list[tuple[str, str]]:
        """(why, source) of what on record speaks against this seed day, where it is still to come."""
        from assistant.skills.gates import against_seed
        from assistant.skills.windows import against_window

        day, where = self.seed_day.amount.day, self.state.facts.get("state")
        if day < self.turn.now.day:
            return []
        of_fall = self.sows and self.rules.get("season") == "fall"
        window = against_window(self.turn, self._grass_in(self.state), where, day) if of_fall else []
        return [*against_seed(self.turn, self.state, day), *window]

    def _seen(self, state: LawnState, what: str) -> date | None:
        event = state.seen.get(what)
        day = date.fromisoformat(event.happened_on) if event else None
        return day if day and day >= self.seed_day.amount.day else None

    def line(self, step: Step) -> str:
        """One dated line: what, when, state, and what moved it."""
        amounts = "; ".join(words for _, words in self.rates(step))
        moved = f"; {step.moved_by}" if step.moved_by else ""
        state = step.state
        if state == DUE and (step.care or step.by_sight):
            state = "on now" if step.care else "from now on, by what you see"
        return f"{when(step)}: {step.title}, {state}{', ' + amounts if amounts and step.open else ''}{moved}"

    def rates(self, step: Step) -> list[tuple[dict[str, Any], str]]:
        """What the step puts down, each with its rate in words."""
        made = []
        for row in step.amounts:
            rate = row_of(row).amount
            name = self.turn.knowledge.name(row["what"])
            what = name if rate.of == "product" else f"{rate.of} as {name}"
            made.append((row, f"{self.turn.say(rate.q, rate.unit, rate.per)} of {what}"))
        return made

    def amount_lines(self, step: Step, area: Slot | None) -> list[str]:
        """The same with totals for the lawn, where its area is known, and the source of each rate."""
        made = []
        for row, words in self.rates(step):
            line = words
            if area:
                from assistant.skills.area import total_of

                rate, size = row_of(row).amount, total_of(area)
                total = over_range(lambda one, size=size: one * size, rate.q)
                of = f" of {rate.of}" if rate.of in _COUNTED else ""
                line += f": {self.turn.say(total, rate.unit)}{of} for {self.turn.say(size, 'sq_ft')}"
            made.append(f"{line} ({self.turn.short(row['source'])}).")
        return made

    def seed(self) -> list[tuple[str, Any, str]]:
        """(what, rate, source) of the seed that the program sows: its own grass, or the lawn's, at the share it takes."""
        sows, grass = self.rules.get("sows", {}), self.grass
        what = sows.get("what") or (str(grass.value) if grass else "")
        rows = self.turn.knowledge.rows(sows.get("rate") or f"{what}.seeding_rate") if what else []
        shares = self.turn.knowledge.rows(sows["share"]) if "share" in sows else []
        if not rows:
            return []
        factor = shares[0].amount.q.m_as("") if shares else 1
        return [(what, over_range(lambda one: one * factor, rows[0].amount.q), rows[0].source)]

    def waiting(self, step: Step) -> str:
        """How far off a step is, how late, or how much slack is left of its window."""
        if not step.open:
            return f"{step.state.capitalize()}."
        if step.state == DUE and step.by_sight:
            return "From now on, by what you see."
        if step.state == DUE:
            slack = (step.until - self.turn.now.day).days
            left = (
                f" Latest start {day_words(step.until)}, {slack} day{'s' if slack > 1 else ''} left." if slack else ""
            )
            late = "One day late." if step.late == 1 else f"{step.late} days late."
            return late if step.late else f"Due now.{left}"
        gap = (step.day - self.turn.now.day).days
        return "Tomorrow." if gap == 1 else f"In {gap} days."

    def chain(self, step: Step, state: LawnState | None = None) -> tuple[str, ...]:
        """Why this date: the rule, what moved it, and what was said of the step that it follows."""
        held = state or self.state
        rule = self.rule(step)
        made = [f"{step.title.capitalize()}: {self._counted(rule)} ({self.turn.short(step.source)}); {step.why}."]
        if rule["counted_from"] == "emergence":
            emergence = self._emergence()
            seen = f"seen on {day_words(emergence.seen)}" if emergence.seen else f"counted as day {emergence.days}"
            made.append(f"Seedlings up: {seen} ({self.turn.short(emergence.source)}).")
        if step.moved_by:
            made.append(f"{step.title.capitalize()} moved: {step.moved_by}.")
        earlier = rule.get("least_gap", {}).get("after", "")
        told = held.applied.get(earlier) or held.moved.get(earlier)
        if told:
            said_on = day_words(date.fromisoformat(told.said_on))
            made.append(f'{told.body["title"].capitalize()}: you said "{told.text}" on {said_on}.')
        return tuple(made)

    def _counted(self, rule: dict[str, Any]) -> str:
        """From what a step is counted, in words."""
        if "working_days" in rule:
            return "in working days, before the ground is opened"
        span = rule["day"]
        if rule["counted_from"] == "calendar":
            return f"from {span['from']} to {span['to']} of the year"
        low, high = sorted((abs(int(span["low"])), abs(int(span["high"]))))
        days = f"{low} days" if low == high else f"{low} to {high} days"
        named = {"seed_day": "seed day", "emergence": "the seedlings are up"}
        titles = {one["id"]: f"the {one['title']}" for one in self.rules["steps"]}
        anchor = (named | titles)[rule["counted_from"]]
        return f"{days} {'before' if span['high'] <= 0 and span['low'] < 0 else 'after'} {anchor}"

    def totals(self) -> dict[str, Any]:
        """N and P2O5 per 1,000 sq ft over the whole program, by the label of its product, or by a stand-in."""
        main = f"product.{self.rules['product']}"
        totals: dict[str, Any] = {}
        for rule in self.rules["steps"]:
            for row in rule.get("amounts", ()):
                for which, part in self._parts(row, main).items():
                    totals[which] = (
                        over_range(lambda one, other: one + other, totals[which], part) if which in totals else part
                    )
        return totals

    def _parts(self, row: dict[str, Any], only: str = "") -> dict[str, Any]:
        """N and P2O5 in a rate of a step: as it is told, or by the label of the product."""
        rate = row_of(row).amount
        if rate.of in _COUNTED:
            return {rate.of: rate.q}
        label = label_of(self.turn, row["what"]) if only in ("", row["what"]) else None
        return {which: part for which, part in label.nutrients(rate.q).items() if which in _COUNTED} if label else {}

    def put_down(self) -> str:
        """The totals in words, with what was assumed for them."""
        label = label_of(self.turn, f"product.{self.rules['product']}") if self.rules["product"] else None
        if label is None:
            return "no feed of its own"
        heavy = label.density
        weight = f" at {self.turn.say(heavy.q, heavy.unit, heavy.per)}" if heavy else ""
        words = [f"{self.turn.say(value, 'lb', PER)} of {which}" for which, value in self.totals().items()]
        whose = "if the starter is" if label.words == "assumed" else "with your"
        article = " a" if label.words == "assumed" else ""
        return f"{' and '.join(words)} in all, {whose}{article} {label.analysis}{weight}"

    def over_cap(self, *steps: Step) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Steps that put more nitrogen down at once than the law of the lawn's state allows: words, and sources."""
        from assistant.calculations.feed import at_most

        name = self.turn.knowledge.name(str(self.where.value)) if self.where else ""
        caps = [row for row in self.turn.knowledge.rows("feeding.nitrogen_cap") if row.where == name]
        said = []
        for step in steps if caps else ():
            for row in step.amounts if step.open else ():
                rate = self._parts(row).get("N")
                most = high_end(rate)
                if most is not None and not at_most(most, caps[0].amount.q):
                    cap = self.turn.say(caps[0].amount.q, "lb", PER)
                    said.append(
                        f"{capital(step.title)}: {self.turn.say(rate, 'lb', PER)} of N; {name} allows at most {cap} at once. Put down less, or split it."
                    )
        return tuple(said), tuple(caps[0].source for _ in said[:1])

    @property
    def where(self) -> Slot | None:
        """The state of the lawn: on record, or said in this line."""
        return self.state.facts.get("state") or self.turn.parse.slots.get("state")

    def _laws(self) -> list[tuple[str, dict[str, Any]]]:
        """(state, row) of the laws that end nitrogen: the lawn's own state where it is known, else all that were read."""
        states = self.turn.knowledge.section("states")
        own = self.where
        keys = [str(own.value).partition(".")[2]] if own else list(states)
        return [
            (states[key]["name"], row)
            for key in keys
            for row in states.get(key, {}).get("law", ())
            if "N" in row["nutrients"] and "most" not in row
        ]

    def late_season(self, *steps: Step) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """What state law says of feeds that would fall late in the year: words, and sources."""
        cautions, sources = [], []
        for where, row in self._laws():
            for step in steps:
                last = date(step.day.year, *map(int, row["from"].split("-"))) - timedelta(days=1)
                if step.kind == "feed" and step.state in ("due", "coming") and (step.day > last or step.day.month < 3):
                    words = f"{where} forbids nitrogen and phosphate on lawns after {day_words(last)}"
                    cautions.append(
                        f"{step.title.capitalize()}: {words}; elsewhere nothing goes down once growth stops. Check your state's law."
                    )
                    sources.append(row["source"])
                    break
        return tuple(cautions[:1]), tuple(sources[:1])


def running(
    turn: Turn,
    seed_day: Slot,
    program: Slot | None,
    species: Slot | None = None,
    job: Slot | None = None,
    plan: Slot | None = None,
) -> Running | None:
    """The program that runs, or the one that this line chooses; None where none is chosen.

    A program is a kind of work (`plan`, or `job`, or what the seed day suggests) and a way of feeding.
    """
    state = turn.lawn or LawnState("")
    held = state.program
    chosen = program is not None and program.origin != "program"
    if held and job is not None and _serves(held["rules"], job):
        job = None  # `overseeded today` on a lawn that runs an overseeding of its own kind
    if held and not chosen and plan is None and job is None:
        return Running(turn, held["rules"], seed_day, state, species)
    key, took = _chosen(turn, seed_day, program, job, plan, species)
    if not key:
        return None
    if held and held["program"] == key and state.seed_day == seed_day.amount.day:
        return Running(turn, held["rules"], seed_day, state, species)
    rules = turn.knowledge.section("programs")[key]
    first = seed_day.amount.day.isoformat()
    stands = {step: done for step, done in state.applied.items() if done.happened_on >= first}
    state = replace(state, applied=stands, moved={}, skipped={})
    today = turn.now.day.isoformat()
    body = {"program": key, "rules": rules}
    begun = Event(kinds.STARTED, state.name, turn.parse.text, today, today, body)
    return Running(turn, rules, seed_day, state, species, (begun,), took)


def _serves(rules: dict[str, Any], job: Slot) -> bool:
    """True where a kind of work is what a running program is for."""
    return rules.get("job") == job.value or str(job.value).partition(".")[2] in str(rules.get("plan", "")).split("_")


def _chosen(
    turn: Turn, seed_day: Slot, program: Slot | None, job: Slot | None, plan: Slot | None, species: Slot | None
) -> tuple[str, str]:
    """The key of the program that was asked for, and what was taken for granted; no key where the feeding is not said."""
    programs = turn.knowledge.section("programs")
    kind, took = _kind_of_work(turn, seed_day, job, plan, species)
    if kind in programs:  # a program without feeds has one form
        return kind, took
    form = str(program.value).partition(".")[2] if program else ""
    if program and program.origin == "program":
        form = form.rpartition("_")[2]
    key = f"{kind}_{form}"
    return (key, took) if key in programs else ("", "")


def _kind_of_work(
    turn: Turn, seed_day: Slot, job: Slot | None, plan: Slot | None, species: Slot | None
) -> tuple[str, str]:
    if plan is None and job is None and turn.lawn and turn.lawn.program is None:
        plan = turn.lawn.facts.get("plan")  # told before it was said how to feed
    if plan is not None:
        return str(plan.value).partition(".")[2], ""
    programs = turn.knowledge.section("programs").values()
    if job is not None:
        grass = species or (turn.lawn.facts.get("species") if turn.lawn else None)
        meant = [one["plan"] for one in programs if one.get("on_warm") == job.value]
        if meant and grass and turn.knowledge.entry(f"{grass.value}.season") == "warm":
            return meant[0], f"Over {turn.knowledge.name(str(grass.value))} that is winter overseeding with ryegrass."
        named = [one["plan"] for one in programs if one["job"] == job.value]
        if named:
            return named[0], ""
    day = seed_day.amount.day
    for one in programs:
        span = one.get("seed_days")
        if span and one["plan"] != "fall" and next_day(span["to"], day) < next_day(span["from"], day):
            words = f"Seed day {day_words(day)} is in the days of {_named(one)}; say the kind of work if it is another."
            return one["plan"], words
    return "fall", ""


def _named(rules: dict[str, Any]) -> str:
    return str(rules["name"]).partition(" with ")[0]


def each(
    turn: Turn, seed_day: Slot, species: Slot | None = None, job: Slot | None = None, plan: Slot | None = None
) -> list[Running]:
    """Every way of feeding that the kind of work has, as it would run on this lawn, in the order they are offered."""
    state = turn.lawn or LawnState("")
    kind, took = _kind_of_work(turn, seed_day, job, plan, species)
    programs = turn.knowledge.section("programs")
    rules = [one for one in programs.values() if one["plan"] == kind]
    rules.sort(key=lambda one: str(one["form"]), reverse=True)
    return [Running(turn, one, seed_day, state, species, took=took) for one in rules]


def running_or_first(turn: Turn, seed_day: Slot) -> Running:
    """The program that runs, or where none is chosen the first that could: for what hangs on the seed day of either."""
    return running(turn, seed_day, None) or each(turn, seed_day)[0]


def program_ask(turn: Turn, seed_day: Slot | None = None, job: Slot | None = None, plan: Slot | None = None) -> Ask:
    """Which program, each with what it puts down; none is taken without being asked for."""

    day = turn.now.day.isoformat()
    anchor = seed_day or Slot("seed_day", Amount("date", day, day))
    choices = tuple(
        f"{one.name}: {one.rules['in_short']}; {one.put_down()} ({turn.short(one.rules['source'])})"
        for one in each(turn, anchor, None, job, plan)
    )
    return Ask("program", f"Which program?{_other_work(turn, anchor, job, plan)}", choices)


def _other_work(turn: Turn, seed_day: Slot, job: Slot | None, plan: Slot | None) -> str:
    """Said where no kind of work was named and seed day is still ahead: what else a fall seeding can be."""
    named = plan or job or (turn.lawn and turn.lawn.facts.get("plan"))
    if named or seed_day.amount.day <= turn.now.day or _kind_of_work(turn, seed_day, job, plan, None)[0] != "fall":
        return ""
    return ' Old grass to be killed first? Say "renovation". Thin but alive? Say "overseeding program".'


def short_ask(turn: Turn) -> Ask:
    """Which program, in one line, where the long form was shown before."""
    return Ask("program", "Fed how: with the light liquid program or the granular program?")


_FAR = 120  # days from seed day beyond which only the date is said


def when(step: Step) -> str:
    """`day 21, Sat 26 September 2026`, with the end of its window; before seed day so many days before it."""
    last = step.offset + (step.until - step.day).days
    span = day_words(step.day) if step.until == step.day else f"{day_words(step.day)} to {day_words(step.until)}"
    if abs(step.offset) > _FAR:
        return span
    if step.offset < 0:
        ends = f"{-step.offset}" if last == step.offset else f"{-step.offset} to {-last}" if last < 0 else ""
        if ends:
            return f"{ends} day{'' if ends == '1' else 's'} before seed day, {span}"
        return f"by seed day, {span}" if last == 0 else span
    return f"day {step.offset}, {span}" if last == step.offset else f"day {step.offset} to {last}, {span}"


def step_named(turn: Turn, steps: Iterable[Step], named: Slot | None) -> Step | None:
    """The step of a program that a name or a deed stands for; none where this program has no such step."""
    key = turn.knowledge.entry(f"names.{named.value}.step") if named else None
    return next((step for step in steps if step.id == key), None)


def stays(step: Step) -> str:
    """Said where a step stays, or comes to lie, on another day than it was moved to."""
    return f"The program keeps the {step.title} on {when(step)}: {step.moved_by}."


def days(*steps: Step) -> tuple[Figure, ...]:
    return tuple(Figure(step.title, day=step.day, until=step.until) for step in steps)
