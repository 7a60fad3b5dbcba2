"""What is asked of every entry of the practice and of every question of ours, gathered from all files."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from assistant.knowledge_base.files import Document
from assistant.knowledge_base.practices import GLOSSARY, PRACTICES, TROUBLES
from assistant.knowledge_base.words import NONE_OF_OURS, OF_INTENTS, stems_of

_LIKE = "like_words.yaml"
INTENTS, ASKS = "intents/", "asks/"


def practices_of(documents: dict[str, Document]) -> dict[str, dict[str, Any]]:
    """Every entry of the practice by its id, over all files."""
    return {
        key: entry
        for name, document in documents.items()
        if name.startswith(PRACTICES)
        for key, entry in document.data.items()
    }


def asked_of(documents: dict[str, Document]) -> dict[str, list[str]]:
    """Entry -> all that is asked of it, in every voice; and by topic what is none of ours, though it sounds so."""
    return {**_found_by_asks(documents), **_intents_by_asks(documents), **_refused(documents)}


def finding_of(documents: dict[str, Document]) -> dict[str, Any]:
    """What looking up a line needs beside what is asked: words that mean the same, and the words of the glossary."""
    return {"like": _like(documents), "words": _words(documents), "defines": defining(documents)}


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
                own.add(OF_INTENTS + intent)
                made[OF_INTENTS + intent] += [str(one["say"]) for one in entry.get("examples", ())]
                for miss in entry.get("near_misses", ()):
                    if miss["is"] != "out_of_scope":
                        made[OF_INTENTS + miss["is"]].append(str(miss["say"]))
    for name, document in sorted(documents.items()):
        for intent, entry in document.data.items() if name.startswith(ASKS) else ():
            made[OF_INTENTS + intent] += [str(ask) for ask in entry["asks"]]
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


def _refused(documents: dict[str, Document]) -> dict[str, list[str]]:
    """What is none of ours, though it sounds like it: the near misses of the entries, and those of the questions, by topic."""
    made: dict[str, list[str]] = defaultdict(list)
    for name, document in sorted(documents.items()):
        folder, _, topic = name.removesuffix(".yaml").rpartition("/")
        entries = [entry for entry in document.data.values() if isinstance(entry, dict)] if folder else []
        if f"{folder}/" in (PRACTICES, ASKS):
            made[NONE_OF_OURS + topic] += [str(ask) for entry in entries for ask in entry.get("not", ())]
        if f"{folder}/" == INTENTS:
            missed = (miss for entry in entries for miss in entry.get("near_misses", ()))
            made[NONE_OF_OURS + topic] += [str(miss["say"]) for miss in missed if miss["is"] == "out_of_scope"]
    return {name: asks for name, asks in made.items() if asks}


def _like(documents: dict[str, Document]) -> dict[str, str]:
    groups = documents[_LIKE].data if _LIKE in documents else {}
    made: dict[str, str] = {}
    for first, others in groups.items():
        stand_for = stems_of(first, {})[0]
        for word in others:
            made.update({stem: stand_for for stem in stems_of(word.replace("_", ""), {}) if stem != stand_for})
    return made
