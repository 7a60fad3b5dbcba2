"""One file a topic. Filled slots and a lawn become an Answer; nothing here parses, writes or prints.

`feed.amount` is `amount` in feed.py: a new topic is a new file, and no list has to be kept. An intent whose answer lives
elsewhere names it under `skill`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from importlib import import_module
from typing import Any

from assistant.answer import Answer
from assistant.skills.turn import Turn

_SAYS_AGAIN = {"factor", "again"}


def answer_of(turn: Turn, entry: Mapping[str, Any]) -> Answer:
    """The answer to a reading whose slots are filled, with what was said of its amount: twice, at half the rate."""
    parse = turn.parse
    answer = skill_of(parse.intent, entry)(turn, **parse.slots)
    if any(one.of == "time" for one in parse.amounts) or any(name.type in _SAYS_AGAIN for name in parse.names):
        from assistant.skills.repeats import repeated

        return repeated(turn, answer)
    return answer


def skill_of(intent: str, entry: Mapping[str, Any]) -> Callable[..., Answer]:
    """What answers an intent, loaded when it is first asked: the formula its file names, or a function of its topic."""
    if entry.get("works"):
        from assistant.skills.worked import by_formula

        return partial(by_formula, works=entry["works"])
    found: Callable[..., Answer] = _named(str(entry.get("skill") or intent))
    return found


def meanwhile(turn: Turn, entry: Mapping[str, Any], asked: Answer) -> Answer:
    """A question back, with what can be said already of what was told: the rate of a grass, before the area is known."""
    if not entry.get("meanwhile"):
        return asked
    headline, lines, sources = _named(entry["meanwhile"])(turn, **turn.parse.slots)
    return replace(asked, headline=headline, lines=(*lines, *asked.lines), sources=turn.cite(*sources))


def _named(name: str) -> Any:
    """The function of a topic, loaded when it is first needed: `seed.amount`."""
    topic, _, action = name.partition(".")
    return getattr(import_module(f"assistant.skills.{topic}"), action)
