"""A lawn's program as stages of work, and all lawns as they stand: plain data for a face that draws them.

Which steps make a stage is data (knowledge/walk.yaml); dates, states and reasons are those of the program.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from assistant.answer import Source, amount_words
from assistant.lawn.events import NOTE
from assistant.lawn.program import DONE, DROPPED, DUE, Step, next_of
from assistant.lawn.state import LawnState
from assistant.skills.lawns import plans
from assistant.skills.plan import too_late
from assistant.skills.running import Running, running, when
from assistant.skills.turn import Turn
from assistant.terms import Amount, Slot, day_words, short_day
from assistant.wording import written

TICKED, UNTICKED = "ticked: ", "not ticked: "  # how a tick stands on the record: as a note
_WITH_SEED = timedelta(days=7)  # a first feed within it went down with the seed
LATE, ON, COMING, OPEN = "late", "on", "coming", "open"


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage: its steps, and how it stands. `day` to `until` is the span of what is open in it, else of what was done;
    `by` is the latest start of what is due first.
    """

    key: str
    title: str
    state: str  # done, late, due, on, coming, dropped, or open where no date is known
    steps: tuple[Step, ...] = ()
    day: date | None = None
    until: date | None = None
    late: int = 0
    by: date | None = None


@dataclass(frozen=True, slots=True)
class Told:
    """A step in words: when, how far off it is, what goes down, why then; what is to be minded, and on whose word."""

    step: Step
    when: str
    waiting: str
    amounts: tuple[str, ...]
    why: str
    choices: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class Lines:
    """How a step is told of, in typed lines: done today, done on a day, moved to a day, skipped; empty where it has no words."""

    done: str = ""
    on: str = ""
    move: str = ""
    skip: str = ""


@dataclass(frozen=True, slots=True)
class Standing:
    """How one lawn stands among all: what is known of it, what it has lost, what is due next and how much slack is left."""

    name: str
    known: str
    program: str
    lost: tuple[str, ...]
    due: str
    when: str
    slack: str
    late: int
    day: date | None


@dataclass(frozen=True, slots=True)
class Start:
    """A value that a calculator begins with, in words, and where it is from."""

    words: str
    origin: str


def plan_of(turn: Turn) -> Running | None:
    """The program that runs on the lawn in hand."""
    day_zero = turn.lawn.day_zero if turn.lawn else None
    if turn.lawn is None or turn.lawn.program is None or day_zero is None:
        return None
    return running(turn, day_zero, None)


def stages_of(turn: Turn, plan: Running | None) -> tuple[Stage, ...]:
    """Every stage that this lawn goes through, in order; those of facts first, then those that the program has steps for."""
    held = turn.knowledge.entry("walk.stages")
    facts = turn.lawn.facts if turn.lawn else {}
    groups: dict[str, list[Step]] = {key: [] for key in held}
    for step in plan.steps() if plan else ():
        groups[_stage_key(turn, plan, step)].append(step)
    made = []
    for key, entry in held.items():
        if "facts" in entry:
            whole = all(name in facts for name in entry["facts"]) and ("seed_day" not in entry["facts"] or bool(plan))
            made.append(Stage(key, entry["title"], DONE if whole else OPEN))
        elif groups[key]:
            made.append(_stage(key, entry["title"], groups[key]))
        elif plan is None:
            made.append(Stage(key, entry["title"], OPEN))
    return tuple(made)


def _stage_key(turn: Turn, plan: Running | None, step: Step) -> str:
    """The stage that names a step; a feed that does not go down with the seed belongs to the feeds, any other to its kind."""
    for key, entry in turn.knowledge.entry("walk.stages").items():
        if step.id in entry.get("steps", ()):
            apart = step.kind == "feed" and "seed" in entry["steps"] and plan and step.day > _sown(plan)
            return str(turn.knowledge.entry("walk.by_kind.feed")) if apart else key
    return str(turn.knowledge.entry(f"walk.by_kind.{step.kind}"))


def _sown(plan: Running) -> date:
    """The day by which seed is down, with a week for a first feed that is late."""
    return plan.seed_day.amount.day + _WITH_SEED


def _stage(key: str, title: str, steps: list[Step]) -> Stage:
    waiting = [step for step in steps if step.open]
    late = max((step.late for step in waiting), default=0)
    due = [step for step in waiting if step.state == DUE]
    if not waiting:
        state = DONE if any(step.state == DONE for step in steps) else DROPPED
    elif late:
        state = LATE
    elif due:
        state = DUE if any(not (step.care or step.by_sight) for step in due) else ON
    else:
        state = COMING
    pressing = [step.until for step in due if not (step.care or step.by_sight)] or [step.until for step in due]
    spanned = waiting or [step for step in steps if step.state == DONE] or steps
    return Stage(
        key,
        title,
        state,
        tuple(sorted(steps, key=lambda step: (step.state == DROPPED, step.day, step.until))),
        min(step.day for step in spanned),
        max(step.until for step in spanned),
        late,
        min(pressing, default=None),
    )


def in_hand(stages: tuple[Stage, ...], plan: Running | None) -> Stage:
    """The stage to work on: where facts are missing and nothing runs, those; else the one that holds the next step."""
    step = next_of(plan.steps()) if plan else None
    for stage in stages:
        if step is None and stage.state == OPEN and plan is None:
            return stage
        if step is not None and step.id in {one.id for one in stage.steps}:
            return stage
    return stages[-1]


def told(plan: Running, step: Step) -> Told:
    """One step of the program in words."""
    turn = plan.turn
    late, laws = plan.late_season(step)
    over, caps = plan.over_cap(step)
    return Told(
        step,
        when(step),
        f"On now, to {day_words(step.until)}." if step.care and step.state == DUE else plan.waiting(step),
        tuple(plan.amount_lines(step, plan.state.facts.get("area"))) if step.open else (),
        step.moved_by or step.why,
        tuple(too_late(step, plan)) if step.open else (),
        (*late, *over),
        turn.cite(step.source, *laws, *caps),
    )


def lines_of(turn: Turn, step: Step) -> Lines:
    """The typed lines of a step; care is nothing to tick off."""
    if step.care:
        return Lines()
    named = any(entry.get("step") == step.id for entry in turn.knowledge.entry("names.step").values())
    done = turn.knowledge.entry("walk.told").get(step.id) or (f"{step.title} done today" if named else "")
    if step.kind == "sow":
        return Lines(done, f"{done.removesuffix(' today')} on ", "seed day is ")
    return Lines(
        done,
        f"{done.removesuffix(' today')} on " if done else "",
        f"move the {step.title} to " if named else "",
        f"skip the {step.title}" if named else "",
    )


def ticked(state: LawnState | None) -> set[str]:
    """What is ticked off on the record of a lawn: the newest note about a thing stands."""
    marks: dict[str, bool] = {}
    for event in state.live if state else ():
        if event.kind == NOTE:
            for prefix, mark in ((TICKED, True), (UNTICKED, False)):
                if event.text.startswith(prefix):
                    marks[event.text.removeprefix(prefix)] = mark
    return {words for words, mark in marks.items() if mark}


def starts(turn: Turn, plan: Running | None, stage: Stage) -> dict[str, Start]:
    """What calculators can begin with, by the names that knowledge/walk.yaml uses: facts, seed, feed and tools."""
    made: dict[str, Start] = {}
    for name, slot in (turn.lawn.facts if turn.lawn else {}).items():
        made[name] = Start(fact_words(turn, slot), "record")
    for tool in ("tool.backpack", "tool.hose_end", "tool.spreader"):
        facts = turn.shelf[tool].facts if tool in turn.shelf else {}
        for name, slot in facts.items():
            made.setdefault(f"tool.{name}", Start(amount_words(slot.amount), "shelf"))
    if plan is None:
        return made
    for what, rate, source in plan.seed()[:1]:
        made["sown.grass"] = Start(turn.knowledge.name(what), "record")
        made["sown.rate"] = Start(turn.say(rate, "lb", "1000 sq_ft"), turn.short(source))
    feeds = [step for step in stage.steps if step.amounts]
    for step in sorted(feeds, key=lambda one: (not one.open, one.day))[:1]:
        row = step.amounts[0]
        name, words = turn.knowledge.name(row["what"]), written(row["low"], row["high"], row["unit"], row["per"])
        made["feed.any"] = Start(name, "program")
        if row["of"] == "product":
            made |= {"feed.product": Start(name, "program"), "feed.rate": Start(words, turn.short(row["source"]))}
        else:
            amount, _, per = words.partition(" per ")
            made["feed.nitrogen"] = Start(f"{amount} of {row['of']} per {per}", turn.short(row["source"]))
            shelf = turn.shelf.get(row["what"])
            if shelf and "analysis" in shelf.facts:
                made["feed.analysis"] = Start(amount_words(shelf.facts["analysis"].amount), "shelf")
    return made


def fact_words(turn: Turn, slot: Slot) -> str:
    """A fact of a lawn as it is said."""
    return amount_words(slot.amount) if isinstance(slot.value, Amount) else turn.knowledge.name(str(slot.value))


def standings(turn: Turn) -> tuple[Standing, ...]:
    """Every lawn of the record, the one that is due first first; those without a program at the end."""
    states = turn.states()
    plans_on = {state.name: plan for state, plan in plans(turn)}
    made = [_standing(turn, state, plans_on.get(state.name)) for state in states]
    return tuple(sorted(made, key=lambda one: (one.day is None, one.day or date.min, one.name)))


def _standing(turn: Turn, state: LawnState, plan: Running | None) -> Standing:
    known = ", ".join(fact_words(turn, state.facts[name]) for name in ("area", "species") if name in state.facts)
    if plan is None:
        return Standing(state.name, known, "no program yet", (), "", "", "", 0, None)
    steps = plan.steps()
    done = {step.id for step in steps if step.state == DONE}
    lost = tuple(
        f"{step.title}: {step.moved_by}"
        for step in steps
        if step.state == DROPPED and not step.care and plan.rule(step).get("instead_of") not in done
    )
    step = next_of(steps)
    if step is None:
        return Standing(state.name, known, plan.title, lost, "every step is done", "", "", 0, None)
    return Standing(
        state.name, known, plan.title, lost, step.title, short_day(step.day), _slack(plan, step), step.late, step.day
    )


def _slack(plan: Running, step: Step) -> str:
    """How much time is left to begin: to the end of its window, wherever today is."""
    left = (step.until - plan.turn.now.day).days
    if step.late:
        return f"{step.late} day{'s' if step.late > 1 else ''} late"
    if step.by_sight:
        return "by what you see"
    return f"{left} day{'' if left == 1 else 's'} of slack" if left else "today is the last day"
