"""The one table of what can be done by a key: it feeds the keys, the row at the foot, the help, the palette and `go ...`."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.interfaces.actions import GOODBYES


@dataclass(frozen=True, slots=True)
class Action:
    """One thing to do: the key, what is typed for it, what it is called at the foot, and what it does in words."""

    id: str
    key: str
    typed: str
    short: str
    words: str
    at_foot: bool = True


ACTIONS = (
    Action("keys", "f1", "go keys", "keys", "every key, and what can be typed instead"),
    Action("walk", "f2", "go walk", "walk", "the stages of the lawn in view"),
    Action("lawns", "f3", "go lawns", "lawns", "all lawns: what each has lost, what is due, its slack"),
    Action("shelf", "f4", "go shelf", "shelf", "what is on the shelf, and what to buy"),
    Action("record", "f5", "go record", "record", "everything told of this lawn; take the last thing back"),
    Action("form", "f6", "go form", "lawn", "a new lawn, or the facts of this one, as a short form"),
    Action("earlier", "f7", "go back", "back", "the stage before", False),
    Action("later", "f8", "go on", "on", "the stage behind", False),
    Action("hand", "f9", "go now", "now", "the stage in hand"),
    Action("take_back", "ctrl+t", "go undo", "undo", "take back what was told last of this lawn", False),
    Action("next_lawn", "ctrl+n", "go next", "next lawn", "the next lawn of the record", False),
    Action("hush", "ctrl+g", "go hush", "clear", "put the answers away", False),
    Action("shade", "ctrl+b", "go light", "light", "light paper or dark soil", False),
    Action("swap", "escape", "", "page or line", "from the question line to the page and back", False),
    Action("command_palette", "ctrl+p", "", "find", "find any of these by its words"),
    Action("quit", "ctrl+q", "quit", "leave", "leave; everything told is on the record already"),
)
PAGES = ("walk", "lawns", "shelf", "record", "form")


def typed_action(line: str) -> str:
    """The action that a typed line stands for; empty for a question or a statement."""
    words = " ".join(line.lower().split())
    if words in GOODBYES:
        return "quit"
    return next((action.id for action in ACTIONS if action.typed and action.typed == words), "")


def key_words(key: str) -> str:
    """A key as it stands on the keyboard."""
    return {"escape": "Esc"}.get(key, key.upper() if key.startswith("f") else key.replace("ctrl+", "^"))
