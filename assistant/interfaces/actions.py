"""What is one key away in the chat. This table feeds the bottom line, the list of keys, Tab and the README."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Action:
    """`key` may be empty: then only the typed form does it. `says` is the line that goes to the dialogue."""

    id: str
    key: str
    typed: str
    words: str
    says: str = ""


KEYS = "keys"
LEAVE = "leave"

ACTIONS = (
    Action(KEYS, "f1", "keys", "this list"),
    Action("why", "f2", "why", "where the figures came from, and the pages behind them", "why"),
    Action("working", "f3", "show the working", "the sum, step by step", "show the working"),
    Action("next", "f4", "what's next", "the next step on this lawn", "what's next"),
    Action("plan", "f5", "show me the plan", "every dated step, on the tape", "show me the plan"),
    Action("due", "f6", "what's due this week", "all lawns, and what to load", "what's due this week"),
    Action("metric", "f7", "in metric", "the last answer in metric", "in metric"),
    Action("work", "f8", "work it out", "the sum that an answer offers", "work it out"),
    Action("sources", "", "says who", "who printed the figures, and where", "says who"),
    Action("shorter", "", "shorter", "the last answer in a line; tell me more has it in full", "shorter"),
    Action("back", "", "back to the seed", "an earlier question of this talk", "back to the seed"),
    Action("left", "", "never mind", "leaves the question that is open", "never mind"),
    Action("undo", "", "undo", "take back the last thing recorded", "undo"),
    Action("note", "", "note: ...", "keep a line as it is said"),
    Action("help", "", "help", "what can be asked", "help"),
    Action(LEAVE, "", "quit", "leave; so does Ctrl-D"),
)
MANNERS = (  # what the keyboard does besides, in the words of the list of keys
    ("Tab", "names and questions that fit, with what they are"),
    ("Right", "takes the grey words, from what was asked before"),
    ("Up", "what was asked before on this lawn; Ctrl-R searches it"),
    ("Ctrl-C", "drops the line, or stops an answer"),
    ("Ctrl-D", "leaves; what was told is on record already"),
)
GOODBYES = {"quit", "exit", "bye", "q"}


def key_of(action: str) -> str:
    """`F2`, as it stands on the screen."""
    return next(one.key.upper() for one in ACTIONS if one.id == action)


def beside(*actions: str) -> str:
    """Keys with what is typed instead, for the bottom line: `F2 why  F1 keys`."""
    return "  ".join(f"{one.key.upper()} {one.typed}" for name in actions for one in ACTIONS if one.id == name)


def typed(line: str) -> Action | None:
    """The action that the chat itself does for a typed line; the dialogue answers all others."""
    said = line.strip().lower()
    if said in GOODBYES:
        return next(one for one in ACTIONS if one.id == LEAVE)
    return next((one for one in ACTIONS if one.typed == said and not one.says), None)
