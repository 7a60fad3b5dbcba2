"""What is asked of the practice: every way of asking of every entry, as an index of word stems."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from typing import Any

from assistant.knowledge_base.files import Document
from assistant.knowledge_base.practices import GLOSSARY, PRACTICES, TROUBLES
from assistant.knowledge_base.words import stems_of

_LIKE = "like_words.yaml"
INTENTS, ASKS = "intents/", "asks/"
_THOUSAND = 1000
_COMMON = 1.0  # weight of a word that stands everywhere; a rare one weighs more


def practices_of(documents: dict[str, Document]) -> dict[str, dict[str, Any]]:
    """Every entry of the practice by its id, over all files."""
    return {
        key: entry
        for name, document in documents.items()
        if name.startswith(PRACTICES)
        for key, entry in document.data.items()
    }


def index_of(documents: dict[str, Document]) -> dict[str, Any]:
    """The index. An ask is a vector of its stems, each as long as the stem is rare; an entry is the sum of its asks.

    `weights` say how rare a stem is; `posts` say for a stem how much of it is in which entries (entry:thousandths, all as one
    text, read when the stem is met); `asks` holds every ask of an entry by its stems, read when the entry is near. The last
    entry has no name: its asks are the near misses of all others.
    """
    like = _like(documents)
    entries = {**_found_by_asks(documents), **_intents_by_asks(documents), "": _refused(documents)}
    asks = [[stems_of(text, like) for text in texts] for texts in entries.values()]
    found_in = Counter(stem for entry in asks for stems in entry for stem in stems)
    count = sum(map(len, asks))
    weights = {stem: round(_COMMON + math.log((1 + count) / (1 + often)), 3) for stem, often in found_in.items()}
    posts: dict[str, list[str]] = defaultdict(list)
    for place, entry in enumerate(asks):
        whole: dict[str, float] = defaultdict(float)
        for stems in entry:
            length = math.sqrt(sum(weights[stem] ** 2 for stem in stems)) or 1.0
            for stem in stems:
                whole[stem] += weights[stem] / length
        length = math.sqrt(sum(part**2 for part in whole.values())) or 1.0
        for stem, part in whole.items():
            posts[stem].append(f"{place}:{round(_THOUSAND * part / length)}")
    return {
        "like": like,
        "entries": list(entries),
        "asks": ["|".join(sorted({" ".join(stems) for stems in entry})) for entry in asks],
        "posts": {stem: " ".join(places) for stem, places in posts.items()},
        "weights": weights,
        "words": _words(documents),
        "defines": defining(documents),
        "strange": round(_COMMON + math.log(1 + count), 3),
    }


def _found_by_asks(documents: dict[str, Document]) -> dict[str, list[str]]:
    """Entries of the practice, and what is seen when something is wrong, with all their asks."""
    made = {
        f"practices.{key}": [str(entry["title"]), *map(str, entry["asks"])]
        for key, entry in practices_of(documents).items()
    }
    troubles = documents.get(TROUBLES)
    for key, complaint in troubles.data["complaints"].items() if troubles else ():
        made[f"troubles.{key}"] = [str(one) for one in complaint["called"]]
    return made


def _intents_by_asks(documents: dict[str, Document]) -> dict[str, list[str]]:
    """The questions of our own arithmetic and record: what is said for each, its near misses among the others'."""
    made: dict[str, list[str]] = defaultdict(list)
    own: set[str] = set()
    for name, document in sorted(documents.items()):
        for intent, entry in document.data.items() if name.startswith(INTENTS) else ():
            if isinstance(entry, dict) and entry.get("cues"):
                own.add(f"intents.{intent}")
                made[f"intents.{intent}"] += [str(one["say"]) for one in entry.get("examples", ())]
                for miss in entry.get("near_misses", ()):
                    if miss["is"] != "out_of_scope":
                        made[f"intents.{miss['is']}"].append(str(miss["say"]))
    for name, document in sorted(documents.items()):
        for intent, entry in document.data.items() if name.startswith(ASKS) else ():
            made[f"intents.{intent}"] += [str(ask) for ask in entry["asks"]]
    return {name: asks for name, asks in made.items() if name in own}


def _words(documents: dict[str, Document]) -> dict[str, str]:
    """The words of the glossary, as their stems: `overseeding` and `overseed` are one."""
    glossary = documents.get(GLOSSARY)
    made: dict[str, str] = {}
    for key, entry in glossary.data.items() if glossary else ():
        for word in (entry["word"], *entry.get("also", ())):
            made.setdefault(" ".join(stems_of(str(word), {})), key)
    return made


def defining(documents: dict[str, Document]) -> list[list[str]]:
    """How the meaning of a word is asked for, as what stands before and behind it, the longest first."""
    intents = documents.get("intents/practice.yaml")
    asked = intents.data["help.word"]["asks_with"] if intents else []
    return [str(one).lower().split("{}") for one in sorted(asked, key=len, reverse=True)]


def _refused(documents: dict[str, Document]) -> list[str]:
    """What is none of ours, though it sounds like it: the near misses of the entries, and those of the questions."""
    made = [str(ask) for entry in practices_of(documents).values() for ask in entry.get("not", ())]
    for name, document in sorted(documents.items()):
        if name.startswith(ASKS):
            made += [str(ask) for entry in document.data.values() for ask in entry.get("not", ())]
        if name.startswith(INTENTS):
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
