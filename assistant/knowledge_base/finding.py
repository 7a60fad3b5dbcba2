"""What is asked of the practice: every way of asking of every entry, as an index of word stems."""

from __future__ import annotations

import math
from collections import defaultdict
from typing import Any

from assistant.knowledge_base.files import Document
from assistant.knowledge_base.practices import GLOSSARY, PRACTICES, TROUBLES
from assistant.knowledge_base.words import stems_of

_LIKE = "like_words.yaml"
_TELLS = 0.5  # a word that stands in more than half of the entries tells nothing


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
    The last entry has no name: its asks are the near misses of all others.
    """
    like = _like(documents)
    entries = _found_by_asks(documents)
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
    refused = [stems_of(text, like) for text in _refused(documents, entries)]
    for stem in sorted({stem for ask in refused for stem in ask}):
        found_in[stem]  # a word of near misses alone is as rare as a word can be
    weights = {stem: round(math.log((1 + len(entries)) / (1 + len(places))), 3) for stem, places in found_in.items()}
    weights = {stem: weight if weight >= _TELLS else 0.0 for stem, weight in weights.items()}
    posts: dict[str, list[int]] = defaultdict(list)
    made: list[list[Any]] = []
    for place, asks in enumerate([*stems, refused]):
        for ask in asks:
            for stem in ask:
                if weights[stem]:
                    posts[stem].append(len(made))
            made.append([place, round(sum(weights[stem] for stem in ask), 3)])
    return {
        "like": like,
        "entries": [*entries, ""],
        "asks": made,
        "posts": {stem: " ".join(map(str, places)) for stem, places in posts.items()},
        "near": [*(" ".join(sorted(one)) for one in near), ""],
        "weights": weights,
        "words": _words(documents),
        "defines": [str(one).lower().split("{}") for one in _defining(documents)],
        "strange": round(math.log(1 + len(entries)), 3),
    }


def _found_by_asks(documents: dict[str, Document]) -> dict[str, dict[str, Any]]:
    """Entries of the practice, and what is seen when something is wrong, by their names."""
    made = {f"practices.{key}": entry for key, entry in practices_of(documents).items()}
    troubles = documents.get(TROUBLES)
    for key, complaint in troubles.data["complaints"].items() if troubles else ():
        called = [str(one) for one in complaint["called"]]
        made[f"troubles.{key}"] = {"title": called[0], "asks": called[1:], "short": ""}
    return made


def _words(documents: dict[str, Document]) -> dict[str, str]:
    """The words of the glossary, as their stems: `overseeding` and `overseed` are one."""
    glossary = documents.get(GLOSSARY)
    made: dict[str, str] = {}
    for key, entry in glossary.data.items() if glossary else ():
        for word in (entry["word"], *entry.get("also", ())):
            made.setdefault(" ".join(stems_of(str(word), {})), key)
    return made


def _defining(documents: dict[str, Document]) -> list[str]:
    """How the meaning of a word is asked for, the longest first."""
    intents = documents.get("intents/practice.yaml")
    asked = intents.data["help.word"]["asks_with"] if intents else []
    return sorted(asked, key=len, reverse=True)


def _refused(documents: dict[str, Document], entries: dict[str, dict[str, Any]]) -> list[str]:
    """What is none of ours, though it sounds like it: the near misses of the entries, and those of the questions."""
    made = [str(ask) for entry in entries.values() for ask in entry.get("not", ())]
    for name, document in documents.items():
        if name.startswith("intents/"):
            missed = (
                miss
                for intent in document.data.values()
                if isinstance(intent, dict)
                for miss in intent.get("near_misses", ())
            )
            made += [str(miss["say"]) for miss in missed if miss["is"] == "out_of_scope"]
    return made


def _like(documents: dict[str, Document]) -> dict[str, str]:
    groups = documents[_LIKE].data if _LIKE in documents else {}
    made: dict[str, str] = {}
    for first, others in groups.items():
        stand_for = stems_of(first, {})[0]
        for word in others:
            made.update({stem: stand_for for stem in stems_of(word.replace("_", ""), {}) if stem != stand_for})
    return made
