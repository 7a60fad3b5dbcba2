"""Which of the answers offered a reply means."""

from __future__ import annotations

import re
from collections.abc import Container, Sequence
from typing import Any

from assistant.parsing import Vocabulary
from assistant.skills.diagnosis import UNKNOWN

_WORD = re.compile(r"[a-z]+")
_SHORT = 8  # words of a reply; a longer line is a question of its own


def picked(text: str, vocabulary: Vocabulary, count: int, sizes: Sequence[float] = ()) -> int | None:
    """The place of the thing offered that a reply picks: `2`, `the second one`, `the bigger one`; None where it picks none."""
    pick = vocabulary.picks.get(text.lower().strip(" .!#,?"))
    if pick is None or not count:
        return None
    if pick in ("bigger", "smaller"):
        return sizes.index(max(sizes) if pick == "bigger" else min(sizes)) if sizes else None
    place = count - 1 if pick == "last" else int(pick) - 1
    return place if place < count else None


def by_name(text: str, choices: Sequence[str]) -> int | None:
    """The place of the one thing offered whose name holds every word of a short reply: `light` for `light liquid program: ...`."""
    words = set(_WORD.findall(text.lower()))
    held = [n for n, one in enumerate(choices) if words <= set(_WORD.findall(one.lower().partition(":")[0]))]
    return held[0] if words and len(held) == 1 else None


def answer_meant(text: str, answers: dict[str, Any], unsure: bool, small: Container[str] = ()) -> str | None:
    """The key of the answer: by its number, by a phrase it is called, by most of its words; `unknown` for don't know.

    None where the reply is none of them. `small` are words that tell nothing.
    """
    reply = text.lower().strip(" .!?#")
    if unsure or not reply:
        return UNKNOWN
    keys = list(answers)
    if reply.isdigit():
        return keys[int(reply) - 1] if 1 <= int(reply) <= len(keys) else None
    phrases = [
        (key, phrase) for key, entry in answers.items() for phrase in (entry["label"], *map(str, entry["called"]))
    ]
    for key, phrase in phrases:
        if reply == phrase.lower():
            return key
    inside = [(len(phrase), key) for key, phrase in phrases if re.search(rf"\b{re.escape(phrase.lower())}\b", reply)]
    if inside:
        return max(inside)[1]
    words = {word for word in _WORD.findall(reply) if word not in small}
    shared = {
        key: max(len(words & set(_WORD.findall(phrase.lower()))) for one, phrase in phrases if one == key)
        for key in answers
    }
    best = max(shared.values(), default=0)
    winners = [key for key, count in shared.items() if count == best]
    most = len(words) <= _SHORT and best * 2 >= len(words)
    return winners[0] if best and len(winners) == 1 and most else None
