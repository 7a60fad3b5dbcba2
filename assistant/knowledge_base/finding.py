"""What is asked of the practice: every way of asking of every entry, as an index of word stems."""

from __future__ import annotations

import math
from collections import defaultdict
from typing import Any

from assistant.knowledge_base.files import Document
from assistant.knowledge_base.words import stems_of

PRACTICES = "practices/"
_LIKE = "like_words.yaml"


def practices_of(documents: dict[str, Document]) -> dict[str, dict[str, Any]]:
    """Every entry of the practice by its id, over all files."""
    return {
        key: entry
        for name, document in documents.items()
        if name.startswith(PRACTICES)
        for key, entry in document.data.items()
    }


def index_of(documents: dict[str, Document]) -> dict[str, Any]:
    """The index: `asks` are [entry, weight of its words], `posts` say which asks a stem stands in, `weights` how rare it is.

    `near` are the stems of an entry's other asks, title and answer: what speaks for the entry, if less than an ask does.
    """
    like = _like(documents)
    entries = practices_of(documents)
    found_in: dict[str, set[int]] = defaultdict(set)
    stems: list[list[list[str]]] = []
    near: list[set[str]] = []
    for place, entry in enumerate(entries.values()):
        asks = [stems_of(str(ask), like) for ask in (entry["title"], *entry["asks"])]
        beside = {stem for ask in asks for stem in ask} | set(stems_of(entry["short"], like))
        stems.append(asks)
        near.append(beside)
        for stem in beside:
            found_in[stem].add(place)
    weights = {stem: round(math.log((1 + len(entries)) / (1 + len(places))), 3) for stem, places in found_in.items()}
    posts: dict[str, list[int]] = defaultdict(list)
    made: list[list[Any]] = []
    for place, asks in enumerate(stems):
        for ask in asks:
            for stem in ask:
                posts[stem].append(len(made))
            made.append([place, round(sum(weights[stem] for stem in ask), 3)])
    return {
        "like": like,
        "entries": list(entries),
        "asks": made,
        "posts": {stem: " ".join(map(str, places)) for stem, places in posts.items()},
        "near": [" ".join(sorted(one)) for one in near],
        "weights": weights,
        "strange": round(math.log(1 + len(entries)), 3),
    }


def _like(documents: dict[str, Document]) -> dict[str, str]:
    groups = documents[_LIKE].data if _LIKE in documents else {}
    made: dict[str, str] = {}
    for first, others in groups.items():
        stand_for = stems_of(first, {})[0]
        for word in others:
            made.update({stem: stand_for for stem in stems_of(word.replace("_", ""), {}) if stem != stand_for})
    return made
