"""A lawn, whole, as plain data: its journal with what was taken back, so that it goes to another home and comes back the same."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Any

from assistant.lawn import events as kinds
from assistant.lawn.events import Event

FORMAT = 1
LONGEST_TEXT = 4_000  # characters of one text
MOST_EVENTS = 100_000
_DEEPEST = 12  # of a body: nothing of ours nests so far
_KINDS = {
    kinds.TOLD,
    kinds.STARTED,
    kinds.DONE,
    kinds.MOVED,
    kinds.SKIPPED,
    kinds.SEEN,
    kinds.MOWED,
    kinds.HELD,
    kinds.LIFTED,
    kinds.USED,
    kinds.RESOWN,
    kinds.JOINED,
    kinds.NOTE,
    kinds.UNDONE,
}
_FIELDS = ("seq", "turn", "kind", "text", "said_on", "happened_on", "body", "voids")


class NotALawn(ValueError):
    """A file that holds no lawn of ours; the message says where and what to do."""


def to_plain(lawn: str, events: Iterable[Event]) -> dict[str, Any]:
    """The journal of a lawn as plain data; what is empty is left out."""
    rows = []
    seqs: dict[int, int] = {}
    turns: dict[int, int] = {}
    for place, event in enumerate(events, 1):  # numbered afresh: the same lawn gives the same file in any home
        seqs[event.seq] = place
        row = {name: getattr(event, name) for name in _FIELDS}
        row |= {"seq": place, "turn": turns.setdefault(event.turn, place), "voids": [seqs[one] for one in event.voids]}
        rows.append({name: value for name, value in row.items() if value not in ("", [], {})})
    return {"ligule": FORMAT, "lawn": lawn, "events": rows}


def from_plain(data: Any, lawn: str = "") -> list[Event]:
    """The events of such data, under its own name or another; raises NotALawn with the entry that cannot be used."""
    if not isinstance(data, dict) or "ligule" not in data or not isinstance(data.get("events"), list):
        raise NotALawn("It is no lawn of ligule: it needs ligule, lawn and events. Make one with ligule export.")
    if data["ligule"] != FORMAT:
        raise NotALawn(f"It is of form {data['ligule']!r}; this ligule reads form {FORMAT}. Use the one that wrote it.")
    name = lawn or data.get("lawn")
    if not isinstance(name, str) or not name.strip():
        raise NotALawn("It names no lawn. Give one with --lawn NAME.")
    if len(data["events"]) > MOST_EVENTS:
        raise NotALawn(f"It holds {len(data['events']):,} events and at most {MOST_EVENTS:,} are read.")
    seen: set[int] = set()
    made = []
    for place, row in enumerate(data["events"], 1):
        problem = _problem(row, seen)
        if problem:
            raise NotALawn(f"Event {place}: {problem}")
        seen.add(row["seq"])
        event = Event(row["kind"], "", row.get("text", ""), row["said_on"], row.get("happened_on", ""))
        made.append(
            replace(
                event,
                lawn=name,
                body=row.get("body", {}),
                voids=tuple(row.get("voids", ())),
                seq=row["seq"],
                turn=row["turn"],
            )
        )
    return made


def _problem(row: Any, seen: set[int]) -> str:
    """What is wrong with an entry; empty where nothing is."""
    if not isinstance(row, dict):
        return "is no mapping."
    extra = sorted(set(row) - set(_FIELDS), key=str)
    if extra:
        return f"has the field {extra[0]!r}, which an event does not have."
    if row.get("kind") not in _KINDS:
        return f"is of the kind {row.get('kind')!r}, which this ligule does not know."
    for name in ("seq", "turn"):
        if type(row.get(name)) is not int or row[name] < 1:
            return f"needs {name} as a whole number."
    if row["seq"] in seen:
        return f"has the number {row['seq']}, which another one has."
    for name in ("said_on", "happened_on"):
        if name in row and not _is_day(row[name]):
            return f"has {name} {row[name]!r}; write a day such as 2026-09-05 in quotes."
    if "said_on" not in row:
        return "needs said_on, a day such as 2026-09-05."
    text = row.get("text", "")
    if not isinstance(text, str) or len(text) > LONGEST_TEXT:
        return f"needs text of at most {LONGEST_TEXT:,} characters."
    if not isinstance(row.get("body", {}), dict) or not _is_plain(row.get("body", {}), _DEEPEST):
        return "has a body that is no plain data."
    voids = row.get("voids", [])
    if not isinstance(voids, list) or not all(type(one) is int and one in seen for one in voids):
        return "takes back something that does not stand before it."
    return ""


def _is_day(text: Any) -> bool:
    try:
        return isinstance(text, str) and date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _is_plain(value: Any, depth: int) -> bool:
    """True for what JSON can hold, not nested without end."""
    if isinstance(value, dict):
        return depth > 0 and all(isinstance(key, str) and _is_plain(one, depth - 1) for key, one in value.items())
    if isinstance(value, list):
        return depth > 0 and all(_is_plain(one, depth - 1) for one in value)
    if isinstance(value, float):
        return value == value and abs(value) != float("inf")
    return value is None or isinstance(value, str | int | bool)
