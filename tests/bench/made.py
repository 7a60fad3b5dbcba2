"""What the bench measures on: journals of many seasons, and a knowledge base some times as large, written out as YAML."""

from __future__ import annotations

import hashlib
import re
import shutil
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import yaml

from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.terms import Amount
from knowledge import FOLDER

_WORD = re.compile(r"[a-z]{4,}")
_PHRASED = ("species", "products", "ingredients")
_DUMPER = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


def journal(lawn: str, key: str, rules: dict[str, Any], seed_day: date, each: int) -> list[Event]:
    """So many events of one lawn: its facts, its program, and seasons of notes, cuts and deeds."""
    facts = {
        "area": {"amount": Amount("area", 5000.0, 5000.0, ("sq_ft",)).to_plain()},
        "seed_day": {"amount": Amount("date", seed_day.isoformat(), seed_day.isoformat()).to_plain()},
        "species": {"name": "species.tall_fescue", "called": "tall fescue"},
    }
    day = seed_day.isoformat()
    made = [
        Event(kinds.TOLD, lawn, "it is 5,000 sq ft of tall fescue", day, day, {"facts": facts}),
        Event(kinds.STARTED, lawn, "start it", day, day, {"program": key, "rules": rules}),
    ]
    for n in range(each - len(made)):
        on = (seed_day + timedelta(days=n // 8 % 3650)).isoformat()
        kind = (kinds.NOTE, kinds.MOWED, kinds.NOTE, kinds.DONE)[n % 4]
        body = {"step": "feed.first", "title": "first feed"} if kind == kinds.DONE else {}
        made.append(Event(kind, lawn, f"something that was said on day {n}", on, on, body))
    return made


def knowledge_times(times: int, folder: Path, whole: bool) -> Path:
    """A copy of the knowledge base with every entry of the practice so many times; with `whole` also every question with
    its cues and asks, every word, grass, product and ingredient.

    A copy of an entry keeps two of three of its words, so that the copies meet the same lines; a copy of a question has
    its own word in each cue, as a new topic would.
    """
    shutil.copytree(FOLDER, folder, ignore=shutil.ignore_patterns("__pycache__", "*.py"))
    for path in sorted(FOLDER.rglob("*.yaml")):
        name = path.relative_to(FOLDER).as_posix()
        for number, data in enumerate(_copies(name, path, times, whole), start=1):
            made = folder / path.parent.relative_to(FOLDER) / f"copy_{number}" / path.name
            made.parent.mkdir(parents=True, exist_ok=True)
            made.write_text(yaml.dump(data, Dumper=_DUMPER, allow_unicode=True), encoding="utf-8")
    if whole:
        _lengthen(folder, times)
    return folder


def _copies(name: str, path: Path, times: int, whole: bool) -> Iterator[dict[str, Any]]:
    room = name.partition("/")[0]
    questions = room in ("intents", "asks") and name not in ("intents/slots.yaml", "intents/words.yaml")
    if room != "practices" and not (whole and questions):
        return
    data = yaml.load(path.read_text(encoding="utf-8"), Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    for number in range(1, times):
        entries = {f"{key}_copy_{number}": dict(entry) for key, entry in data.items() if key != "words"}
        own = _spelled("own" + path.stem, number)
        for key, entry in entries.items():
            for field in {"asks", "not"} & entry.keys():
                entry[field] = [_other_words(str(line), number) for line in entry[field]]
            if room == "intents":
                entry["cues"] = [f"{own} {cue}" for cue in entry.get("cues") or []]
                for field in ("examples", "near_misses"):
                    entry.pop(field, None)
                if not entry.get("works"):
                    entry.setdefault("skill", key.rpartition("_copy_")[0])
        yield {**({"words": {own: [own]}} if room == "intents" else {}), **entries}


def _lengthen(folder: Path, times: int) -> None:
    """Words, grasses, products and ingredients, which stand in one file each, so many times."""
    for stem in ("glossary", *_PHRASED):
        path = folder / f"{stem}.yaml"
        data = yaml.load(path.read_text(encoding="utf-8"), Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
        copies: dict[str, Any] = {}
        for number in range(1, times):
            for key, entry in data.items():
                copy = dict(entry)
                for field in {"called", "also"} & copy.keys():
                    copy[field] = [_spelled(str(phrase), number) for phrase in copy[field]]
                if "word" in copy:
                    copy["word"] = _spelled(str(copy["word"]), number)
                copies[f"{key}_copy_{number}"] = copy
        path.write_text(yaml.dump({**data, **copies}, Dumper=_DUMPER, allow_unicode=True), encoding="utf-8")


def _other_words(line: str, number: int) -> str:
    """Every third word of a line made another one, and one more put behind it, so that no two copies are the same line."""
    count = 0

    def swapped(found: re.Match[str]) -> str:
        nonlocal count
        count += 1
        return _spelled(found.group(), number) if count % 3 == 0 else found.group()

    return f"{_WORD.sub(swapped, line)} {_spelled(line, number)}"


def _spelled(word: str, number: int) -> str:
    """A word that nobody uses, the same for the same word and copy."""
    digest = hashlib.blake2b(f"{number} {word}".encode(), digest_size=8).hexdigest()
    return "z" + digest.translate(str.maketrans("0123456789", "ghijklmnop"))
