"""What every file of knowledge must hold to: figures with range, unit and source; names said once; words that exist."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from assistant.knowledge_base.files import Document, Fault, Where
from assistant.knowledge_base.practices import glossary_faults, practice_faults, trouble_faults
from assistant.knowledge_base.programs import program_faults
from assistant.knowledge_base.walks import walk_faults
from assistant.terms import UNSOURCED

_FIGURE_FIELDS = {"low", "high", "unit", "per", "of", "where", "source", "note", "why"}
# further fields that a figure has by the list it stands in
_FIELDS_IN = {
    "figures": {"measure", "job", "verdict"},
    "limits": {"what", "who", "kind", "unless", "checked", "shielded", "from", "to"},
    "amounts": {"what"},
    "least_gap": {"after"},
    "most_gap": {"after"},
    "by_acidity": {"acidity", "goal"},
    "by_texture": {"ph"},
    "levels": {"level"},
    "intake": {"slope"},
    "bench_days": {"soil"},
    "roots": {"age"},
}
_COMPOUND_UNITS = {
    "workday",
    "mowing",
    "month",
    "1 / lb",
    "1 / sq_in",
    "delta_degF",
    "delta_degC * day",
    "inch / hour",
    "",
}
_NO_FIGURES = {
    "possible",
    "fits",
    "answers",
    "trace",
    "test",
    "shielded",
}  # bounds, answers, or parts of a row with a source
_CUE_TERM = re.compile(r"\{[^}]*\}|<[^>]*>|\S+")
_SLOT_IN_CUE = re.compile(r"\{(\w+)\}")
_SAID_BY_PHRASE = {"species", "products", "ingredients", "states"}


def faults_of(documents: dict[str, Document]) -> list[Fault]:
    """Every fault of a set of files, each by file and line, in order."""
    sources = documents["sources.yaml"].data if "sources.yaml" in documents else {}
    units = _units(documents)
    found: list[Fault] = []
    for document in documents.values():
        for where, row in _rows(document.data, ()):
            found += [
                Fault(document.name, document.line(where), words) for words in _row_faults(where, row, sources, units)
            ]
    found += _names_said_twice(documents)
    found += _intent_faults(documents)
    found += _same_words(documents)
    found += _word_faults(documents)
    found += program_faults(documents)
    found += practice_faults(documents)
    found += glossary_faults(documents)
    found += trouble_faults(documents)
    found += walk_faults(documents)
    return sorted(found, key=lambda fault: (fault.file, fault.line))


def _units(documents: dict[str, Document]) -> set[str]:
    return set(documents["measures.yaml"].data) | {"m**2", "delta_degC"} if "measures.yaml" in documents else set()


def _rows(data: Any, where: Where) -> Iterator[tuple[Where, dict[str, Any]]]:
    """Every mapping that is a figure: it has a low or a high end."""
    if isinstance(data, dict):
        if any(end in data and not isinstance(data[end], dict) for end in ("low", "high")):
            if where and not _NO_FIGURES & set(where):
                yield where, data
            return
        for key, value in data.items():
            yield from _rows(value, (*where, key))
    elif isinstance(data, list):
        for place, value in enumerate(data):
            yield from _rows(value, (*where, place))


def _row_faults(where: Where, row: dict[str, Any], sources: dict[str, Any], units: set[str]) -> Iterator[str]:
    name = ".".join(str(part) for part in where if isinstance(part, str))
    if not all(isinstance(row.get(end), int | float) for end in ("low", "high")):
        yield f"{name} needs both low and high as numbers. Give the same number twice for a single figure."
    elif row["low"] > row["high"]:
        yield f"{name} is upside down: low {row['low']} is above high {row['high']}."
    source = row.get("source")
    if source is None:
        yield f'{name} has a figure without a source. Give a key from sources.yaml, or "common practice", or "from memory".'
    elif source not in UNSOURCED and source not in sources:
        yield f'{name} names the source "{source}", which sources.yaml does not hold.'
    unit = row.get("unit")
    if unit is not None and units and unit not in units and unit not in _COMPOUND_UNITS:
        hint = f" Write unit: {str(unit).split('/')[0]}, per: 1000 sq_ft." if "/" in str(unit) else ""
        yield f'{name} has the unknown unit "{unit}".{hint}'
    extra = set().union(*(_FIELDS_IN.get(str(part), set()) for part in where))
    for field in sorted(set(row) - _FIGURE_FIELDS - extra):
        yield f'{name} has the field "{field}", which a figure does not have.'


def _names_said_twice(documents: dict[str, Document]) -> Iterator[Fault]:
    """A phrase names one thing of a kind; a phrase of two grasses would be a guess."""
    for document in documents.values():
        if document.name.removesuffix(".yaml") not in _SAID_BY_PHRASE:
            continue
        seen: dict[str, str] = {}
        for key, entry in document.data.items():
            for place, phrase in enumerate(entry.get("called", [])):
                phrase = str(phrase)
                if seen.setdefault(phrase, key) != key:
                    line = document.line((key, "called", place))
                    yield Fault(
                        document.name, line, f'"{phrase}" names both {seen[phrase]} and {key}. Keep it with one.'
                    )


def _intent_faults(documents: dict[str, Document]) -> Iterator[Fault]:
    slots = documents["intents/slots.yaml"].data if "intents/slots.yaml" in documents else {}
    for document in documents.values():
        if not document.name.startswith("intents/") or document.name in ("intents/slots.yaml", "intents/words.yaml"):
            continue
        for intent, entry in document.data.items():
            if intent == "words":
                continue
            known = {**slots, **entry.get("slots", {})}
            for field in ("needs", "may_have", "keeps", "keeps_first"):
                for place, slot in enumerate(entry.get(field, [])):
                    if slot not in known:
                        yield Fault(
                            document.name,
                            document.line((intent, field, place)),
                            f'{intent} {field} "{slot}", which intents/slots.yaml does not hold.',
                        )
            held = {*entry.get("needs", []), *entry.get("may_have", [])}
            for place, cue in enumerate(entry.get("cues") or []):
                for slot in sorted(set(_SLOT_IN_CUE.findall(str(cue))) - held):
                    line = document.line((intent, "cues", place))
                    words = f"{intent} has a cue with {{{slot}}}, which is neither in needs nor in may_have: it can never fit."
                    yield Fault(document.name, line, words)
            if not entry.get("cues") and "found" not in entry:
                yield Fault(document.name, document.line((intent,)), f"{intent} has no cues: nobody can ask for it.")


def _same_words(documents: dict[str, Document]) -> Iterator[Fault]:
    """Two questions that claim the same words: one cue under both, with nothing else to tell them apart; or one line that
    people type. Also lines under a question that there is not."""
    cues: dict[tuple[Any, ...], str] = {}
    asks: dict[str, str] = {}
    intents: set[str] = set()
    for document in documents.values():
        if not document.name.startswith("intents/") or document.name in ("intents/slots.yaml", "intents/words.yaml"):
            continue
        for intent, entry in document.data.items():
            if intent == "words":
                continue
            intents.add(intent)
            apart = (*map(str, entry.get("must", ())), "", *map(str, entry.get("unless", ())), str(entry.get("works")))
            for place, cue in enumerate(entry.get("cues") or []):
                key = (frozenset(_CUE_TERM.findall(str(cue))), apart)
                if cues.setdefault(key, intent) != intent:
                    words = (
                        f'{intent} and {cues[key]} both claim "{cue}", and nothing tells them apart. Keep it with one.'
                    )
                    yield Fault(document.name, document.line((intent, "cues", place)), words)
    for document in documents.values():
        for intent, entry in document.data.items() if document.name.startswith("asks/") else ():
            if intents and intent not in intents:
                yield Fault(document.name, document.line((intent,)), f"There is no question called {intent}.")
            for place, ask in enumerate(entry.get("asks", ())):
                if asks.setdefault(str(ask).casefold(), intent) != intent:
                    words = f'"{ask}" stands under {intent} and {asks[str(ask).casefold()]}. Keep it with one.'
                    yield Fault(document.name, document.line((intent, "asks", place)), words)


def _word_faults(documents: dict[str, Document]) -> Iterator[Fault]:
    """YAML reads a bare on, off, yes or no as a truth value: a phrase of that kind would be lost without a word."""
    for document in documents.values():
        for where, value in _leaves(document.data, ()):
            if value is None and where and " " in str(where[-1]):
                words = f'"{where[-1]}" is cut off from the text before it. Put a text that holds a comma in quotes.'
                yield Fault(document.name, document.line(where), words)
            if isinstance(value, str) and document.name.startswith(_OF_PHRASES) and _HALF_QUOTED.fullmatch(value):
                words = f"the quotes inside of {value} are part of the phrase: nobody types them. Leave them out."
                yield Fault(document.name, document.line(where), words)
            if isinstance(value, bool) and not (where and where[-1] in _TRUTHS):
                yield Fault(
                    document.name,
                    document.line(where),
                    f"{'.'.join(map(str, where))} is read as {str(value).lower()}, not as a word. Put it in quotes.",
                )


_OF_PHRASES = ("intents/", "names.yaml")
_HALF_QUOTED = re.compile(r'[^"]+ "\w+"')
_TRUTHS = {"parts", "several", "from_seed", "spray", "said", "care", "by_sight", "of_plants", "bare"}


def _leaves(data: Any, where: Where) -> Iterator[tuple[Where, Any]]:
    if isinstance(data, dict):
        for key, value in data.items():
            yield from _leaves(value, (*where, key))
    elif isinstance(data, list):
        for place, value in enumerate(data):
            yield from _leaves(value, (*where, place))
    else:
        yield where, data
