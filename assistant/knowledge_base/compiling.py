"""From the YAML people edit to the sections that run: plain JSON, quick to load, each on its own."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from assistant.knowledge_base.files import Document
from assistant.knowledge_base.finding import asked_of, defining, finding_of, practices_of
from assistant.knowledge_base.folded import Folded
from assistant.knowledge_base.programs import program_names, programs_of
from assistant.knowledge_base.words import words_of

# A word of one question alone weighs 0.5 + log(_RARE) / 2. Fixed, so that a new topic moves no other score.
_RARE = 20
_OF_MANY = 0.5  # of a question that one formula answers
_LEAST_WEIGHT = 0.3
_BY_ENTRY = ("sources", "glossary")  # of these a question looks at a few entries
_LISTS = ("small", "begins", "picks", "spelled", "streets", "street_names")  # of words.yaml, what is no word of a cue
_TERM = re.compile(r"\{[^}]*\}|<[^>]*>|\S+")
# file -> the type its entries have as names
_NAMED = {"species": "species", "products": "product", "ingredients": "ingredients", "states": "state"}


def sections_of(documents: dict[str, Document], texts: dict[str, str]) -> dict[str, Any]:
    """All sections of the image: a file is a section of its own name, the entries of the practice are one together; plain
    texts stay as they are."""
    sections: dict[str, Any] = {**texts}
    for name, document in documents.items():
        folder, _, rest = name.removesuffix(".yaml").rpartition("/")
        if rest in _BY_ENTRY:
            sections[rest] = Folded(document.data)
        elif not folder:
            sections[rest] = document.data
    sections["programs"] = programs_of(documents)
    sections["practices"] = Folded(practices_of(documents))
    sections["asked"] = asked_of(documents)
    sections["finding"] = finding_of(documents)
    kinds = _unit_kinds(documents)
    intents = _intents(documents, kinds)
    meanings = _meanings(documents)
    sections["meanings"] = Folded(_table(meanings))
    sections["language"] = _language(documents, intents, kinds, meanings)
    sections["cues"] = Folded(_by_cue(intents, sections["language"]["weights"]))
    sections["intents"] = Folded(intents)
    return sections


def _table(phrases: dict[str, Any]) -> dict[str, list[Any]]:
    """first word -> [(words, meaning)], longest first."""
    table: dict[str, list[Any]] = defaultdict(list)
    for phrase, meaning in phrases.items():
        words = words_of(phrase)
        table[words[0]].append([words, meaning])
    for entries in table.values():
        entries.sort(key=lambda entry: (-len(entry[0]), entry[0]))
    return dict(table)


def _unit_kinds(documents: dict[str, Document]) -> dict[str, list[str]]:
    """unit -> the kinds it is a measure of; feet and inches also measure depth and height."""
    return {
        unit: [entry["kind"]] + (["depth"] if entry["kind"] == "length" else [])
        for unit, entry in documents["measures.yaml"].data.items()
    }


def _asked_kinds(documents: dict[str, Document], kinds: dict[str, list[str]]) -> dict[str, list[str]]:
    """unit -> the kinds that its words may ask for: `how many ounces` asks for a volume or a weight."""
    measures = {unit: set(map(str, entry["said"])) for unit, entry in documents["measures.yaml"].data.items()}
    return {
        unit: sorted({kind for other, words in measures.items() if words & said for kind in kinds[other]})
        for unit, said in measures.items()
    }


def _meanings(documents: dict[str, Document]) -> dict[str, list[str]]:
    """What each phrase means: the classes of words it is in, and the things it names."""
    meanings: dict[str, list[str]] = defaultdict(list)
    for cue, phrases in word_classes(documents):
        for phrase in phrases:
            found = meanings[" ".join(words_of(str(phrase)))]
            if "~" + cue not in found:
                found.append("~" + cue)
    for phrase, name in named_things(documents):
        meanings[" ".join(words_of(phrase))].append(name)
    return meanings


def _language(
    documents: dict[str, Document],
    intents: dict[str, Any],
    kinds: dict[str, list[str]],
    phrases: Iterable[str],
) -> dict[str, Any]:
    """What reading needs beside the meanings of the phrases."""
    measures: dict[str, list[Any]] = {}
    for unit, entry in documents["measures.yaml"].data.items():
        for phrase in entry["said"]:
            measures.setdefault(str(phrase), []).append([entry["kind"], entry.get("unit", unit), entry.get("per", "")])
    words = documents["intents/words.yaml"].data
    index: dict[str, float] = defaultdict(float)
    for entry in intents.values():
        for term in entry["lexicon"]:  # one of many formulas weighs less: what it gives tells it as well
            index[term] += _OF_MANY if entry["works"] or entry["must"] else 1.0
    weights = {
        term: round(max(_LEAST_WEIGHT, 0.5 + math.log(_RARE / max(found, 1.0)) / 2), 3) for term, found in index.items()
    }
    for entry in intents.values():  # a word that only rules questions out is no sign of another trade
        for term in entry["unless"]:
            weights.setdefault(term, 1.0)
    known = {word for entry in intents.values() for word in entry["roles"]}
    known |= {word for phrase in phrases for word in phrase.split()} | {
        word for phrase in measures for word in words_of(phrase)
    }
    return {
        "measures": _table(measures),
        "small": sorted({word for phrase in words["small"] for word in words_of(str(phrase))}),
        "spelled": {str(short): str(word) for short, word in words["spelled"].items()},
        "streets": words["streets"],
        "street_names": words["street_names"],
        "defines": defining(documents),
        "begins": _table({str(phrase): True for phrase in words["begins"]}),
        "picks": {
            " ".join(words_of(str(phrase))): pick for pick, phrases in words["picks"].items() for phrase in phrases
        },
        "known": " ".join(sorted(word for word in known if word.isalpha())),
        "weights": weights,
        "by_measure": _by_measure(intents),
        "put_to_money": {name: entry["must"] for name, entry in intents.items() if _goes_on_from_money(entry)},
        "about_an_answer": [name for name, entry in intents.items() if entry["about"] == "answer"],
        "bounds": _bounds(intents),
        "unit_kinds": kinds,
        "asked_kinds": _asked_kinds(documents, kinds),
        "negated": {
            f"{kind}.{key}": f"{kind}.{entry['negated']}"
            for kind, things in documents["names.yaml"].data.items()
            for key, entry in things.items()
            if "negated" in entry
        },
    }


def _by_cue(intents: dict[str, Any], weights: dict[str, float]) -> dict[str, list[list[Any]]]:
    """The rarest word of each cue -> the cues to look at where a line has it, as intent and place; `` for those of slots alone."""
    made: dict[str, list[list[Any]]] = defaultdict(list)
    for intent, entry in intents.items():
        for place, cue in enumerate(entry["cues"]):
            made[max(cue["words"], key=lambda word: (weights[word], word), default="")].append([intent, place])
    return dict(made)


def _bounds(intents: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """slot -> a slot of that name that says what is possible."""
    made: dict[str, dict[str, Any]] = {}
    for entry in intents.values():
        for name, spec in entry["slots"].items():
            if "possible" in spec:
                made.setdefault(name, spec)
    return made


def _by_measure(intents: dict[str, Any]) -> dict[str, list[str]]:
    """A kind of measure -> the intents that give an answer in it."""
    made: dict[str, set[str]] = defaultdict(set)
    for intent, entry in intents.items():
        for kind, _ in entry["measures"]:
            made[kind].add(intent)
    return {kind: sorted(found) for kind, found in made.items()}


def word_classes(documents: dict[str, Document]) -> list[tuple[str, list[str]]]:
    """The shared word classes, and those that a topic brings in its own file."""
    found = [(cue, phrases) for cue, phrases in documents["intents/words.yaml"].data.items() if cue not in _LISTS]
    for name in sorted(documents):
        if name.startswith("intents/") and name not in ("intents/slots.yaml", "intents/words.yaml"):
            found += list(documents[name].data.get("words", {}).items())
    return found


def named_things(documents: dict[str, Document]) -> list[tuple[str, str]]:
    """(phrase, type.id) of everything that can be named."""
    found: list[tuple[str, str]] = []
    for name, document in documents.items():
        stem = name.removesuffix(".yaml")
        if stem in _NAMED:
            found += [
                (str(phrase), f"{_NAMED[stem]}.{key}")
                for key, entry in document.data.items()
                for phrase in entry.get("called", [])
            ]
        elif stem == "names":
            for kind, things in document.data.items():
                found += [(str(phrase), f"{kind}.{key}") for key, entry in things.items() for phrase in entry["called"]]
    return [*found, *program_names(documents)]


def _intents(documents: dict[str, Document], kinds: dict[str, list[str]]) -> dict[str, Any]:
    """Each intent with its slots written out and its cues as bags of terms."""
    shared = documents["intents/slots.yaml"].data
    made: dict[str, Any] = {}
    for name in sorted(documents):
        if not name.startswith("intents/") or name in ("intents/slots.yaml", "intents/words.yaml"):
            continue
        for intent, entry in documents[name].data.items():
            if intent == "words":
                continue
            own = entry.get("slots", {})
            names = [*entry.get("needs", []), *entry.get("may_have", [])]
            slots = {slot: {**shared.get(slot, {}), **own.get(slot, {})} for slot in names}
            cues = [_cue(cue, slots) for cue in entry["cues"]]
            lexicon = sorted({term for cue in cues for term in cue["words"]})
            roles = sorted({word for slot in slots.values() for word in slot.get("words", [])})
            made[intent] = {"does": entry["does"], "needs": entry.get("needs", []), "may_have": entry.get("may_have", []),
                            "keeps": entry.get("keeps", []), "keeps_first": entry.get("keeps_first", []), "slots": slots, "cues": cues,
                "takes": [_takes(slot, slots) for slot in entry.get("needs", [])],
                "unless": [_term(one) for one in entry.get("unless", [])], "must": [_term(one) for one in entry.get("must", [])],
                "works": entry.get("works"), "about": entry.get("about", ""), "turns": entry.get("turns", ""), "akin": entry.get("akin", []), "skill": entry.get("skill", ""), "meanwhile": entry.get("meanwhile", ""),
                "measures": _measures(entry.get("works"), kinds) or [[kind, ""] for kind in entry.get("answers", [])],
                "gives": entry.get("answers") or _given(entry.get("works"), kinds), "lexicon": lexicon, "roles": roles,
                            "say": [example["say"] for example in entry.get("examples", [])][:2]}  # fmt: skip
    return made


def _goes_on_from_money(entry: dict[str, Any]) -> bool:
    """True for what is put to the sum of money that was worked out before: a delivery, a tax."""
    return bool(entry["must"]) and entry["needs"][:1] == ["money"] and "context" in entry["slots"]["money"]["from"]


def _given(works: dict[str, Any] | None, kinds: dict[str, list[str]]) -> list[str]:
    """The kinds of the figures that an intent gives."""
    if not works:
        return []
    units = [one["gives"]["unit"] for one in (works, *works.get("also", ()))]
    return sorted({kind for unit in units for kind in kinds.get(unit, ["count"])})


def _measures(works: dict[str, Any] | None, kinds: dict[str, list[str]]) -> list[list[str]]:
    """[kind, per what] of the figures that an intent of one formula gives."""
    if not works:
        return []
    gives = [one["gives"] for one in (works, *works.get("also", ()))]
    return [[kind, str(one.get("per", ""))] for one in gives for kind in kinds.get(one["unit"], ["count"])]


def _term(text: str) -> str:
    """A word of `unless` or `must` as the terms of a line are written; kinds of names and amounts stand as they are."""
    return text if text[0] in "{<" else "~" + text


def _cue(text: str, specs: dict[str, Any]) -> dict[str, Any]:
    """`how_much {product} {area}`: words, slots, and unit mentions, in no order; `takes` says for each slot what could fill it."""
    words, slots = [], []
    for term in _TERM.findall(text):
        if term.startswith("{"):
            slots.append(term[1:-1])
        else:
            words.append(term if term.startswith("<") else "~" + term)
    return {"words": words, "slots": slots, "takes": [_takes(slot, specs) for slot in slots]}


def _takes(slot: str, specs: dict[str, Any]) -> list[str]:
    """The kinds of amounts and names that could fill a slot; `*` where a bare number could."""
    name, _, only = slot.partition(":")
    spec = specs.get(name, {})
    kinds = [only] if only else [*spec.get("kind", ()), *spec.get("names", ())]
    return [*kinds, "*"] if "unit" in spec or "words" in spec else kinds
