"""An answer: figures with what they are of, the working, where every input came from, and what may be recorded.

The same answer feeds the plain terminal, the JSON and every later screen, so it prints nothing itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from assistant.lawn import events as kinds
from assistant.lawn.events import Event, fact_from_plain
from assistant.terms import Amount, Name, Parse, Slot, capital, day_words
from assistant.wording import written

# Exit codes of a one-shot question hang on these.
ANSWERED, RECORDED, ASKS, UNSURE, OUT_OF_SCOPE, REFUSED = (
    "answered",
    "recorded",
    "asks",
    "unsure",
    "out_of_scope",
    "refused",
)

_DEFAULT_UNITS = {"kph": "kilometer / hour"}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of an answer: a number with a unit, a range, or a day."""

    label: str
    of: str = ""
    low: float = 0.0
    high: float = 0.0
    unit: str = ""
    per: str = ""
    day: date | None = None
    until: date | None = None

    def to_plain(self) -> dict[str, Any]:
        made: dict[str, Any] = {"label": self.label}
        if self.of:
            made["of"] = self.of
        if self.day is not None:
            if self.until is not None and self.until != self.day:
                return {**made, "from": self.day.isoformat(), "to": self.until.isoformat()}
            return {**made, "date": self.day.isoformat()}
        ends = (
            {"value": tidy(self.low)}
            if tidy(self.low) == tidy(self.high)
            else {"low": tidy(self.low), "high": tidy(self.high)}
        )
        made |= {**ends, "unit": _DEFAULT_UNITS.get(self.unit, self.unit)}
        if self.per:
            made["per"] = self.per
        return made


@dataclass(frozen=True, slots=True)
class Source:
    """A source as it is shown: its key, title, and who printed it when."""

    key: str
    title: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Ask:
    """A question back: the slot it fills, in words, with the choices where there are some."""

    slot: str
    words: str
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """What a skill gives. `lines` is what stands under the headline; `events` are proposed, not yet written."""

    status: str
    headline: str
    topic: str = "other"
    intent: str = "out_of_scope"
    verdict: str | None = None
    figures: tuple[Figure, ...] = ()
    lines: tuple[str, ...] = ()
    working: tuple[str, ...] = ()
    inputs: tuple[Slot, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()
    asks: Ask | None = None
    choices: tuple[str, ...] = ()
    events: tuple[Event, ...] = ()
    changes: tuple[str, ...] = ()
    why: tuple[str, ...] = ()  # the chain behind the figures, for "why"
    leads_to: str = ""  # the question that works it out, asked on "work it out"


def tidy(value: float) -> float | int:
    """A number for the JSON: without the dust of binary fractions, whole where it is whole."""
    rounded = float(f"{value:.10g}")
    return int(rounded) if rounded.is_integer() and abs(rounded) < 1e15 else rounded


def describe(event: Event) -> str:
    """The one line that says what an event changed."""
    lawn = capital(event.lawn) if event.lawn else "Notes"
    if event.kind == kinds.TOLD:
        facts = [_fact_words(name, data) for name, data in event.body["facts"].items()]
        return f"{lawn}: {', '.join(facts)}"
    if event.kind == kinds.STARTED:
        return f"{lawn}: {event.body['rules']['name']} started"
    if event.kind == kinds.DONE:
        return f"{lawn}: {event.body.get('title', event.body['step'])} done on {day_words(date.fromisoformat(event.happened_on))}"
    if event.kind == kinds.MOVED:
        return f"{lawn}: {event.body.get('title', event.body['step'])} moved to {day_words(date.fromisoformat(event.body['day']))}"
    if event.kind == kinds.SKIPPED:
        return f"{lawn}: {event.body.get('title', event.body['step'])} skipped"
    if event.kind == kinds.STOCKED:
        return f"Shelf: {event.text}"
    if event.kind == kinds.MOWED:
        return f"{lawn}: mowed on {day_words(date.fromisoformat(event.happened_on))}"
    if event.kind == kinds.USED:
        return f"{lawn}: {event.body['title']} on {day_words(date.fromisoformat(event.happened_on))}"
    if event.kind == kinds.SEEN:
        return f"{lawn}: {event.body['what'].replace('_', ' ')} on {day_words(date.fromisoformat(event.happened_on))}"
    if event.kind in (kinds.HELD, kinds.LIFTED):
        until = f" to {day_words(date.fromisoformat(event.body['until']))}" if event.body.get("until") else ""
        return f"{lawn}: {'no longer: ' if event.kind == kinds.LIFTED else ''}{event.body['what']}{until}"
    if event.kind in (kinds.RESOWN, kinds.JOINED):
        return f"{lawn}: {event.body['part']} {'sown again' if event.kind == kinds.RESOWN else 'with the rest again'}"
    if event.kind == kinds.NOTE:
        return f"{lawn}: note kept"
    return f'{lawn}: "{event.text}" taken back' if event.lawn else f'"{event.text}" taken back'


def _fact_words(name: str, data: dict[str, Any]) -> str:
    value = fact_from_plain(data)
    if not isinstance(value, Amount):
        return data["called"]
    words = amount_words(value)
    return words if name == "area" else f"{name.replace('_', ' ')} {words}"


def amount_words(amount: Amount) -> str:
    """An amount as it is said back, without pint."""
    if amount.kind == "date":
        return day_words(amount.day)
    if isinstance(amount.low, tuple) and amount.kind not in ("size", "analysis"):
        return f"{', '.join(f'{value:g}' for value in amount.low)} {amount.unit}".strip()
    if isinstance(amount.low, tuple):
        joiner = "-" if amount.kind == "analysis" else " x "
        sides = joiner.join(f"{value:g}" for value in amount.low)
        return sides if amount.kind == "analysis" else f"{sides} {amount.unit}"
    return written(float(amount.low), float(amount.high), amount.unit, amount.per)


# to JSON -------------------------------------------------------------------------------------------------------------


def to_json(parse: Parse, answer: Answer) -> dict[str, Any]:
    """The one object a question, as the design fixes it."""
    return {
        "question": parse.text,
        "status": answer.status,
        "topic": answer.topic,
        "intent": answer.intent,
        "confidence": parse.confidence,
        "understood": {
            "amounts": [amount_to_plain(amount) for amount in parse.amounts],
            "names": [_name(name) for name in parse.names if name.type not in ("asked", "in_unit", "asked_per")],
        },
        "headline": answer.headline or (answer.asks.words if answer.asks else ""),
        "verdict": answer.verdict,
        "figures": [figure.to_plain() for figure in answer.figures],
        "working": list(answer.working),
        "inputs": [entry for slot in answer.inputs for entry in _inputs(slot)],
        "cautions": list(answer.cautions),
        "sources": [{"key": source.key, "title": source.title} for source in answer.sources],
        "asks": answer.asks.words if answer.asks else None,
        "choices": list(answer.choices or (answer.asks.choices if answer.asks else ())),
        "changes": list(answer.changes),
        "text": to_text(answer),
    }


def line_to_json(answered: list[tuple[Parse, Answer]]) -> dict[str, Any]:
    """One object for one line. Further questions of the line stand whole under `also`, and in the text of the first."""
    first, *more = (to_json(parse, answer) for parse, answer in answered)
    if not more:
        return first
    text = "\n".join(one["text"] for one in (first, *more))
    return {**first, "text": text, "also": more}


def amount_to_plain(amount: Amount) -> dict[str, Any]:
    """An amount of the question for other programs."""
    kind = amount.kind if amount.kind in ("size", "analysis") or not isinstance(amount.low, tuple) else amount.kind[:-1]
    made: dict[str, Any] = {"text": amount.text, "kind": kind, **_value(amount)}
    if amount.of:
        made["of"] = amount.of
    if amount.bound:
        made["bound"] = amount.bound
    if amount.assumed:
        made["assumed"] = amount.assumed
    return made


def _value(amount: Amount) -> dict[str, Any]:
    if amount.kind == "date":
        return {"date": amount.low}
    made: dict[str, Any]
    if isinstance(amount.low, tuple):
        made = {"value": [tidy(value) for value in amount.low]}
    elif amount.single:
        made = {"value": tidy(float(amount.low))}
    else:
        made = {"low": tidy(float(amount.low)), "high": tidy(float(amount.high))}
    if amount.kind != "analysis":
        units = [_DEFAULT_UNITS.get(unit, unit) for unit in amount.units]
        made["unit"] = units if len(units) > 1 else (units[0] if units else "")
    if amount.per:
        made["per"] = amount.per
    return made


def _name(name: Name) -> dict[str, str]:
    return {"text": name.text, "id": name.id}


def _inputs(slot: Slot) -> list[dict[str, Any]]:
    base = {"name": slot.name, "from": slot.origin, "why": slot.why}
    if slot.source:
        base["source"] = slot.source
    return [
        {**base, **(_value(value) if isinstance(value, Amount) else {"value": str(value)})} for value in slot.values
    ]


# to text -------------------------------------------------------------------------------------------------------------


def to_text(answer: Answer) -> str:
    """The answer as the plain terminal prints it."""
    rows = [answer.headline] if answer.headline else []
    rows += [f"  {line}" for line in answer.lines]
    rows += [f"  {line}" for line in answer.working]
    rows += [f"  Caution: {caution}" for caution in answer.cautions]
    if answer.sources:
        rows.append("  Source: " + "; ".join(source.words or source.title for source in answer.sources) + ".")
    rows += [f"{change}. Recorded." for change in answer.changes if answer.headline != f"{change}. Recorded."]
    if answer.asks:
        rows.append(answer.asks.words)
    rows += [
        f"  {place}. {choice}"
        for place, choice in enumerate(answer.choices or (answer.asks.choices if answer.asks else ()), 1)
    ]
    return "\n".join(rows)
