"""What is written down: events, one after another, never changed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from assistant.terms import Amount

# What a kind of event holds in its body:
TOLD = "told"  # facts: {name: fact}
STARTED = "started"  # program, rules: the rules as they stood on that day
DONE = "done"  # step, and what was put down
MOVED = "moved"  # step, day, and until where it is moved with its window
SKIPPED = "skipped"  # step
SEEN = "seen"  # what: up, not_up, patchy, washed, frost
MOWED = "mowed"  # nothing
HELD = "held"  # what, kinds or products, until: what keeps steps off those days
LIFTED = "lifted"  # what: a hold that is over
USED = "used"  # what: something put down that is no step of a program
RESOWN = "resown"  # part: a part of the lawn that has its own seed day from here on
JOINED = "joined"  # part: it goes with the rest again
STOCKED = "stocked"  # item, and what is known of it or how much came in: the user's shelf, no lawn
NOTE = "note"  # nothing: the text is the note
UNDONE = "undone"  # nothing: `voids` says what is taken back
OF_USER = (STOCKED, UNDONE)  # these may stand on no lawn


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that was said of a lawn. `seq` and `turn` are given by the store; events told in one line share a turn.

    `happened_on` and `said_on` are ISO dates; `voids` the events that this one takes back.
    """

    kind: str
    lawn: str
    text: str
    said_on: str
    happened_on: str = ""
    body: dict[str, Any] = field(default_factory=dict)
    voids: tuple[int, ...] = ()
    seq: int = 0
    turn: int = 0

    @property
    def went_down(self) -> str:
        """What was in the tank, or was used or done besides the steps of a program; empty for anything else."""
        return str(self.body.get("tank") or self.body.get("what") or "")

    @property
    def tells_seed_day(self) -> bool:
        """True where it was told on which day the seed went down, or will."""
        return "seed_day" in self.body.get("facts", ())


def fact_to_plain(value: Any, called: str = "") -> dict[str, Any]:
    """A fact as plain data: an amount, or a thing by its id and by what it was called when it was told."""
    return {"amount": value.to_plain()} if isinstance(value, Amount) else {"name": str(value), "called": called}


def fact_from_plain(data: dict[str, Any]) -> Any:
    return Amount.from_plain(data["amount"]) if "amount" in data else data["name"]


def standing(events: Iterable[Event]) -> list[Event]:
    """Those that stand, oldest first: neither taken back nor what takes back. What takes back may itself be taken back."""
    told, void, live = list(events), set[int](), []
    for event in reversed(told):
        if event.seq in void:
            continue
        if event.kind == UNDONE:
            void.update(event.voids)
        else:
            live.append(event)
    return live[::-1]


def taken_back(events: Iterable[Event], day: date) -> tuple[Event, ...]:
    """What takes events back, one event for each lawn they are of."""
    of_lawn: dict[str, list[Event]] = {}
    for event in events:
        of_lawn.setdefault(event.lawn, []).append(event)
    on = day.isoformat()
    return tuple(
        Event(UNDONE, lawn, told[0].text, on, on, voids=tuple(event.seq for event in told))
        for lawn, told in of_lawn.items()
    )
