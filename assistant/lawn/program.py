"""The dated program of a lawn: rules, lawn, events and today give the steps. Dates are computed, never stored.

Rules are data (knowledge/programs). The engine knows no grass: it counts days from an anchor, keeps least and greatest
gaps, waits for what must be seen first, lets what was done or moved stand, and gives every step the reason for its date.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from assistant.lawn.events import Event
from assistant.lawn.state import LawnState
from assistant.terms import day_words

DONE, DUE, COMING, DROPPED = "done", "due", "coming", "dropped"
OPEN = (DUE, COMING)
BEFORE_SEED = ("prepare", "kill", "call", "order")  # kinds of step that seed waits for
_SPRING = 3  # the month from which feeds of a new season are judged by its own dates
_SPRING_DAY = f"{_SPRING:02d}-01"
_LAPSES = timedelta(days=14)  # so long after its window a step that nobody spoke of is let go


@dataclass(frozen=True, slots=True)
class Step:
    """One dated step. `day` to `until` is its window; `state` is done, due, coming or dropped.

    `care` runs through its window and is nothing to tick off; `by_sight` goes by what stands there, and is never late.
    """

    id: str
    title: str
    kind: str
    day: date
    until: date
    state: str
    why: str
    offset: int
    moved_by: str = ""
    amounts: tuple[dict[str, Any], ...] = ()
    source: str = ""
    late: int = 0
    care: bool = False
    by_sight: bool = False

    @property
    def open(self) -> bool:
        return self.state in OPEN


@dataclass(frozen=True, slots=True)
class Emergence:
    """When seedlings are up: seen, or taken from a source as days after seeding or as a day of the year.

    `not_yet` is the last day on which somebody looked and saw nothing: they are up after it at the earliest. `least` is
    the day before which no cut can be one of the new grass.
    """

    days: int
    source: str
    seen: date | None = None
    not_yet: date | None = None
    from_day: str = ""  # `04-12` where seed lies dormant until then
    least: int = 0

    def counted(self, seed_day: date) -> date | None:
        """The day on which it was seen up, where it counts: what sprouts in a winter thaw moves no date of spring."""
        thaw = self.seen and self.from_day and self.seen < next_day(self.from_day, seed_day)
        return None if thaw else self.seen

    def after(self, seed_day: date) -> date:
        """The day from which seedlings count as up."""
        seen = self.counted(seed_day)
        if seen:
            return seen
        day = next_day(self.from_day, seed_day) if self.from_day else seed_day + timedelta(days=self.days)
        return max(day, self.not_yet + timedelta(days=1)) if self.not_yet else day


@dataclass(frozen=True, slots=True)
class Closing:
    """After which day no nitrogen goes down before spring, and why."""

    day: date
    why: str
    source: str = ""

    def holds(self, day: date) -> bool:
        """True for a day between the closing and the spring that follows."""
        return self.day < day < date(self.day.year + 1, _SPRING, 1)


@dataclass(frozen=True, slots=True)
class Notice:
    """How many working days before digging one calls: `before(day, count)` counts them back."""

    days: int
    source: str
    before: Callable[[date, int], date]


def steps_of(
    rules: dict[str, Any],
    seed_day: date,
    today: date,
    emergence: Emergence,
    state: LawnState,
    closing: Closing | None = None,
    notice: Notice | None = None,
) -> tuple[Step, ...]:
    """Every step of a program with its date or window and why that date; what no longer fits is dropped with its reason."""
    flow = _Flow(seed_day, today, emergence, state, closing, notice, {})
    for rule in rules["steps"]:
        flow.made[rule["id"]] = flow.step(rule)
    for rule in rules["steps"]:
        flow.give_way(rule)
    return tuple(flow.made.values())


def next_of(steps: Iterable[Step]) -> Step | None:
    """The step to do next: the earliest that is open and has a date; what goes by sight only where nothing else is left."""
    waiting = [step for step in steps if step.open and not step.care]
    return min(waiting, key=lambda step: (step.by_sight, step.day), default=None)


def beside(steps: Iterable[Step]) -> list[Step]:
    """What runs beside the next step: care that is on, and what is to be done by sight from now on."""
    return [step for step in steps if step.state == DUE and (step.care or step.by_sight)]


def due_as_well(steps: Iterable[Step], headed: Step) -> list[Step]:
    """What else is due now, the earliest first: one late step must not hide another."""
    waiting = [one for one in steps if one.state == DUE and one != headed and not (one.care or one.by_sight)]
    return sorted(waiting, key=lambda one: one.day)


def by_date(steps: Iterable[Step]) -> list[Step]:
    """The steps in the order of their days, those that were dropped at the end."""
    return sorted(steps, key=lambda step: (step.state == DROPPED, step.day, step.until))


def mowings_of(state: LawnState, seed_day: date, emergence: Emergence) -> list[Event]:
    """The cuts of the new grass: those since it came up, or could have."""
    least = seed_day + timedelta(days=max(1, emergence.least))
    first = max(seed_day + timedelta(days=1), min(emergence.seen or least, least))
    return [event for event in state.mowed if event.happened_on >= first.isoformat()]


def next_day(month_day: str, since: date) -> date:
    """The first such day of the calendar on or after a day."""
    month, day = int(month_day[:2]), int(month_day[3:])
    this_year = date(since.year, month, day)
    return this_year if this_year >= since else date(since.year + 1, month, day)


@dataclass(frozen=True, slots=True)
class _Flow:
    """One program on its way from rules to dates; `made` holds the steps before the one in hand."""

    seed_day: date
    today: date
    emergence: Emergence
    state: LawnState
    closing: Closing | None
    notice: Notice | None
    made: dict[str, Step]

    def step(self, rule: dict[str, Any]) -> Step:
        day, until, source = self._window(rule)
        first = day
        moved_by = ""
        moved = self.state.moved.get(rule["id"])
        if moved:
            day = date.fromisoformat(moved.body["day"])
            until = date.fromisoformat(moved.body.get("until", moved.body["day"]))
            moved_by = f"you moved it ({_said(moved)})"
        latest = until  # of what seed waits for: it cannot be pushed past it
        for soonest, why in self._soonest(rule, first):
            if soonest > day:
                until, day, moved_by = until + (soonest - day), soonest, why
        for _ in self.state.held:  # one hold may push into the next
            for soonest, why in self._held(rule, day):
                until, day, moved_by = until + (soonest - day), soonest, why
        if (rule["kind"] in BEFORE_SEED or self._by_calendar(rule)) and day <= latest:
            until = latest
        until = max(day, min([until, *self._latest(rule)]))
        made = Step(
            rule["id"],
            rule["title"],
            rule["kind"],
            day,
            until,
            COMING,
            rule["why"],
            (day - self.seed_day).days,
            moved_by,
            tuple(rule.get("amounts", ())),
            source,
            care=bool(rule.get("care")),
            by_sight=bool(rule.get("by_sight")),
        )
        return self._stood(rule, made)

    def give_way(self, rule: dict[str, Any]) -> None:
        """Of two steps that exclude each other the one that was done stands; a feed is past once a later one is down."""
        other = self.made.get(rule.get("instead_of", ""))
        step = self.made[rule["id"]]
        if other and other.state == DONE and step.open:
            self.made[step.id] = replace(step, state=DROPPED, late=0, moved_by=f"instead of it: {other.title}")
        if step.kind == "feed" and step.state == DUE:
            since = [
                one for one in self.made.values() if one.kind == "feed" and one.state == DONE and one.day > step.day
            ]
            if since:
                why = f"the {since[0].title} is on record since, and nothing was said of it"
                self.made[step.id] = replace(step, state=DROPPED, late=0, moved_by=why)

    # the window ----------------------------------------------------------------------------------------------------------

    def _window(self, rule: dict[str, Any]) -> tuple[date, date, str]:
        if "working_days" in rule:
            return self._working_days(rule)
        span = rule["day"]
        if rule["counted_from"] == "calendar":
            until = next_day(span["to"], self.seed_day)
            day = next_day(span["from"], date(until.year - 1, until.month, until.day) + timedelta(days=1))
            return day, until, span["source"]
        anchor = self._anchor(rule["counted_from"])
        return (
            anchor + timedelta(days=int(span["low"])),
            anchor + timedelta(days=int(span["high"])),
            span["source"],
        )

    def _working_days(self, rule: dict[str, Any]) -> tuple[date, date, str]:
        """So many working days before the step it must come before."""
        span = rule["working_days"]
        count, source = (
            (self.notice.days, self.notice.source)
            if self.notice and self.notice.days
            else (-int(span["high"]), span["source"])
        )
        before = self.made.get(rule.get("before", ""))
        last = before.day if before else self._anchor(rule["counted_from"])
        until = self.notice.before(last, count) if self.notice else last - timedelta(days=count)
        return until - timedelta(days=7), until, source

    def _anchor(self, name: str) -> date:
        if name == "seed_day":
            return self.seed_day
        if name == "emergence":
            return self.emergence.after(self.seed_day)
        return self.made[name].day

    def _by_calendar(self, rule: dict[str, Any]) -> bool:
        """True for a step that belongs to days of the year, unless the user moved it out of them."""
        return rule["counted_from"] == "calendar" and rule["id"] not in self.state.moved

    # what holds a step back, and what it may not pass ----------------------------------------------------------------------

    def _soonest(self, rule: dict[str, Any], first: date) -> list[tuple[date, str]]:
        found = []
        gap = rule.get("least_gap")
        earlier = self.made.get(gap["after"]) if gap else None
        if gap and earlier and earlier.state != DROPPED:
            since = max(earlier.day, self.today) if earlier.state == DUE else earlier.day
            at_least = " at the earliest" if since > earlier.day else ""
            alone = f"; day {(first - self.seed_day).days} alone would be {day_words(first)}"
            why = f"at least {int(gap['low'])} days after the {earlier.title} ({day_words(since)}{at_least}){alone}"
            found.append((since + timedelta(days=int(gap["low"])), why))
        if "only_after" in rule:
            up = self._anchor(rule["only_after"])
            seen = "you saw them" if self.emergence.seen else f"counted as day {(up - self.seed_day).days}"
            found.append((up, f"not before the seedlings are up, {day_words(up)} ({seen})"))
        if self._lacks_mowings(rule):
            found.append((self.today + timedelta(days=1), self._lacks_mowings(rule)))
        return found

    def _lacks_mowings(self, rule: dict[str, Any]) -> str:
        """How many cuts are still wanted, in words; empty where there are enough."""
        if "after_mowings" not in rule:
            return ""
        wanted, cut = int(rule["after_mowings"]["low"]), len(self._mowings())
        return f"not before {wanted} mowings; {cut or 'none'} on record" if cut < wanted else ""

    def _held(self, rule: dict[str, Any], day: date) -> list[tuple[date, str]]:
        """The hold that a day lies in, and the day behind it. A hold keeps steps of a kind, or of a product, off its
        days; without an end it holds until it is lifted. Seed day is the user's own: what speaks against it is said.
        """
        products = {row["what"] for row in rule.get("amounts", ())}
        for event in self.state.held:
            body = event.body
            touched = rule["kind"] in body.get("kinds", ()) or products & set(body.get("products", ()))
            if not touched or rule["kind"] == "sow":
                continue
            since = date.fromisoformat(event.happened_on)
            if not body.get("until"):
                if day < max(self.today, since):
                    return [(max(self.today, since), f"waits: {_said(event)}")]
                continue
            until = date.fromisoformat(body["until"])
            if since <= day <= until:
                why = f"after the {body['what']}, to {day_words(until)}: {_said(event)}"
                return [(until + timedelta(days=1), why)]
        return []

    def _latest(self, rule: dict[str, Any]) -> list[date]:
        gap = rule.get("most_gap")
        earlier = self.made.get(gap["after"]) if gap else None
        return [earlier.day + timedelta(days=int(gap["high"]))] if gap and earlier and earlier.state == DONE else []

    # how it stands ---------------------------------------------------------------------------------------------------------

    def _stood(self, rule: dict[str, Any], step: Step) -> Step:
        done_on = self._done_on(rule)
        if done_on:
            late = 0 if step.kind == "sow" or step.by_sight else (done_on - step.day).days
            offset = (done_on - self.seed_day).days
            return replace(step, state=DONE, day=done_on, until=done_on, late=late, offset=offset, moved_by="")
        skipped = self.state.skipped.get(step.id)
        dropped = f"skipped ({_said(skipped)})" if skipped else self._dropped(rule, step)
        if dropped:
            return replace(step, state=DROPPED, moved_by=dropped)
        if step.day > self.today:
            return replace(step, moved_by=step.moved_by or self._lacks_mowings(rule))
        late = 0 if step.care or step.by_sight else max(0, (self.today - step.until).days)
        return replace(step, state=DUE, late=late)

    def _done_on(self, rule: dict[str, Any]) -> date | None:
        done = self.state.applied.get(rule["id"])
        if done:
            return date.fromisoformat(done.happened_on)
        if rule["kind"] == "sow" and self.seed_day <= self.today and self._sown():
            return self.seed_day
        if rule.get("done_by") == "up":
            return self.emergence.counted(self.seed_day)
        if rule.get("done_by") == "mowed" and self._mowings():
            return date.fromisoformat(self._mowings()[0].happened_on)
        return None

    def _mowings(self) -> list[Event]:
        return mowings_of(self.state, self.seed_day, self.emergence)

    def _sown(self) -> bool:
        """True where seed is down: told on or after seed day, or shown by what was done or seen since.

        A day that was only planned does not sow itself.
        """
        told = self.state.facts.get("seed_day")
        first = self.seed_day.isoformat()
        if not told or told.amount.low != first or told.said_on >= first:  # a part has the day on which it was sown
            return True
        since = [*self.state.applied.values(), *self.state.seen.values(), *self.state.mowed]
        return any(event.happened_on >= first for event in since)

    def _dropped(self, rule: dict[str, Any], step: Step) -> str:
        """Why a step no longer fits; empty where it does."""
        if step.kind == "feed" and self.closing:
            last = self.closing.day
            if self.closing.holds(step.day):
                return f"{day_words(step.day)} is past {day_words(last)}: {self.closing.why}"
            if step.day <= last < self.today:
                return f"it was not put down by {day_words(last)}: {self.closing.why}"
        if self._by_calendar(rule) and step.day > self._window(rule)[1]:
            return f"it does not fit before {day_words(self._window(rule)[1])}, the end of its days: {step.moved_by}"
        end = rule.get("not_after")
        if end and step.day > next_day(end["date"], self.seed_day):
            return f"{day_words(step.day)} is past {day_words(next_day(end['date'], self.seed_day))}, the end of its season"
        follower = self.made.get(rule.get("before", ""))
        if follower and follower.state == DONE:
            return f"it belongs before the {follower.title}, and nothing was said of it"
        if step.kind == "feed" and next_day(_SPRING_DAY, step.until) <= self.today and not self._by_calendar(rule):
            return "its season is over, and nothing was said of it"
        if step.kind in ("sow", "feed"):
            return ""
        if step.kind in BEFORE_SEED and self.today < self.seed_day:  # late, not gone: there are choices
            latest = self._window(rule)[1]
            if step.day > latest and step.id not in self.state.moved:
                choices = f"; {rule['too_late']}" if "too_late" in rule else ""
                return f"it does not fit before seed day: {step.moved_by}; its latest start is {day_words(latest)}{choices}"
            return ""
        if rule["counted_from"] != "calendar" and step.until <= self.seed_day <= self.today:
            return "it belongs before the seed, and nothing was said of it"
        if step.care and self.today > step.until:
            return "its time is over"
        if self.today > step.until + _LAPSES:
            return "its time is over, and nothing was said of it"
        return ""


def _said(event: Event) -> str:
    return f'you said "{event.text}" on {day_words(date.fromisoformat(event.said_on))}'
