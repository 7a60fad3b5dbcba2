"""A lawn's program as it runs: rules, seed day and record give dated steps, and this is how they are worded."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from assistant.answer import Ask, Figure
from assistant.knowledge_base import row_of
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import Closing, Emergence, Step, next_of, steps_of
from assistant.lawn.state import LawnState
from assistant.skills.dates import feed_ends
from assistant.skills.turn import Turn
from assistant.terms import Amount, Analysis, Slot, day_words, over_range

PER = "1000 sq_ft"


_FALL_BEGINS = 7  # a seed day from July on leads into the fall of its year


@dataclass(frozen=True)
class Running:
    """One program on one lawn, on one day. `begun` is the event that starts it, where this line is what started it."""

    turn: Turn
    rules: dict[str, Any]
    seed_day: Slot
    state: LawnState
    species: Slot | None = None
    begun: tuple[Event, ...] = ()

    @property
    def name(self) -> str:
        return str(self.rules["name"])

    @property
    def sources(self) -> tuple[str, ...]:
        return (self.rules["source"],)

    def steps(self, state: LawnState | None = None) -> tuple[Step, ...]:
        """Every step with its date; for another state of the record, what would become of them."""
        held = state or self.state
        day = self.seed_day.amount.day
        return steps_of(self.rules, day, self.turn.now.day, self._emergence(), held, self._closing())

    def _closing(self) -> Closing | None:
        """The last day for nitrogen in the fall that seed day leads into, as far as state and record tell it."""
        day = self.seed_day.amount.day
        if day.month < _FALL_BEGINS:
            return None
        ends = feed_ends(self.turn, self.state.facts.get("state"), day.year)
        return Closing(ends[0][0], ends[0][1][:1].lower() + ends[0][1][1:], ends[0][2]) if ends else None

    def next(self) -> Step | None:
        return next_of(self.steps())

    def _emergence(self) -> Emergence:
        grass = self.species or self.state.facts.get("species")
        key = str(grass.value).partition(".")[2] if grass else ""
        rows = self.turn.knowledge.rows(f"species.{key}.days_to_germinate") if key else []
        row = rows[0] if rows else self.turn.knowledge.rows("seeding.emergence")[0]
        return Emergence(int(row.amount.high), row.source)

    def line(self, step: Step) -> str:
        """One dated line: what, when, state, and what moved it."""
        amounts = "; ".join(words for _, words in self.rates(step))
        moved = f"; {step.moved_by}" if step.moved_by else ""
        return f"{when(step)}: {step.title}, {step.state}{', ' + amounts if amounts and step.state in ('due', 'coming') else ''}{moved}"

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
                line += f": {self.turn.say(total, rate.unit)} for {self.turn.say(size, 'sq_ft')}"
            made.append(f"{line} ({self.turn.short(row['source'])}).")
        return made

    def waiting(self, step: Step) -> str:
        """How far off a step is, or how late."""
        if step.state in ("done", "dropped"):
            return f"{step.state.capitalize()}."
        if step.state == "due":
            return {0: "Due now.", 1: "One day late."}.get(step.late, f"{step.late} days late.")
        gap = (step.day - self.turn.now.day).days
        return "Tomorrow." if gap == 1 else f"In {gap} days."

    def chain(self, step: Step, state: LawnState | None = None) -> tuple[str, ...]:
        """Why this date: the rule, what moved it, and what was said of the step that it follows."""
        held = state or self.state
        rule = next(one for one in self.rules["steps"] if one["id"] == step.id)
        low, high = int(rule["day"]["low"]), int(rule["day"]["high"])
        days = f"{low} days" if low == high else f"{low} to {high} days"
        anchor = {"seed_day": "seed day", "emergence": "the seedlings are up"}[rule["counted_from"]]
        made = [
            f"{step.title.capitalize()}: {days} after {anchor} ({self.turn.short(rule['day']['source'])}); {step.why}."
        ]
        if rule["counted_from"] == "emergence":
            emergence = self._emergence()
            made.append(f"Seedlings up: counted as day {emergence.days} ({self.turn.short(emergence.source)}).")
        if step.moved_by:
            made.append(f"{step.title.capitalize()} moved: {step.moved_by}.")
        earlier = rule.get("least_gap", {}).get("after", "")
        told = held.applied.get(earlier) or held.moved.get(earlier)
        if told:
            said_on = day_words(date.fromisoformat(told.said_on))
            made.append(f'{told.body["title"].capitalize()}: you said "{told.text}" on {said_on}.')
        return tuple(made)

    def stand_in(self) -> tuple[Analysis, Amount | None]:
        """Label and weight of the program's product where none is known: they are said to be assumed."""
        example = self.turn.knowledge.entry(f"products.{self.rules['product']}")["example"]
        heavy = example.get("density")
        return Analysis(*example["analysis"]), row_of(heavy).amount if heavy else None

    def totals(self) -> dict[str, Any]:
        """N and P2O5 per 1,000 sq ft over the whole program, by stand-in analyses where no label is known."""
        from assistant.calculations.feed import nutrient

        main = self.rules["product"]
        label, density = self.stand_in()
        totals: dict[str, Any] = {}
        for rule in self.rules["steps"]:
            for row in rule.get("amounts", ()):
                rate = row_of(row).amount
                for which in ("N", "P2O5"):
                    if rate.of == which:
                        part = rate.q
                    elif row["what"] == f"product.{main}":
                        part = over_range(
                            lambda amount, which=which: nutrient(amount, label, which, density.q if density else None),
                            rate.q,
                        )
                    else:
                        continue
                    totals[which] = (
                        over_range(lambda one, other: one + other, totals[which], part) if which in totals else part
                    )
        return totals

    def put_down(self) -> str:
        """The totals in words, with what was assumed for them."""
        label, density = self.stand_in()
        words = [f"{self.turn.say(value, 'lb', PER)} of {which}" for which, value in self.totals().items()]
        weight = f" at {self.turn.say(density.q, density.unit, density.per)}" if density else ""
        return f"{' and '.join(words)} in all, if the starter is a {label}{weight}"

    def _laws(self) -> list[tuple[str, dict[str, Any]]]:
        """(state, row) of the laws that end nitrogen: the lawn's own state where it is known, else all that were read."""
        states = self.turn.knowledge.section("states")
        own = self.state.facts.get("state")
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


def running(turn: Turn, seed_day: Slot, program: Slot | None, species: Slot | None = None) -> Running | None:
    """The program that runs, or the one that this line chooses; None where none is chosen."""
    state = turn.lawn or LawnState("")
    chosen = program is not None and program.origin != "program"
    key = str(program.value).partition(".")[2] if program else ""
    same = state.program is not None and state.program["program"] == key and state.seed_day == seed_day.amount.day
    if state.program and (same or not chosen):
        return Running(turn, state.program["rules"], seed_day, state, species)
    if program is None:
        return None
    rules = turn.knowledge.section("programs")[key]
    first = seed_day.amount.day.isoformat()
    stands = {step: done for step, done in state.applied.items() if done.happened_on >= first}
    state = replace(state, applied=stands, moved={}, skipped={})
    today = turn.now.day.isoformat()
    body = {"program": key, "rules": rules}
    begun = Event(kinds.STARTED, state.name, turn.parse.text, today, today, body)
    return Running(turn, rules, seed_day, state, species, (begun,))


def each(turn: Turn, seed_day: Slot, species: Slot | None = None) -> list[Running]:
    """Every program as it would run on this lawn, in the order they are offered."""
    state = turn.lawn or LawnState("")
    rules = sorted(turn.knowledge.section("programs").values(), key=lambda one: one["name"], reverse=True)
    return [Running(turn, one, seed_day, state, species) for one in rules]


def program_ask(turn: Turn, seed_day: Slot | None = None) -> Ask:
    """Which program, each with what it puts down; none is taken without being asked for."""

    day = turn.now.day.isoformat()
    anchor = seed_day or Slot("seed_day", Amount("date", day, day))
    choices = tuple(
        f"{one.name}: {one.rules['in_short']}; {one.put_down()} ({turn.short(one.rules['source'])})"
        for one in each(turn, anchor)
    )
    return Ask("program", "Which program?", choices)


def short_ask(turn: Turn) -> Ask:
    """Which program, in one line, where the long form was shown before."""
    names = [rules["name"] for rules in turn.knowledge.section("programs").values()]
    return Ask("program", f"Which program: {' or '.join(sorted(names, reverse=True))}?")


def when(step: Step) -> str:
    """`day 21, Sat 26 September 2026`, with the end of its window."""
    if step.until == step.day:
        return f"day {step.offset}, {day_words(step.day)}"
    last = step.offset + (step.until - step.day).days
    return f"day {step.offset} to {last}, {day_words(step.day)} to {day_words(step.until)}"


def days(*steps: Step) -> tuple[Figure, ...]:
    return tuple(Figure(step.title, day=step.day, until=step.until) for step in steps)
