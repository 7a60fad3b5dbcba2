"""What went wrong: one question at a time until the cause is known, with what was ruled out and why."""

from __future__ import annotations

from typing import Any

from assistant.answer import ANSWERED, ASKS, Answer, Ask, Figure
from assistant.skills.diagnosis import UNKNOWN, Standing, best_question, known, standings
from assistant.skills.practice import figures_of, see_also
from assistant.skills.turn import Turn
from assistant.terms import Slot

_SEASONS = {**dict.fromkeys((12, 1, 2), "winter"), **dict.fromkeys((3, 4, 5), "spring")}
_SEASONS |= {**dict.fromkeys((6, 7), "summer"), **dict.fromkeys((8, 9, 10, 11), "fall")}
_GRASSES = {
    "perennial_ryegrass": "rye",
    "annual_ryegrass": "rye",
    "tall_fescue": "fescue",
    "kentucky_bluegrass": "bluegrass",
}
_NAMED = 3  # causes that are named beside the first


def diagnose(turn: Turn, complaint: Slot, **told: Slot | None) -> Answer:
    """Ask what splits the causes that are left best; stop as soon as one is known, or nothing more can tell them apart."""
    data = turn.knowledge.section("troubles")
    causes, questions = data["causes"], data["questions"]
    key = str(complaint.value).partition(".")[2]
    answers = {**_facts(turn), **{name: str(slot.value) for name, slot in told.items() if slot and name in questions}}
    every = standings(causes, key, answers)
    left = [one for one in every if not one.ruled_out_by]
    if not left:
        words = "Nothing I know of fits all of those answers. Show a photo and a plug of soil to the county extension office."
        return Answer(ANSWERED, words, lines=tuple(_ruled_out(data, every, answers)))
    bare = data["complaints"][key].get("bare") or answers.get("up") == "nothing"  # no leaf to look at
    open_ones = {name: one for name, one in questions.items() if not (bare and one.get("of_plants"))}
    answered = sum(name in told for name in answers)
    question = "" if known(left, answered) else best_question(causes, open_ones, left, answers)
    if question:
        return _asks(data, every, left, answers, question)
    return _found(turn, data, every, left, answers)


def _facts(turn: Turn) -> dict[str, str]:
    """What the day and the record answer by themselves."""
    made = {"season": _SEASONS[turn.now.day.month]}
    facts = turn.lawn.facts if turn.lawn else {}
    grass = str(facts["species"].value).partition(".")[2] if "species" in facts else ""
    if grass:
        made["grass"] = _GRASSES.get(grass, "other")
    if "seed_day" in facts:
        rows = turn.knowledge.rows(f"species.{grass}.days_to_germinate") if grass else []
        row = rows[0] if rows else turn.knowledge.rows("seeding.emergence")[0]
        age = (turn.now.day - facts["seed_day"].amount.day).days
        if age >= 0:
            made["days_since"] = "under" if age <= float(row.amount.high) else "over"
    return made


def _asks(
    data: dict[str, Any], every: list[Standing], left: list[Standing], answers: dict[str, str], question: str
) -> Answer:
    entry = data["questions"][question]
    names = [data["causes"][one.cause]["name"] for one in left[:_NAMED]]
    more = f" and {len(left) - _NAMED} more" if len(left) > _NAMED else ""
    lines = (
        [f"{len(left)} causes fit so far: {', '.join(names)}{more}."] if len(answers) > 1 or len(left) <= _NAMED else []
    )
    lines += _ruled_out(data, every, answers, newest=True)
    choices = tuple(answer["label"] for answer in entry["answers"].values())
    return Answer(
        ASKS,
        "",
        topic="trouble",
        lines=tuple(lines),
        asks=Ask(question, f'{entry["ask"]} (or say "don\'t know")', choices),
    )


def _ruled_out(data: dict[str, Any], every: list[Standing], answers: dict[str, str], newest: bool = False) -> list[str]:
    """What was ruled out, by the answer that did it; while questions run, only what the last answer did."""
    made = []
    for question in [*answers][-1:] if newest else [*answers]:
        gone = [data["causes"][one.cause]["name"] for one in every if one.ruled_out_by == question]
        if gone and answers[question] != UNKNOWN:
            label = data["questions"][question]["answers"][answers[question]]["label"]
            made.append(f'Ruled out by "{label}": {", ".join(gone)}.')
    return made


def _found(
    turn: Turn, data: dict[str, Any], every: list[Standing], left: list[Standing], answers: dict[str, str]
) -> Answer:
    cause = data["causes"][left[0].cause]
    figures, say = figures_of(turn, cause)
    alike = [one for one in left[1:] if left[0].score - one.score < 1]
    sure = "Most likely" if not alike else "Likeliest of those that still fit"
    lines = [
        cause["tells"].format_map(say),
        f"Now: {cause['now'].format_map(say)}",
        f"Next time: {cause['next_time'].format_map(say)}",
    ]
    lines += _reseed(turn, cause["reseed"])
    for other in (data["causes"][one.cause] for one in alike[:2]):
        lines.append(f"As likely: {other['name']}. {other['tells'].format_map(figures_of(turn, other)[1])}")
    lines += _ruled_out(data, every, answers)
    lines += see_also(turn, cause)
    told = cause.get("source")
    keys = [*(told if isinstance(told, list) else [told]), *(key for one in figures.values() for key in one.sources)]
    cautions = turn.knowledge.section("cautions")
    made: tuple[Figure, ...] = tuple(figure for one in figures.values() for figure in one.made)
    return Answer(
        ANSWERED,
        f"{sure}: {cause['name']}",
        topic="trouble",
        figures=made,
        lines=tuple(lines),
        cautions=tuple(cautions[name] for name in cause.get("cautions") or ()),
        sources=turn.cite(*dict.fromkeys(key for key in keys if key)),
    )


def _reseed(turn: Turn, advice: str) -> list[str]:
    """Whether sowing again can still make the season: the window of the lawn's place decides, where it is known."""
    if advice == "not_needed":
        return ["Sowing again is not needed."]
    if advice == "next_window":
        return ["Sow again in the next window, once the cause is gone."]
    from assistant.skills.windows import closes

    facts = turn.lawn.facts if turn.lawn else {}
    last = closes(turn, facts.get("species"), facts.get("state"))
    first = (
        "Once the cause is gone, sow the bare parts again"
        if advice == "after_cause_gone"
        else "Sow the bare parts again"
    )
    if last is None:
        return [f'{first} if the season still allows it: ask "is it too late to seed" with your state.']
    days = (last - turn.now.day).days
    if days < 0:
        return [f"The fall window closed {-days} days ago: sow again in spring, or dormant."]
    return [f"{first}: {days} days are left of the fall window."]
