"""What an entry of the practice must hold to: its fields, its figures under a name, its links, and no bare figure in a text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from assistant.knowledge_base.files import Document, Fault, Where
from assistant.terms import UNSOURCED

PRACTICES = "practices/"
GLOSSARY = "glossary.yaml"
TROUBLES = "troubles.yaml"
TOPICS = frozenset(
    ["area", "seed", "feed", "spray", "water", "soil", "mow", "timing", "weeds", "trouble", "plan", "cost", "other"]
)
HOLE = re.compile(r"\{(\w+)\}")
_NEEDED = ("topic", "title", "asks", "short", "why")
_FIELDS = frozenset((*_NEEDED, "not", "figures", "exceptions", "also", "cautions", "sources", "related", "leads_to"))
_ONE_TEXT = ("title", "short", "why")
_TEXTS = ("exceptions", "also")
_FEWEST_ASKS = 6
_LONGEST = {"short": 44, "why": 60}
# figures that are part of a name: an analysis or a number to call, an ingredient, the oxides
_NAMES = re.compile(r"\{\w+\}|2,4-D|\b\d+-\d+-\d+\b|P2O5|K2O|N-P-K|\b[A-Z]\w*-\d+\b")


def practice_faults(documents: dict[str, Document]) -> Iterator[Fault]:
    """Every fault of the entries, by file and line."""
    sources = documents["sources.yaml"].data if "sources.yaml" in documents else {}
    cautions = documents["cautions.yaml"].data if "cautions.yaml" in documents else {}
    files = [document for name, document in documents.items() if name.startswith(PRACTICES)]
    ids: dict[str, str] = {}
    asked: dict[str, str] = {}
    for document in files:
        for key in document.data:
            if key in ids:
                yield _at(document, (key,), f"{key} stands in {ids[key]} already; an entry has one place.")
            ids.setdefault(key, document.name)
    for document in files:
        for key, entry in document.data.items():
            words = entry_faults(documents, key, entry, ids, sources, cautions)
            yield from (_at(document, where, fault) for where, fault in words)
            for place, ask in enumerate(entry.get("asks", ())):
                if asked.setdefault(str(ask), key) != key:
                    words_of_it = f'"{ask}" is asked of {asked[str(ask)]} as well; it can lead to one entry only.'
                    yield _at(document, (key, "asks", place), words_of_it)


def entry_faults(
    documents: dict[str, Document],
    key: str,
    entry: dict[str, Any],
    ids: dict[str, str],
    sources: dict[str, Any],
    cautions: dict[str, Any],
) -> Iterator[tuple[Where, str]]:
    """(place, words) of every fault of one entry."""
    for field in _NEEDED:
        if field not in entry:
            yield (key,), f"{key} lacks {field}."
    for field in sorted(set(entry) - _FIELDS):
        yield (key, field), f'{key} has the field "{field}"; an entry has {", ".join(sorted(_FIELDS))}.'
    if entry.get("topic") not in TOPICS:
        yield (key, "topic"), f'{key} has the topic "{entry.get("topic")}"; it is one of {", ".join(sorted(TOPICS))}.'
    if len(entry.get("asks", ())) < _FEWEST_ASKS:
        yield (key, "asks"), f"{key} has {len(entry.get('asks', ()))} ways of asking; give at least {_FEWEST_ASKS}."
    for field, most in _LONGEST.items():
        if len(str(entry.get(field, "")).split()) > most:
            yield (key, field), f"{key} has {len(str(entry[field]).split())} words in {field}; at most {most} are read."
    texts: list[tuple[Where, Any]] = [((key, field), entry[field]) for field in _ONE_TEXT if field in entry]
    texts += [((key, field, n), text) for field in _TEXTS for n, text in enumerate(entry.get(field) or ())]
    yield from text_faults(key, texts, entry.get("figures") or {})
    yield from figure_faults(documents, key, entry.get("figures") or {})
    known = {"cautions": cautions, "related": ids, "sources": {*sources, *UNSOURCED}}
    for field, held in known.items():
        for place, name in enumerate(entry.get(field) or ()):
            if name not in held:
                yield (key, field, place), f'{key} names "{name}" under {field}, which nothing holds.'


def text_faults(key: str, texts: list[tuple[Where, Any]], figures: dict[str, Any]) -> Iterator[tuple[Where, str]]:
    """A figure stands under `figures` with its source and is named in the text; a bare one would have none."""
    for where, text in texts:
        if not isinstance(text, str):
            yield where, f"{key}: this is no text. Put a text that holds a colon or a comma in quotes."
            continue
        for name in HOLE.findall(text):
            if name not in figures:
                yield where, f"{key} names {{{name}}}, which does not stand under its figures."
        bare = re.search(r"\d+", _NAMES.sub("", text))
        if bare:
            yield where, f"{key} has the bare figure {bare.group()} in a text. Put it under figures, with its source."


def figure_faults(documents: dict[str, Document], key: str, figures: dict[str, Any]) -> Iterator[tuple[Where, str]]:
    """Pointers that lead nowhere, and windows without a source; rows are checked like all rows."""
    for name, held in figures.items():
        for place, row in enumerate(held if isinstance(held, list) else [held]):
            where: Where = (key, "figures", name, place) if isinstance(held, list) else (key, "figures", name)
            if not isinstance(row, dict):
                yield where, f"{key}.figures.{name} is no figure: give low, high, unit and source."
            elif "from" in row and "to" not in row and _at_path(documents, str(row["from"])) is None:
                yield where, f"{key}.figures.{name} points to {row['from']}, where nothing stands."
            elif "to" in row and "source" not in row:
                yield where, f"{key}.figures.{name} has a window without a source."


def glossary_faults(documents: dict[str, Document]) -> Iterator[Fault]:
    """A word with its meaning in two lines, its links and its source."""
    document = documents.get(GLOSSARY)
    sources = documents["sources.yaml"].data if "sources.yaml" in documents else {}
    if document is None:
        return
    for key, entry in document.data.items():
        for field in ("word", "means", "source"):
            if field not in entry:
                yield _at(document, (key,), f"{key} lacks {field}.")
        if entry.get("source") not in (*sources, *UNSOURCED):
            yield _at(
                document, (key, "source"), f'{key} names the source "{entry.get("source")}", which nothing holds.'
            )
        for other in entry.get("related", ()):
            if other not in document.data:
                yield _at(document, (key, "related"), f'{key} names "{other}" under related, which nothing holds.')
        for where, words in text_faults(key, [((key, "means"), entry.get("means", ""))], {}):
            yield _at(document, where, words)


def trouble_faults(documents: dict[str, Document]) -> Iterator[Fault]:
    """Complaints, questions and answers that are named must be there; every cause shows in one complaint at least."""
    document = documents.get(TROUBLES)
    if document is None:
        return
    data = document.data
    related = {key for name, one in documents.items() if name.startswith(PRACTICES) for key in one.data}
    sources = documents["sources.yaml"].data if "sources.yaml" in documents else {}
    for key, cause in data["causes"].items():
        where: Where = ("causes", key)
        for shown in cause.get("shows", ()) or [""]:
            if shown not in data["complaints"]:
                yield _at(document, where, f'{key} shows as "{shown}", which is no complaint here.')
        for question, answers in cause.get("fits", {}).items():
            known = data["questions"].get(question, {}).get("answers", {})
            for answer in [answer for answer in answers if answer not in known]:
                words = f'{key} fits {question}: "{answer}", which is no answer of a question here.'
                yield _at(document, (*where, "fits", question), words)
        figures = cause.get("figures") or {}
        texts: list[tuple[Where, Any]] = [
            ((*where, field), cause.get(field, "")) for field in ("name", "tells", "now", "next_time")
        ]
        for place, words in (*text_faults(key, texts, figures), *figure_faults(documents, key, figures)):
            yield _at(document, place if place[0] == "causes" else ("causes", *place), words)
        told = cause.get("source")
        for source in told if isinstance(told, list) else [told]:
            if source not in (*sources, *UNSOURCED):
                yield _at(document, (*where, "source"), f'{key} names the source "{source}", which nothing holds.')
        for other in cause.get("related", ()):
            if other not in related:
                yield _at(document, (*where, "related"), f'{key} names "{other}" under related, which nothing holds.')


def _at_path(documents: dict[str, Document], path: str) -> Any:
    section, *rest = path.split(".")
    held = documents.get(f"{section}.yaml")
    data = held.data if held else None
    for part in rest:
        data = data.get(part) if isinstance(data, dict) else None
    return data


def _at(document: Document, where: Where, words: str) -> Fault:
    return Fault(document.name, document.line(where), words)
