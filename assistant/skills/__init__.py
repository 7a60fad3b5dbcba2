"""One file a topic. Filled slots and a lawn become an Answer; nothing here parses, writes or prints.

`feed.amount` is `amount` in feed.py: a new topic is a new file, and no list has to be kept.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from assistant.answer import Answer


def skill_of(intent: str) -> Callable[..., Answer]:
    """The function that answers an intent, loaded when it is first asked."""
    topic, _, action = intent.partition(".")
    found: Callable[..., Answer] = getattr(import_module(f"assistant.skills.{topic}"), action)
    return found
