"""Small calculators without a screen: a question with holes, filled from the lawn, and which hole an answer fails on."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, REFUSED, Answer
from assistant.interfaces.walk.desk import Desk
from assistant.knowledge_base import row_of
from assistant.skills.stages import Start
from assistant.skills.turn import Turn
from assistant.terms import Parse
from assistant.wording import written

_HOLE = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole of a question: what it is called, what it begins with and where that is from, how it is written."""

    name: str
    label: str
    start: str = ""
    origin: str = ""
    like: str = ""
    says: str = ""  # how it joins the question where it may be left open


@dataclass(frozen=True, slots=True)
class Work:
    """One small calculator. `keep` are the lines that put its result on the record."""

    key: str
    title: str
    line: str
    holes: tuple[Hole, ...]
    keep: tuple[str, ...] = ()

    def question(self, values: Mapping[str, str]) -> str:
        """The typed line; empty while a hole that it needs is open."""
        needed = set(_HOLE.findall(self.line))
        if any(not values.get(name, "").strip() for name in needed):
            return ""
        line = _HOLE.sub(lambda hole: values[hole[1]].strip(), self.line)
        for hole in self.holes:
            text = values.get(hole.name, "").strip()
            if hole.says and text:
                line += ", " + (hole.says.format(text) if _bare(text) else text)
        return line


@dataclass(frozen=True, slots=True)
class Result:
    """What a calculator shows: the answer, the complaint of each hole, the holes that are still open."""

    answer: Answer | None = None
    wrong: dict[str, str] = field(default_factory=dict)
    open: tuple[str, ...] = ()
    line: str = ""


def works_of(turn: Turn, keys: tuple[str, ...], starts: dict[str, Start]) -> list[Work]:
    """The calculators of a stage that have something to work on."""
    entries = turn.knowledge.entry("walk.works")
    return [
        _work(key, entries[key], starts) for key in keys if "only" not in entries[key] or entries[key]["only"] in starts
    ]


def weather_of(desk: Desk, key: str, starts: dict[str, Start]) -> Work:
    """The question whether the day is fit, with what its intent lets one tell of the weather."""
    knowledge = desk.session.knowledge
    made = _work(f"weather.{key}", knowledge.entry(f"walk.weather.{key}"), starts)
    parse, _ = desk.try_out(made.question({hole.name: hole.start or hole.like for hole in made.holes}))[0]
    taken = knowledge.section("intents")[parse.intent]["may_have"] if parse.intent != "out_of_scope" else ()
    adds = {name: one for name, one in knowledge.entry("walk.adds").items() if name in taken}
    more = tuple(Hole(name, one["label"], like=one["like"], says=one["says"]) for name, one in adds.items())
    return Work(made.key, "", made.line, (*made.holes, *more))


def _work(key: str, entry: dict[str, Any], starts: dict[str, Start]) -> Work:
    holes = tuple(_hole(name, one, starts) for name, one in entry.get("fields", {}).items())
    return Work(key, entry.get("title", ""), entry["line"], holes, tuple(entry.get("keep", ())))


def _hole(name: str, entry: dict[str, Any], starts: dict[str, Start]) -> Hole:
    start = starts.get(entry.get("from", ""))
    if start is None and "usual" in entry:
        row = row_of(entry["usual"])
        amount = row.amount
        start = Start(written(float(amount.low), float(amount.high), amount.unit, amount.per), row.source)
    words, origin = (start.words, start.origin) if start else ("", "")
    return Hole(name, entry["label"], words, origin, str(entry.get("like", "")))


def work_out(desk: Desk, work: Work, values: Mapping[str, str]) -> Result:
    """The answer to a calculator's question; where it has none, the hole that is to blame, each with its sentence."""
    line = work.question(values)
    open_ones = tuple(hole.name for hole in work.holes if not hole.says and not values.get(hole.name, "").strip())
    wrong: dict[str, str] = {}
    told = {name for name, text in values.items() if text.strip()}
    if line and not open_ones:
        found = desk.try_out(line)
        if _good(found, told):
            return Result(found[0][1], line=line)
    for hole in work.holes:
        text = values.get(hole.name, "").strip()
        if text and text != hole.start:
            complaint = complaint_of(desk, work, hole, text)
            if complaint:
                wrong[hole.name] = complaint
    if wrong or open_ones:
        return Result(None, wrong, open_ones)
    return Result(found[-1][1], line="")


def complaint_of(desk: Desk, work: Work, hole: Hole, text: str) -> str:
    """What is wrong with one hole, the others being filled soundly; empty where it can be read."""
    sound = {one.name: one.start or one.like for one in work.holes if not one.says}
    line = work.question({**sound, hole.name: text})
    found = desk.try_out(line)
    if _good(found, {hole.name}):
        return ""
    answer = found[-1][1]
    if len(found) == 1 and answer.status == REFUSED:
        return answer.headline
    return f'"{text}" is no {hole.label} that I can read; for example {hole.like or hole.start}.'


def _good(found: list[tuple[Parse, Answer]], told: set[str]) -> bool:
    """True where one reading took every hole as what it was meant to be and left no word over."""
    if len(found) != 1:
        return False
    parse, answer = found[0]
    taken = all(name in parse.slots and parse.slots[name].origin == "said" for name in told)
    fine = answer.status in (ANSWERED, RECORDED) or (answer.status == ASKS and bool(answer.headline))
    return fine and taken and not parse.unread


def kept_lines(work: Work, values: Mapping[str, str], answer: Answer) -> list[str]:
    """The lines that put a result on the record: those of the calculator, else a note of it."""
    result = answer.headline.rstrip(".")
    if not work.keep:
        working = f" ({answer.working[0]})" if answer.working else ""
        return [f"note: {work.title}: {result}{working}"]
    lines = [
        _HOLE.sub(lambda hole: result if hole[1] == "result" else values[hole[1]].strip(), one) for one in work.keep
    ]
    said = {text.strip() for text in values.values()}
    return lines[:1] if result in said else lines  # nothing was measured where the result itself was typed


def _bare(text: str) -> bool:
    """True for a figure without its measure, which then gets the one of its hole."""
    return text.replace(".", "", 1).lstrip("-").isdigit()
